//! What takes the fuel: the inlet of a high-pressure pump, or injectors on their rail, as a flow that grows with engine speed.
//!
//! It takes more than it should where an injector leaks back or a seal is gone: the supply is then sound and yet short, which is
//! easily taken for a worn lift pump; only what comes back tells. Left out: the high-pressure side, load, and pulses.

use super::Kind;
use super::spec::{FUEL, HIGH_PRESSURE, graded, parameter, required, share, wet};
use crate::assembly::Assembly;
use crate::liquid_net::LiquidElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct FuelConsumer;

static SPEC: KindSpec = KindSpec {
    name: "fuel consumer",
    what: "Takes fuel as the engine turns: the inlet of a high-pressure pump, or injectors.",
    ports: &[wet("inlet", "where it is fed")],
    parameters: &[
        required(
            "draw",
            "volume per turn of the engine",
            &[Dimension::SweptVolume],
            Spread::Relative(0.1),
            (1e-9, 1e-4),
        ),
        parameter(
            "needs",
            "pressure above ambient below which it takes less",
            &[Dimension::Pressure],
            50e3,
            Spread::Relative(0.2),
            (1e3, 1e6),
        ),
    ],
    faults: &[graded(
        "takes too much",
        "an injector or seal lets fuel back or out",
        100.0,
        0.15,
        share("of its normal draw", 1.5, 2.5, 4.5),
    )],
    weight: 5.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::LiquidLoad,
    cautions: &[FUEL, HIGH_PRESSURE],
    repair: RepairSpec {
        what: "find and renew what leaks on the high-pressure side",
        minutes: 120.0,
        price: 220.0,
        bad_new: 0.02,
    },
    source: "from memory",
};

impl Kind for FuelConsumer {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [draw, needs] = part.values();
        let wanted = draw * part.engine() * part.fault("takes too much").unwrap_or(1.0);
        let none = part.ambient().pressure;
        let node = part.wet(0);
        if wanted > 0.0 {
            part.push_liquid(LiquidElement::Draw {
                node,
                wanted,
                none,
                full: none + needs,
            });
        }
    }
}
