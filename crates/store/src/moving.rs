//! A shop moved from one store into another: copied, compared, and nothing changed where it came from.

use crate::error::StoreError;
use crate::exchange::copy;
use crate::photos;
use crate::shelf::{Filter, Store};
use job::{Entry, JobId};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::io::Write;

/// Jobs compared at once.
const PAGE: usize = 1000;

/// A shop that was moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// Jobs in the new place.
    pub jobs: u64,
    /// Entries that were new there.
    pub added: u64,
    /// Entries that were there already, from an earlier move.
    pub already: u64,
    /// Lines of the export that both places give alike.
    pub lines: u64,
    /// SHA-256 of them, hexadecimal.
    pub sha256: String,
}

/// Moves all of `from` into `to` and compares what both give out to the last byte: entries, settings, lessons, sums of other
/// shops, pictures. `from` stays as it is. Done again it does no harm and finishes what was interrupted.
///
/// # Errors
/// [`StoreError::OtherShop`] if `to` holds jobs that `from` does not know just so: nothing is written then.
/// [`StoreError::MovedDiffers`] if afterwards the two are not alike.
pub fn move_all(from: &mut dyn Store, to: &mut dyn Store) -> Result<Moved, StoreError> {
    same_shop(from, to)?;
    let imported = copy(from, to)?;
    settings(from, to)?;
    let (here, there) = (sum(from)?, sum(to)?);
    if here != there {
        return Err(StoreError::MovedDiffers {
            lines: here.0,
            others: there.0,
        });
    }
    Ok(Moved {
        jobs: to.count(&Filter::default())?,
        added: imported.added,
        already: imported.already,
        lines: there.0,
        sha256: there.1,
    })
}

/// Every job of `to` must be one of `from`, under the same number, with no entry that `from` lacks: then `to` is empty, or
/// was filled from here before.
fn same_shop(from: &mut dyn Store, to: &mut dyn Store) -> Result<(), StoreError> {
    let mut before = None;
    loop {
        let rows = to.list(&Filter::default(), PAGE, before)?;
        let Some(last) = rows.last() else {
            return Ok(());
        };
        before = Some(last.place());
        for row in &rows {
            let other = |why: &str| StoreError::OtherShop {
                number: row.number,
                why: why.to_owned(),
            };
            match from.row(row.id)? {
                None => return Err(other("is not known where the jobs come from")),
                Some(own) if own.number != row.number => {
                    return Err(other("has another number where the jobs come from"));
                }
                Some(_) if !holds(from, to, row.id)? => {
                    return Err(other("has entries that are not known where the jobs come from"));
                }
                Some(_) => {}
            }
        }
    }
}

/// Whether `from` has every entry of a job that `to` has.
fn holds(from: &mut dyn Store, to: &mut dyn Store, job: JobId) -> Result<bool, StoreError> {
    let known: BTreeSet<String> = from.entries(job)?.iter().map(Entry::write).collect();
    Ok(to
        .entries(job)?
        .iter()
        .all(|entry| known.contains(&entry.write())))
}

/// An import leaves settings alone that are there; the shop that moves brings its own.
fn settings(from: &mut dyn Store, to: &mut dyn Store) -> Result<(), StoreError> {
    let (own, there) = (from.settings()?, to.settings()?);
    for (key, _) in there
        .iter()
        .filter(|(key, _)| own.iter().all(|(known, _)| known != key))
    {
        to.set(key, None)?;
    }
    for (key, value) in own.iter().filter(|pair| !there.contains(pair)) {
        to.set(key, Some(value))?;
    }
    Ok(())
}

/// Lines of an export, and what they come to.
fn sum(store: &mut dyn Store) -> Result<(u64, String), StoreError> {
    let mut bytes = Bytes(Sha256::new());
    let lines = store.export(&mut bytes)?;
    Ok((lines, photos::hex(&bytes.0.finalize())))
}

/// Takes in bytes and keeps only their sum.
struct Bytes(Sha256);

impl Write for Bytes {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}
