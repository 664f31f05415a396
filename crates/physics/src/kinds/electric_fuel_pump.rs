//! An electric fuel pump: a direct-current motor that turns a pump of fixed displacement, with strainer, check valve and a
//! relief valve of its own (DERIVATIONS.md, section 19).
//!
//! An author gives what a gauge, a can, a meter and a clamp show of a sound one at its working pressure: voltage, current,
//! pressure and flow. With the winding's resistance and the share that slips back inside, displacement and back-EMF follow.
//!
//! The pump wears, brushes burn, the strainer plugs, the relief valve stays open, a winding opens, the rotor seizes. Pressure at
//! idle hardly tells: a worn pump still keeps the regulator busy. Volume and current tell: worn, little flow and little
//! current at full voltage; a bad ground, little of all three; a plugged strainer, little current and noise; a plugged filter
//! behind it, much pressure before and little after. Left out: the hold after key-off, commutator humps, heat, air in the fuel,
//! a pump connected the wrong way round (it stands).

use super::Kind;
use super::spec::{FUEL, bore, fault, graded, immersed, parameter, plug, required, share, terminal, wet};
use crate::assembly::Assembly;
use crate::laws::liquid::Pump;
use circuit::{Caution, KindSpec, Method, RepairSpec, Spread, Supplies, Symbol};
use quantity::Dimension;

pub(crate) struct ElectricFuelPump;

const INLET: usize = 0;
const OUTLET: usize = 1;
const PLUS: usize = 2;
const MINUS: usize = 3;

/// Share of the motor's torque at its working point that its own friction takes, half of it growing with speed. From memory.
const FRICTION: f64 = 0.25;
/// Opening of the inner relief valve, and of the strainer while clean, m. From memory: both hardly take any pressure.
const RELIEF: f64 = 3.0e-3;
const STRAINER: f64 = 8.0e-3;
/// Angle of a turn in a second: speed is not asked for, since only its product with displacement shows.
const TURNS: f64 = 600.0;

static SPEC: KindSpec = KindSpec {
    name: "electric fuel pump",
    what: "A motor and a pump of fixed displacement in one housing, with strainer, check valve and relief valve.",
    ports: &[
        immersed("inlet", "suction side, before the strainer"),
        wet("outlet", "pressure side"),
        plug("plus", "fed side of the motor"),
        terminal("minus", "returning side of the motor"),
    ],
    parameters: &[
        required(
            "pressure",
            "above its inlet in normal work",
            &[Dimension::Pressure],
            Spread::Relative(0.0),
            (10e3, 2.0e6),
        ),
        required(
            "flow",
            "at that pressure and voltage",
            &[Dimension::VolumeFlow],
            Spread::Relative(0.08),
            (1e-6, 1e-3),
        ),
        parameter(
            "voltage",
            "between its terminals in normal work",
            &[Dimension::Voltage],
            13.0,
            Spread::Absolute(0.0),
            (3.0, 60.0),
        ),
        required(
            "current",
            "at that pressure and voltage",
            &[Dimension::Current],
            Spread::Relative(0.08),
            (0.2, 60.0),
        ),
        parameter(
            "resistance",
            "of winding and brushes",
            &[Dimension::Resistance],
            0.6,
            Spread::Relative(0.1),
            (0.02, 10.0),
        ),
        parameter(
            "slip",
            "share of the swept volume that slips back inside in normal work",
            &[Dimension::Ratio],
            0.15,
            Spread::Absolute(0.04),
            (0.01, 0.6),
        ),
        parameter(
            "relief",
            "pressure above its inlet at which its own relief valve opens",
            &[Dimension::Pressure],
            750e3,
            Spread::Relative(0.08),
            (20e3, 3.0e6),
        ),
    ],
    faults: &[
        graded(
            "worn",
            "rotor and housing worn: more slips back",
            40.0,
            0.02,
            share(
                "of the swept volume slips back at working pressure",
                0.45,
                0.7,
                0.95,
            ),
        ),
        graded(
            "worn brushes",
            "short or burnt brushes, a dirty commutator: added resistance",
            20.0,
            0.02,
            share("of its own resistance", 0.6, 2.0, 8.0),
        ),
        fault(
            "dead spot",
            "an open winding or broken lead: no current",
            12.0,
            0.02,
        ),
        fault(
            "seized",
            "dirt or rust holds the rotor: it draws much and does not turn",
            8.0,
            0.02,
        ),
        graded(
            "strainer plugged",
            "dirt, wax or bacteria before the pump: it draws too little and makes a noise",
            14.0,
            0.1,
            bore("opening left", 0.8e-3, 1.6e-3, 2.4e-3),
        ),
        graded(
            "relief valve open",
            "dirt keeps the inner relief valve off its seat",
            6.0,
            0.02,
            bore("opening left", 0.5e-3, 0.9e-3, 1.6e-3),
        ),
    ],
    weight: 22.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Amps,
        Method::Ohms,
        Method::Jumper,
        Method::Swap,
    ],
    command: None,
    supplies: Some(Supplies::LiquidPressure),
    symbol: Symbol::LiquidPump,
    cautions: &[FUEL, LEAD],
    repair: RepairSpec {
        what: "renew the fuel pump",
        minutes: 90.0,
        price: 190.0,
        bad_new: 0.02,
    },
    source: "shares from memory: worn 45, brushes and commutator 25, check valve 15 (left out), seized 10 of 100, with strainer and \
             relief valve added; 3.5 to 6 bar, 90 to 200 L/h, 3 to 10 A: common practice, no source",
};

const LEAD: Caution = Caution {
    hazard: "a direct 12 V lead burns wires; a spark beside open fuel burns more",
    precaution: "fuse the lead (15 to 20 A for a pump), connect it away from the tank, close the switch last",
    running_only: false,
};

impl Kind for ElectricFuelPump {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [pressure, flow, voltage, current, resistance, slip, relief] = part.values();
        let (inlet, outlet) = (part.wet(INLET), part.wet(OUTLET));
        let electric = (part.electric(PLUS), part.electric(MINUS));
        // In normal work the winding takes at most nine tenths of the voltage; more is a slip of the pen.
        let constant = (voltage - current * resistance).max(0.1 * voltage) / TURNS;
        let torque = constant * current;
        let law = Pump {
            displacement: flow / (1.0 - slip) / TURNS,
            leak: flow / (1.0 - slip) * part.fault("worn").map_or(slip, |worn| worn.max(slip)) / pressure,
            resistance: resistance * (1.0 + part.fault("worn brushes").unwrap_or(0.0)),
            constant,
            // What the liquid takes is given; what is left of the motor's torque is friction, but never less than its share.
            load: 0.5 * friction(torque, flow / (1.0 - slip) / TURNS * pressure),
            drag: 0.5 * friction(torque, flow / (1.0 - slip) / TURNS * pressure) / TURNS,
        };
        if part.has("seized") {
            part.resistor(electric.0, electric.1, law.resistance);
        }
        let strained = part.inner_wet();
        let bore = part.fault("strainer plugged").unwrap_or(STRAINER);
        part.wet_opening(inlet, strained, bore);
        part.wet_valve(outlet, strained, relief, RELIEF);
        if let Some(bore) = part.fault("relief valve open") {
            part.wet_opening(outlet, strained, bore);
        }
        let turns = !part.has("seized") && !part.has("dead spot");
        part.pump((strained, outlet), electric, law, turns);
    }
}

/// What is left of a motor's torque beside what the liquid takes.
fn friction(torque: f64, liquid: f64) -> f64 {
    (torque - liquid).max(FRICTION * torque)
}
