//! Recordings by their address: a path on this machine, or `http(s)://` of a server that lists its folders (`WebDAV`, RFC 4918).

use crate::listing::{Listing, NoFleet};
use futures::TryStreamExt;
use object_store::http::{HttpBuilder, HttpStore};
use object_store::path::Path;
use object_store::{ClientOptions, ObjectStore, ObjectStoreExt};
use std::collections::BTreeMap;
use std::io::Read;
use std::sync::{Arc, LazyLock, Mutex, PoisonError, mpsc};
use tokio::runtime::{Builder, Runtime};

/// Most bytes of one recording: as large as a recording may be anywhere here.
const LARGEST: u64 = 1 << 30;

/// Reads over the network while the engine's own threads reckon; `None` where no thread can be started.
static NETWORK: LazyLock<Option<Runtime>> = LazyLock::new(|| {
    Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build()
        .ok()
});
/// Servers known so far, so that a connection is used again.
static SERVERS: Mutex<BTreeMap<String, Arc<HttpStore>>> = Mutex::new(BTreeMap::new());

/// Whether an address is one of a server.
pub(super) fn is_far(address: &str) -> bool {
    address.starts_with("http://") || address.starts_with("https://")
}

/// The bytes of a recording.
pub(super) fn bytes(address: &str) -> Result<Vec<u8>, String> {
    if is_far(address) {
        return far_bytes(address);
    }
    let file = std::fs::File::open(address).map_err(|error| format!("it cannot be opened: {error}"))?;
    let mut bytes = Vec::new();
    let read = file.take(LARGEST + 1).read_to_end(&mut bytes);
    read.map_err(|error| format!("it cannot be read: {error}"))?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("it is larger than {} MB", LARGEST / 1_000_000));
    }
    Ok(bytes)
}

fn far_bytes(address: &str) -> Result<Vec<u8>, String> {
    let (server, path) = server(address)?;
    let (out, answer) = mpsc::channel();
    let network = NETWORK
        .as_ref()
        .ok_or("no thread for the network can be started")?;
    network.spawn(async move {
        let got = async {
            let found = server.get(&path).await?;
            if found.meta.size > LARGEST {
                return Ok(None);
            }
            found.bytes().await.map(Some)
        };
        // Nobody waits any more if the other end is gone.
        let _ = out.send(got.await.map_err(|error: object_store::Error| error.to_string()));
    });
    let got = answer
        .recv()
        .map_err(|_| "the network gave no answer".to_owned())?;
    got.and_then(|bytes| {
        bytes
            .map(|bytes| bytes.to_vec())
            .ok_or_else(|| format!("it is larger than {} MB", LARGEST / 1_000_000))
    })
}

/// `https://server:port` and the way behind it.
fn parted(address: &str) -> (&str, &str) {
    let after = address.find("://").map_or(0, |at| at + 3);
    let end = address[after..].find('/').map_or(address.len(), |at| after + at);
    address.split_at(end)
}

/// The server of an address, and the way on it.
fn server(address: &str) -> Result<(Arc<HttpStore>, Path), String> {
    let (base, way) = parted(address);
    let path = Path::from_url_path(way).map_err(|error| error.to_string())?;
    let mut servers = SERVERS.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = servers.get(base) {
        return Ok((Arc::clone(known), path));
    }
    let store = HttpBuilder::new()
        .with_url(base)
        .with_client_options(ClientOptions::new().with_allow_http(true))
        .build()
        .map_err(|error| error.to_string())?;
    let store = Arc::new(store);
    servers.insert(base.to_owned(), Arc::clone(&store));
    Ok((store, path))
}

/// The recordings behind an address of a server.
///
/// # Errors
/// It lists nothing, or holds none.
pub(super) async fn listing(address: &str) -> anyhow::Result<Listing> {
    let (store, path) = server(address).map_err(anyhow::Error::msg)?;
    let files: Vec<object_store::ObjectMeta> =
        store.list(Some(&path)).try_collect().await.map_err(|error| {
            anyhow::anyhow!(
                "`{address}` gives no list of its files (it has to speak WebDAV, RFC 4918): {error}"
            )
        })?;
    let (base, _) = parted(address);
    let mut found = Listing::default();
    for file in files {
        let Some(parts) = file.location.prefix_match(&path) else {
            continue;
        };
        let way: Vec<String> = parts.map(|part| part.as_ref().to_owned()).collect();
        found.add(
            &way.join("/"),
            format!("{base}/{}", file.location.as_ref().replace('%', "%25")),
        );
    }
    found.sorted(address).map_err(|error: NoFleet| error.into())
}
