//! A hold test of what is one volume of air: how far it has filled after a while, by one integral and no steps in time.
//!
//! Most pieces that a hand pump is put on are one volume: a can and its hose, with what leaks into them from the air around.
//! Then time follows from pressure, t = ∫ (V + p dV/dp) / (R T ṁ) dp, and the integral is cut where its law changes: at the
//! choked pressure, and where a rod leaves or meets a stop (DERIVATIONS.md, section 20).

use crate::ambient::{Ambient, GAS_CONSTANT};
use crate::course::{REST, room_at};
use crate::laws::air::{self, CRITICAL_RATIO, Line};
use crate::network::{AirElement, Net, Network, Node, Opening};

/// Room in a hand pump's hose and gauge, m³; 30 to 60 cm³, from memory.
pub(crate) const HAND_PUMP: f64 = 40.0e-6;
/// What a line may cost at the greatest leak and still count as a part of one volume, Pa: a tenth of an inHg.
const JOINED: f64 = 300.0;
/// Share of the wait in which a great leak fills everything.
const SOON: f64 = 0.5;
/// Panels of Simpson's rule between two changes of the law.
const PANELS: u32 = 8;
/// Halvings in which the moment is found.
const HALVINGS: u32 = 30;

/// How far an opening is open.
fn open(opening: Opening, pulled: &[f64]) -> f64 {
    match opening {
        Opening::Fixed(share) => share,
        Opening::Energised(switch) => pulled[switch],
        Opening::AtRest(switch) => 1.0 - pulled[switch],
    }
}

/// Both ends of an element that air can pass; `None` for one that is shut, and for a pump.
fn ends(element: &AirElement, pulled: &[f64]) -> Option<(Node, Node)> {
    match *element {
        AirElement::Restriction { a, b, opening, .. } => (open(opening, pulled) > 0.0).then_some((a, b)),
        AirElement::Line { a, b, .. }
        | AirElement::CheckValve { a, b, .. }
        | AirElement::Compressor { a, b } => Some((a, b)),
        AirElement::Pump { .. } | AirElement::Cylinders { .. } => None,
    }
}

/// Takes every free node that no air from `pump` can reach as standing at ambient pressure.
pub(crate) fn shut_off(net: &mut Net<AirElement>, pulled: &[f64], pump: Node, ambient: f64) {
    let mut reached = vec![false; net.fixed.len()];
    reached[pump] = true;
    loop {
        let mut grown = false;
        for (element, _) in &net.elements {
            let Some((a, b)) = ends(element, pulled) else {
                continue;
            };
            for (from, to) in [(a, b), (b, a)] {
                if reached[from] && net.fixed[from].is_none() && !reached[to] {
                    (reached[to], grown) = (true, true);
                }
            }
        }
        if !grown {
            break;
        }
    }
    for (fixed, reached) in net.fixed.iter_mut().zip(&reached) {
        if fixed.is_none() && !reached {
            *fixed = Some(ambient);
        }
    }
}

/// A piece that is one volume, and what leaks into it.
pub(crate) struct Lump<'a> {
    net: &'a Network,
    nodes: Vec<Node>,
    room: &'a [f64],
    /// Choked flow per pressure of all its holes, kg/(s Pa).
    conductance: f64,
    start: f64,
    ambient: Ambient,
}

impl<'a> Lump<'a> {
    /// The free nodes of `net` as one volume at a pressure, for a wait of so many seconds; `None` if something between them throttles.
    pub(crate) fn of(
        net: &'a Network,
        pulled: &[f64],
        room: &'a [f64],
        (start, wait, ambient): (f64, f64, Ambient),
    ) -> Option<Self> {
        let free = |node: Node| net.air.fixed[node].is_none();
        let (mut conductance, mut lines): (f64, Vec<Line>) = (0.0, Vec::new());
        for (element, _) in &net.air.elements {
            let Some((a, b)) = ends(element, pulled).filter(|(a, b)| free(*a) || free(*b)) else {
                continue;
            };
            let outside = !(free(a) && free(b));
            match *element {
                AirElement::Restriction {
                    conductance: hole,
                    opening,
                    ..
                } if outside => conductance += hole * open(opening, pulled),
                AirElement::Line { line, .. } if !outside => lines.push(line),
                // A valve that stands against what flows leaks like a hole.
                AirElement::CheckValve { leak, .. } if outside && (start < ambient.pressure) == free(a) => {
                    conductance += leak;
                }
                _ => return None,
            }
        }
        let high = start.max(ambient.pressure);
        let passed = |line: &Line| air::line(*line, start + JOINED, start).value;
        let narrowest = lines.iter().map(passed).fold(f64::INFINITY, f64::min);
        let nodes: Vec<Node> = (0..net.air.fixed.len()).filter(|node| free(*node)).collect();
        let mut lump = Self {
            net,
            nodes,
            room,
            conductance,
            start,
            ambient,
        };
        if conductance * high <= narrowest {
            return Some(lump);
        }
        // Lines hold back what comes in, but no more than to what they pass at that difference. If that alone has filled all long
        // before, the lines do not matter.
        lump.conductance = narrowest / high;
        let mut pressures = vec![ambient.pressure; net.air.fixed.len()];
        let soon = lump.after(SOON * wait, &mut pressures);
        ((soon - ambient.pressure).abs() <= REST).then_some(lump)
    }

