//! The transistors with which a control module switches a load: to ground or to the supply.

use super::Kind;
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use circuit::{CommandSpec, FaultSpec, KindSpec, ParameterSpec, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// Switches the load's returning side to ground.
pub(crate) struct LowSide;
/// Switches the load's fed side to the supply.
pub(crate) struct HighSide;

const ON: ParameterSpec = parameter(
    "on-resistance",
    "while it conducts",
    &[Dimension::Resistance],
    0.15,
    Spread::Relative(0.4),
    (1e-3, 10.0),
);
const FAULTS: &[FaultSpec] = &[
    fault("never switches", "the output does not conduct", 55.0, 0.01),
    fault(
        "always on",
        "the output conducts whatever is commanded",
        25.0,
        0.01,
    ),
    graded(
        "weak",
        "the output conducts badly",
        20.0,
        0.01,
        ohms("added resistance", 0.5, 4.0, 30.0),
    ),
];
const REPAIR: RepairSpec = RepairSpec {
    what: "renew or repair the control module",
    minutes: 60.0,
    price: 600.0,
    bad_new: 0.02,
};
const SOURCE: &str = "a module is the cause in at most 2 of 100 cases, half of them outputs: from memory; resistances from memory";

static LOW: KindSpec = KindSpec {
    name: "low-side driver",
    what: "An output of a control module that joins its pin to ground for the commanded share of time.",
    ports: &[
        plug("pin", "to the load"),
        terminal("ground", "the module's ground"),
    ],
    parameters: &[ON],
    faults: FAULTS,
    weight: 0.8,
    checks: &[],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::LowSideDriver,
    cautions: &[PROBING],
    repair: REPAIR,
    source: SOURCE,
};

static HIGH: KindSpec = KindSpec {
    name: "high-side driver",
    what: "An output of a control module that joins its pin to the supply for the commanded share of time.",
    ports: &[
        terminal("supply", "the module's supply"),
        plug("pin", "to the load"),
    ],
    parameters: &[ON],
    faults: FAULTS,
    weight: 0.8,
    checks: &[],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::HighSideDriver,
    cautions: &[PROBING],
    repair: REPAIR,
    source: SOURCE,
};

fn switch(part: &mut Assembly) {
    let [on] = part.values();
    let (a, b) = (part.electric(0), part.electric(1));
    let ohms = on + part.fault("weak").unwrap_or(0.0);
    if part.has("always on") {
        part.resistor(a, b, ohms);
    } else if !part.has("never switches") {
        let duty = part.duty();
        part.driver(a, b, ohms, duty);
    }
}

impl Kind for LowSide {
    fn spec(&self) -> &'static KindSpec {
        &LOW
    }

    fn assemble(&self, part: &mut Assembly) {
        switch(part);
    }
}

impl Kind for HighSide {
    fn spec(&self) -> &'static KindSpec {
        &HIGH
    }

    fn assemble(&self, part: &mut Assembly) {
        switch(part);
    }
}
