//! The equations of the electric net in one phase: the current in and out of every free node (DERIVATIONS.md, section 9).
//!
//! A driver that works at a duty has an on-phase and an off-phase; contacts stand as the switches say.

use crate::laws::air::Flow;
use crate::laws::alternator::accumulator;
use crate::laws::electric;
use crate::network::{Balance, ElectricElement, Net, Node, Unknowns};
use numerics::{Matrix, System};

/// Every electric node leaks a little, S: a teraohm of insulation keeps one that nothing else reaches determined.
const INSULATION: f64 = 1.0e-12;

/// State of the switches and drivers in one phase.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Phase<'a> {
    pub(crate) driven: bool,
    pub(crate) pulled: &'a [bool],
    /// What the liquid asks of each pump, N m.
    pub(crate) torques: &'a [f64],
}

/// The equations of the electric net in one phase.
pub(crate) struct ElectricEquations<'a> {
    pub(crate) net: &'a Net<ElectricElement>,
    pub(crate) unknowns: &'a Unknowns,
    pub(crate) phase: Phase<'a>,
    /// Absolute pressures of the air nodes.
    pub(crate) air: &'a [f64],
    /// Travels of the rods.
    pub(crate) rod: &'a [f64],
    pub(crate) potentials: &'a mut [f64],
    pub(crate) linear: bool,
}

/// The current from the first to the second end of a two-ended element.
pub(crate) fn electric_flow(
    element: &ElectricElement,
    v: &[f64],
    phase: Phase,
) -> Option<(Node, Node, Flow)> {
    Some(match *element {
        ElectricElement::Conductor { a, b, conductance } => {
            (a, b, electric::conductor(conductance, v[a], v[b]))
        }
        ElectricElement::Contact {
            a,
            b,
            conductance,
            switch,
            normally_closed,
        } => {
            let closed = phase.pulled[switch] != normally_closed;
            let conductance = if closed { conductance } else { 0.0 };
            (a, b, electric::conductor(conductance, v[a], v[b]))
        }
        ElectricElement::Driver { a, b, conductance } => (
            a,
            b,
            electric::conductor(if phase.driven { conductance } else { 0.0 }, v[a], v[b]),
        ),
        ElectricElement::Source {
            plus,
            minus,
            emf,
            conductance,
        } => (
            plus,
            minus,
            electric::conductor(conductance, v[plus] - emf, v[minus]),
        ),
        ElectricElement::Limited {
            a,
            b,
            conductance,
            limit,
        } => (a, b, electric::limited(conductance, limit, v[a], v[b])),
        ElectricElement::Diode {
            a,
            b,
            saturation,
            thermal,
        } => (a, b, electric::diode(saturation, thermal, v[a], v[b])),
        ElectricElement::Filament {
            a,
            b,
            cold,
            hot,
            nominal,
            exponent,
        } => (a, b, electric::filament(cold, hot, nominal, exponent, v[a], v[b])),
        ElectricElement::Motor {
            a,
            b,
            resistance,
            constant,
            load,
            drag,
        } => (
            a,
            b,
            electric::motor(resistance, constant, load, drag, v[a], v[b]),
        ),
        ElectricElement::PumpMotor {
            a,
            b,
            pump,
            resistance,
            constant,
            load,
            drag,
        } => {
            let load = load + phase.torques.get(pump).copied().unwrap_or(0.0);
            let flow = electric::motor(resistance, constant, load, drag, v[a], v[b]);
            (a, b, flow)
        }
        ElectricElement::Alternator {
            plus,
            case,
            law,
            switch,
        } => {
            let flow = if phase.pulled[switch] {
                law.current(v[plus], v[case])
            } else {
                electric::conductor(0.0, v[plus], v[case])
            };
            (plus, case, flow)
        }
        ElectricElement::Fan { a, b, law } => (a, b, law.current(v[a], v[b])),
        ElectricElement::Accumulator {
            plus,
            minus,
            emf,
            gives,
            takes,
        } => (plus, minus, accumulator(emf, gives, takes, v[plus], v[minus])),
        ElectricElement::Ratiometric { .. } | ElectricElement::Position { .. } => return None,
    })
}

impl ElectricEquations<'_> {
    /// Supply, ground and signal of a sensor, the conductance behind its signal, and the share of the supply that it gives.
    fn sensed(&self, element: &ElectricElement) -> Option<(Node, Node, Node, f64, f64)> {
        match *element {
            ElectricElement::Ratiometric {
                plus,
                minus,
                signal,
                conductance,
                air,
                scale,
            } => Some((plus, minus, signal, conductance, scale.share(self.air[air]))),
            ElectricElement::Position {
                plus,
                minus,
                signal,
                conductance,
                rod,
                scale,
            } => Some((plus, minus, signal, conductance, scale.share(self.rod[rod]))),
            _ => None,
        }
    }
}

impl System for ElectricEquations<'_> {
    fn size(&self) -> usize {
        self.unknowns.nodes().len()
    }

    fn evaluate(&mut self, x: &[f64], residual: &mut [f64], jacobian: Option<&mut Matrix>) {
        for (i, node) in self.unknowns.nodes().iter().enumerate() {
            self.potentials[*node] = x[i];
        }
        let v = &*self.potentials;
        let mut balance = Balance::new(self.unknowns, residual, jacobian);
        for node in self.unknowns.nodes() {
            balance.leaves(*node, INSULATION * v[*node], INSULATION);
        }
        for (element, _) in &self.net.elements {
            if let Some((a, b, flow)) = electric_flow(element, v, self.phase) {
                balance.between(a, b, flow);
            } else if let Some((plus, minus, signal, conductance, share)) = self.sensed(element) {
                // The output stage takes its current from the supply pin or gives it to the ground pin; that current is
                // a thousandth of the sensor's own and is booked at the ground pin alone.
                let target = v[minus] + share * (v[plus] - v[minus]);
                let flow = conductance * (v[signal] - target);
                balance.between(
                    signal,
                    minus,
                    Flow {
                        value: flow,
                        by_a: conductance,
                        by_b: conductance * (share - 1.0),
                    },
                );
                let (row, ground, column) = (
                    self.unknowns.of(signal),
                    self.unknowns.of(minus),
                    self.unknowns.of(plus),
                );
                balance.slope(row, column, -conductance * share);
                balance.slope(ground, column, conductance * share);
            }
        }
    }

    fn small_step(&self, i: usize) -> f64 {
        1e-9 * (1.0 + self.potentials[self.unknowns.nodes()[i]].abs())
    }

    /// Volts over a joint of 10 µΩ, to sixteen digits.
    fn rounding(&self) -> f64 {
        1e-11
    }

    fn linear(&self) -> bool {
        self.linear
    }

    /// The current of every element grows with its own voltage, so the residual is the slope of the network's co-content
    /// (Millar 1951). A sensor's output stage is the exception; it is linear and weak.
    fn convex(&self) -> bool {
        true
    }
}

impl ElectricElement {
    /// `true` if its current is not proportional to its voltage.
    pub(crate) fn curved(&self) -> bool {
        matches!(
            self,
            Self::Limited { .. }
                | Self::Diode { .. }
                | Self::Filament { .. }
                | Self::Motor { .. }
                | Self::PumpMotor { .. }
                | Self::Alternator { .. }
                | Self::Fan { .. }
                | Self::Accumulator { .. }
        )
    }
}
