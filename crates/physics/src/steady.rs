//! The steady state of a network: electric nets first, then the switches they move, then air, then rods.
//!
//! Air and electric nets are solved by damped Newton, each on its own; rods by their balance of forces. Where a net feeds
//! back on an earlier one (a pressure sensor loads its supply) the round is repeated until nothing changes. Switches start
//! at rest and pull in as their currents say, so that the answer does not depend on what was solved before.

use crate::electric_net::{ElectricEquations, Phase};
use crate::laws::liquid::Feed;
use crate::network::{Coil, ElectricElement, Network, Node, Switch, Unknowns};
use crate::servo::CORRECTIONS;
use circuit::Medium;
use numerics::{Limits, NewtonError, Report, Workspace, newton};

/// Potentials of all nodes and positions of all switches.
#[derive(Debug, Clone, Default)]
pub(crate) struct State {
    pub(crate) air: Vec<f64>,
    /// In the on-phase, and in the off-phase where there is one.
    pub(crate) electric: [Vec<f64>; 2],
    pub(crate) rod: Vec<f64>,
    pub(crate) liquid: Vec<f64>,
    /// What the liquid asks of each pump, N m, and what feeds its motor.
    pub(crate) torques: Vec<f64>,
    pub(crate) feeds: Vec<Feed>,
    /// Pressure ratio of the turbocharger.
    pub(crate) ratio: f64,
    /// Which switches are pulled in, per phase.
    pub(crate) pulled: [Vec<bool>; 2],
    /// Share of time each switch is pulled in.
    pub(crate) share: Vec<f64>,
    /// Which switches moved in the on-phase, if only to drop out again at once.
    pub(crate) moved: Vec<bool>,
}

/// Work done by a solve: the regression test of the solver.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Work {
    /// Newton steps in all nets.
    pub steps: u32,
    /// Times a net had to be balanced node by node.
    pub rescues: u32,
    /// Rounds over the nets.
    pub rounds: u32,
}

impl Work {
    pub(crate) fn add(&mut self, report: Report) {
        self.steps += report.steps;
        self.rescues += report.rescues;
    }
}

/// A net that found no balance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Unbalanced {
    pub(crate) medium: Medium,
    pub(crate) node: Option<usize>,
    pub(crate) error: NewtonError,
}

/// Memory for solves of one network, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub(crate) struct Solver {
    pub(crate) state: State,
    pub(crate) air: (Unknowns, Workspace, Vec<f64>),
    pub(crate) electric: (Unknowns, Workspace, Vec<f64>),
    pub(crate) liquid: (Unknowns, Workspace, Vec<f64>),
    /// For each air element, whether it is a check valve that stands shut.
    pub(crate) shut: Vec<bool>,
    /// Potentials after each move of the switches, per phase: where the next vehicle's solves start.
    stages: [Vec<Vec<f64>>; 2],
    /// Scratch: which switches chatter, which moved.
    marks: [Vec<bool>; 2],
    /// Shares of the switches in the round before.
    share_before: Vec<f64>,
    /// Factors of the electric net per phase, for the load of a meter.
    pub(crate) electric_factors: [Workspace; 2],
}

/// Most rounds over the nets: a sensor's supply settles in two, unless it moves a switch.
const ROUNDS: u32 = 12;

/// Most times that check valves turn before a balance is given up; two or three are seen.
pub(crate) const TURNS: u32 = 24;

impl Solver {
    /// Forgets the last solution.
    pub(crate) fn cold(&mut self) {
        self.state = State::default();
        self.shut.clear();
        self.stages.iter_mut().for_each(Vec::clear);
    }

    /// Takes over the last solution of another solver of the same network.
    pub(crate) fn start_from(&mut self, other: &Self) {
        self.state.clone_from(&other.state);
        self.shut.clone_from(&other.shut);
        for (stages, others) in self.stages.iter_mut().zip(&other.stages) {
            stages.clone_from(others);
        }
    }

    /// Solves `net`, starting from the last solution where it fits.
    pub(crate) fn solve(&mut self, net: &Network, ambient: f64) -> Result<Work, Unbalanced> {
        self.fit(net, ambient);
        let mut work = Work::default();
        let felt = |air: Node| net.air.fixed[air].is_none();
        let feedback = net
            .electric
            .elements
            .iter()
            .any(|(e, _)| matches!(e, ElectricElement::Ratiometric { air, .. } if felt(*air)));
        // Air feels nothing of the electric net but its switches, and those mostly stand as they did for the vehicle before.
        let mut air_is_solved = feedback && self.state.share.len() == net.switches.len();
        if air_is_solved {
            self.share_before.clone_from(&self.state.share);
            self.solve_air(net, ambient, &mut work)?;
        }
        loop {
            work.rounds += 1;
            self.solve_electric(net, &mut work)?;
            // Air feels nothing of a pump's torque, so it waits until that has settled.
            if !net.liquid.elements.is_empty()
                && self.solve_liquid(net, ambient, &mut work)?
                && work.rounds < ROUNDS
            {
                continue;
            }
            if air_is_solved && self.state.share == self.share_before {
                break;
            }
            self.solve_air(net, ambient, &mut work)?;
            if !feedback || work.rounds >= ROUNDS {
                break;
            }
            self.share_before.clone_from(&self.state.share);
            air_is_solved = true;
        }
        if net.drives.is_empty() {
            net.rod.travels(&self.state.air, ambient, &mut self.state.rod);
            return Ok(work);
        }
        self.drive_rods(net, &mut work)?;
        Ok(work)
    }

