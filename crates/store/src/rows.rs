//! The few questions that the logic asks of a backend, inside one transaction.

use crate::error::StoreError;
use crate::shelf::Row;
use crate::sql::{self, Value};
use job::{EntryId, JobId, Stage};

/// An entry on its way into the rows.
pub(crate) struct Line<'a> {
    /// Its name.
    pub(crate) id: EntryId,
    /// Its job.
    pub(crate) job: JobId,
    /// Its turn.
    pub(crate) turn: u64,
    /// Itself, as JSON.
    pub(crate) body: &'a str,
}

/// What is handed over, one after another; an error stops it.
pub(crate) type Each<'a, T> = &'a mut dyn FnMut(T) -> Result<(), StoreError>;

/// One transaction on a backend.
pub(crate) trait Rows {
    /// The text of an entry that is kept.
    fn body(&mut self, id: EntryId) -> Result<Option<String>, StoreError>;
    /// Keeps an entry.
    fn insert(&mut self, line: &Line<'_>) -> Result<(), StoreError>;
    /// The texts of a job's entries.
    fn bodies(&mut self, job: JobId) -> Result<Vec<String>, StoreError>;
    /// A job's row.
    fn row(&mut self, job: JobId) -> Result<Option<Row>, StoreError>;
    /// The rows that a select of the columns of a row gives.
    fn select(&mut self, text: &str, values: &[Value]) -> Result<Vec<Row>, StoreError>;
    /// The one whole number that a select gives; 0 for none.
    fn whole(&mut self, text: &str, values: &[Value]) -> Result<i64, StoreError>;
    /// Writes a job's row anew, with the words it is found by.
    fn put_row(&mut self, row: &Row, words: &[String]) -> Result<(), StoreError>;
    /// Does something that gives nothing back.
    fn run(&mut self, text: &str, values: &[Value]) -> Result<(), StoreError>;
    /// The texts that a select of one column gives.
    fn texts_of(&mut self, text: &str, values: &[Value]) -> Result<Vec<String>, StoreError>;
    /// Keeps a picture under its name.
    fn put_photo(&mut self, hash: &str, media: &str, bytes: &[u8]) -> Result<(), StoreError>;
    /// A picture with its media type, not yet compared with its name.
    fn photo(&mut self, hash: &str) -> Result<(Vec<u8>, String), StoreError>;
    /// Texts of all entries, job by job in the order of their numbers, jobs without one last.
    fn all_bodies(&mut self, each: Each<'_, String>) -> Result<(), StoreError>;
    /// Lessons with their jobs and the number of entries they were made from, as a select of these three gives them.
    fn all_lessons(&mut self, text: &str, each: Each<'_, (JobId, i64, String)>) -> Result<(), StoreError>;
    /// All settings, by name.
    fn all_settings(&mut self) -> Result<Vec<(String, String)>, StoreError>;
    /// The job of that number.
    fn by_number(&mut self, number: i64) -> Result<Option<JobId>, StoreError>;
    /// Two jobs at most whose names lie from the one text to below the other.
    fn by_name(&mut self, from: &str, until: &str) -> Result<Vec<JobId>, StoreError>;
    /// Names of all pictures.
    fn all_photos(&mut self) -> Result<Vec<String>, StoreError>;

    /// Keeps, replaces or removes a setting.
    fn put_setting(&mut self, key: &str, value: Option<&str>) -> Result<(), StoreError> {
        match value {
            Some(value) => self.run(sql::PUT_SETTING, &[text(key), text(value)]),
            None => self.run(sql::FORGET_SETTING, &[text(key)]),
        }
    }
}

/// A text as a value.
pub(crate) fn text(text: &str) -> Value {
    Value::Text(text.to_owned())
}

/// The stage of that name.
pub(crate) fn stage(name: &str) -> Option<Stage> {
    Stage::ALL.into_iter().find(|stage| stage.name() == name)
}

/// The words by which a text is found: letters and digits, in small letters, each once.
pub(crate) fn words(text: &str) -> Vec<String> {
    let split = text.split(|c: char| !c.is_alphanumeric());
    let mut words: Vec<String> = split
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.sort();
    words.dedup();
    words
}
