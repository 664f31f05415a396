//! Taking a check's reading from a solved network, by a perfect instrument.
//!
//! A meter loads what it measures; a needle shows the mean over the phases of a duty; ears and eyes miss a little.

use crate::assembly::{AMBIENT, REFERENCE};
use crate::electric_net::{Phase, electric_flow};
use crate::laws::electric::motor_speed;
use crate::model::Route;
use crate::network::ElectricElement;
use crate::probe::{OHMMETER, Probe, Slot};
use crate::vehicle::Vehicle;
use circuit::{PartId, PortRef};

/// A look that finds nothing wrong where something is, or something where nothing is. From memory: eyes see a fault
/// that is not there in 3 of 100 looks; a click is misheard about as often.
const FALSE_ALARM: f64 = 0.03;
const MISHEARD: f64 = 0.03;
/// A meter's input resistance, S; common practice, 10 MΩ.
const METER_LOAD: f64 = 1.0e-7;
/// Above this a meter shows an open circuit, ohm.
const OPEN_CIRCUIT: f64 = 4.0e7;

/// What a shaft must turn to be seen turning, rev/s, and the share of its voltage at which a lamp is seen to glow or a glow
/// plug felt to warm up. From memory.
const LEAST_SPEED: f64 = 0.2;
const LEAST_GLOW: f64 = 0.7;

/// How a check's reading is taken from a solved network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Readout {
    /// Pressure at a port in the check's sense: below ambient if `vacuum`.
    Pressure { port: PortRef, vacuum: bool },
    /// Voltage at a port against the source's negative terminal, with a meter of 10 MΩ on it; the mean under a duty. With
    /// the port unplugged: at the end that the source feeds.
    Voltage(PortRef),
    /// Voltage between the two power ports of a part at work, with a meter of 10 MΩ across them, without sign.
    Drop(PortRef, PortRef),
    /// Resistance between the coil ports of a part alone, by a meter of 0.5 V behind 500 Ω: too weak to move a plunger, warm
    /// a filament or turn a motor. Beyond 40 MΩ it shows an open circuit.
    Resistance(PortRef, PortRef),
    /// Current into a part at its first power port, by a clamp, without sign; the mean under a duty.
    Current(PortRef),
    /// Travel at a rod port.
    Travel(PortRef),
    /// Speed of what the motor in a part drives.
    Speed(PartId),
    /// Is the part's plunger heard when it is switched, if only once because it drops out again?
    Click(PartId),
    /// Does a part that is fed by a test lead answer: click, turn, glow?
    Answers(PartId),
    /// What the part itself reports.
    Data(PartId),
    /// Is a fault of the part to be seen?
    Look(PartId),
    /// Does the circuit work with a good part in place of this one? The readout of what says so, and its limits.
    Works {
        part: PartId,
        of: usize,
        least: f64,
        most: f64,
    },
}

impl Probe<'_> {
    /// The chance that a look at the part finds something.
    pub(crate) fn look(&self, readout: Readout, vehicle: &Vehicle) -> f64 {
        let Readout::Look(part) = readout else { return 0.0 };
        let missed = vehicle
            .faults
            .iter()
            .filter(|(fault, _)| fault.part == part)
            .map(|(fault, _)| 1.0 - self.model.circuit.fault_spec(*fault).seen)
            .product::<f64>();
        1.0 - missed * (1.0 - FALSE_ALARM)
    }

    /// The reading, SI, or the chance of "yes".
    pub(crate) fn read(&self, route: &Route, slot: &Slot, vehicle: &Vehicle) -> f64 {
        let circuit = &self.model.circuit;
        let at = |port| slot.nodes.at(circuit, port);
        match route.readout {
            Readout::Pressure { port, vacuum } => {
                let pressure = slot.solver.state.air[at(port).unwrap_or(AMBIENT)];
                let above = pressure - vehicle.ambient.pressure;
                if vacuum { -above } else { above }
            }
            Readout::Voltage(port) => {
                slot.mean(|phase| slot.metered(at(port).unwrap_or(REFERENCE), REFERENCE, phase))
            }
            Readout::Drop(a, b) => {
                let (a, b) = (at(a).unwrap_or(REFERENCE), at(b).unwrap_or(REFERENCE));
                slot.mean(|phase| slot.metered(a, b, phase)).abs()
            }
            Readout::Resistance(a, _) => {
                let v = slot.solver.state.electric[0][at(a).unwrap_or(REFERENCE)];
                (OHMMETER.1 * v / (OHMMETER.0 - v).max(1e-12)).min(OPEN_CIRCUIT)
            }
            Readout::Current(port) => slot.mean(|phase| slot.current(port.part, at(port), phase)).abs(),
            Readout::Travel(port) => slot.solver.state.rod[at(port).unwrap_or(0)].max(0.0),
            Readout::Speed(part) => slot.mean(|phase| slot.speed(part, phase)),
            Readout::Click(part) => hears(slot.clicks(part)),
            Readout::Answers(part) => hears(slot.answers(part)),
            Readout::Data(part) => self.reported(slot, part, vehicle),
            Readout::Look(_) => self.look(route.readout, vehicle),
            // A good part in place of a good one changes nothing: the complaint stays.
            Readout::Works { part, .. } if vehicle.faults.iter().all(|(fault, _)| fault.part != part) => {
                MISHEARD
            }
            Readout::Works { of, least, most, .. } => {
                let value = self.read(&self.model.works[of], slot, vehicle);
                if (least..=most).contains(&value) {
                    1.0 - MISHEARD
                } else {
                    MISHEARD
                }
            }
        }
    }

    /// What a part that reports for itself says, from the voltages at its ports.
    fn reported(&self, slot: &Slot, part: PartId, vehicle: &Vehicle) -> f64 {
        let circuit = &self.model.circuit;
        let first: usize = circuit.parts[..part.0].iter().map(|part| part.values.len()).sum();
        let values = &vehicle.values[first..first + circuit.parts[part.0].values.len()];
        slot.mean(|phase| {
            let volts = |port| {
                let node = slot
                    .nodes
                    .at(circuit, PortRef { part, port })
                    .unwrap_or(REFERENCE);
                slot.solver.state.electric[phase][node]
            };
            self.model.kinds.0[part.0].reports(values, &volts).unwrap_or(0.0)
        })
    }
}

