//! A store on a server of the shop: PostgreSQL, every commit waited for.

use crate::encrypted::{self, Way};
use crate::error::StoreError;
use crate::keeping::{Backend, Purpose, Work};
use crate::location::Location;
use crate::photos;
use crate::rows::{self, Each, Line, Rows};
use crate::shelf::Row;
use crate::sql::{self, Value};
use jiff::Timestamp;
use job::{EntryId, JobId};
use postgres::types::ToSql;
use postgres::{Client, IsolationLevel, NoTls, Statement, Transaction};
use std::collections::BTreeMap;
use std::time::Duration;

/// The lock under which numbers are given, rows folded and tables made: the letters `HSjb`.
const LOCK: &str = "SELECT pg_advisory_xact_lock(1213426274)";
const FORM: &str = "CREATE TABLE IF NOT EXISTS halfsplit_form (number BIGINT NOT NULL)";
/// What only a server needs: the bytes of pictures.
const PICTURES: &str = "CREATE TABLE IF NOT EXISTS picture (hash TEXT PRIMARY KEY, data BYTEA NOT NULL)";

/// A store on a server.
pub struct Server {
    client: Client,
    /// As it may be shown.
    at: String,
    address: String,
    statements: BTreeMap<String, Statement>,
}

impl std::fmt::Debug for Server {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Server")
            .field("at", &self.at)
            .finish_non_exhaustive()
    }
}

impl Server {
    /// Connects, and makes the tables where there are none. `address`: `postgres://user@host/name`.
    pub fn open(address: &str) -> Result<Self, StoreError> {
        let at = Location::Server(address.to_owned()).to_string();
        let mut server = Self {
            client: connect(address, &at)?,
            at,
            address: address.to_owned(),
            statements: BTreeMap::new(),
        };
        server.migrate()?;
        Ok(server)
    }

    fn migrate(&mut self) -> Result<(), StoreError> {
        let at = &self.at;
        let known = i64::try_from(sql::FORMS.len()).unwrap_or(i64::MAX);
        let bring = |client: &mut Client| {
            let mut tx = client.transaction()?;
            tx.batch_execute(LOCK)?;
            tx.batch_execute(FORM)?;
            let row = tx.query_one("SELECT COALESCE(MAX(number), 0) FROM halfsplit_form", &[])?;
            let found: i64 = row.get(0);
            for form in sql::FORMS.iter().skip(usize::try_from(found).unwrap_or_default()) {
                // Names are compared byte by byte, whatever the server's language.
                tx.batch_execute(&form.replace(" TEXT", " TEXT COLLATE \"C\""))?;
            }
            tx.batch_execute(PICTURES)?;
            if found < known {
                tx.execute("INSERT INTO halfsplit_form (number) VALUES ($1)", &[&known])?;
            }
            tx.commit()?;
            Ok(found)
        };
        let found = bring(&mut self.client).map_err(|error: postgres::Error| fail(at, &error))?;
        if found > known {
            return Err(StoreError::NewerDatabase {
                at: at.clone(),
                found,
                known,
            });
        }
        Ok(())
    }

    fn once(&mut self, writes: bool, work: Work<'_>) -> Result<(), StoreError> {
        let at = self.at.as_str();
        let wrong = |error: postgres::Error| fail(at, &error);
        let begin = self.client.build_transaction();
        let begin = if writes {
            begin
        } else {
            begin
                .isolation_level(IsolationLevel::RepeatableRead)
                .read_only(true)
        };
        let mut inner = begin.start().map_err(wrong)?;
        if writes {
            inner.batch_execute(LOCK).map_err(wrong)?;
        }
        let mut tx = Tx {
            inner,
            at,
            statements: &mut self.statements,
        };
        work(&mut tx)?;
        tx.inner.commit().map_err(wrong)
    }
}

impl Backend for Server {
    /// A lost connection is made anew once, and the work done again: an entry that came through before counts once.
    fn within(&mut self, purpose: Purpose, work: Work<'_>) -> Result<(), StoreError> {
        let writes = matches!(purpose, Purpose::Write | Purpose::Once { writes: true });
        let fresh = !self.client.is_closed();
        match self.once(writes, work) {
            Err(lost @ StoreError::ServerGone { .. }) => {
                let Ok(client) = connect(&self.address, &self.at) else {
                    return Err(lost);
                };
                self.client = client;
                self.statements.clear();
                if fresh && matches!(purpose, Purpose::Once { .. }) {
                    return Err(lost);
                }
                self.once(writes, work)
            }
            done => done,
        }
    }
}

