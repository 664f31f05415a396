//! The desk that the arguments name: which store, who is at it, on which device.

use crate::failure::Failure;
use store::{Location, Store};

pub(crate) use ::desk::{Desk, Held, teach};

/// A desk at the store called so, or the usual one, for whoever is at it.
pub(crate) fn at(database: Option<&str>, who: &str) -> Result<Desk, Failure> {
    let device = std::env::var("HALFSPLIT_DEVICE").or_else(|_| std::env::var("HOSTNAME"));
    let device = device.unwrap_or_else(|_| "laptop".to_owned());
    Ok(Desk::new(open(database)?, who.to_owned(), device))
}

/// Opens the store called so, or the usual one.
pub(crate) fn open(database: Option<&str>) -> Result<Box<dyn Store>, Failure> {
    Ok(store::open(&location(database)?)?)
}

/// Where the store called so is, or the usual one.
pub(crate) fn location(database: Option<&str>) -> Result<Location, Failure> {
    Ok(match database {
        Some(text) => Location::parse(text),
        None => Location::usual()?,
    })
}
