//! What is believed of a job, thought once and kept while nothing new is said of it: a page looked at again, by one or by
//! several, is not thought anew.
//!
//! A thought is a function of the job's entries, of what closed jobs teach and of the person's units; those are its key.

use crate::case::{Case, Healthy, known};
use crate::desk::Held;
use crate::problem::Problem;
use crate::show::Units;
use circuit::{Circuit, JointId, PartId, Place};
use diag::Diagnostic;
use engine::{History, Model, NextCheck, Outlook, Surroundings};
use job::{EntryId, JobId};
use life::Sums;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Thoughts kept; beyond it the one longest unused is forgotten. A shop has fewer vehicles in its bays.
const KEPT: usize = 64;

/// Descriptions in their air of which the sound ranges are kept.
const SORTS: usize = 32;

/// What follows from a belief.
struct Seen<'b> {
    outlook: Outlook<'b, 'b>,
    next: Vec<NextCheck>,
}

self_cell::self_cell!(
    struct Thinking {
        owner: Model,
        #[covariant]
        dependent: Case,
    }
);

self_cell::self_cell!(
    struct Looked {
        owner: Thinking,
        #[covariant]
        dependent: Seen,
    }
);

/// A job's circuit with what is believed of it, what every check would show, and the checks worth making next.
pub struct Thought {
    looked: Looked,
    history: History,
    warnings: Vec<Diagnostic>,
}

impl Thought {
    /// Thinks.
    ///
    /// # Errors
    /// The description or a reading cannot be used.
    fn of(
        held: &Held,
        units: Units,
        healthy: &dyn Fn(Surroundings) -> Arc<Healthy>,
    ) -> Result<Self, Problem> {
        let (model, history) = known(held)?;
        let mut warnings = Vec::new();
        let believed = Thinking::try_new(model, |model| {
            let (mut case, found) = Case::of(held, model, units)?;
            case.healthy = healthy(case.evidence.surroundings);
            warnings = found;
            Ok::<_, Problem>(case)
        })?;
        let looked = Looked::new(believed, |believed| {
            let case = believed.borrow_dependent();
            let outlook = engine::outlook(&case.belief);
            let next = case.next(&outlook);
            Seen { outlook, next }
        });
        Ok(Self {
            looked,
            history,
            warnings,
        })
    }

    /// The case.
    pub fn case(&self) -> &Case<'_> {
        self.looked.borrow_owner().borrow_dependent()
    }

    /// Its circuit.
    pub fn circuit(&self) -> &Circuit {
        self.case().model.circuit()
    }

    /// What every check would show.
    pub fn outlook(&self) -> &Outlook<'_, '_> {
        &self.looked.borrow_dependent().outlook
    }

    /// The checks worth making next, best first.
    pub fn next(&self) -> &[NextCheck] {
        &self.looked.borrow_dependent().next
    }

    /// Of them, those at a part or one of its ports.
    pub fn at_part(&self, part: PartId) -> Vec<&NextCheck> {
        self.at(|place| match place {
            Place::Part(at) => at == part,
            Place::Port(port, _) => port.part == part,
        })
    }

    /// Of them, those at a joint.
    pub fn at_joint(&self, joint: JointId) -> Vec<&NextCheck> {
        self.at(|place| matches!(place, Place::Port(_, at) if at == joint))
    }

    fn at(&self, here: impl Fn(Place) -> bool) -> Vec<&NextCheck> {
        let checks = self.case().model.checks();
        let next = self.next().iter();
        next.filter(|next| here(checks[next.check].place)).collect()
    }

    /// What was odd in the readings, without hindering.
    pub fn warnings(&self) -> &[Diagnostic] {
        &self.warnings
    }

    /// What moved the odds.
    pub fn history(&self) -> &History {
        &self.history
    }
}

impl std::fmt::Debug for Thought {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Thought")
            .field("circuit", &self.circuit().name)
            .finish_non_exhaustive()
    }
}

/// What a thought follows from.
#[derive(Debug, PartialEq)]
struct Key {
    job: JobId,
    units: Units,
    entries: Vec<EntryId>,
    learnt: Sums,
}

/// Empty until somebody has thought; whoever comes meanwhile waits for it.
type Slot = Mutex<Option<Arc<Thought>>>;

/// The thoughts of a shop, for all its desks.
#[derive(Debug, Default)]
pub struct Thoughts {
    /// The one used last stands last.
    slots: Mutex<Vec<(Key, Arc<Slot>)>>,
    /// Whose turn it is to think.
    turn: Mutex<()>,
    /// The description, the air, and what is sound there.
    healthy: Mutex<Vec<(String, Surroundings, Arc<Healthy>)>>,
}

impl Thoughts {
    /// What is believed of a job.
    ///
    /// # Errors
    /// The job's description or one of its readings cannot be used.
    pub fn of(&self, held: &Held, units: Units) -> Result<Arc<Thought>, Problem> {
        let slot = self.slot(Key {
            job: held.job.id,
            units,
            entries: held.entries.iter().map(|entry| entry.id).collect(),
            learnt: held.learnt.clone(),
        });
        let mut thought = lock(&slot);
        if let Some(thought) = &*thought {
            return Ok(thought.clone());
        }
        let text = &held.job.intake.circuit.text;
        // A thought takes every core there is: several at once would each take longer, and pages that need none would wait.
        let _turn = lock(&self.turn);
        let new = Arc::new(Thought::of(held, units, &|air| self.healthy(text, air))?);
        *thought = Some(new.clone());
        Ok(new)
    }

    /// What is sound there, for every job on the same description in the same air.
    fn healthy(&self, text: &str, air: Surroundings) -> Arc<Healthy> {
        let mut known = lock(&self.healthy);
        if let Some((.., ranges)) = known
            .iter()
            .find(|(there, then, _)| there == text && *then == air)
        {
            return ranges.clone();
        }
        if known.len() >= SORTS {
            known.remove(0);
        }
        let ranges = Arc::new(Healthy::default());
        known.push((text.to_owned(), air, ranges.clone()));
        ranges
    }

    fn slot(&self, key: Key) -> Arc<Slot> {
        let mut slots = lock(&self.slots);
        if let Some(at) = slots.iter().position(|(known, _)| *known == key) {
            let found = slots.remove(at);
            let slot = found.1.clone();
            slots.push(found);
            return slot;
        }
        // What was believed before the last entry is not asked for again.
        slots.retain(|(known, _)| known.job != key.job || known.units != key.units);
        if slots.len() >= KEPT {
            slots.remove(0);
        }
        let slot = Arc::new(Slot::default());
        slots.push((key, slot.clone()));
        slot
    }
}

/// Whole whatever happened to whoever held it: an empty slot is thought anew.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