fn connect(address: &str, at: &str) -> Result<Client, StoreError> {
    let because = |why: String| StoreError::NoServer {
        at: at.to_owned(),
        why,
    };
    let refused = |error: &postgres::Error| because(reason(error));
    let Way { address, mode, with } = encrypted::way(address).map_err(because)?;
    let mut config: postgres::Config = address.parse().map_err(|error| refused(&error))?;
    config
        .connect_timeout(Duration::from_secs(5))
        .application_name("halfsplit")
        .ssl_mode(mode);
    let connected = match with {
        Some(with) => config.connect(with),
        None => config.connect(NoTls),
    };
    let mut client = connected.map_err(|error| refused(&error))?;
    let set = client.batch_execute("SET synchronous_commit = on; SET client_min_messages = warning");
    set.map_err(|error| fail(at, &error))?;
    Ok(client)
}

/// One transaction.
struct Tx<'c> {
    inner: Transaction<'c>,
    at: &'c str,
    statements: &'c mut BTreeMap<String, Statement>,
}

type Values<'a> = &'a [&'a (dyn ToSql + Sync)];

impl Tx<'_> {
    fn query(&mut self, text: &str, values: Values<'_>) -> Result<Vec<postgres::Row>, StoreError> {
        let mut run = || {
            let statement = if let Some(known) = self.statements.get(text) {
                known.clone()
            } else {
                let made = self.inner.prepare(text)?;
                self.statements.insert(text.to_owned(), made.clone());
                made
            };
            self.inner.query(&statement, values)
        };
        run().map_err(|error| fail(self.at, &error))
    }

    fn done(&mut self, text: &str, values: Values<'_>) -> Result<(), StoreError> {
        self.query(text, values).map(drop)
    }

    fn texts(&mut self, text: &str, values: Values<'_>) -> Result<Vec<String>, StoreError> {
        let rows = self.query(text, values)?;
        Ok(rows.iter().map(|row| row.get(0)).collect())
    }

    fn jobs(&mut self, text: &str, values: Values<'_>) -> Result<Vec<JobId>, StoreError> {
        let texts = self.texts(text, values)?;
        texts.iter().map(|text| id(self.at, text)).collect()
    }

    /// Hands over the rows as they come, without holding them all.
    fn stream(&mut self, text: &str, each: Each<'_, postgres::Row>) -> Result<(), StoreError> {
        let at = self.at;
        let portal = self.inner.bind(text, &[]).map_err(|error| fail(at, &error))?;
        loop {
            let rows = self
                .inner
                .query_portal(&portal, 1000)
                .map_err(|error| fail(at, &error))?;
            if rows.is_empty() {
                return Ok(());
            }
            rows.into_iter().try_for_each(&mut *each)?;
        }
    }
}

