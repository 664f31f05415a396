//! A store in one file of this machine: SQLite with a write-ahead log, forced to the disk at every commit.

use crate::error::StoreError;
use crate::keeping::{Backend, Purpose, Work};
use crate::photos::{self, Folder};
use crate::rows::{self, Each, Line, Rows};
use crate::shelf::Row;
use crate::sql::{self, Value};
use jiff::Timestamp;
use job::{EntryId, JobId};
use rusqlite::types::{ToSql, ToSqlOutput};
use rusqlite::{Connection, ErrorCode, OptionalExtension, Transaction, TransactionBehavior, params};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long another writer is waited for, s.
const PATIENCE: u64 = 5;
/// "HSjb": marks the file as ours (SQLite's `application_id`).
const MARK: i64 = 0x4853_6A62;

/// A store in a file.
#[derive(Debug)]
pub struct Sqlite {
    connection: Connection,
    at: PathBuf,
    photos: Folder,
}

impl Sqlite {
    /// Opens the file, made anew with its folder where there is none.
    pub fn open(at: &Path) -> Result<Self, StoreError> {
        if let Some(folder) = at.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder).map_err(|error| photos::io(folder, &error))?;
        }
        let connection = Connection::open(at).map_err(|error| fail(at, &error))?;
        let mut store = Self {
            connection,
            at: at.to_owned(),
            photos: Folder::beside(at),
        };
        store.prepare().map_err(|error| fail(at, &error))?;
        store.migrate()?;
        Ok(store)
    }

    fn prepare(&self) -> rusqlite::Result<()> {
        self.connection.busy_timeout(Duration::from_secs(PATIENCE))?;
        self.connection
            .pragma_query_value(None, "schema_version", |_| Ok(()))?;
        self.connection.pragma_update(None, "foreign_keys", true)?;
        self.connection.pragma_update(None, "synchronous", "FULL")
    }

    /// Brings the tables to the newest form; tells a newer program's file and a stranger's.
    fn migrate(&mut self) -> Result<(), StoreError> {
        let at = self.at.clone();
        let known = i64::try_from(sql::FORMS.len()).unwrap_or(i64::MAX);
        let found = self.form().map_err(|error| fail(&at, &error))?;
        if let Some(error) = self.stranger(found, known).map_err(|error| fail(&at, &error))? {
            return Err(error);
        }
        self.connection
            .pragma_update(None, "journal_mode", "WAL")
            .map_err(|error| fail(&at, &error))?;
        if found == known {
            return Ok(());
        }
        let bring = |connection: &mut Connection| {
            let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            // Somebody else may have been quicker between the first look and the lock.
            let found: i64 = transaction.pragma_query_value(None, "user_version", |row| row.get(0))?;
            for form in sql::FORMS.iter().skip(usize::try_from(found).unwrap_or_default()) {
                transaction.execute_batch(form)?;
            }
            transaction.pragma_update(None, "application_id", MARK)?;
            transaction.pragma_update(None, "user_version", known.max(found))?;
            transaction.commit()
        };
        bring(&mut self.connection).map_err(|error| fail(&at, &error))
    }

    fn form(&self) -> rusqlite::Result<i64> {
        self.connection
            .pragma_query_value(None, "user_version", |row| row.get(0))
    }

    fn stranger(&self, found: i64, known: i64) -> rusqlite::Result<Option<StoreError>> {
        let at = self.at.display().to_string();
        let mark: i64 = self
            .connection
            .pragma_query_value(None, "application_id", |row| row.get(0))?;
        let tables: i64 = self
            .connection
            .query_row("SELECT COUNT(*) FROM sqlite_master", [], |row| row.get(0))?;
        Ok(if mark != MARK && tables > 0 {
            Some(StoreError::Foreign { at })
        } else if found > known {
            Some(StoreError::NewerDatabase { at, found, known })
        } else {
            None
        })
    }
}

