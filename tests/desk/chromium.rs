//! A browser for tests: Chromium without a window, driven over its debugging pipe. No package is needed
//! for it but the one for JSON, and no browser is left behind, even by a test that is killed.

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::{Arc, Condvar, Mutex};
use std::thread::{self, sleep};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

/// So long an answer may take; machines that build at the same time are slow.
const PATIENCE: Duration = Duration::from_secs(60);

/// What came back: answers by number, and everything that happened.
#[derive(Default)]
struct Heard {
    answers: BTreeMap<u64, Value>,
    events: Vec<Value>,
    gone: bool,
}

/// A browser.
pub struct Browser {
    child: Child,
    to: Mutex<(ChildStdin, u64)>,
    heard: Arc<(Mutex<Heard>, Condvar)>,
    profile: PathBuf,
}

/// A tab of it.
pub struct Tab<'b> {
    browser: &'b Browser,
    session: String,
    target: String,
}

/// The browser's program; none where there is none and none is required.
pub fn program() -> Option<PathBuf> {
    let named = std::env::var_os("SPANYARD_BROWSER").map(PathBuf::from);
    let path = std::env::var_os("PATH").unwrap_or_default();
    let found = named.or_else(|| {
        let folders = std::env::split_paths(&path);
        let names = ["chromium", "chromium-browser"];
        folders.flat_map(|folder| names.map(|name| folder.join(name))).find(|path| path.is_file())
    });
    if found.is_none() {
        let required = std::env::var("SPANYARD_REQUIRE_BROWSER").is_ok_and(|v| v == "1");
        assert!(!required, "SPANYARD_REQUIRE_BROWSER=1, and no chromium on the PATH");
        eprintln!("NOT RUN: no chromium on the PATH; install it or set SPANYARD_BROWSER");
    }
    found
}

impl Browser {
    /// Starts one, with its profile in this folder.
    pub fn start(program: &Path, folder: &Path) -> Self {
        let profile = folder.join("profile");
        // A shell gives it the two pipes where it looks for them, as files 3 and 4.
        let line = format!(
            "exec '{}' --remote-debugging-pipe --headless=new --no-sandbox --disable-gpu \
             --disable-dev-shm-usage --no-first-run --disable-background-networking \
             --disable-component-update --disable-sync --disable-default-apps --disable-extensions \
             --hide-scrollbars --host-resolver-rules='MAP * ~NOTFOUND, EXCLUDE 127.0.0.1' \
             --user-data-dir='{}' about:blank 3<&0 4>&1 0</dev/null 1>/dev/null",
            program.display(),
            profile.display()
        );
        let mut child = Command::new("sh")
            .args(["-c", &line])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let from = child.stdout.take().unwrap();
        let to = Mutex::new((child.stdin.take().unwrap(), 0));
        let heard = Arc::new((Mutex::new(Heard::default()), Condvar::new()));
        let told = Arc::clone(&heard);
        thread::spawn(move || {
            let mut from = BufReader::new(from);
            let mut bytes = Vec::new();
            while from.read_until(0, &mut bytes).is_ok_and(|n| n > 0) {
                bytes.pop();
                let message: Value = serde_json::from_slice(&bytes).unwrap_or_default();
                bytes.clear();
                let mut heard = told.0.lock().unwrap();
                match message["id"].as_u64() {
                    Some(id) => {
                        heard.answers.insert(id, message);
                    }
                    None => heard.events.push(message),
                }
                told.1.notify_all();
            }
            told.0.lock().unwrap().gone = true;
            told.1.notify_all();
        });
        Self { child, to, heard, profile }
    }

    /// Asks for something and waits for the answer.
    pub fn call(&self, session: &str, method: &str, params: Value) -> Value {
        self.asked(session, method, params).unwrap_or_else(|error| panic!("{method}: {error}"))
    }

