//! One way through a plug and its socket.
//!
//! Contacts fret, spread or turn green, pins slide back, water bridges them. Measured without load the poor contact
//! shows the full voltage, so the load or the module behind it is blamed; the drop across the closed plug tells. One
//! that comes and goes reads good when nothing moves it: move it and watch. Left out: bridges to a neighbouring pin.

use super::Kind;
use super::conductor::{Faults, carry};
use super::spec::{PROBING, at_times, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Shows, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Connector;

static SPEC: KindSpec = KindSpec {
    name: "connector",
    what: "One pin of a plug and its socket.",
    ports: &[
        plug("from", "half towards the source"),
        terminal("to", "half towards the load"),
    ],
    parameters: &[parameter(
        "contact",
        "resistance when sound",
        &[Dimension::Resistance],
        5e-3,
        Spread::Relative(0.6),
        (0.05e-3, 1.0),
    )],
    faults: &[
        graded(
            "high resistance",
            "fretted, green or spread: it drops voltage",
            40.0,
            0.4,
            ohms("added resistance", 0.05, 0.7, 10.0),
        ),
        fault(
            "pin pushed back",
            "the pin slid out of its place: no contact",
            22.0,
            0.5,
        ),
        fault("corroded open", "nothing left of the contact", 18.0, 0.7),
        graded(
            "leaks to ground",
            "water or a bent pin bridges it to ground",
            5.0,
            0.4,
            ohms("resistance to ground", 1.0, 100.0, 5000.0),
        ),
        at_times(
            "comes and goes",
            "spread or fretted: the contact opens when shaken, wet or hot",
            15.0,
            0.3,
            Shows {
                anyway: 0.08,
                heat: 0.15,
                shaking: 0.5,
                wet: 0.4,
                load: 0.1,
                moved: 0.7,
            },
        ),
    ],
    weight: 5.0,
    checks: &[Method::Look, Method::Drop, Method::Wiggle],
    command: None,
    supplies: None,
    symbol: Symbol::Connector,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "clean, re-pin or renew the connector",
        minutes: 20.0,
        price: 8.0,
        bad_new: 0.005,
    },
    source: "shares from memory: high resistance 40 and spread 25 with those that come and go among them, pushed back 15, corroded open 15, short 5 of 100; sizes 0.05 to 10 ohm from memory",
};

impl Kind for Connector {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [contact] = part.values();
        let faults = Faults {
            open: &["pin pushed back", "corroded open", "comes and goes"],
            series: &["high resistance"],
            to_ground: &["leaks to ground"],
        };
        carry(part, contact, faults);
    }
}
