//! What sort of trouble a code names, and which of several codes may be the root of the others.
//!
//! The order is common practice, no source: supply voltage before sensor reference before bus before circuit codes before
//! range and performance before the system. The lowest number is not the root. The families are from memory.

use std::collections::BTreeSet;

use super::TroubleCode;

/// What sort of trouble a code names, in the order in which roots are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nature {
    /// The vehicle's supply voltage.
    Supply,
    /// The reference voltage that several sensors share.
    Reference,
    /// Communication between modules.
    Bus,
    /// One circuit: open, low, high.
    Electrical,
    /// A signal or an actuator that works, but out of range or too slowly.
    Performance,
    /// What a system does: pressure, flow, speed.
    Physical,
    /// Not known here: a maker's own code, or a standard one outside the families.
    Unknown,
}

/// A code among others, with those of them that may be why it was set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ranked {
    /// The code.
    pub code: TroubleCode,
    /// What sort of trouble it names.
    pub nature: Nature,
    /// The others that may explain it, roots first; empty if it has to be looked at for itself.
    pub explained_by: Vec<TroubleCode>,
}

/// What a code belongs to; an actuator's or a sensor's trouble explains only its own system's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum System {
    Supply,
    Reference,
    Boost,
    Recirculation,
    Brake,
    Evaporation,
    FuelSupply,
    Glow,
    Starter,
    Fan,
    Manifold,
    Coolant,
    Rail,
    Exhaust,
    Oil,
    Refrigerant,
    Axle,
}

/// Of which digits to which, inclusive: system, nature, and whether it is a sensor fed by a shared reference.
type Family = (u16, u16, System, Nature, bool);

#[rustfmt::skip]
const FAMILIES: &[Family] = &[
    (0x0033, 0x0035, System::Boost, Nature::Electrical, false),
    (0x003A, 0x003A, System::Boost, Nature::Performance, false),
    (0x0045, 0x0045, System::Boost, Nature::Electrical, false),
    (0x0046, 0x0046, System::Boost, Nature::Performance, false),
    (0x0047, 0x0048, System::Boost, Nature::Electrical, false),
    (0x0049, 0x0049, System::Boost, Nature::Physical, false),
    (0x0087, 0x0087, System::FuelSupply, Nature::Physical, false),
    (0x008A, 0x008B, System::FuelSupply, Nature::Physical, false),
    (0x0106, 0x0106, System::Manifold, Nature::Performance, true),
    (0x0107, 0x0108, System::Manifold, Nature::Electrical, true),
    (0x0115, 0x0115, System::Coolant, Nature::Electrical, false),
    (0x0116, 0x0116, System::Coolant, Nature::Performance, false),
    (0x0117, 0x0119, System::Coolant, Nature::Electrical, false),
    (0x0125, 0x0125, System::Coolant, Nature::Physical, false),
    (0x0128, 0x0128, System::Coolant, Nature::Physical, false),
    (0x0148, 0x0148, System::FuelSupply, Nature::Physical, false),
    (0x0191, 0x0191, System::Rail, Nature::Performance, true),
    (0x0192, 0x0193, System::Rail, Nature::Electrical, true),
    (0x0217, 0x0217, System::Fan, Nature::Physical, false),
    (0x0230, 0x0232, System::FuelSupply, Nature::Electrical, false),
    (0x0234, 0x0234, System::Boost, Nature::Physical, false),
    (0x0235, 0x0235, System::Boost, Nature::Electrical, true),
    (0x0236, 0x0236, System::Boost, Nature::Performance, true),
    (0x0237, 0x0238, System::Boost, Nature::Electrical, true),
    (0x0243, 0x0243, System::Boost, Nature::Electrical, false),
    (0x0244, 0x0244, System::Boost, Nature::Performance, false),
    (0x0245, 0x0246, System::Boost, Nature::Electrical, false),
    (0x0299, 0x0299, System::Boost, Nature::Physical, false),
    (0x0380, 0x0384, System::Glow, Nature::Electrical, false),
    (0x0400, 0x0402, System::Recirculation, Nature::Physical, false),
    (0x0403, 0x0406, System::Recirculation, Nature::Electrical, false),
    (0x0440, 0x0442, System::Evaporation, Nature::Physical, false),
    (0x0443, 0x0450, System::Evaporation, Nature::Electrical, false),
    (0x0451, 0x0451, System::Evaporation, Nature::Performance, true),
    (0x0452, 0x0454, System::Evaporation, Nature::Electrical, true),
    (0x0455, 0x0457, System::Evaporation, Nature::Physical, false),
    (0x0458, 0x0459, System::Evaporation, Nature::Electrical, false),
    (0x0471, 0x0471, System::Exhaust, Nature::Performance, true),
    (0x0472, 0x0473, System::Exhaust, Nature::Electrical, true),
    (0x0480, 0x0482, System::Fan, Nature::Electrical, false),
    (0x0483, 0x0484, System::Fan, Nature::Physical, false),
    (0x0485, 0x0485, System::Fan, Nature::Electrical, false),
    (0x0489, 0x0490, System::Recirculation, Nature::Electrical, false),
    (0x0496, 0x0497, System::Evaporation, Nature::Physical, false),
    (0x0498, 0x0499, System::Evaporation, Nature::Electrical, false),
    (0x050F, 0x050F, System::Brake, Nature::Physical, false),
    (0x0512, 0x0512, System::Starter, Nature::Electrical, false),
    (0x0522, 0x0523, System::Oil, Nature::Electrical, true),
    (0x0532, 0x0533, System::Refrigerant, Nature::Electrical, true),
    (0x0555, 0x0555, System::Brake, Nature::Electrical, true),
    (0x0556, 0x0556, System::Brake, Nature::Performance, true),
    (0x0557, 0x0558, System::Brake, Nature::Electrical, true),
    (0x0560, 0x0563, System::Supply, Nature::Supply, false),
    (0x0615, 0x0617, System::Starter, Nature::Electrical, false),
    (0x0620, 0x0626, System::Supply, Nature::Electrical, false),
    (0x0627, 0x0629, System::FuelSupply, Nature::Electrical, false),
    (0x0641, 0x0643, System::Reference, Nature::Reference, false),
    (0x0651, 0x0653, System::Reference, Nature::Reference, false),
    (0x0670, 0x0678, System::Glow, Nature::Electrical, false),
    (0x0683, 0x0684, System::Glow, Nature::Electrical, false),
    (0x0691, 0x0694, System::Fan, Nature::Electrical, false),
    (0x0697, 0x0699, System::Reference, Nature::Reference, false),
    (0x0836, 0x0839, System::Axle, Nature::Electrical, false),
    (0x0850, 0x0852, System::Starter, Nature::Electrical, false),
    (0x2262, 0x2263, System::Boost, Nature::Physical, false),
    (0x2453, 0x2453, System::Exhaust, Nature::Performance, true),
    (0x2454, 0x2455, System::Exhaust, Nature::Electrical, true),
    (0x2503, 0x2504, System::Supply, Nature::Supply, false),
    (0x2562, 0x2562, System::Boost, Nature::Electrical, true),
    (0x2563, 0x2563, System::Boost, Nature::Performance, true),
    (0x2564, 0x2565, System::Boost, Nature::Electrical, true),
];

