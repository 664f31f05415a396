//! Solving the air net: what the turbocharger makes of the air, which way check valves stand, the pressures.

use crate::air_net::AirEquations;
use crate::assembly::AMBIENT;
use crate::charger::Charge;
use crate::network::Network;
use crate::steady::{Solver, TURNS, Unbalanced, Work, unbalanced};
use circuit::Medium;
use numerics::{Limits, NewtonError, newton};

impl Solver {
    /// What leaves an air node on the whole, kg/s: what somebody outside feeds there.
    pub(crate) fn leaving(&self, net: &Network, ambient: f64, node: usize) -> f64 {
        let mut potentials = self.state.air.clone();
        let charge = net.charge(self.state.ratio);
        let equations = AirEquations {
            net: &net.air,
            unknowns: &self.air.0,
            pulled: &self.state.share,
            ambient,
            bounds: net.air.bounds(ambient, charge.ratio),
            potentials: &mut potentials,
            shut: &self.shut,
            charge,
        };
        equations.leaving(node).sum()
    }

    /// What air a part gives off to the air around, kg/s.
    pub(crate) fn escapes(&self, net: &Network, part: usize) -> f64 {
        let mut potentials = self.state.air.clone();
        let ambient = potentials[AMBIENT];
        let charge = net.charge(self.state.ratio);
        let equations = AirEquations {
            net: &net.air,
            unknowns: &self.air.0,
            pulled: &self.state.share,
            ambient,
            bounds: net.air.bounds(ambient, charge.ratio),
            potentials: &mut potentials,
            shut: &self.shut,
            charge,
        };
        let own = |index: &usize| net.air.elements[*index].1 == part;
        (0..net.air.elements.len())
            .filter(own)
            .map(|index| match equations.flow(index) {
                (a, Some(AMBIENT), flow) if a != AMBIENT => flow.value,
                (AMBIENT, Some(b), flow) if b != AMBIENT => -flow.value,
                _ => 0.0,
            })
            .sum()
    }

    /// What leaves an air node on the whole at the present state, and what runs through it, kg/s.
    #[cfg(test)]
    pub(crate) fn air_balance(&mut self, net: &Network, ambient: f64, node: usize) -> (f64, f64) {
        let equations = self.air_equations(net, ambient);
        (
            equations.leaving(node).sum(),
            equations.leaving(node).map(f64::abs).sum::<f64>() / 2.0,
        )
    }

    /// The equations of the air net at the present state.
    pub(crate) fn air_equations<'a>(&'a mut self, net: &'a Network, ambient: f64) -> AirEquations<'a> {
        let charge = net.charge(self.state.ratio);
        AirEquations {
            net: &net.air,
            unknowns: &self.air.0,
            pulled: &self.state.share,
            ambient,
            potentials: &mut self.state.air,
            bounds: net.air.bounds(ambient, charge.ratio),
            shut: &self.shut,
            charge,
        }
    }

    /// Air, and what the turbocharger makes of it.
    pub(crate) fn solve_air(
        &mut self,
        net: &Network,
        ambient: f64,
        work: &mut Work,
    ) -> Result<(), Unbalanced> {
        match &net.charger {
            Some(charger) => self.solve_charged(net, charger, ambient, work),
            None => self.solve_air_at(net, ambient, net.charge(1.0), work),
        }
    }

    /// Air with each check valve taken as open or shut; then they turn as the pressures say, until none moves any more.
    pub(crate) fn solve_air_at(
        &mut self,
        net: &Network,
        ambient: f64,
        charge: Charge,
        work: &mut Work,
    ) -> Result<(), Unbalanced> {
        self.shut.resize(net.air.elements.len(), false);
        for _ in 0..TURNS {
            self.solve_pressures(net, ambient, charge, work)?;
            if !net.air.turn_check_valves(&self.state.air, &mut self.shut) {
                return Ok(());
            }
        }
        Err(Unbalanced {
            medium: Medium::Air,
            node: None,
            error: NewtonError::NotConverged {
                steps: TURNS,
                worst: 0,
                residual: 0.0,
            },
        })
    }

    fn solve_pressures(
        &mut self,
        net: &Network,
        ambient: f64,
        charge: Charge,
        work: &mut Work,
    ) -> Result<(), Unbalanced> {
        let (unknowns, memory, x) = &mut self.air;
        let potentials = &mut self.state.air;
        x.clear();
        x.extend(unknowns.nodes().iter().map(|node| potentials[*node]));
        let (pulled, bounds, shut) = (
            &self.state.share,
            net.air.bounds(ambient, charge.ratio),
            &self.shut,
        );
        let mut equations = AirEquations {
            net: &net.air,
            unknowns,
            pulled,
            ambient,
            potentials,
            bounds,
            shut,
            charge,
        };
        let report = newton(&mut equations, x, memory, Limits::default())
            .map_err(|error| unbalanced(Medium::Air, unknowns, error))?;
        work.add(report);
        for (node, x) in unknowns.nodes().iter().zip(x.iter()) {
            potentials[*node] = *x;
        }
        Ok(())
    }
}
