//! Which signal a column is, by its name, its unit and its values.

use crate::signal::{KNOWN, Known, Signal};
use quantity::{Dimension, Unit};

/// What a column is taken for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guess {
    /// The signal.
    pub signal: Signal,
    /// The unit its figures are written in.
    pub unit: Unit,
    /// How sure that is, 0 to 1.
    pub confidence: f64,
}

/// Least confidence with which a column is taken for something.
pub(crate) const LEAST: f64 = 0.5;
/// Words of a name that say nothing about which signal it is.
const EMPTY: &[&str] = &[
    "sensor",
    "the",
    "of",
    "a",
    "b",
    "d",
    "e",
    "bank",
    "position",
    "value",
    "obd",
    "pid",
    "absolute",
    "engine",
    "actual",
    "calculated",
];
/// Words without which a name that holds them is another thing: `fuel air commanded` is no commanded boost.
const OTHERWISE: &[&str] = &[
    "catalyst",
    "exhaust",
    "trim",
    "egr",
    "evap",
    "purge",
    "mil",
    "relative",
    "error",
    "minimum",
    "maximum",
    "oxygen",
    "lambda",
    "equiv",
    "reference",
    "torque",
    "transmission",
    "wheel",
    "fan",
    "gear",
];

/// The likeliest signal of a column called `name` with `unit` as written (empty if none), by a sample of its figures as
/// written; `None` if nothing fits.
pub fn recognise(name: &str, unit: &str, figures: &[f64]) -> Option<Guess> {
    let words = words(name);
    let mut guesses: Vec<Guess> = KNOWN
        .iter()
        .filter_map(|known| guess(known, &words, unit, figures))
        .collect();
    guesses.sort_by(|a, b| b.confidence.total_cmp(&a.confidence));
    guesses
        .into_iter()
        .next()
        .filter(|guess| guess.confidence >= LEAST)
}

/// Whether a column of this name may be taken for one of `signals`, whatever its figures.
pub(crate) fn could_be(name: &str, signals: &[Signal]) -> bool {
    let words = words(name);
    KNOWN
        .iter()
        .filter(|known| signals.contains(&known.signal))
        .any(|known| known.names.iter().any(|name| alike(&words, name) > 0.0))
}

fn guess(known: &'static Known, words: &[String], unit: &str, figures: &[f64]) -> Option<Guess> {
    let by_name = known
        .names
        .iter()
        .map(|name| alike(words, name))
        .fold(0.0, f64::max);
    if by_name == 0.0 {
        return None;
    }
    let (unit, by_unit) = match written(unit, known.dimension) {
        Written::This(unit) => (unit, (1.0_f64).min(0.05 + plausible(known, unit, figures))),
        Written::None => likeliest(known, figures)?,
        Written::Other => return None,
    };
    Some(Guess {
        signal: known.signal,
        unit,
        confidence: by_name * by_unit,
    })
}

/// What a unit as written says of a dimension.
enum Written {
    None,
    This(Unit),
    Other,
}

fn written(unit: &str, dimension: Dimension) -> Written {
    let unit = unit.trim();
    if unit.is_empty() || unit == "-" {
        return Written::None;
    }
    let plain = spelled(unit);
    if plain.is_empty() {
        return Written::None;
    }
    match Unit::named_for(plain, dimension) {
        Some(unit) => Written::This(unit),
        None if Unit::named(plain).is_some() => Written::Other,
        // A unit that nobody knows says nothing.
        None => Written::None,
    }
}

/// A unit as recorders write it, in the spelling that is known here; empty for a count.
pub(crate) fn spelled(unit: &str) -> &str {
    match unit.to_ascii_lowercase().as_str() {
        "c" | "degc" | "deg c" | "celsius" => "°C",
        "f" | "degf" | "deg f" | "fahrenheit" => "°F",
        "1/min" | "u/min" | "rev/min" | "min-1" | "/min" => "rpm",
        "kph" | "kmh" => "km/h",
        "sec" | "secs" | "second" | "seconds" => "s",
        "volt" | "volts" => "V",
        "percent" | "pct" => "%",
        "count" | "counts" => "",
        _ => unit,
    }
}

/// Without a unit: the one in which the figures make most sense, the usual one first.
fn likeliest(known: &'static Known, figures: &[f64]) -> Option<(Unit, f64)> {
    let usual = Unit::named_for(known.usual, known.dimension)?;
    let share = plausible(known, usual, figures);
    let mut best = (usual, share);
    for other in known
        .others
        .iter()
        .filter_map(|other| Unit::named_for(other, known.dimension))
    {
        // Another unit has to explain clearly more.
        let share = 0.8 * plausible(known, other, figures);
        if share > best.1 {
            best = (other, share);
        }
    }
    (best.1 > 0.0).then_some((best.0, 0.95 * best.1))
}

