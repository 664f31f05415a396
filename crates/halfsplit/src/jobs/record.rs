//! Everything written out, and taken in again.

use super::desk::{self, Desk};
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::Answer;
use serde::Serialize;
use std::io::BufReader;
use std::path::Path;
use store::Location;

/// Writes everything out as JSON Lines.
pub(crate) fn export(desk: &mut Desk, file: Option<&Path>) -> Result<Answer, Failure> {
    let mut bytes = Vec::new();
    desk.store().export(&mut bytes)?;
    let text = String::from_utf8(bytes)
        .map_err(|error| Failure::could_not(format!("the record is not text: {error}"), None))?;
    let Some(file) = file else {
        return Ok(Answer {
            out: text,
            err: String::new(),
        });
    };
    crate::files::write(file, &text)?;
    Ok(Answer {
        out: format!("{} lines in {}\n", text.lines().count(), file.display()),
        err: String::new(),
    })
}

#[derive(Serialize)]
struct TakenIn {
    added: u64,
    already: u64,
}

/// Takes in what was written out.
pub(crate) fn import(desk: &mut Desk, file: &Path, manner: Manner) -> Result<Answer, Failure> {
    let source = std::fs::File::open(file)
        .map_err(|error| Failure::bad_input(format!("`{}` cannot be read: {error}", file.display()), None))?;
    let imported = desk.store().import(&mut BufReader::new(source))?;
    let out = if manner.json {
        json(&TakenIn {
            added: imported.added,
            already: imported.already,
        })?
    } else {
        format!(
            "{} entries taken in, {} were here already\n",
            imported.added, imported.already
        )
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}

/// Closed jobs that teach in one transaction.
const AT_ONCE: usize = 500;

#[derive(Serialize)]
struct MovedTo<'a> {
    to: String,
    jobs: u64,
    added: u64,
    already: u64,
    lines: u64,
    sha256: &'a str,
}

/// Moves everything into another database.
pub(crate) fn move_to(database: Option<&str>, to: &str, manner: Manner) -> Result<Answer, Failure> {
    let (here, there) = (desk::location(database)?, Location::parse(to));
    if here == there {
        return Err(Failure::bad_input(
            format!("{there} is where the jobs are already"),
            Some("name another file or server with --to, or the old place with --database".to_owned()),
        ));
    }
    let mut store = store::open(&here)?;
    // Lessons go along; one that was not made yet would have to be made there.
    while desk::teach(store.as_mut(), AT_ONCE)? > 0 {}
    let mut other = store::open(&there)?;
    let moved = store::move_all(store.as_mut(), other.as_mut())?;
    let out = if manner.json {
        json(&MovedTo {
            to: there.to_string(),
            jobs: moved.jobs,
            added: moved.added,
            already: moved.already,
            lines: moved.lines,
            sha256: &moved.sha256,
        })?
    } else {
        format!(
            "{} jobs in {there}: {} entries moved, {} were there already\n\
             compared: {} lines from both places, alike (SHA-256 {})\n\
             {here} stays as it is. From now on: HALFSPLIT_DATABASE={there}\n",
            moved.jobs, moved.added, moved.already, moved.lines, moved.sha256
        )
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}
