//! The engine as its air sees it: cylinders that draw charge and give exhaust.
//!
//! It draws a volume, so how much air that is follows from the pressure ahead of it. A cracked exhaust manifold or a blown gasket
//! robs the turbine and is easily taken for a tired turbocharger; soot beside the crack and a ticking that goes when it is hot
//! tell. Left out: pulses, what valve timing and exhaust back-pressure change, and power.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, HOT, graded, parameter, share, wide};
use crate::assembly::Assembly;
use crate::charger::Exhaust;
use crate::network::AirElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct EngineCylinders;

static SPEC: KindSpec = KindSpec {
    name: "engine cylinders",
    what: "Draw charge from the intake manifold and give exhaust to the turbine.",
    ports: &[wide("intake", "at the intake manifold")],
    parameters: &[
        parameter(
            "displacement",
            "of all cylinders",
            &[Dimension::Volume],
            1.6e-3,
            Spread::Relative(0.0),
            (0.2e-3, 20e-3),
        ),
        parameter(
            "filling",
            "share of it that they draw; 0.85 to 0.95 at the torque's peak, from memory",
            &[Dimension::Ratio],
            0.9,
            Spread::Absolute(0.02),
            (0.3, 1.2),
        ),
        parameter(
            "fuel",
            "fuel for the air, by mass; petrol at full load 1 to 12.5, diesel 1 to 20, from memory",
            &[Dimension::Ratio],
            0.08,
            Spread::Relative(0.03),
            (0.0, 0.2),
        ),
        parameter(
            "exhaust",
            "temperature ahead of the turbine at full load; petrol 800 to 950 °C, diesel 600 to 750 °C, from memory",
            &[Dimension::Temperature],
            1100.0,
            Spread::Absolute(25.0),
            (400.0, 1400.0),
        ),
        parameter(
            "idle-exhaust",
            "the same without load, from memory",
            &[Dimension::Temperature],
            550.0,
            Spread::Absolute(30.0),
            (300.0, 1200.0),
        ),
    ],
    faults: &[
        graded(
            "exhaust leaks",
            "cracked manifold or blown gasket ahead of the turbine",
            70.0,
            0.6,
            share("share that is lost", 0.03, 0.1, 0.3),
        ),
        graded(
            "worn",
            "worn or burnt: they draw less than they should",
            30.0,
            0.05,
            share("filling left", 0.6, 0.8, 0.93),
        ),
    ],
    weight: 2.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Engine,
    cautions: &[HOT, BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "seal the exhaust ahead of the turbine; look at compression where it is the engine itself",
        minutes: 150.0,
        price: 60.0,
        bad_new: 0.0,
    },
    source: "from memory",
};

impl Kind for EngineCylinders {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [displacement, filling, fuel, exhaust, idle] = part.values();
        let node = part.air(0);
        let filling = filling * part.fault("worn").unwrap_or(1.0);
        let kept = 1.0 - part.fault("exhaust leaks").unwrap_or(0.0);
        // Four strokes: one filling in two turns.
        part.push_air(AirElement::Cylinders {
            node,
            volume: 0.5 * filling * displacement * part.engine(),
        });
        let load = part.load();
        part.exhaust(Exhaust {
            for_air: kept * (1.0 + fuel),
            temperature: idle + load * (exhaust - idle),
        });
    }
}
