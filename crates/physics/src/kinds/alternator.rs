//! An alternator with its bridge and a regulator that holds its own voltage, and a lamp terminal. Speeds are the engine's.
//!
//! Brushes wear, the regulator fails either way, a diode opens or shorts, the belt slips. Unloaded it passes with half a
//! bridge; loaded, or by its ripple, it does not. A burnt link on the way to the battery is easily taken for a weak
//! alternator, until its own terminal is measured beside the battery's. Without current through the lamp it wakes only
//! when revved. Left out: command by a module, heat, noise, the pulley's one-way clutch.

use super::Kind;
use super::spec::{
    BELTS, EXHAUST_GAS, LOAD_DUMP, fault, graded, optional_plug, parameter, share, terminal, volts,
};
use crate::assembly::{Assembly, REFERENCE};
use crate::laws::alternator::{Alternator as Law, DIODE_OPEN, DIODE_SHORTED, PHASE_OPEN};
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Alternator;

const PLUS: usize = 0;
const CASE: usize = 1;
const LAMP: usize = 2;

/// At which voltage the cut-in speed is meant, V, and what two diodes take.
const AT: f64 = 14.0;
const DIODES: f64 = 2.0;
/// Rotor and regulator as the lamp sees them while nothing is made, ohm; and the lamp current that wakes it, A. From memory.
const ROTOR: f64 = 12.0;
const WAKES: f64 = 0.08;
/// From the terminal to the lamp while it makes current, ohm: the small diodes. From memory.
const TRIO: f64 = 1.0;
/// What regulator and field take of its own current, ohm: half an ampere and more. From memory.
const OWN: f64 = 25.0;
/// From the engine to the body past its straps, by mounts, hoses and pipes, ohm. From memory.
const MOUNTS: f64 = 10e3;
/// Without the lamp's current it wakes by what magnetism is left from this many cut-in speeds on. From memory.
const REVVED: f64 = 2.8;
/// Alternating share of what it gives: sound, with a diode open, with a phase open. `references/alternator.csv`.
const RIPPLE: [f64; 3] = [0.044, 0.48, 0.52];
/// What battery and cables hold against that, ohm at some 500 Hz to 5 kHz. From memory.
const AGAINST: f64 = 12e-3;

static SPEC: KindSpec = KindSpec {
    name: "alternator",
    what: "Makes direct current from the engine's turning and holds the voltage at its own terminals.",
    ports: &[
        terminal("plus", "main terminal, B+"),
        terminal("case", "housing, on the engine"),
        optional_plug("lamp", "terminal of the warning lamp, D+ or L"),
    ],
    parameters: &[
        parameter(
            "rated",
            "most current at high speed",
            &[Dimension::Current],
            120.0,
            Spread::Relative(0.06),
            (5.0, 500.0),
        ),
        parameter(
            "ratio",
            "turns for each of the engine's",
            &[Dimension::Ratio],
            2.5,
            Spread::Absolute(0.1),
            (1.0, 5.0),
        ),
        parameter(
            "cut-in",
            "its own speed at which full field just reaches 14 V",
            &[Dimension::RotationalSpeed],
            1400.0 / 60.0,
            Spread::Relative(0.08),
            (5.0, 100.0),
        ),
        parameter(
            "held",
            "what the regulator holds between its terminals",
            &[Dimension::Voltage],
            14.4,
            Spread::Absolute(0.2),
            (11.0, 60.0),
        ),
    ],
    faults: &[
        fault(
            "no field",
            "brushes worn off or regulator open: nothing is made",
            26.0,
            0.05,
        ),
        graded(
            "weak field",
            "worn brushes or dirty rings: less than it should give",
            14.0,
            0.05,
            share("of its most current", 0.1, 0.35, 0.7),
        ),
        graded(
            "holds too little",
            "the regulator holds a low voltage",
            6.0,
            0.01,
            volts("held", 12.4, 13.1, 13.7),
        ),
        fault(
            "overcharges",
            "the regulator is shorted: full field always",
            6.0,
            0.02,
        ),
        fault("diode open", "one of the six diodes does not conduct", 14.0, 0.01),
        fault(
            "diode shorted",
            "one of the six diodes conducts both ways",
            8.0,
            0.02,
        ),
        fault("phase open", "one winding of the stator is broken", 6.0, 0.02),
        graded(
            "belt slips",
            "belt worn or wet, tensioner weak: slower than it should turn",
            12.0,
            0.5,
            share("of its speed left", 0.1, 0.28, 0.5),
        ),
        fault("belt off", "it does not turn", 8.0, 0.95),
    ],
    weight: 12.0,
    checks: &[
        Method::Look,
        Method::Amps,
        Method::Drop,
        Method::Ripple,
        Method::Swap,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::Alternator,
    cautions: &[LOAD_DUMP, BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the alternator",
        minutes: 80.0,
        price: 220.0,
        bad_new: 0.02,
    },
    source: "13.8 to 14.7 V, half its current at idle: common practice, no source; shares from memory: regulator and brushes 40, diodes 22, stator 6, belt and pulley beside them",
};

/// What its faults leave of the current.
fn left(part: &Assembly) -> (f64, f64) {
    if part.has("diode shorted") {
        DIODE_SHORTED
    } else if part.has("phase open") {
        PHASE_OPEN
    } else if part.has("diode open") {
        DIODE_OPEN
    } else {
        (1.0, 0.0)
    }
}

impl Kind for Alternator {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [rated, ratio, cut_in, held] = part.values();
        let (plus, case, lamp) = (part.electric(PLUS), part.electric(CASE), part.electric(LAMP));
        if part.has("no field") {
            return;
        }
        let grip = if part.has("belt off") {
            0.0
        } else {
            part.fault("belt slips").unwrap_or(1.0)
        };
        let turns = part.engine() * ratio * grip / cut_in;
        // Too slow to reach the battery's voltage it is a rotor behind a lamp; fast enough it wakes by itself.
        let stuck = if turns <= 1.0 {
            Some(false)
        } else {
            (turns > REVVED).then_some(true)
        };
        let awake = part.woken(lamp, case, ROTOR, WAKES, stuck);
        part.contact(lamp, case, ROTOR, awake, true);
        if turns <= 1.0 {
            return;
        }
        part.contact(lamp, plus, TRIO, awake, false);
        part.contact(plus, case, OWN, awake, false);
        part.resistor(case, REFERENCE, MOUNTS);
        let law = Law {
            most: rated * part.fault("weak field").unwrap_or(1.0),
            reach: turns * (AT + DIODES) - DIODES,
            held: if part.has("overcharges") {
                None
            } else {
                Some(part.fault("holds too little").map_or(held, |low| low.min(held)))
            },
            left: left(part),
        };
        part.push_electric(ElectricElement::Alternator {
            plus,
            case,
            law,
            switch: awake,
        });
    }

    fn ripple(&self, amps: f64, has: &dyn Fn(&str) -> bool) -> Option<f64> {
        let [sound, diode, phase] = RIPPLE;
        let share = if has("phase open") {
            phase
        } else if has("diode open") {
            diode
        } else {
            sound
        };
        Some(share * AGAINST * amps)
    }
}
