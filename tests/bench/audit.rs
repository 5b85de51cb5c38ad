//! `cargo bench --bench audit`: the audit of large made-up shops as a ratio to a bare read of their logs by the csv crate,
//! and what a person waits for: start-up, the demo, closing time, an entry of the log with its sync.
//!
//! `cargo bench --bench audit -- 10000000` takes one other number of entries. A sample is a whole process; the table at the
//! end has medians. What carries over to other machines is the ratios, and how time and memory grow.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    reason = "a benchmark for people"
)]

mod measure;
mod shop;

use criterion::Criterion;
use measure::{bench, median, peak, ratio, run, shown, ten_runs, time};
use std::path::Path;
use std::time::{Duration, SystemTime};

const SIZES: [u64; 4] = [1_000, 10_000, 100_000, 1_000_000];
const AUDIT: [&str; 6] = [
    "audit",
    ".",
    "--on",
    "2026-06-01",
    "--no-reports",
    "--quiet",
];
/// Every report written into the shop, and the JSON printed too.
const REPORTS: [&str; 6] = ["audit", ".", "--on", "2026-06-01", "--json", "-"];
const PROCESSES: &str = "whole processes";

fn main() {
    if measure::has_read() {
        return;
    }
    let initial = SystemTime::now();
    let (mut criterion, wanted) = measure::asked();
    let sizes = wanted.map_or(SIZES.to_vec(), |entries| vec![entries]);
    let lines: Vec<String> = sizes
        .iter()
        .map(|entries| size(&mut criterion, *entries, initial))
        .collect();
    let waited = whole_processes(&mut criterion, initial);
    criterion.final_summary();
    println!(
        "{} containers; medians, milliseconds for whole processes",
        shop::CONTAINERS
    );
    println!(
        "{:>10} {:>8} {:>14} {:>11} {:>9} {:>13} {:>10} {:>8} {:>8} {:>9} {:>9} {:>13} {:>8}",
        "entries",
        "MB",
        "csv records()",
        "one reused",
        "audit",
        "to records()",
        "to reused",
        "ns each",
        "peak MB",
        "to csv's",
        "reports",
        "to records()",
        "peak MB"
    );
    lines
        .iter()
        .chain(&waited)
        .for_each(|line| println!("{line}"));
}

/// One line of the table.
fn size(criterion: &mut Criterion, entries: u64, initial: SystemTime) -> String {
    let folder = tempfile::tempdir().unwrap();
    shop::write(folder.path(), entries).unwrap();
    let log = folder.path().join("log.csv");
    let name = format!("audit {entries}");
    let mut group = criterion.benchmark_group(&name);
    ten_runs(&mut group, time(|| run(folder.path(), &AUDIT)));
    bench(&mut group, "csv records", || measure::read_plainly(&log));
    bench(&mut group, "csv reused", || measure::read_reusing(&log));
    bench(&mut group, "audit", || run(folder.path(), &AUDIT));
    bench(&mut group, "reports", || run(folder.path(), &REPORTS));
    group.finish();
    let names = ["csv records", "csv reused", "audit", "reports"];
    let [plain, reused, whole, reports] = names.map(|it| median(&name, it, initial));
    let megabytes = std::fs::metadata(&log).unwrap().len() as f64 / 1e6;
    let (most, bare) = peaks(folder.path());
    format!(
        "{entries:>10} {megabytes:>8.1} {:>14} {:>11} {:>9} {:>13} {:>10} {:>8} {:>8} {:>9} {:>9} {:>13} {:>8}",
        shown(plain, 2),
        shown(reused, 2),
        shown(whole, 1),
        ratio(whole, plain),
        ratio(whole, reused),
        shown(whole.map(|it| it * 1e6 / entries as f64), 0),
        shown(most, 1),
        ratio(most, bare),
        shown(reports, 1),
        ratio(reports, plain),
        shown(peak(folder.path(), &REPORTS), 1)
    )
}

fn peaks(folder: &Path) -> (Option<f64>, Option<f64>) {
    let bare = measure::peak_of_reading(folder, &["log.csv".to_string()]);
    (peak(folder, &AUDIT), bare)
}

/// What a person waits for.
fn whole_processes(criterion: &mut Criterion, initial: SystemTime) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &["demo", "--write", "shop"]);
    let entry = [
        "log",
        "receive",
        "M-1",
        "1 mL",
        "--shop",
        "shop",
        "--when",
        "2026-10-31T18:00",
        "--anyway",
    ];
    let close = ["close", "shop", "--quiet", "--at", "2026-10-31T17:00"];
    let all: [(&str, &[&str]); 4] = [
        ("start", &["--version"]),
        ("demo audit", &["demo"]),
        ("closing time", &close),
        ("log checked written and synced", &entry),
    ];
    let mut group = criterion.benchmark_group(PROCESSES);
    ten_runs(&mut group, Duration::from_millis(100));
    group.sample_size(30);
    for (name, args) in all {
        bench(&mut group, name, || run(folder.path(), args));
    }
    group.finish();
    let found = all.iter().filter_map(|(name, _)| {
        let median = median(PROCESSES, name, initial)?;
        Some(format!("{name:36} {median:6.1} ms"))
    });
    found.collect()
}
