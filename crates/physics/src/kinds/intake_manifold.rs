//! The intake manifold of a petrol engine as a source of vacuum, taken at a nipple behind the throttle.
//!
//! A worn engine, late timing or air that it draws elsewhere leave it weak, which is easily taken for a leak in whatever hangs
//! on it; the nipple plugs with carbon. Its absolute pressure hardly changes with height, so its vacuum shrinks by what the
//! barometer loses. Left out: load. Under it the vacuum goes and the check valve keeps what is behind it for a while.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, graded, parameter, pressure};
use crate::assembly::Assembly;
use crate::network::AirElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Supplies, Symbol};
use quantity::Dimension;

pub(crate) struct IntakeManifold;

static SPEC: KindSpec = KindSpec {
    name: "intake manifold",
    what: "Draws air through a nipple behind the throttle while the engine idles or turns without load.",
    ports: &[air("nipple", "where it is tapped")],
    parameters: &[
        parameter(
            "absolute",
            "absolute pressure at idle; 16 to 21 inHg below a barometer at sea level, from memory",
            &[Dimension::Pressure],
            38.0e3,
            Spread::Relative(0.1),
            (10.0e3, 90.0e3),
        ),
        parameter(
            "bore",
            "bore of the nipple",
            &[Dimension::Length],
            5e-3,
            Spread::Relative(0.05),
            (0.5e-3, 30e-3),
        ),
    ],
    faults: &[
        graded(
            "weak vacuum",
            "wear, late timing or air drawn elsewhere: the engine makes less vacuum",
            60.0,
            0.1,
            pressure("pressure added", 8.0e3, 18.0e3, 35.0e3),
        ),
        graded(
            "nipple plugged",
            "carbon or oil closes the nipple",
            40.0,
            0.4,
            bore("opening left", 0.05e-3, 0.25e-3, 0.6e-3),
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look],
    command: None,
    supplies: Some(Supplies::Vacuum),
    symbol: Symbol::AirSpace,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "clean the nipple; look for why the engine makes little vacuum",
        minutes: 45.0,
        price: 0.0,
        bad_new: 0.0,
    },
    source: "from memory",
};

impl Kind for IntakeManifold {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [absolute, bore] = part.values();
        let ambient = part.ambient().pressure;
        let node = part.air(0);
        let added = part.fault("weak vacuum").unwrap_or(0.0);
        let bore = part.fault("nipple plugged").map_or(bore, |left| left.min(bore));
        // Standing, the manifold is as full of air as everything around it.
        let inside = if part.engine() > 0.0 {
            (absolute + added).min(ambient)
        } else {
            ambient
        };
        // The engine swallows far more than comes through a nipple, so only the nipple counts.
        part.push_air(AirElement::Pump {
            node,
            speed: part.conductance(bore),
            ultimate: inside,
        });
    }
}