impl Backend for Sqlite {
    fn within(&mut self, purpose: Purpose, work: Work<'_>) -> Result<(), StoreError> {
        let at = self.at.as_path();
        let behaviour = match purpose {
            Purpose::Read | Purpose::Once { writes: false } => TransactionBehavior::Deferred,
            Purpose::Write | Purpose::Once { writes: true } => TransactionBehavior::Immediate,
        };
        let transaction = self.connection.transaction_with_behavior(behaviour);
        let mut tx = Tx {
            inner: transaction.map_err(|error| fail(at, &error))?,
            at,
            photos: &self.photos,
        };
        work(&mut tx)?;
        tx.inner.commit().map_err(|error| fail(at, &error))
    }
}

/// One transaction.
struct Tx<'c> {
    inner: Transaction<'c>,
    at: &'c Path,
    photos: &'c Folder,
}

impl Tx<'_> {
    fn done(&self, text: &str, values: impl rusqlite::Params) -> Result<(), StoreError> {
        let run = || self.inner.prepare_cached(text)?.execute(values);
        run().map(drop).map_err(|error| fail(self.at, &error))
    }

    fn one<T: rusqlite::types::FromSql>(
        &self,
        text: &str,
        values: impl rusqlite::Params,
    ) -> Result<Option<T>, StoreError> {
        let run = || {
            let mut statement = self.inner.prepare_cached(text)?;
            statement.query_row(values, |row| row.get(0)).optional()
        };
        run().map_err(|error| fail(self.at, &error))
    }

    fn rows<T>(
        &self,
        text: &str,
        values: impl rusqlite::Params,
        read: impl FnMut(&rusqlite::Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, StoreError> {
        let run = || {
            let mut statement = self.inner.prepare_cached(text)?;
            statement.query_map(values, read)?.collect::<Result<Vec<T>, _>>()
        };
        run().map_err(|error: rusqlite::Error| fail(self.at, &error))
    }

    fn each<T>(
        &self,
        text: &str,
        read: impl Fn(&rusqlite::Row<'_>) -> rusqlite::Result<T>,
        each: Each<'_, T>,
    ) -> Result<(), StoreError> {
        let wrong = |error: rusqlite::Error| fail(self.at, &error);
        let mut statement = self.inner.prepare_cached(text).map_err(wrong)?;
        let mut rows = statement.query([]).map_err(wrong)?;
        while let Some(row) = rows.next().map_err(wrong)? {
            each(read(row).map_err(wrong)?)?;
        }
        Ok(())
    }
}

impl Rows for Tx<'_> {
    fn body(&mut self, id: EntryId) -> Result<Option<String>, StoreError> {
        self.one(sql::BODY, [id.to_string()])
    }

    fn insert(&mut self, line: &Line<'_>) -> Result<(), StoreError> {
        // Only for the order of a listing; the fold orders by the entry's own turn.
        let turn = i64::try_from(line.turn).unwrap_or(i64::MAX);
        self.done(
            sql::INSERT,
            params![line.id.to_string(), line.job.to_string(), turn, line.body],
        )
    }

    fn bodies(&mut self, job: JobId) -> Result<Vec<String>, StoreError> {
        self.rows(sql::BODIES, [job.to_string()], |row| row.get(0))
    }

    fn row(&mut self, job: JobId) -> Result<Option<Row>, StoreError> {
        Ok(self.rows(sql::ROW, [job.to_string()], to_row)?.pop())
    }

    fn select(&mut self, text: &str, values: &[Value]) -> Result<Vec<Row>, StoreError> {
        self.rows(text, rusqlite::params_from_iter(values), to_row)
    }

    fn whole(&mut self, text: &str, values: &[Value]) -> Result<i64, StoreError> {
        Ok(self
            .one(text, rusqlite::params_from_iter(values))?
            .unwrap_or_default())
    }

    fn put_row(&mut self, row: &Row, words: &[String]) -> Result<(), StoreError> {
        let (opened, changed) = (row.opened.as_microsecond(), row.changed.as_microsecond());
        self.done(
            sql::PUT_ROW,
            params![
                row.id.to_string(),
                row.number,
                row.stage.name(),
                row.words,
                row.complaint,
                row.circuit,
                opened,
                changed
            ],
        )?;
        self.done(sql::FORGET_WORDS, [row.number])?;
        words.iter().try_for_each(|word| {
            self.done(
                sql::PUT_WORD,
                params![word, row.stage.name(), changed, row.number],
            )
        })
    }

    fn run(&mut self, text: &str, values: &[Value]) -> Result<(), StoreError> {
        self.done(text, rusqlite::params_from_iter(values))
    }

    fn texts_of(&mut self, text: &str, values: &[Value]) -> Result<Vec<String>, StoreError> {
        self.rows(text, rusqlite::params_from_iter(values), |row| row.get(0))
    }

    fn put_photo(&mut self, hash: &str, media: &str, bytes: &[u8]) -> Result<(), StoreError> {
        self.photos.put(hash, bytes)?;
        let size = i64::try_from(bytes.len()).unwrap_or(i64::MAX);
        self.done(sql::PUT_PHOTO, params![hash, media, size])
    }

    fn photo(&mut self, hash: &str) -> Result<(Vec<u8>, String), StoreError> {
        let media: Option<String> = self.one(sql::MEDIA, [hash])?;
        let media = media.ok_or_else(|| StoreError::NoSuchPhoto {
            hash: hash.to_owned(),
        })?;
        Ok((self.photos.get(hash)?, media))
    }

    fn all_bodies(&mut self, each: Each<'_, String>) -> Result<(), StoreError> {
        self.each(sql::ALL_BODIES, |row| row.get(0), each)
    }

    fn all_lessons(&mut self, text: &str, each: Each<'_, (JobId, i64, String)>) -> Result<(), StoreError> {
        let read = |row: &rusqlite::Row<'_>| Ok((to_id(row, 0)?, row.get(1)?, row.get(2)?));
        self.each(text, read, each)
    }

    fn all_settings(&mut self) -> Result<Vec<(String, String)>, StoreError> {
        self.rows(sql::ALL_SETTINGS, [], |row| Ok((row.get(0)?, row.get(1)?)))
    }

    fn all_photos(&mut self) -> Result<Vec<String>, StoreError> {
        self.rows(sql::ALL_PHOTOS, [], |row| row.get(0))
    }

    fn by_number(&mut self, number: i64) -> Result<Option<JobId>, StoreError> {
        Ok(self.rows(sql::BY_NUMBER, [number], |row| to_id(row, 0))?.pop())
    }

    fn by_name(&mut self, from: &str, until: &str) -> Result<Vec<JobId>, StoreError> {
        self.rows(sql::BY_NAME, [from, until], |row| to_id(row, 0))
    }
}

impl ToSql for Value {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        match self {
            Self::Text(text) => text.to_sql(),
            Self::Whole(number) => number.to_sql(),
        }
    }
}

