//! A relay with its socket: a small current closes the contact for a large one. Terminal numbers: DIN 72552.
//!
//! Its contact burns or welds, its coil breaks, the socket's terminals spread. A click clears the coil and not the
//! contact, and a plug behind a burnt contact shows the full voltage with the load unplugged, so the motor is blamed; a
//! welded contact is easily taken for a command that never ends. Left out: heating, and the diode or resistor across
//! the coil.

use super::Kind;
use super::spec::{
    FUSED_LEAD, PROBING, at_times, fault, graded, ohms, optional_terminal, parameter, plug, terminal,
};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Shows, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Relay;

const COIL_FED: usize = 0;
const COIL_RETURN: usize = 1;
const COMMON: usize = 2;
const MAKE: usize = 3;
const BREAK: usize = 4;

static SPEC: KindSpec = KindSpec {
    name: "relay",
    what: "A small coil current closes a contact for a large one.",
    ports: &[
        plug("86", "coil, fed side"),
        terminal("85", "coil, returning side"),
        plug("30", "contact, fed side"),
        terminal("87", "contact that closes, to the load"),
        optional_terminal("87a", "contact that opens"),
    ],
    parameters: &[
        parameter(
            "coil",
            "resistance of the coil",
            &[Dimension::Resistance],
            85.0,
            Spread::Relative(0.1),
            (5.0, 2000.0),
        ),
        parameter(
            "pull-in",
            "voltage across the coil that pulls it in, 60 to 70 % of 12 V",
            &[Dimension::Voltage],
            7.6,
            Spread::Relative(0.08),
            (1.0, 48.0),
        ),
        parameter(
            "drop-out",
            "voltage across the coil that lets it go, 10 to 30 % of 12 V",
            &[Dimension::Voltage],
            2.4,
            Spread::Relative(0.4),
            (0.1, 40.0),
        ),
        parameter(
            "contact",
            "resistance of a sound contact with its socket",
            &[Dimension::Resistance],
            3e-3,
            Spread::Relative(0.5),
            (0.1e-3, 1.0),
        ),
    ],
    faults: &[
        graded(
            "contact burnt",
            "pitted or carboned: the closed contact drops voltage",
            42.0,
            0.1,
            ohms("added resistance", 0.02, 0.3, 5.0),
        ),
        graded(
            "socket loose",
            "spread and heated terminal at 30: it drops voltage",
            27.0,
            0.5,
            ohms("added resistance", 0.03, 0.3, 5.0),
        ),
        fault("coil open", "the winding is broken", 17.0, 0.05),
        fault("welded", "the contact stays closed", 13.0, 0.05),
        at_times(
            "fails at times",
            "a pitted contact or a cracked joint inside: open when hot, loaded or shaken",
            10.0,
            0.05,
            Shows {
                anyway: 0.1,
                heat: 0.4,
                shaking: 0.3,
                wet: 0.0,
                load: 0.25,
                moved: 0.4,
            },
        ),
    ],
    weight: 8.0,
    checks: &[
        Method::Click,
        Method::Look,
        Method::Drop,
        Method::Ohms,
        Method::Jumper,
        Method::Swap,
        Method::Wiggle,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::Relay,
    cautions: &[FUSED_LEAD, PROBING],
    repair: RepairSpec {
        what: "renew the relay",
        minutes: 5.0,
        price: 15.0,
        bad_new: 0.01,
    },
    source: "shares from memory: contact 40, socket 25, coil 15, welded 12 of 100; coils 60 to 120 ohm, pull-in 60 to 70 %, drop-out 10 to 30 %",
};

impl Kind for Relay {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [coil, pull_in, drop_out, contact] = part.values();
        let (fed, back) = (part.electric(COIL_FED), part.electric(COIL_RETURN));
        let (common, make) = (part.electric(COMMON), part.electric(MAKE));
        let stuck = part.has("welded").then_some(true);
        let ohms = if part.has("coil open") { OPEN_COIL } else { coil };
        let armature = part.coil(
            fed,
            back,
            ohms,
            pull_in / coil,
            drop_out.min(0.9 * pull_in) / coil,
            stuck,
        );
        let socket = part.fault("socket loose").unwrap_or(0.0);
        let burnt = part.fault("contact burnt").unwrap_or(0.0);
        if !part.has("fails at times") {
            part.contact(common, make, contact + socket + burnt, armature, false);
        }
        if part.joined(BREAK) {
            let rest = part.electric(BREAK);
            part.contact(common, rest, contact + socket, armature, true);
        }
    }

    fn power(&self) -> Option<(usize, usize)> {
        Some((COMMON, MAKE))
    }

    fn coil(&self) -> Option<(usize, usize)> {
        Some((COIL_FED, COIL_RETURN))
    }
}

/// A broken winding still leaks a little through its insulation, ohm.
pub(super) const OPEN_COIL: f64 = 1e8;
