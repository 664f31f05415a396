//! Who may come in: the paired devices, the code of the moment, how often anybody asks.

use super::devices::{Device, Devices};
use super::pairing::{NotPaired, Pairing};
use super::rates::{Rate, Rates};
use crate::not_done::NotDone;
use axum::http::StatusCode;
use jiff::Timestamp;
use std::io;
use std::net::IpAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use uuid::Uuid;

/// The door to the shop's network, as far as a person needs to know it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Network {
    /// Addresses to type, the likeliest first.
    pub(crate) addresses: Vec<String>,
    /// SHA-256 of the certificate.
    pub(crate) fingerprint: String,
}

/// Both doors ask the same guard.
#[derive(Debug)]
pub(crate) struct Guard {
    devices: Mutex<Devices>,
    pairing: Mutex<Pairing>,
    rates: Mutex<Rates>,
    code_life: Duration,
    network: Option<Mutex<Network>>,
}

impl Guard {
    /// A guard over these devices.
    pub(crate) fn new(
        folder: &std::path::Path,
        code_life: Duration,
        network: Option<Network>,
    ) -> io::Result<Self> {
        Ok(Self {
            devices: Mutex::new(Devices::open(folder)?),
            pairing: Mutex::default(),
            rates: Mutex::default(),
            code_life,
            network: network.map(Mutex::new),
        })
    }

    /// The door to the shop's network; `None` where only this machine can come in.
    pub(crate) fn network(&self) -> Option<Network> {
        self.network.as_ref().map(|network| lock(network).clone())
    }

    /// Notes what a renewed certificate looks like.
    pub(crate) fn note_fingerprint(&self, fingerprint: String) {
        if let Some(network) = &self.network {
            lock(network).fingerprint = fingerprint;
        }
    }

    /// A new code in place of the one before.
    pub(crate) fn new_code(&self) -> io::Result<String> {
        lock(&self.pairing).issue(Instant::now(), self.code_life)
    }

    /// The code of the moment, and how long it holds.
    pub(crate) fn code(&self) -> Option<(String, Duration)> {
        let pairing = lock(&self.pairing);
        pairing
            .current(Instant::now())
            .map(|(code, left)| (code.to_owned(), left))
    }

    /// Takes a device in that shows the code; returns its token.
    pub(crate) fn pair(&self, from: IpAddr, code: &str, name: &str) -> Result<String, NotDone> {
        lock(&self.pairing)
            .take(from, code, Instant::now())
            .map_err(not_paired)?;
        self.at_devices(|devices| devices.pair(name, Timestamp::now()))
    }

    /// The device that holds a token.
    pub(crate) fn holder(&self, token: &str) -> Result<Option<Device>, NotDone> {
        self.at_devices(|devices| devices.holder(token, Timestamp::now()))
    }

    /// All paired devices, the last paired first.
    pub(crate) fn devices(&self) -> Result<Vec<Device>, NotDone> {
        self.at_devices(Devices::all)
    }

    /// Lets a device in no more.
    pub(crate) fn revoke(&self, id: Uuid) -> Result<(), NotDone> {
        let known = self.at_devices(|devices| devices.revoke(id))?;
        if known {
            Ok(())
        } else {
            Err(NotDone::new(
                StatusCode::NOT_FOUND,
                "no such device is paired; it may have been revoked already",
            ))
        }
    }

    /// Counts a request of `who`, unless there were too many.
    pub(crate) fn rate(&self, who: &str, rate: Rate) -> Result<(), NotDone> {
        let counted = lock(&self.rates).take(who, rate, Instant::now());
        counted.map_err(|wait| {
            let what = "too many requests in a short time";
            NotDone::new(StatusCode::TOO_MANY_REQUESTS, what).wait_seconds(wait.as_secs() + 1)
        })
    }

    /// The devices' file is small, but a disk can be slow: other requests go on meanwhile.
    fn at_devices<T>(&self, work: impl FnOnce(&mut Devices) -> io::Result<T>) -> Result<T, NotDone> {
        let done = tokio::task::block_in_place(|| work(&mut lock(&self.devices)));
        done.map_err(|error| NotDone::new(StatusCode::SERVICE_UNAVAILABLE, error.to_string()))
    }
}

fn not_paired(why: NotPaired) -> NotDone {
    let hint = "ask for a new code at the shop's machine: press Enter where `halfsplit serve` runs, or open Devices there";
    let problem = match why {
        NotPaired::Wrong => NotDone::new(StatusCode::FORBIDDEN, "that is not the code")
            .hint("look at it again and wait a moment; after several wrong ones it is void"),
        NotPaired::NoCode => NotDone::new(StatusCode::FORBIDDEN, "there is no such code any more").hint(hint),
        NotPaired::TooSoon { seconds } => NotDone::new(
            StatusCode::TOO_MANY_REQUESTS,
            format!("the last code was wrong; wait {seconds} s before the next try"),
        )
        .wait_seconds(seconds),
    };
    problem.onward("/pair", "Try again")
}

fn lock<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    // Each is whole between two of its calls, whatever happened to whoever held it.
    what.lock().unwrap_or_else(PoisonError::into_inner)
}
