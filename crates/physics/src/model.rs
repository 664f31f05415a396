//! Predicting what a check reads.
//!
//! Checks that leave the circuit as it is share one solve per condition; a check that takes something off or puts
//! something in has its own. [`Model::probe`] holds the memory for solves, so that one vehicle after another is solved
//! from the last solution.

use crate::assembly::{AMBIENT, Edit, Nodes, REFERENCE, assemble, is_reference};
use crate::kinds::{Kind, kind_of};
use crate::laws::electric::motor_speed;
use crate::network::{ElectricElement, Network, Phase, electric_flow};
use crate::steady::{Solver, Work};
use crate::vehicle::Vehicle;
use circuit::{
    Check, Circuit, ConditionId, Medium, Method, PartId, Place, PortRef, Reads, Supplies, derive_checks,
    find_check,
};

/// Why a circuit has no computable steady state during a check.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("no balance at `{place}` during `{check}`: {reason}")]
pub struct SolveError {
    /// The check.
    pub check: String,
    /// The joint furthest out of balance, or the part.
    pub place: String,
    /// What the solver says.
    pub reason: String,
}

/// What a check would show, by a perfect instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Prediction {
    /// A number, SI; pressures in the check's own sense.
    Number(f64),
    /// Probability of "yes", 0 to 1.
    Yes(f64),
}

impl Prediction {
    /// The number, or the probability of "yes".
    pub fn value(self) -> f64 {
        match self {
            Self::Number(value) | Self::Yes(value) => value,
        }
    }
}

/// A look that finds nothing wrong where something is, or something where nothing is. From memory: eyes see a fault
/// that is not there in 3 of 100 looks; a click is misheard about as often.
const FALSE_ALARM: f64 = 0.03;
const MISHEARD: f64 = 0.03;
/// A meter's input resistance, S; common practice, 10 MΩ.
const METER_LOAD: f64 = 1.0e-7;
/// Above this a meter shows an open circuit, ohm.
const OPEN_CIRCUIT: f64 = 4.0e7;
/// Test voltage and inner resistance of an ohmmeter or test lead.
const OHMMETER: (f64, f64) = (0.5, 500.0);
const TEST_LEAD: (f64, f64) = (12.6, 0.05);

/// What a shaft must turn to be seen turning, rev/s, and the share of its voltage at which a lamp is seen to glow or a glow
/// plug felt to warm up. From memory.
const LEAST_SPEED: f64 = 0.2;
const LEAST_GLOW: f64 = 0.7;

/// How a check's reading is taken from a solved network.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Readout {
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
    /// Does the circuit work? The readout of what says so, and its limits.
    Works { of: usize, least: f64, most: f64 },
}

/// One network to solve: the circuit in a condition with an edit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Setting {
    condition: ConditionId,
    edit: Edit,
}

#[derive(Debug, Clone, Copy)]
struct Route {
    /// Index into the settings; `None` where nothing needs to be solved.
    setting: Option<usize>,
    readout: Readout,
}

/// A circuit ready to be measured.
#[derive(Debug)]
pub struct Model {
    circuit: Circuit,
    checks: Vec<Check>,
    kinds: Kinds,
    settings: Vec<Setting>,
    routes: Vec<Route>,
    /// Readouts that belong to no check of their own.
    works: Vec<Route>,
    /// All checks, those that share a network side by side.
    order: Vec<usize>,
}

struct Kinds(Vec<&'static dyn Kind>);

impl std::fmt::Debug for Kinds {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.debug_list()
            .entries(self.0.iter().map(|kind| kind.spec().name))
            .finish()
    }
}

/// Memory for predictions on one model; each thread has its own.
#[derive(Debug)]
pub struct Probe<'a> {
    model: &'a Model,
    slots: Vec<Slot>,
    /// Work of all solves so far.
    pub work: Work,
    /// Most Newton steps that a single solve took.
    pub hardest: u32,
    /// Number of networks solved.
    pub solves: u64,
}

#[derive(Debug, Default)]
struct Slot {
    net: Network,
    nodes: Nodes,
    solver: Solver,
}

