//! Which page answers what is asked.

use std::convert::Infallible;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::thread;
use std::time::Duration;

use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, Response, StatusCode};
use axum::middleware::from_fn_with_state;
use axum::response::IntoResponse;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::routing::{get, post};
use futures_core::Stream;
use tokio::sync::{mpsc, oneshot};
use tokio::time::timeout;

use super::exchange::{Asked, decoded, pairs};
use super::guard::guard;
use super::pages;
use super::state::Desk;

/// Most bytes of a form; a grid of crossings is the largest.
const FORM_MOST: usize = 4 << 20;

/// Most bytes of a file that is dropped.
const FILE_MOST: usize = 10 << 20;

/// So long a body may take.
const BODY: Duration = Duration::from_secs(30);

/// So often a search is looked at for whoever watches.
const LOOK: Duration = Duration::from_millis(200);

/// Everything that is served.
pub fn router(desk: &Arc<Desk>) -> Router {
    Router::new()
        .route("/search/events", get(events))
        .route("/lists/drop", post(drop_file))
        .fallback(any)
        .layer(from_fn_with_state(Arc::clone(desk), guard))
        .with_state(Arc::clone(desk))
}

/// Any page or form.
async fn any(State(desk): State<Arc<Desk>>, request: Request) -> Response<Body> {
    let (parts, body) = request.into_parts();
    let post = match parts.method {
        Method::GET | Method::HEAD => false,
        Method::POST => true,
        _ => return words(StatusCode::METHOD_NOT_ALLOWED, "Neither GET nor POST."),
    };
    let bytes = match timeout(BODY, to_bytes(body, FORM_MOST)).await {
        Ok(Ok(bytes)) => bytes,
        Ok(Err(_)) => return words(StatusCode::PAYLOAD_TOO_LARGE, "The form is too large."),
        Err(_) => return words(StatusCode::REQUEST_TIMEOUT, "The form took too long."),
    };
    let asked = Asked {
        post,
        path: decoded(&parts.uri.path().replace('+', "%2B")),
        query: pairs(parts.uri.query().unwrap_or_default()),
        form: pairs(&String::from_utf8_lossy(&bytes)),
        file: None,
    };
    on_thread(desk, asked).await
}

/// A file that was dropped, as the body; its name stands in a header.
async fn drop_file(
    State(desk): State<Arc<Desk>>,
    headers: HeaderMap,
    request: Request,
) -> Response<Body> {
    let query = pairs(request.uri().query().unwrap_or_default());
    let name = headers.get("x-name").and_then(|name| name.to_str().ok()).unwrap_or_default();
    let name = decoded(&name.replace('+', "%2B"));
    let bytes = match timeout(BODY, bounded(request.into_body())).await {
        Ok(Ok(bytes)) => bytes,
        Ok(Err(why)) => return words(StatusCode::PAYLOAD_TOO_LARGE, why),
        Err(_) => return words(StatusCode::REQUEST_TIMEOUT, "The file took too long."),
    };
    let asked = Asked {
        post: true,
        path: "/lists/drop".to_owned(),
        query,
        file: Some((name, bytes)),
        ..Asked::default()
    };
    on_thread(desk, asked).await
}

/// The bytes of a body. What is too much is read and forgotten, for a browser that is still sending
/// would not hear why it is refused.
async fn bounded(body: Body) -> Result<Bytes, &'static str> {
    const FORGOTTEN_MOST: usize = 1 << 30;
    let mut stream = body.into_data_stream();
    let (mut kept, mut all) = (Vec::new(), 0_usize);
    while let Some(chunk) = std::future::poll_fn(|cx| Pin::new(&mut stream).poll_next(cx)).await {
        let Ok(chunk) = chunk else { return Err("The file broke off.") };
        all += chunk.len();
        if all <= FILE_MOST {
            kept.extend_from_slice(&chunk);
        } else if all > FORGOTTEN_MOST {
            break;
        }
    }
    if all > FILE_MOST { Err("The file has more than 10 MB.") } else { Ok(kept.into()) }
}

/// Works on a request on a thread of its own.
async fn on_thread(desk: Arc<Desk>, asked: Asked) -> Response<Body> {
    let (send, receive) = oneshot::channel();
    thread::spawn(move || send.send(pages::answer(&desk, &asked)));
    match receive.await {
        Ok(answer) => answer.into_response(),
        // The thread has ended in a panic, which the terminal shows.
        Err(_) => words(
            StatusCode::INTERNAL_SERVER_ERROR,
            "A defect of this program; the terminal says more. Nothing was changed.",
        ),
    }
}

fn words(status: StatusCode, words: &'static str) -> Response<Body> {
    (status, words).into_response()
}

/// How the search goes, as events: `far` with how far it is, and `done` once it has ended.
async fn events(State(desk): State<Arc<Desk>>) -> impl IntoResponse {
    let (send, receive) = mpsc::channel(16);
    thread::spawn(move || {
        let Some(job) = desk.job() else {
            let _ = send.blocking_send(Event::default().event("done").data("/plan"));
            return;
        };
        job.watch();
        let mut last = None;
        while job.runs() {
            let shown = job.shown();
            if last.as_ref() != Some(&shown) {
                let data = serde_json::to_string(&shown).unwrap_or_default();
                if send.blocking_send(Event::default().event("far").data(data)).is_err() {
                    break;
                }
                last = Some(shown);
            }
            thread::sleep(LOOK);
            if send.is_closed() {
                break;
            }
        }
        if !job.runs() {
            let _ = send.blocking_send(Event::default().event("done").data(job.page.clone()));
        }
        job.leave();
    });
    Sse::new(Events(receive)).keep_alive(KeepAlive::default())
}

struct Events(mpsc::Receiver<Event>);

impl Stream for Events {
    type Item = Result<Event, Infallible>;

    fn poll_next(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        self.get_mut().0.poll_recv(context).map(|event| event.map(Ok))
    }
}
