//! Where jobs are kept: one trait, SQLite for one machine, PostgreSQL for a shop.
//!
//! What counts is the append-only list of entries; a row per job, folded from them in the same transaction, lets a list be
//! found quickly. An entry is written once however often it is sent: its name says so. Whatever is acknowledged is on the
//! disk. The logic stands once (`taking`, `exchange`) on a few questions to the rows (`rows`), which a backend answers in SQL.

mod encrypted;
mod error;
mod exchange;
mod keeping;
mod learning;
mod location;
mod moving;
mod photos;
mod pooling;
mod rows;
mod server;
mod shelf;
mod sql;
mod sqlite;
mod taking;

pub use error::StoreError;
pub use exchange::copy;
pub use location::{DATABASE, Location, open};
pub use moving::{Moved, move_all};
pub use photos::LARGEST_PHOTO;
pub use pooling::Pooled;
pub use server::Server;
pub use shelf::{Added, Filter, Imported, Place, Pooling, Row, Store, Taught};
pub use sqlite::Sqlite;
