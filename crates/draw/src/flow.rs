//! Which end of a part lies nearer the source: the reading direction of the drawing.
//!
//! Air and rods: by distance, counted in parts, from the source. Electric joints: by a number between 0 at the feeding
//! and 1 at the returning terminal that is everywhere the weighted mean of its neighbours, so that every branch between the two
//! rises from end to end, whatever its length. What leads on, such as wires, fuses and the body, holds its two ends closer
//! together than what uses the current, so that where many branches meet is still read as feed or as return. It is an
//! ordering, not a voltage.

use crate::face::{FEED_NAMES, RETURN_NAMES, Row, named, rows};
use circuit::{Circuit, JointId, Medium, Part, Supplies, Symbol};
use std::cmp::Ordering;

/// How far downstream each joint lies.
#[derive(Debug, Clone)]
pub(crate) struct Flow {
    level: Vec<f64>,
    steps: Vec<usize>,
}

/// Levels closer than this are decided by distance.
const SAME_LEVEL: f64 = 1e-6;
/// Sweeps over the joints; more only polish levels whose order is settled.
const SWEEPS: usize = 4000;
/// Levels that change less than this in a sweep are settled.
const SETTLED: f64 = 1e-9;
/// How much closer what leads on holds its ends together than what uses the current.
const LEADS_ON: f64 = 10.0;

impl Flow {
    pub(crate) fn of(circuit: &Circuit) -> Self {
        let links = links(circuit);
        let fixed = fixed(circuit);
        let level = levels(&links, &fixed);
        let steps = steps(circuit, &links, &fixed);
        Self { level, steps }
    }

    /// `Less` if `a` lies upstream of `b`.
    pub(crate) fn compare(&self, a: JointId, b: JointId) -> Ordering {
        let difference = self.level[a.0] - self.level[b.0];
        if difference.abs() > SAME_LEVEL {
            return if difference < 0.0 {
                Ordering::Less
            } else {
                Ordering::Greater
            };
        }
        self.steps[a.0].cmp(&self.steps[b.0])
    }
}

/// For each joint the joints one part further, and how closely the part between holds them together.
type Links = Vec<Vec<(usize, f64)>>;

fn closeness(symbol: Symbol) -> f64 {
    match symbol {
        Symbol::Wire
        | Symbol::Fuse
        | Symbol::Switch
        | Symbol::Connector
        | Symbol::Ground
        | Symbol::Chassis
        | Symbol::LowSideDriver
        | Symbol::HighSideDriver => LEADS_ON,
        _ => 1.0,
    }
}

fn links(circuit: &Circuit) -> Links {
    let mut links = vec![Vec::new(); circuit.joints.len()];
    for part in &circuit.parts {
        let close = closeness(part.kind.symbol);
        let mut join = |a: Option<JointId>, b: Option<JointId>| {
            if let (Some(a), Some(b)) = (a, b)
                && a != b
            {
                links[a.0].push((b.0, close));
                links[b.0].push((a.0, close));
            }
        };
        let rows = rows(part);
        for row in &rows {
            match *row {
                Row::Through(a, b) if medium(part, a) == medium(part, b) => {
                    join(part.joints[a], part.joints[b]);
                }
                // A vent, a second throw: beyond the part, seen from its source side.
                Row::Single(port) if part.kind.supplies.is_none() => {
                    join(upstream_end(part, &rows, port), part.joints[port]);
                }
                _ => {}
            }
        }
    }
    links
}

fn medium(part: &Part, port: usize) -> Medium {
    part.kind.ports[port].medium
}

fn upstream_end(part: &Part, rows: &[Row], port: usize) -> Option<JointId> {
    rows.iter().find_map(|row| match *row {
        Row::Through(a, b)
            if medium(part, a) == medium(part, port) && medium(part, b) == medium(part, port) =>
        {
            // The lamp's current returns through the alternator.
            let back = matches!(part.kind.symbol, Symbol::Chassis | Symbol::Alternator);
            part.joints[if back { b } else { a }]
        }
        _ => None,
    })
}

/// Joints whose level is given: 0 at a source, 1 where current returns.
fn fixed(circuit: &Circuit) -> Vec<Option<f64>> {
    let mut fixed = vec![None; circuit.joints.len()];
    for part in &circuit.parts {
        let single = part.joints.iter().flatten().count() == 1;
        for (port, joint) in part.joints.iter().enumerate() {
            if let (Some(joint), Some(level)) = (joint, port_level(part, port, single)) {
                fixed[joint.0] = fixed[joint.0].or(Some(level));
            }
        }
    }
    fixed
}

