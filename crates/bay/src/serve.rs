//! Opening the shop: the store, the doors, and closing them again in good order.
//!
//! There is always a door for this machine alone. Listening on an address that others reach adds one with TLS that lets
//! paired devices in; there is no way to have that address without it.

use crate::doors::{self, Certificate, Door, Gate, Guard, Network};
use crate::invitation::Invitation;
use crate::shop::Shop;
use axum_server::accept::Accept;
use axum_server::tls_rustls::{RustlsAcceptor, RustlsConfig};
use axum_server::{Handle, Server};
use jiff::Timestamp;
use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use store::{Location, StoreError};
use tokio::runtime::Runtime;
use tokio::task::JoinHandle;

/// The port of this machine's own door, where none is named.
pub const PORT: u16 = 8427;
/// Ports tried after it.
const MORE_PORTS: u16 = 20;
/// How long a request or an answer under way may take to end when the shop closes.
const CLOSING: Duration = Duration::from_secs(5);
/// How long a code is good.
const CODE_LIFE: Duration = Duration::from_mins(10);
/// How often it is looked whether the certificate has to be renewed.
const LOOK_AGAIN: Duration = Duration::from_hours(12);

/// How to open.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Where the jobs are.
    pub location: Location,
    /// The address to listen on; `None` for this machine alone, at a port that is free.
    pub listen: Option<SocketAddr>,
    /// More names by which the shop's network calls this machine.
    pub names: Vec<String>,
    /// The bounds.
    pub bounds: Bounds,
}

/// Bounds on what reaches the doors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bounds {
    /// How long a code is good.
    pub code_life: Duration,
    /// How long the head of a request may take; a connection that says nothing is closed after it too.
    pub head: Duration,
    /// Connections at once.
    pub connections: usize,
    /// Connections of one address.
    pub of_one: usize,
}

impl Default for Bounds {
    fn default() -> Self {
        Self {
            code_life: CODE_LIFE,
            head: Duration::from_secs(20),
            connections: 256,
            of_one: 64,
        }
    }
}

/// Why the shop did not open.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The address.
    #[error("{address}: cannot be listened on: {why}")]
    Address {
        /// The address.
        address: SocketAddr,
        /// What the system says.
        why: io::Error,
    },
    /// What the doors keep.
    #[error(
        "{}: the doors' folder cannot be read or written: {why}. It holds the certificate and the list of paired devices; check its rights",
        .at.display()
    )]
    Folder {
        /// The folder.
        at: PathBuf,
        /// What is wrong.
        why: io::Error,
    },
    /// The system.
    #[error("the server could not be started: {0}")]
    System(#[from] io::Error),
}

/// An open shop.
#[derive(Debug)]
pub struct Open {
    /// `Some` until it is dropped.
    runtime: Option<Runtime>,
    inside: tokio::runtime::Handle,
    here: SocketAddr,
    shop: Arc<Shop>,
    guard: Arc<Guard>,
    doors: Vec<Handle<SocketAddr>>,
    serving: Mutex<Vec<JoinHandle<io::Result<()>>>>,
    /// Listened for from the beginning: whoever knows that the shop is open may also tell it to close.
    end: End,
}

