//! What air does while time goes on: dp/dt = R T ṁ / V at every node with room for air (DERIVATIONS.md, section 20).
//!
//! The network is the same as for a steady state, and so are its laws; a check edits it, and only then does time run. Air
//! keeps its temperature. What a switch does is decided before, by current; while a course runs nothing is switched.

use crate::air_net::AirEquations;
use crate::ambient::{Ambient, GAS_CONSTANT};
use crate::assembly::{AMBIENT, Nodes, Wanted, assemble};
use crate::laws::air;
use crate::model::Model;
use crate::network::{AirElement, Network, Node, Unknowns};
use crate::probe::{Slot, SolveError, name_node};
use crate::steady::Unbalanced;
use crate::vehicle::Vehicle;
use circuit::{Circuit, ConditionId, Medium, PortRef};
use numerics::{Matrix, Rates, Stiff, Stuck};

/// Room at every node besides that of parts: nipples and tees, m³. From memory.
const FITTINGS: f64 = 0.5e-6;
/// An error of pressure in one step that no needle shows, Pa.
const UNSEEN: f64 = 1.0;
/// Within this of the ambient pressure everything has run out, Pa: a hundredth of an inHg.
pub(crate) const REST: f64 = 30.0;

/// What happens in time during a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Course {
    /// Nothing: one waits until all is steady.
    None,
    /// The hand pump at a port brings its piece to the stated vacuum (or pressure), is closed, and one waits.
    Hold(PortRef, bool),
    /// Engine and power are stopped, and one waits.
    Stopped,
    /// A leak unit that holds its pressure at the port is shut, and one waits.
    Shut(PortRef),
    /// The source starts with all at ambient pressure, until the port shows the stated vacuum.
    PumpDown(PortRef),
}

/// Why a course came to no end.
#[derive(Debug, Clone)]
pub(crate) struct Failed {
    node: Option<Node>,
    reason: String,
}

impl Failed {
    /// As an error of a check.
    pub(crate) fn at(self, model: &Model, check: usize, slot: &Slot) -> SolveError {
        SolveError {
            check: model.checks[check].id.clone(),
            place: name_node(&model.circuit, &slot.nodes, Medium::Air, self.node),
            reason: self.reason,
        }
    }
}

impl From<Unbalanced> for Failed {
    fn from(unbalanced: Unbalanced) -> Self {
        Self {
            node: unbalanced.node,
            reason: unbalanced.error.to_string(),
        }
    }
}

impl From<Stuck> for Failed {
    fn from(stuck: Stuck) -> Self {
        Self {
            node: None,
            reason: format!("what happens cannot be followed beyond {:.3} s", stuck.time),
        }
    }
}

/// Memory for courses of one network.
#[derive(Debug, Default)]
pub(crate) struct Timed {
    /// The network once the source stands.
    net: Network,
    nodes: Nodes,
    unknowns: Unknowns,
    room: Vec<f64>,
    shut: Vec<bool>,
    y: Vec<f64>,
    jacobian: Matrix,
    stiff: Stiff,
}

/// When a course ends, and how fine it is.
#[derive(Debug, Clone, Copy)]
struct End {
    goal: Goal,
    /// s.
    span: f64,
    /// An error of pressure in one step that no needle shows, Pa.
    unseen: f64,
}

/// Where a course may end before its time.
#[derive(Debug, Clone, Copy)]
enum Goal {
    /// All within this of the ambient pressure, Pa.
    Rest(f64),
    /// This node at this pressure or below.
    Down(Node, f64),
}

/// The rates of a network.
struct AirRates<'a> {
    net: &'a Network,
    unknowns: &'a Unknowns,
    pulled: &'a [f64],
    ambient: Ambient,
    /// Pressures of all nodes; the free ones are scratch.
    potentials: &'a mut [f64],
    room: &'a [f64],
    shut: &'a mut [bool],
    jacobian: &'a mut Matrix,
    end: End,
}

