//! The shop as every page sees it: its desks, and word of what changes.

use crate::not_done::NotDone;
use crate::shelf::Shelf;
use ::desk::{self, Desk, Held, Problem, Thoughts};
use drive::Recording;
use job::JobId;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use store::{Location, StoreError};
use tokio::sync::{Semaphore, broadcast};

/// Desks at most, each with its connection: SQLite has one writer, and a shop's server is asked for few.
const DESKS: usize = 4;
/// Changes that a slow listener may lag behind before it has to look at everything anew.
const CHANGES: usize = 256;
/// Drives kept in memory: two that are compared, and one that another person looks at.
const DRIVES: usize = 3;

/// Who stands at the screen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Visitor {
    /// The name they gave; empty if none.
    pub who: String,
    /// The device they hold: what it was called when it was paired, or this machine.
    pub device: String,
}

/// The shop.
#[derive(Debug)]
pub struct Shop {
    location: Location,
    thoughts: Arc<Thoughts>,
    /// Drives looked at last: a recording is unpacked and read once for all the windows of it that somebody opens.
    drives: Mutex<Vec<(String, Arc<Recording>)>>,
    /// Desks that nobody stands at.
    idle: Mutex<Vec<Desk>>,
    free: Semaphore,
    /// `None` once the shop closes.
    changed: Mutex<Option<broadcast::Sender<JobId>>>,
}

impl Shop {
    /// Opens the store once, so that what is wrong with it is said before anybody comes in.
    ///
    /// # Errors
    /// What the store says.
    pub fn open(location: Location) -> Result<Self, StoreError> {
        let (nobody, thoughts) = (String::new(), Arc::<Thoughts>::default());
        let first = Desk::beside(store::open(&location)?, nobody.clone(), nobody, thoughts.clone());
        Ok(Self {
            location,
            thoughts,
            drives: Mutex::default(),
            idle: Mutex::new(vec![first]),
            free: Semaphore::new(DESKS),
            changed: Mutex::new(Some(broadcast::Sender::new(CHANGES))),
        })
    }

    /// Does `work` at a desk in the visitor's name, on a thread that may wait for the disk and think.
    ///
    /// # Errors
    /// What `work` says; what the store says when it cannot be opened.
    pub async fn with<T, E>(
        self: &Arc<Self>,
        visitor: &Visitor,
        work: impl FnOnce(&mut Desk) -> Result<T, E> + Send + 'static,
    ) -> Result<T, NotDone>
    where
        T: Send + 'static,
        E: Into<NotDone> + Send + 'static,
    {
        let _turn = self.free.acquire().await.map_err(|_| NotDone::broken())?;
        let (shop, visitor, manner) = (self.clone(), visitor.clone(), crate::speech::manner());
        let done = tokio::task::spawn_blocking(move || {
            let mut desk = shop.take()?;
            (desk.who, desk.device) = (visitor.who, visitor.device);
            let done = crate::speech::during(manner, || work(&mut desk)).map_err(Into::into);
            // After a panic nobody comes here, and the desk is not used again.
            shop.idle().push(desk);
            done
        });
        done.await.unwrap_or_else(|_| Err(NotDone::broken()))
    }

    /// A drive that a job keeps.
    ///
    /// # Errors
    /// What the desk says.
    pub(crate) fn drive(&self, desk: &mut Desk, held: &Held, hash: &str) -> Result<Arc<Recording>, Problem> {
        let known = desk::drive_name(held, hash)?;
        let looked_at = |drives: &[(String, Arc<Recording>)]| {
            let own = drives.iter().find(|(name, _)| *name == known);
            own.map(|(_, recording)| recording.clone())
        };
        if let Some(recording) = looked_at(&self.drives()) {
            return Ok(recording);
        }
        let recording = Arc::new(desk::kept_drive(desk, held, hash)?);
        let mut drives = self.drives();
        drives.push((known, recording.clone()));
        if drives.len() > DRIVES {
            drives.remove(0);
        }
        Ok(recording)
    }

    fn drives(&self) -> MutexGuard<'_, Vec<(String, Arc<Recording>)>> {
        // The list is whole whatever happened to whoever held it.
        self.drives.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Says that something happened to a job.
    pub fn say_changed(&self, job: JobId) {
        if let Some(changed) = self.changed().as_ref() {
            // That nobody listens is no fault.
            let _ = changed.send(job);
        }
    }

    /// Where its own circuits are kept.
    pub(crate) fn shelf(&self) -> Shelf {
        match &self.location {
            Location::File(file) => Shelf::beside(Some(file)),
            Location::Server(_) => Shelf::beside(None),
        }
    }

    /// Names of jobs to which something happens from now on; it ends when the shop closes.
    pub fn changes(&self) -> broadcast::Receiver<JobId> {
        let changed = self.changed();
        changed
            .as_ref()
            .map_or_else(|| broadcast::channel(1).1, broadcast::Sender::subscribe)
    }

    /// Lets nobody wait for changes any more: who listens would keep the doors from closing.
    pub(crate) fn end_changes(&self) {
        self.changed().take();
    }

    fn changed(&self) -> MutexGuard<'_, Option<broadcast::Sender<JobId>>> {
        self.changed.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn take(&self) -> Result<Desk, NotDone> {
        let idle = self.idle().pop();
        match idle {
            Some(desk) => Ok(desk),
            None => Ok(Desk::beside(
                store::open(&self.location)?,
                String::new(),
                String::new(),
                self.thoughts.clone(),
            )),
        }
    }

    fn idle(&self) -> MutexGuard<'_, Vec<Desk>> {
        // The list is whole whatever happened to whoever held it.
        self.idle.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
