//! A battery, with the charging system behind it where a condition sets the supply.
//!
//! It ages to a high inner resistance, is left discharged, or its clamps corrode. An aged one can read full at rest and
//! give way only under load; a bad clamp is easily taken for a weak battery or a bad starter, until one probe sits on
//! the post and the other on the clamp. Left out: charge over time, and cold.

use super::Kind;
use super::spec::{BATTERY, SHORT_CIRCUIT, graded, milliohms, parameter, terminal, volts};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Supplies, Symbol};
use quantity::Dimension;

pub(crate) struct Battery;

const POSITIVE: usize = 0;
const NEGATIVE: usize = 1;

/// What a battery that is nearly full sets against being charged, ohm: some 10 A at 14.4 V. From memory.
const CHARGED: f64 = 0.18;

static SPEC: KindSpec = KindSpec {
    name: "battery",
    what: "Feeds the circuit. Where a condition sets the supply, the charging system holds that voltage instead of the battery's own. All voltages count from its negative terminal.",
    ports: &[
        terminal("positive", "positive terminal"),
        terminal("negative", "negative terminal: the reference of all voltages"),
    ],
    parameters: &[
        parameter(
            "voltage",
            "at rest, charged, nothing drawn",
            &[Dimension::Voltage],
            12.6,
            Spread::Absolute(0.15),
            (4.0, 60.0),
        ),
        parameter(
            "inner-resistance",
            "resistance inside, 5 to 8 mohm for a car's",
            &[Dimension::Resistance],
            6e-3,
            Spread::Relative(0.2),
            (0.5e-3, 1.0),
        ),
    ],
    faults: &[
        graded(
            "weak",
            "aged or sulphated: its inner resistance is high",
            50.0,
            0.1,
            milliohms("inner resistance", 10e-3, 16e-3, 40e-3),
        ),
        graded(
            "discharged",
            "left on or never charged: its voltage is low",
            30.0,
            0.1,
            volts("voltage at rest", 10.5, 11.7, 12.1),
        ),
        graded(
            "terminal corroded",
            "a clamp is loose or white with corrosion",
            20.0,
            0.6,
            milliohms("added resistance", 3e-3, 12e-3, 80e-3),
        ),
    ],
    weight: 12.0,
    checks: &[Method::Look, Method::Amps],
    command: None,
    supplies: Some(Supplies::Current),
    symbol: Symbol::Battery,
    cautions: &[BATTERY, SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "renew the battery",
        minutes: 15.0,
        price: 120.0,
        bad_new: 0.01,
    },
    source: "common practice, no source: 12.4 V and more at rest; 5 to 8 mohm and all shares from memory",
};

impl Kind for Battery {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [voltage, inner] = part.values();
        let (positive, negative) = (part.electric(POSITIVE), part.electric(NEGATIVE));
        let own = part.fault("discharged").map_or(voltage, |left| left.min(voltage));
        let emf = if part.powered() {
            part.supply().unwrap_or(own)
        } else {
            0.0
        };
        let inner = part.fault("weak").map_or(inner, |ohms| ohms.max(inner));
        let clamp = part.fault("terminal corroded").unwrap_or(0.0);
        let ohms = inner + clamp;
        // Where no condition sets the supply an alternator may charge it.
        if part.powered() && part.supply().is_none() && part.engine() > 0.0 {
            part.push_electric(ElectricElement::Accumulator {
                plus: positive,
                minus: negative,
                emf,
                gives: 1.0 / ohms,
                takes: 1.0 / (CHARGED.max(inner) + clamp),
            });
            return;
        }
        part.push_electric(ElectricElement::Source {
            plus: positive,
            minus: negative,
            emf,
            conductance: 1.0 / ohms,
        });
    }
}
