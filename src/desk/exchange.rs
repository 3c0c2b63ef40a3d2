//! What is asked of the desk, and what it answers, apart from the wire.

use axum::body::{Body, Bytes};
use axum::http::header::{
    CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderValue, LOCATION,
};
use axum::http::{HeaderName, Response, StatusCode};

/// A request.
#[derive(Debug, Default)]
pub struct Asked {
    /// Whether something may change.
    pub post: bool,
    /// The path, such as `/plan`.
    pub path: String,
    /// Names and values of the query.
    pub query: Vec<(String, String)>,
    /// Names and values of a form.
    pub form: Vec<(String, String)>,
    /// A file that was dropped: its name and bytes.
    pub file: Option<(String, Bytes)>,
}

impl Asked {
    /// A value by its name, of the form before the query; without blanks around it, and none where
    /// nothing is left.
    pub fn get(&self, name: &str) -> Option<&str> {
        let mut all = self.form.iter().chain(&self.query);
        let value = all.find(|(key, _)| key == name).map(|(_, value)| value.trim())?;
        (!value.is_empty()).then_some(value)
    }

    /// The same as a text, empty for none.
    pub fn text(&self, name: &str) -> String {
        self.get(name).unwrap_or_default().to_owned()
    }

    /// A whole number of the query.
    pub fn number(&self, name: &str) -> Option<usize> {
        self.get(name)?.parse().ok()
    }
}

/// What the desk answers.
#[derive(Debug)]
pub enum Answer {
    /// A page.
    Page(String),
    /// A page that says no, or that something is not there.
    Refused(StatusCode, String),
    /// Words for the script.
    Words(StatusCode, String),
    /// Done: look there.
    See(String),
    /// A file of ours, such as the style sheet.
    Asset(&'static str, &'static [u8]),
    /// A paper: its type, its name, its bytes, and whether it is kept instead of shown.
    Paper(&'static str, String, Vec<u8>, bool),
}

impl Answer {
    /// As it goes over the wire.
    pub fn into_response(self) -> Response<Body> {
        const HTML: &str = "text/html; charset=utf-8";
        let mut headers: Vec<(HeaderName, String)> = Vec::new();
        let (status, body) = match self {
            Self::Page(page) => {
                headers.push((CONTENT_TYPE, HTML.to_owned()));
                (StatusCode::OK, Body::from(page))
            }
            Self::Refused(status, page) => {
                headers.push((CONTENT_TYPE, HTML.to_owned()));
                (status, Body::from(page))
            }
            Self::Words(status, words) => {
                headers.push((CONTENT_TYPE, "text/plain; charset=utf-8".to_owned()));
                (status, Body::from(words))
            }
            Self::See(place) => {
                headers.push((LOCATION, place));
                (StatusCode::SEE_OTHER, Body::empty())
            }
            Self::Asset(kind, bytes) => {
                headers.push((CONTENT_TYPE, kind.to_owned()));
                (StatusCode::OK, Body::from(bytes))
            }
            Self::Paper(kind, name, bytes, keep) => {
                headers.push((CONTENT_TYPE, kind.to_owned()));
                let how = if keep { "attachment" } else { "inline" };
                let name = encoded(&name);
                headers.push((CONTENT_DISPOSITION, format!("{how}; filename*=UTF-8''{name}")));
                // A paper has its style within, and nothing that runs.
                let policy =
                    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox";
                headers.push((CONTENT_SECURITY_POLICY, policy.to_owned()));
                (StatusCode::OK, Body::from(bytes))
            }
        };
        let mut response = Response::new(body);
        *response.status_mut() = status;
        for (name, value) in headers {
            if let Ok(value) = HeaderValue::from_str(&value) {
                response.headers_mut().insert(name, value);
            }
        }
        response
    }
}

/// Names and values of a query or a form.
pub fn pairs(text: &str) -> Vec<(String, String)> {
    let pairs = text.split('&').filter(|pair| !pair.is_empty());
    pairs
        .map(|pair| {
            let (name, value) = pair.split_once('=').unwrap_or((pair, ""));
            (decoded(name), decoded(value))
        })
        .collect()
}

/// A text out of a query; what is no UTF-8 is replaced by a sign.
pub fn decoded(text: &str) -> String {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'+' => b' ',
            b'%' => {
                let mut ahead = rest.clone();
                let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
                match (digit(ahead.next()), digit(ahead.next())) {
                    (Some(high), Some(low)) => {
                        rest = ahead;
                        (high * 16 + low) as u8
                    }
                    _ => b'%',
                }
            }
            other => other,
        });
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// A text for a query or a path.
pub fn encoded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn queries_come_and_go() {
        let name = |name: &str| name.to_owned();
        assert_eq!(
            pairs("car=UD-08&dealer=A+%26+B&x&y=%zz%C3%A9"),
            [
                (name("car"), name("UD-08")),
                (name("dealer"), name("A & B")),
                (name("x"), name("")),
                (name("y"), name("%zz\u{e9}")),
            ]
        );
        for text in ["A & B", "a/b?c=d", "caf\u{e9} #1", "100 %"] {
            assert_eq!(decoded(&encoded(text)), text);
        }
    }
}
