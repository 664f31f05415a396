//! The certificate of the door to the shop's network: made on first use, kept with its key, renewed before it ends.
//!
//! Nobody but the shop vouches for it, so a browser warns once; the fingerprint shown beside the code is what a person
//! compares then.

use super::keep;
use axum_server::tls_rustls::RustlsConfig;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan, tz::TimeZone};
use rcgen::{CertificateParams, DnType, ExtendedKeyUsagePurpose, KeyPair, KeyUsagePurpose, date_time_ymd};
use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::io;
use std::path::Path;
use std::sync::Arc;

/// How long a certificate holds. Browsers refuse those above 398 days (CA/Browser Forum Baseline Requirements 6.3.2, as of 2020).
const DAYS: i64 = 397;
/// It is renewed when fewer than these are left.
const RENEW_DAYS: i64 = 30;

/// A certificate with its key, ready for use.
#[derive(Debug)]
pub(crate) struct Certificate {
    /// SHA-256 of it, as browsers show it.
    pub(crate) fingerprint: String,
    /// What the server needs.
    pub(crate) config: RustlsConfig,
}

/// What is known of the certificate without reading it.
#[derive(Debug, Serialize, Deserialize)]
struct AboutV1 {
    names: BTreeSet<String>,
    until: Date,
}

/// The kept certificate if it names all of `names` and holds long enough, else a new one.
pub(crate) fn certificate(folder: &Path, names: &[String], now: Timestamp) -> io::Result<Certificate> {
    let today = TimeZone::UTC.to_datetime(now).date();
    let about = kept(folder).filter(|about| {
        let days = today
            .until(about.until)
            .map_or(0, |span| i64::from(span.get_days()));
        days >= RENEW_DAYS && names.iter().all(|name| about.names.contains(name))
    });
    if about.is_none() {
        make(folder, names, today)?;
    }
    let (certificate, key) = (
        std::fs::read(folder.join("certificate.pem"))?,
        std::fs::read(folder.join("key.pem"))?,
    );
    let certificate = CertificateDer::from_pem_slice(&certificate).map_err(io::Error::other)?;
    let key = PrivateKeyDer::from_pem_slice(&key).map_err(io::Error::other)?;
    let fingerprint = fingerprint(&certificate);
    // Two programs may offer the same; which one was first does not matter.
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let mut config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .and_then(|builder| {
            builder
                .with_no_client_auth()
                .with_single_cert(vec![certificate], key)
        })
        .map_err(io::Error::other)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Certificate {
        fingerprint,
        config: RustlsConfig::from_config(Arc::new(config)),
    })
}

/// What is said of the kept certificate; `None` if there is none that can be used.
fn kept(folder: &Path) -> Option<AboutV1> {
    let whole = ["certificate.pem", "key.pem"]
        .iter()
        .all(|name| folder.join(name).is_file());
    let about = std::fs::read(folder.join("certificate.json"))
        .ok()
        .filter(|_| whole)?;
    serde_json::from_slice(&about).ok()
}

/// Makes key and certificate anew. Names that it had before stay: an address that comes back needs no other one then.
fn make(folder: &Path, names: &[String], today: Date) -> io::Result<()> {
    let mut all: BTreeSet<String> = names.iter().cloned().collect();
    if let Some(before) = kept(folder).filter(|before| before.names.len() < 50) {
        all.extend(before.names);
    }
    let until = today.checked_add(DAYS.days()).map_err(io::Error::other)?;
    let mut params =
        CertificateParams::new(all.iter().cloned().collect::<Vec<_>>()).map_err(io::Error::other)?;
    params.distinguished_name = rcgen::DistinguishedName::new();
    params
        .distinguished_name
        .push(DnType::CommonName, "Halfsplit, this shop");
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    // Years, months and days of a date are in range.
    let midnight = |day: Date| {
        let (month, day_of) = (day.month().unsigned_abs(), day.day().unsigned_abs());
        date_time_ymd(i32::from(day.year()), month, day_of)
    };
    // A day before: the clock of a phone may be behind.
    params.not_before = midnight(today.yesterday().map_err(io::Error::other)?);
    params.not_after = midnight(until);
    let key = KeyPair::generate().map_err(io::Error::other)?;
    let certificate = params.self_signed(&key).map_err(io::Error::other)?;
    let about = AboutV1 { names: all, until };
    let text = serde_json::to_vec_pretty(&about).map_err(io::Error::other)?;
    // What says that they are good comes last and goes first.
    let said = folder.join("certificate.json");
    if said.exists() {
        std::fs::remove_file(&said)?;
    }
    keep::write(&folder.join("key.pem"), key.serialize_pem().as_bytes())?;
    keep::write(&folder.join("certificate.pem"), certificate.pem().as_bytes())?;
    keep::write(&said, &text)
}

/// As browsers write it: bytes in hexadecimal, colons between.
fn fingerprint(certificate: &CertificateDer<'_>) -> String {
    let bytes: Vec<String> = Sha256::digest(certificate)
        .iter()
        .map(|byte| format!("{byte:02X}"))
        .collect();
    bytes.join(":")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at once")]
    use super::*;

    /// What was made for these names at this hour, in a folder of its own.
    struct Folder(std::path::PathBuf);

    impl Folder {
        fn new() -> Self {
            let folder = std::env::temp_dir().join(format!("bay-tls-{}", uuid::Uuid::now_v7()));
            keep::make(&folder).unwrap();
            Self(folder)
        }

        fn made(&self, names: &[&str], days: i64) -> String {
            let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
            let now = Timestamp::from_second((20_000 + days) * 86_400).unwrap();
            certificate(&self.0, &names, now).unwrap().fingerprint
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = std::fs::remove_dir_all(&self.0);
        }
    }

    #[test]
    fn it_is_made_once_and_renewed_before_it_ends() {
        let folder = Folder::new();
        let first = folder.made(&["192.168.1.5"], 0);
        assert_eq!(first.len(), 32 * 3 - 1);
        assert_eq!(folder.made(&["192.168.1.5"], DAYS - RENEW_DAYS), first);
        let second = folder.made(&["192.168.1.5"], DAYS - RENEW_DAYS + 1);
        assert_ne!(second, first);
        assert_eq!(folder.made(&["192.168.1.5"], DAYS + 1), second);
    }

    #[test]
    fn a_new_address_needs_another_one_and_an_old_address_does_not() {
        let folder = Folder::new();
        let first = folder.made(&["192.168.1.5", "bench"], 0);
        let second = folder.made(&["192.168.1.6", "bench"], 0);
        assert_ne!(second, first);
        assert_eq!(folder.made(&["192.168.1.5", "fd00::1"], 0).len(), first.len());
        let third = folder.made(&["192.168.1.6", "fd00::1"], 0);
        assert_eq!(folder.made(&["192.168.1.5", "bench"], 0), third);
    }

    #[test]
    fn half_of_it_is_none_of_it() {
        for missing in ["key.pem", "certificate.pem", "certificate.json"] {
            let folder = Folder::new();
            let first = folder.made(&["bench"], 0);
            std::fs::remove_file(folder.0.join(missing)).unwrap();
            assert_ne!(folder.made(&["bench"], 0), first, "{missing}");
        }
    }
}
