//! Who may ask: pages of this desk, in the browser that its first address let in. Nobody on another
//! machine reaches the port; a page of another origin, or a name that somebody points at this machine,
//! gets nothing.

use std::sync::Arc;

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, COOKIE, HOST, HeaderName, HeaderValue, LOCATION,
    ORIGIN, REFERRER_POLICY, SET_COOKIE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;

use super::state::Desk;

/// What pages may load: their own style, script and pictures, and nothing inline.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Looks at a request before anybody else, and at its answer after.
pub async fn guard(State(desk): State<Arc<Desk>>, request: Request, next: Next) -> Response {
    let mut response = match look(&desk, &request) {
        None => next.run(request).await,
        Some(refused) => refused,
    };
    let headers = response.headers_mut();
    let own = |name: &'static str| HeaderName::from_static(name);
    headers.entry(CONTENT_SECURITY_POLICY).or_insert(HeaderValue::from_static(POLICY));
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    for (name, value) in [
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        // With `no-referrer` a browser would send `Origin: null` with our own forms.
        (REFERRER_POLICY, "same-origin"),
        (own("cross-origin-resource-policy"), "same-origin"),
        (own("cross-origin-opener-policy"), "same-origin"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Nothing where the request may pass; else the answer.
fn look(desk: &Desk, request: &Request) -> Option<Response> {
    let headers = request.headers();
    let Some(host) = only(headers, HOST).filter(|host| desk.is_named(host)) else {
        return Some(plain(StatusCode::MISDIRECTED_REQUEST, "This desk has another address."));
    };
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        let origin = only(headers, ORIGIN);
        if origin.and_then(|origin| origin.strip_prefix("http://")) != Some(host) {
            let why = "Changes are taken from pages of this desk alone.";
            return Some(plain(StatusCode::FORBIDDEN, why));
        }
    }
    if request.uri().path() == "/enter" {
        return Some(enter(desk, request.uri().query().unwrap_or_default()));
    }
    let cookies = headers.get_all(COOKIE).into_iter().filter_map(|value| value.to_str().ok());
    if cookies.flat_map(|line| line.split(';')).any(|cookie| desk.is_key(cookie.trim())) {
        return None;
    }
    let why = "This browser was not let in. Open the address that the terminal shows; it lets one \
               browser in, once. Start the desk again for a new one.";
    Some(plain(StatusCode::UNAUTHORIZED, why))
}

/// Lets a browser in that has the one-time token.
fn enter(desk: &Desk, query: &str) -> Response {
    let token = query.strip_prefix("token=").unwrap_or_default();
    let Some(key) = desk.let_in(token) else {
        let why = "This address was used already, or is none of this desk. Start the desk again for a \
                   new one.";
        return plain(StatusCode::UNAUTHORIZED, why);
    };
    let mut response = plain(StatusCode::SEE_OTHER, "");
    // Lax, not Strict: the redirect of an address followed from a chat or a mail would lack a strict one.
    let cookie = format!("{key}; Path=/; HttpOnly; SameSite=Lax");
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().insert(SET_COOKIE, cookie);
    }
    response.headers_mut().insert(LOCATION, HeaderValue::from_static("/"));
    response
}

/// The one value of a header; none where it is missing, or stands twice.
fn only(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    let mut values = headers.get_all(name).into_iter();
    let first = values.next()?.to_str().ok();
    first.filter(|_| values.next().is_none())
}

/// A few words without a page around them.
fn plain(status: StatusCode, words: &str) -> Response {
    let mut response = Response::new(Body::from(words.to_owned()));
    *response.status_mut() = status;
    let text = HeaderValue::from_static("text/plain; charset=utf-8");
    response.headers_mut().insert(axum::http::header::CONTENT_TYPE, text);
    response
}
