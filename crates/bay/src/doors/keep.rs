//! What the doors keep beside the store, readable by the shop's own user alone.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use store::Location;

/// The folder of a store's doors: `shop.db` has `shop.db-doors`; a server's is in the platform's folder for data.
pub(crate) fn folder(location: &Location) -> Result<PathBuf, store::StoreError> {
    match location {
        Location::File(database) => {
            let mut name = database.as_os_str().to_owned();
            name.push("-doors");
            Ok(PathBuf::from(name))
        }
        Location::Server(_) => Ok(Location::folder()?.join("server-doors")),
    }
}

/// Makes the folder, for its owner alone where the system knows such a thing.
pub(crate) fn make(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

/// Writes a file beside its place, forces it to the disk, then gives it its name: it is there whole or not at all.
pub(crate) fn write(at: &Path, bytes: &[u8]) -> io::Result<()> {
    let half = at.with_extension(format!("{}.part", std::process::id()));
    // What an earlier attempt left must not lend its rights to this one.
    let _ = fs::remove_file(&half);
    let written = write_through(&half, bytes).and_then(|()| fs::rename(&half, at));
    if written.is_err() {
        let _ = fs::remove_file(&half);
    }
    written
}

fn write_through(at: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file: File = options.open(at)?;
    file.write_all(bytes)?;
    file.sync_all()
}
