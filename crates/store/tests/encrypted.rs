//! An encrypted way to a server: whom it trusts, and whom not. The certificates are made here.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod story;

use rcgen::{BasicConstraints, CertificateParams, IsCa, Issuer, KeyPair};
use std::path::Path;
use store::{Location, StoreError, open};
use story::postgres::Cluster;
use story::{Folder, job_id, taken_in};

fn opened(address: &str) -> Result<(), StoreError> {
    let mut store = open(&Location::parse(address))?;
    store.append(&[taken_in(job_id(1), "van", "slow")]).map(drop)
}

fn refused(address: &str, why: &str) {
    let error = opened(address).unwrap_err();
    assert!(matches!(error, StoreError::NoServer { .. }), "{error}");
    assert!(error.to_string().contains(why), "{why}: {error}");
}

/// A certificate that signs others, as PEM, and what signs with it.
fn authority() -> (String, Issuer<'static, KeyPair>) {
    let mut params = CertificateParams::new(Vec::new()).unwrap();
    params.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
    let key = KeyPair::generate().unwrap();
    let pem = params.self_signed(&key).unwrap().pem();
    (pem, Issuer::new(params, key))
}

fn written(folder: &Folder, name: &str, text: &str) -> String {
    let at: &Path = &folder.0;
    let at = at.join(name);
    std::fs::write(&at, text).unwrap();
    at.to_str().unwrap().to_owned()
}

#[test]
fn only_a_server_that_is_trusted_is_spoken_to() {
    let folder = Folder::new("certificates");
    let (authority_pem, issuer) = authority();
    let key = KeyPair::generate().unwrap();
    let own = CertificateParams::new(vec!["localhost".to_owned()]).unwrap();
    let certificate = own.signed_by(&key, &issuer).unwrap().pem();
    let Some((cluster, port)) = Cluster::start_encrypted("encrypted", &certificate, &key.serialize_pem())
    else {
        return;
    };
    cluster.database("shop");
    let at = |host: &str, rest: &str| format!("postgres://shop@{host}:{port}/shop{rest}");
    let trusted = written(&folder, "authority.pem", &authority_pem);
    let stranger = written(&folder, "stranger.pem", &authority().0);
    let full = |file: &str| format!("?sslmode=verify-full&sslrootcert={file}");

    opened(&at("localhost", &full(&trusted))).unwrap();
    opened(&at("localhost", "?sslmode=require")).unwrap();
    opened(&at("localhost", "?sslmode=prefer")).unwrap();
    // This server takes nobody who speaks in the clear.
    refused(&at("localhost", ""), "no encryption");
    refused(&at("localhost", "?sslmode=disable"), "no encryption");
    // A certificate that somebody else signed, under any mode, once the file says whom to trust.
    refused(&at("localhost", &full(&stranger)), "invalid peer certificate");
    refused(
        &at("localhost", &format!("?sslmode=require&sslrootcert={stranger}")),
        "invalid peer certificate",
    );
    // The right certificate of another host.
    refused(&at("127.0.0.1", &full(&trusted)), "not valid for name");
    refused(&at("localhost", "?sslmode=verify-full"), "sslrootcert=FILE");
    let empty = written(&folder, "empty.pem", "no certificate\n");
    refused(&at("localhost", &full(&empty)), "empty.pem");
}

/// As `openssl req -x509` makes it: it signs itself and could sign others.
#[test]
fn a_certificate_that_a_shop_made_itself_is_trusted_where_it_is_named() {
    let folder = Folder::new("own-certificate");
    let key = KeyPair::generate().unwrap();
    let mut own = CertificateParams::new(vec!["localhost".to_owned()]).unwrap();
    own.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
    let certificate = own.self_signed(&key).unwrap().pem();
    let Some((cluster, port)) = Cluster::start_encrypted("own", &certificate, &key.serialize_pem()) else {
        return;
    };
    cluster.database("shop");
    let named = written(&folder, "server.pem", &certificate);
    let at =
        |host: &str| format!("postgres://shop@{host}:{port}/shop?sslmode=verify-full&sslrootcert={named}");
    opened(&at("localhost")).unwrap();
    refused(&at("127.0.0.1"), "not valid for name");
}

#[test]
fn a_server_without_encryption_is_spoken_to_only_where_that_may_be() {
    let Some(cluster) = Cluster::start("unencrypted") else {
        return;
    };
    let address = cluster.database("shop");
    opened(&format!("{address}&sslmode=prefer")).unwrap();
    assert!(opened(&format!("{address}&sslmode=require")).is_err());
}
