//! A circuit with what was read on it and what is believed after it; of a job, what is believed of it now.

use crate::cautions;
use crate::desk::Held;
use crate::fit::Odd;
use crate::how;
use crate::problem::Problem;
use crate::reasons::Told;
use crate::show::Units;
use crate::words;
use belief::Observation;
use circuit::{Caution, Circuit, FaultId};
use diag::{Diagnostic, Source};
use engine::{Bay, Belief, Effort, Evidence, History, Model, NextCheck, Outlook, Shop};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

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

/// A circuit with what was read on it, and what follows.
#[derive(Debug)]
pub struct Case<'m> {
    /// The circuit.
    pub model: &'m Model,
    /// What counts as read.
    pub evidence: Evidence,
    /// What is believed after it.
    pub belief: Belief<'m>,
    /// How the vehicle stands: what is open, what runs.
    pub bay: Bay,
    /// The units of whoever it is shown to.
    pub units: Units,
    /// What sound circuits of this sort read here, shared by whoever works on one.
    pub(crate) healthy: Arc<Healthy>,
    /// Worked out when first asked for.
    pub(crate) told: OnceLock<Vec<Told>>,
    pub(crate) odd: OnceLock<Odd>,
}

/// What each check reads on a sound circuit of one description in one air, worked out when first asked for.
#[derive(Debug, Default)]
pub(crate) struct Healthy(Mutex<BTreeMap<usize, Option<[f64; 3]>>>);

impl Healthy {
    /// 5th, 50th and 95th percentile, SI; `None` where it cannot be computed.
    pub(crate) fn range(&self, check: usize, work: impl FnOnce() -> Option<[f64; 3]>) -> Option<[f64; 3]> {
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(range) = known().get(&check) {
            return *range;
        }
        let range = work();
        known().insert(check, range);
        range
    }
}

impl<'m> Case<'m> {
    /// Of `evidence` on `model`, with so much `effort`.
    pub fn new(model: &'m Model, evidence: Evidence, units: Units, effort: Effort) -> Self {
        let belief = engine::belief(model, &evidence, effort);
        let checks = model.checks();
        let made = evidence.observations.iter().map(|read| &checks[read.check]);
        let bay = made.fold(Bay::default(), |bay, check| bay.after(model.circuit(), check));
        Self {
            model,
            evidence,
            belief,
            bay,
            units,
            healthy: Arc::default(),
            told: OnceLock::new(),
            odd: OnceLock::new(),
        }
    }

    /// Of a job on its `model`; and warnings of its readings.
    ///
    /// # Errors
    /// A reading cannot be understood.
    pub fn of(held: &Held, model: &'m Model, units: Units) -> Result<(Self, Vec<Diagnostic>), Problem> {
        let (evidence, warnings) = evidence(held, model, &held.job.readings_file())?;
        // A person waits for it after every reading, and another follows at once.
        let mut case = Self::new(model, evidence, units, Effort::brisk());
        stands(held, model.circuit(), &mut case.bay);
        Ok((case, warnings))
    }

    /// The checks worth making next, best first.
    pub fn next(&self, outlook: &Outlook) -> Vec<NextCheck> {
        engine::next(outlook, &self.evidence, &Shop::default(), &self.bay)
    }

    /// What was read, by check, in words.
    pub fn readings(&self) -> Vec<(usize, String)> {
        let said = |read: &Observation| {
            let check = &self.model.checks()[read.check];
            (read.check, self.units.outcome(check, read.outcome))
        };
        self.evidence.observations.iter().map(said).collect()
    }

    /// The id of a check.
    pub fn id(&self, check: usize) -> &str {
        &self.model.checks()[check].id
    }

    /// A suspect's name.
    pub fn name(&self, suspect: usize) -> String {
        words::suspect(self.model.circuit(), &self.belief.suspects()[suspect])
    }

    /// Cautions of a check that nobody has read in this job.
    pub fn unread(&self, held: &Held, check: usize) -> Vec<&'static Caution> {
        cautions::unread(
            held,
            how::cautions(self.model.circuit(), &self.model.checks()[check]),
        )
    }

    /// Indices of the leading suspects: at most `most`, each at least a twentieth as likely as the first.
    pub fn leading(&self, most: usize) -> Vec<usize> {
        let suspects = self.belief.suspects();
        let first = suspects.first().map_or(0.0, |suspect| suspect.probability);
        (0..suspects.len())
            .take(most)
            .filter(|i| suspects[*i].probability >= 0.05 * first)
            .collect()
    }

    /// The range of a fault's severity after the readings, in words; `None` if it has none.
    pub fn severity(&self, fault: FaultId) -> Option<String> {
        let spec = self.model.circuit().fault_spec(fault).severity?;
        let [low, _, high] = self.belief.severity(fault)?;
        Some(format!("{} {}", spec.what, Units::severity(&spec, low, high)))
    }
}

/// Accesses that a person says are open cost nothing more.
fn stands(held: &Held, circuit: &Circuit, bay: &mut Bay) {
    let Some((open, _, _)) = &held.job.stands else {
        return;
    };
    for (index, access) in circuit.accesses.iter().enumerate() {
        let id = circuit::AccessId(index);
        if open.contains(&access.id) && !bay.open.contains(&id) {
            bay.open.push(id);
        }
    }
}
