//! The program as a server, and a client of a few lines.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;

pub const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
/// A fault is what is wrong, never what is slow.
const PATIENCE: Duration = Duration::from_secs(120);

/// The demo shop in a folder of its own.
pub fn shop() -> TempDir {
    let folder = TempDir::new().unwrap();
    run(&folder, &["demo", "--write", "shop"]);
    folder
}

/// Runs a command in the folder that holds the shop.
pub fn run(folder: &TempDir, args: &[&str]) -> String {
    let output = Command::new(PROGRAM)
        .current_dir(folder.path())
        .args(args)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{args:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// A server that ends by itself, with what it complained of.
pub fn refused(folder: &TempDir, args: &[&str]) -> (String, Option<i32>) {
    let mut command = Command::new(PROGRAM);
    let command = command
        .current_dir(folder.path())
        .args(["bench", "shop"])
        .args(args);
    let output = command.output().unwrap();
    (
        String::from_utf8_lossy(&output.stderr).into_owned(),
        output.status.code(),
    )
}

/// The rows of the log.
pub fn rows(folder: &TempDir) -> Vec<String> {
    let log = std::fs::read_to_string(folder.path().join("shop/log.csv")).unwrap();
    let rows = log.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(str::to_string).collect()
}

/// An answer.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

/// A server that runs.
pub struct Server {
    child: Child,
    /// The lines before and with the address.
    pub said: Vec<String>,
    /// `http://127.0.0.1:8137/`
    pub address: String,
    pub port: u16,
    out: BufReader<ChildStdout>,
}

impl Server {
    /// Starts one on a free port, and waits for its address.
    pub fn start(folder: &TempDir, args: &[&str]) -> Server {
        Server::start_on(folder, 0, args)
    }

    /// Starts one on this port.
    pub fn start_on(folder: &TempDir, port: u16, args: &[&str]) -> Server {
        let shop: PathBuf = folder.path().join("shop");
        let mut child = Command::new(PROGRAM)
            .arg("bench")
            .arg(shop)
            .args(["--port", &port.to_string()])
            .args(args)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let (mut said, mut line) = (Vec::new(), String::new());
        let address = loop {
            line.clear();
            assert!(
                out.read_line(&mut line).unwrap() > 0,
                "it ended, and said {said:?}"
            );
            let words = line.trim_end().to_string();
            said.push(words.clone());
            if words.starts_with("http") && words.ends_with('/') {
                break words;
            }
        };
        let port = address
            .trim_end_matches('/')
            .rsplit(':')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        Server {
            child,
            said,
            address,
            port,
            out,
        }
    }

    /// Asks it to stop, and waits.
    pub fn stop(&mut self) -> Option<i32> {
        let id = self.child.id().to_string();
        let told = Command::new("kill").args(["-TERM", &id]).status().unwrap();
        assert!(told.success());
        self.child.wait().unwrap().code()
    }

    /// Ends it at once.
    pub fn kill(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    /// The pairing code that it printed.
    pub fn code(&self) -> String {
        let line = self.said.iter().find(|line| line.starts_with("To pair"));
        let (_, rest) = line.unwrap().split_once("and type ").unwrap();
        rest.split('.').next().unwrap().to_string()
    }

    pub fn get(&self, path: &str) -> Answer {
        self.ask(
            "127.0.0.1",
            &format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n", self.port),
            "",
        )
    }

    pub fn post(&self, path: &str, form: &str) -> Answer {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\nOrigin: http://127.0.0.1:{0}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {1}\r\n",
            self.port,
            form.len()
        );
        self.ask("127.0.0.1", &head, form)
    }

    /// Logs a use of A-1 under this id.
    pub fn log_use(&self, id: &str, amount: &str) -> Answer {
        let amount = amount.replace(' ', "+");
        self.post(
            "/entry",
            &format!("what=use&container=A-1&amount={amount}&minutes=5&id={id}"),
        )
    }

    /// The most memory that it has had, in kB, where the system tells.
    pub fn most_memory(&self) -> u64 {
        let path = format!("/proc/{}/status", self.child.id());
        let text = std::fs::read_to_string(path).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let number = line.and_then(|line| line.trim().split(' ').next());
        number.and_then(|number| number.parse().ok()).unwrap_or(0)
    }

    /// The next line that it says.
    pub fn next_line(&mut self) -> String {
        let mut line = String::new();
        self.out.read_line(&mut line).unwrap();
        line.trim_end().to_string()
    }

    /// Sends a form with a file.
    pub fn send_file(&self, path: &str, fields: &[(&str, &str)], file: &[u8]) -> Answer {
        let mut body = Vec::new();
        for (name, text) in fields {
            let head = format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n");
            body.extend(format!("{head}{text}\r\n").bytes());
        }
        body.extend(
            b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\n",
        );
        body.extend(file);
        body.extend(b"\r\n--edge--\r\n");
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\nOrigin: http://127.0.0.1:{0}\r\n\
             Content-Type: multipart/form-data; boundary=edge\r\nContent-Length: {1}\r\n",
            self.port,
            body.len()
        );
        answer(&self.ask_bytes("127.0.0.1", &head, &body))
    }

    /// Sends a request to an address of this computer; the head lacks its empty line.
    pub fn ask(&self, to: &str, head: &str, body: &str) -> Answer {
        answer(&self.ask_bytes(to, head, body.as_bytes()))
    }

    /// The same with any bytes, and the bytes of the answer.
    pub fn ask_bytes(&self, to: &str, head: &str, body: &[u8]) -> Vec<u8> {
        let mut stream = TcpStream::connect((to, self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        // The server may answer and close before all of a large body is sent.
        let _ = stream.write_all(format!("{head}Connection: close\r\n\r\n").as_bytes());
        let _ = stream.write_all(body);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        bytes
    }
}

/// Parts an answer.
pub fn answer(bytes: &[u8]) -> Answer {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok());
    Answer {
        status: status.unwrap_or(0),
        head: head.to_string(),
        body: body.to_string(),
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.kill();
    }
}
