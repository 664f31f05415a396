//! A coil that pulls a plunger: a shut-off, lock or injector solenoid without air ports.
//!
//! The winding breaks, turns touch, or the plunger sticks. A right resistance clears the winding and not the plunger,
//! and a click does not clear what the plunger moves; a hot coil has some 4 % more for each 10 degrees and is easily
//! taken for a bad one. A winding that opens only when hot reads right when cold.
//! Left out: what the plunger does.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{FUSED_LEAD, at_times, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use crate::laws::electric::COPPER_RISE;
use circuit::{KindSpec, Method, RepairSpec, Shows, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct SolenoidCoil;

static SPEC: KindSpec = KindSpec {
    name: "solenoid coil",
    what: "A coil that pulls a plunger while current flows.",
    ports: &[plug("plus", "fed side"), terminal("minus", "returning side")],
    parameters: &[
        parameter(
            "coil",
            "resistance at 20 °C",
            &[Dimension::Resistance],
            14.6,
            Spread::Relative(0.08),
            (0.1, 2000.0),
        ),
        parameter(
            "temperature",
            "of the winding",
            &[Dimension::Temperature],
            293.15,
            Spread::Absolute(10.0),
            (223.0, 473.0),
        ),
        parameter(
            "pull-in",
            "current that moves the plunger",
            &[Dimension::Current],
            0.4,
            Spread::Relative(0.15),
            (0.01, 50.0),
        ),
    ],
    faults: &[
        fault("coil open", "the winding is broken", 25.0, 0.02),
        graded(
            "coil shorted",
            "turns touch: low resistance",
            15.0,
            0.05,
            ohms("resistance left", 0.5, 3.0, 8.0),
        ),
        fault("sticks", "the plunger does not move", 50.0, 0.02),
        at_times(
            "coil opens when hot",
            "the winding parts as it warms up and closes again when it cools",
            10.0,
            0.02,
            Shows {
                anyway: 0.02,
                heat: 0.85,
                shaking: 0.05,
                wet: 0.0,
                load: 0.1,
                moved: 0.02,
            },
        ),
    ],
    weight: 5.0,
    checks: &[
        Method::Click,
        Method::Look,
        Method::Drop,
        Method::Amps,
        Method::Ohms,
        Method::Jumper,
        Method::Swap,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::Coil,
    cautions: &[FUSED_LEAD],
    repair: RepairSpec {
        what: "renew the solenoid",
        minutes: 20.0,
        price: 60.0,
        bad_new: 0.02,
    },
    source: "coils of 11 to 18 ohm measured by owners; copper's 0.393 %/K (IEC 60028); shares from memory",
};

impl Kind for SolenoidCoil {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [coil, temperature, pull_in] = part.values();
        let (plus, minus) = (part.electric(0), part.electric(1));
        let sound = coil * (1.0 + COPPER_RISE * (temperature - 293.15));
        let ohms = part.fault("coil shorted").map_or(sound, |left| left.min(sound));
        let open = part.has("coil open") || part.has("coil opens when hot");
        let ohms = if open { OPEN_COIL } else { ohms };
        // The pull follows current times turns, so turns that are shorted out pull no more.
        let turns = if ohms < sound { ohms / sound } else { 1.0 };
        let stuck = part.has("sticks").then_some(false);
        part.coil(plus, minus, ohms, pull_in / turns, 0.5 * pull_in / turns, stuck);
    }
}
