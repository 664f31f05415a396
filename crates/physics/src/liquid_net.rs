//! The equations of the liquid net: volume in and out of every free node (DERIVATIONS.md, section 19).
//!
//! As in air, what leaves a node grows with its own pressure, so balancing node by node always leads towards the solution.

use crate::laws::air::Flow;
use crate::laws::liquid::{self, Feed, Line, Loss, Pump};
use crate::network::{Balance, Net, Node, Unknowns};
use numerics::{Matrix, System};

/// Liquid seeps through every wall a little, m3/(s Pa): it keeps a node that nothing else reaches determined. A drop in two
/// minutes at 5 bar, a millionth of what a pump gives.
const SEEPAGE: f64 = 1.0e-15;
/// Rounds of balancing each node alone, and halvings in each.
const SWEEPS: u32 = 4;
const SETTLING: u32 = 300;
/// Chord steps before them.
const CHORD_STEPS: u32 = 8;
const HALVINGS: u32 = 30;

/// An element of the liquid net.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum LiquidElement {
    Line {
        a: Node,
        b: Node,
        line: Line,
    },
    Loss {
        a: Node,
        b: Node,
        loss: Loss,
    },
    /// Shut until `a` is `set` above `b`.
    Valve {
        a: Node,
        b: Node,
        set: f64,
        past: Loss,
    },
    /// A pump, by its number among the pumps of the network.
    Pump {
        inlet: Node,
        outlet: Node,
        pump: usize,
    },
    /// A load: all it wants from the pressure `full` on, nothing at `none`.
    Draw {
        node: Node,
        wanted: f64,
        none: f64,
        full: f64,
    },
}

impl LiquidElement {
    /// Whether it is at a node: what is not there adds nothing to its balance and need not be computed.
    fn touches(&self, at: Node) -> bool {
        match *self {
            Self::Line { a, b, .. } | Self::Loss { a, b, .. } | Self::Valve { a, b, .. } => {
                a == at || b == at
            }
            Self::Pump { inlet, outlet, .. } => inlet == at || outlet == at,
            Self::Draw { node, .. } => node == at,
        }
    }
}

/// A pump with the electric nodes of its motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DrivenPump {
    pub(crate) law: Pump,
    pub(crate) plus: Node,
    pub(crate) minus: Node,
    pub(crate) inlet: Node,
    pub(crate) outlet: Node,
    /// `false` where its motor does not turn, whatever feeds it.
    pub(crate) turns: bool,
}

/// The equations of the liquid net, given what feeds each pump.
pub(crate) struct LiquidEquations<'a> {
    pub(crate) net: &'a Net<LiquidElement>,
    pub(crate) pumps: &'a [DrivenPump],
    pub(crate) feeds: &'a [Feed],
    pub(crate) unknowns: &'a Unknowns,
    pub(crate) ambient: f64,
    /// Pressures of all nodes; the free ones are scratch.
    pub(crate) pressures: &'a mut [f64],
    /// No pressure lies above this one.
    pub(crate) highest: f64,
    /// `true` once the nodes were balanced one by one, so that Newton starts near.
    pub(crate) settled: bool,
}

/// The highest pressure there can be: each pump at its stall on top of the other.
pub(crate) fn highest(pumps: &[DrivenPump], feeds: &[Feed], ambient: f64) -> f64 {
    let pushed: f64 = pumps
        .iter()
        .zip(feeds)
        .map(|(pump, feed)| pump.law.stall(*feed))
        .sum();
    ambient + 1.0e3 + pushed
}

impl Net<LiquidElement> {
    /// Where a solve starts from rest: where the first valve begins to open, which is where a working regulator keeps its line.
    pub(crate) fn rest(&self, ambient: f64) -> f64 {
        let sets = self.elements.iter().filter_map(|(element, _)| match *element {
            LiquidElement::Valve { set, .. } => Some(set),
            _ => None,
        });
        ambient + sets.reduce(f64::min).unwrap_or(0.0)
    }
}

impl LiquidEquations<'_> {
    /// What flows through an element, from its first node to its second; a load has only one.
    pub(crate) fn flow(&self, index: usize) -> (Node, Option<Node>, Flow) {
        flow(
            &self.net.elements[index].0,
            self.pressures,
            self.pumps,
            self.feeds,
            self.ambient,
        )
    }

    fn leaving(&self, node: Node) -> f64 {
        let elements = self.net.elements.iter().enumerate();
        let there = elements.filter(|(_, (element, _))| element.touches(node));
        let through: f64 = there
            .map(|(index, _)| match self.flow(index) {
                (a, _, flow) if a == node => flow.value,
                (_, _, flow) => -flow.value,
            })
            .sum();
        through + SEEPAGE * (self.pressures[node] - self.ambient)
    }
}

