//! Reading files that may be anything: too large, not text, not there.

use crate::failure::Failure;
use std::fmt::Display;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// Largest file that is read, bytes: a thousand circuits' worth. Our own choice.
pub(crate) const LARGEST: u64 = 1 << 20;

/// Largest table for the planner that is read, bytes: what its reader takes, and a byte more to tell that there is more.
pub(crate) const LARGEST_TABLE: u64 = (64 << 20) + 1;

/// The text of a file of at most [`LARGEST`] bytes; `what` says what it should hold: "circuit file".
pub(crate) fn text(path: &Path, what: &str) -> Result<String, Failure> {
    text_within(path, what, LARGEST)
}

/// The text of a file of at most `largest` bytes. Never reads more than one byte beyond, whatever the file claims to be.
pub(crate) fn text_within(path: &Path, what: &str, largest: u64) -> Result<String, Failure> {
    let name = path.display();
    let meta = std::fs::metadata(path).map_err(|error| unreadable(path, what, &error))?;
    if meta.is_dir() {
        return Err(Failure::bad_input(
            format!("`{name}` is a folder, not a {what}"),
            None,
        ));
    }
    if meta.len() > largest {
        return Err(too_large(&name, what, largest));
    }
    let file = File::open(path).map_err(|error| unreadable(path, what, &error))?;
    read(file, &name, what, largest)
}

/// The bytes of a file of at most `largest` bytes.
pub(crate) fn bytes(path: &Path, what: &str, largest: u64) -> Result<Vec<u8>, Failure> {
    let name = path.display();
    let file = File::open(path).map_err(|error| unreadable(path, what, &error))?;
    let mut bytes = Vec::new();
    file.take(largest + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unreadable(path, what, &error))?;
    if bytes.len() as u64 > largest {
        return Err(too_large(&name, what, largest));
    }
    Ok(bytes)
}

/// What comes in on standard input, up to `largest` bytes.
pub(crate) fn standard_input(what: &str, largest: u64) -> Result<String, Failure> {
    read(std::io::stdin().lock(), &"standard input", what, largest)
}

fn read(source: impl Read, name: &dyn Display, what: &str, largest: u64) -> Result<String, Failure> {
    let mut bytes = Vec::new();
    let read = source.take(largest + 1).read_to_end(&mut bytes);
    read.map_err(|error| Failure::bad_input(format!("`{name}` cannot be read: {error}"), None))?;
    if bytes.len() as u64 > largest {
        return Err(too_large(name, what, largest));
    }
    decoded(name, what, bytes)
}

fn decoded(name: &dyn Display, what: &str, bytes: Vec<u8>) -> Result<String, Failure> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(Failure::bad_input(
            format!("`{name}` is empty; it should be a {what}"),
            None,
        ));
    }
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(Failure::bad_input(
            format!("`{name}` is not text: byte {} is zero", at + 1),
            None,
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to() + 1;
        Failure::bad_input(
            format!("`{name}` is not UTF-8 text from byte {at} on"),
            Some("save it as UTF-8".to_owned()),
        )
    })
}

fn too_large(name: &dyn Display, what: &str, largest: u64) -> Failure {
    let message = format!("`{name}` is larger than any {what}");
    Failure::bad_input(
        message,
        Some(format!("files of more than {largest} bytes are not read")),
    )
}

fn unreadable(path: &Path, what: &str, error: &std::io::Error) -> Failure {
    let name = path.display();
    match error.kind() {
        ErrorKind::NotFound => Failure::bad_input(format!("there is no {what} `{name}`"), None),
        _ => Failure::bad_input(format!("`{name}` cannot be read: {error}"), None),
    }
}

/// Writes a file that the person asked for.
pub(crate) fn write(path: &Path, text: impl AsRef<[u8]>) -> Result<(), Failure> {
    let failed = |error| Failure::could_not(format!("`{}` cannot be written: {error}", path.display()), None);
    std::fs::write(path, text).map_err(failed)
}
