//! Opens the store, listens, and serves until asked to stop.

use crate::listen::listen;
use crate::routes::router;
use crate::{Desk, Hosts, Limits};
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
    /// Further names by which other stations call this computer.
    pub host_names: Vec<String>,
    /// What is taken at most.
    pub limits: Limits,
}

/// Why the server could not start.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The store cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The folder for the database cannot be made.
    #[error("the folder {} cannot be made: {why}", .folder.display())]
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
    /// The system does not tell the address.
    #[error("the address cannot be found out: {0}")]
    Address(std::io::Error),
}

/// Serves until the process is asked to stop; `ready` is told the address once it is open.
pub async fn serve(
    options: ServeOptions,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), ServeError> {
    serve_until(options, ready, asked_to_stop()).await
}

/// Serves until `stop`; `ready` is told the address once it is open.
pub async fn serve_until(
    options: ServeOptions,
    ready: impl FnOnce(SocketAddr),
    stop: impl Future<Output = ()>,
) -> Result<(), ServeError> {
    std::fs::create_dir_all(&options.data_folder)
        .map_err(|why| ServeError::Folder { folder: options.data_folder.clone(), why })?;
    let file = options.data_folder.join("kerfwright.db");
    let store = Store::open(&StoreOptions::SqliteFile(file)).await?;
    let listener = tokio::net::TcpListener::bind(options.listen)
        .await
        .map_err(|why| ServeError::Listen { address: options.listen, why })?;
    let address = listener.local_addr().map_err(ServeError::Address)?;
    let desk = Arc::new(Desk::new(options.shop, store.clone(), options.limits));
    let service = router(desk, Hosts::new(address, &options.host_names));
    ready(address);
    listen(listener, service, &options.limits, stop).await;
    if tokio::time::timeout(options.limits.farewell, store.close()).await.is_err() {
        tracing::warn!("the database was busy to the end; what was acknowledged is kept");
    }
    Ok(())
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