/// See [`LiquidEquations::flow`].
pub(crate) fn flow(
    element: &LiquidElement,
    p: &[f64],
    pumps: &[DrivenPump],
    feeds: &[Feed],
    ambient: f64,
) -> (Node, Option<Node>, Flow) {
    match *element {
        LiquidElement::Line { a, b, line } => (a, Some(b), liquid::line(line, p[a], p[b])),
        LiquidElement::Loss { a, b, loss } => (a, Some(b), liquid::loss(loss, p[a], p[b])),
        LiquidElement::Valve { a, b, set, past } => (a, Some(b), liquid::valve(set, past, p[a], p[b])),
        LiquidElement::Pump { inlet, outlet, pump } => {
            let feed = feeds.get(pump).copied().unwrap_or_default();
            let flow = pumps[pump].law.flow(feed, p[inlet], p[outlet], ambient);
            (inlet, Some(outlet), flow)
        }
        LiquidElement::Draw {
            node,
            wanted,
            none,
            full,
        } => (node, None, liquid::draw(wanted, none, full, p[node])),
    }
}

impl LiquidEquations<'_> {
    /// The balance of every free node at `x`, and its derivatives; with `chords`, each element's flow over its pressure
    /// difference in their place.
    fn collect(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>, chords: bool) {
        for (i, node) in self.unknowns.nodes().iter().enumerate() {
            self.pressures[*node] = x[i];
        }
        let mut balance = Balance::new(self.unknowns, residual, jacobian);
        for node in self.unknowns.nodes() {
            balance.leaves(*node, SEEPAGE * (self.pressures[*node] - self.ambient), SEEPAGE);
        }
        for index in 0..self.net.elements.len() {
            let (a, b, mut flow) = self.flow(index);
            let passive = !matches!(self.net.elements[index].0, LiquidElement::Pump { .. });
            let apart = b.map_or(0.0, |b| self.pressures[a] - self.pressures[b]);
            if chords && passive && apart != 0.0 {
                flow.by_a = flow.value / apart;
                flow.by_b = -flow.by_a;
            }
            match (a, b, flow) {
                (a, Some(b), flow) => balance.between(a, b, flow),
                (node, None, flow) => balance.leaves(node, flow.value, flow.by_a),
            }
        }
    }

    /// Balances each node alone, others held, `rounds` times. What leaves a node grows with its own pressure and falls with
    /// every other, so the rounds lead to the solution from anywhere (Ortega and Rheinboldt 1970, 13.5).
    fn sweep(&mut self, x: &mut [f64], rounds: u32) {
        for (node, x) in self.unknowns.nodes().iter().zip(&*x) {
            self.pressures[*node] = *x;
        }
        for _ in 0..rounds {
            for (i, node) in self.unknowns.nodes().iter().enumerate() {
                let (mut low, mut high) = (0.0, self.highest);
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (low + high);
                    self.pressures[*node] = middle;
                    if self.leaving(*node) > 0.0 {
                        high = middle;
                    } else {
                        low = middle;
                    }
                }
                x[i] = self.pressures[*node];
            }
        }
    }

    /// Many rounds of balancing: a near start for Newton where it lost its way.
    pub(crate) fn settle(&mut self, x: &mut [f64]) {
        self.settled = true;
        self.sweep(x, SETTLING);
    }

    /// One step as if every passive element were a fixed conductance, that of its present flow: where a flow grows with the
    /// root of a pressure, Newton leaps over the solution to and fro, and the chord halves the way.
    fn chord_step(&mut self, x: &mut [f64]) {
        let (mut residual, mut chords) = (vec![0.0; x.len()], Matrix::zeros(x.len()));
        self.collect(x, &mut residual, Some(&mut chords), true);
        if chords.factor().is_ok() {
            chords.solve(&mut residual);
            x.iter_mut().zip(&residual).for_each(|(x, step)| *x -= step);
            self.confine(x);
        }
    }
}

impl System for LiquidEquations<'_> {
    fn size(&self) -> usize {
        self.unknowns.nodes().len()
    }

    fn evaluate(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>) {
        self.collect(x, residual, jacobian, false);
    }

    /// A hundredth of a pascal, a ten-millionth of a bar.
    fn small_step(&self, _: usize) -> f64 {
        1e-2
    }

    /// The flow of every passive element grows with its own difference of pressure, so the residual is the slope of the
    /// network's co-content; a pump bends it, which [`LiquidEquations::settle`] mends where it matters.
    fn convex(&self) -> bool {
        !self.settled
    }

    fn confine(&self, x: &mut [f64]) {
        for x in x {
            *x = x.clamp(0.0, self.highest);
        }
    }

    /// A few chord steps, then rounds of balancing each node alone, others held: see the air net.
    fn rescue(&mut self, x: &mut [f64]) -> bool {
        for _ in 0..CHORD_STEPS {
            self.chord_step(x);
        }
        self.sweep(x, SWEEPS);
        true
    }
}