/// Opens the store and the doors; returns as soon as one can come in.
///
/// # Errors
/// [`ServeError`].
pub fn open(asked: &Asked) -> Result<Open, ServeError> {
    // The network's address first: this machine's own finds another port.
    let outside = asked.listen.filter(|address| !address.ip().is_loopback());
    let outside = outside.map(listen).transpose()?;
    let inside = match asked.listen.filter(|address| address.ip().is_loopback()) {
        Some(address) => listen(address)?,
        None => listen_nearby()?,
    };
    let shop = Arc::new(Shop::open(asked.location.clone())?);
    let folder = doors::folder(&asked.location)?;
    let in_folder = |why| ServeError::Folder {
        at: folder.clone(),
        why,
    };
    doors::make(&folder).map_err(in_folder)?;
    let outside = outside
        .map(|listener| Outside::new(listener, &asked.names, &folder))
        .transpose()
        .map_err(in_folder)?;
    let network = outside.as_ref().map(Outside::network);
    let guard = Arc::new(Guard::new(&folder, asked.bounds.code_life, network).map_err(in_folder)?);
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    let handle = runtime.handle().clone();
    let _in_runtime = handle.enter();
    let end = End::listen()?;

    let mut open = Open {
        here: inside.local_addr()?,
        shop: shop.clone(),
        guard,
        doors: Vec::new(),
        serving: Mutex::default(),
        inside: handle.clone(),
        runtime: Some(runtime),
        end,
    };
    let bounds = asked.bounds;
    let door = Door {
        hosts: doors::hosts(["localhost", "127.0.0.1", "::1"], open.here.port(), 80),
        network: false,
    };
    let gate = Gate::new(bounds.connections, bounds.of_one, false);
    open.serve(server(inside, bounds)?.acceptor(gate), &shop, door);
    if let Some(outside) = outside {
        let gate = Gate::new(bounds.connections, bounds.of_one, true);
        let tls = RustlsAcceptor::new(outside.certificate.config.clone())
            .handshake_timeout(bounds.head)
            .acceptor(gate);
        let renewal = renewed(
            folder,
            outside.names,
            outside.certificate.config,
            open.guard.clone(),
        );
        open.inside.spawn(renewal);
        open.serve(
            server(outside.listener, bounds)?.acceptor(tls),
            &shop,
            outside.door,
        );
    }
    Ok(open)
}

/// The address that others reach, not served yet.
struct Outside {
    listener: TcpListener,
    names: Vec<String>,
    door: Door,
    addresses: Vec<String>,
    certificate: Certificate,
}

impl Outside {
    fn new(listener: TcpListener, given: &[String], folder: &Path) -> io::Result<Self> {
        let address = listener.local_addr()?;
        let names = doors::names_of(address, given);
        let named = |name: &String| match name.parse() {
            Ok(IpAddr::V6(six)) => format!("https://[{six}]:{}/", address.port()),
            _ => format!("https://{name}:{}/", address.port()),
        };
        Ok(Self {
            door: Door {
                hosts: doors::hosts(names.iter().map(String::as_str), address.port(), 443),
                network: true,
            },
            addresses: names.iter().map(named).collect(),
            certificate: doors::certificate(folder, &names, Timestamp::now())?,
            names,
            listener,
        })
    }

    fn network(&self) -> Network {
        Network {
            addresses: self.addresses.clone(),
            fingerprint: self.certificate.fingerprint.clone(),
        }
    }
}

/// Renews the certificate in time while the shop stays open for months.
async fn renewed(folder: PathBuf, names: Vec<String>, config: RustlsConfig, guard: Arc<Guard>) {
    loop {
        tokio::time::sleep(LOOK_AGAIN).await;
        let (folder, names) = (folder.clone(), names.clone());
        let made = tokio::task::spawn_blocking(move || doors::certificate(&folder, &names, Timestamp::now()));
        // If it cannot be written now, the old one holds for some weeks more, and it is tried again.
        if let Ok(Ok(certificate)) = made.await {
            config.reload_from_config(certificate.config.get_inner());
            guard.note_fingerprint(certificate.fingerprint);
        }
    }
}

/// A server with its bounds on what has not become a request yet.
fn server(listener: TcpListener, bounds: Bounds) -> io::Result<Server<SocketAddr>> {
    listener.set_nonblocking(true)?;
    let mut server = axum_server::from_tcp(listener)?
        .http1_only()
        .first_request_timeout(bounds.head);
    let mut http = server.http_builder().http1();
    http.timer(hyper_util::rt::TokioTimer::new())
        .header_read_timeout(bounds.head)
        .max_buf_size(64 * 1024);
    Ok(server)
}

fn listen(address: SocketAddr) -> Result<TcpListener, ServeError> {
    TcpListener::bind(address).map_err(|why| ServeError::Address { address, why })
}

