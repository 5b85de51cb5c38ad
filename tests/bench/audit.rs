//! `cargo bench`: the audit of large made-up shops as a ratio to a bare read of their logs by the csv crate, in one run.
//!
//! `cargo bench --bench audit -- 10000000` takes one other number of entries. Each figure is the best of its rounds; peak
//! memory is what GNU time reports, where it is installed. What carries over to other machines is the ratios, and how
//! time and memory grow.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    reason = "a benchmark for people"
)]

mod shop;

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
const SIZES: [u64; 4] = [1_000, 10_000, 100_000, 1_000_000];

fn main() {
    let wanted: Option<u64> = std::env::args().skip(1).find_map(|a| a.parse().ok());
    let sizes = wanted.map_or(SIZES.to_vec(), |entries| vec![entries]);
    println!(
        "{} containers; best of five or more, milliseconds for whole processes",
        shop::CONTAINERS
    );
    println!(
        "   entries   MB of log   csv records()   one record reused   audit   to records()   to reused   ns an entry   peak MB"
    );
    for entries in sizes {
        size(entries);
    }
    whole_processes();
}

/// One line of the table.
fn size(entries: u64) {
    let folder = tempfile::tempdir().unwrap();
    shop::write(folder.path(), entries).unwrap();
    let log = folder.path().join("log.csv");
    let audit = [
        "audit",
        folder.path().to_str().unwrap(),
        "--on",
        "2026-06-01",
        "--no-reports",
    ];
    let (mut plain, mut reused, mut whole) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..(if entries > 1_000_000 { 3 } else { 7 }) {
        plain.push(time(|| read_plainly(&log)));
        reused.push(time(|| read_reusing(&log)));
        whole.push(time(|| run(&audit)));
    }
    let (plain, reused, whole) = (best(&plain), best(&reused), best(&whole));
    let megabytes = std::fs::metadata(&log).unwrap().len() as f64 / 1e6;
    let peak = peak(&audit).map_or_else(
        || "?".to_string(),
        |kilobytes| format!("{:.1}", kilobytes / 1000.0),
    );
    println!(
        "{entries:10} {megabytes:11.1} {plain:15.1} {reused:19.1} {whole:7.1} {:14.2} {:11.2} {:13.0} {peak:>9}",
        whole / plain,
        whole / reused,
        whole * 1e6 / entries as f64
    );
}

/// What a person waits for: start-up, the demo, an entry of the log with its sync.
fn whole_processes() {
    let folder = tempfile::tempdir().unwrap();
    let shop = folder.path().join("shop");
    let shop = shop.to_str().unwrap();
    run(&["demo", "--write", shop]);
    let entry = [
        "log",
        "receive",
        "M-1",
        "1 mL",
        "--shop",
        shop,
        "--when",
        "2026-10-31T18:00",
        "--anyway",
    ];
    for (name, args) in [
        ("--version", &["--version"][..]),
        ("demo", &["demo"]),
        ("log, checked, written and synced", &entry),
    ] {
        let times: Vec<Duration> = (0..30).map(|_| time(|| run(args))).collect();
        println!("{name:36} {:6.1} ms", best(&times));
    }
}

fn best(list: &[Duration]) -> f64 {
    list.iter().min().unwrap().as_secs_f64() * 1000.0
}

fn time(work: impl FnOnce()) -> Duration {
    let begin = Instant::now();
    work();
    begin.elapsed()
}

fn run(args: &[&str]) {
    let status = Command::new(PROGRAM)
        .args(args)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(
        matches!(status.code(), Some(0 | 1)),
        "{args:?} ended with {status}"
    );
}

fn read_plainly(log: &Path) {
    let cells: usize = csv::Reader::from_path(log)
        .unwrap()
        .records()
        .map(|record| record.unwrap().len())
        .sum();
    assert!(cells > 0);
}

fn read_reusing(log: &Path) {
    let mut reader = csv::Reader::from_path(log).unwrap();
    let (mut record, mut cells) = (csv::ByteRecord::new(), 0);
    while reader.read_byte_record(&mut record).unwrap() {
        cells += record.len();
    }
    assert!(cells > 0);
}

fn peak(args: &[&str]) -> Option<f64> {
    let out = Command::new("/usr/bin/time")
        .args(["-f", "%M", PROGRAM])
        .args(args)
        .stdout(Stdio::null())
        .output()
        .ok()?;
    String::from_utf8(out.stderr)
        .ok()?
        .lines()
        .last()?
        .trim()
        .parse()
        .ok()
}