impl AirRates<'_> {
    /// Mass of air that a node takes up per pressure, kg/Pa.
    fn capacity(&self, node: Node) -> f64 {
        room_at(self.net, node, self.room[node], self.potentials, self.ambient)
            / (GAS_CONSTANT * self.ambient.temperature)
    }
}

/// Room that counts at a node, m³: V + p dV/dp, with what the diaphragms there give way.
pub(crate) fn room_at(net: &Network, node: Node, fixed: f64, pressures: &[f64], ambient: Ambient) -> f64 {
    let mut room = fixed;
    for bellows in net.bellows.iter().filter(|bellows| bellows.air == node) {
        let travel = net.rod.travel(bellows.rod, pressures, ambient.pressure);
        room += (bellows.rest - bellows.area * travel.at).max(0.0);
        if travel.moves() {
            room += pressures[node] * bellows.area * bellows.area / travel.rate;
        }
    }
    room
}

impl AirRates<'_> {
    /// Lets check valves that are about to open count as open in the derivatives: a step that did not know would lead far beyond,
    /// the next one back, and so on where nothing flows.
    fn count_as_open(&mut self) {
        for ((element, _), shut) in self.net.air.elements.iter().zip(self.shut.iter()) {
            let AirElement::CheckValve {
                a,
                b,
                conductance,
                opening,
                ..
            } = *element
            else {
                continue;
            };
            let (at_a, at_b) = (self.potentials[a], self.potentials[b]);
            if !*shut || at_b - at_a > REST {
                continue;
            }
            let slope = air::open_check_valve(conductance, opening, at_b, at_b).by_a;
            for (node, other) in [(a, b), (b, a)] {
                let Some(i) = self.unknowns.of(node) else { continue };
                self.jacobian.add(i, i, slope);
                if let Some(j) = self.unknowns.of(other) {
                    self.jacobian.add(i, j, -slope);
                }
            }
        }
    }
}

impl Rates for AirRates<'_> {
    fn size(&self) -> usize {
        self.unknowns.nodes().len()
    }

    fn evaluate(&mut self, y: &[f64], rates: &mut [f64], jacobian: Option<&mut Matrix>) {
        for (node, y) in self.unknowns.nodes().iter().zip(y) {
            self.potentials[*node] = *y;
        }
        for ((element, _), shut) in self.net.air.elements.iter().zip(self.shut.iter_mut()) {
            if let AirElement::CheckValve { a, b, .. } = *element {
                *shut = self.potentials[a] < self.potentials[b];
            }
        }
        self.jacobian.reset(y.len());
        let mut equations = AirEquations {
            net: &self.net.air,
            unknowns: self.unknowns,
            pulled: self.pulled,
            ambient: self.ambient.pressure,
            potentials: self.potentials,
            bounds: (f64::NEG_INFINITY, f64::INFINITY),
            shut: self.shut,
            // What takes time is done with the engine standing.
            charge: self.net.charge(1.0),
        };
        let wanted = jacobian.is_some().then_some(&mut *self.jacobian);
        numerics::System::evaluate(&mut equations, y, rates, wanted);
        if jacobian.is_some() {
            self.count_as_open();
        }
        let mut jacobian = jacobian;
        for (i, node) in self.unknowns.nodes().iter().enumerate() {
            let capacity = self.capacity(*node);
            rates[i] /= -capacity;
            if let Some(jacobian) = jacobian.as_deref_mut() {
                for j in 0..y.len() {
                    let slope = self.jacobian.get(i, j);
                    if slope != 0.0 {
                        jacobian.add(i, j, -slope / capacity);
                    }
                }
            }
        }
    }

    fn small(&self) -> f64 {
        self.end.unseen
    }

    fn left(&mut self, y: &[f64]) -> f64 {
        match self.end.goal {
            Goal::Rest(rest) => {
                let apart = y.iter().map(|y| (y - self.ambient.pressure).abs());
                apart.fold(0.0, f64::max) - rest
            }
            Goal::Down(node, pressure) => {
                let at = self.unknowns.of(node).map_or(self.potentials[node], |i| y[i]);
                at - pressure
            }
        }
    }
}

