//! A browser driven through WebDriver (W3C Recommendation of 2018), over plain
//! TCP to a driver of our own that ends with the test.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

/// One browser at a time: several at once starve each other.
static ONE: Mutex<()> = Mutex::new(());

/// Light or dark, as the browser tells the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scheme {
    Light,
    Dark,
}

/// A browser with one window.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    _home: tempfile::TempDir,
    _turn: MutexGuard<'static, ()>,
}

impl Browser {
    /// A browser, or none where this machine has none: the test is then
    /// skipped, and says so.
    pub fn start(test: &str) -> Option<Self> {
        let turn = ONE.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(chromium) = ["chromium", "chromium-browser", "google-chrome"]
            .into_iter()
            .find(|name| is_there(name))
        else {
            eprintln!("{test}: skipped, no Chromium on this machine");
            return None;
        };
        if !is_there("chromedriver") {
            eprintln!("{test}: skipped, no chromedriver on this machine");
            return None;
        }
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let port = port_of(&mut driver);
        let home = tempfile::tempdir().unwrap();
        let mut browser = Browser {
            driver,
            port,
            session: String::new(),
            _home: home,
            _turn: turn,
        };
        let binary = Command::new("which").arg(chromium).output().unwrap();
        let binary = String::from_utf8(binary.stdout).unwrap();
        let folder = browser._home.path().display().to_string();
        let args = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--hide-scrollbars",
            "--force-device-scale-factor=1",
            &format!("--user-data-dir={folder}"),
        ];
        let wanted = json!({"capabilities": {"alwaysMatch": {
            "browserName": "chrome",
            "goog:chromeOptions": {"binary": binary.trim(), "args": args},
            "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"},
        }}});
        let started = browser.ask("POST", "/session", Some(wanted));
        browser.session = started["sessionId"].as_str().unwrap().to_owned();
        Some(browser)
    }

    /// Opens a file. What was asked for before is forgotten.
    pub fn open(&self, path: &Path) {
        self.post("url", json!({ "url": "about:blank" }));
        self.log("performance");
        let url = format!("file://{}", path.display());
        self.post("url", json!({ "url": url }));
    }

    /// Runs a script in the page and gives what it returns.
    pub fn run(&self, script: &str) -> Value {
        self.post("execute/sync", json!({"script": script, "args": []}))
    }

    /// Runs a script that gives a promise, and waits for it.
    pub fn wait_for(&self, script: &str) -> Value {
        self.post("timeouts", json!({"script": 120_000}));
        let script = format!(
            "const done = arguments[arguments.length - 1]; \
             Promise.resolve((() => {{ {script} }})()).then(done, (e) => done('failed: ' + e));"
        );
        self.post("execute/async", json!({"script": script, "args": []}))
    }

    /// The text of the first element that a selector finds, as it is seen.
    pub fn text(&self, selector: &str) -> String {
        let element = self.find(selector);
        let text = self.get(&format!("element/{element}/text"));
        text.as_str().unwrap().to_owned()
    }

    /// Clicks on it as a hand does: what is covered or not shown fails.
    pub fn click(&self, selector: &str) {
        let element = self.find(selector);
        self.post(&format!("element/{element}/click"), json!({}));
    }

    /// Opens all cars of the page.
    pub fn open_all(&self) {
        self.run("document.querySelector('.wish').open = true");
        self.click("button[name=open]");
    }

    /// Types into it.
    pub fn keys(&self, selector: &str, keys: &str) {
        let element = self.find(selector);
        self.post(&format!("element/{element}/value"), json!({ "text": keys }));
    }

    /// Empties a field and types into it.
    pub fn write(&self, selector: &str, text: &str) {
        let element = self.find(selector);
        self.post(&format!("element/{element}/clear"), json!({}));
        self.keys(selector, text);
    }

    /// What the page is looked at through: width, height, light or dark, paper
    /// or screen.
    pub fn look(&self, width: u32, height: u32, scheme: Scheme) {
        let size = json!({"width": width, "height": height, "deviceScaleFactor": 1,
            "mobile": width < 600});
        self.devtools("Emulation.setDeviceMetricsOverride", size);
        let scheme = if scheme == Scheme::Dark {
            "dark"
        } else {
            "light"
        };
        let features = json!([{"name": "prefers-color-scheme", "value": scheme}]);
        self.devtools(
            "Emulation.setEmulatedMedia",
            json!({ "features": features }),
        );
    }

    /// A picture of what is seen; PNG, or WebP where a quality is given.
    pub fn picture(&self, webp: Option<u8>) -> Vec<u8> {
        let form = match webp {
            Some(quality) => json!({"format": "webp", "quality": quality}),
            None => json!({"format": "png"}),
        };
        let answer = self.devtools("Page.captureScreenshot", form);
        STANDARD.decode(answer["data"].as_str().unwrap()).unwrap()
    }

    /// The page as PDF on A4.
    pub fn print(&self) -> Vec<u8> {
        self.print_on(21.0, 29.7)
    }

    /// The page as PDF on paper of this size in centimetres, with the margins
    /// that it asks for.
    pub fn print_on(&self, width: f64, height: f64) -> Vec<u8> {
        let inch = |cm: f64| cm / 2.54;
        let paper = json!({"paperWidth": inch(width), "paperHeight": inch(height),
            "printBackground": false});
        let pdf = self.devtools("Page.printToPDF", paper);
        STANDARD.decode(pdf["data"].as_str().unwrap()).unwrap()
    }

    /// Complaints of the console since they were last asked for.
    pub fn complaints(&self) -> Vec<String> {
        self.log("browser")
            .into_iter()
            .map(|entry| entry["message"].as_str().unwrap().to_owned())
            .collect()
    }

    /// Addresses that were asked for since they were last asked about.
    pub fn requests(&self) -> Vec<String> {
        self.log("performance")
            .into_iter()
            .filter_map(|entry| serde_json::from_str::<Value>(entry["message"].as_str()?).ok())
            .filter(|entry| entry["message"]["method"] == "Network.requestWillBeSent")
            .filter_map(|entry| {
                let url = &entry["message"]["params"]["request"]["url"];
                Some(url.as_str()?.to_owned())
            })
            .collect()
    }

    fn log(&self, kind: &str) -> Vec<Value> {
        let log = self.post("se/log", json!({ "type": kind }));
        log.as_array().unwrap().clone()
    }

    fn devtools(&self, command: &str, params: Value) -> Value {
        let asked = json!({"cmd": command, "params": params});
        self.post("goog/cdp/execute", asked)
    }

    fn find(&self, selector: &str) -> String {
        let by = json!({"using": "css selector", "value": selector});
        let found = self.post("element", by);
        let id = found.as_object().unwrap().values().next().unwrap();
        id.as_str().unwrap().to_owned()
    }

    fn get(&self, what: &str) -> Value {
        self.ask("GET", &format!("/session/{}/{what}", self.session), None)
    }

    fn post(&self, what: &str, body: Value) -> Value {
        let path = format!("/session/{}/{what}", self.session);
        self.ask("POST", &path, Some(body))
    }

    fn ask(&self, method: &str, path: &str, body: Option<Value>) -> Value {
        let body = body.map_or_else(String::new, |b| b.to_string());
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\
             Content-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.port,
            body.len()
        )
        .unwrap();
        let mut answer = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            answer.read_line(&mut line).unwrap();
            let line = line.trim_end().to_ascii_lowercase();
            if line.is_empty() {
                break;
            }
            if let Some(value) = line.strip_prefix("content-length:") {
                length = value.trim().parse().unwrap();
            }
        }
        let mut text = vec![0; length];
        answer.read_exact(&mut text).unwrap();
        let mut answer: Value = serde_json::from_slice(&text).unwrap();
        let value = answer["value"].take();
        assert!(value["error"].is_null(), "{method} {path}: {value}");
        value
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // The browser ends with its session; a driver that is killed first would
        // leave it behind.
        let path = format!("/session/{}", self.session);
        let end = || self.ask("DELETE", &path, None);
        let _ = std::panic::catch_unwind(std::panic::AssertUnwindSafe(end));
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

fn is_there(program: &str) -> bool {
    let out = Command::new("which").arg(program).output();
    out.is_ok_and(|out| out.status.success())
}

/// The driver says on its standard output which port it took.
fn port_of(driver: &mut Child) -> u16 {
    let out = driver.stdout.take().unwrap();
    let mut lines = BufReader::new(out).lines();
    let port = lines.by_ref().find_map(|line| {
        let line = line.unwrap();
        let (_, port) = line.split_once("started successfully on port ")?;
        port.trim_end_matches('.').parse().ok()
    });
    port.expect("the driver names its port")
}
