//! Everything written out, and taken in again.

use super::desk::{Desk, failed};
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::Answer;
use serde::Serialize;
use std::io::BufReader;
use std::path::Path;

/// Writes everything out as JSON Lines.
pub(crate) fn export(desk: &mut Desk, file: Option<&Path>) -> Result<Answer, Failure> {
    let mut bytes = Vec::new();
    desk.store().export(&mut bytes).map_err(failed)?;
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
    let imported = desk.store().import(&mut BufReader::new(source)).map_err(failed)?;
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
