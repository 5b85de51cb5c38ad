//! A browser by way of its driver: the few words of the WebDriver protocol that the tests need, over plain HTTP on this machine.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// What the browser is reported: to look after itself, and to ask nobody for anything.
const FLAGS: [&str; 11] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-default-apps",
    "--window-size=1280,900",
];

/// The key that opens and closes.
pub const ENTER: &str = "\u{e007}";
/// The key that goes to the next thing.
pub const TAB: &str = "\u{e004}";

/// How long an answer may take on a machine with other work: a fault is what is wrong, never what is slow.
const PATIENCE: Duration = Duration::from_secs(300);
/// How many drivers are started before the lack of one that listens is a fault.
const ATTEMPTS: usize = 10;
/// Set to `must`, a browser that is not there is a fault.
const WISH: &str = "SANDARAC_BROWSER";

/// Says plainly that something was left out, also where the test runner keeps what a test prints; or refuses to.
pub fn left_out(what: &str) {
    let must = std::env::var(WISH).is_ok_and(|wish| wish == "must");
    assert!(!must, "{WISH}=must, and {what}");
    let mut err = std::io::stderr();
    let _ = writeln!(
        err,
        "LEFT OUT: {what}; set {WISH}=must to make that a fault"
    );
}

fn installed(program: &str) -> bool {
    let mut command = Command::new(program);
    let quiet = command
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    quiet.status().is_ok_and(|status| status.success())
}

/// The port that a driver says it has taken, or else all that it said.
fn port(said: &mut impl BufRead) -> Result<u16, String> {
    let mut heard = String::new();
    loop {
        let begin = heard.len();
        if said.read_line(&mut heard).unwrap() == 0 {
            return Err(heard);
        }
        let port = heard[begin..].split("successfully on port ").nth(1);
        if let Some(port) = port.and_then(|p| p.trim().trim_end_matches('.').parse().ok()) {
            return Ok(port);
        }
    }
}

/// A browser that was started for one test; it goes when this goes.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    /// Kept open: a driver that cannot speak any more would end.
    _said: BufReader<ChildStdout>,
    profile: TempDir,
}

