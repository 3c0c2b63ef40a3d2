//! The accept loop: bounds on heads, connections and time that the stock loop of the framework lacks.

use std::future::{Future, poll_fn};
use std::net::TcpListener;
use std::pin::pin;
use std::sync::Arc;
use std::task::Poll;
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::sync::{Semaphore, watch};
use tokio::time::{sleep, timeout};

use super::routes::router;
use super::state::Desk;

/// Connections at a time.
const SEATS: usize = 256;

/// How long a request's head may take.
const HEAD: Duration = Duration::from_secs(10);

/// How long what is running may take once the desk is stopped.
const LAST: Duration = Duration::from_secs(3);

/// Serves until it is stopped.
pub fn run(
    listener: TcpListener,
    desk: &Arc<Desk>,
    stopped: watch::Receiver<bool>,
) -> anyhow::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    listener.set_nonblocking(true)?;
    runtime.block_on(accept(listener, router(desk), desk, stopped))
}

async fn accept(
    listener: TcpListener,
    router: Router,
    desk: &Arc<Desk>,
    mut stopped: watch::Receiver<bool>,
) -> anyhow::Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    let graceful = GracefulShutdown::new();
    let seats = Arc::new(Semaphore::new(SEATS));
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(HEAD).max_headers(64).max_buf_size(64 << 10);
    let mut stop = pin!(async move { stopped.wait_for(|stopped| *stopped).await.map(|_| ()) });
    loop {
        let next = poll_fn(|context| {
            if stop.as_mut().poll(context).is_ready() {
                return Poll::Ready(None);
            }
            listener.poll_accept(context).map(Some)
        });
        let stream = match next.await {
            None => break,
            Some(Ok((stream, _))) => stream,
            // Too many open files, most often: it passes.
            Some(Err(_)) => {
                sleep(Duration::from_millis(50)).await;
                continue;
            }
        };
        let Ok(seat) = Arc::clone(&seats).try_acquire_owned() else { continue };
        let _ = stream.set_nodelay(true);
        let service = TowerToHyperService::new(router.clone());
        let served = graceful.watch(http.serve_connection(TokioIo::new(stream), service));
        tokio::spawn(async move {
            // A browser that goes away in the middle is nobody's error.
            let _ = served.await;
            drop(seat);
        });
    }
    drop(listener);
    desk.stop();
    let _ = timeout(LAST, graceful.shutdown()).await;
    Ok(())
}
