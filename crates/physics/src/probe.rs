//! Predicting what checks read on one definite vehicle after another.
//!
//! A [`Probe`] keeps the last solution of every network of a model and starts the next solve there. How a reading is taken
//! from a solved network stands in [`crate::readout`].

use crate::assembly::{Edit, Nodes, REFERENCE, Wanted, assemble};
use crate::course::{Course, Timed};
use crate::model::{Model, Setting};
use crate::network::{ElectricElement, Network};
use crate::steady::{Solver, Work};
use crate::vehicle::Vehicle;
use circuit::{Circuit, Medium, PortRef, Reads};

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
/// Test voltage and inner resistance of an ohmmeter or test lead.
pub(crate) const OHMMETER: (f64, f64) = (0.5, 500.0);
const TEST_LEAD: (f64, f64) = (12.6, 0.05);

/// Memory for predictions on one model; each thread has its own.
#[derive(Debug)]
pub struct Probe<'a> {
    pub(crate) model: &'a Model,
    slots: Vec<Slot>,
    /// Work of all solves so far.
    pub work: Work,
    /// Most Newton steps that a single solve took.
    pub hardest: u32,
    /// Number of networks solved.
    pub solves: u64,
}

/// One network of the model, assembled and solved.
#[derive(Debug, Default)]
pub(crate) struct Slot {
    pub(crate) net: Network,
    pub(crate) nodes: Nodes,
    pub(crate) solver: Solver,
    pub(crate) timed: Timed,
    /// Pressures at the end of a course; empty where the check takes no time.
    pub(crate) after: Vec<f64>,
    /// How long a course took, s.
    pub(crate) seconds: f64,
}

impl<'a> Probe<'a> {
    pub(crate) fn new(model: &'a Model) -> Self {
        let slots = model.settings.iter().map(|_| Slot::default()).collect();
        Self {
            model,
            slots,
            work: Work::default(),
            hardest: 0,
            solves: 0,
        }
    }

    /// The model.
    pub fn model(&self) -> &'a Model {
        self.model
    }

    /// Forgets all solutions, so that the next solve starts cold.
    pub fn cold(&mut self) {
        self.slots.iter_mut().for_each(|slot| slot.solver.cold());
    }

    /// Takes over the solutions of another probe of the same model, so that the next solves start where it stands.
    pub fn start_from(&mut self, other: &Probe<'_>) {
        for (slot, other) in self.slots.iter_mut().zip(&other.slots) {
            slot.solver.start_from(&other.solver);
        }
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
                *out = self.look(check, route.readout, vehicle);
            }
        }
        Ok(())
    }

    fn solve(&mut self, setting: usize, check: usize, vehicle: &Vehicle) -> Result<(), SolveError> {
        let Setting {
            condition,
            edit,
            course,
        } = self.model.settings[setting];
        let slot = &mut self.slots[setting];
        let circuit = &self.model.circuit;
        slot.after.clear();
        assemble(
            circuit,
            &self.model.kinds.0,
            vehicle,
            Wanted {
                condition,
                edit,
                only: self.model.pieces[setting].as_deref(),
            },
            &mut slot.net,
            &mut slot.nodes,
        );
        if let Course::Hold(port, vacuum) = course {
            self.solves += 1;
            return slot
                .hold(circuit, port, vacuum, vehicle.ambient)
                .map_err(|failed| failed.at(self.model, check, slot));
        }
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
        let went = match course {
            Course::Stopped => slot.stop(self.model, edit, vehicle),
            Course::Shut(port) => slot.shut(circuit, port, vehicle.ambient),
            Course::PumpDown(port) => slot.pump_down(circuit, port, vehicle.ambient),
            Course::Hold(..) | Course::None => Ok(()),
        };
        went.map_err(|failed| failed.at(self.model, check, slot))
    }
}

/// Puts the meter or lead of a check across the part it is for.
fn connect_tester(model: &Model, edit: Edit, slot: &mut Slot) {
    match edit {
        Edit::Loom(part) => return crate::module_checks::measure_loom(model, part, slot),
        Edit::Substituted(part) => return crate::module_checks::substitute(model, part, slot),
        _ => {}
    }
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

pub(crate) fn name_node(circuit: &Circuit, nodes: &Nodes, medium: Medium, node: Option<usize>) -> String {
    let joint = nodes
        .joints
        .iter()
        .zip(&circuit.joints)
        .find(|(at, joint)| joint.medium == medium && Some(**at) == node);
    joint.map_or_else(|| "inside a part".to_owned(), |(_, joint)| joint.name.clone())
}
