//! What every store does with the rows of its backend: written once, for all backends.

use crate::error::StoreError;
use crate::exchange;
use crate::learning;
use crate::photos;
use crate::pooling::{self, Pooled};
use crate::rows::{self, Rows};
use crate::shelf::{Added, Filter, Imported, Place, Pooling, Row, Store, Taught};
use crate::sql;
use crate::taking;
use job::{Entry, JobId};
use life::{Lesson, Sums};
use std::io::{BufRead, Write};
use uuid::Uuid;

/// What a transaction is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// Only looks, at one moment's state.
    Read,
    /// Writes; doing it twice is as good as once.
    Write,
    /// Looks or writes, and cannot be begun again: its other end is used up.
    Once {
        /// Whether it writes.
        writes: bool,
    },
}

/// What is done in a transaction.
pub(crate) type Work<'w> = &'w mut dyn FnMut(&mut dyn Rows) -> Result<(), StoreError>;

/// Something that has transactions.
pub(crate) trait Backend: std::fmt::Debug + Send {
    /// Does the work in one transaction; nothing of it is kept if it fails. May do it again from the start if the first
    /// transaction was lost and the purpose allows it.
    fn within(&mut self, purpose: Purpose, work: Work<'_>) -> Result<(), StoreError>;
}

fn run<T>(
    backend: &mut impl Backend,
    purpose: Purpose,
    mut work: impl FnMut(&mut dyn Rows) -> Result<T, StoreError>,
) -> Result<T, StoreError> {
    let mut done = None;
    backend.within(purpose, &mut |rows| {
        done = Some(work(rows)?);
        Ok(())
    })?;
    // A backend that says yes has done the work.
    done.ok_or(StoreError::NoFolder)
}

/// The words of a filter, the rarest first: it decides how many jobs are looked at.
fn rarest_first(rows: &mut dyn Rows, filter: &Filter) -> Result<Vec<String>, StoreError> {
    let mut words = Vec::new();
    for word in rows::words(&filter.words) {
        words.push((
            rows.whole(sql::HOW_OFTEN, &[sql::Value::Text(word.clone())])?,
            word,
        ));
    }
    words.sort();
    Ok(words.into_iter().map(|(_, word)| word).collect())
}

impl<B: Backend> Store for B {
    fn append(&mut self, entries: &[Entry]) -> Result<Vec<Added>, StoreError> {
        run(self, Purpose::Write, |rows| taking::take(rows, entries))
    }

    fn append_after(
        &mut self,
        job: JobId,
        known: usize,
        entries: &[Entry],
    ) -> Result<Option<Vec<Added>>, StoreError> {
        run(self, Purpose::Write, |rows| {
            taking::take_after(rows, job, known, entries)
        })
    }

    fn entries(&mut self, job: JobId) -> Result<Vec<Entry>, StoreError> {
        run(self, Purpose::Read, |rows| taking::read(&rows.bodies(job)?))
    }

    fn find(&mut self, what: &str) -> Result<JobId, StoreError> {
        run(self, Purpose::Read, |rows| taking::find(rows, what))
    }

    fn row(&mut self, job: JobId) -> Result<Option<Row>, StoreError> {
        run(self, Purpose::Read, |rows| rows.row(job))
    }

    fn list(&mut self, filter: &Filter, limit: usize, before: Option<Place>) -> Result<Vec<Row>, StoreError> {
        let limit = i64::try_from(limit).unwrap_or(i64::MAX);
        let before = before.map(|place| (place.changed.as_microsecond(), place.number));
        run(self, Purpose::Read, |rows| {
            let words = rarest_first(rows, filter)?;
            let (text, values) = sql::select(filter, &words, before, Some(limit));
            rows.select(&text, &values)
        })
    }

    fn count(&mut self, filter: &Filter) -> Result<u64, StoreError> {
        run(self, Purpose::Read, |rows| {
            let words = rarest_first(rows, filter)?;
            let (text, values) = sql::select(filter, &words, None, None);
            Ok(u64::try_from(rows.whole(&text, &values)?).unwrap_or_default())
        })
    }

    fn settings(&mut self) -> Result<Vec<(String, String)>, StoreError> {
        run(self, Purpose::Read, |rows| rows.all_settings())
    }

    fn set_all(&mut self, values: &[(&str, Option<&str>)]) -> Result<(), StoreError> {
        run(self, Purpose::Write, |rows| {
            values
                .iter()
                .try_for_each(|(key, value)| rows.put_setting(key, *value))
        })
    }

    fn teach(&mut self, lessons: &[Taught]) -> Result<u64, StoreError> {
        run(self, Purpose::Write, |rows| learning::teach(rows, lessons))
    }

    fn untaught(&mut self, limit: usize) -> Result<Vec<JobId>, StoreError> {
        run(self, Purpose::Read, |rows| learning::untaught(rows, limit))
    }

    fn lessons(&mut self, each: &mut dyn FnMut(JobId, &Lesson)) -> Result<(), StoreError> {
        run(self, Purpose::Once { writes: false }, |rows| {
            rows.all_lessons(sql::ALL_LESSONS, &mut |(job, _, line)| {
                each(job, &learning::read(job, &line)?);
                Ok(())
            })
        })
    }

    fn learnt(&mut self, except: Option<JobId>) -> Result<Sums, StoreError> {
        run(self, Purpose::Read, |rows| pooling::together(rows, except))
    }

    fn own_sums(&mut self) -> Result<Pooled, StoreError> {
        run(self, Purpose::Write, pooling::own)
    }

    fn relearn(&mut self) -> Result<Sums, StoreError> {
        run(self, Purpose::Write, |rows| {
            let sums = learning::anew(rows)?;
            learning::put_own(rows, &sums)?;
            Ok(sums)
        })
    }

    fn pooled(&mut self) -> Result<Vec<Pooled>, StoreError> {
        run(self, Purpose::Read, pooling::others)
    }

    fn pool(&mut self, other: &Pooled) -> Result<Pooling, StoreError> {
        run(self, Purpose::Write, |rows| pooling::take(rows, other))
    }

    fn leave_out(&mut self, shop: Uuid) -> Result<bool, StoreError> {
        run(self, Purpose::Write, |rows| pooling::leave_out(rows, shop))
    }

    fn put_photo(&mut self, bytes: &[u8], media: &str) -> Result<String, StoreError> {
        photos::fits(bytes)?;
        let hash = photos::hash(bytes);
        run(self, Purpose::Write, |rows| rows.put_photo(&hash, media, bytes))?;
        Ok(hash)
    }

    fn photo(&mut self, hash: &str) -> Result<(Vec<u8>, String), StoreError> {
        run(self, Purpose::Read, |rows| rows.photo(hash))
    }

    fn export(&mut self, out: &mut dyn Write) -> Result<u64, StoreError> {
        run(self, Purpose::Once { writes: false }, |rows| {
            exchange::export(rows, out)
        })
    }

    fn import(&mut self, from: &mut dyn BufRead) -> Result<Imported, StoreError> {
        run(self, Purpose::Once { writes: true }, |rows| {
            exchange::import(rows, from)
        })
    }
}
