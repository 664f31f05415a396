//! What a store does, whatever it is made of.

use crate::error::StoreError;
use crate::pooling::Pooled;
use jiff::Timestamp;
use job::{Entry, JobId, Stage};
use life::{Lesson, Sums};
use std::io::{BufRead, Write};
use uuid::Uuid;

/// What became of an entry that was appended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Added {
    /// It is kept now.
    New,
    /// It was kept before: a repeated write.
    Already,
}

/// Which jobs to list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filter {
    /// Only jobs at this stage.
    pub stage: Option<Stage>,
    /// Only jobs that have every one of these whole words in the vehicle, the complaint or the circuit's name, in small
    /// letters or capitals. Empty: all.
    pub words: String,
}

/// Where a job stands in a list: newest change first, of one moment the greater number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// When it last changed.
    pub changed: Timestamp,
    /// Its number.
    pub number: i64,
}

/// A job in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its name.
    pub id: JobId,
    /// The number people call it by: 1, 2, 3 ... in this store.
    pub number: i64,
    /// How far it is.
    pub stage: Stage,
    /// The vehicle's words.
    pub words: String,
    /// The customer's words.
    pub complaint: String,
    /// Name of its circuit.
    pub circuit: String,
    /// When it began, to the microsecond.
    pub opened: Timestamp,
    /// When something last happened, to the microsecond.
    pub changed: Timestamp,
}

impl Row {
    /// Its place, to ask for what follows it.
    pub fn place(&self) -> Place {
        Place {
            changed: self.changed,
            number: self.number,
        }
    }
}

/// What a closed job teaches, on its way into the store.
#[derive(Debug, Clone, PartialEq)]
pub struct Taught {
    /// The job.
    pub job: JobId,
    /// From how many of its entries the lesson was made.
    pub seen: u64,
    /// The lesson; `None` if it teaches nothing.
    pub lesson: Option<Lesson>,
}

/// What became of another shop's sums.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pooling {
    /// The shop is new here.
    New,
    /// They took the place of older ones of the same shop.
    Newer,
    /// They were here already.
    Already,
    /// Newer ones of the same shop are here, and stay.
    Older,
}

/// What an import brought.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Imported {
    /// Entries that are new here.
    pub added: u64,
    /// Entries that were here already.
    pub already: u64,
    /// Lines read, first and last included.
    pub lines: u64,
}

/// Keeps jobs. A call is done whole or not at all, and what it returns is on the disk.
pub trait Store: std::fmt::Debug + Send {
    /// Keeps entries, all of this call or none. Sent again, they count once. The first entry that takes a vehicle in gives its
    /// job the next number; entries that come before it wait for it.
    ///
    /// # Errors
    /// [`StoreError::Differs`] for an entry whose name is taken by another one; [`StoreError::Unreadable`] for one of a newer
    /// program; whatever the disk or the server says.
    fn append(&mut self, entries: &[Entry]) -> Result<Vec<Added>, StoreError>;

    /// The same for entries of `job` that follow from what was known of it: `known` entries. If there are others by now, nothing
    /// is kept and the answer is none: whoever asked looks again first.
    ///
    /// # Errors
    /// As [`Store::append`].
    fn append_after(
        &mut self,
        job: JobId,
        known: usize,
        entries: &[Entry],
    ) -> Result<Option<Vec<Added>>, StoreError>;

    /// All entries of a job, in the order in which they count; none for a job that is not known.
    fn entries(&mut self, job: JobId) -> Result<Vec<Entry>, StoreError>;

    /// The job with this number, or whose name begins so (four characters or more).
    ///
    /// # Errors
    /// [`StoreError::NoSuchJob`], [`StoreError::SeveralJobs`].
    fn find(&mut self, what: &str) -> Result<JobId, StoreError>;

    /// One job's row.
    fn row(&mut self, job: JobId) -> Result<Option<Row>, StoreError>;

    /// At most `limit` jobs, newest change first, only those after `before` in that order.
    fn list(&mut self, filter: &Filter, limit: usize, before: Option<Place>) -> Result<Vec<Row>, StoreError>;

    /// How many jobs.
    fn count(&mut self, filter: &Filter) -> Result<u64, StoreError>;

    /// Every setting with its value, by name.
    fn settings(&mut self) -> Result<Vec<(String, String)>, StoreError>;

    /// Keeps settings, all of this call or none; `None` forgets one.
    fn set_all(&mut self, values: &[(&str, Option<&str>)]) -> Result<(), StoreError>;

    /// Keeps one setting.
    fn set(&mut self, key: &str, value: Option<&str>) -> Result<(), StoreError> {
        self.set_all(&[(key, value)])
    }

    /// Keeps what closed jobs teach in place of what was kept, all of this call or none; returns how many. Left out is a job
    /// that is not closed, or of which more is known by now than the lesson was made from. A lesson goes by itself when its job
    /// is reopened.
    ///
    /// # Errors
    /// [`StoreError::Lesson`] for a lesson with figures that cannot be.
    fn teach(&mut self, lessons: &[Taught]) -> Result<u64, StoreError>;

    /// At most `limit` closed jobs that have not taught yet what their entries say now.
    fn untaught(&mut self, limit: usize) -> Result<Vec<JobId>, StoreError>;

    /// Hands over every lesson, in the order of the jobs' names.
    fn lessons(&mut self, each: &mut dyn FnMut(JobId, &Lesson)) -> Result<(), StoreError>;

    /// What all closed jobs teach, this shop's and those of the shops pooled with it; without what `except` teaches.
    fn learnt(&mut self, except: Option<JobId>) -> Result<Sums, StoreError>;

    /// The sums of this shop's own jobs, under its name: drawn by lot when it is first asked for, and kept.
    fn own_sums(&mut self) -> Result<Pooled, StoreError>;

    /// Makes the sums of this shop's own jobs anew from all lessons.
    fn relearn(&mut self) -> Result<Sums, StoreError>;

    /// The sums of other shops, by name.
    fn pooled(&mut self) -> Result<Vec<Pooled>, StoreError>;

    /// Keeps another shop's sums in place of its earlier ones: every job counts once, however often a shop is added.
    ///
    /// # Errors
    /// [`StoreError::OwnSums`] for this shop's own.
    fn pool(&mut self, other: &Pooled) -> Result<Pooling, StoreError>;

    /// Forgets another shop's sums; `false` if there were none.
    fn leave_out(&mut self, shop: Uuid) -> Result<bool, StoreError>;

    /// Keeps a picture; returns the SHA-256 of its bytes, hexadecimal, its name from now on.
    ///
    /// # Errors
    /// [`StoreError::TooLarge`] above [`LARGEST_PHOTO`](crate::LARGEST_PHOTO).
    fn put_photo(&mut self, bytes: &[u8], media: &str) -> Result<String, StoreError>;

    /// A picture with its media type, compared with its name.
    ///
    /// # Errors
    /// [`StoreError::NoSuchPhoto`], [`StoreError::DamagedPhoto`].
    fn photo(&mut self, hash: &str) -> Result<(Vec<u8>, String), StoreError>;

    /// Writes everything as JSON Lines: a first line that says what it is, entries, settings, lessons, pictures, and a last
    /// line with their number and SHA-256.
    fn export(&mut self, out: &mut dyn Write) -> Result<u64, StoreError>;

    /// Reads what [`Store::export`] wrote, in one transaction.
    ///
    /// # Errors
    /// [`StoreError::Import`] with the number of the line; nothing is taken in then.
    fn import(&mut self, from: &mut dyn BufRead) -> Result<Imported, StoreError>;
}
