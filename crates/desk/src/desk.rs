//! The shop's desk: jobs taken from the store and new entries written to it.

use crate::problem::Problem;
use crate::show::Units;
use crate::thought::{Thought, Thoughts};
use jiff::Timestamp;
use job::{Entry, EntryId, Event, FORMAT, Job, JobId, Stage};
use life::Sums;
use std::sync::Arc;
use store::{Location, Store, StoreError, Taught};
use uuid::Uuid;

/// An open store, and who is at it.
pub struct Desk {
    store: Box<dyn Store>,
    /// Who says what is written from now on; empty if nobody gave a name.
    pub who: String,
    /// The device it is said on.
    pub device: String,
    thoughts: Arc<Thoughts>,
}

/// A job with the number a person calls it by.
#[derive(Debug, Clone)]
pub struct Held {
    /// Its number in this store.
    pub number: i64,
    /// Its state.
    pub job: Job,
    /// Its record.
    pub entries: Vec<Entry>,
    /// What other closed jobs teach, at the time of looking.
    pub learnt: Sums,
}

/// Closed jobs that are let teach by the way: more would be felt.
const BY_THE_WAY: usize = 20;

impl Held {
    /// Whether this was written down already: what is sent again counts once, and is no mistake.
    pub fn says(&self, name: Option<EntryId>) -> bool {
        name.is_some_and(|name| self.entries.iter().any(|entry| entry.id == name))
    }
}

impl Desk {
    /// A desk at an open store.
    pub fn new(store: Box<dyn Store>, who: String, device: String) -> Self {
        Self::beside(store, who, device, Arc::default())
    }

    /// The same beside other desks of the shop: what one has thought the others know.
    pub fn beside(store: Box<dyn Store>, who: String, device: String, thoughts: Arc<Thoughts>) -> Self {
        Self {
            store,
            who,
            device,
            thoughts,
        }
    }

    /// What is believed of a job, thought once and kept while nothing new is said of it.
    ///
    /// # Errors
    /// The job's description or one of its readings cannot be used.
    pub fn thought(&self, held: &Held, units: Units) -> Result<Arc<Thought>, Problem> {
        self.thoughts.of(held, units)
    }

    /// The store itself.
    pub fn store(&mut self) -> &mut dyn Store {
        self.store.as_mut()
    }

    /// The job that a person calls `name`: its number, or the beginning of its id.
    ///
    /// # Errors
    /// There is none or there are several, its record is not whole, or the store fails.
    pub fn job(&mut self, name: &str) -> Result<Held, Problem> {
        let id = self.store.find(name)?;
        let number = self.store.row(id)?.map_or(0, |row| row.number);
        let entries = self.store.entries(id)?;
        let job = Job::fold(&entries).ok_or_else(|| {
            Problem::could_not(
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
        let learnt = self.store.learnt(own)?;
        Ok(Held {
            number,
            job,
            entries,
            learnt,
        })
    }

    /// Begins a job with these events; the first takes the vehicle in.
    ///
    /// # Errors
    /// The store fails.
    pub fn begin(&mut self, events: Vec<Event>) -> Result<Held, Problem> {
        self.begin_as(JobId(Uuid::now_v7()), events)
    }

    /// The same under a name that the caller made: said twice, it is one job.
    ///
    /// # Errors
    /// The store fails.
    pub fn begin_as(&mut self, id: JobId, events: Vec<Event>) -> Result<Held, Problem> {
        if self.store.row(id)?.is_none() {
            let entries = self.entries(id, 0, events, None);
            self.store.append(&entries)?;
        }
        self.job(&id.to_string())
    }

    /// Writes events down, if each makes sense when it comes, and returns the job after them. All or none.
    ///
    /// # Errors
    /// An event makes no sense now, or the store fails.
    pub fn write(&mut self, held: &Held, events: Vec<Event>) -> Result<Held, Problem> {
        self.write_as(held, events, None)
    }

    /// The same, the first of them under a name that the caller made: what is said twice counts once.
    ///
    /// # Errors
    /// An event makes no sense now, or the store fails.
    #[allow(
        clippy::needless_pass_by_value,
        reason = "whoever writes them down is done with them; a second try is rare"
    )]
    pub fn write_as(
        &mut self,
        held: &Held,
        events: Vec<Event>,
        name: Option<EntryId>,
    ) -> Result<Held, Problem> {
        let mut held = held.clone();
        let (all, job) = loop {
            if held.says(name) {
                return Ok(held);
            }
            let entries = self.entries(held.job.id, held.job.next_turn, events.clone(), name);
            let (mut all, mut job) = (held.entries.clone(), held.job.clone());
            for entry in &entries {
                job.admits(&entry.event)
                    .map_err(|refused| Problem::bad_input(refused, None))?;
                all.push(entry.clone());
                job = Job::fold(&all).unwrap_or(job);
            }
            let known = held.entries.len();
            if self.store.append_after(held.job.id, known, &entries)?.is_some() {
                break (all, job);
            }
            // Somebody wrote since: whether it still makes sense is asked of what stands now.
            held = self.job(&held.job.id.to_string())?;
        };
        if job.stage == Stage::Closed {
            // It is closed, whether or not it teaches at once.
            let _ = teach(self.store.as_mut(), BY_THE_WAY);
        }
        Ok(Held {
            number: held.number,
            job,
            entries: all,
            learnt: held.learnt,
        })
    }

    fn entries(&self, job: JobId, first: u64, events: Vec<Event>, name: Option<EntryId>) -> Vec<Entry> {
        let mut name = name;
        let entry = |(turn, event)| Entry {
            format: FORMAT,
            id: name.take().unwrap_or_else(|| EntryId(Uuid::now_v7())),
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
///
/// # Errors
/// There is no such place, or the store cannot be opened.
pub fn open(database: Option<&str>) -> Result<Box<dyn Store>, Problem> {
    let location = match database {
        Some(text) => Location::parse(text),
        None => Location::usual()?,
    };
    Ok(store::open(&location)?)
}

/// Lets closed jobs teach that have not yet, `most` at most; returns how many did. Done twice it is done once.
///
/// # Errors
/// The store fails.
pub fn teach(store: &mut dyn Store, most: usize) -> Result<u64, StoreError> {
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
