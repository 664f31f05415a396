//! A space with air at a known pressure: the charge pipe a boost sensor sits on.
//!
//! Its tap plugs with soot, oil or ice. What hangs on it is then right with the engine standing and lags or stays low
//! when driving, which is easily taken for a drifted sensor or a real lack of pressure. Left out: what makes the
//! pressure, leaks of the pipe, and the lag itself, since states are steady.

use super::Kind;
use super::spec::{air, bore, graded, parameter};
use crate::assembly::{AMBIENT, Assembly};
use crate::network::AirElement;
use crate::network::Opening;
use circuit::{KindSpec, Method, RepairSpec, Spread, Supplies, Symbol};
use quantity::Dimension;

pub(crate) struct AirSpace;

static SPEC: KindSpec = KindSpec {
    name: "air space",
    what: "Air at the ambient pressure while the engine stands, and at a known pressure above it while it runs.",
    ports: &[air("tap", "where it is tapped")],
    parameters: &[parameter(
        "running",
        "pressure above ambient with the engine running",
        &[Dimension::Pressure],
        2.0e3,
        Spread::Absolute(2.0e3),
        (-9.0e4, 4.0e5),
    )],
    faults: &[graded(
        "tap plugged",
        "soot, oil or ice closes the tap",
        100.0,
        0.2,
        bore("opening left", 0.02e-3, 0.1e-3, 0.3e-3),
    )],
    weight: 1.0,
    checks: &[Method::Look],
    command: None,
    supplies: Some(Supplies::Pressure),
    symbol: Symbol::AirSpace,
    cautions: &[],
    repair: RepairSpec {
        what: "clean the tap",
        minutes: 12.0,
        price: 0.0,
        bad_new: 0.0,
    },
    source: "from memory",
};

impl Kind for AirSpace {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [running] = part.values();
        let tap = part.air(0);
        let above = if part.engine() > 0.0 { running } else { 0.0 };
        let opening = part.conductance(part.fault("tap plugged").unwrap_or(4e-3));
        if above == 0.0 {
            part.push_air(AirElement::Restriction {
                a: AMBIENT,
                b: tap,
                conductance: opening,
                opening: Opening::Fixed(1.0),
            });
        } else {
            // A strong source at its pressure: it keeps the tap there whatever a gauge or sensor takes.
            let pressure = part.ambient().pressure + above;
            part.push_air(AirElement::Pump {
                node: tap,
                speed: opening,
                ultimate: pressure,
            });
        }
    }
}
