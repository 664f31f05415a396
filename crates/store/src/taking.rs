//! Taking entries in: once each, and the job's row folded from all of them.

use crate::error::StoreError;
use crate::learning;
use crate::rows::{Line, Rows, words};
use crate::shelf::{Added, Row};
use crate::sql;
use jiff::Timestamp;
use job::{Entry, FORMAT, Job, JobId, Stage, Unreadable};
use std::collections::BTreeSet;

/// Takes entries in and folds every job they touch.
pub(crate) fn take(rows: &mut dyn Rows, entries: &[Entry]) -> Result<Vec<Added>, StoreError> {
    let mut touched = Touched::default();
    let added = entries
        .iter()
        .map(|entry| take_one(rows, entry, &mut touched))
        .collect();
    touched.fold(rows)?;
    added
}

/// Takes entries in if the job has as many as were `known`, or has these already: a transaction that was lost on its way back
/// is done again.
pub(crate) fn take_after(
    rows: &mut dyn Rows,
    job: JobId,
    known: usize,
    entries: &[Entry],
) -> Result<Option<Vec<Added>>, StoreError> {
    let kept = match entries.first() {
        Some(first) => rows.body(first.id)?.is_some(),
        None => false,
    };
    if !kept && rows.bodies(job)?.len() != known {
        return Ok(None);
    }
    take(rows, entries).map(Some)
}

/// Jobs whose rows must be folded anew, in the order in which they were first touched: numbers follow it.
#[derive(Default)]
pub(crate) struct Touched {
    seen: BTreeSet<JobId>,
    order: Vec<JobId>,
}

impl Touched {
    pub(crate) fn is_empty(&self) -> bool {
        self.order.is_empty()
    }

    /// Folds their rows; then none is touched.
    pub(crate) fn fold(&mut self, rows: &mut dyn Rows) -> Result<(), StoreError> {
        self.seen.clear();
        self.order.drain(..).try_for_each(|job| fold(rows, job))
    }
}

/// Takes one entry in; the row of its job is left to [`Touched::fold`].
pub(crate) fn take_one(
    rows: &mut dyn Rows,
    entry: &Entry,
    touched: &mut Touched,
) -> Result<Added, StoreError> {
    if entry.format > FORMAT {
        return Err(StoreError::Unreadable {
            id: entry.id.to_string(),
            why: Unreadable::Newer {
                found: u64::from(entry.format),
            },
        });
    }
    let body = entry.write();
    if let Some(kept) = rows.body(entry.id)? {
        let same = kept == body || Entry::read(&kept).is_ok_and(|kept| kept == *entry);
        return if same {
            Ok(Added::Already)
        } else {
            Err(StoreError::Differs { id: entry.id })
        };
    }
    rows.insert(&Line {
        id: entry.id,
        job: entry.job,
        turn: entry.turn,
        body: &body,
    })?;
    if touched.seen.insert(entry.job) {
        touched.order.push(entry.job);
    }
    Ok(Added::New)
}

/// Reads entries as they are kept.
pub(crate) fn read(bodies: &[String]) -> Result<Vec<Entry>, StoreError> {
    let each = bodies
        .iter()
        .map(|body| Entry::read(body).map_err(|why| StoreError::Unreadable { id: name(body), why }));
    each.collect()
}

/// The name of an entry that cannot be read, as far as it can be told.
fn name(body: &str) -> String {
    let value: Option<serde_json::Value> = serde_json::from_str(body).ok();
    let id = value.as_ref().and_then(|value| value["id"].as_str());
    id.unwrap_or("without a name").to_owned()
}

/// Writes the row of a job from all its entries. A job that was not taken in yet has none.
fn fold(rows: &mut dyn Rows, job: JobId) -> Result<(), StoreError> {
    let Some(state) = Job::fold(&read(&rows.bodies(job)?)?) else {
        return Ok(());
    };
    let before = rows.row(job)?;
    let number = match &before {
        Some(row) => row.number,
        None => rows.whole(sql::NEXT_NUMBER, &[])?,
    };
    let row = Row {
        id: job,
        number,
        stage: state.stage,
        words: plain(&state.intake.vehicle.words),
        complaint: plain(&state.intake.complaint),
        circuit: plain(&state.intake.circuit.name),
        opened: to_micros(state.opened),
        changed: to_micros(state.changed),
    };
    let found_by = words(&format!("{} {} {}", row.words, row.complaint, row.circuit));
    rows.put_row(&row, &found_by)?;
    if row.stage != Stage::Closed && before.is_some_and(|before| before.stage == Stage::Closed) {
        learning::forget(rows, job)?;
    }
    Ok(())
}

/// Some databases cannot hold the character NUL in a text.
fn plain(text: &str) -> String {
    text.replace('\0', " ")
}

/// What a row can hold of a moment.
fn to_micros(at: Timestamp) -> Timestamp {
    Timestamp::from_microsecond(at.as_microsecond()).unwrap_or(at)
}

/// The job with this number, or whose name begins so.
pub(crate) fn find(rows: &mut dyn Rows, what: &str) -> Result<JobId, StoreError> {
    let missing = || StoreError::NoSuchJob {
        what: what.to_owned(),
    };
    let begins = what.trim().to_lowercase();
    if let Ok(number) = begins.parse()
        && let Some(job) = rows.by_number(number)?
    {
        return Ok(job);
    }
    if begins.len() < 4 || !begins.bytes().all(|c| c.is_ascii_hexdigit() || c == b'-') {
        return Err(missing());
    }
    // `~` comes after every character of a name.
    match rows.by_name(&begins, &format!("{begins}~"))?[..] {
        [] => Err(missing()),
        [job] => Ok(job),
        _ => Err(StoreError::SeveralJobs {
            what: what.to_owned(),
        }),
    }
}