/// Share of the figures that the signal can have.
fn plausible(known: &Known, unit: Unit, figures: &[f64]) -> f64 {
    let sound = figures.iter().filter(|figure| figure.is_finite());
    let (all, inside) = sound.fold((0_usize, 0_usize), |(all, inside), figure| {
        let si = figure * unit.factor() + unit.offset();
        (
            all + 1,
            inside + usize::from(si >= known.range.0 - 1e-9 && si <= known.range.1 * (1.0 + 1e-6)),
        )
    });
    // A column without figures is told by its name alone, half as surely.
    if all == 0 { 0.5 } else { inside as f64 / all as f64 }
}

/// A name's words, small, without what joins them: `EngineRPM` is `engine rpm`, `VEHICLE_SPEED ()` is `vehicle speed`.
pub(crate) fn words(name: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut small = false;
    for letter in name.chars() {
        if (!letter.is_alphanumeric() || (small && letter.is_uppercase())) && !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
        if letter.is_alphanumeric() {
            word.extend(letter.to_lowercase());
        }
        small = letter.is_lowercase();
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

/// How much a column's words are those of a signal's name: 0 if one is missing, less for every letter and word too many.
fn alike(words: &[String], name: &str) -> f64 {
    let wanted: Vec<&str> = name.split(' ').collect();
    let mut sure: f64 = 1.0;
    let mut used = vec![false; words.len()];
    for want in &wanted {
        let place = words
            .iter()
            .enumerate()
            .position(|(at, word)| !used[at] && word == want);
        let place = place.or_else(|| {
            sure -= 0.1;
            words
                .iter()
                .enumerate()
                .position(|(at, word)| !used[at] && nearly(word, want))
        });
        let Some(place) = place else {
            return 0.0;
        };
        used[place] = true;
    }
    for (word, _) in words.iter().zip(&used).filter(|(_, used)| !**used) {
        sure -= if OTHERWISE.contains(&word.as_str()) {
            0.6
        } else if EMPTY.contains(&word.as_str()) || word.chars().all(|letter| letter.is_ascii_digit()) {
            0.02
        } else {
            0.15
        };
    }
    // One short word alone could be many things.
    if wanted.len() == 1 {
        sure -= 0.1;
    }
    sure.max(0.0)
}

/// The same word but for one letter, if it is long enough to be sure.
fn nearly(word: &str, want: &str) -> bool {
    let (word, want): (Vec<char>, Vec<char>) = (word.chars().collect(), want.chars().collect());
    if want.len() < 4 || word.len().abs_diff(want.len()) > 1 {
        return false;
    }
    let same_before = word.iter().zip(&want).take_while(|(a, b)| a == b).count();
    let same_after = word
        .iter()
        .rev()
        .zip(want.iter().rev())
        .take_while(|(a, b)| a == b)
        .count();
    same_before + same_after + 1 >= word.len().max(want.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(name: &str, unit: &str, figures: &[f64]) -> Option<(Signal, &'static str)> {
        recognise(name, unit, figures).map(|guess| (guess.signal, guess.unit.symbol()))
    }

    #[test]
    fn names_are_read_however_they_are_written() {
        for name in [
            "Engine RPM",
            "ENGINE_RPM ()",
            "engineRpm",
            "engine speed",
            "RPM",
            "Engine Speed (RPM)",
        ] {
            assert_eq!(
                told(name, "", &[0.0, 850.0, 2200.0]),
                Some((Signal::EngineSpeed, "rpm")),
                "{name}"
            );
        }
        assert_eq!(
            told("ENGINE_RUN_TINE ()", "", &[0.0, 12.0]).map(|(signal, _)| signal),
            Some(Signal::RunTime)
        );
    }

    #[test]
    fn what_only_looks_alike_is_told_apart() {
        let pressure = &[98.0, 101.0, 45.0];
        assert_eq!(
            told("Intake manifold absolute pressure", "kPa", pressure).map(|told| told.0),
            Some(Signal::IntakePressure)
        );
        assert_eq!(
            told("Barometric pressure", "kPa", &[98.0]).map(|told| told.0),
            Some(Signal::Barometer)
        );
        assert_eq!(
            told("Boost pressure commanded", "kPa", &[150.0]).map(|told| told.0),
            Some(Signal::BoostCommanded)
        );
        for name in [
            "TIME_RUN_WITH_MIL_ON",
            "FUEL_AIR_COMMANDED_EQUIV_RATIO",
            "CATALYST_TEMPERATURE_BANK1_SENSOR1",
            "RELATIVE_THROTTLE_POSITION",
            "SHORT_TERM_FUEL_TRIM_BANK_1",
        ] {
            assert_eq!(told(name, "", &[0.0, 1.0]), None, "{name}");
        }
    }

    #[test]
    fn the_unit_is_the_one_in_which_the_figures_make_sense() {
        assert_eq!(
            told("Coolant temp", "", &[68.0, 150.0, 195.0]),
            Some((Signal::Coolant, "°F"))
        );
        assert_eq!(
            told("Coolant temp", "", &[20.0, 60.0, 90.0]),
            Some((Signal::Coolant, "°C"))
        );
        assert_eq!(
            told("Barometer", "", &[29.9, 29.8]),
            Some((Signal::Barometer, "inHg"))
        );
        assert_eq!(told("Barometer", "V", &[29.9, 29.8]), None);
    }
}
