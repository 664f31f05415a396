//! An encrypted way to a server: what an address asks for, and whom it trusts.
//!
//! `sslmode` in the address, by PostgreSQL's names: `disable` (also without it), `prefer`, `require`, `verify-full`. A file of
//! certificates named by `sslrootcert` says whom to trust, by the chain and the name, whatever the mode; without it `prefer`
//! and `require` keep listeners out, not an impostor, and `verify-full` is refused. Ciphers are ring's.

use percent_encoding::percent_decode_str;
use postgres::config::SslMode;
use rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use rustls::client::{WebPkiServerVerifier, verify_server_name};
use rustls::crypto::{CryptoProvider, ring, verify_tls12_signature, verify_tls13_signature};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use rustls::server::ParsedCertificate;
use rustls::{ClientConfig, DigitallySignedStruct, Error, RootCertStore, SignatureScheme};
use std::sync::Arc;
use tokio_postgres_rustls::MakeRustlsConnect;

/// An address without what the client below does not know, and how the way there is to be.
pub(crate) struct Way {
    /// The address.
    pub(crate) address: String,
    /// Whether encryption may be left out where the server has none.
    pub(crate) mode: SslMode,
    /// How it is encrypted; `None`: not at all.
    pub(crate) with: Option<MakeRustlsConnect>,
}

/// The way that an address asks for; what is wrong with it, in words.
pub(crate) fn way(address: &str) -> Result<Way, String> {
    let (place, query) = address.split_once('?').unwrap_or((address, ""));
    let (mut mode, mut roots, mut rest) = (None, None, Vec::new());
    for pair in query.split('&').filter(|pair| !pair.is_empty()) {
        let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
        let value = || percent_decode_str(value).decode_utf8_lossy().into_owned();
        match key {
            "sslmode" => mode = Some(value()),
            "sslrootcert" => roots = Some(value()),
            _ => rest.push(pair),
        }
    }
    let query = if rest.is_empty() { "" } else { "?" };
    let address = format!("{place}{query}{}", rest.join("&"));
    let mode = match mode.as_deref() {
        None | Some("disable") => {
            return Ok(Way {
                address,
                mode: SslMode::Disable,
                with: None,
            });
        }
        Some("verify-full") if roots.is_none() => {
            return Err("sslmode=verify-full needs the certificates to trust: sslrootcert=FILE".to_owned());
        }
        Some("prefer") => SslMode::Prefer,
        // What is checked is decided by whether there are certificates to trust.
        Some("require" | "verify-full") => SslMode::Require,
        Some(other) => {
            return Err(format!(
                "sslmode={other} is not known here; expected disable, prefer, require or verify-full"
            ));
        }
    };
    Ok(Way {
        address,
        mode,
        with: Some(MakeRustlsConnect::new(config(roots.as_deref())?)),
    })
}

fn config(roots: Option<&str>) -> Result<ClientConfig, String> {
    let provider = Arc::new(ring::default_provider());
    let trusted = roots.map(|file| Trusted::read(file, &provider)).transpose()?;
    let config = ClientConfig::builder_with_provider(provider.clone())
        .with_safe_default_protocol_versions()
        .map_err(|error| format!("no encryption can be set up: {error}"))?
        .dangerous()
        .with_custom_certificate_verifier(Arc::new(Judge { trusted, provider }));
    Ok(config.with_no_client_auth())
}

/// The certificates of a file.
#[derive(Debug)]
struct Trusted {
    chain: Arc<WebPkiServerVerifier>,
    /// The same, one by one.
    certificates: Vec<CertificateDer<'static>>,
}

impl Trusted {
    fn read(file: &str, provider: &Arc<CryptoProvider>) -> Result<Self, String> {
        let wrong = |why: &dyn std::fmt::Display| {
            format!(
                "sslrootcert: `{file}` holds no certificate that can be used: {why}; expected a file in PEM form"
            )
        };
        let read = CertificateDer::pem_file_iter(file).map_err(|error| wrong(&error))?;
        let certificates: Vec<_> = read.collect::<Result<_, _>>().map_err(|error| wrong(&error))?;
        let mut roots = RootCertStore::empty();
        for certificate in &certificates {
            roots.add(certificate.clone()).map_err(|error| wrong(&error))?;
        }
        let chain = WebPkiServerVerifier::builder_with_provider(Arc::new(roots), provider.clone());
        Ok(Self {
            chain: chain.build().map_err(|error| wrong(&error))?,
            certificates,
        })
    }
}

/// Judges the certificate of a server.
#[derive(Debug)]
struct Judge {
    /// `None`: any will do, as long as it is the server's own.
    trusted: Option<Trusted>,
    provider: Arc<CryptoProvider>,
}

impl ServerCertVerifier for Judge {
    fn verify_server_cert(
        &self,
        end_entity: &CertificateDer<'_>,
        intermediates: &[CertificateDer<'_>],
        server_name: &ServerName<'_>,
        ocsp_response: &[u8],
        now: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        let Some(Trusted { chain, certificates }) = &self.trusted else {
            return Ok(ServerCertVerified::assertion());
        };
        // A certificate that a shop made by itself may be marked as one that signs others, which no chain ends in. Named in the
        // file it is trusted as it is, for its name.
        if certificates.iter().any(|known| known == end_entity) {
            verify_server_name(&ParsedCertificate::try_from(end_entity)?, server_name)?;
            return Ok(ServerCertVerified::assertion());
        }
        chain.verify_server_cert(end_entity, intermediates, server_name, ocsp_response, now)
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let known = &self.provider.signature_verification_algorithms;
        verify_tls12_signature(message, certificate, signed, known)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let known = &self.provider.signature_verification_algorithms;
        verify_tls13_signature(message, certificate, signed, known)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.provider
            .signature_verification_algorithms
            .supported_schemes()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at once")]
    use super::*;

    #[test]
    fn an_address_says_how_the_way_is_to_be() {
        let plain = way("postgres://shop@/jobs?host=/run/x&application_name=a").unwrap();
        assert!(plain.with.is_none());
        assert_eq!(
            plain.address,
            "postgres://shop@/jobs?host=/run/x&application_name=a"
        );
        let required = way("postgres://shop@bench/jobs?sslmode=require&host=b").unwrap();
        assert_eq!(
            (required.address.as_str(), required.mode),
            ("postgres://shop@bench/jobs?host=b", SslMode::Require)
        );
        assert!(required.with.is_some());
        let refused = |address: &str| way(address).err().unwrap();
        assert!(refused("postgres://h/j?sslmode=verify-full").contains("sslrootcert=FILE"));
        assert!(
            refused("postgres://h/j?sslmode=always")
                .contains("expected disable, prefer, require or verify-full")
        );
        let missing = refused("postgres://h/j?sslmode=verify-full&sslrootcert=/no/such%20file.pem");
        assert!(missing.contains("`/no/such file.pem`"), "{missing}");
    }
}
