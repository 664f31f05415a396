//! Taking a check's reading from a solved network, by a perfect instrument.
//!
//! A meter loads what it measures; a needle shows the mean over the phases of a duty; ears and eyes miss a little.

use crate::ambient::Ambient;
use crate::assembly::{AMBIENT, REFERENCE};
use crate::electric_net::{Phase, electric_flow};
use crate::joints::SMOKE;
use crate::laws::air::{CRITICAL_RATIO, DISCHARGE, hole, restriction};
use crate::laws::electric::motor_speed;
use crate::liquid_net::flow;
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
pub(crate) const OPEN_CIRCUIT: f64 = 4.0e7;

/// What a shaft must turn to be seen turning, rev/s, and the share of its voltage at which a lamp is seen to glow or a glow
/// plug felt to warm up. From memory.
const LEAST_SPEED: f64 = 0.2;
const LEAST_GLOW: f64 = 0.7;
/// Share of its voltage from which a warning lamp is seen to be lit. From memory.
const LEAST_LIGHT: f64 = 0.25;

/// How a check's reading is taken from a solved network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Readout {
    /// Pressure at a port in the check's sense: below ambient if `vacuum`.
    Pressure { port: PortRef, vacuum: bool },
    /// Pressure of the liquid at a port in the check's sense: below ambient if `vacuum`.
    WetPressure { port: PortRef, vacuum: bool },
    /// What runs into a can from a port that was taken off.
    IntoCan(PortRef),
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
    /// Resistance into the loom between two ports of a part that is unplugged, by the same meter.
    Loom(PortRef, PortRef),
    /// Does the control module hear what is said on its bus, so that it answers?
    Hears(PartId),
    /// How hot the part is.
    Temperature { part: PartId, running: bool },
    /// Share of the time that the output at a port is on, as a meter shows it.
    Duty { port: PortRef, high_side: bool },
    /// Alternating part of the voltage across the part.
    Ripple(PartId),
    /// Is the part's filament bright enough to be seen?
    Lit(PartId),
    /// How long it took.
    Seconds,
    /// What a leak unit feeds at the port that it holds, as air of the ambient pressure.
    Fed(PortRef),
    /// Does smoke come out of the part?
    Smokes(PartId),
    /// Is a fault of the part to be seen?
    Look(PartId),
    /// Does a reading move while the part is moved?
    Moves(PartId),
    /// What both gauges are brought to, SI, in the check's sense.
    Level(f64),
    /// Does the circuit work with a good part in place of this one? The readout of what says so, and its limits.
    Works {
        part: PartId,
        of: usize,
        least: f64,
        most: f64,
    },
}

