//! `cargo bench --bench many`: a thousand shops with two thousand entries each in one run of `sandarac audit`, as a ratio to
//! a bare read of all their logs by the csv crate, one after another. `cargo bench --bench many -- 50` takes fewer shops.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    dead_code,
    reason = "a benchmark for people; the modules are shared"
)]

mod measure;
mod shop;

use measure::{bench, median, peak, ratio, run, shown, ten_runs, time};
use std::path::Path;
use std::time::SystemTime;

const SHOPS: u64 = 1_000;
const ENTRIES: u64 = 2_000;
const CONTAINERS: usize = 100;

fn main() {
    if measure::has_read() {
        return;
    }
    let initial = SystemTime::now();
    let (mut criterion, wanted) = measure::asked();
    let shops = wanted.unwrap_or(SHOPS).max(2);
    let folder = tempfile::tempdir().unwrap();
    let names: Vec<String> = (0..shops).map(|at| format!("shop-{at:04}")).collect();
    for (key, name) in (1..).zip(&names) {
        let path = folder.path().join(name);
        std::fs::create_dir(&path).unwrap();
        shop::write_one(&path, ENTRIES, CONTAINERS, key).unwrap();
    }
    let logs: Vec<String> = names.iter().map(|it| format!("{it}/log.csv")).collect();
    let mut args = vec!["audit"];
    args.extend(names.iter().map(String::as_str));
    args.extend(["--on", "2026-06-01", "--no-reports", "--quiet"]);
    let name = format!("many {shops}");
    let mut group = criterion.benchmark_group(&name);
    ten_runs(&mut group, time(|| run(folder.path(), &args)));
    bench(&mut group, "csv records", || read_all(folder.path(), &logs));
    bench(&mut group, "audit", || run(folder.path(), &args));
    group.finish();
    criterion.final_summary();
    let [plain, whole] = ["csv records", "audit"].map(|it| median(&name, it, initial));
    let most = peak(folder.path(), &args);
    let bare = measure::peak_of_reading(folder.path(), &logs);
    println!(
        "{shops} shops, {CONTAINERS} containers and {ENTRIES} entries each; medians, milliseconds for whole processes\n\
         csv records() {}, audit {}, ratio {}; {} ms a shop; peak {} MB, to csv's {}",
        shown(plain, 1),
        shown(whole, 1),
        ratio(whole, plain),
        shown(whole.map(|it| it / shops as f64), 2),
        shown(most, 1),
        ratio(most, bare)
    );
}

fn read_all(folder: &Path, logs: &[String]) {
    logs.iter()
        .for_each(|log| measure::read_plainly(&folder.join(log)));
}
