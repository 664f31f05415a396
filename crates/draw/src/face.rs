//! Which ports of a part lie opposite each other: the rows of its symbol.
//!
//! A line enters a symbol on the left and leaves it on the right in the same row: the air through a valve in one, the
//! current through its coil in another. Ports without an opposite have a row of their own. Kinds are told apart by
//! their symbol only; a port is recognised by its medium, its name, and last by its place in the kind's list.

use circuit::{KindSpec, Medium, Part, PortSpec, Symbol};

/// One row of a symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Row {
    /// Two ports opposite each other; the first is the upstream one where the kind says so.
    Through(usize, usize),
    /// One port.
    Single(usize),
}

/// `true` for a part that is drawn as the line itself.
pub(crate) fn is_line(symbol: Symbol) -> bool {
    matches!(symbol, Symbol::Hose | Symbol::Wire)
}

/// The rows of a part's symbol, top to bottom. Single pins that are not joined are left
/// out.
pub(crate) fn rows(part: &Part) -> Vec<Row> {
    let rows = kind_rows(part.kind);
    let joined = |row: &Row| match *row {
        Row::Through(a, b) => part.joints[a].is_some() || part.joints[b].is_some(),
        Row::Single(port) => part.joints[port].is_some(),
    };
    match part.kind.symbol {
        Symbol::ModulePins | Symbol::BusModule | Symbol::PressureSensor | Symbol::PositionSensor => {
            rows.into_iter().filter(joined).collect()
        }
        Symbol::Relay => rows
            .into_iter()
            .filter(|row| matches!(row, Row::Through(..)) || joined(row))
            .collect(),
        Symbol::Chassis if part.kind.ports.len() > 2 => chassis_rows(part),
        _ => rows,
    }
}

fn kind_rows(kind: &KindSpec) -> Vec<Row> {
    let air = of(kind, Medium::Air);
    let rod = of(kind, Medium::Rod);
    let electric = of(kind, Medium::Electric);
    let liquid = of(kind, Medium::Liquid);
    match kind.symbol {
        Symbol::Battery
        | Symbol::ModulePins
        | Symbol::BusModule
        | Symbol::PressureSensor
        | Symbol::PositionSensor
        | Symbol::AirSpace
        | Symbol::VacuumPump => [battery_order(kind, &electric), air, rod]
            .concat()
            .into_iter()
            .map(Row::Single)
            .collect(),
        Symbol::SolenoidValve => [valve_rows(kind, &air), paired(&electric), paired(&rod)].concat(),
        Symbol::Relay | Symbol::StarterSolenoid => [contact_rows(kind, &electric), paired(&rod)].concat(),
        Symbol::DiaphragmActuator => across(&air, &rod, &electric),
        Symbol::Motor => [paired(&electric), across(&air, &rod, &[])].concat(),
        Symbol::Tank => liquid.into_iter().map(Row::Single).collect(),
        _ => [paired(&air), paired(&liquid), paired(&electric), paired(&rod)].concat(),
    }
}

fn of(kind: &KindSpec, medium: Medium) -> Vec<usize> {
    (0..kind.ports.len())
        .filter(|port| kind.ports[*port].medium == medium)
        .collect()
}

/// Opposite each other two by two, in the kind's order.
fn paired(ports: &[usize]) -> Vec<Row> {
    ports
        .chunks(2)
        .map(|pair| {
            if let [a, b] = *pair {
                Row::Through(a, b)
            } else {
                Row::Single(pair[0])
            }
        })
        .collect()
}

/// The first of `left` opposite the first of `right`; the rest alone.
fn across(left: &[usize], right: &[usize], others: &[usize]) -> Vec<Row> {
    let rows: Vec<Row> = match (left, right) {
        ([a, more_left @ ..], [b, more_right @ ..]) => {
            let rest = more_left.iter().chain(more_right).copied().map(Row::Single);
            std::iter::once(Row::Through(*a, *b)).chain(rest).collect()
        }
        _ => left.iter().chain(right).copied().map(Row::Single).collect(),
    };
    [rows, paired(others)].concat()
}

/// `true` if the port's name is, or begins with, one of `words`.
pub(crate) fn named(port: &PortSpec, words: &[&str]) -> bool {
    words
        .iter()
        .any(|word| port.name == *word || (word.len() > 2 && port.name.starts_with(word)))
}

/// Names of terminals at the feeding end. Numbers: DIN 72552, from memory.
pub(crate) const FEED_NAMES: [&str; 6] = ["plus", "positive", "+", "b+", "supply", "reference"];

/// Names of terminals at the returning end.
pub(crate) const RETURN_NAMES: [&str; 8] = ["minus", "negative", "-", "b-", "ground", "gnd", "return", "31"];

fn battery_order(kind: &KindSpec, electric: &[usize]) -> Vec<usize> {
    let mut ports = electric.to_vec();
    if kind.symbol == Symbol::Battery {
        ports.sort_by_key(|port| named(&kind.ports[*port], &RETURN_NAMES));
    }
    ports
}

/// The places of the body on the left, the way back to the battery on the right.
fn chassis_rows(part: &Part) -> Vec<Row> {
    let battery = part
        .kind
        .ports
        .iter()
        .position(|port| named(port, &["battery"]))
        .unwrap_or(0);
    let mut rest = (0..part.kind.ports.len()).filter(|port| *port != battery && part.joints[*port].is_some());
    let first = match rest.next() {
        Some(port) => Row::Through(port, battery),
        None => Row::Single(battery),
    };
    std::iter::once(first).chain(rest.map(Row::Single)).collect()
}

/// Source opposite output, vent below.
fn valve_rows(kind: &KindSpec, air: &[usize]) -> Vec<Row> {
    let find = |words: &[&str]| air.iter().copied().find(|port| named(&kind.ports[*port], words));
    let vent = find(&["vent", "exhaust"]).or(air.get(2).copied());
    let mut rest = air.iter().copied().filter(|port| Some(*port) != vent);
    let (first, second) = (rest.next(), rest.next());
    let mut rows = match (first, second) {
        (Some(a), Some(b)) if named(&kind.ports[a], &["output", "outlet"]) => vec![Row::Through(b, a)],
        (Some(a), Some(b)) => vec![Row::Through(a, b)],
        (Some(a), None) => vec![Row::Single(a)],
        _ => Vec::new(),
    };
    rows.extend(rest.map(Row::Single));
    rows.extend(vent.map(Row::Single));
    rows
}

/// Contact above, its second throw below it, coil last. Terminal numbers: DIN 72552, from memory.
fn contact_rows(kind: &KindSpec, electric: &[usize]) -> Vec<Row> {
    let is_coil = |port: &usize| {
        named(
            &kind.ports[*port],
            &["85", "86", "coil", "control", "50", "31", "ground"],
        )
    };
    let (coil, contact): (Vec<usize>, Vec<usize>) = electric.iter().partition(|port| is_coil(port));
    if coil.is_empty() {
        return paired(electric);
    }
    let mut rows = paired(&contact);
    let mut coil = coil;
    // Terminal 86 is fed, 85 returns.
    coil.sort_by_key(|port| {
        named(
            &kind.ports[*port],
            &["85", "31", "ground", "coil-", "coil minus", "coil_minus"],
        )
    });
    rows.extend(paired(&coil));
    rows
}
