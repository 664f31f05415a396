//! A whole store as JSON Lines, and back: for copies, for another machine, for another kind of database.
//!
//! First line `{"halfsplit":"jobs","format":1}`; then one `entry`, `setting`, `lesson`, `pooled` or `photo` a line; last line `{"end":
//! lines before it,"sha256": of their bytes}`, so that a file that was cut or changed is told from a whole one.

use crate::error::StoreError;
use crate::learning;
use crate::photos;
use crate::pooling::{self, Pooled};
use crate::rows::Rows;
use crate::shelf::{Added, Imported, Store, Taught};
use crate::sql;
use crate::taking::{Touched, take_one};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use jiff::Timestamp;
use job::Entry;
use life::{Lesson, Sums};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Seek, Write};

/// The newest form of an export.
const FORMAT: u64 = 1;

/// Writes everything; returns the number of lines.
pub(crate) fn export(rows: &mut dyn Rows, out: &mut dyn Write) -> Result<u64, StoreError> {
    let mut lines = Lines {
        out,
        sum: Sha256::new(),
        count: 0,
    };
    lines.write(&json!({"halfsplit": "jobs", "format": FORMAT}).to_string())?;
    rows.all_bodies(&mut |body| lines.write(&format!("{{\"entry\":{body}}}")))?;
    for (key, value) in rows.all_settings()? {
        lines.write(&json!({"setting": key, "value": value}).to_string())?;
    }
    rows.all_lessons(sql::ALL_LESSONS, &mut |(job, seen, body)| {
        lines.write(&json!({"lesson": body, "job": job.to_string(), "seen": seen}).to_string())
    })?;
    for Pooled { shop, made, sums } in pooling::others(rows)? {
        let made = made.as_microsecond();
        lines.write(&json!({"pooled": shop.to_string(), "made": made, "sums": sums}).to_string())?;
    }
    for hash in rows.all_photos()? {
        let (bytes, media) = rows.photo(&hash)?;
        lines.write(&json!({"photo": hash, "media": media, "data": STANDARD.encode(bytes)}).to_string())?;
    }
    let sum = photos::hex(&lines.sum.finalize_reset());
    lines.write(&json!({"end": lines.count, "sha256": sum}).to_string())?;
    lines.out.flush()?;
    Ok(lines.count)
}

struct Lines<'o> {
    out: &'o mut dyn Write,
    sum: Sha256,
    count: u64,
}

impl Lines<'_> {
    fn write(&mut self, line: &str) -> Result<(), StoreError> {
        self.sum.update(line);
        self.sum.update("\n");
        self.out.write_all(line.as_bytes())?;
        self.out.write_all(b"\n")?;
        self.count += 1;
        Ok(())
    }
}

/// Reads an export. Whoever calls it throws the transaction away on an error.
pub(crate) fn import(rows: &mut dyn Rows, from: &mut dyn BufRead) -> Result<Imported, StoreError> {
    let mut taking = Taking {
        own_settings: rows.all_settings()?.into_iter().map(|(key, _)| key).collect(),
        rows,
        touched: Touched::default(),
        sums: None,
        imported: Imported::default(),
    };
    let mut sum = Sha256::new();
    let mut ended = false;
    let mut bytes = Vec::new();
    loop {
        bytes.clear();
        if from.read_until(b'\n', &mut bytes)? == 0 {
            break;
        }
        let before = taking.imported.lines;
        taking.imported.lines += 1;
        let line = taking.imported.lines;
        let at = |why: String| StoreError::Import { line, why };
        if ended {
            return Err(at(
                "something follows the last line; expected the end of the file".to_owned(),
            ));
        }
        let value: Value = serde_json::from_slice(&bytes).map_err(|error| {
            at(format!(
                "not a line of an export, or cut off: {error}; export it once more"
            ))
        })?;
        if line == 1 {
            header(&value).map_err(at)?;
        } else if let Some(count) = value.get("end") {
            let known = photos::hex(&sum.finalize_reset());
            trailer(count, &value["sha256"], before, &known).map_err(at)?;
            ended = true;
        } else {
            taking.line(&value).map_err(|wrong| match wrong {
                Wrong::Line(why) => at(why),
                // What is wrong with the entry is the line's fault; what is wrong with the disk is not.
                Wrong::Store(why @ (StoreError::Differs { .. } | StoreError::Unreadable { .. })) => {
                    at(why.to_string())
                }
                Wrong::Store(error) => error,
            })?;
        }
        sum.update(&bytes);
    }
    if !ended {
        return Err(StoreError::Import {
            line: taking.imported.lines + 1,
            why: "the export ends without its last line: it was cut off; export or copy it once more"
                .to_owned(),
        });
    }
    taking.finish()
}

fn header(value: &Value) -> Result<(), String> {
    match (value["halfsplit"].as_str(), value["format"].as_u64()) {
        (Some("jobs"), Some(1..=FORMAT)) => Ok(()),
        (Some("jobs"), Some(found)) => Err(format!(
            "the export has form {found}, and this program understands forms up to {FORMAT}: it was written by a newer version of halfsplit"
        )),
        _ => Err("not an export of jobs; expected a first line with `halfsplit` and `format`".to_owned()),
    }
}

pub(crate) fn trailer(count: &Value, sum: &Value, lines: u64, known: &str) -> Result<(), String> {
    if count.as_u64() != Some(lines) {
        return Err(format!(
            "the export says it has {count} lines before this one, and {lines} were read: some are missing or were added"
        ));
    }
    if sum.as_str() != Some(known) {
        return Err(
            "the lines do not give the checksum: the export was changed or damaged; export it once more"
                .to_owned(),
        );
    }
    Ok(())
}