    /// The same; what the browser says against it is an error.
    fn asked(&self, session: &str, method: &str, params: Value) -> Result<Value, Value> {
        let id = {
            let mut to = self.to.lock().unwrap();
            to.1 += 1;
            let mut message = json!({ "id": to.1, "method": method, "params": params });
            if !session.is_empty() {
                message["sessionId"] = json!(session);
            }
            let mut bytes = serde_json::to_vec(&message).unwrap();
            bytes.push(0);
            to.0.write_all(&bytes).unwrap();
            to.1
        };
        let (heard, changed) = &*self.heard;
        let wait = |heard: &mut Heard| !heard.answers.contains_key(&id) && !heard.gone;
        let waited = changed.wait_timeout_while(heard.lock().unwrap(), PATIENCE, wait);
        let mut answer = waited.unwrap().0.answers.remove(&id);
        let answer = answer.as_mut().unwrap_or_else(|| panic!("no answer to {method}"));
        match answer.get("error") {
            Some(error) => Err(error.clone()),
            None => Ok(answer["result"].take()),
        }
    }

    /// A new tab.
    pub fn tab(&self) -> Tab<'_> {
        let target = self.call("", "Target.createTarget", json!({ "url": "about:blank" }));
        let target = target["targetId"].as_str().unwrap().to_owned();
        let attached = json!({ "targetId": target, "flatten": true });
        let session = self.call("", "Target.attachToTarget", attached);
        let session = session["sessionId"].as_str().unwrap().to_owned();
        let tab = Tab { browser: self, session, target };
        for room in ["Page", "Runtime", "Log", "Network", "DOM"] {
            tab.call(&format!("{room}.enable"), json!({}));
        }
        tab
    }

    /// Everything of this kind that happened in any tab.
    pub fn events(&self, method: &str) -> Vec<Value> {
        let heard = self.heard.0.lock().unwrap();
        heard.events.iter().filter(|event| event["method"] == method).cloned().collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if let Ok(mut to) = self.to.lock() {
            let _ = to.0.write_all(b"{\"id\":0,\"method\":\"Browser.close\"}\0");
        }
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_secs(5) {
            if self.child.try_wait().is_ok_and(|ended| ended.is_some()) {
                break;
            }
            sleep(Duration::from_millis(20));
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
        let _ = fs::remove_dir_all(&self.profile);
    }
}

