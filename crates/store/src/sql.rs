//! The SQL that both kinds of database understand. Parameters are numbered in the order in which they first occur.

use crate::shelf::Filter;

/// Newest form of the tables. A form, once published, is never changed; the next one is added.
pub(crate) const FORMS: &[&str] = &["
CREATE TABLE job (
  id TEXT PRIMARY KEY, number BIGINT NOT NULL UNIQUE, stage TEXT NOT NULL, words TEXT NOT NULL, complaint TEXT NOT NULL,
  circuit TEXT NOT NULL, opened BIGINT NOT NULL, changed BIGINT NOT NULL);
CREATE INDEX job_changed ON job (changed DESC, number DESC);
CREATE INDEX job_stage ON job (stage, changed DESC, number DESC);
CREATE TABLE found_by (
  word TEXT NOT NULL, changed BIGINT NOT NULL, number BIGINT NOT NULL REFERENCES job (number));
CREATE UNIQUE INDEX found_by_word ON found_by (word, changed DESC, number DESC);
CREATE INDEX found_by_number ON found_by (number, word);
CREATE TABLE entry (id TEXT PRIMARY KEY, job TEXT NOT NULL, turn BIGINT NOT NULL, body TEXT NOT NULL);
CREATE INDEX entry_job ON entry (job, turn, id);
CREATE TABLE lesson (job TEXT PRIMARY KEY REFERENCES job (id), body TEXT NOT NULL);
CREATE TABLE setting (key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE photo (hash TEXT PRIMARY KEY, media TEXT NOT NULL, bytes BIGINT NOT NULL);
", "
DROP TABLE lesson;
CREATE TABLE lesson (job TEXT PRIMARY KEY REFERENCES job (id), seen BIGINT NOT NULL, body TEXT NOT NULL);
ALTER TABLE job ADD COLUMN taught BIGINT NOT NULL DEFAULT 0;
CREATE INDEX job_untaught ON job (number) WHERE stage = 'closed' AND taught = 0;
CREATE TABLE learnt (shop TEXT PRIMARY KEY, made BIGINT NOT NULL, sums TEXT NOT NULL);
", "
ALTER TABLE found_by ADD COLUMN stage TEXT NOT NULL DEFAULT '';
UPDATE found_by SET stage = (SELECT stage FROM job WHERE job.number = found_by.number);
CREATE INDEX found_by_stage ON found_by (word, stage, changed DESC, number DESC);
"];

pub(crate) const BODY: &str = "SELECT body FROM entry WHERE id = $1";
pub(crate) const INSERT: &str = "INSERT INTO entry (id, job, turn, body) VALUES ($1, $2, $3, $4)";
pub(crate) const BODIES: &str = "SELECT body FROM entry WHERE job = $1 ORDER BY turn, id";
pub(crate) const ROW: &str =
    "SELECT id, number, stage, words, complaint, circuit, opened, changed FROM job WHERE id = $1";
pub(crate) const NEXT_NUMBER: &str = "SELECT COALESCE(MAX(number), 0) + 1 FROM job";
pub(crate) const PUT_ROW: &str = "
INSERT INTO job (id, number, stage, words, complaint, circuit, opened, changed)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
ON CONFLICT (id) DO UPDATE SET stage = excluded.stage, words = excluded.words, complaint = excluded.complaint,
circuit = excluded.circuit, opened = excluded.opened, changed = excluded.changed, taught = 0";
pub(crate) const FORGET_WORDS: &str = "DELETE FROM found_by WHERE number = $1";
pub(crate) const PUT_WORD: &str =
    "INSERT INTO found_by (word, stage, changed, number) VALUES ($1, $2, $3, $4)";
pub(crate) const FORGET_LESSON: &str = "DELETE FROM lesson WHERE job = $1";
pub(crate) const PUT_LESSON: &str = "
INSERT INTO lesson (job, seen, body) VALUES ($1, $2, $3)
ON CONFLICT (job) DO UPDATE SET seen = excluded.seen, body = excluded.body";
pub(crate) const LESSON: &str = "SELECT body FROM lesson WHERE job = $1";
/// Marks a closed job as taught if so many entries of it are kept.
pub(crate) const TEACHES: &str = "
UPDATE job SET taught = 1 WHERE id = $1 AND stage = 'closed' AND (SELECT COUNT(*) FROM entry WHERE entry.job = $1) = $2
RETURNING number";
pub(crate) const UNTAUGHT: &str =
    "SELECT id FROM job WHERE stage = 'closed' AND taught = 0 ORDER BY number LIMIT $1";
pub(crate) const SUMS: &str = "SELECT sums FROM learnt WHERE shop = $1";
pub(crate) const SUMS_MADE: &str = "SELECT made FROM learnt WHERE shop = $1";
pub(crate) const PUT_SUMS: &str = "
INSERT INTO learnt (shop, made, sums) VALUES ($1, $2, $3)
ON CONFLICT (shop) DO UPDATE SET made = excluded.made, sums = excluded.sums";
pub(crate) const FORGET_SUMS: &str = "DELETE FROM learnt WHERE shop = $1";
pub(crate) const OTHER_SHOPS: &str = "SELECT shop FROM learnt WHERE shop <> '' ORDER BY shop";
pub(crate) const SETTING: &str = "SELECT value FROM setting WHERE key = $1";
pub(crate) const FORGET_SETTING: &str = "DELETE FROM setting WHERE key = $1";
pub(crate) const PUT_SETTING: &str =
    "INSERT INTO setting (key, value) VALUES ($1, $2) ON CONFLICT (key) DO UPDATE SET value = excluded.value";
pub(crate) const PUT_PHOTO: &str =
    "INSERT INTO photo (hash, media, bytes) VALUES ($1, $2, $3) ON CONFLICT (hash) DO NOTHING";
pub(crate) const MEDIA: &str = "SELECT media FROM photo WHERE hash = $1";
pub(crate) const ALL_BODIES: &str = "
SELECT entry.body FROM entry LEFT JOIN job ON job.id = entry.job
ORDER BY job.number IS NULL, job.number, entry.job, entry.turn, entry.id";
pub(crate) const ALL_LESSONS: &str = "SELECT job, seen, body FROM lesson ORDER BY job";
/// In no order: what is added up has none.
pub(crate) const EVERY_LESSON: &str = "SELECT job, seen, body FROM lesson";
pub(crate) const ALL_SETTINGS: &str = "SELECT key, value FROM setting ORDER BY key";
pub(crate) const ALL_PHOTOS: &str = "SELECT hash FROM photo ORDER BY hash";
pub(crate) const BY_NUMBER: &str = "SELECT id FROM job WHERE number = $1";
pub(crate) const BY_NAME: &str = "SELECT id FROM job WHERE id >= $1 AND id < $2 ORDER BY id LIMIT 2";
/// How often a word occurs, as far as it matters which of several is the rarest.
pub(crate) const HOW_OFTEN: &str =
    "SELECT COUNT(*) FROM (SELECT 1 FROM found_by WHERE word = $1 LIMIT 5000) AS some_of_them";

/// A value for a parameter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Value {
    Text(String),
    Whole(i64),
}

/// The jobs of a filter, `words` the rarest first, below a place (moment in microseconds and number): the columns of
/// [`ROW`], or only their number where `limit` is `None`.
pub(crate) fn select(
    filter: &Filter,
    words: &[String],
    before: Option<(i64, i64)>,
    limit: Option<i64>,
) -> (String, Vec<Value>) {
    let mut values = Vec::new();
    let mut next = |value: Value| {
        values.push(value);
        format!("${}", values.len())
    };
    let walked = if words.is_empty() { "job" } else { "found_by" };
    let mut conditions = Vec::new();
    if let Some((first, others)) = words.split_first() {
        conditions.push(format!("found_by.word = {}", next(Value::Text(first.clone()))));
        for other in others {
            conditions.push(format!(
                "EXISTS (SELECT 1 FROM found_by AS other WHERE other.number = found_by.number AND other.word = {})",
                next(Value::Text(other.clone()))
            ));
        }
    }
    if let Some(stage) = filter.stage {
        conditions.push(format!(
            "{walked}.stage = {}",
            next(Value::Text(stage.name().to_owned()))
        ));
    }
    if let Some((changed, number)) = before {
        conditions.push(format!(
            "({walked}.changed, {walked}.number) < ({}, {})",
            next(Value::Whole(changed)),
            next(Value::Whole(number))
        ));
    }
    let source = match (words.is_empty(), limit) {
        (true, _) => "job",
        (false, None) => "found_by",
        (false, Some(_)) => "found_by CROSS JOIN job",
    };
    if source.contains("CROSS") {
        conditions.push("job.number = found_by.number".to_owned());
    }
    let condition = if conditions.is_empty() {
        String::new()
    } else {
        format!(" WHERE {}", conditions.join(" AND "))
    };
    let text = match limit {
        Some(limit) => format!(
            "SELECT job.id, job.number, job.stage, job.words, job.complaint, job.circuit, job.opened, job.changed \
             FROM {source}{condition} ORDER BY {walked}.changed DESC, {walked}.number DESC LIMIT {}",
            next(Value::Whole(limit))
        ),
        None => format!("SELECT COUNT(*) FROM {source}{condition}"),
    };
    (text, values)
}
