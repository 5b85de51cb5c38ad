//! The bench page under load: many clients over loopback, each of which asks for pages and logs entries as a phone does, with an id
//! of its own that it sends until it is acknowledged. At the end every acknowledged entry must be in the log, once.
//!
//! ```console
//! $ cargo bench --bench bench_load -- paced      50 clients, a page every 5 s and an entry a minute each, for 3 minutes
//! $ cargo bench --bench bench_load -- full       50 clients as fast as they can, for 30 s
//! $ cargo bench --bench bench_load -- kills      the same, while the server is killed 200 times
//! ```
//!
//! `--clients N`, `--seconds N`, `--kills N`, `--containers N` and `--entries N` change the numbers. Without a mode nothing is done. The
//! goals hold for a release build: pages below 100 ms and entries below 250 ms at p99, memory below 128 MB.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    reason = "a benchmark for people; the modules are shared"
)]

#[allow(dead_code)]
#[path = "../bench_page/server.rs"]
mod server;
#[allow(dead_code)]
mod shop;

use server::Server;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};
use tempfile::TempDir;

const PAGES: [&str; 4] = ["/", "/rags", "/container/L-1", "/stock"];
/// Of so many pages the first is "Now", which has a goal of its own.
const GOALS: (u128, u128, u64) = (100, 250, 128);

struct Wish {
    mode: String,
    clients: u64,
    seconds: u64,
    kills: u64,
    containers: usize,
    entries: u64,
}

impl Wish {
    fn read() -> Option<Wish> {
        let args: Vec<String> = std::env::args()
            .skip(1)
            .filter(|arg| arg != "--bench")
            .collect();
        let number = |name: &str, usual: u64| {
            let at = args.iter().position(|arg| arg == name);
            at.map_or(usual, |at| args[at + 1].parse().unwrap())
        };
        let modes = ["paced", "full", "kills"];
        let mode = args
            .iter()
            .find(|arg| modes.contains(&arg.as_str()))?
            .clone();
        let seconds = if mode == "paced" { 180 } else { 30 };
        Some(Wish {
            clients: number("--clients", 50),
            seconds: number("--seconds", seconds),
            kills: if mode == "kills" {
                number("--kills", 200)
            } else {
                0
            },
            containers: usize::try_from(number("--containers", 300)).unwrap(),
            entries: number("--entries", 20_000),
            mode,
        })
    }
}

#[derive(Default)]
struct Seen {
    now: Vec<Duration>,
    pages: Vec<Duration>,
    entries: Vec<Duration>,
    acknowledged: BTreeSet<String>,
    tried: BTreeSet<String>,
    refused: BTreeMap<u16, u64>,
}

/// One connection that is kept open, as a browser does.
struct Client {
    port: u16,
    stream: Option<BufReader<TcpStream>>,
}

impl Client {
    /// The status of an answer; nothing where the server is gone.
    fn ask(&mut self, head: &str, body: &str) -> Option<u16> {
        let answer = self.try_to(head, body);
        if answer.is_none() {
            self.stream = None;
        }
        answer
    }

