//! Taking a vehicle in: what was typed becomes the first events of a job.

use super::args::New;
use crate::case;
use crate::failure::Failure;
use ::job::{CodeStatus, Event, Frozen, Grade, Intake, Replaced, Vehicle};
use engine::Model;

/// The events that begin a job, and warnings about the circuit.
pub(crate) fn events(new: &New) -> Result<(Vec<Event>, String), Failure> {
    let codes: Vec<String> = new
        .codes
        .iter()
        .map(|code| code_of(code))
        .collect::<Result<_, _>>()?;
    let name = circuit_for(new.circuit.as_deref(), &codes)?;
    let (described, opened) = case::described(&name)?;
    let model = &opened.model;
    let replaced = new.replaced.iter().map(|text| replaced(model, text));
    let frozen = new.frozen.iter().map(|text| frozen(text));
    for part in &new.oil {
        known_part(model, part, "--oil")?;
    }
    let intake = Intake {
        vehicle: Vehicle {
            words: new.vehicle.clone(),
            odometer_km: new.odometer,
            engine_hours: new.engine_hours,
        },
        complaint: new.complaint.clone(),
        circuit: described,
        altitude: new.altitude.clone(),
        barometer: new.barometer.clone(),
        temperature: new.temperature.clone(),
        freeze_frame: frozen.collect::<Result<_, _>>()?,
        replaced: replaced.collect::<Result<_, _>>()?,
        oil_soaked: new.oil.clone(),
        limit: new.limit,
        invented: new.invented,
    };
    let mut events = vec![Event::TakenIn { intake }];
    events.extend(codes.into_iter().map(|code| Event::CodeNoted {
        code,
        status: CodeStatus::Stored,
    }));
    Ok((events, opened.warnings))
}

/// A code as the standard writes it.
pub(crate) fn code_of(text: &str) -> Result<String, Failure> {
    Ok(::desk::code_of(text)?)
}

/// The circuit that was named, or the one that every code can come from.
fn circuit_for(named: Option<&str>, codes: &[String]) -> Result<String, Failure> {
    if let Some(named) = named {
        return Ok(named.to_owned());
    }
    let Some(first) = codes.first() else {
        return Err(Failure::bad_input(
            "a job needs a circuit to work on, or a code that leads to one",
            Some("--circuit NAME or --code P0299; halfsplit circuits  lists the circuits".to_owned()),
        ));
    };
    match ::desk::circuit_for(codes).as_slice() {
        [only] => Ok(only.name.to_owned()),
        [] => Err(Failure::bad_input(
            format!("no shipped circuit is known to set `{first}`"),
            Some("name a circuit, or a file of your own: --circuit NAME".to_owned()),
        )),
        several => {
            let names: Vec<String> = several
                .iter()
                .map(|circuit| format!("--circuit {}", circuit.name))
                .collect();
            Err(Failure::bad_input(
                format!("`{first}` can come from {} circuits: say which", several.len()),
                Some(names.join("\n")),
            ))
        }
    }
}

/// `coolant = 96 °C`.
fn frozen(text: &str) -> Result<Frozen, Failure> {
    let (what, value) = text.split_once('=').ok_or_else(|| {
        Failure::bad_input(
            format!("`{text}`: a frozen value is a name, `=` and the value"),
            Some("for instance --frozen \"coolant = 96 °C\"".to_owned()),
        )
    })?;
    Ok(Frozen {
        what: what.trim().to_owned(),
        value: value.trim().to_owned(),
    })
}

/// `source-line, 2000 km, 30 days, budget`.
fn replaced(model: &Model, text: &str) -> Result<Replaced, Failure> {
    let mut words = text.split(',').map(str::trim);
    let part = words.next().unwrap_or_default();
    known_part(model, part, "--replaced")?;
    let mut replaced = Replaced {
        part: part.to_owned(),
        km_ago: None,
        days_ago: None,
        grade: None,
    };
    for word in words {
        let number = |unit: &str| {
            let number = word.strip_suffix(unit)?.trim().replace(' ', "");
            number.parse::<f64>().ok().filter(|n| n.is_finite() && *n >= 0.0)
        };
        if let Some(km) = number("km") {
            replaced.km_ago = Some(km);
        } else if let Some(days) = number("days").or_else(|| number("day")) {
            replaced.days_ago = Some(days);
        } else if let Some(grade) = grade(word) {
            replaced.grade = Some(grade);
        } else {
            return Err(Failure::bad_input(
                format!("`{word}` in --replaced \"{text}\" is not understood"),
                Some(
                    "a part, then how long ago and what was fitted: \"PART, 2000 km, 30 days, budget\""
                        .to_owned(),
                ),
            ));
        }
    }
    Ok(replaced)
}

fn grade(word: &str) -> Option<Grade> {
    [
        ("original", Grade::Original),
        ("equivalent", Grade::Equivalent),
        ("budget", Grade::Budget),
    ]
    .into_iter()
    .find_map(|(name, grade)| (name == word).then_some(grade))
}

/// Refuses a part that the circuit does not have.
pub(crate) fn known_part(model: &Model, part: &str, from: &str) -> Result<circuit::PartId, Failure> {
    let parts = &model.circuit().parts;
    let found = parts.iter().position(|known| known.id == part);
    found.map(circuit::PartId).ok_or_else(|| {
        let hint = match diag::nearest(part, parts.iter().map(|known| known.id.as_str())) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("halfsplit describe {}  lists its parts", model.circuit().name),
        };
        Failure::bad_input(format!("{from}: the circuit has no part `{part}`"), Some(hint))
    })
}
