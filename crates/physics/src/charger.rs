//! The turbocharger's balance: at which pressure ratio the turbine gives what the compressor takes (DERIVATIONS.md, section 22).
//!
//! Air is solved for a given ratio; the exhaust of the air that the cylinders then draw drives the turbine, past a flap or
//! through vanes that the rod has moved. The balance of power is one equation in the ratio: too much at ratio 1, too little
//! at the compressor's ceiling.

use crate::laws::turbo::{Compressor, ahead_of_turbine, heat, turbine_power};
use crate::network::{AirElement, Network, Node};
use crate::steady::{Solver, Unbalanced, Work};

/// Share of its room that a wide-open way never falls below, so that exhaust always has one.
const LEAST_WAY: f64 = 0.02;

/// How a rod's travel acts on the exhaust.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Acts {
    /// Opens a flap beside the turbine.
    OpensFlap,
    /// Shuts it.
    ShutsFlap,
    /// Narrows the vanes.
    NarrowsVanes,
}

/// What a turbocharger is, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Charger {
    /// The rod that steers it, and the travel at which that has its full effect.
    pub(crate) rod: Node,
    pub(crate) travel: f64,
    pub(crate) acts: Acts,
    /// Effective area of the turbine, m² (with vanes: wide).
    pub(crate) nozzle: f64,
    /// Area of the flap wide open, m² (with vanes: of the turbine when they are narrow).
    pub(crate) gate: f64,
    /// Share of the flap's area that never shuts.
    pub(crate) ajar: f64,
    pub(crate) compressor: Compressor,
    /// Efficiency of the turbine and the shaft.
    pub(crate) turbine: f64,
}

/// What the cylinders leave the turbine.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Exhaust {
    /// Exhaust that reaches the turbine for the air that the cylinders draw, kg/kg.
    pub(crate) for_air: f64,
    /// Its temperature, K.
    pub(crate) temperature: f64,
}

/// What the turbocharger makes of the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Charge {
    /// Pressure behind the compressor over that ahead of it.
    pub(crate) ratio: f64,
    /// Temperature of what the cylinders draw, K.
    pub(crate) temperature: f64,
}

/// How closely the ratio is found: a hundredth of a pascal at the compressor, as the pressures are.
const CLOSE: f64 = 1.0e-7;
/// Most ratios tried; a dozen are seen.
const TRIES: u32 = 100;
/// First stride from the last ratio.
const STRIDE: f64 = 0.02;

impl Charger {
    /// The charge at a pressure ratio.
    fn charge(&self, ratio: f64, net: &Network) -> Charge {
        Charge {
            ratio,
            temperature: net.temperature + net.warmth_left * self.compressor.warming(ratio, net.temperature),
        }
    }

    /// Power left over at the shaft, W: `swallowed` is what the cylinders draw, `pressed` what goes through the compressor
    /// (kg/s), `travel` that of the rod, `behind` the pressure behind the turbine.
    fn left_over(
        &self,
        net: &Network,
        [swallowed, pressed]: [f64; 2],
        travel: f64,
        ratio: f64,
        behind: f64,
    ) -> f64 {
        let flow = net.exhaust.for_air * swallowed.max(0.0);
        let (nozzle, gate) = self.ways(travel);
        let ahead = ahead_of_turbine(flow, net.exhaust.temperature, nozzle + gate, behind);
        let driving = flow * nozzle / (nozzle + gate);
        let given = self.turbine * turbine_power(driving, net.exhaust.temperature, ahead, behind);
        given - pressed.max(0.0) * heat(net.temperature) * self.compressor.warming(ratio, net.temperature)
    }

    /// Areas of the turbine and of the flap beside it.
    fn ways(&self, travel: f64) -> (f64, f64) {
        let position = (travel / self.travel).clamp(0.0, 1.0);
        let flap = |open: f64| self.gate * (self.ajar + (1.0 - self.ajar) * open);
        match self.acts {
            Acts::OpensFlap => (self.nozzle, flap(position)),
            Acts::ShutsFlap => (self.nozzle, flap(1.0 - position)),
            Acts::NarrowsVanes => {
                let narrowed = self.nozzle + (self.gate - self.nozzle) * position;
                (narrowed.max(LEAST_WAY * self.nozzle), 0.0)
            }
        }
    }
}

impl Network {
    /// What the cylinders draw at a pressure ratio.
    pub(crate) fn charge(&self, ratio: f64) -> Charge {
        let uncharged = Charge {
            ratio: 1.0,
            temperature: self.temperature,
        };
        self.charger
            .map_or(uncharged, |charger| charger.charge(ratio, self))
    }
}

impl Solver {
    /// Air and the turbocharger's ratio together: strides from the last ratio until the balance lies between two, then the secant
    /// between them with the Illinois rule (Dowell and Jarratt, BIT 11, 1971, 168).
    pub(crate) fn solve_charged(
        &mut self,
        net: &Network,
        charger: &Charger,
        ambient: f64,
        work: &mut Work,
    ) -> Result<(), Unbalanced> {
        let (least, most) = (1.0, charger.compressor.ceiling);
        let from = self.state.ratio.clamp(least, most);
        let mut near = (from, self.left_over(net, charger, from, ambient, work)?);
        let mut far = near;
        let mut stride = STRIDE;
        while near.1 * far.1 > 0.0 {
            let beyond = (far.0 + stride.copysign(far.1)).clamp(least, most);
            if (beyond - far.0).abs() < CLOSE {
                // At ratio 1 with nothing to drive it, or at the ceiling.
                return Ok(());
            }
            near = far;
            far = (beyond, self.left_over(net, charger, beyond, ambient, work)?);
            stride *= 2.0;
        }
        for _ in 0..TRIES {
            if far.1 == 0.0 || (far.0 - near.0).abs() < CLOSE {
                break;
            }
            let ratio = far.0 - far.1 * (far.0 - near.0) / (far.1 - near.1);
            let moved = (ratio - far.0).abs();
            let next = (ratio, self.left_over(net, charger, ratio, ambient, work)?);
            if next.1 * far.1 > 0.0 {
                near.1 *= 0.5;
            } else {
                near = far;
            }
            far = next;
            if moved < CLOSE {
                break;
            }
        }
        Ok(())
    }

    /// Solves the air at `ratio`; the power left over there.
    fn left_over(
        &mut self,
        net: &Network,
        charger: &Charger,
        ratio: f64,
        ambient: f64,
        work: &mut Work,
    ) -> Result<f64, Unbalanced> {
        self.state.ratio = ratio;
        self.solve_air_at(net, ambient, charger.charge(ratio, net), work)?;
        net.rod.travels(&self.state.air, ambient, &mut self.state.rod);
        let equations = self.air_equations(net, ambient);
        let mut flows = [0.0; 2];
        for (index, (element, _)) in net.air.elements.iter().enumerate() {
            let (_, _, flow) = equations.flow(index);
            match element {
                AirElement::Cylinders { .. } => flows[0] += flow.value,
                AirElement::Compressor { .. } => flows[1] += flow.value,
                _ => {}
            }
        }
        Ok(charger.left_over(net, flows, self.state.rod[charger.rod], ratio, ambient))
    }
}
