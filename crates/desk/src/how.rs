//! How a check is made: one sentence or two per method.
//!
//! Sentences are common practice, no source. What can hurt comes from the engine.

use crate::words;
use circuit::{Check, Circuit, Method, Place, Reads};
use quantity::{Dimension, PressureDifference, Quantity, Unit, UnitSystem, show_in};

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
        Method::Drop if between_wires(circuit, check) => format!(
            "Leave everything plugged in. Red lead on the high wire, black lead on the low wire, both at {at} from the back of the \
             plug: the mean of what lies between them."
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
        Method::Jumper if check.reads == Reads::Travel && by_pressure(circuit, check) => format!(
            "Regulated air on {at}, the regulator at nothing: turn it up slowly to 1.5 bar, no further, and measure how far the rod moves."
        ),
        Method::Jumper if check.reads == Reads::Travel => {
            format!("Hand pump on {at}: pump slowly to full and measure how far the rod moves.")
        }
        Method::Jumper => {
            format!("Feed {at} directly through a fused lead, its own plug off. Does it answer?")
        }
        Method::Swap => format!("Put a known good part in place of {at}. Is the complaint gone then?"),
        Method::Pressure => format!(
            "Pump off and pressure relieved first. Tee the {tool} into the line at {at}, everything joined; pump on, look for \
             leaks before you go near, then read while the circuit works."
        ),
        Method::Flow => format!(
            "Pump off and pressure relieved first. Open the line at {at}, lead the end that the pump feeds into a closed can and cap \
             the other. Pump on for 30 seconds, no longer; what is in the can, times two, is what runs in a minute."
        ),
        Method::Wiggle => format!(
            "Everything plugged in and switched on, a meter with minimum and maximum or the module's data in view. Move {at}, its plug and its \
             harness for 20 seconds: bend, tap, tug. Does the reading change? Stop at the first change and make it come and go three times."
        ),
        Method::Compare => format!(
            "Join the {tool} and a second one to one hand pump or regulated air, the vehicle apart. Bring the second one to {}, and read the \
             usual one.",
            shown_level(check)
        ),
        Method::Data if check.reads == Reads::AbsolutePressure => {
            format!("Read on the module's data what {at} reports, key on, engine off.")
        }
        Method::Data => format!("Read on the module's data what {at} reports."),
        Method::Duty => format!(
            "Leave everything plugged in. Meter on duty, red lead at {at} from the back of the plug, black lead on the battery's \
             negative post: the share of the time the output is on. Check which edge your meter counts."
        ),
        Method::Temperature => format!(
            "Let it work for two minutes, then aim the {tool} at {at} from a hand's breadth. Shiny metal reads too cold: put tape on it."
        ),
        Method::Substitute => substitute(circuit, check, &at),
        Method::Ripple => format!(
            "Meter on alternating volts, both leads across {at}, engine running with lights and blower on."
        ),
        Method::LoomOhms => format!(
            "Power off and the battery's negative terminal off. Unplug {at} and measure in the loose plug, between the two wires."
        ),
        Method::Answers if asks(circuit, check) => {
            "Ask all modules of this bus with the tester. Is every one of them on its list?".to_owned()
        }
        Method::Answers => format!("Ask with the tester. Is {at} on the list of modules that answer?"),
        Method::Glow => format!("Look at {at}. Is it lit?"),
        Method::Smoke => format!(
            "Close the ends of the piping, let the {tool} feed at 2 to 3 kPa until smoke fills it, and go along {at} with a lamp. Does smoke come \
             out of it? A split that opens under pressure only may stay shut: then press with at most 1 bar, regulated, and soap it."
        ),
        Method::Hold | Method::PumpDown | Method::LeakDown | Method::LeakFlow => timed(check, &at),
    }
}

/// `true` if the part of a check is an actuator that pressure moves.
fn by_pressure(circuit: &Circuit, check: &Check) -> bool {
    matches!(check.place, Place::Part(part) if circuit.parts[part.0].moved_by_pressure())
}

