//! The shop's own circuits: text files in a folder `circuits` beside the store's file.
//!
//! A name is small letters, digits and hyphens, so no name leads out of the folder, and none is a device on any system. Composed
//! kinds that several circuits include lie in a folder of their own in it: `include = ["kinds/vacuum-unit.toml"]`.

use crate::not_done::NotDone;
use axum::http::StatusCode;
use circuit::Bundle;
use std::fs;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// Longest name.
const LONGEST: usize = 60;
/// Largest text, bytes: a form that sends it stays below what the doors take, however much of it is escaped.
pub(crate) const LARGEST: usize = 256 * 1024;
/// Names that some system takes for devices.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// The folder.
#[derive(Debug, Clone)]
pub(crate) struct Shelf(Option<PathBuf>);

impl Shelf {
    /// Beside the store at `file`; a store on a server has no folder.
    pub(crate) fn beside(file: Option<&Path>) -> Self {
        Self(file.map(|file| file.with_file_name("circuits")))
    }

    /// Names of the circuits kept, in order.
    pub(crate) fn names(&self) -> Vec<String> {
        let Some(folder) = &self.0 else { return Vec::new() };
        let Ok(entries) = fs::read_dir(folder) else {
            return Vec::new();
        };
        let mut names: Vec<String> = entries
            .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
            .filter_map(|name| name.strip_suffix(".toml").map(str::to_owned))
            .filter(|name| checked(name).is_ok())
            .collect();
        names.sort();
        names
    }

    /// The text of the circuit called `name`; `None` if there is none.
    pub(crate) fn text(&self, name: &str) -> Result<Option<String>, NotDone> {
        let (Some(folder), Ok(())) = (&self.0, checked(name)) else {
            return Ok(None);
        };
        let file = match fs::File::open(folder.join(format!("{name}.toml"))) {
            Ok(file) => file,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(failed(name, &error)),
        };
        let mut bytes = Vec::new();
        let most = LARGEST as u64;
        file.take(most)
            .read_to_end(&mut bytes)
            .map_err(|error| failed(name, &error))?;
        Ok(Some(String::from_utf8_lossy(&bytes).into_owned()))
    }

    /// A circuit's text with the files that it includes.
    pub(crate) fn bundle(&self, name: &str, text: &str) -> Bundle {
        circuit::bundle(name, text, &mut |included| self.included(included))
    }

    /// The text of an included file, or why there is none. What such a name can be has been looked at: it leads nowhere else.
    fn included(&self, name: &str) -> Result<String, String> {
        let Some(folder) = &self.0 else {
            return Err("this shop has no folder for circuits".to_owned());
        };
        let told = |error: io::Error| match error.kind() {
            io::ErrorKind::NotFound => "there is no such file in the folder `circuits`".to_owned(),
            io::ErrorKind::InvalidData => "not UTF-8 text".to_owned(),
            _ => "cannot be read".to_owned(),
        };
        let file = fs::File::open(folder.join(name)).map_err(told)?;
        let mut text = String::new();
        // A byte more than is taken, so that a longer text is told from one that just fits.
        let most = LARGEST as u64 + 1;
        file.take(most).read_to_string(&mut text).map_err(told)?;
        if text.len() > LARGEST {
            return Err("larger than 256 kB".to_owned());
        }
        Ok(text)
    }

