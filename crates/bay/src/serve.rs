//! Opening the shop: the store, the doors, and closing them again in good order.

use crate::doors::{self, Door};
use crate::shop::Shop;
use axum_server::{Handle, Server};
use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::sync::Arc;
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
/// How long the head of a request may take; a connection that says nothing is closed after it too.
const HEAD: Duration = Duration::from_secs(20);

/// How to open.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Where the jobs are.
    pub location: Location,
    /// The address to listen on; `None` for this machine alone, at a port that is free.
    pub listen: Option<SocketAddr>,
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
    /// An address that others can reach.
    #[error("{address}: others could come in there, and this version opens no door but this machine's own")]
    NotLoopback {
        /// The address.
        address: SocketAddr,
    },
    /// The system.
    #[error("the server could not be started: {0}")]
    System(#[from] io::Error),
}

/// An open shop.
#[derive(Debug)]
pub struct Open {
    runtime: Runtime,
    address: SocketAddr,
    handle: Handle<SocketAddr>,
    serving: Vec<JoinHandle<io::Result<()>>>,
}

/// Opens the store and the doors; returns as soon as one can come in.
///
/// # Errors
/// [`ServeError`].
pub fn open(asked: &Asked) -> Result<Open, ServeError> {
    let listener = match asked.listen {
        Some(address) if !address.ip().is_loopback() => return Err(ServeError::NotLoopback { address }),
        Some(address) => listen(address)?,
        None => listen_nearby()?,
    };
    let shop = Arc::new(Shop::open(asked.location.clone())?);
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    let address = listener.local_addr()?;
    let handle = Handle::new();
    let app = doors::shop_behind(shop, Arc::new(Door::loopback(address.port())));
    let server = {
        let _inside = runtime.enter();
        server(listener)?.handle(handle.clone())
    };
    let task = runtime.spawn(server.serve(app.into_make_service_with_connect_info::<SocketAddr>()));
    Ok(Open {
        runtime,
        address,
        handle,
        serving: vec![task],
    })
}

/// A server with its bounds on what has not become a request yet.
fn server(listener: TcpListener) -> io::Result<Server<SocketAddr>> {
    listener.set_nonblocking(true)?;
    let mut server = axum_server::from_tcp(listener)?
        .http1_only()
        .first_request_timeout(HEAD);
    let mut http = server.http_builder().http1();
    http.timer(hyper_util::rt::TokioTimer::new())
        .header_read_timeout(HEAD);
    Ok(server)
}

fn listen(address: SocketAddr) -> Result<TcpListener, ServeError> {
    TcpListener::bind(address).map_err(|why| ServeError::Address { address, why })
}

/// The usual port of this machine, or the first free one after it.
fn listen_nearby() -> Result<TcpListener, ServeError> {
    let at = |port| SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), port);
    let free = (PORT..=PORT + MORE_PORTS).find_map(|port| TcpListener::bind(at(port)).ok());
    free.map_or_else(|| listen(at(PORT)), Ok)
}

impl Open {
    /// The address to type into this machine's browser.
    pub fn address(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Stays open until the process is told to end (an interrupt or, where there is one, a request to terminate), then
    /// closes in good order.
    ///
    /// # Errors
    /// What the system says about signals or the listening.
    pub fn until_told(self) -> Result<(), ServeError> {
        self.runtime.block_on(told_to_end())?;
        self.close()
    }

    /// Takes nobody in any more, lets what is under way end, and returns.
    ///
    /// # Errors
    /// What the system says about the listening.
    pub fn close(self) -> Result<(), ServeError> {
        self.handle.graceful_shutdown(Some(CLOSING));
        for task in self.serving {
            if let Ok(done) = self.runtime.block_on(task) {
                done?;
            }
        }
        Ok(())
    }
}

#[cfg(unix)]
async fn told_to_end() -> io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut end = signal(SignalKind::terminate())?;
    tokio::select! {
        done = tokio::signal::ctrl_c() => done,
        _ = end.recv() => Ok(()),
    }
}

#[cfg(not(unix))]
async fn told_to_end() -> io::Result<()> {
    tokio::signal::ctrl_c().await
}
