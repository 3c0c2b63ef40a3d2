//! What the desk takes: time, memory, many visitors at once, and a stop in the middle of a save.
//!
//! `cargo test --release --test desk measured -- --ignored --nocapture` measures a program of 300 crossings
//! and 5,000 cars; the numbers stand in docs/desk.md.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use crate::{Case, program, rng};

/// Sends a request and gives status and body.
fn ask(host: &str, key: &str, request: &str, body: &str) -> (String, usize) {
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(120))).unwrap();
    let length = body.len();
    let head = format!(
        "{request} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {key}\r\n\
         Connection: close\r\nContent-Length: {length}\r\n\r\n{body}"
    );
    stream.write_all(head.as_bytes()).unwrap();
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let text = String::from_utf8_lossy(&answer);
    (text.split(' ').nth(1).unwrap_or_default().to_owned(), answer.len())
}

/// The key that the address gives.
fn key(case: &Case) -> (String, String) {
    let host = case.origin.trim_start_matches("http://").to_owned();
    let path = case.address.trim_start_matches(&case.origin);
    let mut stream = TcpStream::connect(&host).unwrap();
    let request = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    let cookie = answer.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
    (host, cookie.split(';').next().unwrap().to_owned())
}

/// Megabytes that a process holds, and held at most.
fn memory(id: u32) -> (u64, u64) {
    let text = fs::read_to_string(format!("/proc/{id}/status")).unwrap_or_default();
    let of = |name: &str| {
        let line = text.lines().find(|line| line.starts_with(name)).unwrap_or_default();
        line.split_whitespace().nth(1).and_then(|kb| kb.parse::<u64>().ok()).unwrap_or(0) / 1024
    };
    (of("VmRSS:"), of("VmHWM:"))
}

#[test]
fn a_thousand_requests_of_twenty_clients_are_answered() {
    let case = Case::demo("many");
    let (host, key) = key(&case);
    let begun = Instant::now();
    let paths = ["/", "/cars", "/plan", "/decide", "/lists"];
    thread::scope(|scope| {
        for client in 0..20 {
            let (host, key) = (&host, &key);
            scope.spawn(move || {
                for number in 0..50 {
                    let path = paths[(client + number) % paths.len()];
                    let (status, _) = ask(host, key, &format!("GET {path}"), "");
                    assert_eq!(status, "200", "{path}");
                }
            });
        }
    });
    println!("1,000 requests of 20 clients: {:?}", begun.elapsed());
}

#[test]
fn a_desk_that_is_killed_while_it_saves_leaves_the_old_file_or_the_new_one() {
    let rounds = std::env::var("SPANYARD_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(10);
    let mut rng = rng::Rng::new(7);
    let mut seen_new = 0;
    for round in 0..rounds {
        let mut case = Case::demo("killed");
        let (host, key) = key(&case);
        let old = case.file("decisions.toml");
        assert_eq!(old, "");
        let wait = Duration::from_micros(rng.int(500, 400_000) as u64);
        let id = case.id().to_string();
        thread::scope(|scope| {
            scope.spawn(|| {
                thread::sleep(wait);
                let _ = std::process::Command::new("kill").args(["-9", &id]).status();
            });
            let mut stream = TcpStream::connect(&host).unwrap();
            let body = "kind=dropped&crossing=B-19&note=road+closed";
            let head = format!(
                "POST /decide HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {key}\r\n\
                 Content-Length: {}\r\n\r\n{body}",
                body.len()
            );
            let _ = stream.write_all(head.as_bytes());
            let _ = stream.read_to_end(&mut Vec::new());
        });
        case.ended();
        let now = case.file("decisions.toml");
        let whole = now.ends_with("[[dropped]]\ncrossing = \"B-19\"\nnote = \"road closed\"\n");
        assert!(now.is_empty() || whole, "round {round}: {now:?}");
        seen_new += usize::from(whole);
    }
    println!("{rounds} kills, {seen_new} after the save");
}

#[test]
#[ignore = "measures a large program; see the head of this file"]
fn measured_on_300_crossings_and_5000_cars() {
    let made = program::program(300, 5_000, 11);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("desk-large");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("county/lists")).unwrap();
    let toml = "lists = \"lists\"\ncrossings = \"crossings.csv\"\nyards = \"yards.csv\"\nlots = \"lots.csv\"\ndecisions = \"decisions.toml\"\n";
    for (name, text) in [
        ("spanyard.toml", toml),
        ("lists/all.csv", &made.inventory),
        ("yards.csv", &made.yards),
        ("lots.csv", &made.lots),
        ("crossings.csv", &made.crossings),
    ] {
        fs::write(folder.join("county").join(name), text).unwrap();
    }
    let begun = Instant::now();
    let case = Case::on(folder, &["county"]);
    println!("open: {:?}", begun.elapsed());
    let (host, key) = key(&case);
    let (status, size) = ask(&host, &key, "GET /", "");
    println!("first page, read and all: {:?}, {status}, {} kB", begun.elapsed(), size / 1024);
    let first = Instant::now();
    ask(&host, &key, "GET /cars", "");
    println!("first page of cars, surveyed and all: {:?}", first.elapsed());
    let (status, _) = ask(&host, &key, "POST /plan", "seconds=60");
    assert_eq!(status, "303");
    thread::sleep(Duration::from_secs(5));
    let pages = [
        "/",
        "/plan",
        "/lists",
        "/lists/back?list=lists/all.csv",
        "/crossings",
        "/cars",
        "/cars?fit=refused&page=7",
        "/cars?crossing=",
        "/car?car=C17",
        "/decide",
        "/what-if",
        "/ask",
        "/papers",
        "/earlier",
    ];
    let timed = |when: &str| {
        for path in pages {
            let begun = Instant::now();
            let (status, size) = ask(&host, &key, &format!("GET {path}"), "");
            println!("{when} {path}: {status}, {:?}, {} kB", begun.elapsed(), size / 1024);
        }
    };
    timed("searching");
    thread::sleep(Duration::from_secs(70));
    let (now, most) = memory(case.id());
    println!("memory: {now} MB, at most {most} MB");
    timed("planned");
}