    /// Rods that motors move: each correction by what is reported, then the electric net with the rods there.
    fn drive_rods(&mut self, net: &Network, work: &mut Work) -> Result<(), Unbalanced> {
        for _ in 0..CORRECTIONS {
            let (v, pulled) = (&self.state.electric[0], &self.state.pulled[0]);
            if !net.drive(v, pulled, &mut self.state.rod) {
                break;
            }
            work.rounds += 1;
            self.solve_electric(net, work)?;
        }
        Ok(())
    }

    /// Solves the air of `net` alone, from `rest` at every free node, switches as they stand without power.
    pub(crate) fn solve_unpowered_air(
        &mut self,
        net: &Network,
        ambient: f64,
        rest: f64,
    ) -> Result<Work, Unbalanced> {
        self.release(net);
        self.state.air.clear();
        fit(&mut self.state.air, &net.air.fixed, rest);
        self.air.0.refill(&net.air.fixed);
        self.shut.clear();
        let mut work = Work::default();
        self.solve_air(net, ambient, &mut work)?;
        Ok(work)
    }

    /// Lets go of every switch that is not stuck: no power.
    pub(crate) fn release(&mut self, net: &Network) {
        let share = |switch: &Switch| if switch.stuck == Some(true) { 1.0 } else { 0.0 };
        self.state.share.clear();
        self.state.share.extend(net.switches.iter().map(share));
    }

    /// Makes the state fit the network: fixed nodes at their potentials, new nodes at rest.
    fn fit(&mut self, net: &Network, ambient: f64) {
        fit(&mut self.state.air, &net.air.fixed, ambient);
        fit(
            &mut self.state.liquid,
            &net.liquid.fixed,
            net.liquid.rest(ambient),
        );
        self.state.torques.resize(net.pumps.len(), 0.0);
        for phase in &mut self.state.electric {
            fit(phase, &net.electric.fixed, 0.0);
        }
        if !net.drives.is_empty() {
            // From rest, so that the answer does not depend on where the rod was for the vehicle before.
            self.state.rod.clear();
            self.state.rod.resize(net.rod.fixed.len(), 0.0);
        }
        self.air.0.refill(&net.air.fixed);
        self.electric.0.refill(&net.electric.fixed);
    }

    fn solve_electric(&mut self, net: &Network, work: &mut Work) -> Result<(), Unbalanced> {
        let on_share = net.duty.unwrap_or(1.0);
        self.state.share.clear();
        self.state.share.resize(net.switches.len(), 0.0);
        let phases = if net.duty.is_some() { 2 } else { 1 };
        for phase in 0..phases {
            self.solve_phase(net, phase, work)?;
            let weight = if phase == 0 { on_share } else { 1.0 - on_share };
            for (share, pulled) in self.state.share.iter_mut().zip(&self.state.pulled[phase]) {
                *share += if *pulled { weight } else { 0.0 };
            }
        }
        for (share, switch) in self.state.share.iter_mut().zip(&net.switches) {
            if let (Coil::Known { current, duty }, None) = (switch.coil, switch.stuck) {
                *share = if current >= switch.pull_in { duty } else { 0.0 };
            }
        }
        Ok(())
    }

