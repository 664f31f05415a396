//! The equations of the air net: mass in and out of every free node (DERIVATIONS.md, sections 2 to 5 and 10).
//!
//! What is known of air beforehand stands here too: no pressure lies outside those of the sources, a node's outflow grows
//! with its own pressure, and a check valve is open or shut.

use crate::ambient::GAS_CONSTANT;
use crate::charger::Charge;
use crate::laws::air::{self, CRITICAL_RATIO, Flow};
use crate::network::{AirElement, Balance, Net, Node, Opening, Unknowns};
use numerics::{Matrix, System};

/// Air leaks through every wall a little; it keeps a node that nothing else reaches determined, kg/(s Pa). It equals a
/// hole of 0.002 mm, far below what a gauge could show.
pub(crate) const AIR_SEEPAGE: f64 = 7.0e-15;

/// How stiffly a compressor holds its pressure ratio, kg/(s Pa): a tenth of a kilogram a second bends it by 10 Pa.
const STIFFNESS: f64 = 1.0e-2;

/// Chord steps of one rescue: a flow that grows with the root of its pressure difference comes nearer by half in each.
const CHORD_STEPS: u32 = 8;

/// The equations of the air net, given how far each switched opening is open.
pub(crate) struct AirEquations<'a> {
    pub(crate) net: &'a Net<AirElement>,
    pub(crate) unknowns: &'a Unknowns,
    /// Share of time each switch is pulled in.
    pub(crate) pulled: &'a [f64],
    pub(crate) ambient: f64,
    /// Potentials of all nodes; the free ones are scratch.
    pub(crate) potentials: &'a mut [f64],
    /// Lowest and highest pressure of any source: no node can lie outside.
    pub(crate) bounds: (f64, f64),
    /// For each element, whether it is a check valve that stands shut.
    pub(crate) shut: &'a [bool],
    /// What the turbocharger makes of the air.
    pub(crate) charge: Charge,
}

impl Net<AirElement> {
    /// Lowest and highest pressure that anything holds or strives for. Air flows from high to low only, so no free node can
    /// lie outside. A compressor lifts the highest by its `ratio`.
    pub(crate) fn bounds(&self, ambient: f64, ratio: f64) -> (f64, f64) {
        let held = self.fixed.iter().flatten().copied();
        let pumped = self.elements.iter().filter_map(|(element, _)| match *element {
            AirElement::Pump { ultimate, .. } => Some(ultimate),
            AirElement::Cylinders { .. } => Some(0.0),
            _ => None,
        });
        let (low, high) = held
            .chain(pumped)
            .fold((ambient, ambient), |(low, high), p| (low.min(p), high.max(p)));
        (low, high * ratio)
    }
}

impl Net<AirElement> {
    /// Opens and shuts check valves as the pressures say; returns `true` if any moved. A hundredth of a pascal against it
    /// moves none, so that one without flow does not chatter.
    pub(crate) fn turn_check_valves(&self, pressures: &[f64], shut: &mut [bool]) -> bool {
        const SLACK: f64 = 0.01;
        let mut moved = false;
        for ((element, _), shut) in self.elements.iter().zip(shut) {
            if let AirElement::CheckValve { a, b, .. } = *element {
                let forward = pressures[a] - pressures[b];
                let turned = if *shut { forward <= SLACK } else { forward < -SLACK };
                moved |= turned != *shut;
                *shut = turned;
            }
        }
        moved
    }
}