impl Model {
    /// Makes `circuit` ready. Kinds that `physics` does not know are left without elements; a catalogue from
    /// [`crate::catalogue`] has none of those.
    pub fn new(circuit: Circuit) -> Self {
        let checks = derive_checks(&circuit);
        let kinds: Vec<_> = circuit
            .parts
            .iter()
            .filter_map(|part| kind_of(part.kind))
            .collect();
        assert_eq!(
            kinds.len(),
            circuit.parts.len(),
            "a circuit read with the catalogue of this crate"
        );
        let mut model = Self {
            circuit,
            checks,
            kinds: Kinds(kinds),
            settings: Vec::new(),
            routes: Vec::new(),
            works: Vec::new(),
            order: Vec::new(),
        };
        for index in 0..model.checks.len() {
            let route = model.route(&model.checks[index].clone());
            model.routes.push(route);
        }
        model.order = (0..model.checks.len()).collect();
        model.order.sort_by_key(|check| model.routes[*check].setting);
        model
    }

    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// Its checks, as [`derive_checks`] orders them.
    pub fn checks(&self) -> &[Check] {
        &self.checks
    }

    /// Index of the check called `id`.
    pub fn check(&self, id: &str) -> Option<usize> {
        let found = find_check(&self.circuit, &self.checks, id)?;
        self.checks.iter().position(|check| check.id == found.id)
    }

    /// Which network a check needs: checks with the same number share one solve. `None`: nothing is solved.
    pub fn setting(&self, check: usize) -> Option<usize> {
        self.routes[check].setting
    }

    /// All checks, those that share a network side by side: the order in which predicting them all is cheapest.
    pub fn by_setting(&self) -> &[usize] {
        &self.order
    }