fn port_level(part: &Part, port: usize, single: bool) -> Option<f64> {
    let spec = &part.kind.ports[port];
    match (part.kind.supplies, part.kind.symbol, spec.medium) {
        // What a battery or a tank gives is drawn from the left; what comes back ends on the right.
        (Some(Supplies::Current), _, Medium::Electric) | (Some(Supplies::Liquid), _, Medium::Liquid) => {
            Some(if named(spec, &RETURN_NAMES) { 1.0 } else { 0.0 })
        }
        (Some(Supplies::Vacuum | Supplies::Pressure), _, Medium::Air) => Some(0.0),
        (None, Symbol::Ground | Symbol::Chassis | Symbol::LowSideDriver, Medium::Electric) if single => {
            Some(1.0)
        }
        (None, Symbol::HighSideDriver, Medium::Electric) if single => Some(0.0),
        (None, Symbol::ModulePins, Medium::Electric) if named(spec, &FEED_NAMES) => Some(0.0),
        (None, Symbol::ModulePins, Medium::Electric) if named(spec, &RETURN_NAMES) => Some(1.0),
        _ => None,
    }
}

fn levels(links: &Links, fixed: &[Option<f64>]) -> Vec<f64> {
    let mut level: Vec<f64> = fixed.iter().map(|level| level.unwrap_or(0.5)).collect();
    for _ in 0..SWEEPS {
        let mut change: f64 = 0.0;
        for joint in (0..links.len()).filter(|joint| fixed[*joint].is_none() && !links[*joint].is_empty()) {
            let weight: f64 = links[joint].iter().map(|(_, close)| close).sum();
            let sum: f64 = links[joint]
                .iter()
                .map(|(other, close)| close * level[*other])
                .sum();
            change = change.max((sum / weight - level[joint]).abs());
            level[joint] = sum / weight;
        }
        if change < SETTLED {
            break;
        }
    }
    level
}

/// Parts between each joint and the nearest source; joints no source reaches count from their own first joint.
fn steps(circuit: &Circuit, links: &Links, fixed: &[Option<f64>]) -> Vec<usize> {
    let mut steps = vec![usize::MAX; links.len()];
    let mut seeds: Vec<usize> = (0..links.len())
        .filter(|joint| fixed[*joint] == Some(0.0))
        .collect();
    seeds.extend(driven_rods(circuit));
    spread(links, &mut steps, &seeds);
    // What no source reaches is read from the control module outwards.
    seeds = (0..links.len())
        .filter(|joint| at_module(circuit, *joint))
        .collect();
    let mut next_start = 0;
    loop {
        spread(links, &mut steps, &seeds);
        match (next_start..links.len()).find(|joint| steps[*joint] == usize::MAX) {
            Some(joint) => {
                seeds = vec![joint];
                next_start = joint + 1;
            }
            None => return steps,
        }
    }
}

fn at_module(circuit: &Circuit, joint: usize) -> bool {
    let mut ports = circuit.joints[joint].ports.iter();
    ports.any(|at| circuit.parts[at.part.0].kind.symbol == Symbol::ModulePins)
}

/// Rod joints at a part that moves the rod.
fn driven_rods(circuit: &Circuit) -> Vec<usize> {
    let drives = |part: &Part| part.kind.ports.iter().any(|port| port.medium != Medium::Rod);
    circuit
        .parts
        .iter()
        .filter(|part| drives(part))
        .flat_map(|part| part.joints.iter().flatten())
        .filter(|joint| circuit.joints[joint.0].medium == Medium::Rod)
        .map(|joint| joint.0)
        .collect()
}

fn spread(links: &Links, steps: &mut [usize], seeds: &[usize]) {
    let mut queue = std::collections::VecDeque::new();
    for &seed in seeds {
        if steps[seed] == usize::MAX {
            steps[seed] = 0;
            queue.push_back(seed);
        }
    }
    while let Some(joint) = queue.pop_front() {
        for &(other, _) in &links[joint] {
            if steps[other] == usize::MAX {
                steps[other] = steps[joint] + 1;
                queue.push_back(other);
            }
        }
    }
}
