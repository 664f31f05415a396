//! A module that moves a rod by a motor until a sensor says that it is where it should be.
//!
//! The rod goes where the *reported* position is the one asked for, so a sensor that has drifted puts the rod in the wrong
//! place and looks right; a signal that is lost sends it to a stop. Found by rounds of the electric net and the rod, each a
//! correction by what is reported; a sound sensor settles in two. Left out: the way there, and that the module gives up.

use crate::network::{Net, Network, Node, RodElement};

/// Most corrections: a sensor whose slope is half or twice the module's settles well before.
pub(crate) const CORRECTIONS: u32 = 30;
/// A correction that no longer matters, as a share of the travel.
const SETTLED: f64 = 1e-9;

/// What a module asks for, and how it reads where the rod is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Target {
    /// Share of the travel asked for.
    pub(crate) share: f64,
    /// Signal of the position sensor, and the ground it is measured against.
    pub(crate) signal: Node,
    pub(crate) ground: Node,
    /// The module's own 5 V, and the shares of it at rest and at full travel.
    pub(crate) five: f64,
    pub(crate) at_rest: f64,
    pub(crate) at_full: f64,
}

impl Target {
    /// The position that the module reads.
    fn reported(self, v: &[f64]) -> f64 {
        ((v[self.signal] - v[self.ground]) / self.five - self.at_rest) / (self.at_full - self.at_rest)
    }
}

/// A motor on a rod.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drive {
    pub(crate) rod: Node,
    /// Travel at the sensor's full position, m.
    pub(crate) full: f64,
    /// The greatest friction it overcomes, N.
    pub(crate) force: f64,
    /// Pulled in while its motor has the current to move.
    pub(crate) switch: usize,
}

impl Network {
    /// Where the drives of this net put their rods next, given the voltages and which switches are pulled in. `true` if any
    /// rod still moves.
    pub(crate) fn drive(&self, v: &[f64], pulled: &[bool], rods: &mut [f64]) -> bool {
        let mut moves = false;
        for drive in &self.drives {
            let ends = self.rod.ends(drive.rod);
            let asked = self.target.filter(|target| target.share > 0.0);
            let pushes = pulled.get(drive.switch) == Some(&true) && ends.friction <= drive.force;
            // Its own spring takes it back to rest.
            let wanted = match asked.filter(|_| pushes) {
                Some(target) => rods[drive.rod] + (target.share - target.reported(v)) * drive.full,
                None => 0.0,
            };
            let next = wanted.min(ends.high.min(drive.full)).max(ends.low.max(0.0));
            moves |= (next - rods[drive.rod]).abs() > SETTLED * drive.full;
            rods[drive.rod] = next;
        }
        moves
    }
}

/// Where a rod can be, and what holds it back.
#[derive(Debug, Clone, Copy)]
struct Ends {
    low: f64,
    high: f64,
    friction: f64,
}

impl Net<RodElement> {
    fn ends(&self, rod: Node) -> Ends {
        let mut ends = Ends {
            low: f64::NEG_INFINITY,
            high: f64::INFINITY,
            friction: 0.0,
        };
        for (element, _) in &self.elements {
            match *element {
                RodElement::Stops { node, low, high } if node == rod => {
                    ends.low = ends.low.max(low);
                    ends.high = ends.high.min(high);
                }
                RodElement::Held { node, at } if node == rod => (ends.low, ends.high) = (at, at),
                RodElement::Drag { node, force } if node == rod => ends.friction += force,
                _ => {}
            }
        }
        ends
    }
}