fn hears(moves: bool) -> f64 {
    if moves { 1.0 - MISHEARD } else { MISHEARD }
}

impl Slot {
    /// Mean over the phases, as a needle shows it.
    fn mean(&self, value: impl Fn(usize) -> f64) -> f64 {
        match self.net.duty {
            Some(duty) => duty * value(0) + (1.0 - duty) * value(1),
            None => value(0),
        }
    }

    /// Voltage from `a` to `b` with a meter across them: the open voltage divided between the resistance that the circuit
    /// shows there and the meter's.
    fn metered(&self, a: usize, b: usize, phase: usize) -> f64 {
        let (v, unknowns) = (&self.solver.state.electric[phase], &self.solver.electric.0);
        let factors = self.solver.electric_factors[phase].factors();
        let mut response = vec![0.0; factors.size()];
        let (a_at, b_at) = (unknowns.of(a), unknowns.of(b));
        for (at, unit) in [(a_at, 1.0), (b_at, -1.0)] {
            if let Some(i) = at {
                response[i] += unit;
            }
        }
        factors.solve(&mut response);
        let moved = |at: Option<usize>| at.map_or(0.0, |i| response[i]);
        (v[a] - v[b]) / (1.0 + (moved(a_at) - moved(b_at)).abs() * METER_LOAD)
    }

    /// Current into `part` at `node`.
    fn current(&self, part: PartId, node: Option<usize>, phase: usize) -> f64 {
        let Some(node) = node else { return 0.0 };
        let position = Phase {
            driven: phase == 0,
            pulled: &self.solver.state.pulled[phase],
        };
        let v = &self.solver.state.electric[phase];
        let mut sum = 0.0;
        for (element, _) in self
            .net
            .electric
            .elements
            .iter()
            .filter(|(_, owner)| *owner == part.0)
        {
            if let Some((a, b, flow)) = electric_flow(element, v, position) {
                sum += if a == node { flow.value } else { 0.0 } - if b == node { flow.value } else { 0.0 };
            }
        }
        sum
    }

    /// Speed of the part's motor, rev/s.
    fn speed(&self, part: PartId, phase: usize) -> f64 {
        let v = &self.solver.state.electric[phase];
        let motor = self
            .net
            .electric
            .elements
            .iter()
            .find_map(|(element, owner)| match *element {
                ElectricElement::Motor {
                    a,
                    b,
                    resistance,
                    constant,
                    load,
                    drag,
                } if *owner == part.0 => Some(motor_speed(resistance, constant, load, drag, v[a] - v[b])),
                _ => None,
            });
        motor.unwrap_or(0.0) / std::f64::consts::TAU
    }

    fn clicks(&self, part: PartId) -> bool {
        let moved = |index: usize| self.solver.state.moved.get(index).copied().unwrap_or(false);
        self.switches_of(part)
            .any(|index| self.net.switches[index].stuck.is_none() && moved(index))
    }

    /// Numbers of the switches that belong to `part`.
    fn switches_of(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.net
            .switches
            .iter()
            .enumerate()
            .filter(move |(_, switch)| switch.part == part.0)
            .map(|(index, _)| index)
    }

    fn answers(&self, part: PartId) -> bool {
        self.clicks(part) || self.speed(part, 0) > LEAST_SPEED || self.glows(part)
    }

    /// `true` if a filament of the part has most of its voltage.
    fn glows(&self, part: PartId) -> bool {
        let v = &self.solver.state.electric[0];
        self.net
            .electric
            .elements
            .iter()
            .any(|(element, owner)| match *element {
                ElectricElement::Filament { a, b, nominal, .. } => {
                    *owner == part.0 && (v[a] - v[b]).abs() > LEAST_GLOW * nominal
                }
                _ => false,
            })
    }
}