    /// Memory for predictions.
    pub fn probe(&self) -> Probe<'_> {
        let slots = self.settings.iter().map(|_| Slot::default()).collect();
        Probe {
            model: self,
            slots,
            work: Work::default(),
            hardest: 0,
            solves: 0,
        }
    }

    fn intern(&mut self, condition: ConditionId, edit: Edit) -> Option<usize> {
        let setting = Setting { condition, edit };
        let found = self.settings.iter().position(|known| *known == setting);
        Some(found.unwrap_or_else(|| {
            self.settings.push(setting);
            self.settings.len() - 1
        }))
    }

    fn route(&mut self, check: &Check) -> Route {
        let (edit, readout) = match check.place {
            Place::Port(port, _) => self.port_route(check, port),
            Place::Part(part) => self.part_route(check, part),
        };
        let setting = if matches!(readout, Readout::Look(_)) {
            None
        } else {
            self.intern(check.condition, edit)
        };
        Route { setting, readout }
    }

    fn port_route(&self, check: &Check, port: PortRef) -> (Edit, Readout) {
        let vacuum = check.reads == Reads::Vacuum;
        match check.method {
            Method::Deadhead => {
                let gauge_on_joint = !self.feeds(port);
                let rest = self.beside(port);
                let gauge = if gauge_on_joint { rest } else { port };
                (
                    Edit::Detach { port, gauge_on_joint },
                    Readout::Pressure { port: gauge, vacuum },
                )
            }
            Method::OpenVolts => {
                let rest = self.beside(port);
                let own = self.feeds(port) && !self.feeds(rest);
                (
                    Edit::Unplug(port),
                    Readout::Voltage(if own { port } else { rest }),
                )
            }
            Method::Volts => (Edit::None, Readout::Voltage(port)),
            Method::Travel => (Edit::None, Readout::Travel(port)),
            _ => (Edit::None, Readout::Pressure { port, vacuum }),
        }
    }

    fn part_route(&mut self, check: &Check, part: PartId) -> (Edit, Readout) {
        let power = self.kinds.0[part.0]
            .power()
            .map(|(a, b)| (PortRef { part, port: a }, PortRef { part, port: b }));
        let coil = self.kinds.0[part.0]
            .coil()
            .map(|(a, b)| (PortRef { part, port: a }, PortRef { part, port: b }));
        match (check.method, power, coil) {
            (Method::Drop, Some((a, b)), _) => (Edit::None, Readout::Drop(a, b)),
            (Method::Amps, Some((a, _)), _) => (Edit::None, Readout::Current(a)),
            (Method::Ohms, _, Some((a, b))) => (Edit::Alone(part), Readout::Resistance(a, b)),
            (Method::Speed, ..) => (Edit::None, Readout::Speed(part)),
            (Method::Click, ..) => (Edit::None, Readout::Click(part)),
            (Method::Data, ..) => (Edit::None, Readout::Data(part)),
            (Method::Swap, ..) => self.swap_route(part),
            (Method::Jumper, ..) if check.reads == Reads::Travel => {
                let rod = self.circuit.parts[part.0]
                    .kind
                    .ports
                    .iter()
                    .position(|port| port.medium == Medium::Rod);
                (
                    Edit::Fed(part),
                    Readout::Travel(PortRef {
                        part,
                        port: rod.unwrap_or(0),
                    }),
                )
            }
            (Method::Jumper, ..) => (Edit::Fed(part), Readout::Answers(part)),
            _ => (Edit::None, Readout::Look(part)),
        }
    }

    /// A swap is judged by what says that the circuit works.
    fn swap_route(&mut self, part: PartId) -> (Edit, Readout) {
        let works = self.circuit.works.clone();
        let judge = works
            .as_ref()
            .and_then(|works| self.checks.iter().find(|check| check.id == works.check).cloned());
        let (Some(works), Some(judge)) = (works, judge) else {
            return (Edit::None, Readout::Look(part));
        };
        let readout = match judge.place {
            Place::Port(port, _) => self.port_route(&judge, port).1,
            Place::Part(place) => self.part_route(&judge, place).1,
        };
        self.works.push(Route {
            setting: None,
            readout,
        });
        let limits = (
            works.least.unwrap_or(f64::NEG_INFINITY),
            works.most.unwrap_or(f64::INFINITY),
        );
        (
            Edit::Swapped(part),
            Readout::Works {
                of: self.works.len() - 1,
                least: limits.0,
                most: limits.1,
            },
        )
    }

    /// Another port at the joint of `port`.
    fn beside(&self, port: PortRef) -> PortRef {
        let joint = self.circuit.parts[port.part.0].joints[port.port];
        let others = joint.map_or(&[][..], |joint| &self.circuit.joints[joint.0].ports);
        others
            .iter()
            .copied()
            .find(|other| *other != port)
            .unwrap_or(port)
    }

    /// `true` if a source of what flows there lies on the part's own side of `port`: seen from the port, not through its
    /// joint. Current comes from a positive terminal; the negative one is the end of every way.
    fn feeds(&self, port: PortRef) -> bool {
        let Some(joint) = self.circuit.parts[port.part.0].joints[port.port] else {
            return false;
        };
        let mut seen = vec![false; self.circuit.joints.len()];
        let mut queue = vec![port];
        seen[joint.0] = true;
        while let Some(port) = queue.pop() {
            if self.is_source(port) {
                return true;
            }
            for next in self.behind(port) {
                let Some(joint) = self.circuit.parts[port.part.0].joints[next].filter(|joint| !seen[joint.0])
                else {
                    continue;
                };
                seen[joint.0] = true;
                let ports = &self.circuit.joints[joint.0].ports;
                if !ports.iter().any(|other| is_reference(&self.circuit, *other)) {
                    queue.extend(ports.iter().filter(|other| other.part != port.part));
                }
            }
        }
        false
    }

    /// The other ports of the part that `port` may lead to: a coil does not lead to the contact that it moves.
    fn behind(&self, port: PortRef) -> Vec<usize> {
        let kind = self.kinds.0[port.part.0];
        let ports = kind.spec().ports;
        let coil = kind.coil().filter(|coil| Some(*coil) != kind.power());
        let in_coil = |at: usize| coil.is_some_and(|(a, b)| at == a || at == b);
        let here = ports[port.port].medium;
        (0..ports.len())
            .filter(|at| *at != port.port && ports[*at].medium == here && in_coil(*at) == in_coil(port.port))
            .collect()
    }

    /// `true` if a source gives off at `port` what flows there.
    fn is_source(&self, port: PortRef) -> bool {
        let kind = self.circuit.parts[port.part.0].kind;
        match (kind.supplies, kind.ports[port.port].medium) {
            (Some(Supplies::Vacuum | Supplies::Pressure), Medium::Air) => true,
            (Some(Supplies::Current), Medium::Electric) => !is_reference(&self.circuit, port),
            _ => false,
        }
    }
}

