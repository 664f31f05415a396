//! A shop that is open, and somebody at its doors who sends what they like, byte by byte.

#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(dead_code, reason = "each test file uses its own share of this")]

use bay::{Asked, Bounds, Open};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use store::Location;
use uuid::Uuid;

/// A shop in a folder of its own, open until it is dropped.
pub(crate) struct Shop {
    pub(crate) folder: PathBuf,
    pub(crate) open: Option<Open>,
    /// Where its own machine comes in.
    pub(crate) here: SocketAddr,
    /// Where others come in.
    pub(crate) network: Option<SocketAddr>,
}

impl Shop {
    /// For this machine alone.
    pub(crate) fn alone() -> Self {
        Self::opened(new_folder(), "127.0.0.1:0", Bounds::default())
    }

    /// For the network too.
    pub(crate) fn on_network(bounds: Bounds) -> Self {
        Self::opened(new_folder(), "0.0.0.0:0", bounds)
    }

    pub(crate) fn opened(folder: PathBuf, listen: &str, bounds: Bounds) -> Self {
        let open = bay::open(&Asked {
            location: Location::File(folder.join("shop.db")),
            listen: Some(listen.parse().unwrap()),
            names: vec!["bench.example".to_owned()],
            bounds,
        })
        .unwrap();
        let here = open.address().replace("http://", "").replace('/', "");
        let port = open.invite().unwrap().map(|invitation| {
            let address = invitation.addresses[0].trim_end_matches('/').to_owned();
            address.rsplit(':').next().unwrap().parse::<u16>().unwrap()
        });
        Self {
            folder,
            here: here.parse().unwrap(),
            network: port.map(|port| SocketAddr::from(([127, 0, 0, 1], port))),
            open: Some(open),
        }
    }

    /// Closes it and gives its folder back, whole.
    pub(crate) fn closed(mut self) -> PathBuf {
        drop(self.open.take());
        std::mem::take(&mut self.folder)
    }

    /// A code that is good now.
    pub(crate) fn code(&self) -> String {
        self.open.as_ref().unwrap().invite().unwrap().unwrap().code
    }

    /// Asks at this machine's own door.
    pub(crate) fn ask(&self, method: &str, path: &str, headers: &[&str], body: &[u8]) -> Answer {
        let host = format!("Host: {}", self.here);
        self.ask_as(&host, method, path, headers, body)
    }

    /// The same with a line of one's own in place of the right `Host`.
    pub(crate) fn ask_as(
        &self,
        host: &str,
        method: &str,
        path: &str,
        headers: &[&str],
        body: &[u8],
    ) -> Answer {
        let stream = connected(self.here);
        said(stream, &request(host, method, path, headers, body))
    }

    /// Asks at the network's door, through TLS with the shop's certificate and no other.
    pub(crate) fn ask_outside(&self, method: &str, path: &str, headers: &[&str], body: &[u8]) -> Answer {
        let host = format!("Host: {}", self.network.unwrap());
        said(self.tls(), &request(&host, method, path, headers, body))
    }

    pub(crate) fn tls(&self) -> StreamOwned<ClientConnection, TcpStream> {
        let certificate = std::fs::read(self.doors().join("certificate.pem")).unwrap();
        let mut roots = RootCertStore::empty();
        roots
            .add(CertificateDer::from_pem_slice(&certificate).unwrap())
            .unwrap();
        let provider = Arc::new(rustls::crypto::ring::default_provider());
        let config = ClientConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        let name = ServerName::try_from("127.0.0.1").unwrap();
        let connection = ClientConnection::new(Arc::new(config), name).unwrap();
        StreamOwned::new(connection, connected(self.network.unwrap()))
    }

    pub(crate) fn doors(&self) -> PathBuf {
        self.folder.join("shop.db-doors")
    }

    /// Pairs a device; returns its cookie as a line of a request.
    pub(crate) fn paired(&self, name: &str) -> String {
        let body = format!("code={}&name={name}", self.code());
        let answer = self.ask_outside("POST", "/pair", &[FORM], body.as_bytes());
        assert_eq!(answer.status, 303, "{}", answer.text());
        let cookie = answer.header("set-cookie").unwrap();
        format!("Cookie: {}", cookie.split(';').next().unwrap())
    }
}

impl Drop for Shop {
    fn drop(&mut self) {
        drop(self.open.take());
        if !self.folder.as_os_str().is_empty() {
            let _ = std::fs::remove_dir_all(&self.folder);
        }
    }
}

pub(crate) const FORM: &str = "Content-Type: application/x-www-form-urlencoded";

fn new_folder() -> PathBuf {
    let folder = std::env::temp_dir().join(format!("bay-{}", Uuid::now_v7()));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// A connection that gives up waiting after a time that nothing here needs.
pub(crate) fn connected(to: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(to).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    stream
}

pub(crate) fn request(host: &str, method: &str, path: &str, headers: &[&str], body: &[u8]) -> Vec<u8> {
    let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
    for line in [host].iter().chain(headers).filter(|line| !line.is_empty()) {
        head.push_str(line);
        head.push_str("\r\n");
    }
    if method != "GET" {
        let length = format!("Content-Length: {}\r\n", body.len());
        head.push_str(&length);
    }
    head.push_str("\r\n");
    [head.as_bytes(), body].concat()
}

/// Says something and hears the answer out.
pub(crate) fn said(mut stream: impl Read + Write, bytes: &[u8]) -> Answer {
    stream.write_all(bytes).unwrap();
    stream.flush().unwrap();
    let mut heard = Vec::new();
    // Some end a connection without saying so: what was heard until then counts.
    let _ = stream.read_to_end(&mut heard);
    Answer::read(&heard)
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Answer {
    /// 0 if nothing came back.
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    fn read(heard: &[u8]) -> Self {
        let end = heard
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap_or(heard.len());
        let head = String::from_utf8_lossy(&heard[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok());
        Self {
            status: status.unwrap_or(0),
            body: heard.get(end + 4..).unwrap_or_default().to_vec(),
            head,
        }
    }

    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        let mut named = lines.filter(|(known, _)| known.eq_ignore_ascii_case(name));
        named.next().map(|(_, value)| value)
    }

    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}