    fn try_to(&mut self, head: &str, body: &str) -> Option<u16> {
        if self.stream.is_none() {
            let stream = TcpStream::connect(("127.0.0.1", self.port)).ok()?;
            stream
                .set_read_timeout(Some(Duration::from_secs(60)))
                .ok()?;
            stream.set_nodelay(true).ok()?;
            self.stream = Some(BufReader::new(stream));
        }
        let stream = self.stream.as_mut()?;
        let port = self.port;
        let text = format!(
            "{head} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        );
        stream.get_mut().write_all(text.as_bytes()).ok()?;
        let (mut line, mut status, mut length, mut closes) = (String::new(), None, 0, false);
        loop {
            line.clear();
            if stream.read_line(&mut line).ok()? == 0 {
                return None;
            }
            let lower = line.trim().to_ascii_lowercase();
            if status.is_none() {
                status = lower.split(' ').nth(1)?.parse().ok();
            } else if let Some(bytes) = lower.strip_prefix("content-length:") {
                length = bytes.trim().parse().ok()?;
            } else if lower == "connection: close" {
                closes = true;
            } else if lower.is_empty() {
                break;
            }
        }
        let mut rest = vec![0; length];
        stream.read_exact(&mut rest).ok()?;
        if closes {
            self.stream = None;
        }
        status
    }
}

/// One client until the time is over.
fn client(number: u64, wish: &Wish, port: u16, over: &AtomicBool, seen: &Mutex<Seen>) {
    let mut client = Client { port, stream: None };
    let paced = wish.mode == "paced";
    let start = Instant::now();
    // They do not all begin at once.
    let step = |seconds: u64| Duration::from_millis(seconds * 1000 * number / wish.clients);
    let (mut next_page, mut next_entry) = (step(5), step(60));
    let (mut pages, mut entries) = (0, 0);
    while !over.load(Ordering::Relaxed) {
        let now = start.elapsed();
        if !paced || now >= next_page {
            let path = if paced || pages % 2 == 0 {
                PAGES[0]
            } else {
                PAGES[pages % PAGES.len()]
            };
            let asked = Instant::now();
            match client.ask(&format!("GET {path}"), "") {
                Some(200) if path == "/" => seen.lock().unwrap().now.push(asked.elapsed()),
                Some(200) => seen.lock().unwrap().pages.push(asked.elapsed()),
                Some(status) => *seen.lock().unwrap().refused.entry(status).or_default() += 1,
                None => std::thread::sleep(Duration::from_millis(30)),
            }
            pages += 1;
            next_page += Duration::from_secs(5);
        }
        if !paced || now >= next_entry {
            let id = format!("load{number:03}x{entries:06}");
            entries += 1;
            next_entry += Duration::from_secs(60);
            let form =
                format!("what=use&container=L-{number}&amount=0.001+fl+oz&minutes=1&id={id}");
            seen.lock().unwrap().tried.insert(id.clone());
            let asked = Instant::now();
            // Sent again until it is acknowledged, as a phone does.
            loop {
                match client.ask("POST /entry", &form) {
                    Some(303) => {
                        let mut seen = seen.lock().unwrap();
                        seen.entries.push(asked.elapsed());
                        seen.acknowledged.insert(id);
                        break;
                    }
                    Some(503) | None if !over.load(Ordering::Relaxed) => {
                        std::thread::sleep(Duration::from_millis(30));
                    }
                    Some(status) => {
                        *seen.lock().unwrap().refused.entry(status).or_default() += 1;
                        break;
                    }
                    None => break,
                }
            }
        }
        if paced {
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

/// A large shop with a container for each client.
fn make(wish: &Wish) -> TempDir {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("shop");
    std::fs::create_dir(&path).unwrap();
    shop::write_one(&path, wish.entries, wish.containers, 20_260_101).unwrap();
    let mut inventory = std::fs::OpenOptions::new()
        .append(true)
        .open(path.join("inventory.csv"))
        .unwrap();
    for number in 0..wish.clients {
        writeln!(
            inventory,
            "L-{number},denatured alcohol,L-1,drum,60 gal,cabinet {},2016-01-01,5 gal,,,,yes,",
            number % 50 + 1
        )
        .unwrap();
    }
    folder
}

fn percentile(list: &mut [Duration], hundredth: usize) -> u128 {
    list.sort_unstable();
    let at = (list.len() * hundredth / 100).min(list.len().saturating_sub(1));
    list.get(at).map_or(0, Duration::as_millis)
}

fn line(what: &str, list: &mut [Duration]) {
    let at = |hundredth, list: &mut [Duration]| percentile(list, hundredth);
    println!(
        "{what}: {} answered, p50 {} ms, p99 {} ms, slowest {} ms",
        list.len(),
        at(50, list),
        at(99, list),
        at(100, list)
    );
}

fn main() {
    let Some(wish) = Wish::read() else {
        println!("bench_load: name a mode: paced, full or kills");
        return;
    };
    let folder = make(&wish);
    let before = server::rows(&folder).len();
    let mut server = Server::start(&folder, &[]);
    let port = server.port;
    assert_eq!(server.get("/").status, 200);
    let (over, seen, kills) = (
        AtomicBool::new(false),
        Mutex::new(Seen::default()),
        AtomicU64::new(0),
    );
    let mut peak = 0;
    std::thread::scope(|scope| {
        for number in 0..wish.clients {
            let (wish, over, seen) = (&wish, &over, &seen);
            scope.spawn(move || client(number, wish, port, over, seen));
        }
        let start = Instant::now();
        while kills.load(Ordering::Relaxed) < wish.kills {
            let kill = kills.fetch_add(1, Ordering::Relaxed);
            std::thread::sleep(Duration::from_millis(200 + kill * 137 % 600));
            peak = peak.max(server.most_memory());
            server.kill();
            server = Server::start_on(&folder, port, &[]);
        }
        let rest = Duration::from_secs(if wish.kills > 0 { 5 } else { wish.seconds });
        let end = if wish.kills > 0 {
            start.elapsed() + rest
        } else {
            rest
        };
        while start.elapsed() < end {
            std::thread::sleep(Duration::from_millis(100));
            peak = peak.max(server.most_memory());
        }
        over.store(true, Ordering::Relaxed);
    });
    server.stop();
    let rows = server::rows(&folder);
    let mut there: BTreeMap<&str, u64> = BTreeMap::new();
    for row in rows.iter().skip(before) {
        *there.entry(row.rsplit(',').next().unwrap()).or_default() += 1;
    }
    let mut seen = seen.into_inner().unwrap();
    let lost = seen
        .acknowledged
        .iter()
        .filter(|id| !there.contains_key(id.as_str()))
        .count();
    let twice = there.values().filter(|count| **count > 1).count();
    let foreign = there.keys().filter(|id| !seen.tried.contains(**id)).count();
    println!(
        "{} mode, {} clients, {} containers, {} entries before",
        wish.mode, wish.clients, wish.containers, wish.entries
    );
    line("Now", &mut seen.now);
    line("other pages", &mut seen.pages);
    line("entries", &mut seen.entries);
    println!(
        "acknowledged {}, lost {lost}, twice {twice}, of nobody {foreign}, refused {:?}, killed {} times, peak memory {} MB",
        seen.acknowledged.len(),
        seen.refused,
        wish.kills,
        peak / 1024
    );
    assert!(
        lost == 0 && twice == 0 && foreign == 0,
        "an entry was lost, doubled or invented"
    );
    assert!(seen.refused.is_empty(), "something was refused");
    if wish.mode == "paced" && !cfg!(debug_assertions) {
        let (now, entries) = (
            percentile(&mut seen.now, 99),
            percentile(&mut seen.entries, 99),
        );
        assert!(now < GOALS.0, "Now took {now} ms at p99");
        assert!(entries < GOALS.1, "entries took {entries} ms at p99");
        assert!(peak / 1024 < GOALS.2, "{} MB", peak / 1024);
    }
}
