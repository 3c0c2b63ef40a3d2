//! What the desk takes: time, memory, many visitors at once, and a stop in the middle of a save.
//!
//! `cargo test --release --test desk measured -- --ignored --nocapture --test-threads=1` measures programs of
//! 300 crossings and 5,000 cars, and of 40 and 400; the numbers stand in docs/desk.md.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use crate::{Case, program, rng};

/// Sends a request and gives status and size.
fn ask(host: &str, key: &str, request: &str, body: &str) -> (String, usize) {
    let text = whole(host, key, request, body);
    (text.split(' ').nth(1).unwrap_or_default().to_owned(), text.len())
}

/// Sends a request and gives the whole answer.
fn whole(host: &str, key: &str, request: &str, body: &str) -> String {
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
    String::from_utf8_lossy(&answer).into_owned()
}

/// Asks again and again till the answer is as wanted, and gives the time that it took.
fn until(host: &str, key: &str, path: &str, wanted: impl Fn(&str) -> bool) -> Duration {
    let begun = Instant::now();
    while !wanted(&whole(host, key, &format!("GET {path}"), "")) {
        assert!(begun.elapsed() < Duration::from_secs(600), "{path} is never so");
        thread::sleep(Duration::from_millis(20));
    }
    begun.elapsed()
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

/// A folder with a seeded program of so many crossings and cars.
fn large(name: &str, crossings: usize, cars: usize) -> PathBuf {
    let made = program::program(crossings, cars, 11);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
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
    folder
}

#[test]
#[ignore = "measures a large program; see the head of this file"]
fn measured_after_a_decision_on_40_crossings_and_400_cars() {
    let case = Case::on(large("desk-40x400", 40, 400), &["county"]);
    let (host, key) = key(&case);
    let done = |page: &str| !page.contains("id=\"search\"") && page.contains(" crossings");
    ask(&host, &key, "POST /plan", "seconds=30");
    println!("first plan, at most 30 s: {:?}", until(&host, &key, "/plan", done));
    let (status, _) = ask(&host, &key, "POST /plan/agree", "");
    assert_eq!(status, "303");
    for number in 0..3 {
        let list = case.file("crossings.csv");
        let id = list.lines().nth(3 + number * 2).and_then(|line| line.split(',').next());
        let id = id.unwrap().to_owned();
        let begun = Instant::now();
        let body = format!("kind=dropped&crossing={id}&again=yes");
        let (status, _) = ask(&host, &key, "POST /decide", &body);
        assert_eq!(status, "303", "{id}");
        let seen = |page: &str| page.contains("id=\"interim\"") || done(page);
        until(&host, &key, "/plan", seen);
        println!("{id} dropped: a valid plan after {:?} (aim 1 s)", begun.elapsed());
        until(&host, &key, "/plan", done);
        println!("{id} dropped: the last word after {:?}", begun.elapsed());
    }
}

#[test]
#[ignore = "measures a large program; see the head of this file"]
fn measured_on_300_crossings_and_5000_cars() {
    let folder = large("desk-large", 300, 5_000);
    let begun = Instant::now();
    let case = Case::on(folder, &["county"]);
    println!("open: {:?}", begun.elapsed());
    let (host, key) = key(&case);
    let (status, size) = ask(&host, &key, "GET /", "");
    println!("first page, read and all: {:?}, {status}, {} kB", begun.elapsed(), size / 1024);
    let first = Instant::now();
    ask(&host, &key, "GET /cars", "");
    println!("first page of cars, before the survey: {:?}", first.elapsed());
    let known = |page: &str| !page.contains("data-again");
    println!("page of cars with the survey: {:?}", until(&host, &key, "/cars", known));
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
