//! Practice jobs under way, in memory: which vehicle, and what was done to it. A job is played again from its beginning for
//! every page, which takes a moment and always leads to the same place; what is hidden never leaves the server.

use crate::circuits::{self, Ready};
use crate::not_done::NotDone;
use axum::http::StatusCode;
use engine::practice::{Action, Event, Job, Record, Workshop, World, contestants, play, record};
use engine::{Model, Shop};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use uuid::Uuid;

/// Sittings held; beyond it the one longest untouched is forgotten.
const HELD: usize = 200;
/// One that nobody touched for so long is forgotten.
const FORGOTTEN: Duration = Duration::from_hours(12);
/// Ways of working that a person is set beside.
const BESIDE: [&str; 2] = ["plan", "habit"];

/// One person's job.
#[derive(Debug, Clone)]
pub(crate) struct Sitting {
    pub(crate) id: Uuid,
    pub(crate) circuit: String,
    /// Its description as it was when the job began.
    text: String,
    pub(crate) seed: u64,
    pub(crate) actions: Vec<Action>,
    /// Left before the end.
    pub(crate) left: bool,
    /// How others did on the same vehicle, once it was asked for.
    others: Option<Vec<(&'static str, Record)>>,
    touched: Instant,
}

/// A step with what it showed and cost.
pub(crate) struct Step {
    pub(crate) action: Action,
    pub(crate) event: Event,
    pub(crate) cost: f64,
}

static SITTINGS: Mutex<Vec<Sitting>> = Mutex::new(Vec::new());

fn all() -> MutexGuard<'static, Vec<Sitting>> {
    // The list is whole whatever happened to whoever held it.
    SITTINGS.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Begins a job.
pub(crate) fn begin(id: Uuid, circuit: String, text: String, seed: u64) -> Uuid {
    let mut all = all();
    all.retain(|sitting| sitting.touched.elapsed() < FORGOTTEN);
    // Said twice at once it is begun once.
    if all.iter().any(|sitting| sitting.id == id) {
        return id;
    }
    if all.len() >= HELD {
        // The one touched last stands last.
        all.remove(0);
    }
    all.push(Sitting {
        id,
        circuit,
        text,
        seed,
        actions: Vec::new(),
        left: false,
        others: None,
        touched: Instant::now(),
    });
    id
}

/// The job as it stands.
pub(crate) fn find(id: Uuid) -> Result<Sitting, NotDone> {
    change(id, |_| ())
}

/// Changes a job; what it is afterwards.
pub(crate) fn change(id: Uuid, change: impl FnOnce(&mut Sitting)) -> Result<Sitting, NotDone> {
    let mut all = all();
    let Some(at) = all.iter().position(|sitting| sitting.id == id) else {
        return Err(
            NotDone::new(StatusCode::NOT_FOUND, "this practice job is not held any more")
                .hint("practice is kept for half a day, and until the program stops; begin another")
                .onward("/practice", "Begin another"),
        );
    };
    let mut sitting = all.remove(at);
    sitting.touched = Instant::now();
    change(&mut sitting);
    all.push(sitting.clone());
    Ok(sitting)
}

impl Sitting {
    /// Its circuit.
    pub(crate) fn ready(&self) -> Result<Arc<Ready>, NotDone> {
        circuits::ready(&self.circuit, &self.text)
    }

    /// Plays the job from its beginning and hands it to `look`.
    pub(crate) fn played<T>(
        &self,
        look: impl FnOnce(&Model, &Job, &[Step]) -> Result<T, NotDone>,
    ) -> Result<T, NotDone> {
        let ready = self.ready()?;
        let world = World::new(&ready.model, self.seed);
        let mut job = Job::new(world.job(self.seed), Shop::default());
        let mut steps = Vec::new();
        for action in &self.actions {
            let before = job.account.cost();
            let event = job.step(*action);
            steps.push(Step {
                action: *action,
                event,
                cost: job.account.cost() - before,
            });
        }
        look(&ready.model, &job, &steps)
    }

    /// How the plan and the order of habit do on the same vehicle with the same luck; worked out once.
    pub(crate) fn others(&self) -> Result<Vec<(&'static str, Record)>, NotDone> {
        if let Some(others) = &self.others {
            return Ok(others.clone());
        }
        let ready = self.ready()?;
        let world = World::new(&ready.model, self.seed);
        let surroundings = world.job(self.seed).surroundings();
        let workshop = Workshop::new(&ready.model, Shop::default(), surroundings);
        let all = contestants();
        let beside = BESIDE
            .iter()
            .filter_map(|name| all.iter().find(|contestant| contestant.name == *name));
        let others: Vec<(&'static str, Record)> = beside
            .map(|contestant| {
                let mut strategy = contestant.ready(&workshop);
                (
                    contestant.name,
                    play(world.job(self.seed), &workshop, strategy.as_mut()),
                )
            })
            .collect();
        change(self.id, |sitting| sitting.others = Some(others.clone()))?;
        Ok(others)
    }
}

/// The person's own record.
pub(crate) fn own(job: &Job) -> Record {
    record(job, None)
}
