//! How a check is made: one sentence or two per method.
//!
//! Sentences are common practice, no source. What can hurt comes from the engine.

use crate::words;
use circuit::{Check, Circuit, Method, Reads};

pub use engine::{cautions, cautions_of_work};

/// How to connect and what to do.
pub fn to_do(circuit: &Circuit, check: &Check) -> String {
    let at = words::place(circuit, check);
    let tool = check.instrument.word();
    match check.method {
        Method::Deadhead => format!(
            "Pull the hose off at {at}. Put the {tool} on the side that comes from the source; the other side stays open to the air. \
             Nothing flows then, so a restriction hardly shows."
        ),
        Method::Tee => format!(
            "Put a tee in at {at} with everything joined, and read the {tool} while the circuit works."
        ),
        Method::Volts => format!(
            "Leave everything plugged in. Red lead at {at} from the back of the plug, black lead on the battery's negative post."
        ),
        Method::OpenVolts => format!(
            "Unplug {at} and measure in the loose plug, black lead on the battery's negative post. \
             Hardly any current flows, so a poor joint does not show."
        ),
        Method::Drop => format!(
            "Leave everything plugged in and working. One lead on each side of {at}, the current flowing."
        ),
        Method::Ohms => format!("Unplug {at} and measure across its own pins, key off."),
        Method::Amps => format!("Zero the clamp, then close it around one wire of {at}, one wire only."),
        Method::Click => format!("One switches, one listens and feels at {at}. Does it click?"),
        Method::Look => {
            format!("Look at {at} from end to end, bend it, feel it, tug at its ends. Is anything wrong?")
        }
        Method::Travel => {
            format!("Mark where the rod stands at {at} with the engine off, then measure how far it moves.")
        }
        Method::Speed => format!("Measure the speed of the shaft of {at} with the {tool}."),
        Method::Jumper if check.reads == Reads::Travel => {
            format!("Hand pump on {at}: pump slowly to full and measure how far the rod moves.")
        }
        Method::Jumper => {
            format!("Feed {at} directly through a fused lead, its own plug off. Does it answer?")
        }
        Method::Swap => format!("Put a known good part in place of {at}. Is the complaint gone then?"),
        Method::Data => format!("Read on the module's data what {at} reports, key on, engine off."),
    }
}

/// How the instrument itself is put to the test in a minute.
pub fn cross_check(instrument: circuit::Instrument) -> &'static str {
    use circuit::Instrument;
    match instrument {
        Instrument::VacuumGauge | Instrument::PressureGauge => {
            "does it rest at zero? Read the same place with a second gauge, or pump both from one tee"
        }
        Instrument::Voltmeter => "measure a battery with it and with a second meter",
        Instrument::Ohmmeter => "hold the leads together: under 0.5 ohm? Fresh battery in it?",
        Instrument::Clamp => "zero it, and clamp a known load: a 21 W bulb takes about 1.7 A at 12.5 V",
        Instrument::Rule | Instrument::Tachometer => "measure something known with it",
        Instrument::ModuleData => "key on, engine off: a pressure sensor must show the barometer",
        Instrument::Senses => "let somebody else look",
    }
}
