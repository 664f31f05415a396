//! The shop's desk: jobs taken from the store and new entries written to it.

use crate::failure::Failure;
use ::job::{Entry, EntryId, Event, FORMAT, Job, JobId, Stage};
use jiff::Timestamp;
use life::Sums;
use store::{Location, Store, StoreError, Taught};
use uuid::Uuid;

/// An open store, and who is at it.
pub(crate) struct Desk {
    store: Box<dyn Store>,
    who: String,
    device: String,
}

/// A job with the number a person calls it by.
#[derive(Debug)]
pub(crate) struct Held {
    pub(crate) number: i64,
    pub(crate) job: Job,
    pub(crate) entries: Vec<Entry>,
    /// What other closed jobs teach, at the time of looking.
    pub(crate) learnt: Sums,
}

/// Closed jobs that are let teach by the way: more would be felt.
const BY_THE_WAY: usize = 20;

impl Desk {
    /// Opens the store that the arguments name, for whoever is at it.
    pub(crate) fn open(database: Option<&str>, who: &str) -> Result<Self, Failure> {
        let store = open(database)?;
        let device = std::env::var("HALFSPLIT_DEVICE").or_else(|_| std::env::var("HOSTNAME"));
        Ok(Self {
            store,
            who: who.to_owned(),
            device: device.unwrap_or_else(|_| "laptop".to_owned()),
        })
    }

    /// Who is at it; empty if nobody said so.
    pub(crate) fn who(&self) -> &str {
        &self.who
    }

    /// The store itself.
    pub(crate) fn store(&mut self) -> &mut dyn Store {
        self.store.as_mut()
    }

    /// The job that a person calls `name`: its number, or the beginning of its id.
    pub(crate) fn job(&mut self, name: &str) -> Result<Held, Failure> {
        let id = self.store.find(name).map_err(failed)?;
        let number = self.store.row(id).map_err(failed)?.map_or(0, |row| row.number);
        let entries = self.store.entries(id).map_err(failed)?;
        let job = Job::fold(&entries).ok_or_else(|| {
            Failure::could_not(
                format!(
                    "job {number} has no taking-in among its {} entries",
                    entries.len()
                ),
                Some("its record came in parts; import the missing one".to_owned()),
            )
        })?;
        // A job that was closed and could not teach then, or came from elsewhere. If that fails now, the next one does it.
        let _ = teach(self.store.as_mut(), BY_THE_WAY);
        // What a job teaches must not come back to it.
        let own = (job.stage == Stage::Closed).then_some(id);
        let learnt = self.store.learnt(own).map_err(failed)?;
        Ok(Held {
            number,
            job,
            entries,
            learnt,
        })
    }

    /// Begins a job with these events; the first takes the vehicle in.
    pub(crate) fn begin(&mut self, events: Vec<Event>) -> Result<Held, Failure> {
        let id = JobId(Uuid::now_v7());
        let entries = self.entries(id, 0, events);
        self.store.append(&entries).map_err(failed)?;
        self.job(&id.to_string())
    }

    /// Writes events down, if each makes sense when it comes, and returns the job after them. All or none.
    pub(crate) fn write(&mut self, held: &Held, events: Vec<Event>) -> Result<Held, Failure> {
        let entries = self.entries(held.job.id, held.job.next_turn, events);
        let (mut all, mut job) = (held.entries.clone(), held.job.clone());
        for entry in &entries {
            job.admits(&entry.event)
                .map_err(|refused| Failure::bad_input(refused, None))?;
            all.push(entry.clone());
            job = Job::fold(&all).unwrap_or(job);
        }
        self.store.append(&entries).map_err(failed)?;
        if job.stage == Stage::Closed {
            // It is closed, whether or not it teaches at once.
            let _ = teach(self.store.as_mut(), BY_THE_WAY);
        }
        Ok(Held {
            number: held.number,
            job,
            entries: all,
            learnt: held.learnt.clone(),
        })
    }

    fn entries(&self, job: JobId, first: u64, events: Vec<Event>) -> Vec<Entry> {
        let entry = |(turn, event)| Entry {
            format: FORMAT,
            id: EntryId(Uuid::now_v7()),
            job,
            turn,
            at: Timestamp::now(),
            who: self.who.clone(),
            device: self.device.clone(),
            event,
        };
        (first..).zip(events).map(entry).collect()
    }
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Desk")
            .field("who", &self.who)
            .finish_non_exhaustive()
    }
}

/// Opens the store called so, or the usual one.
pub(crate) fn open(database: Option<&str>) -> Result<Box<dyn Store>, Failure> {
    store::open(&location(database)?).map_err(failed)
}

/// Where the store called so is, or the usual one.
pub(crate) fn location(database: Option<&str>) -> Result<Location, Failure> {
    match database {
        Some(text) => Ok(Location::parse(text)),
        None => Location::usual().map_err(failed),
    }
}

/// Lets closed jobs teach that have not yet, `most` at most; returns how many did. Done twice it is done once.
pub(crate) fn teach(store: &mut dyn Store, most: usize) -> Result<u64, StoreError> {
    let mut taught = Vec::new();
    for job in store.untaught(most)? {
        let entries = store.entries(job)?;
        taught.push(Taught {
            job,
            seen: entries.len() as u64,
            lesson: Job::fold(&entries).as_ref().and_then(engine::lesson),
        });
    }
    if taught.is_empty() {
        return Ok(0);
    }
    store.teach(&taught)
}

/// What the store could not do.
pub(crate) fn failed(error: StoreError) -> Failure {
    match &error {
        StoreError::NoSuchJob { .. } => {
            Failure::bad_input(error, Some("halfsplit job list  shows the jobs".to_owned()))
        }
        StoreError::SeveralJobs { .. }
        | StoreError::Differs { .. }
        | StoreError::Import { .. }
        | StoreError::Sums { .. }
        | StoreError::OwnSums
        | StoreError::OtherShop { .. }
        | StoreError::TooLarge { .. }
        | StoreError::Unreadable { .. } => Failure::bad_input(error, None),
        _ => Failure::could_not(error, None),
    }
}
