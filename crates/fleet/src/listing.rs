//! The recordings of a fleet: a folder for each vehicle, in it files of any of the kinds that are read, in any depth.

use std::path::{Path, PathBuf};
use thiserror::Error;

/// Endings of files that may be recordings, in small letters.
const ENDINGS: &[&str] = &["csv", "tsv", "txt", "log", "parquet", "pq"];
/// Folders in folders; deeper ones are a circle.
const DEEPEST: usize = 32;

/// One recording.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Recorded {
    /// Its vehicle: the first folder.
    pub vehicle: String,
    /// The way to it from there.
    pub name: String,
    /// Where it is, for whoever reads it: a path, or the address of a store.
    pub address: String,
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Listing {
    /// By vehicle and name.
    pub recordings: Vec<Recorded>,
    /// Files that lie in no vehicle's folder.
    pub without_vehicle: usize,
    /// Files that are no recordings by their names.
    pub other: usize,
}

/// No fleet to screen.
#[derive(Debug, Error)]
pub enum NoFleet {
    /// A folder that cannot be read.
    #[error("`{path}` cannot be read: {error}")]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// Why.
        error: std::io::Error,
    },
    /// Folders in folders without end.
    #[error("`{path}` lies {DEEPEST} folders deep; is it a circle of links?")]
    TooDeep {
        /// Which.
        path: PathBuf,
    },
    /// Nothing to screen.
    #[error(
        "there is no recording in a vehicle's folder in `{place}` ({without_vehicle} files lie in no folder, {other} are of other kinds)"
    )]
    Empty {
        /// Where.
        place: String,
        /// Files that lie in no folder.
        without_vehicle: usize,
        /// Files of other kinds.
        other: usize,
    },
}

/// The recordings in `folder`.
///
/// # Errors
/// It cannot be read, or holds none.
pub fn listing(folder: &Path) -> Result<Listing, NoFleet> {
    let unreadable = |error| NoFleet::Unreadable {
        path: folder.to_path_buf(),
        error,
    };
    // Executors on this machine start somewhere else.
    let root = folder.canonicalize().map_err(unreadable)?;
    let mut found = Listing::default();
    search(&root, &root, 0, &mut found)?;
    found.sorted(&folder.display().to_string())
}

fn search(root: &Path, folder: &Path, depth: usize, found: &mut Listing) -> Result<(), NoFleet> {
    if depth > DEEPEST {
        return Err(NoFleet::TooDeep {
            path: folder.to_path_buf(),
        });
    }
    let unreadable = |error| NoFleet::Unreadable {
        path: folder.to_path_buf(),
        error,
    };
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        if path.is_dir() {
            search(root, &path, depth + 1, found)?;
            continue;
        }
        let way = path
            .strip_prefix(root)
            .unwrap_or(&path)
            .to_string_lossy()
            .replace('\\', "/");
        found.add(&way, path.to_string_lossy().into_owned());
    }
    Ok(())
}

impl Listing {
    /// One more file: the way to it, and where it is.
    pub fn add(&mut self, way: &str, address: String) {
        match parted(way) {
            _ if !is_recording(way) => self.other += 1,
            None => self.without_vehicle += 1,
            Some((vehicle, name)) => self.recordings.push(Recorded {
                vehicle: vehicle.to_owned(),
                name: name.to_owned(),
                address,
            }),
        }
    }

    /// In order; `place` is how the whole is called.
    ///
    /// # Errors
    /// There is none.
    pub fn sorted(mut self, place: &str) -> Result<Self, NoFleet> {
        if self.recordings.is_empty() {
            return Err(NoFleet::Empty {
                place: place.to_owned(),
                without_vehicle: self.without_vehicle,
                other: self.other,
            });
        }
        self.recordings.sort();
        Ok(self)
    }
}

/// Whether a file may be a recording, by the ending of its name.
pub fn is_recording(way: &str) -> bool {
    let ending = way.rsplit_once('.').map(|(_, ending)| ending.to_lowercase());
    ending.is_some_and(|ending| ENDINGS.contains(&ending.as_str()))
}

/// The vehicle and the name of the recording behind a way.
pub fn parted(way: &str) -> Option<(&str, &str)> {
    way.split_once('/')
        .filter(|(vehicle, name)| !vehicle.is_empty() && !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_vehicle_is_the_first_folder() {
        let mut all = Listing::default();
        for way in [
            "van 2/drive.CSV",
            "van 1/2026/may/a.parquet",
            "loose.csv",
            "van 1/notes.pdf",
            "van 1/b.log",
        ] {
            all.add(way, format!("/fleet/{way}"));
        }
        let all = all.sorted("here").unwrap_or_default();
        let named: Vec<(&str, &str)> = all
            .recordings
            .iter()
            .map(|one| (one.vehicle.as_str(), one.name.as_str()))
            .collect();
        assert_eq!(
            named,
            [
                ("van 1", "2026/may/a.parquet"),
                ("van 1", "b.log"),
                ("van 2", "drive.CSV")
            ]
        );
        assert_eq!((all.without_vehicle, all.other), (1, 1));
    }

    #[test]
    fn a_folder_without_recordings_says_what_lies_in_it() {
        let folder = std::env::temp_dir().join(format!("halfsplit-fleet-listing-{}", std::process::id()));
        assert!(std::fs::create_dir_all(folder.join("van")).is_ok());
        assert!(std::fs::write(folder.join("loose.csv"), "time,engine rpm\n0,1\n").is_ok());
        let text = listing(&folder).map_or_else(|error| error.to_string(), |_| String::new());
        assert!(text.contains("1 files lie in no folder"), "{text}");
        let gone = listing(&folder.join("nowhere")).map_or_else(|error| error.to_string(), |_| String::new());
        assert!(gone.contains("nowhere"), "{gone}");
        assert!(std::fs::remove_dir_all(folder).is_ok());
    }
}
