//! Takes connections, each with its limits, until asked to stop.

use crate::Limits;
use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Pause after a connection could not be taken, as when the system has no file handles left.
const BREATH: Duration = Duration::from_millis(100);

/// Serves connections until `stop`; then lets open requests end, but not for ever.
pub async fn listen(
    listener: TcpListener,
    service: Router,
    limits: &Limits,
    stop: impl Future<Output = ()>,
) {
    let graceful = GracefulShutdown::new();
    let places = Arc::new(Semaphore::new(limits.connections));
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(limits.head);
    let mut stop = std::pin::pin!(stop);
    loop {
        let taken = tokio::select! {
            () = &mut stop => break,
            taken = next(&listener, &places) => taken,
        };
        let Some((stream, place)) = taken else { continue };
        let service = TowerToHyperService::new(service.clone());
        let connection = graceful.watch(http.serve_connection(TokioIo::new(stream), service));
        tokio::spawn(async move {
            if let Err(error) = connection.await {
                tracing::debug!(%error, "connection ended");
            }
            drop(place);
        });
    }
    drop(listener);
    if tokio::time::timeout(limits.farewell, graceful.shutdown()).await.is_err() {
        tracing::warn!("stopped while requests were open; what was acknowledged is kept");
    }
}

/// The next connection, once there is a place for it; `None` if it could not be taken.
async fn next(
    listener: &TcpListener,
    places: &Arc<Semaphore>,
) -> Option<(TcpStream, OwnedSemaphorePermit)> {
    let place = Arc::clone(places).acquire_owned().await.ok()?;
    match listener.accept().await {
        Ok((stream, _)) => {
            // Answers are small: do not wait to fill a packet.
            let _ = stream.set_nodelay(true);
            Some((stream, place))
        }
        Err(error) => {
            tracing::warn!(%error, "a connection could not be taken");
            tokio::time::sleep(BREATH).await;
            None
        }
    }
}
