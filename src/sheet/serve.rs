//! Listens, and stops when it is asked to: what was accepted is finished.

use super::desk::Desk;
use super::{App, Doors, router};
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use std::io;
use std::net::{SocketAddr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

/// How long requests that were accepted may still take when the server stops.
const LAST: Duration = Duration::from_secs(10);

/// How long a connection may take to say what it wants.
const FIRST: Duration = Duration::from_secs(10);

/// How to serve.
#[derive(Debug)]
pub struct Serving {
    /// Where to listen.
    pub listener: TcpListener,
    /// Certificate and key for TLS, as PEM files.
    pub tls: Option<(PathBuf, PathBuf)>,
    /// Who is let in.
    pub doors: Doors,
}

/// Why the sheet cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum Failed {
    /// Certificate or key cannot be used.
    #[error("certificate and key cannot be used")]
    Tls(#[source] io::Error),
    /// The system does not let it listen or wait.
    #[error("the sheet cannot be served")]
    Serve(#[source] io::Error),
}

/// Serves until the process is asked to stop. `ready` is called once a request to stop would be heard:
/// who says before that where the sheet is may be stopped without a farewell.
///
/// # Errors
/// Where the certificate or the address cannot be used, or `ready` fails.
pub fn serve(
    desk: Arc<dyn Desk>,
    serving: Serving,
    ready: impl FnOnce() -> io::Result<()>,
) -> Result<(), Failed> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(Failed::Serve)?;
    runtime.block_on(run(desk, serving, ready))
}

async fn run(
    desk: Arc<dyn Desk>,
    serving: Serving,
    ready: impl FnOnce() -> io::Result<()>,
) -> Result<(), Failed> {
    let app = App::new(desk, serving.doors);
    let handle: Handle<SocketAddr> = Handle::new();
    tokio::spawn(stop_when_asked(asked(), app.clone(), handle.clone()));
    ready().map_err(Failed::Serve)?;
    serving
        .listener
        .set_nonblocking(true)
        .map_err(Failed::Serve)?;
    let service = router(app).into_make_service();
    let served = match serving.tls {
        None => {
            let server = axum_server::from_tcp(serving.listener).map_err(Failed::Serve)?;
            let server = server.first_request_timeout(FIRST).handle(handle);
            server.serve(service).await
        }
        Some((certificate, key)) => {
            let config = RustlsConfig::from_pem_file(certificate, key)
                .await
                .map_err(Failed::Tls)?;
            let server =
                axum_server::from_tcp_rustls(serving.listener, config).map_err(Failed::Serve)?;
            let server = server.first_request_timeout(FIRST).handle(handle);
            server.serve(service).await
        }
    };
    tracing::info!("stopped");
    served.map_err(Failed::Serve)
}

async fn stop_when_asked(asked: impl Future<Output = ()>, app: App, handle: Handle<SocketAddr>) {
    asked.await;
    tracing::info!("stopping: what was accepted is finished");
    app.stop();
    handle.graceful_shutdown(Some(LAST));
}

/// Listens for a request to stop from now on; ends when it comes.
#[cfg(unix)]
fn asked() -> impl Future<Output = ()> {
    use tokio::signal::unix::{SignalKind, signal};
    // Where the system gives no signal, the other way to stop is left.
    let heard = [SignalKind::terminate(), SignalKind::interrupt()].map(|kind| signal(kind).ok());
    async move {
        let [mut terminate, mut interrupt] = heard;
        tokio::select! {
            Some(()) = async { terminate.as_mut()?.recv().await } => {}
            Some(()) = async { interrupt.as_mut()?.recv().await } => {}
            else => std::future::pending().await,
        }
    }
}

#[cfg(not(unix))]
async fn asked() {
    let _ = tokio::signal::ctrl_c().await;
}