impl AirEquations<'_> {
    /// What flows through an element, from its first node to its second; a pump has only one.
    pub(crate) fn flow(&self, index: usize) -> (Node, Option<Node>, Flow) {
        let p = &*self.potentials;
        match self.net.elements[index].0 {
            AirElement::Restriction {
                a,
                b,
                conductance,
                opening,
            } => {
                let open = match opening {
                    Opening::Fixed(share) => share,
                    Opening::Energised(switch) => self.pulled[switch],
                    Opening::AtRest(switch) => 1.0 - self.pulled[switch],
                };
                (
                    a,
                    Some(b),
                    air::restriction(conductance * open, CRITICAL_RATIO, p[a], p[b]),
                )
            }
            AirElement::Line { a, b, line } => (a, Some(b), air::line(line, p[a], p[b])),
            AirElement::CheckValve { a, b, leak, .. } if self.shut[index] => {
                (a, Some(b), air::restriction(leak, CRITICAL_RATIO, p[a], p[b]))
            }
            AirElement::CheckValve {
                a,
                b,
                conductance,
                opening,
                ..
            } => (
                a,
                Some(b),
                air::open_check_valve(conductance, opening, p[a], p[b]),
            ),
            AirElement::Pump {
                node,
                speed,
                ultimate,
            } => (
                node,
                None,
                Flow {
                    value: speed * (p[node] - ultimate),
                    by_a: speed,
                    by_b: 0.0,
                },
            ),
            AirElement::Compressor { a, b } => (
                a,
                Some(b),
                Flow {
                    value: STIFFNESS * (self.charge.ratio * p[a] - p[b]),
                    by_a: STIFFNESS * self.charge.ratio,
                    by_b: -STIFFNESS,
                },
            ),
            AirElement::Cylinders { node, volume } => {
                let speed = volume / (GAS_CONSTANT * self.charge.temperature);
                (
                    node,
                    None,
                    Flow {
                        value: speed * p[node],
                        by_a: speed,
                        by_b: 0.0,
                    },
                )
            }
        }
    }

    fn seepage(&self, node: Node) -> f64 {
        AIR_SEEPAGE * (self.potentials[node] - self.ambient)
    }

    /// What leaves `node` through each element at the present potentials, and through its wall.
    pub(crate) fn leaving(&self, node: Node) -> impl Iterator<Item = f64> {
        let elements = self.net.elements.iter().enumerate();
        let there = elements.filter(move |(_, (element, _))| element.touches(node));
        let flows = there.filter_map(move |(index, _)| match self.flow(index) {
            (a, _, flow) if a == node => Some(flow.value),
            (_, b, flow) if b == Some(node) => Some(-flow.value),
            _ => None,
        });
        flows.chain([self.seepage(node)])
    }

    /// The balance of every free node at `x`, and its derivatives; with `chords`, each element's flow over its pressure
    /// difference in their place.
    fn collect(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>, chords: bool) {
        for (i, node) in self.unknowns.nodes().iter().enumerate() {
            self.potentials[*node] = x[i];
        }
        let mut balance = Balance::new(self.unknowns, residual, jacobian);
        for node in self.unknowns.nodes() {
            balance.leaves(*node, self.seepage(*node), AIR_SEEPAGE);
        }
        for index in 0..self.net.elements.len() {
            let (a, b, mut flow) = self.flow(index);
            let apart = b.map_or(0.0, |b| self.potentials[a] - self.potentials[b]);
            let chord = chords && !matches!(self.net.elements[index].0, AirElement::Compressor { .. });
            if chord && apart != 0.0 {
                flow.by_a = flow.value / apart;
                flow.by_b = -flow.by_a;
            }
            match (a, b, flow) {
                (a, Some(b), flow) => balance.between(a, b, flow),
                (node, None, flow) => balance.leaves(node, flow.value, flow.by_a),
            }
        }
    }

    /// One step as if every element were a fixed conductance, that of its present flow. A choked opening does not feel the
    /// pressure behind it, so Newton learns nothing of what lies beyond; its chord does.
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

impl System for AirEquations<'_> {
    fn size(&self) -> usize {
        self.unknowns.nodes().len()
    }

    fn evaluate(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>) {
        self.collect(x, residual, jacobian, false);
    }

    /// A hundredth of a pascal, 3e-6 inHg. The step is still taken, so what is left is far less.
    fn small_step(&self, _: usize) -> f64 {
        1e-2
    }

    /// A choked opening does not feel the pressure behind it, so a step may point far beyond any pressure there is.
    fn confine(&self, x: &mut [f64]) {
        for x in x {
            *x = x.clamp(self.bounds.0, self.bounds.1);
        }
    }

    /// A few chord steps, then rounds of balancing each node alone, others held. What leaves a node grows with its own
    /// pressure, so halving the interval always finds the balance, and the rounds lead towards the solution whatever the
    /// start (Ortega and Rheinboldt, Iterative Solution of Nonlinear Equations, 1970, 13.5: Gauss-Seidel on an M-function).
    fn rescue(&mut self, x: &mut [f64]) -> bool {
        for _ in 0..CHORD_STEPS {
            self.chord_step(x);
        }
        for (node, x) in self.unknowns.nodes().iter().zip(&*x) {
            self.potentials[*node] = *x;
        }
        for _ in 0..4 {
            for (i, node) in self.unknowns.nodes().iter().enumerate() {
                let (mut low, mut high) = self.bounds;
                for _ in 0..26 {
                    let middle = 0.5 * (low + high);
                    self.potentials[*node] = middle;
                    if self.leaving(*node).sum::<f64>() > 0.0 {
                        high = middle;
                    } else {
                        low = middle;
                    }
                }
                x[i] = self.potentials[*node];
            }
        }
        true
    }
}