/// The usual port of this machine, the first free one after it, or any.
fn listen_nearby() -> Result<TcpListener, ServeError> {
    let at = |port| SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), port);
    let free = (PORT..=PORT + MORE_PORTS).find_map(|port| TcpListener::bind(at(port)).ok());
    free.map_or_else(|| listen(at(0)), Ok)
}

impl Open {
    /// Begins to serve a door.
    fn serve<A>(&mut self, server: Server<SocketAddr, A>, shop: &Arc<Shop>, door: Door)
    where
        A: Accept<
                tokio::net::TcpStream,
                axum::middleware::AddExtension<axum::Router, axum::extract::ConnectInfo<SocketAddr>>,
            > + Clone
            + Send
            + Sync
            + 'static,
        A::Stream: tokio::io::AsyncRead + tokio::io::AsyncWrite + Unpin + Send,
        A::Service: axum_server::service::SendService<axum::http::Request<hyper::body::Incoming>> + Send,
        A::Future: Send,
    {
        let handle = Handle::new();
        let app = doors::shop_behind(shop.clone(), self.guard.clone(), Arc::new(door));
        let app = app.into_make_service_with_connect_info::<SocketAddr>();
        let task = self.inside.spawn(server.handle(handle.clone()).serve(app));
        self.doors.push(handle);
        self.serving
            .get_mut()
            .unwrap_or_else(PoisonError::into_inner)
            .push(task);
    }

    /// The address to type into this machine's browser.
    pub fn address(&self) -> String {
        format!("http://{}/", self.here)
    }

    /// A new code for a phone or tablet in place of the one before; `None` where only this machine can come in.
    ///
    /// # Errors
    /// The system gives no random numbers.
    pub fn invite(&self) -> Result<Option<Invitation>, ServeError> {
        let Some(network) = self.guard.network() else {
            return Ok(None);
        };
        let code = self.guard.new_code()?;
        Ok(Some(Invitation::new(&network, code)))
    }

    /// Stays open until the process is told to end (an interrupt or, where there is one, a request to terminate), then
    /// closes in good order.
    ///
    /// # Errors
    /// What the system says about signals or the listening.
    pub fn until_told(&self) -> Result<(), ServeError> {
        self.inside.block_on(self.end.told())?;
        self.close()
    }

    /// Takes nobody in any more, lets what is under way end, and returns. Done twice it is done once.
    ///
    /// # Errors
    /// What the system says about the listening.
    pub fn close(&self) -> Result<(), ServeError> {
        self.shop.end_changes();
        for door in &self.doors {
            door.graceful_shutdown(Some(CLOSING));
        }
        let mut serving = self.serving.lock().unwrap_or_else(PoisonError::into_inner);
        for task in serving.drain(..) {
            if let Ok(done) = self.inside.block_on(task) {
                done?;
            }
        }
        Ok(())
    }
}

/// What still thinks is given up: nothing that it has not written was acknowledged.
impl Drop for Open {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_timeout(CLOSING);
        }
    }
}

/// What tells the shop to close.
#[cfg(unix)]
#[derive(Debug)]
struct End(tokio::sync::Mutex<[tokio::signal::unix::Signal; 2]>);

#[cfg(unix)]
impl End {
    /// Begins to listen; within a runtime.
    fn listen() -> io::Result<Self> {
        use tokio::signal::unix::{SignalKind, signal};
        let both = [signal(SignalKind::terminate())?, signal(SignalKind::interrupt())?];
        Ok(Self(tokio::sync::Mutex::new(both)))
    }

    async fn told(&self) -> io::Result<()> {
        let mut both = self.0.lock().await;
        let [terminate, interrupt] = &mut *both;
        tokio::select! {
            _ = terminate.recv() => Ok(()),
            _ = interrupt.recv() => Ok(()),
        }
    }
}

/// What tells the shop to close.
#[cfg(not(unix))]
#[derive(Debug)]
struct End;

#[cfg(not(unix))]
impl End {
    fn listen() -> io::Result<Self> {
        Ok(Self)
    }

    async fn told(&self) -> io::Result<()> {
        tokio::signal::ctrl_c().await
    }
}
