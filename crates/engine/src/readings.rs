//! From a readings file to evidence: what is possible where the vehicle stands becomes numbers, what is not is refused.

use belief::{Known, NamedInstrument, Observation, Outcome, Surroundings};
use circuit::{Check, ReadingEntry, Readings, Reads};
use diag::Diagnostic;
use physics::{Ambient, Model};
use quantity::{
    Dimension, Length, Parsed, Pressure, PressureReference, Quantity, ReadingValue, Temperature, UnitSystem,
};

/// Readings and where they were taken.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Evidence {
    /// The air around.
    pub surroundings: Surroundings,
    /// Readings in their order.
    pub observations: Vec<Observation>,
    /// Checks that could not be done: nothing is learnt from them, and they are not proposed again.
    pub not_done: Vec<usize>,
}

/// Reads a readings file for `model`. The evidence is `None` if there is an error.
pub fn evidence(model: &Model, text: &str) -> (Option<Evidence>, Vec<Diagnostic>) {
    let outcome = circuit::read_readings(text, model.circuit(), model.checks());
    match outcome.readings {
        Some(readings) => as_evidence(model, &readings, outcome.findings),
        None => (None, outcome.findings),
    }
}

/// The evidence in `readings` of `model`'s checks, `findings` being what was found so far. It is `None` if there is an error.
pub fn as_evidence(
    model: &Model,
    readings: &Readings,
    mut findings: Vec<Diagnostic>,
) -> (Option<Evidence>, Vec<Diagnostic>) {
    let surroundings = surroundings(readings.altitude, readings.barometer, readings.temperature);
    let mut evidence = Evidence {
        surroundings,
        ..Evidence::default()
    };
    for entry in &readings.readings {
        match outcome_of(model, entry, &surroundings.ambient) {
            Ok(Some(outcome)) => evidence.observations.push(Observation {
                check: entry.check,
                outcome,
                instrument: entry.instrument.clone().map(|name| NamedInstrument {
                    name,
                    class: entry.accuracy.clone(),
                }),
            }),
            Ok(None) => evidence.not_done.push(entry.check),
            Err(finding) => findings.push(*finding),
        }
    }
    let usable = !crate::has_errors(&findings);
    (usable.then_some(evidence), findings)
}

/// Surroundings from an altitude or a barometer, and a temperature.
pub(crate) fn surroundings(
    altitude: Option<Quantity>,
    barometer: Option<Quantity>,
    temperature: Option<Quantity>,
) -> Surroundings {
    let mut ambient = Ambient::at_altitude(Length::from_si(altitude.map_or(0.0, Quantity::si)));
    if let Some(barometer) = barometer {
        ambient = ambient.with_barometer(Pressure::from_si(barometer.si()));
    }
    if let Some(temperature) = temperature {
        ambient = ambient.with_temperature(Temperature::from_si(temperature.si()));
    }
    Surroundings {
        ambient,
        known: if barometer.is_some() {
            Known::Barometer
        } else {
            Known::FromAltitude
        },
    }
}

fn outcome_of(
    model: &Model,
    entry: &ReadingEntry,
    ambient: &Ambient,
) -> Result<Option<Outcome>, Box<Diagnostic>> {
    let check = &model.checks()[entry.check];
    let number = |parsed: &Parsed| in_the_checks_sense(check, parsed, ambient);
    let outcome = match &entry.value {
        ReadingValue::Yes => Outcome::Yes,
        ReadingValue::No => Outcome::No,
        ReadingValue::NotDone => return Ok(None),
        ReadingValue::Value(parsed) => Outcome::Value(number(parsed)),
        ReadingValue::Over(parsed) => Outcome::Over(number(parsed)),
        ReadingValue::Under(parsed) => Outcome::Under(number(parsed)),
    };
    if let Outcome::Value(value) | Outcome::Over(value) = outcome {
        possible(check, value, ambient).map_err(|(message, hint)| {
            Box::new(
                Diagnostic::error("R010", entry.value_span, message)
                    .labelled("not possible here")
                    .hint(hint),
            )
        })?;
    }
    Ok(Some(outcome))
}

/// A pressure as the check counts it: below ambient for a vacuum, above for a gauge pressure, from nothing for an absolute.
fn in_the_checks_sense(check: &Check, parsed: &Parsed, ambient: &Ambient) -> f64 {
    let value = parsed.quantity.si();
    let above = match (check.reads, parsed.reference) {
        (Reads::Vacuum | Reads::GaugePressure | Reads::AbsolutePressure, PressureReference::Absolute) => {
            value - ambient.pressure
        }
        (Reads::Vacuum | Reads::GaugePressure | Reads::AbsolutePressure, PressureReference::Gauge) => value,
        (Reads::Vacuum | Reads::GaugePressure | Reads::AbsolutePressure, PressureReference::Vacuum) => -value,
        _ => return value,
    };
    match check.reads {
        Reads::Vacuum => -above,
        Reads::GaugePressure => above,
        _ => above + ambient.pressure,
    }
}

/// Refuses what nothing could read: a vacuum deeper than the barometer, negative ohms or travel.
fn possible(check: &Check, value: f64, ambient: &Ambient) -> Result<(), (String, String)> {
    let show = |si: f64, dimension| UnitSystem::Trade.show(Quantity::new(dimension, si));
    match check.reads {
        // A gauge may read a little beyond the barometer by its own error: 3 % of span, ASME B40.100 grade B.
        Reads::Vacuum if value > ambient.pressure + 3.0e3 => Err((
            format!(
                "a vacuum of {} is more than the air has",
                show(value, Dimension::Pressure)
            ),
            format!(
                "the barometer there is {}; check the unit, the altitude and the gauge",
                show(ambient.pressure, Dimension::Pressure)
            ),
        )),
        Reads::AbsolutePressure if value < 0.0 => Err((
            "an absolute pressure below nothing".to_owned(),
            "write a gauge pressure as `-0.4 bar gauge`".to_owned(),
        )),
        Reads::Resistance
        | Reads::Travel
        | Reads::Speed
        | Reads::Time
        | Reads::Flow
        | Reads::Share
        | Reads::Temperature
            if value < 0.0 =>
        {
            Err((
                format!(
                    "a negative {}",
                    check.reads.dimension().map_or("value", Dimension::name)
                ),
                "write it without the sign".to_owned(),
            ))
        }
        _ => Ok(()),
    }
}