/// The room at every node of a network besides its bellows.
pub(crate) fn lay_room(net: &Network, room: &mut Vec<f64>) {
    room.clear();
    room.resize(net.air.fixed.len(), FITTINGS);
    for (node, volume) in &net.volumes {
        room[*node] += volume;
    }
}

impl Timed {
    /// Follows the air of `net` from `pressures`, in place. Returns the time it took.
    fn follow(
        &mut self,
        net: &Network,
        pulled: &[f64],
        ambient: Ambient,
        pressures: &mut [f64],
        end: End,
    ) -> Result<f64, Failed> {
        self.unknowns.refill(&net.air.fixed);
        self.shut.clear();
        self.shut.resize(net.air.elements.len(), false);
        self.y.clear();
        self.y
            .extend(self.unknowns.nodes().iter().map(|node| pressures[*node]));
        let mut rates = AirRates {
            net,
            unknowns: &self.unknowns,
            pulled,
            ambient,
            potentials: pressures,
            room: &self.room,
            shut: &mut self.shut,
            jacobian: &mut self.jacobian,
            end,
        };
        let course = self.stiff.follow(&mut rates, &mut self.y, end.span)?;
        for (node, y) in self.unknowns.nodes().iter().zip(&self.y) {
            pressures[*node] = *y;
        }
        Ok(if course.ended { course.time } else { end.span })
    }
}

impl End {
    /// All air in the vehicle at rest again, or the time of the stated wait over.
    fn wait() -> Self {
        Self {
            goal: Goal::Rest(REST),
            span: circuit::WAIT.as_secs_f64(),
            unseen: UNSEEN,
        }
    }
}

impl Slot {
    /// The leak unit is shut in the steady state that was solved, and one waits. It works at a thirtieth of what other courses do.
    pub(crate) fn shut(&mut self, circuit: &Circuit, port: PortRef, ambient: Ambient) -> Result<(), Failed> {
        if let Some(node) = self.nodes.at(circuit, port) {
            self.net.air.fixed[node] = None;
        }
        lay_room(&self.net, &mut self.timed.room);
        self.after.clone_from(&self.solver.state.air);
        let end = End {
            goal: Goal::Rest(0.1 * REST),
            unseen: 0.03 * UNSEEN,
            ..End::wait()
        };
        self.timed
            .follow(&self.net, &self.solver.state.share, ambient, &mut self.after, end)
            .map(|_| ())
    }

    /// The hand pump brings the piece behind `port` to its level, is closed, and one waits.
    pub(crate) fn hold(
        &mut self,
        circuit: &Circuit,
        port: PortRef,
        vacuum: bool,
        ambient: Ambient,
    ) -> Result<(), Failed> {
        let pump = self.nodes.at(circuit, port).unwrap_or(AMBIENT);
        let level = if vacuum {
            ambient.pressure - circuit::HOLD_LEVEL.si().min(0.8 * ambient.pressure)
        } else {
            ambient.pressure + circuit::HOLD_PRESSURE.si()
        };
        self.solver.release(&self.net);
        crate::hold::shut_off(
            &mut self.net.air,
            &self.solver.state.share,
            pump,
            ambient.pressure,
        );
        lay_room(&self.net, &mut self.timed.room);
        self.timed.room[pump] += crate::hold::HAND_PUMP;
        self.after.clear();
        self.after.resize(self.net.air.fixed.len(), ambient.pressure);
        let wait = circuit::WAIT.as_secs_f64();
        if let Some(lump) = crate::hold::Lump::of(
            &self.net,
            &self.solver.state.share,
            &self.timed.room,
            (level, wait, ambient),
        ) {
            lump.wait(wait, &mut self.after);
            return Ok(());
        }
        self.net.air.fixed[pump] = Some(level);
        self.solver
            .solve_unpowered_air(&self.net, ambient.pressure, level)?;
        self.net.air.fixed[pump] = None;
        self.after.clone_from(&self.solver.state.air);
        let end = End::wait();
        self.timed
            .follow(&self.net, &self.solver.state.share, ambient, &mut self.after, end)?;
        Ok(())
    }

