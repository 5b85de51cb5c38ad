//! `cargo bench --bench air`: peaks and worst means of a year of uses in one room, each tail carried forward in closed
//! form. What carries over to other machines is how the medians grow.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    dead_code,
    reason = "a benchmark for people; the module is shared"
)]

mod measure;

use measure::{bench, median, shown, ten_runs};
use sandarac::vapour::history::History;
use sandarac::vapour::well_mixed::{Release, WEEK, WellMixedRoom};
use std::time::{Duration, SystemTime};

const USES: [u32; 5] = [12_500, 25_000, 50_000, 100_000, 200_000];

fn main() {
    let initial = SystemTime::now();
    let (mut criterion, _) = measure::asked();
    // 60 m³, 170 m³/h, mixing factor 5.
    let room = WellMixedRoom::new(60.0, 170.0, 5.0).unwrap();
    let mut lines = Vec::new();
    for kinds in [1, 3] {
        let mut first = None;
        for uses in USES {
            let releases = year(uses, kinds);
            let (group, name) = (format!("air {kinds}"), uses.to_string());
            let mut benches = criterion.benchmark_group(&group);
            ten_runs(&mut benches, Duration::from_millis(200));
            bench(&mut benches, &name, || run(&room, &releases));
            benches.finish();
            let Some(median) = median(&group, &name, initial) else {
                continue;
            };
            let each = median / f64::from(uses);
            let first = *first.get_or_insert(each);
            lines.push(format!(
                "{uses:9} {kinds:13} {:>12} {:>28}",
                shown(Some(median), 1),
                shown(Some(each / first), 2)
            ));
        }
    }
    criterion.final_summary();
    println!("medians, milliseconds for carry + peak + worst 15 minutes + worst 8 hours");
    println!("     uses drying times milliseconds of the first, for each use");
    lines.iter().for_each(|line| println!("{line}"));
}

fn run(room: &WellMixedRoom, releases: &[Release]) {
    let history = History::new(room, releases).unwrap();
    let worst = |minutes| {
        let end = history.last_event() + WEEK;
        let worst = history.worst_mean_ending(minutes, history.first(), end);
        worst.unwrap().level
    };
    let (peak, quarter, shift) = (history.peak().level, worst(15.0), worst(480.0));
    assert!(peak >= quarter && quarter >= shift);
}

/// Uses spread over a year by a small generator of numbers, the same on every machine.
fn year(uses: u32, kinds: u32) -> Vec<Release> {
    let mut state = 7_u64;
    let mut chance = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / f64::from(1_u32 << 31)
    };
    let drying = [10.7, 150.0, 5.0];
    let mut releases: Vec<Release> = (0..uses)
        .map(|at| Release {
            start: chance() * 525_600.0,
            minutes: 5.0 + chance() * 60.0,
            mass: 1000.0 + chance() * 50_000.0,
            drying: drying[(at % kinds) as usize],
        })
        .collect();
    // A log hands its uses on in the order of their beginnings.
    releases.sort_by(|a, b| a.start.total_cmp(&b.start));
    releases
}
