//! What closed jobs teach, kept beside them: a lesson for each, and their sums, so that the next job need not read them all.
//!
//! Sums change in the transaction that changes a lesson, by exact whole numbers; they can always be made anew from the
//! lessons. A job whose entries have grown since its lesson was made is marked, and found by [`untaught`].

use crate::error::StoreError;
use crate::rows::{Rows, text};
use crate::shelf::Taught;
use crate::sql::{self, Value};
use job::JobId;
use life::{Lesson, Sums};
use std::sync::mpsc::sync_channel;

/// Lines handed over at once.
const BATCH: usize = 2000;
/// Threads that add up; the database hands out lines no faster.
const WORKERS: usize = 4;
/// The sums of this shop's own jobs stand under no name.
const OWN: &str = "";

/// Keeps lessons of closed jobs; returns how many. One that was made from other entries than those kept now waits for
/// the next.
pub(crate) fn teach(rows: &mut dyn Rows, lessons: &[Taught]) -> Result<u64, StoreError> {
    let mut sums = own(rows)?;
    let mut kept = 0;
    for taught in lessons {
        if take(rows, &mut sums, taught)? {
            kept += 1;
        }
    }
    put_own(rows, &sums)?;
    Ok(kept)
}

/// Keeps one lesson, unless its job is open here or has other entries than it was made from.
pub(crate) fn take(rows: &mut dyn Rows, sums: &mut Sums, taught: &Taught) -> Result<bool, StoreError> {
    let seen = i64::try_from(taught.seen).unwrap_or(i64::MAX);
    let values = [text(&taught.job.to_string()), Value::Whole(seen)];
    if rows.whole(sql::TEACHES, &values)? == 0 {
        return Ok(false);
    }
    replace(rows, sums, taught)?;
    Ok(true)
}

/// Puts a lesson in the place of the one that is kept, in the sums too.
fn replace(rows: &mut dyn Rows, sums: &mut Sums, taught: &Taught) -> Result<(), StoreError> {
    let wrong = |why| StoreError::Lesson { job: taught.job, why };
    let name = text(&taught.job.to_string());
    if let Some(lesson) = &taught.lesson {
        sums.add(lesson).map_err(|unfit| wrong(unfit.to_string()))?;
    }
    if let Some(before) = lesson(rows, taught.job)? {
        sums.take_away(&before)
            .map_err(|unfit| wrong(unfit.to_string()))?;
    }
    match &taught.lesson {
        Some(lesson) => {
            let seen = i64::try_from(taught.seen).unwrap_or(i64::MAX);
            let values = [name, Value::Whole(seen), text(&lesson.write())];
            rows.run(sql::PUT_LESSON, &values)
        }
        None => rows.run(sql::FORGET_LESSON, &[name]),
    }
}

/// Forgets what a job taught, in the sums too: it is open again.
pub(crate) fn forget(rows: &mut dyn Rows, job: JobId) -> Result<(), StoreError> {
    if lesson(rows, job)?.is_none() {
        return Ok(());
    }
    let mut sums = own(rows)?;
    let nothing = Taught {
        job,
        seen: 0,
        lesson: None,
    };
    replace(rows, &mut sums, &nothing)?;
    put_own(rows, &sums)
}

/// Closed jobs whose lesson is missing or older than their entries.
pub(crate) fn untaught(rows: &mut dyn Rows, limit: usize) -> Result<Vec<JobId>, StoreError> {
    let limit = i64::try_from(limit).unwrap_or(i64::MAX);
    let names = rows.texts_of(sql::UNTAUGHT, &[Value::Whole(limit)])?;
    let read = |name: &String| {
        name.parse().map_err(|_| StoreError::Damaged {
            at: "the list of jobs".to_owned(),
            why: format!("no name of a job: `{name}`"),
        })
    };
    names.iter().map(read).collect()
}

/// The lesson kept of a job.
pub(crate) fn lesson(rows: &mut dyn Rows, job: JobId) -> Result<Option<Lesson>, StoreError> {
    let line = rows.texts_of(sql::LESSON, &[text(&job.to_string())])?.pop();
    line.map(|line| read(job, &line)).transpose()
}

/// A lesson as it is kept.
pub(crate) fn read(job: JobId, line: &str) -> Result<Lesson, StoreError> {
    Lesson::read(line).map_err(|why| StoreError::Lesson {
        job,
        why: why.to_string(),
    })
}

/// The sums of this shop's lessons: as kept, or made from them.
pub(crate) fn own(rows: &mut dyn Rows) -> Result<Sums, StoreError> {
    let kept = rows.texts_of(sql::SUMS, &[text(OWN)])?.pop();
    match kept.and_then(|kept| Sums::read(&kept).ok()) {
        Some(sums) => Ok(sums),
        None => anew(rows),
    }
}

/// The sums of this shop's lessons, from all of them: while one thread takes lines from the database, the others add them up.
/// Sums are whole numbers, so it does not matter who added what.
pub(crate) fn anew(rows: &mut dyn Rows) -> Result<Sums, StoreError> {
    let workers = std::thread::available_parallelism()
        .map_or(1, usize::from)
        .min(WORKERS);
    std::thread::scope(|scope| {
        let mut ways = Vec::new();
        let mut hands = Vec::new();
        for _ in 0..workers {
            let (way, lines) = sync_channel::<Vec<(JobId, String)>>(2);
            ways.push(way);
            hands.push(scope.spawn(move || lines.iter().try_fold(Sums::default(), add)));
        }
        let mut turns = ways.iter().cycle();
        let mut batch = Vec::with_capacity(BATCH);
        let mut hand_over = |batch: Vec<(JobId, String)>| {
            // A hand that stopped has found a lesson it cannot read, and says so in the end.
            let _ = turns.next().map(|way| way.send(batch));
        };
        let read = rows.all_lessons(sql::EVERY_LESSON, &mut |(job, _, line)| {
            batch.push((job, line));
            if batch.len() == BATCH {
                hand_over(std::mem::replace(&mut batch, Vec::with_capacity(BATCH)));
            }
            Ok(())
        });
        hand_over(batch);
        drop(ways);
        let mut sums = Sums::default();
        for hand in hands {
            // Adding cannot panic; should it, this thread does as well.
            let part = hand
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic))?;
            sums.merge(&part);
        }
        read.map(|()| sums)
    })
}

fn add(mut sums: Sums, batch: Vec<(JobId, String)>) -> Result<Sums, StoreError> {
    for (job, line) in batch {
        sums.add_line(&line).map_err(|why| StoreError::Lesson {
            job,
            why: why.to_string(),
        })?;
    }
    Ok(sums)
}

/// Keeps the sums of this shop's lessons.
pub(crate) fn put_own(rows: &mut dyn Rows, sums: &Sums) -> Result<(), StoreError> {
    put(rows, OWN, 0, sums)
}

/// Keeps sums under a shop's name.
pub(crate) fn put(rows: &mut dyn Rows, shop: &str, made: i64, sums: &Sums) -> Result<(), StoreError> {
    // Sums are maps with names as keys: they can always be written.
    let sums = serde_json::to_string(sums).unwrap_or_default();
    rows.run(sql::PUT_SUMS, &[text(shop), Value::Whole(made), text(&sums)])
}
