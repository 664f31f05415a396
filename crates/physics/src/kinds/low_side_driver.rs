//! An output of a control module that joins its pin to ground: the load's other side is always fed.
//!
//! It fails open, conducts always, or conducts badly. A dead output is easily taken for a broken wire to the load, one
//! that is always on for a wire chafed to ground: unplugged at the module, the wire tells. A module is seldom the
//! cause, so its feed, ground and wires come first. Left out: overload protection, which looks like a dead output.

use super::Kind;
use super::driver::{FAULTS, ON, REPAIR, SOURCE, switch};
use super::spec::{PROBING, plug, terminal};
use crate::assembly::Assembly;
use circuit::{CommandSpec, KindSpec, Method, Symbol};

/// Switches the load's returning side to ground.
pub(crate) struct LowSideDriver;

static SPEC: KindSpec = KindSpec {
    name: "low-side driver",
    what: "An output of a control module that joins its pin to ground for the commanded share of time.",
    ports: &[
        plug("pin", "to the load"),
        terminal("ground", "the module's ground"),
    ],
    parameters: &[ON],
    faults: FAULTS,
    weight: 0.8,
    checks: &[Method::Duty],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::LowSideDriver,
    cautions: &[PROBING],
    repair: REPAIR,
    source: SOURCE,
};

impl Kind for LowSideDriver {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        switch(part);
    }
}
