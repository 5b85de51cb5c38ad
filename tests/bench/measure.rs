//! What the benchmarks share: whole processes and bare reads of a log to time, peak memory, and the medians that criterion
//! found, for a table that anyone can read.

use criterion::measurement::WallTime;
use criterion::{BenchmarkGroup, Criterion, SamplingMode};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

pub const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
/// A process of the benchmark itself that does nothing but read logs: with it begins the list of its arguments.
const READ: &str = "--read-logs";

/// The benchmark as it was asked for, and a number among its arguments.
pub fn asked() -> (Criterion, Option<u64>) {
    let criterion = Criterion::default()
        .output_directory(&results())
        .configure_from_args();
    (criterion, number())
}

/// A number among the arguments: how large the shop is, or how many there are.
fn number() -> Option<u64> {
    std::env::args().skip(1).find_map(|it| it.parse().ok())
}

/// Where criterion keeps what it found, to compare the next run with.
fn results() -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap();
    target.join("criterion")
}

/// Samples of whole processes or long reads: each is one run, and there are ten. `one` is about how long a run takes.
pub fn ten_runs(group: &mut BenchmarkGroup<'_, WallTime>, one: Duration) {
    group
        .sampling_mode(SamplingMode::Flat)
        .sample_size(10)
        .warm_up_time(Duration::from_millis(1))
        .measurement_time((one * 10).max(Duration::from_secs(1)));
}

/// Times work that is done over and over.
pub fn bench(group: &mut BenchmarkGroup<'_, WallTime>, name: &str, mut work: impl FnMut()) {
    group.bench_function(name, |bencher| {
        bencher.iter_custom(|runs| (0..runs).map(|_| time(&mut work)).sum());
    });
}

pub fn time(work: impl FnOnce()) -> Duration {
    let begin = Instant::now();
    work();
    begin.elapsed()
}

/// The median in milliseconds, as criterion wrote it down; none if the benchmark was not asked for.
pub fn median(group: &str, name: &str, since: std::time::SystemTime) -> Option<f64> {
    let path = results().join(group).join(name).join("new/estimates.json");
    let written = std::fs::metadata(&path).and_then(|data| data.modified());
    if written.ok()? < since {
        return None;
    }
    let text = std::fs::read_to_string(path).ok()?;
    let found: serde_json::Value = serde_json::from_str(&text).ok()?;
    found["median"]["point_estimate"]
        .as_f64()
        .map(|nanoseconds| nanoseconds / 1e6)
}

/// A number with so many decimals, or a question mark.
pub fn shown(number: Option<f64>, decimals: usize) -> String {
    number.map_or_else(|| "?".to_string(), |it| format!("{it:.decimals$}"))
}

pub fn ratio(number: Option<f64>, to: Option<f64>) -> String {
    shown(number.zip(to).map(|(number, to)| number / to), 2)
}

/// The program, to its end.
pub fn run(folder: &Path, args: &[&str]) {
    let status = Command::new(PROGRAM)
        .current_dir(folder)
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

/// Every record of a log by the csv crate, and nothing done with it: the plain way, and with one record used again.
pub fn read_plainly(log: &Path) {
    let cells: usize = csv::Reader::from_path(log)
        .unwrap()
        .records()
        .map(|record| record.unwrap().len())
        .sum();
    assert!(cells > 0);
}

pub fn read_reusing(log: &Path) {
    let mut reader = csv::Reader::from_path(log).unwrap();
    let (mut record, mut cells) = (csv::ByteRecord::new(), 0);
    while reader.read_byte_record(&mut record).unwrap() {
        cells += record.len();
    }
    assert!(cells > 0);
}

/// Is this process one of the benchmark's own, which only reads logs? Then it has done so.
pub fn has_read() -> bool {
    let mut args = std::env::args().skip(1);
    let reads = args.next().is_some_and(|it| it == READ);
    if reads {
        args.for_each(|log| read_plainly(Path::new(&log)));
    }
    reads
}

/// The most memory of the program, in MB.
pub fn peak(folder: &Path, args: &[&str]) -> Option<f64> {
    let mut command = Command::new(PROGRAM);
    command.args(args).current_dir(folder);
    peak_of(&mut command)
}

/// The most memory of a process that reads these logs by the csv crate, in MB.
pub fn peak_of_reading(folder: &Path, logs: &[String]) -> Option<f64> {
    let mut command = Command::new(std::env::current_exe().ok()?);
    command.arg(READ).args(logs).current_dir(folder);
    peak_of(&mut command)
}

/// Linux keeps the most that a process had; it is asked until the process is gone.
fn peak_of(command: &mut Command) -> Option<f64> {
    let mut child = command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let status = format!("/proc/{}/status", child.id());
    let mut most = None;
    while child.try_wait().ok()?.is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kilobytes = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok());
        most = kilobytes.map(|it| it / 1000.0).or(most);
        std::thread::sleep(Duration::from_micros(500));
    }
    most
}
