//! A turbocharger: exhaust drives a turbine, which drives a compressor.
//!
//! Bearings wear and seize, wheels are struck, a worn flap no longer shuts. Nine in ten that are renewed were not at fault: a
//! leak behind the compressor, a signal lost to the actuator or a plugged air filter looks the same, so it is the last part to
//! condemn. Left out: surge, the time it takes to spin up, oil that it loses, and a boost that exhaust back-pressure changes.

use super::Kind;
use super::spec::{EXHAUST_GAS, HOT, LOADED, bare, choice, fault, graded, parameter, rod, share, wide};
use crate::assembly::Assembly;
use crate::charger::{Acts, Charger};
use crate::laws::turbo::Compressor;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;
use std::f64::consts::FRAC_PI_4;

pub(crate) struct Turbocharger;

const INLET: usize = 0;
const OUTLET: usize = 1;
const LEVER: usize = 2;

static SPEC: KindSpec = KindSpec {
    name: "turbocharger",
    what: "Exhaust drives its turbine, the turbine its compressor. A flap beside the turbine, or vanes ahead of it, set how hard.",
    ports: &[
        wide("inlet", "compressor inlet"),
        wide("outlet", "compressor outlet"),
        rod("lever", "of the flap or the vanes"),
    ],
    parameters: &[
        parameter(
            "nozzle",
            "bore that the turbine equals for exhaust, with vanes: open",
            &[Dimension::Length],
            26.0e-3,
            Spread::Relative(0.01),
            (3.0e-3, 0.2),
        ),
        parameter(
            "gate",
            "bore of the flap's opening, with vanes: what the turbine equals when they are shut",
            &[Dimension::Length],
            24.0e-3,
            Spread::Relative(0.02),
            (1.0e-3, 0.2),
        ),
        parameter(
            "stroke",
            "travel of the lever from one end to the other",
            &[Dimension::Length],
            10.0e-3,
            Spread::Relative(0.03),
            (1.0e-3, 0.1),
        ),
        choice(
            "steered-by",
            "what the lever's travel does",
            &[
                "a flap that it opens",
                "a flap that it shuts",
                "vanes that it narrows",
            ],
        ),
        parameter(
            "compressor",
            "efficiency of the compressor; maps of the class peak at 70 to 78 %, from memory",
            &[Dimension::Ratio],
            0.70,
            Spread::Absolute(0.015),
            (0.2, 0.9),
        ),
        parameter(
            "turbine",
            "efficiency of turbine and shaft; 60 to 72 % in the class, from memory",
            &[Dimension::Ratio],
            0.66,
            Spread::Absolute(0.015),
            (0.2, 0.9),
        ),
        bare(
            "best",
            "pressure ratio up to which the compressor keeps its efficiency",
            2.0,
            0.0,
            (1.1, 5.0),
        ),
        bare(
            "ceiling",
            "pressure ratio at which nothing is left of it",
            3.4,
            0.0,
            (1.2, 8.0),
        ),
    ],
    faults: &[
        fault("seized", "the shaft does not turn", 12.0, 0.5),
        graded(
            "drags",
            "struck or worn wheels, coked or worn bearings: it gives less than it should",
            38.0,
            0.3,
            share("efficiency left", 0.45, 0.7, 0.88),
        ),
        graded(
            "flap leaks",
            "the flap or its seat is burnt or bent, the vanes are worn: exhaust goes by when it should not",
            50.0,
            0.15,
            share("share that stays open", 0.05, 0.2, 0.6),
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Turbocharger,
    cautions: &[HOT, EXHAUST_GAS, LOADED],
    repair: RepairSpec {
        what: "renew the turbocharger; find out what killed it first: oil, a thing drawn in, heat",
        minutes: 300.0,
        price: 900.0,
        bad_new: 0.025,
    },
    source: "shares from memory; true defects of new turbochargers 2 to 3 % (a seller's warranty page)",
};

impl Kind for Turbocharger {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [nozzle, gate, stroke, steered, compressor, turbine, best, ceiling] = part.values();
        let (inlet, outlet, rod) = (part.air(INLET), part.air(OUTLET), part.rod(LEVER));
        let area = |bore: f64| FRAC_PI_4 * bore * bore;
        let left = if part.has("seized") {
            0.0
        } else {
            part.fault("drags").unwrap_or(1.0)
        };
        let charger = Charger {
            rod,
            travel: stroke,
            acts: match steered {
                x if x < 0.5 => Acts::OpensFlap,
                x if x < 1.5 => Acts::ShutsFlap,
                _ => Acts::NarrowsVanes,
            },
            nozzle: area(nozzle),
            gate: area(gate),
            ajar: part.fault("flap leaks").unwrap_or(0.0),
            compressor: Compressor {
                efficiency: compressor,
                best,
                ceiling: ceiling.max(best + 0.1),
            },
            turbine: turbine * left,
        };
        part.charger(inlet, outlet, charger);
    }
}
