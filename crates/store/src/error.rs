//! What can go wrong with a store, and what to do about it.

use job::{EntryId, JobId, Unreadable};
use std::path::PathBuf;

/// Why a store did not do what it was asked. Nothing of the call was written, unless the message says otherwise.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No room.
    #[error(
        "{at}: the disk is full; nothing was written. Make room, then do it again: what was kept before is whole"
    )]
    Full {
        /// File or server.
        at: String,
    },
    /// May not write.
    #[error(
        "{at}: this may be read but not written; nothing was written. Give yourself the right to write the file and its folder, or name another database with HALFSPLIT_DATABASE"
    )]
    ReadOnly {
        /// File or server.
        at: String,
    },
    /// May not open.
    #[error(
        "{at}: cannot be opened: {why}. Check the folder and its rights, or name another database with HALFSPLIT_DATABASE"
    )]
    CannotOpen {
        /// File or server.
        at: String,
        /// What the system says.
        why: String,
    },
    /// Somebody else writes.
    #[error(
        "{at}: locked by another program for more than {seconds} s; nothing was written. Another halfsplit, a backup or a database browser may hold it: let it finish or close it, then do it again"
    )]
    Locked {
        /// File or server.
        at: String,
        /// How long was waited, s.
        seconds: u64,
    },
    /// The file is damaged.
    #[error(
        "{at}: the database is damaged ({why}); nothing was written. Make a copy of the file and of those beside it with the same name before anything else, export what can still be read, and import that into a new database"
    )]
    Damaged {
        /// File or server.
        at: String,
        /// What was found.
        why: String,
    },
    /// Another sort of file.
    #[error(
        "{at}: this file is not a database; nothing was written. Name another one with HALFSPLIT_DATABASE"
    )]
    NotADatabase {
        /// File.
        at: String,
    },
    /// A database, but somebody else's.
    #[error(
        "{at}: this database was not made by halfsplit; nothing was written. Name another one with HALFSPLIT_DATABASE"
    )]
    Foreign {
        /// File or server.
        at: String,
    },
    /// A newer program's database.
    #[error(
        "{at}: the database has form {found}, and this program understands forms up to {known}; use the newer version of halfsplit"
    )]
    NewerDatabase {
        /// File or server.
        at: String,
        /// Its form.
        found: i64,
        /// Newest form this program knows.
        known: i64,
    },
    /// Anything else the disk says.
    #[error(
        "{at}: reading or writing failed: {why}. What was acknowledged before is kept; to do it again is safe"
    )]
    Disk {
        /// File.
        at: String,
        /// What the system says.
        why: String,
    },
    /// Anything else the database says.
    #[error("{at}: the database refused: {why}")]
    Database {
        /// File or server.
        at: String,
        /// What it says.
        why: String,
    },
    /// No folder for the database.
    #[error(
        "no folder for the database is known: neither HOME nor a platform folder is set. Name a file with HALFSPLIT_DATABASE"
    )]
    NoFolder,
    /// No connection.
    #[error(
        "{at}: no connection to the database: {why}. Check that the server runs, its address and name, and the network; nothing was written"
    )]
    NoServer {
        /// Server, without a password.
        at: String,
        /// What the network or the server says.
        why: String,
    },
    /// The connection broke.
    #[error(
        "{at}: the server went away: {why}. What was not acknowledged may be missing; to do it again is safe, an entry counts once"
    )]
    ServerGone {
        /// Server, without a password.
        at: String,
        /// What the network or the server says.
        why: String,
    },
    /// An entry that cannot be taken or read.
    #[error("entry {id}: {why}")]
    Unreadable {
        /// Its name, as far as known.
        id: String,
        /// Why.
        why: Unreadable,
    },
    /// A name is taken.
    #[error(
        "entry {id} is kept already and says something else; nothing was written. An entry is never changed: withdraw it and write a new one"
    )]
    Differs {
        /// The entry.
        id: EntryId,
    },
    /// No job.
    #[error(
        "no job `{what}`; a job is named by its number or by the first four characters or more of its name"
    )]
    NoSuchJob {
        /// What was asked for.
        what: String,
    },
    /// More than one job.
    #[error("several jobs begin with `{what}`; give more characters")]
    SeveralJobs {
        /// What was asked for.
        what: String,
    },
    /// Another shop's jobs where a shop was to be moved.
    #[error(
        "there are other jobs in the new place already: its job {number} {why}; nothing was written. Move into an empty database, or put jobs together with export and import"
    )]
    OtherShop {
        /// The job's number there.
        number: i64,
        /// What of it does not fit.
        why: String,
    },
    /// After a move the two places are not alike.
    #[error(
        "after the move the two places do not give out the same ({lines} lines here, {others} there): somebody wrote meanwhile, or the new place held something else before. Go on with the old place, and move again while nobody writes"
    )]
    MovedDiffers {
        /// Lines of the old place's export.
        lines: u64,
        /// Lines of the new place's.
        others: u64,
    },
    /// A lesson that cannot be kept or read.
    #[error("what job {job} teaches: {why}")]
    Lesson {
        /// The job.
        job: JobId,
        /// Why.
        why: String,
    },
    /// This shop's own sums, as if they were another's.
    #[error("these are this shop's own sums: its jobs count here already")]
    OwnSums,
    /// Another shop's sums that cannot be read.
    #[error("line {line}: {why}; nothing was added")]
    Sums {
        /// Counted from 1.
        line: u64,
        /// What is wrong, and what was expected.
        why: String,
    },
    /// No picture.
    #[error("no picture `{hash}` is kept here")]
    NoSuchPhoto {
        /// Its name.
        hash: String,
    },
    /// A picture that changed.
    #[error("{}: the picture is damaged: its bytes do not give its name any more. Bring the file back from a copy", .at.display())]
    DamagedPhoto {
        /// Where it lies.
        at: PathBuf,
    },
    /// A picture too large.
    #[error("the picture has {bytes} bytes, and {most} is the most; make it smaller")]
    TooLarge {
        /// Its size.
        bytes: usize,
        /// The most.
        most: usize,
    },
    /// An export that cannot be read.
    #[error("line {line}: {why}; nothing was taken in")]
    Import {
        /// Counted from 1.
        line: u64,
        /// What is wrong, and what was expected.
        why: String,
    },
    /// The other side of an export or import failed.
    #[error("the export could not be written or read: {0}")]
    Stream(#[from] std::io::Error),
}