    /// One phase: switches from rest, then as the currents say until none moves any more.
    fn solve_phase(&mut self, net: &Network, phase: usize, work: &mut Work) -> Result<(), Unbalanced> {
        let driven = phase == 0;
        let mut pulled = std::mem::take(&mut self.state.pulled[phase]);
        pulled.clear();
        pulled.extend(net.switches.iter().map(|switch| switch.stuck.unwrap_or(false)));
        if let (1, [on, _]) = (phase, &self.state.pulled) {
            // What melted in the on-phase stays so.
            let melted = net
                .switches
                .iter()
                .zip(on)
                .map(|(switch, on)| switch.latches() && *on);
            pulled
                .iter_mut()
                .zip(melted)
                .for_each(|(pulled, melted)| *pulled |= melted);
        }
        let [mut locked, mut moved] = std::mem::take(&mut self.marks);
        for marks in [&mut locked, &mut moved] {
            marks.clear();
            marks.resize(pulled.len(), false);
        }
        let torques = std::mem::take(&mut self.state.torques);
        let contacts = net
            .electric
            .elements
            .iter()
            .any(|(e, _)| matches!(e, ElectricElement::Contact { .. }));
        for stage in 0.. {
            self.recall(phase, stage);
            self.solve_nodes(
                net,
                phase,
                Phase {
                    driven,
                    pulled: &pulled,
                    torques: &torques,
                },
                work,
            )?;
            self.keep(phase, stage);
            let v = &self.state.electric[phase];
            // A fuse takes its time, so it judges only what the relays settled on.
            let any = move_switches(net, v, false, &mut pulled, &mut locked, &mut moved)
                || move_switches(net, v, true, &mut pulled, &mut locked, &mut moved);
            if !any || !contacts {
                break;
            }
        }
        if driven {
            self.state.moved.clone_from(&moved);
        }
        self.marks = [locked, moved];
        self.state.torques = torques;
        self.state.pulled[phase] = pulled;
        Ok(())
    }

    /// Starts from what this stage of the switches' moves ended with for the vehicle before.
    fn recall(&mut self, phase: usize, stage: usize) {
        let potentials = &mut self.state.electric[phase];
        let kept = self.stages[phase].get(stage);
        if let Some(kept) = kept.filter(|kept| kept.len() == potentials.len()) {
            for node in self.electric.0.nodes() {
                potentials[*node] = kept[*node];
            }
        }
    }

    fn keep(&mut self, phase: usize, stage: usize) {
        let (stages, potentials) = (&mut self.stages[phase], &self.state.electric[phase]);
        match stages.get_mut(stage) {
            Some(kept) => kept.clone_from(potentials),
            None => stages.push(potentials.clone()),
        }
    }

    fn solve_nodes(
        &mut self,
        net: &Network,
        phase: usize,
        position: Phase,
        work: &mut Work,
    ) -> Result<(), Unbalanced> {
        let (unknowns, _, x) = &mut self.electric;
        let potentials = &mut self.state.electric[phase];
        x.clear();
        x.extend(unknowns.nodes().iter().map(|node| potentials[*node]));
        let linear = !net.electric.elements.iter().any(|(element, _)| element.curved());
        let mut equations = ElectricEquations {
            net: &net.electric,
            unknowns,
            phase: position,
            air: &self.state.air,
            rod: &self.state.rod,
            potentials,
            linear,
        };
        let report = newton(
            &mut equations,
            x,
            &mut self.electric_factors[phase],
            Limits::default(),
        )
        .map_err(|error| unbalanced(Medium::Electric, unknowns, error))?;
        work.add(report);
        for (node, x) in unknowns.nodes().iter().zip(x.iter()) {
            potentials[*node] = *x;
        }
        Ok(())
    }
}

fn fit(potentials: &mut Vec<f64>, fixed: &[Option<f64>], rest: f64) {
    if potentials.len() != fixed.len() {
        potentials.clear();
        potentials.resize(fixed.len(), rest);
    }
    for (potential, fixed) in potentials.iter_mut().zip(fixed) {
        if let Some(fixed) = fixed {
            *potential = *fixed;
        }
    }
}

/// Pulls in and releases switches as their currents say, those that move once for all (`latching`) or the others. A switch
/// that pulled in and at once drops out again chatters; it is taken as released. Returns `true` if any moved, and marks it.
fn move_switches(
    net: &Network,
    v: &[f64],
    latching: bool,
    pulled: &mut [bool],
    locked: &mut [bool],
    moved: &mut [bool],
) -> bool {
    let mut any = false;
    for (index, switch) in net.switches.iter().enumerate() {
        if switch.stuck.is_some() || locked[index] || switch.latches() != latching {
            continue;
        }
        let current = match switch.coil {
            Coil::Between { a, b, conductance } => (conductance * (v[a] - v[b])).abs(),
            Coil::Known { current, .. } => current,
        };
        let next = current
            >= if pulled[index] {
                switch.drop_out
            } else {
                switch.pull_in
            };
        if next != pulled[index] {
            locked[index] = pulled[index];
            pulled[index] = next;
            (moved[index], any) = (true, true);
        }
    }
    any
}

pub(crate) fn unbalanced(medium: Medium, unknowns: &Unknowns, error: NewtonError) -> Unbalanced {
    let worst = match error {
        NewtonError::Singular(singular) => singular.0,
        NewtonError::NotConverged { worst, .. } => worst,
    };
    Unbalanced {
        medium,
        node: unknowns.nodes().get(worst).copied(),
        error,
    }
}