impl Browser {
    /// Starts one; `None`, and said so, where there is none.
    pub fn start() -> Option<Browser> {
        for program in ["chromium", "chromedriver"] {
            if !installed(program) {
                left_out(&format!("{program} is not installed"));
                return None;
            }
        }
        let (driver, said, port) = Browser::drive();
        let mut browser = Browser {
            driver,
            port,
            session: String::new(),
            _said: said,
            profile: TempDir::new().unwrap(),
        };
        let mut flags: Vec<String> = FLAGS.map(str::to_string).to_vec();
        flags.push(format!(
            "--user-data-dir={}",
            browser.profile.path().display()
        ));
        let wanted = json!({"capabilities": {"alwaysMatch": {
            "goog:chromeOptions": {"args": flags},
            "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"},
            "timeouts": {"script": PATIENCE.as_millis(), "pageLoad": PATIENCE.as_millis()},
        }}});
        let made = browser.call("POST", "/session", Some(&wanted));
        browser.session = format!("/session/{}", made["sessionId"].as_str().unwrap());
        Some(browser)
    }

    /// A driver that listens, and where. It takes any free port of one kind of address and ends when the other kind has that
    /// port taken already, as another test's driver may: then the next one tries.
    fn drive() -> (Child, BufReader<ChildStdout>, u16) {
        let mut heard = String::new();
        for _ in 0..ATTEMPTS {
            let mut driver = Command::new("chromedriver")
                .arg("--port=0")
                .stdout(Stdio::piped())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            let mut said = BufReader::new(driver.stdout.take().unwrap());
            match port(&mut said) {
                Ok(port) => return (driver, said, port),
                Err(lines) => heard.push_str(&lines),
            }
            let _ = driver.kill();
            let _ = driver.wait();
        }
        panic!("chromedriver named no port in {ATTEMPTS} attempts, and said:\n{heard}")
    }

    /// One request to the driver, and the value of its answer.
    #[track_caller]
    fn ask(&self, method: &str, path: &str, body: Option<&Value>) -> Value {
        let body = body.map(Value::to_string).unwrap_or_default();
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\
             Connection: close\r\n\r\n",
            self.port,
            body.len()
        );
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body.as_bytes()).unwrap();
        let mut reader = BufReader::new(stream);
        let (mut line, mut length) = (String::new(), 0);
        loop {
            line.clear();
            reader.read_line(&mut line).unwrap();
            let lower = line.to_ascii_lowercase();
            if let Some(count) = lower.strip_prefix("content-length:") {
                length = count.trim().parse().unwrap();
            }
            if line.trim().is_empty() {
                break;
            }
        }
        let mut answer = vec![0; length];
        reader.read_exact(&mut answer).unwrap();
        let answer: Value = serde_json::from_slice(&answer).unwrap();
        answer["value"].clone()
    }

    /// As `ask`, where an error is a fault of the test.
    #[track_caller]
    fn call(&self, method: &str, path: &str, body: Option<&Value>) -> Value {
        let value = self.ask(method, path, body);
        assert!(value["error"].is_null(), "{method} {path}: {value}");
        value
    }

    #[track_caller]
    fn post(&self, path: &str, body: &Value) -> Value {
        self.call("POST", &format!("{}{path}", self.session), Some(body))
    }

    /// Opens a file.
    #[track_caller]
    pub fn open(&self, file: &Path) {
        let url = format!("file://{}", file.canonicalize().unwrap().display());
        self.post("/url", &json!({"url": url}));
    }

    /// Opens an address. A page that warns of its certificate is a page too.
    #[allow(dead_code, reason = "only the tests of the bench page open addresses")]
    #[track_caller]
    pub fn go(&self, url: &str) {
        self.ask(
            "POST",
            &format!("{}/url", self.session),
            Some(&json!({"url": url})),
        );
    }

    /// Taps what a selector finds, as a finger does: it must be there, in sight and not covered.
    #[allow(dead_code, reason = "only the tests of the bench page tap")]
    #[track_caller]
    pub fn tap(&self, selector: &str) {
        let wanted = json!({"using": "css selector", "value": selector});
        let path = format!("{}/element", self.session);
        let start = Instant::now();
        let found = loop {
            let found = self.ask("POST", &path, Some(&wanted));
            if found["error"].is_null() {
                break found;
            }
            assert!(start.elapsed() < PATIENCE, "{selector}: {found}");
            std::thread::sleep(Duration::from_millis(50));
        };
        let id = found.as_object().unwrap().values().next().unwrap();
        let id = id.as_str().unwrap();
        self.post(&format!("/element/{id}/click"), &json!({}));
    }

    /// What a script of ours returns. The page's own policy forbids it to run any; the driver's are not the page's.
    #[track_caller]
    pub fn run(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({"script": script, "args": []}))
    }

    /// As `run`, for a script that calls its last argument back.
    #[track_caller]
    pub fn wait_for(&self, script: &str) -> Value {
        self.post("/execute/async", &json!({"script": script, "args": []}))
    }

    /// A word of the browser's own protocol.
    #[track_caller]
    pub fn tell(&self, command: &str, with: &Value) -> Value {
        self.post(
            "/goog/cdp/execute",
            &json!({"cmd": command, "params": with}),
        )
    }

    /// Presses keys, wherever the page is.
    #[track_caller]
    pub fn press(&self, keys: &[&str]) {
        let presses: Vec<Value> = keys
            .iter()
            .flat_map(|key| ["keyDown", "keyUp"].map(|kind| json!({"type": kind, "value": key})))
            .collect();
        self.post(
            "/actions",
            &json!({"actions": [{"type": "key", "id": "keys", "actions": presses}]}),
        );
    }

    /// The lines of a log: `browser` or `performance`.
    #[track_caller]
    pub fn log(&self, kind: &str) -> Vec<Value> {
        let lines = self.post("/se/log", &json!({"type": kind}));
        lines.as_array().unwrap().clone()
    }

    /// An empty page, and empty logs.
    #[track_caller]
    pub fn clear(&self) {
        self.post("/url", &json!({"url": "about:blank"}));
        self.log("performance");
        self.log("browser");
    }

    /// A width in pixels, and light or dark.
    #[track_caller]
    pub fn show(&self, wide: u32, dark: bool) {
        let size = json!({"width": wide, "height": 900, "deviceScaleFactor": 1, "mobile": false});
        self.tell("Emulation.setDeviceMetricsOverride", &size);
        let scheme = if dark { "dark" } else { "light" };
        let media = json!({"features": [{"name": "prefers-color-scheme", "value": scheme}]});
        self.tell("Emulation.setEmulatedMedia", &media);
    }
}

impl Browser {
    /// Tells the driver to end its browser, which would outlive it; also after a test has failed, so nothing here may.
    fn dismiss(&self) -> std::io::Result<()> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(Duration::from_secs(20)))?;
        let (port, session) = (self.port, &self.session);
        write!(
            stream,
            "DELETE {session} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
        )?;
        // It answers when the browser has ended, and keeps the line open.
        stream.read(&mut [0; 64]).map(|_| ())
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            let _ = self.dismiss();
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