    /// Keeps `text` under `name`. `before` is the mark of the text that was changed, [`mark`]; empty for a new one.
    pub(crate) fn keep(&self, name: &str, text: &str, before: &str) -> Result<(), NotDone> {
        checked(name)?;
        let Some(folder) = &self.0 else {
            return Err(NotDone::new(
                StatusCode::CONFLICT,
                "this shop's store is a server and has no folder for circuits",
            )
            .hint("copy the text into a file, and work on it with the command line"));
        };
        if engine::shipped_called(name).is_some() {
            return Err(NotDone::bad_input(format!("`{name}` is a shipped circuit"))
                .hint("give the copy a name of its own"));
        }
        if text.len() > LARGEST {
            return Err(NotDone::bad_input("the description is larger than 256 kB"));
        }
        let kept = self.text(name)?;
        if kept.as_deref() == Some(text) {
            // Sent twice.
            return Ok(());
        }
        if kept.is_some_and(|kept| mark(&kept) != before) {
            return Err(
                NotDone::new(StatusCode::CONFLICT, format!("there is another `{name}` by now"))
                    .hint("keep yours under another name, then compare"),
            );
        }
        write(folder, name, text).map_err(|error| failed(name, &error))
    }
}

impl Shelf {
    /// Takes the circuit called `name` away; `before` is the mark of the text that is meant, [`mark`].
    pub(crate) fn take_away(&self, name: &str, before: &str) -> Result<(), NotDone> {
        if engine::shipped_called(name).is_some() {
            return Err(NotDone::new(
                StatusCode::CONFLICT,
                format!("`{name}` is a shipped circuit and stays"),
            ));
        }
        let (Some(folder), Some(kept)) = (&self.0, self.text(name)?) else {
            let told: String = name.chars().take(LONGEST).collect();
            return Err(NotDone::new(
                StatusCode::NOT_FOUND,
                format!("the shop has no circuit `{told}`"),
            ));
        };
        if mark(&kept) != before {
            return Err(NotDone::new(
                StatusCode::CONFLICT,
                format!("`{name}` is another text by now than the one with this mark"),
            )
            .hint("look at it, and say its mark as `before`"));
        }
        match fs::remove_file(folder.join(format!("{name}.toml"))) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(failed(name, &error)),
            _ => Ok(()),
        }
    }
}

/// Whole or not at all.
fn write(folder: &Path, name: &str, text: &str) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let part = folder.join(format!("{}.part", Uuid::now_v7()));
    let mut file = fs::File::create_new(&part)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    let kept = written.and_then(|()| fs::rename(&part, folder.join(format!("{name}.toml"))));
    if kept.is_err() {
        // What is wrong has been said already; the rest of a file is only in the way.
        let _ = fs::remove_file(&part);
    }
    kept
}

fn failed(name: &str, error: &io::Error) -> NotDone {
    NotDone::new(
        StatusCode::SERVICE_UNAVAILABLE,
        format!("the circuit `{name}` cannot be read or written: {error}"),
    )
    .hint("look at the folder `circuits` beside the shop's file")
}

/// A short mark of a text, to see whether it is still the same.
pub(crate) fn mark(text: &str) -> String {
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}

/// Whether `name` can be a circuit's.
fn checked(name: &str) -> Result<(), NotDone> {
    let letters = name
        .bytes()
        .all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == b'-');
    let device = DEVICES.contains(&name)
        || (name.len() == 4
            && name.ends_with(|last: char| last.is_ascii_digit())
            && (name.starts_with("com") || name.starts_with("lpt")));
    let taken = ["new", "look"].contains(&name);
    let ends = name.starts_with('-') || name.ends_with('-');
    if name.is_empty() || name.len() > LONGEST || !letters || ends || device || taken {
        return Err(NotDone::bad_input("this cannot be the name of a circuit")
            .hint("small letters, digits and hyphens between them, 60 at most: `vacuum-truck-2`"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leads_out_of_the_folder() {
        for name in [
            "", ".", "..", "../x", "a/b", "a\\b", "/etc", "c:x", "A", "ä", "a b", "con", "com1", "-a", "a-",
            "new", "a.toml", "a\0",
        ] {
            assert!(checked(name).is_err(), "{name:?}");
        }
        for name in ["a", "vacuum-truck-2", "7"] {
            assert!(checked(name).is_ok(), "{name:?}");
        }
        assert!(checked(&"a".repeat(61)).is_err());
    }
}
