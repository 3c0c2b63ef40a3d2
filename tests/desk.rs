//! The desk in a real browser: clicks, keys and drops, and what then stands in the folder's files. The
//! browser is driven over a pipe as Unix has it.
#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout
)]

#[path = "desk/chromium.rs"]
mod chromium;
#[path = "desk/decide.rs"]
mod decide;
#[path = "desk/edit.rs"]
mod edit;
#[path = "desk/guarded.rs"]
mod guarded;
#[path = "desk/looks.rs"]
mod looks;
#[path = "desk/measured.rs"]
mod measured;
#[path = "desk/open.rs"]
mod open;
#[path = "desk/papers.rs"]
mod papers;
#[path = "testkit/program.rs"]
mod program;
#[path = "desk/questions.rs"]
mod questions;
#[path = "testkit/rng.rs"]
mod rng;
#[path = "desk/week.rs"]
mod week;

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use crate::chromium::{Browser, Tab};

/// A desk that runs, on a folder of its own.
pub struct Case {
    child: Child,
    /// The address that lets a browser in.
    pub address: String,
    /// `http://127.0.0.1:PORT`.
    pub origin: String,
    /// The folder that it was started in.
    pub folder: PathBuf,
}

impl Case {
    /// Starts one in an empty folder, with these arguments behind `desk --no-open`.
    pub fn start(name: &str, arguments: &[&str]) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("desk-{name}"));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        Self::on(folder, arguments)
    }

    /// Starts one on the demonstration, in the folder `county`.
    pub fn demo(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("desk-{name}"));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        let made = spanyard(&folder, &["demo", "county"]);
        assert!(made.contains("Wrote"), "{made}");
        Self::on(folder, &["county"])
    }

    /// Starts one in this folder.
    pub fn on(folder: PathBuf, arguments: &[&str]) -> Self {
        let mut child = Command::new(binary())
            .args(["desk", "--no-open"])
            .args(arguments)
            .current_dir(&folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let address = lines
            .by_ref()
            .map_while(Result::ok)
            .find(|line| line.contains("http://"))
            .map(|line| line.trim().to_owned());
        let Some(address) = address else {
            let mut said = String::new();
            child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
            panic!("the desk does not open: {said}");
        };
        let origin = address.split("/enter").next().unwrap().to_owned();
        Self { child, address, origin, folder }
    }

    /// A file of the county, as text.
    pub fn file(&self, name: &str) -> String {
        fs::read_to_string(self.folder.join("county").join(name)).unwrap_or_default()
    }

    /// A page of the desk.
    pub fn page(&self, path: &str) -> String {
        format!("{}{path}", self.origin)
    }

    /// The exit code once it has ended by itself.
    pub fn ended(&mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }

    /// The process.
    pub fn id(&self) -> u32 {
        self.child.id()
    }
}

impl Drop for Case {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The program in a terminal: what it prints.
pub fn spanyard(folder: &Path, arguments: &[&str]) -> String {
    let program = Command::new(binary());
    let output = { program }.args(arguments).current_dir(folder).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    text(&output.stdout) + &text(&output.stderr)
}

/// Runs a test in a browser that was let in; at its end nothing may have failed on any page, and no
/// page may have asked anybody but the desk.
pub fn in_browser(case: &Case, test: impl FnOnce(&Tab<'_>, &Browser)) {
    let Some(program) = chromium::program() else { return };
    let browser = Browser::start(&program, &case.folder);
    let tab = browser.tab();
    tab.size(1280, 900, false);
    tab.go(&case.address);
    test(&tab, &browser);
    quiet(case, &browser);
}

fn quiet(case: &Case, browser: &Browser) {
    let thrown = browser.events("Runtime.exceptionThrown");
    assert!(thrown.is_empty(), "{thrown:?}");
    let logged = browser.events("Log.entryAdded");
    // That a page says no with a status of its own is no fault of the page.
    let logged = logged.iter().filter(|entry| {
        let text = entry["params"]["entry"]["text"].as_str().unwrap_or_default();
        !text.contains("the server responded with a status of")
    });
    let logged: Vec<_> = logged.collect();
    assert!(logged.is_empty(), "{logged:?}");
    for request in browser.events("Network.requestWillBeSent") {
        let url = request["params"]["request"]["url"].as_str().unwrap_or_default();
        let ours = url.starts_with(&case.origin) || url.starts_with("about:");
        assert!(ours, "a request to {url}");
    }
}

/// The link or button of these words.
pub fn named(words: &str) -> String {
    format!(
        "[...document.querySelectorAll('a, button, summary')].find(e => e.textContent.trim() === {words:?} && e.checkVisibility())"
    )
}

/// Takes a picture into the folder of pictures, and looks whether anything sticks out of the window.
pub fn picture(tab: &Tab<'_>, name: &str) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("desk-pictures");
    fs::create_dir_all(&folder).unwrap();
    tab.picture(&folder.join(format!("{name}.png")));
}

/// The program; another one than the test's own where it is measured.
fn binary() -> String {
    std::env::var("SPANYARD_PROGRAM").unwrap_or_else(|_| env!("CARGO_BIN_EXE_spanyard").to_owned())
}
