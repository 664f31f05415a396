//! Pictures as files, named by what is in them.

use crate::error::StoreError;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};

/// The largest picture that is kept, bytes.
pub const LARGEST_PHOTO: usize = 20_000_000;

/// SHA-256 in hexadecimal.
pub(crate) fn hash(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Bytes in hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Refuses what is too large.
pub(crate) fn fits(bytes: &[u8]) -> Result<(), StoreError> {
    if bytes.len() > LARGEST_PHOTO {
        return Err(StoreError::TooLarge {
            bytes: bytes.len(),
            most: LARGEST_PHOTO,
        });
    }
    Ok(())
}

/// The folder of pictures beside a database.
#[derive(Debug, Clone)]
pub(crate) struct Folder(PathBuf);

impl Folder {
    /// The folder that belongs to a database: `shop.db` has `shop.db-photos`.
    pub(crate) fn beside(database: &Path) -> Self {
        let mut name = database.as_os_str().to_owned();
        name.push("-photos");
        Self(PathBuf::from(name))
    }

    /// Writes a picture beside its place, forces it to the disk, then gives it its name: it is there whole or not at all.
    pub(crate) fn put(&self, hash: &str, bytes: &[u8]) -> Result<(), StoreError> {
        let place = self.0.join(hash);
        if self.get(hash).is_ok() {
            return Ok(());
        }
        let half = self.0.join(format!("{hash}.{}.part", std::process::id()));
        let written = fs::create_dir_all(&self.0)
            .and_then(|()| write_through(&half, bytes))
            .and_then(|()| fs::rename(&half, &place))
            .and_then(|()| keep_names(&self.0));
        written.map_err(|error| {
            let _ = fs::remove_file(&half);
            io(&place, &error)
        })
    }

    /// Reads a picture and compares it with its name.
    pub(crate) fn get(&self, hash: &str) -> Result<Vec<u8>, StoreError> {
        let missing = || StoreError::NoSuchPhoto {
            hash: hash.to_owned(),
        };
        if hash.len() != 64 || !hash.bytes().all(|c| c.is_ascii_hexdigit()) {
            return Err(missing());
        }
        let at = self.0.join(hash);
        let bytes = match fs::read(&at) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == ErrorKind::NotFound => return Err(missing()),
            Err(error) => return Err(io(&at, &error)),
        };
        if self::hash(&bytes) == hash {
            Ok(bytes)
        } else {
            Err(StoreError::DamagedPhoto { at })
        }
    }
}

fn write_through(at: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = File::create(at)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Forces a folder's list of names to the disk, where the system knows such a thing.
fn keep_names(folder: &Path) -> std::io::Result<()> {
    if cfg!(unix) {
        File::open(folder)?.sync_all()
    } else {
        Ok(())
    }
}

/// What the system said about a file.
pub(crate) fn io(at: &Path, error: &std::io::Error) -> StoreError {
    let (at, why) = (at.display().to_string(), error.to_string());
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => StoreError::Full { at },
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => StoreError::ReadOnly { at },
        _ => StoreError::Disk { at, why },
    }
}