impl<'a> Probe<'a> {
    /// The model.
    pub fn model(&self) -> &'a Model {
        self.model
    }

    /// Forgets all solutions, so that the next solve starts cold.
    pub fn cold(&mut self) {
        self.slots.iter_mut().for_each(|slot| slot.solver.cold());
    }

    /// What `check` reads on `vehicle`.
    ///
    /// # Errors
    /// [`SolveError`] names the place that found no balance.
    pub fn predict(&mut self, check: usize, vehicle: &Vehicle) -> Result<Prediction, SolveError> {
        let mut out = [0.0];
        self.predict_all(&[check], vehicle, &mut out)?;
        let yes = self.model.checks[check].reads == Reads::YesNo;
        Ok(if yes {
            Prediction::Yes(out[0])
        } else {
            Prediction::Number(out[0])
        })
    }

    /// What each of `checks` reads on `vehicle`, into `out`. Checks that share a network should stand together: it is
    /// solved once for a run of them.
    ///
    /// # Errors
    /// [`SolveError`] names the place that found no balance.
    pub fn predict_all(
        &mut self,
        checks: &[usize],
        vehicle: &Vehicle,
        out: &mut [f64],
    ) -> Result<(), SolveError> {
        let mut solved = None;
        for (out, &check) in out.iter_mut().zip(checks) {
            let route = self.model.routes[check];
            if let Some(setting) = route.setting {
                if solved != Some(setting) {
                    self.solve(setting, check, vehicle)?;
                    solved = Some(setting);
                }
                *out = self.read(&route, &self.slots[setting], vehicle);
            } else {
                *out = self.look(route.readout, vehicle);
            }
        }
        Ok(())
    }

    fn solve(&mut self, setting: usize, check: usize, vehicle: &Vehicle) -> Result<(), SolveError> {
        let Setting { condition, edit } = self.model.settings[setting];
        let slot = &mut self.slots[setting];
        let circuit = &self.model.circuit;
        assemble(
            circuit,
            &self.model.kinds.0,
            vehicle,
            condition,
            edit,
            &mut slot.net,
            &mut slot.nodes,
        );
        connect_tester(self.model, edit, slot);
        let before = self.work;
        // A start from another vehicle's solution may lead nowhere; from rest every sound network settles.
        let report = slot
            .solver
            .solve(&slot.net, vehicle.ambient.pressure)
            .or_else(|_| {
                slot.solver.cold();
                slot.solver.solve(&slot.net, vehicle.ambient.pressure)
            });
        let work = report.map_err(|unbalanced| SolveError {
            check: self.model.checks[check].id.clone(),
            place: name_node(circuit, &slot.nodes, unbalanced.medium, unbalanced.node),
            reason: unbalanced.error.to_string(),
        })?;
        self.work = Work {
            steps: before.steps + work.steps,
            rescues: before.rescues + work.rescues,
            rounds: before.rounds + work.rounds,
        };
        self.hardest = self.hardest.max(work.steps);
        self.solves += 1;
        Ok(())
    }

    fn look(&self, readout: Readout, vehicle: &Vehicle) -> f64 {
        let Readout::Look(part) = readout else { return 0.0 };
        let missed = vehicle
            .faults
            .iter()
            .filter(|(fault, _)| fault.part == part)
            .map(|(fault, _)| 1.0 - self.model.circuit.fault_spec(*fault).seen)
            .product::<f64>();
        1.0 - missed * (1.0 - FALSE_ALARM)
    }

    fn read(&self, route: &Route, slot: &Slot, vehicle: &Vehicle) -> f64 {
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
            Readout::Works { of, least, most } => {
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

/// Puts the meter or lead of a check across the part it is for.
fn connect_tester(model: &Model, edit: Edit, slot: &mut Slot) {
    let (part, (emf, ohms), ports) = match edit {
        Edit::Alone(part) => (part, OHMMETER, model.kinds.0[part.0].coil()),
        Edit::Fed(part) => (part, TEST_LEAD, model.kinds.0[part.0].coil()),
        _ => return,
    };
    let Some((a, b)) = ports else { return };
    let node = |port| slot.nodes.at(&model.circuit, PortRef { part, port });
    if let (Some(a), Some(b)) = (node(a), node(b)) {
        slot.net.electric.fixed[b] = Some(0.0);
        let source = ElectricElement::Source {
            plus: a,
            minus: REFERENCE,
            emf,
            conductance: 1.0 / ohms,
        };
        slot.net.electric.elements.push((source, usize::MAX));
    }
}

fn name_node(circuit: &Circuit, nodes: &Nodes, medium: Medium, node: Option<usize>) -> String {
    let joint = nodes
        .joints
        .iter()
        .zip(&circuit.joints)
        .find(|(at, joint)| joint.medium == medium && Some(**at) == node);
    joint.map_or_else(|| "inside a part".to_owned(), |(_, joint)| joint.name.clone())
}