impl Tab<'_> {
    /// Asks the tab.
    pub fn call(&self, method: &str, params: Value) -> Value {
        self.browser.call(&self.session, method, params)
    }

    /// The value of an expression, awaited where it is a promise.
    pub fn value(&self, script: &str) -> Value {
        let params = json!({ "expression": script, "returnByValue": true, "awaitPromise": true });
        let mut answer = self.call("Runtime.evaluate", params);
        let failed = answer.get("exceptionDetails");
        assert!(failed.is_none(), "{script}: {}", answer["exceptionDetails"]);
        answer["result"]["value"].take()
    }

    /// The same as text.
    pub fn words(&self, script: &str) -> String {
        self.value(script).as_str().unwrap_or_default().to_owned()
    }

    /// Waits till an expression holds on a loaded page. A page that goes away meanwhile is no error.
    pub fn until(&self, condition: &str) {
        let begun = Instant::now();
        let script = format!("document.readyState == 'complete' && Boolean({condition})");
        let params = json!({ "expression": script, "returnByValue": true });
        loop {
            match self.browser.asked(&self.session, "Runtime.evaluate", params.clone()) {
                Ok(answer) if answer["result"]["value"] == true => return,
                Ok(_) => {}
                // The page went away while the browser was looking.
                Err(error) if error["message"].to_string().contains("navigated or closed") => {}
                Err(error) => panic!("{condition}: {error}"),
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "never so: {condition}, at {}:\n{}",
                self.words("location.href"),
                self.words("document.body.innerText")
            );
            sleep(Duration::from_millis(30));
        }
    }

    /// Goes to an address and waits for its page.
    pub fn go(&self, address: &str) {
        self.value("void (window.old = true)");
        self.call("Page.navigate", json!({ "url": address }));
        self.until("!window.old");
    }

    /// Sets the size of the window.
    pub fn size(&self, width: u32, height: u32, mobile: bool) {
        let scale = if mobile { 2 } else { 1 };
        self.call(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": scale, "mobile": mobile }),
        );
    }

    /// Clicks the middle of an element with the mouse, and waits for the page that follows, if one does.
    pub fn click(&self, element: &str) {
        let at = self.value(&format!(
            "(() => {{ const e = {element}; e.scrollIntoView({{block: 'center'}}); \
             const r = e.getClientRects()[0]; return [r.x + r.width / 2, r.y + r.height / 2]; }})()"
        ));
        self.press(at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
    }

    fn press(&self, x: f64, y: f64) {
        for kind in ["mousePressed", "mouseReleased"] {
            self.call(
                "Input.dispatchMouseEvent",
                json!({ "type": kind, "x": x, "y": y, "button": "left", "clickCount": 1 }),
            );
        }
    }

    /// Clicks what leads to another page, and waits for that.
    pub fn follow(&self, element: &str) {
        self.value("void (window.old = true)");
        self.click(element);
        self.until("!window.old");
    }

    /// Empties a field and types into it.
    pub fn fill(&self, selector: &str, words: &str) {
        self.value(&format!("void document.querySelector({selector:?}).select()"));
        self.call("Input.insertText", json!({ "text": words }));
    }

    /// Chooses from a list.
    pub fn choose(&self, selector: &str, value: &str) {
        self.value(&format!(
            "(() => {{ const e = document.querySelector({selector:?}); e.value = {value:?}; \
             if (e.value !== {value:?}) throw Error('no such choice'); e.dispatchEvent(new Event('change')); }})()"
        ));
    }

    /// Presses a key.
    pub fn key(&self, key: &str) {
        let (code, text) = match key {
            "Enter" => (13, "\r"),
            "Tab" => (9, ""),
            "Space" => (32, " "),
            other => panic!("{other}"),
        };
        let name = if key == "Space" { " " } else { key };
        let kind = if text.is_empty() { "rawKeyDown" } else { "keyDown" };
        let down = json!({ "type": kind, "key": name, "code": key, "windowsVirtualKeyCode": code, "text": text });
        self.call("Input.dispatchKeyEvent", down);
        let up =
            json!({ "type": "keyUp", "key": name, "code": key, "windowsVirtualKeyCode": code });
        self.call("Input.dispatchKeyEvent", up);
    }

    /// Drops files onto an element, as from a folder's window.
    pub fn drop(&self, selector: &str, files: &[&Path]) {
        let at = self.value(&format!(
            "(() => {{ const r = document.querySelector({selector:?}).getBoundingClientRect(); \
             return [r.x + r.width / 2, r.y + r.height / 2]; }})()"
        ));
        let data = json!({ "items": [], "files": files, "dragOperationsMask": 1 });
        for kind in ["dragEnter", "dragOver", "drop"] {
            let event = json!({ "type": kind, "x": at[0], "y": at[1], "data": data });
            self.call("Input.dispatchDragEvent", event);
        }
    }

    /// The page as a picture.
    pub fn picture(&self, path: &Path) {
        let answer = self.call("Page.captureScreenshot", json!({ "format": "png" }));
        fs::write(path, base64(answer["data"].as_str().unwrap())).unwrap();
    }

    /// Closes the tab.
    pub fn close(self) {
        self.browser.call("", "Target.closeTarget", json!({ "targetId": self.target }));
    }
}

/// The bytes behind a text in base 64.
fn base64(text: &str) -> Vec<u8> {
    let digit = |c: u8| match c {
        b'A'..=b'Z' => Some(c - b'A'),
        b'a'..=b'z' => Some(c - b'a' + 26),
        b'0'..=b'9' => Some(c - b'0' + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    };
    let (mut bytes, mut bits, mut held) = (Vec::new(), 0_u32, 0);
    for value in text.bytes().filter_map(digit) {
        bits = (bits << 6) | u32::from(value);
        held += 6;
        if held >= 8 {
            held -= 8;
            bytes.push((bits >> held) as u8);
        }
    }
    bytes
}
