//! Words for chances, faults, places and conditions.

use belief::Suspect;
use circuit::{Check, Circuit, FaultId, Place};

/// Stands at the end of every advice.
pub const DEFERENCE: &str = "The vehicle maker's service information and data, local law and licensed practice come first. \
                                    Values here are typical of the class and unverified on your vehicle.";

/// How likely, in a word. The bounds are our own choice; nothing is ever called certain.
pub fn chance(probability: f64) -> &'static str {
    match probability {
        p if p >= 0.95 => "almost certain",
        p if p >= 0.75 => "very likely",
        p if p >= 0.50 => "likely",
        p if p >= 0.20 => "quite possible",
        p if p >= 0.05 => "possible",
        p if p >= 0.01 => "unlikely",
        _ => "very unlikely",
    }
}

/// `62 %`, never 0 nor 100.
pub fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p < 0.95 => "< 1 %".to_owned(),
        p if p > 99.0 => "> 99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// `percent` in a column of six.
pub fn percent_column(probability: f64) -> String {
    format!("{:>6}", percent(probability))
}

/// A bar of ten characters.
pub fn bar(probability: f64, ascii: bool) -> String {
    let (full, empty) = if ascii { ('#', '.') } else { ('█', '░') };
    let filled = |cell: u32| f64::from(cell) + 0.5 <= 10.0 * probability;
    (0..10)
        .map(|cell| if filled(cell) { full } else { empty })
        .collect()
}

/// `a + b`, or what it is without a fault.
pub fn suspect(circuit: &Circuit, suspect: &Suspect) -> String {
    faults(circuit, &suspect.faults)
}

/// Faults by their ids: `a/leaks + b/off`.
pub fn faults(circuit: &Circuit, faults: &[FaultId]) -> String {
    if faults.is_empty() {
        return "nothing wrong in this circuit".to_owned();
    }
    let names: Vec<String> = faults.iter().map(|fault| circuit.fault_name(*fault)).collect();
    names.join(" + ")
}

/// What a part is called: the author's words, or its kind with its name.
pub fn part(circuit: &Circuit, part: circuit::PartId) -> String {
    let part = &circuit.parts[part.0];
    part.what
        .clone()
        .unwrap_or_else(|| format!("{} `{}`", part.kind.name, part.id))
}

/// The name of a check's place as in its id.
pub fn place(circuit: &Circuit, check: &Check) -> String {
    match check.place {
        Place::Port(port, _) => circuit.port_name(port),
        Place::Part(part) => circuit.parts[part.0].id.clone(),
    }
}

/// A check's condition in words, never empty.
pub fn condition(circuit: &Circuit, check: &Check) -> String {
    let condition = &circuit.conditions[check.condition.0];
    match condition.what.as_str() {
        "" if condition.id == "off" => "engine and key off".to_owned(),
        "" => condition.id.clone(),
        what => what.to_owned(),
    }
}

/// How a check is made, in a word or two: "dead-headed", "teed in".
pub fn manner(check: &Check) -> &'static str {
    use circuit::Method;
    match check.method {
        Method::Deadhead => "dead-headed",
        Method::Tee => "teed in",
        Method::Volts => "volts",
        Method::OpenVolts => "volts unplugged",
        Method::Drop => "voltage drop",
        Method::Ohms => "ohms",
        Method::Amps => "current",
        Method::Click => "clicks?",
        Method::Look => "anything wrong to be seen?",
        Method::Travel => "travel",
        Method::Speed => "speed",
        Method::Jumper => "fed directly",
        Method::Swap => "complaint gone with a good part?",
        Method::Data => "module data",
        Method::Pressure => "pressure, teed in",
        Method::Flow => "volume into a can",
        Method::Wiggle => "moves with it?",
        Method::Compare => "beside a second gauge",
        Method::Duty => "duty",
        Method::Temperature => "how hot",
        Method::Substitute => "module data with a resistor in its place",
        Method::Ripple => "ripple, alternating volts",
        Method::LoomOhms => "ohms into the loom",
        Method::Answers => "answers the tester?",
        Method::Glow => "lit?",
        Method::Hold => "hold test",
        Method::PumpDown => "time to pump down",
        Method::LeakDown => "what is left with the source stopped",
        Method::LeakFlow => "flow that keeps the pressure up",
        Method::Smoke => "smoke comes out?",
    }
}

/// What a check reads and where, for somebody who knows no circuit: "vacuum at the wastegate actuator".
pub fn plainly(circuit: &Circuit, check: &Check) -> String {
    use circuit::Reads;
    let what = match check.reads {
        Reads::Vacuum => "vacuum",
        Reads::GaugePressure | Reads::AbsolutePressure => "pressure",
        Reads::Voltage => "voltage",
        Reads::Current => "current",
        Reads::Resistance => "resistance",
        Reads::Travel => "travel",
        Reads::Speed => "speed",
        Reads::Flow => "flow",
        Reads::Temperature => "temperature",
        Reads::Share => match check.method {
            circuit::Method::Duty => "duty",
            _ => "position",
        },
        Reads::Time => "time",
        Reads::YesNo => match check.method {
            circuit::Method::Click => "a click",
            circuit::Method::Wiggle => "a tug",
            circuit::Method::Answers => "an answer",
            circuit::Method::Glow => "light",
            _ => "a look",
        },
    };
    let at = match check.place {
        Place::Port(port, _) => port.part,
        Place::Part(part) => part,
    };
    if check.method == circuit::Method::Swap {
        return format!("a good part in place of the {}", part(circuit, at));
    }
    format!("{what} at the {}", part(circuit, at))
}

/// The same with how it is done, unless that is said already: "vacuum at the wastegate actuator, teed in".
pub fn plainly_how(circuit: &Circuit, check: &Check) -> String {
    let (plain, how) = (plainly(circuit, check), manner(check));
    if plain.starts_with(how) {
        plain
    } else {
        format!("{plain}, {how}")
    }
}

/// `1 minute`, `2.5 minutes`.
pub fn minutes(minutes: f64) -> String {
    let figure = quantity::round_half_away(minutes, 1);
    if (figure - 1.0).abs() < f64::EPSILON {
        "1 minute".to_owned()
    } else {
        format!("{figure} minutes")
    }
}

/// A list as one says it: `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [start @ .., last] => format!("{} and {last}", start.join(", ")),
    }
}

/// The text as a sentence begins.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_chance_is_called_none_or_all() {
        assert_eq!(percent(0.0), "< 1 %");
        assert_eq!(percent(1.0), "> 99 %");
        assert_eq!(percent(0.615), "62 %");
        assert_eq!((chance(1.0), chance(0.0)), ("almost certain", "very unlikely"));
    }

    #[test]
    fn bars_have_ten_cells() {
        assert_eq!(bar(0.62, true), "######....");
        assert_eq!(bar(f64::NAN, true).len(), 10);
        assert_eq!(bar(1.0, false).chars().count(), 10);
    }

    #[test]
    fn lists_read_as_one_says_them() {
        let items = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(list(&items), "a, b and c");
        assert_eq!(list(&items[..1]), "a");
        assert_eq!(minutes(1.0), "1 minute");
        assert_eq!(minutes(2.54), "2.5 minutes");
    }
}