/// The checks that take time.
fn timed(check: &Check, at: &str) -> String {
    let wait = circuit::WAIT.as_secs();
    let level = |pressure: PressureDifference| UnitSystem::Trade.show(Quantity::from(pressure));
    let water = || {
        let pressure = Quantity::from(circuit::LEAK_PRESSURE);
        let inches = Unit::named_for("inH2O", Dimension::Pressure);
        inches.map_or_else(
            || UnitSystem::Metric.show(pressure),
            |unit| show_in(pressure, unit),
        )
    };
    match check.method {
        Method::PumpDown => format!(
            "Let everything stand open until there is no vacuum left, a gauge teed in at {at}. Start the engine and the watch together, hold \
             the speed, and stop the watch at {}. More than {} seconds counts as never.",
            level(circuit::PUMP_DOWN_LEVEL),
            circuit::GIVEN_UP.as_secs()
        ),
        Method::LeakFlow => format!(
            "Join the leak unit to {at}, {}. Wait until its flow stands still, one to three minutes, and read it. If it shows a flow \
             that cannot be, look first whether the vent valve really shut.",
            water()
        ),
        Method::LeakDown if check.reads == Reads::GaugePressure => format!(
            "Join the leak unit to {at}, {}. When its flow stands still shut it, and read the gauge {wait} seconds after. The same hole \
             empties a full tank faster than an empty one.",
            water()
        ),
        Method::LeakDown => format!(
            "A gauge teed in at {at}, let the engine run until it stands still, then stop the engine, key off. Read it {wait} seconds after."
        ),
        _ if check.reads == Reads::GaugePressure => format!(
            "Pull the hose off at {at} and put regulated air with a gauge on it: {}. Close it, and read what is left after {wait} seconds.",
            level(circuit::HOLD_PRESSURE)
        ),
        _ => format!(
            "Pull the hose off at {at} and put the hand pump on it. Pump slowly to {}, no further, and read what is left after {wait} seconds. \
             Where it cannot be pumped up, write 0.",
            level(circuit::HOLD_LEVEL)
        ),
    }
}

/// A resistor or two in place of a sensor.
fn substitute(circuit: &Circuit, check: &Check, at: &str) -> String {
    let three = match check.place {
        circuit::Place::Part(part) => circuit.parts[part.0].kind.port("plus").is_some(),
        circuit::Place::Port(..) => false,
    };
    if three {
        format!(
            "Unplug {at}. In the loose plug put 1 kohm from the 5 V pin to the signal pin and 1 kohm from there to the ground pin, \
             then read the module's data: with sound wires and module it shows the middle of its scale."
        )
    } else {
        format!(
            "Unplug {at}. Put a resistor of 2.2 kohm across the two pins of the loose plug and read the module's data: with sound \
             wires and module it shows what that resistance stands for."
        )
    }
}

/// `true` for a module on a bus, whose two pins are the wires.
fn between_wires(circuit: &Circuit, check: &Check) -> bool {
    match check.place {
        circuit::Place::Part(part) => circuit.parts[part.0].kind.symbol == circuit::Symbol::BusModule,
        circuit::Place::Port(..) => false,
    }
}

/// `true` for the module through which the others are asked.
fn asks(circuit: &Circuit, check: &Check) -> bool {
    match check.place {
        circuit::Place::Part(part) => circuit.parts[part.0].kind.command.is_some(),
        circuit::Place::Port(..) => false,
    }
}

/// What the second gauge is brought to, in the trade's units.
fn shown_level(check: &Check) -> String {
    let level = quantity::Quantity::new(quantity::Dimension::Pressure, check.level().unwrap_or(0.0));
    quantity::UnitSystem::Trade.show(level)
}

/// How the instrument itself is put to the test in a minute.
pub fn cross_check(instrument: circuit::Instrument) -> &'static str {
    use circuit::Instrument;
    match instrument {
        Instrument::VacuumGauge | Instrument::PressureGauge => {
            "does it rest at zero? Read the same place with a second gauge, or pump both from one tee"
        }
        Instrument::FuelGauge => {
            "does it rest at zero? Put it and a second gauge on one line of shop air at 4 bar"
        }
        Instrument::MeasuringCan => "fill the can from a marked jug; watch and marks read right?",
        Instrument::Voltmeter => "measure a battery with it and with a second meter",
        Instrument::Ohmmeter => "hold the leads together: under 0.5 ohm? Fresh battery in it?",
        Instrument::Clamp => "zero it, and clamp a known load: a 21 W bulb takes about 1.7 A at 12.5 V",
        Instrument::HandPump => {
            "put a finger on the end of its hose and pump to 15 inHg: it must stay for a minute, and show what a second gauge shows"
        }
        Instrument::LeakUnit => "let it feed its own reference hole, 0.5 mm (0.020 in): about 0.6 L/min",
        Instrument::LowGauge => "does it rest at zero? Put it beside the unit's own gauge",
        Instrument::Rule | Instrument::Tachometer | Instrument::Watch => "measure something known with it",
        Instrument::ModuleData => "key on, engine off: a pressure sensor must show the barometer",
        Instrument::Thermometer => {
            "aim it at something you know: ice water shows 0 °C, a body 33 °C on the skin"
        }
        Instrument::DutyMeter => {
            "measure an output at a known command, and swap the leads: the two must make 100 %"
        }
        Instrument::ModuleTemperature => {
            "key on after a cold night: all sensors of the engine must agree with the air"
        }
        Instrument::ModulePosition => "compare with what the module asks for, at both ends of the travel",
        Instrument::Senses => "let somebody else look",
        Instrument::SmokeMaker => "crack a joint open at the far end: smoke must come there within a minute",
    }
}
