//! Who is let in: nobody without the address, no page of another origin, no other name, no slow or
//! endless request.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use crate::Case;

/// Sends a request as it is, and gives the whole answer.
fn send(case: &Case, request: &str) -> String {
    let mut stream = TcpStream::connect(case.origin.trim_start_matches("http://")).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    // Who is refused early may be closed before all is sent.
    let _ = stream.write_all(request.as_bytes());
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    String::from_utf8_lossy(&answer).into_owned()
}

fn status(answer: &str) -> &str {
    answer.split(' ').nth(1).unwrap_or_default()
}

#[test]
fn a_stranger_a_forged_host_and_another_origin_get_nothing() {
    let case = Case::demo("guarded");
    let host = case.origin.trim_start_matches("http://").to_owned();
    let port = host.rsplit(':').next().unwrap().to_owned();
    let get = |path: &str, more: &str| {
        send(&case, &format!("GET {path} HTTP/1.1\r\nConnection: close\r\n{more}\r\n"))
    };
    let right = format!("Host: {host}\r\n");
    // Without the key there is no page, and no word of the folder.
    let refused = get("/", &right);
    assert_eq!(status(&refused), "401");
    assert!(!refused.contains("county"), "{refused}");
    // The address lets one browser in, once.
    let path = case.address.trim_start_matches(&case.origin).to_owned();
    assert_eq!(status(&get("/enter?token=0000", &right)), "401");
    let entered = get(&path, &right);
    assert_eq!(status(&entered), "303");
    let cookie = entered.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
    assert!(cookie.starts_with(&format!("desk{port}=")) && cookie.contains("HttpOnly"));
    assert_eq!(status(&get(&path, &right)), "401");
    let key = format!("Cookie: other=1; {}\r\n", cookie.split(';').next().unwrap());
    let page = get("/", &format!("{right}{key}"));
    assert_eq!(status(&page), "200");
    for header in [
        "content-security-policy: default-src 'none'; style-src 'self'; script-src 'self';",
        "x-content-type-options: nosniff",
        "referrer-policy: same-origin",
        "cache-control: no-store",
    ] {
        assert!(page.contains(header), "{header}");
    }
    assert!(!page.to_lowercase().contains("access-control"));
    assert!(!page.contains(" style=") && !page.contains("<style"), "no inline style");
    // A name that somebody points at this machine, and two names.
    for hosts in [
        "Host: desk.example\r\n".to_owned(),
        format!("Host: desk.example:{port}\r\n"),
        format!("{right}Host: desk.example\r\n"),
        "Host: 127.0.0.1\r\n".to_owned(),
    ] {
        assert_eq!(status(&get("/", &format!("{hosts}{key}"))), "421", "{hosts}");
    }
    // A change from elsewhere, or from nobody knows where.
    let post = |origin: &str| {
        let head = format!("POST /plan HTTP/1.1\r\nConnection: close\r\n{right}{key}{origin}");
        send(&case, &format!("{head}Content-Length: 0\r\n\r\n"))
    };
    for origin in ["", "Origin: null\r\n", "Origin: http://desk.example\r\n"] {
        assert_eq!(status(&post(origin)), "403", "{origin}");
    }
    let own = format!("Origin: {}\r\n", case.origin);
    assert_eq!(status(&post(&format!("{own}Origin: http://desk.example\r\n"))), "403");
    assert_eq!(status(&post(&own)), "303");
    // A file is looked up by its name, and never opened as a path.
    for path in ["/source?file=/etc/passwd", "/source?file=..%2F..%2FCargo.toml", "/..%2f..%2fx"] {
        let answer = get(path, &format!("{right}{key}"));
        assert_eq!(status(&answer), "404", "{path}");
    }
    // Another way to ask, and too much of it.
    let put = format!("PUT / HTTP/1.1\r\nConnection: close\r\n{right}{key}{own}\r\n");
    assert_eq!(status(&send(&case, &put)), "405");
    let endless = format!("GET / HTTP/1.1\r\n{right}X: {}\r\n\r\n", "y".repeat(500 << 10));
    let answer = send(&case, &endless);
    assert!(["", "431"].contains(&status(&answer)), "{answer}");
}

#[test]
fn slow_heads_do_not_keep_others_out_and_are_closed() {
    let case = Case::demo("slow");
    let host = case.origin.trim_start_matches("http://");
    let mut slow: Vec<TcpStream> = (0..100).map(|_| TcpStream::connect(host).unwrap()).collect();
    for stream in &mut slow {
        stream.write_all(b"GET / HTTP/1.1\r\nHo").unwrap();
    }
    let request = format!("GET / HTTP/1.1\r\nConnection: close\r\nHost: {host}\r\n\r\n");
    assert_eq!(status(&send(&case, &request)), "401");
    let begun = Instant::now();
    for stream in &mut slow {
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        let mut rest = Vec::new();
        let _ = stream.read_to_end(&mut rest);
    }
    assert!(begun.elapsed() < Duration::from_secs(25), "{:?}", begun.elapsed());
}

#[test]
fn one_folder_has_one_desk_and_no_folder_that_is_none() {
    let case = Case::demo("second");
    let said = crate::spanyard(&case.folder, &["desk", "--no-open", "county"]);
    assert!(said.contains("a desk is open on this folder already"), "{said}");
    let said = crate::spanyard(&case.folder, &["desk", "--no-open", "."]);
    assert!(said.contains("is no purchase folder"), "{said}");
}

#[test]
fn an_interrupt_closes_the_desk_at_once() {
    let mut case = Case::demo("interrupt");
    let begun = Instant::now();
    let id = case.id().to_string();
    assert!(std::process::Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    assert_eq!(case.ended(), Some(0));
    assert!(begun.elapsed() < Duration::from_secs(5));
}
