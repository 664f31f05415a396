//! Liquid and the current of its pumps, solved in turns: DERIVATIONS.md, section 19.
//!
//! The electric net is solved with the torque that each pump met last; seen from a pump's terminals it is then a source behind
//! a resistance. With that source in the pump's own law the liquid net is solved, which gives new torques. Where the rest of
//! the electric net is linear, that source is exact and the second turn changes nothing.

use crate::laws::liquid::Feed;
use crate::liquid_net::{DrivenPump, LiquidEquations, highest};
use crate::network::Network;
use crate::steady::{Solver, Unbalanced, Work, unbalanced};
use circuit::Medium;
use numerics::{Limits, newton};

/// Torques that differ by less than this share are the same: far below what any instrument shows.
const SAME: f64 = 1.0e-8;
/// Times that a liquid net is balanced node by node before it is given up; once is nearly always enough.
const ATTEMPTS: u32 = 6;
/// Least conductance that a pump is fed through, S: an open circuit.
const OPEN: f64 = 1.0e-9;

impl Solver {
    /// Solves the liquid net with the pumps fed as the electric net is now. Returns `true` if a pump's torque changed.
    pub(crate) fn solve_liquid(
        &mut self,
        net: &Network,
        ambient: f64,
        work: &mut Work,
    ) -> Result<bool, Unbalanced> {
        let feeds: Vec<Feed> = net
            .pumps
            .iter()
            .enumerate()
            .map(|(index, pump)| self.feed(net, index, pump))
            .collect();
        let (unknowns, memory, x) = &mut self.liquid;
        unknowns.refill(&net.liquid.fixed);
        let pressures = &mut self.state.liquid;
        let highest = highest(&net.pumps, &feeds, ambient);
        x.clear();
        x.extend(
            unknowns
                .nodes()
                .iter()
                .map(|node| pressures[*node].clamp(0.0, highest)),
        );
        let mut equations = LiquidEquations {
            net: &net.liquid,
            pumps: &net.pumps,
            feeds: &feeds,
            unknowns,
            ambient,
            pressures,
            highest,
            settled: false,
        };
        let mut report = newton(&mut equations, x, memory, Limits::default());
        for _ in 0..ATTEMPTS {
            if report.is_err() {
                equations.settle(x);
                report = newton(&mut equations, x, memory, Limits::default());
            }
        }
        let report = report.map_err(|error| unbalanced(Medium::Liquid, unknowns, error))?;
        work.add(report);
        for (node, x) in unknowns.nodes().iter().zip(x.iter()) {
            pressures[*node] = *x;
        }
        let mut changed = false;
        for (torque, (pump, feed)) in self.state.torques.iter_mut().zip(net.pumps.iter().zip(&feeds)) {
            let new = pump
                .law
                .torque(*feed, pressures[pump.inlet], pressures[pump.outlet], ambient);
            changed |= (new - *torque).abs() > SAME * (new + pump.law.load);
            *torque = new;
        }
        self.state.feeds = feeds;
        Ok(changed)
    }

    /// What feeds a pump: its voltage with the motor's own current taken away again, behind what the rest of the net shows at
    /// its terminals. Under a duty the mean of both phases; a pump is too heavy to follow.
    fn feed(&self, net: &Network, index: usize, pump: &DrivenPump) -> Feed {
        if !pump.turns {
            return Feed {
                voltage: 0.0,
                resistance: 1.0,
            };
        }
        let phases = if net.duty.is_some() { 2 } else { 1 };
        let mut mean = Feed::default();
        for phase in 0..phases {
            let share = match (net.duty, phase) {
                (Some(duty), 0) => duty,
                (Some(duty), _) => 1.0 - duty,
                (None, _) => 1.0,
            };
            let v = &self.state.electric[phase];
            let law = &pump.law;
            let load = law.load + self.state.torques[index];
            let apart = v[pump.plus] - v[pump.minus];
            let own = crate::laws::electric::motor(law.resistance, law.constant, load, law.drag, apart, 0.0);
            let seen = self.response(phase, pump.plus, pump.minus);
            let rest = (1.0 / seen.max(1e-12) - own.by_a).max(OPEN);
            mean.voltage += share * (apart + own.value / rest);
            mean.resistance += share / rest;
        }
        mean
    }

    /// Volts that an ampere fed in at `a` and taken out at `b` makes between them, all else as it is.
    fn response(&self, phase: usize, a: usize, b: usize) -> f64 {
        let (unknowns, factors) = (&self.electric.0, self.electric_factors[phase].factors());
        let mut response = vec![0.0; factors.size()];
        for (node, unit) in [(a, 1.0), (b, -1.0)] {
            if let Some(i) = unknowns.of(node) {
                response[i] += unit;
            }
        }
        factors.solve(&mut response);
        let at = |node| unknowns.of(node).map_or(0.0, |i| response[i]);
        at(a) - at(b)
    }
}
