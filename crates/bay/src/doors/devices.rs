//! The shop's paired devices: a file beside the store that holds names, times and the hashes of tokens, never a token.
//!
//! The file is looked at anew whenever somebody else has written it, so that what one program revokes another one knows.

use super::keep;
use jiff::Timestamp;
use rand::TryRng;
use rand::rngs::SysRng;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;
use uuid::Uuid;

/// Devices that a shop may have paired.
const MOST: usize = 200;
/// Letters of a device's name.
const LONGEST_NAME: usize = 60;
/// How old the time of the last visit in the file may be, s.
const SEEN_STEP_S: i64 = 300;

/// A paired device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Device {
    /// Its name for links and forms.
    pub(crate) id: Uuid,
    /// What a person called it.
    pub(crate) name: String,
    /// SHA-256 of its token, hexadecimal.
    token: String,
    /// When it was paired.
    pub(crate) paired: Timestamp,
    /// When it was last here, within some minutes.
    pub(crate) seen: Timestamp,
}

/// All of them.
#[derive(Debug)]
pub(crate) struct Devices {
    file: PathBuf,
    /// The file's time and length when it was last read or written.
    known: Option<(SystemTime, u64)>,
    list: Vec<Device>,
}

/// Form of the file.
#[derive(Serialize, Deserialize)]
struct FileV1 {
    format: u32,
    devices: Vec<Device>,
}

impl Devices {
    /// Those that are kept in `folder`.
    pub(crate) fn open(folder: &Path) -> io::Result<Self> {
        let mut devices = Self {
            file: folder.join("devices.json"),
            known: None,
            list: Vec::new(),
        };
        devices.refresh()?;
        Ok(devices)
    }

    /// Takes a device in; returns the token that it alone will know.
    pub(crate) fn pair(&mut self, name: &str, now: Timestamp) -> io::Result<String> {
        self.refresh()?;
        if self.list.len() >= MOST {
            return Err(io::Error::other(format!(
                "{MOST} devices are paired, and that is the most: revoke those that are not used any more"
            )));
        }
        let mut bytes = [0_u8; 32];
        SysRng.try_fill_bytes(&mut bytes).map_err(io::Error::other)?;
        let token = hex(&bytes);
        self.list.push(Device {
            id: Uuid::now_v7(),
            name: plain_name(name),
            token: hash(&token),
            paired: now,
            seen: now,
        });
        self.write()?;
        Ok(token)
    }

    /// The device that holds this token.
    pub(crate) fn holder(&mut self, token: &str, now: Timestamp) -> io::Result<Option<Device>> {
        self.refresh()?;
        // Hashes are compared: how long that takes says nothing of any token.
        let hash = hash(token);
        let Some(device) = self.list.iter_mut().find(|device| device.token == hash) else {
            return Ok(None);
        };
        let stale = now.as_second() - device.seen.as_second() >= SEEN_STEP_S;
        if stale {
            device.seen = now;
        }
        let device = device.clone();
        if stale {
            // That the time of a visit is not kept keeps nobody out.
            let _ = self.write();
        }
        Ok(Some(device))
    }

    /// All, the last paired first.
    pub(crate) fn all(&mut self) -> io::Result<Vec<Device>> {
        self.refresh()?;
        Ok(self.list.iter().rev().cloned().collect())
    }

    /// Lets a device in no more; `false` if there is none called so.
    pub(crate) fn revoke(&mut self, id: Uuid) -> io::Result<bool> {
        self.refresh()?;
        let before = self.list.len();
        self.list.retain(|device| device.id != id);
        if self.list.len() == before {
            return Ok(false);
        }
        self.write()?;
        Ok(true)
    }

    /// Reads the file again if it is not the one that was read last.
    fn refresh(&mut self) -> io::Result<()> {
        let now = stamp(&self.file)?;
        if now == self.known {
            return Ok(());
        }
        self.list = if now.is_some() {
            read(&self.file)?
        } else {
            Vec::new()
        };
        self.known = now;
        Ok(())
    }

    fn write(&mut self) -> io::Result<()> {
        let file = FileV1 {
            format: 1,
            devices: self.list.clone(),
        };
        let text = serde_json::to_vec_pretty(&file).map_err(io::Error::other)?;
        // Whatever happens now, the file is read again before the next answer.
        self.known = None;
        keep::write(&self.file, &text)?;
        self.known = stamp(&self.file)?;
        Ok(())
    }
}

fn read(file: &Path) -> io::Result<Vec<Device>> {
    let text = std::fs::read(file)?;
    let read: FileV1 = serde_json::from_slice(&text).map_err(|why| {
        io::Error::other(format!(
            "{}: the list of paired devices cannot be read: {why}. Move the file away to pair all devices anew",
            file.display()
        ))
    })?;
    Ok(read.devices)
}

/// A file's time and length; `None` if there is none.
fn stamp(file: &Path) -> io::Result<Option<(SystemTime, u64)>> {
    match std::fs::metadata(file) {
        Ok(about) => Ok(Some((about.modified()?, about.len()))),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// A name on one line, not too long; one for a device without.
fn plain_name(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    let name: String = words
        .join(" ")
        .chars()
        .filter(|c| !c.is_control())
        .take(LONGEST_NAME)
        .collect();
    if name.is_empty() {
        "device without a name".to_owned()
    } else {
        name
    }
}

fn hash(token: &str) -> String {
    hex(&Sha256::digest(token))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}