    /// Lets `wait` seconds go by; writes the pressure of all its nodes.
    pub(crate) fn wait(&self, wait: f64, pressures: &mut [f64]) {
        let end = self.after(wait, pressures);
        self.set(end, pressures);
    }

    fn set(&self, pressure: f64, pressures: &mut [f64]) {
        for node in &self.nodes {
            pressures[*node] = pressure;
        }
    }

    /// Seconds per pascal on the way to the ambient pressure, at `pressure`.
    fn slowness(&self, pressure: f64, pressures: &mut [f64]) -> f64 {
        self.set(pressure, pressures);
        let room: f64 = self
            .nodes
            .iter()
            .map(|node| room_at(self.net, *node, self.room[*node], pressures, self.ambient))
            .sum();
        let ambient = self.ambient.pressure;
        let seeps = crate::air_net::AIR_SEEPAGE * self.nodes.len() as f64 * (ambient - pressure);
        let flow = air::restriction(self.conductance, CRITICAL_RATIO, ambient, pressure).value + seeps;
        (room / (GAS_CONSTANT * self.ambient.temperature * flow)).abs()
    }

    /// The pressure after `wait` seconds; `pressures` is scratch.
    fn after(&self, wait: f64, pressures: &mut [f64]) -> f64 {
        let mut left = wait;
        let marks = self.marks(pressures);
        for pair in marks.windows(2) {
            let way = Way::between(pair[0], pair[1], self.ambient.pressure);
            let step = 1.0 / f64::from(PANELS);
            for panel in 0..PANELS {
                let from = f64::from(panel) * step;
                let time = self.time(way, (from, from + step), pressures);
                if time < left {
                    left -= time;
                    continue;
                }
                let (mut low, mut high) = (from, from + step);
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (low + high);
                    if self.time(way, (from, middle), pressures) < left {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                return way.at(0.5 * (low + high)).0;
            }
        }
        self.ambient.pressure
    }

    /// Time of a part of a way, by Simpson's rule.
    fn time(&self, way: Way, (from, to): (f64, f64), pressures: &mut [f64]) -> f64 {
        let mut at = |place: f64| {
            let (pressure, slope) = way.at(place);
            self.slowness(pressure, pressures) * slope.abs()
        };
        let width = to - from;
        width / 6.0 * (at(from + 1e-9 * width) + 4.0 * at(from + 0.5 * width) + at(to - 1e-9 * width))
    }

    /// Pressures from the start to the ambient pressure between which the law stays the same.
    fn marks(&self, pressures: &mut [f64]) -> Vec<f64> {
        let ambient = self.ambient.pressure;
        let (below, end) = if self.start < ambient {
            (true, ambient - REST)
        } else {
            (false, ambient + REST)
        };
        let choked = if below {
            CRITICAL_RATIO * ambient
        } else {
            ambient / CRITICAL_RATIO
        };
        let mut marks = vec![self.start, choked, end];
        self.set(ambient, pressures);
        for bellows in &self.net.bellows {
            if !self.nodes.contains(&bellows.air) || bellows.area == 0.0 {
                continue;
            }
            let travel = self.net.rod.travel(bellows.rod, pressures, ambient);
            let (low, high) = travel.stops;
            let met = [low, high].map(|stop| ambient - travel.rate * (stop - travel.free) / bellows.area);
            marks.extend(met);
        }
        let inside = |p: &f64| (self.start.min(end)..=self.start.max(end)).contains(p);
        marks.retain(inside);
        marks.sort_by(f64::total_cmp);
        if !below {
            marks.reverse();
        }
        marks
    }
}

/// A way from one pressure to another, gone from 0 to 1.
#[derive(Clone, Copy)]
enum Way {
    /// Evenly.
    Even { from: f64, to: f64 },
    /// Evenly in the angle of ISO 6358's ellipse, where its slope has no end near equal pressures.
    Ellipse {
        from: f64,
        to: f64,
        ambient: f64,
        below: bool,
    },
}

impl Way {
    fn between(from: f64, to: f64, ambient: f64) -> Self {
        let below = from < ambient;
        let angle = |pressure: f64| {
            let ratio = if below {
                pressure / ambient
            } else {
                ambient / pressure
            };
            ((ratio - CRITICAL_RATIO) / (1.0 - CRITICAL_RATIO))
                .clamp(-1.0, 1.0)
                .asin()
        };
        // A ratio within rounding of the critical one counts as such.
        if angle(from) < -1e-9 {
            return Self::Even { from, to };
        }
        Self::Ellipse {
            from: angle(from),
            to: angle(to),
            ambient,
            below,
        }
    }

    /// Pressure at a place of the way, and how fast it changes along it.
    fn at(self, place: f64) -> (f64, f64) {
        match self {
            Self::Even { from, to } => (from + place * (to - from), to - from),
            Self::Ellipse {
                from,
                to,
                ambient,
                below,
            } => {
                let angle = from + place * (to - from);
                let ratio = CRITICAL_RATIO + (1.0 - CRITICAL_RATIO) * angle.sin();
                let slope = (1.0 - CRITICAL_RATIO) * angle.cos() * (to - from);
                if below {
                    (ambient * ratio, ambient * slope)
                } else {
                    (ambient / ratio, -ambient * slope / (ratio * ratio))
                }
            }
        }
    }
}