fn to_id(row: &rusqlite::Row<'_>, column: usize) -> rusqlite::Result<JobId> {
    let text: String = row.get(column)?;
    text.parse().map_err(|error| odd(column, error))
}

fn to_row(row: &rusqlite::Row<'_>) -> rusqlite::Result<Row> {
    let stage: String = row.get(2)?;
    let moment = |column: usize| {
        let micros: i64 = row.get(column)?;
        Timestamp::from_microsecond(micros).map_err(|error| odd(column, error))
    };
    Ok(Row {
        id: to_id(row, 0)?,
        number: row.get(1)?,
        stage: rows::stage(&stage).ok_or_else(|| odd(2, format!("no stage `{stage}`")))?,
        words: row.get(3)?,
        complaint: row.get(4)?,
        circuit: row.get(5)?,
        opened: moment(6)?,
        changed: moment(7)?,
    })
}

/// A value that this program did not write so.
fn odd(column: usize, why: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(column, rusqlite::types::Type::Text, why.into())
}

/// What SQLite says, in words that help. The codes are those of sqlite.org/rescode.html.
fn fail(at: &Path, error: &rusqlite::Error) -> StoreError {
    let (at, why) = (at.display().to_string(), error.to_string());
    match error.sqlite_error_code() {
        Some(ErrorCode::DiskFull) => StoreError::Full { at },
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => StoreError::ReadOnly { at },
        Some(ErrorCode::CannotOpen) => StoreError::CannotOpen { at, why },
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Locked {
            at,
            seconds: PATIENCE,
        },
        Some(ErrorCode::DatabaseCorrupt) | None => StoreError::Damaged { at, why },
        Some(ErrorCode::NotADatabase) => StoreError::NotADatabase { at },
        Some(ErrorCode::SystemIoFailure) => StoreError::Disk { at, why },
        Some(_) => StoreError::Database { at, why },
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at once")]
    use super::*;
    use crate::shelf::Store;

    fn on_a_file(name: &str, story: fn(&mut Sqlite)) {
        let folder = std::env::temp_dir().join(format!("sqlite-{name}-{}", uuid::Uuid::now_v7()));
        story(&mut Sqlite::open(&folder.join("shop.db")).unwrap());
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_file_that_may_not_grow_is_a_full_disk() {
        on_a_file("full", |store| {
            let pages: i64 = store
                .connection
                .pragma_query_value(None, "page_count", |row| row.get(0))
                .unwrap();
            store
                .connection
                .pragma_update(None, "max_page_count", pages)
                .unwrap();
            store.set("small", Some("x")).unwrap();
            let refused = store.set("large", Some(&"x".repeat(100_000))).unwrap_err();
            assert!(matches!(refused, StoreError::Full { .. }), "{refused}");
            assert_eq!(store.settings().unwrap(), [("small".to_owned(), "x".to_owned())]);
        });
    }

    #[test]
    fn a_lock_that_lasts_is_said() {
        on_a_file("locked", |store| {
            let other = Connection::open(&store.at).unwrap();
            other.execute_batch("BEGIN IMMEDIATE").unwrap();
            store.connection.busy_timeout(Duration::ZERO).unwrap();
            let refused = store.set("a", Some("b")).unwrap_err();
            assert!(matches!(refused, StoreError::Locked { .. }), "{refused}");
            assert!(store.settings().unwrap().is_empty(), "reading goes on");
            other.execute_batch("ROLLBACK").unwrap();
            store.set("a", Some("b")).unwrap();
        });
    }

    #[test]
    fn every_commit_is_forced_to_the_disk() {
        on_a_file("forced", |store| {
            // FULL is 2: sqlite.org/pragma.html#pragma_synchronous.
            let synchronous: i64 = store
                .connection
                .pragma_query_value(None, "synchronous", |row| row.get(0))
                .unwrap();
            let mode: String = store
                .connection
                .pragma_query_value(None, "journal_mode", |row| row.get(0))
                .unwrap();
            assert_eq!((synchronous, mode.as_str()), (2, "wal"));
        });
    }

    #[test]
    fn a_file_of_the_first_form_is_brought_to_the_newest() {
        let folder = std::env::temp_dir().join(format!("sqlite-form-{}", uuid::Uuid::now_v7()));
        std::fs::create_dir_all(&folder).unwrap();
        let at = folder.join("shop.db");
        let old = Connection::open(&at).unwrap();
        old.execute_batch(sql::FORMS[0]).unwrap();
        old.pragma_update(None, "application_id", MARK).unwrap();
        old.pragma_update(None, "user_version", 1).unwrap();
        let id = JobId(uuid::Uuid::from_u128(7));
        let job = "INSERT INTO job VALUES (?1, 1, 'closed', 'van', '', 'x', 5, 5)";
        old.execute(job, [id.to_string()]).unwrap();
        old.execute("INSERT INTO found_by VALUES ('van', 5, 1)", [])
            .unwrap();
        drop(old);
        let mut store = Sqlite::open(&at).unwrap();
        let filter = crate::Filter {
            stage: Some(job::Stage::Closed),
            words: "van".to_owned(),
        };
        assert_eq!(store.list(&filter, 9, None).unwrap()[0].id, id);
        assert_eq!(
            store.untaught(9).unwrap(),
            [id],
            "what it never taught is taught now"
        );
        std::fs::remove_dir_all(folder).unwrap();
    }
}