    /// Engine and power stop in the steady state that was solved, and one waits.
    pub(crate) fn stop(
        &mut self,
        model: &Model,
        edit: crate::assembly::Edit,
        vehicle: &Vehicle,
    ) -> Result<(), Failed> {
        let ambient = vehicle.ambient;
        let mut net = std::mem::take(&mut self.timed.net);
        let mut nodes = std::mem::take(&mut self.timed.nodes);
        assemble(
            &model.circuit,
            &model.kinds.0,
            vehicle,
            Wanted {
                condition: ConditionId(0),
                edit,
                only: None,
            },
            &mut net,
            &mut nodes,
        );
        let before = (&self.nodes, &self.solver.state.air[..]);
        let mut pressures = carried_over(&model.circuit, before, (&net, &nodes), ambient);
        let share = |switch: &crate::network::Switch| if switch.stuck == Some(true) { 1.0 } else { 0.0 };
        let pulled: Vec<f64> = net.switches.iter().map(share).collect();
        lay_room(&net, &mut self.timed.room);
        let end = End::wait();
        let went = self.timed.follow(&net, &pulled, ambient, &mut pressures, end);
        self.after.clear();
        self.after.resize(self.net.air.fixed.len(), ambient.pressure);
        for (joint, (before, after)) in model
            .circuit
            .joints
            .iter()
            .zip(self.nodes.joints.iter().zip(&nodes.joints))
        {
            if joint.medium == Medium::Air {
                self.after[*before] = pressures[*after];
            }
        }
        (self.timed.net, self.timed.nodes) = (net, nodes);
        went.map(|_| ())
    }

    /// The source starts with everything at ambient pressure; how long until `port` shows the stated vacuum?
    pub(crate) fn pump_down(
        &mut self,
        circuit: &Circuit,
        port: PortRef,
        ambient: Ambient,
    ) -> Result<(), Failed> {
        let node = self.nodes.at(circuit, port).unwrap_or(AMBIENT);
        self.after.clear();
        let fixed = self.net.air.fixed.iter();
        self.after
            .extend(fixed.map(|fixed| fixed.unwrap_or(ambient.pressure)));
        lay_room(&self.net, &mut self.timed.room);
        let goal = Goal::Down(node, ambient.pressure - circuit::PUMP_DOWN_LEVEL.si());
        self.seconds = self.timed.follow(
            &self.net,
            &self.solver.state.share,
            ambient,
            &mut self.after,
            End {
                goal,
                span: circuit::GIVEN_UP.as_secs_f64(),
                unseen: UNSEEN,
            },
        )?;
        Ok(())
    }
}

/// Pressures of `net` at the moment when the network before it ceased: joints keep theirs, and what lies inside a part takes
/// that of what it is joined to.
fn carried_over(
    circuit: &Circuit,
    (nodes_before, before): (&Nodes, &[f64]),
    (net, nodes): (&Network, &Nodes),
    ambient: Ambient,
) -> Vec<f64> {
    let mut pressures: Vec<f64> = net
        .air
        .fixed
        .iter()
        .map(|fixed| fixed.unwrap_or(f64::NAN))
        .collect();
    let joints = nodes_before.joints.iter().zip(&nodes.joints);
    let air = circuit
        .joints
        .iter()
        .zip(joints)
        .filter(|(joint, _)| joint.medium == Medium::Air);
    for (_, (from, to)) in air {
        if net.air.fixed[*to].is_none() {
            pressures[*to] = before[*from];
        }
    }
    for (element, _) in &net.air.elements {
        let (AirElement::Restriction { a, b, .. }
        | AirElement::Line { a, b, .. }
        | AirElement::CheckValve { a, b, .. }) = *element
        else {
            continue;
        };
        for (inside, beside) in [(a, b), (b, a)] {
            if pressures[inside].is_nan() {
                pressures[inside] = pressures[beside];
            }
        }
    }
    pressures
        .iter_mut()
        .filter(|p| p.is_nan())
        .for_each(|p| *p = ambient.pressure);
    pressures
}

#[cfg(test)]
mod tests;