impl Rows for Tx<'_> {
    fn body(&mut self, id: EntryId) -> Result<Option<String>, StoreError> {
        Ok(self.texts(sql::BODY, &[&id.to_string()])?.pop())
    }

    fn insert(&mut self, line: &Line<'_>) -> Result<(), StoreError> {
        let turn = i64::try_from(line.turn).unwrap_or(i64::MAX);
        let (id, job) = (line.id.to_string(), line.job.to_string());
        self.done(sql::INSERT, &[&id, &job, &turn, &line.body])
    }

    fn bodies(&mut self, job: JobId) -> Result<Vec<String>, StoreError> {
        self.texts(sql::BODIES, &[&job.to_string()])
    }

    fn row(&mut self, job: JobId) -> Result<Option<Row>, StoreError> {
        Ok(self.select(sql::ROW, &[Value::Text(job.to_string())])?.pop())
    }

    fn select(&mut self, text: &str, values: &[Value]) -> Result<Vec<Row>, StoreError> {
        let values: Vec<_> = values.iter().map(given).collect();
        let rows = self.query(text, &values)?;
        rows.iter().map(|row| to_row(self.at, row)).collect()
    }

    fn whole(&mut self, text: &str, values: &[Value]) -> Result<i64, StoreError> {
        let values: Vec<_> = values.iter().map(given).collect();
        let rows = self.query(text, &values)?;
        Ok(rows.first().map_or(0, |row| row.get(0)))
    }

    fn put_row(&mut self, row: &Row, words: &[String]) -> Result<(), StoreError> {
        let (opened, changed) = (row.opened.as_microsecond(), row.changed.as_microsecond());
        let (id, stage) = (row.id.to_string(), row.stage.name());
        self.done(
            sql::PUT_ROW,
            &[
                &id,
                &row.number,
                &stage,
                &row.words,
                &row.complaint,
                &row.circuit,
                &opened,
                &changed,
            ],
        )?;
        self.done(sql::FORGET_WORDS, &[&row.number])?;
        // All at once: every statement is a way to the server and back.
        let all = "INSERT INTO found_by (word, stage, changed, number) SELECT word, $2, $3, $4 FROM unnest($1::TEXT[]) AS word";
        self.done(all, &[&words, &stage, &changed, &row.number])
    }

    fn run(&mut self, text: &str, values: &[Value]) -> Result<(), StoreError> {
        let values: Vec<_> = values.iter().map(given).collect();
        self.done(text, &values)
    }

    fn texts_of(&mut self, text: &str, values: &[Value]) -> Result<Vec<String>, StoreError> {
        let values: Vec<_> = values.iter().map(given).collect();
        self.texts(text, &values)
    }

    fn put_photo(&mut self, hash: &str, media: &str, bytes: &[u8]) -> Result<(), StoreError> {
        let size = i64::try_from(bytes.len()).unwrap_or(i64::MAX);
        self.done(sql::PUT_PHOTO, &[&hash, &media, &size])?;
        let data = "INSERT INTO picture (hash, data) VALUES ($1, $2) ON CONFLICT (hash) DO UPDATE SET data = excluded.data";
        self.done(data, &[&hash, &bytes])
    }

    fn photo(&mut self, hash: &str) -> Result<(Vec<u8>, String), StoreError> {
        let text =
            "SELECT data, media FROM picture JOIN photo ON photo.hash = picture.hash WHERE picture.hash = $1";
        let row = self
            .query(text, &[&hash])?
            .pop()
            .ok_or_else(|| StoreError::NoSuchPhoto {
                hash: hash.to_owned(),
            })?;
        let (bytes, media): (Vec<u8>, String) = (row.get(0), row.get(1));
        if photos::hash(&bytes) == hash {
            Ok((bytes, media))
        } else {
            Err(StoreError::DamagedPhoto { at: hash.into() })
        }
    }

    fn all_bodies(&mut self, each: Each<'_, String>) -> Result<(), StoreError> {
        self.stream(sql::ALL_BODIES, &mut |row| each(row.get(0)))
    }

    fn all_lessons(&mut self, text: &str, each: Each<'_, (JobId, i64, String)>) -> Result<(), StoreError> {
        let at = self.at;
        self.stream(text, &mut |row| {
            each((id(at, row.get(0))?, row.get(1), row.get(2)))
        })
    }

    fn all_settings(&mut self) -> Result<Vec<(String, String)>, StoreError> {
        let rows = self.query(sql::ALL_SETTINGS, &[])?;
        Ok(rows.iter().map(|row| (row.get(0), row.get(1))).collect())
    }

    fn all_photos(&mut self) -> Result<Vec<String>, StoreError> {
        self.texts(sql::ALL_PHOTOS, &[])
    }

    fn by_number(&mut self, number: i64) -> Result<Option<JobId>, StoreError> {
        Ok(self.jobs(sql::BY_NUMBER, &[&number])?.pop())
    }

    fn by_name(&mut self, from: &str, until: &str) -> Result<Vec<JobId>, StoreError> {
        self.jobs(sql::BY_NAME, &[&from, &until])
    }
}

fn given(value: &Value) -> &(dyn ToSql + Sync) {
    match value {
        Value::Text(text) => text,
        Value::Whole(number) => number,
    }
}

fn id(at: &str, text: &str) -> Result<JobId, StoreError> {
    text.parse()
        .map_err(|_| odd(at, format!("no name of a job: `{text}`")))
}

fn to_row(at: &str, row: &postgres::Row) -> Result<Row, StoreError> {
    let stage: String = row.get(2);
    let moment = |column: usize| {
        Timestamp::from_microsecond(row.get(column)).map_err(|error| odd(at, error.to_string()))
    };
    Ok(Row {
        id: id(at, row.get(0))?,
        number: row.get(1),
        stage: rows::stage(&stage).ok_or_else(|| odd(at, format!("no stage `{stage}`")))?,
        words: row.get(3),
        complaint: row.get(4),
        circuit: row.get(5),
        opened: moment(6)?,
        changed: moment(7)?,
    })
}

/// A value that this program did not write so.
fn odd(at: &str, why: String) -> StoreError {
    StoreError::Damaged {
        at: at.to_owned(),
        why,
    }
}

/// What the server or the network says, down to the last cause.
fn reason(error: &postgres::Error) -> String {
    let mut text = error.to_string();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        text = format!("{text}: {inner}");
        cause = inner.source();
    }
    text
}

/// What the server says, in words that help. The codes are those of appendix A of PostgreSQL's manual.
fn fail(at: &str, error: &postgres::Error) -> StoreError {
    let (at, why) = (at.to_owned(), reason(error));
    let Some(code) = error.code() else {
        return StoreError::ServerGone { at, why };
    };
    match code.code() {
        "53100" => StoreError::Full { at },
        "25006" | "42501" => StoreError::ReadOnly { at },
        "55P03" => StoreError::Locked { at, seconds: 0 },
        "XX001" | "XX002" => StoreError::Damaged { at, why },
        code if code.starts_with("57P") || code.starts_with("08") => StoreError::ServerGone { at, why },
        _ => StoreError::Database { at, why },
    }
}
