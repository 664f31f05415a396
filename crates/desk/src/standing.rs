//! What is believed of a job now.

use crate::cautions;
use crate::desk::Held;
use crate::how;
use crate::problem::Problem;
use circuit::{Caution, Circuit};
use diag::{Diagnostic, Source};
use engine::{Bay, Belief, Effort, Evidence, History, Model, NextCheck, Outlook, Shop};

/// The circuit as the job knows it: the description it began with, its odds moved by what is known of the vehicle; and what
/// moved them.
///
/// # Errors
/// The description cannot be used by this version.
pub fn known(held: &Held) -> Result<(Model, History), Problem> {
    let (loaded, history) = engine::load_job(&held.job, &held.learnt);
    Problem::unless_sound(&loaded.source, &loaded.findings)?;
    let model = loaded.model.ok_or_else(|| {
        Problem::could_not(
            format!(
                "the description that job {} began with cannot be used by this version",
                held.number
            ),
            None,
        )
    })?;
    Ok((model, history))
}

/// What the readings in `text`, a readings file, say; and warnings.
///
/// # Errors
/// A reading cannot be understood.
pub fn evidence(held: &Held, model: &Model, text: &str) -> Result<(Evidence, Vec<Diagnostic>), Problem> {
    let (evidence, found) = engine::evidence(model, text);
    let name = format!("readings of job {}", held.number);
    Problem::unless_sound(&Source::new(&name, text), &found)?;
    let evidence = evidence.ok_or_else(|| Problem::could_not(format!("the {name} cannot be used"), None))?;
    Ok((evidence, found))
}

/// A job with what counts as read on it, and what follows.
#[derive(Debug)]
pub struct Standing<'m> {
    /// Its circuit.
    pub model: &'m Model,
    /// What counts as read.
    pub evidence: Evidence,
    /// What is believed after it.
    pub belief: Belief<'m>,
    /// How the vehicle stands: what is open, what runs.
    pub bay: Bay,
    /// What was odd in the readings, without hindering.
    pub warnings: Vec<Diagnostic>,
}

impl<'m> Standing<'m> {
    /// Of a job on its `model`.
    ///
    /// # Errors
    /// A reading cannot be understood.
    pub fn of(held: &Held, model: &'m Model) -> Result<Self, Problem> {
        let (evidence, warnings) = evidence(held, model, &held.job.readings_file())?;
        // A person waits for it after every reading, and another follows at once.
        let belief = engine::belief(model, &evidence, Effort::brisk());
        Ok(Self {
            bay: bay(held, model.circuit(), model, &evidence),
            model,
            evidence,
            belief,
            warnings,
        })
    }

    /// The checks worth making next, best first.
    pub fn next(&self, outlook: &Outlook) -> Vec<NextCheck> {
        engine::next(outlook, &self.evidence, &Shop::default(), &self.bay)
    }

    /// Cautions of a check that nobody has read in this job.
    pub fn unread(&self, held: &Held, check: usize) -> Vec<&'static Caution> {
        cautions::unread(
            held,
            how::cautions(self.model.circuit(), &self.model.checks()[check]),
        )
    }
}

/// How the vehicle stands after the checks made; accesses that a person says are open cost nothing more.
fn bay(held: &Held, circuit: &Circuit, model: &Model, evidence: &Evidence) -> Bay {
    let checks = model.checks();
    let made = evidence.observations.iter().map(|read| &checks[read.check]);
    let mut bay = made.fold(Bay::default(), |bay, check| bay.after(circuit, check));
    let Some((open, _, _)) = &held.job.stands else {
        return bay;
    };
    for (index, access) in circuit.accesses.iter().enumerate() {
        let id = circuit::AccessId(index);
        if open.contains(&access.id) && !bay.open.contains(&id) {
            bay.open.push(id);
        }
    }
    bay
}
