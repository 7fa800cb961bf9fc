//! Opens the store, listens, and serves until asked to stop.

use crate::Desk;
use crate::guard::AllowedHosts;
use crate::routes::router;
use kw_model::Shop;
use kw_shop::StoreError;
use kw_store::{Store, StoreOptions};
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;

/// What to serve and where.
pub struct ServeOptions {
    /// The shop.
    pub shop: Shop,
    /// Folder for the database; made if it is not there.
    pub data_folder: PathBuf,
    /// Address to listen on; port 0 takes a free one.
    pub listen: SocketAddr,
}

/// Why the server could not start or go on.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The store cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The folder for the database cannot be made.
    #[error("the folder {folder} cannot be made: {why}")]
    Folder {
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        why: std::io::Error,
    },
    /// The address cannot be listened on.
    #[error(
        "{address} cannot be listened on: {why}; another program may use it, choose another --port"
    )]
    Listen {
        /// The address.
        address: SocketAddr,
        /// What the system said.
        why: std::io::Error,
    },
    /// Serving broke off.
    #[error("serving broke off: {0}")]
    Broken(std::io::Error),
}

/// Serves until the process is asked to stop; `ready` is told the address once it is open.
pub async fn serve(
    options: ServeOptions,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), ServeError> {
    std::fs::create_dir_all(&options.data_folder)
        .map_err(|why| ServeError::Folder { folder: options.data_folder.clone(), why })?;
    let file = options.data_folder.join("kerfwright.db");
    let store = Store::open(&StoreOptions::SqliteFile(file)).await?;
    let listener = tokio::net::TcpListener::bind(options.listen)
        .await
        .map_err(|why| ServeError::Listen { address: options.listen, why })?;
    let address = listener.local_addr().map_err(ServeError::Broken)?;
    let desk = Arc::new(Desk::new(options.shop, store.clone()));
    let service = router(desk, allowed_hosts(address));
    ready(address);
    let served = axum::serve(listener, service).with_graceful_shutdown(asked_to_stop()).await;
    store.close().await;
    served.map_err(ServeError::Broken)
}

/// On this computer only its own names are taken; on a network any, since names there are local.
fn allowed_hosts(address: SocketAddr) -> AllowedHosts {
    if !address.ip().is_loopback() {
        return AllowedHosts::default();
    }
    let names = ["localhost", "127.0.0.1", "[::1]"];
    AllowedHosts(Arc::new(names.map(str::to_owned).to_vec()))
}

async fn asked_to_stop() {
    let interrupted = async {
        let _ = tokio::signal::ctrl_c().await;
    };
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminated) = signal(SignalKind::terminate()) {
            tokio::select! {
                () = interrupted => {}
                _ = terminated.recv() => {}
            }
            return;
        }
    }
    interrupted.await;
}
