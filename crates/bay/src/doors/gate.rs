//! What stands before a connection becomes one: how many there may be, and what it speaks.
//!
//! A connection above the bounds is closed at once. One that speaks plain HTTP at the door with TLS is told so and closed;
//! nothing it says is read further.

use super::pairing::network_of;
use axum_server::accept::Accept;
use std::collections::BTreeMap;
use std::future::Future;
use std::io;
use std::net::IpAddr;
use std::pin::Pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, AsyncWriteExt, ReadBuf};
use tokio::net::TcpStream;

/// The first byte of a TLS connection: a record of type handshake (RFC 8446, section 5.1).
const HANDSHAKE: u8 = 22;
/// How long a connection may take to say its first byte.
const FIRST_BYTE: Duration = Duration::from_secs(10);
/// What plain HTTP is told at the door with TLS.
const PLAIN: &[u8] = b"HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\nContent-Length: 57\r\n\
    Connection: close\r\nX-Content-Type-Options: nosniff\r\nContent-Security-Policy: default-src 'none'\r\n\r\n\
    This address begins with https:// -- type it that way.  \n";

/// Connections that are open now, by who has them.
#[derive(Debug, Default)]
struct Counted(BTreeMap<IpAddr, usize>);

/// The gate before a door.
#[derive(Debug, Clone)]
pub(crate) struct Gate {
    counted: Arc<Mutex<Counted>>,
    /// Connections at once.
    most: usize,
    /// Connections of one address.
    of_one: usize,
    /// Only TLS may come in.
    tls: bool,
}

impl Gate {
    /// A gate with its bounds.
    pub(crate) fn new(most: usize, of_one: usize, tls: bool) -> Self {
        Self {
            counted: Arc::default(),
            most,
            of_one,
            tls,
        }
    }

    /// Counts one more connection from `address`, unless there are enough.
    fn enter(&self, address: IpAddr) -> io::Result<Place> {
        let from = network_of(address);
        let mut counted = lock(&self.counted);
        let all: usize = counted.0.values().sum();
        let own = counted.0.get(&from).copied().unwrap_or(0);
        if all >= self.most || own >= self.of_one {
            return Err(io::Error::other("too many connections"));
        }
        counted.0.insert(from, own + 1);
        Ok(Place {
            counted: self.counted.clone(),
            from,
        })
    }
}

impl<S: Send + 'static> Accept<TcpStream, S> for Gate {
    type Stream = Inside;
    type Service = S;
    type Future = Pin<Box<dyn Future<Output = io::Result<(Inside, S)>> + Send>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let gate = self.clone();
        Box::pin(async move {
            let place = gate.enter(stream.peer_addr()?.ip())?;
            stream.set_nodelay(true)?;
            let mut stream = stream;
            if gate.tls {
                let mut first = [0_u8];
                let read = tokio::time::timeout(FIRST_BYTE, stream.peek(&mut first)).await??;
                if read == 0 || first[0] != HANDSHAKE {
                    // What is here already is read: closing on unread bytes would take the answer back.
                    let _ = stream.try_read(&mut [0_u8; 16 * 1024]);
                    stream.write_all(PLAIN).await?;
                    stream.shutdown().await?;
                    return Err(io::Error::other("not TLS"));
                }
            }
            Ok((
                Inside {
                    stream,
                    _place: place,
                },
                service,
            ))
        })
    }
}

/// A place among the connections, free again when it is dropped.
#[derive(Debug)]
struct Place {
    counted: Arc<Mutex<Counted>>,
    from: IpAddr,
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut counted = lock(&self.counted);
        match counted.0.get_mut(&self.from) {
            Some(own) if *own > 1 => *own -= 1,
            _ => {
                counted.0.remove(&self.from);
            }
        }
    }
}

fn lock(counted: &Mutex<Counted>) -> MutexGuard<'_, Counted> {
    // Numbers are whole whatever happened to whoever held them.
    counted.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A connection with its place.
#[derive(Debug)]
pub(crate) struct Inside {
    stream: TcpStream,
    _place: Place,
}

impl AsyncRead for Inside {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(context, into)
    }
}

impl AsyncWrite for Inside {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write(context, bytes)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        pieces: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write_vectored(context, pieces)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }
}