enum Wrong {
    Line(String),
    Store(StoreError),
}

impl From<StoreError> for Wrong {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

struct Taking<'r> {
    rows: &'r mut dyn Rows,
    own_settings: BTreeSet<String>,
    touched: Touched,
    /// This shop's sums while lessons come in.
    sums: Option<Sums>,
    imported: Imported,
}

impl Taking<'_> {
    fn line(&mut self, value: &Value) -> Result<(), Wrong> {
        let text = |name: &str| {
            let text = value[name].as_str();
            text.ok_or_else(|| Wrong::Line(format!("`{name}` is missing or not a text")))
        };
        if let Some(entry) = value.get("entry") {
            let entry = Entry::read(&entry.to_string()).map_err(|why| Wrong::Line(why.to_string()))?;
            match take_one(self.rows, &entry, &mut self.touched)? {
                Added::New => self.imported.added += 1,
                Added::Already => self.imported.already += 1,
            }
        } else if value.get("setting").is_some() {
            let (key, value) = (text("setting")?, text("value")?);
            if !self.own_settings.contains(key) {
                self.rows.put_setting(key, Some(value))?;
            }
        } else if value.get("lesson").is_some() {
            let job = text("job")?.parse();
            let job = job.map_err(|error| Wrong::Line(format!("`job` is no name of a job: {error}")))?;
            let lesson = Lesson::read(text("lesson")?).map_err(|why| Wrong::Line(why.to_string()))?;
            let seen = value["seen"].as_u64().unwrap_or_default();
            self.lesson(&Taught {
                job,
                seen,
                lesson: Some(lesson),
            })?;
        } else if value.get("pooled").is_some() {
            self.pooled(text("pooled")?, &value["made"], &value["sums"])?;
        } else if value.get("photo").is_some() {
            self.photo(text("photo")?, text("media")?, text("data")?)?;
        } else {
            return Err(Wrong::Line(
                "expected an `entry`, a `setting`, a `lesson`, a `photo` or the `end`".to_owned(),
            ));
        }
        Ok(())
    }

    fn photo(&mut self, hash: &str, media: &str, data: &str) -> Result<(), Wrong> {
        let bytes = STANDARD.decode(data);
        let bytes = bytes.map_err(|error| Wrong::Line(format!("the picture is not base64: {error}")))?;
        photos::fits(&bytes).map_err(|error| Wrong::Line(error.to_string()))?;
        if photos::hash(&bytes) != hash {
            return Err(Wrong::Line("the picture's bytes do not give its name".to_owned()));
        }
        Ok(self.rows.put_photo(hash, media, &bytes)?)
    }

    /// Keeps a lesson if its job is closed here too and nothing else is known of it here. Entries come before lessons, so
    /// their rows are folded by now.
    fn lesson(&mut self, taught: &Taught) -> Result<(), StoreError> {
        self.fold()?;
        let mut sums = match self.sums.take() {
            Some(sums) => sums,
            None => learning::own(self.rows)?,
        };
        learning::take(self.rows, &mut sums, taught)?;
        self.sums = Some(sums);
        Ok(())
    }

    /// Keeps another shop's sums, unless they are this shop's own.
    fn pooled(&mut self, shop: &str, made: &Value, sums: &Value) -> Result<(), Wrong> {
        let wrong = |why: String| Wrong::Line(format!("the sums of a shop: {why}"));
        let made = made
            .as_i64()
            .and_then(|made| Timestamp::from_microsecond(made).ok());
        let pooled = Pooled {
            shop: shop
                .parse()
                .map_err(|error: uuid::Error| wrong(error.to_string()))?,
            made: made.ok_or_else(|| wrong("`made` is no moment".to_owned()))?,
            sums: Sums::read(&sums.to_string()).map_err(|error| wrong(error.to_string()))?,
        };
        match pooling::take(self.rows, &pooled) {
            Ok(_) | Err(StoreError::OwnSums) => Ok(()),
            Err(error) => Err(error.into()),
        }
    }

    /// Folds the rows of jobs that entries came for. Sums are put down before: a fold may change them.
    fn fold(&mut self) -> Result<(), StoreError> {
        if self.touched.is_empty() {
            return Ok(());
        }
        self.put_sums()?;
        self.touched.fold(self.rows)
    }

    fn put_sums(&mut self) -> Result<(), StoreError> {
        match self.sums.take() {
            Some(sums) => learning::put_own(self.rows, &sums),
            None => Ok(()),
        }
    }

    fn finish(mut self) -> Result<Imported, StoreError> {
        self.fold()?;
        self.put_sums()?;
        Ok(self.imported)
    }
}

/// Copies everything of one store into another, through a file of its own that nobody else may read.
pub fn copy(from: &mut dyn Store, to: &mut dyn Store) -> Result<Imported, StoreError> {
    let name = format!("halfsplit-{}.jsonl", uuid::Uuid::now_v7());
    let at = std::env::temp_dir().join(name);
    let mut options = std::fs::OpenOptions::new();
    options.read(true).write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let file = options.open(&at)?;
    // Where a file may lose its name while it is open, nothing is left behind even by a program that is stopped.
    let nameless = cfg!(unix) && std::fs::remove_file(&at).is_ok();
    let done = through(from, to, file);
    if !nameless {
        let _ = std::fs::remove_file(&at);
    }
    done
}

fn through(
    from: &mut dyn Store,
    to: &mut dyn Store,
    mut file: std::fs::File,
) -> Result<Imported, StoreError> {
    let mut out = std::io::BufWriter::new(&file);
    from.export(&mut out)?;
    drop(out);
    file.rewind()?;
    to.import(&mut BufReader::new(file))
}
