//! Readings as the person at hand reads them: units, ranges, outcomes.

use belief::Outcome;
use circuit::{Check, Reads};
use quantity::{Dimension, Quantity, Unit, UnitSystem, show_in};

/// Above this a meter shows an open circuit, ohm.
const OPEN: f64 = 3.0e7;

/// The units in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Units(pub UnitSystem);

impl Units {
    /// The unit a check's figures stand in; `None` for yes or no. Only vacuum is read in inHg.
    pub fn of(self, reads: Reads) -> Option<Unit> {
        let dimension = reads.dimension()?;
        if dimension == Dimension::Time {
            // Nobody reads a stopwatch in minutes.
            return Some(dimension.si());
        }
        let gauge = matches!(reads, Reads::GaugePressure | Reads::AbsolutePressure);
        let system = if gauge && self.0 == UnitSystem::Trade {
            UnitSystem::Metric
        } else {
            self.0
        };
        Some(system.unit_for(dimension))
    }

    /// A quantity of no check: a height, a bore.
    pub fn plain(self, dimension: Dimension, si: f64) -> String {
        self.0.show(Quantity::new(dimension, si))
    }

    /// A value a check shows.
    pub fn value(self, check: &Check, si: f64) -> String {
        let Some(dimension) = check.reads.dimension() else {
            return share_of_yes(si);
        };
        if check.reads == Reads::Resistance && si >= OPEN {
            return "open circuit".to_owned();
        }
        if given_up(check, si) {
            return "never".to_owned();
        }
        show_in(Quantity::new(dimension, si), self.fitting(check, si))
    }

    /// The unit for figures as large as `si`.
    pub fn fitting(self, check: &Check, si: f64) -> Unit {
        let pressure = check.reads.dimension() == Some(Dimension::Pressure);
        let usual = self.of(check.reads);
        match (check.reads.dimension(), usual) {
            (Some(Dimension::Time), Some(seconds)) => seconds,
            (Some(dimension), Some(_)) if !pressure => self.0.unit_to_show(Quantity::new(dimension, si)),
            (_, Some(usual)) => usual,
            // Yes or no has no unit; the caller has asked for one that shows nothing.
            _ => Dimension::Ratio.si(),
        }
    }

    /// Percentiles in the unit a check's figures stand in, with its sign; SI, or the probability of a yes, where it has none.
    pub fn percentiles(self, check: &Check, si: [f64; 3]) -> (Option<&'static str>, [f64; 3]) {
        match (self.of(check.reads), check.reads.dimension()) {
            (Some(unit), Some(dimension)) => (
                Some(unit.symbol()),
                si.map(|si| Quantity::new(dimension, si).in_unit(unit)),
            ),
            _ => (None, si),
        }
    }

    /// From the 5th to the 95th percentile: `21.9 to 23.6 inHg`.
    pub fn range(self, check: &Check, percentiles: [f64; 3]) -> String {
        let [low, _, high] = percentiles;
        let Some(dimension) = check.reads.dimension() else {
            return share_of_yes(low);
        };
        let open = |si: f64| check.reads == Reads::Resistance && si >= OPEN;
        if open(low) || (open(high) && low < high) {
            let from = self.value(check, low);
            return if open(low) {
                from
            } else {
                format!("{from} to open circuit")
            };
        }
        if given_up(check, high) {
            let (from, never) = (self.value(check, low), "never".to_owned());
            return if given_up(check, low) {
                never
            } else {
                format!("{from} to never")
            };
        }
        let unit = self.fitting(check, high.abs().max(low.abs()));
        let show = |si| {
            show_in(
                Quantity::of(
                    legible(check, Quantity::new(dimension, least(check, si)).in_unit(unit)),
                    unit,
                ),
                unit,
            )
        };
        let (low, high) = (show(low), show(high));
        if low == high {
            return high;
        }
        format!(
            "{} to {high}",
            low.strip_suffix(unit.symbol()).unwrap_or(&low).trim_end()
        )
    }

    /// What was read.
    pub fn outcome(self, check: &Check, outcome: Outcome) -> String {
        match outcome {
            Outcome::Value(si) => self.value(check, si),
            Outcome::Over(si) => format!("more than {}", self.value(check, si)),
            Outcome::Under(si) => format!("less than {}", self.value(check, si)),
            Outcome::Yes => "yes".to_owned(),
            Outcome::No => "no".to_owned(),
        }
    }

    /// A fault's severity in the unit it is written in: `0.41 to 0.53 mm`.
    pub fn severity(spec: &circuit::SeveritySpec, low: f64, high: f64) -> String {
        let unit = severity_unit(spec);
        let show = |si| {
            show_in(
                Quantity::of(two_digits(Quantity::new(spec.dimension, si).in_unit(unit)), unit),
                unit,
            )
        };
        let (from, to) = (show(low), show(high));
        if from == to {
            to
        } else {
            format!(
                "{} to {to}",
                from.strip_suffix(unit.symbol()).unwrap_or(&from).trim_end()
            )
        }
    }
}

/// The unit a severity is written in.
pub fn severity_unit(spec: &circuit::SeveritySpec) -> Unit {
    Unit::named_for(spec.unit, spec.dimension).unwrap_or_else(|| spec.dimension.si())
}

/// A time at which nobody waits any longer.
fn given_up(check: &Check, si: f64) -> bool {
    check.reads == Reads::Time && si >= circuit::GIVEN_UP.as_secs_f64()
}

/// An instrument that cannot show less than nothing shows nothing: its own error below zero is not worth a figure.
fn least(check: &Check, si: f64) -> f64 {
    match check.reads {
        Reads::Vacuum
        | Reads::Resistance
        | Reads::Travel
        | Reads::Speed
        | Reads::Flow
        | Reads::Share
        | Reads::Time
        | Reads::AbsolutePressure => si.max(0.0),
        _ => si,
    }
}

/// Rounded to two digits that count: a severity is an estimate.
fn two_digits(value: f64) -> f64 {
    // A severity is written in a unit that suits it; nothing smaller than a millionth of it is looked for.
    let decimals = (0..6)
        .find(|decimals| value.abs() * 10_f64.powi(*decimals) >= 10.0)
        .unwrap_or(6);
    quantity::round_half_away(value, decimals.unsigned_abs())
}

/// A bound as fine as anybody reads a dial or a rule; meters show their digits.
fn legible(check: &Check, value: f64) -> f64 {
    match check.reads {
        Reads::Vacuum | Reads::GaugePressure | Reads::AbsolutePressure | Reads::Travel => {
            quantity::round_half_away(value, 1)
        }
        Reads::Voltage => quantity::round_half_away(value, 2),
        _ => value,
    }
}

fn share_of_yes(probability: f64) -> String {
    match probability {
        p if p >= 0.98 => "yes".to_owned(),
        p if p <= 0.02 => "no".to_owned(),
        p => format!("yes in {:.0} of 100", 100.0 * p),
    }
}