fn family(code: TroubleCode) -> Option<&'static Family> {
    (code.letter() == 'P').then_some(())?;
    FAMILIES
        .iter()
        .find(|(from, to, ..)| (*from..=*to).contains(&code.digits()))
}

/// What sort of trouble a code names; every U code is the bus's.
pub fn nature(code: TroubleCode) -> Nature {
    if code.letter() == 'U' {
        return Nature::Bus;
    }
    family(code).map_or(Nature::Unknown, |(.., nature, _)| *nature)
}

/// The codes without repeats in the order in which to look at them: by [`Nature`], then those that explain more of the
/// others, then by number.
pub fn root_first(codes: &[TroubleCode]) -> Vec<Ranked> {
    let mut order: Vec<TroubleCode> = codes
        .iter()
        .copied()
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let all = order.clone();
    let explains = |root: TroubleCode| all.iter().filter(|other| may_explain(root, **other)).count();
    order.sort_by_key(|code| (nature(*code), std::cmp::Reverse(explains(*code)), *code));
    order
        .iter()
        .map(|&code| Ranked {
            code,
            nature: nature(code),
            explained_by: order
                .iter()
                .copied()
                .filter(|root| may_explain(*root, code))
                .collect(),
        })
        .collect()
}

/// Whether `root` may be why `other` was set. It is a place to look first, never a proof.
///
/// Supply: every other sort. Reference: the sensors fed by one, and the system of such a sensor. Bus: range and what a system
/// does, for a value may have come over it. A circuit or its range: what comes later in its own system.
fn may_explain(root: TroubleCode, other: TroubleCode) -> bool {
    let (first, later) = (nature(root), nature(other));
    if first >= later {
        return false;
    }
    match first {
        Nature::Supply => true,
        Nature::Reference => family(other).is_some_and(|&(_, _, system, nature, sensor)| {
            sensor || nature == Nature::Physical && has_sensor(system)
        }),
        Nature::Bus => matches!(later, Nature::Performance | Nature::Physical),
        Nature::Electrical | Nature::Performance => match (family(root), family(other)) {
            (Some((_, _, one, ..)), Some((_, _, two, ..))) => one == two,
            _ => false,
        },
        Nature::Physical | Nature::Unknown => false,
    }
}

/// Whether one of the system's codes is that of a sensor fed by a shared reference.
fn has_sensor(system: System) -> bool {
    FAMILIES
        .iter()
        .any(|&(_, _, other, _, sensor)| sensor && other == system)
}