impl Probe<'_> {
    /// What is read without a network: the chance that a look at the part finds something, or that a reading moves with it;
    /// the level at which gauges are compared.
    pub(crate) fn look(&self, check: usize, readout: Readout, vehicle: &Vehicle) -> f64 {
        let part = match readout {
            Readout::Look(part) => part,
            Readout::Moves(part) => return self.model.moves(check, part, vehicle),
            Readout::Level(level) => return level,
            _ => return 0.0,
        };
        let missed = vehicle
            .present()
            .filter(|fault| fault.part == part)
            .map(|fault| 1.0 - self.model.circuit.fault_spec(fault).seen)
            .product::<f64>();
        1.0 - missed * (1.0 - FALSE_ALARM)
    }

    /// The reading, SI, or the chance of "yes".
    pub(crate) fn read(&self, route: &Route, slot: &Slot, vehicle: &Vehicle) -> f64 {
        let circuit = &self.model.circuit;
        let at = |port| slot.nodes.at(circuit, port);
        match route.readout {
            Readout::Pressure { port, vacuum } => {
                let pressure = slot.air()[at(port).unwrap_or(AMBIENT)];
                let above = pressure - vehicle.ambient.pressure;
                if vacuum { -above } else { above }
            }
            Readout::WetPressure { port, vacuum } => {
                let pressure =
                    at(port).map_or(vehicle.ambient.pressure, |node| slot.solver.state.liquid[node]);
                let above = pressure - vehicle.ambient.pressure;
                if vacuum { -above } else { above }
            }
            Readout::IntoCan(port) => slot.flow_to_can(at(port), vehicle.ambient.pressure),
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
            Readout::Loom(a, b) => slot.loom_ohms(circuit, a, b),
            Readout::Hears(part) => hears(self.answers_tester(slot, part)),
            Readout::Temperature { part, running } => self.temperature(slot, part, running, vehicle),
            Readout::Duty { port, high_side } => {
                let below = slot.shown_duty(at(port));
                if high_side { 1.0 - below } else { below }
            }
            Readout::Ripple(part) => self.ripple(slot, part, vehicle),
            Readout::Lit(part) => hears(slot.glows(part, LEAST_LIGHT)),
            Readout::Seconds => slot.seconds,
            Readout::Fed(port) => {
                let node = at(port).unwrap_or(AMBIENT);
                let ambient = vehicle.ambient;
                slot.solver.leaving(&slot.net, ambient.pressure, node) / ambient.density(ambient.pressure)
            }
            Readout::Smokes(part) => smokes(slot.solver.escapes(&slot.net, part.0), vehicle.ambient),
            // These need no network.
            Readout::Look(_) | Readout::Moves(_) | Readout::Level(_) => 0.0,
            // A good part in place of a good one changes nothing: the complaint stays, unless it just does not show.
            Readout::Works { part, .. }
                if vehicle.absent.is_empty()
                    && vehicle.faults.iter().all(|(fault, _)| fault.part != part) =>
            {
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
        let values = self.values_of(part, vehicle);
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

pub(crate) fn hears(moves: bool) -> f64 {
    if moves { 1.0 - MISHEARD } else { MISHEARD }
}

impl Slot {
    /// Pressures at the end of the check's course, or of the steady state where it takes no time.
    fn air(&self) -> &[f64] {
        if self.after.is_empty() {
            &self.solver.state.air
        } else {
            &self.after
        }
    }

    /// Mean over the phases, as a needle shows it.
    pub(crate) fn mean(&self, value: impl Fn(usize) -> f64) -> f64 {
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
    pub(crate) fn current(&self, part: PartId, node: Option<usize>, phase: usize) -> f64 {
        let Some(node) = node else { return 0.0 };
        let position = Phase {
            driven: phase == 0,
            pulled: &self.solver.state.pulled[phase],
            torques: &self.solver.state.torques,
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

    /// Liquid that runs into the can at `node`.
    fn flow_to_can(&self, node: Option<usize>, ambient: f64) -> f64 {
        let (state, net) = (&self.solver.state, &self.net);
        let elements = net.liquid.elements.iter();
        let flows =
            elements.map(|(element, _)| flow(element, &state.liquid, &net.pumps, &state.feeds, ambient));
        let into = flows.map(|(a, b, flow)| match node {
            Some(node) if b == Some(node) => flow.value,
            Some(node) if a == node => -flow.value,
            _ => 0.0,
        });
        into.sum::<f64>().max(0.0)
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
                ElectricElement::PumpMotor {
                    a,
                    b,
                    pump,
                    resistance,
                    constant,
                    load,
                    drag,
                } if *owner == part.0 => {
                    let load = load + self.solver.state.torques[pump];
                    Some(motor_speed(resistance, constant, load, drag, v[a] - v[b]))
                }
                ElectricElement::Fan { a, b, law } if *owner == part.0 => Some(law.speed(v[a] - v[b])),
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
    pub(crate) fn switches_of(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.net
            .switches
            .iter()
            .enumerate()
            .filter(move |(_, switch)| switch.part == part.0)
            .map(|(index, _)| index)
    }

    fn answers(&self, part: PartId) -> bool {
        self.clicks(part) || self.speed(part, 0) > LEAST_SPEED || self.glows(part, LEAST_GLOW)
    }

    /// `true` if a filament of the part has more than `share` of its voltage.
    fn glows(&self, part: PartId, share: f64) -> bool {
        let v = &self.solver.state.electric[0];
        self.net
            .electric
            .elements
            .iter()
            .any(|(element, owner)| match *element {
                ElectricElement::Filament { a, b, nominal, .. } => {
                    *owner == part.0 && (v[a] - v[b]).abs() > share * nominal
                }
                _ => false,
            })
    }
}

/// Smoke is seen where as much comes out as out of a hole of this bore, m; makers of smoke machines and workshop manuals name
/// 0.25 to 0.5 mm (from memory). In a draught one in ten is missed.
const LEAST_SMOKE: f64 = 0.4e-3;
const SMOKE_MISSED: f64 = 0.1;

/// The chance that what escapes, kg/s, is seen as smoke.
fn smokes(escapes: f64, ambient: Ambient) -> f64 {
    let least = restriction(
        hole(LEAST_SMOKE, DISCHARGE, ambient.temperature),
        CRITICAL_RATIO,
        ambient.pressure + SMOKE,
        ambient.pressure,
    );
    if escapes > least.value {
        1.0 - SMOKE_MISSED
    } else {
        FALSE_ALARM
    }
}
