//! An output of a control module that joins its pin to the supply: the load's other side is always grounded.
//!
//! It fails open, conducts always, or conducts badly. A dead output is easily taken for a blown fuse or a broken wire
//! to the load, one that is always on for a stuck relay. A module is seldom the cause, so its feed, ground and wires
//! come first. Left out: overload protection, which looks like a dead output, and a wire that touches the supply.

use super::Kind;
use super::driver::{FAULTS, ON, REPAIR, SOURCE, switch};
use super::spec::{PROBING, plug, terminal};
use crate::assembly::Assembly;
use circuit::{CommandSpec, KindSpec, Method, Symbol};

/// Switches the load's fed side to the supply.
pub(crate) struct HighSideDriver;

static SPEC: KindSpec = KindSpec {
    name: "high-side driver",
    what: "An output of a control module that joins its pin to the supply for the commanded share of time.",
    ports: &[
        terminal("supply", "the module's supply"),
        plug("pin", "to the load"),
    ],
    parameters: &[ON],
    faults: FAULTS,
    weight: 0.8,
    checks: &[Method::Duty],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::HighSideDriver,
    cautions: &[PROBING],
    repair: REPAIR,
    source: SOURCE,
};

impl Kind for HighSideDriver {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        switch(part);
    }
}
