//! `cargo bench`: the audit of a large made-up shop as a ratio to a bare read of its log by the csv crate, in one run.
//!
//! `cargo bench -- 200000` takes another number of entries. Each figure is the best of five runs; peak memory is what
//! GNU time reports, where it is installed.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::as_conversions,
    clippy::float_arithmetic,
    reason = "a benchmark for people"
)]

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
const CONTAINERS: usize = 2000;
const PRODUCTS: [&str; 5] = [
    "denatured alcohol",
    "mineral spirits",
    "VM&P naphtha",
    "tung oil varnish",
    "shellac 2 lb cut",
];

fn main() {
    let wanted = std::env::args().skip(1).find_map(|a| a.parse().ok());
    let entries: usize = wanted.unwrap_or(1_000_000);
    let folder = tempfile::tempdir().unwrap();
    write_shop(folder.path(), entries);
    let log = folder.path().join("log.csv");
    let shop = folder.path().to_str().unwrap();
    let audit = ["audit", shop, "--on", "2026-06-01", "--no-reports"];
    let (mut plain, mut reused, mut whole) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..5 {
        plain.push(time(|| read_plainly(&log)));
        reused.push(time(|| read_reusing(&log)));
        whole.push(time(|| run(&audit)));
    }
    let demo: Vec<Duration> = (0..20).map(|_| time(|| run(&["demo"]))).collect();
    let start: Vec<Duration> = (0..20).map(|_| time(|| run(&["--version"]))).collect();
    let best = |list: &[Duration]| list.iter().min().unwrap().as_secs_f64() * 1000.0;
    let size = std::fs::metadata(&log).unwrap().len() as f64 / 1e6;
    println!(
        "{entries} entries, {size:.1} MB of log, {CONTAINERS} containers; best of five, milliseconds"
    );
    println!("  csv crate, records()               {:8.1}", best(&plain));
    println!("  csv crate, one record reused       {:8.1}", best(&reused));
    println!("  sandarac audit, whole process      {:8.1}", best(&whole));
    println!(
        "  ratio to records()                 {:8.2}",
        best(&whole) / best(&plain)
    );
    println!(
        "  ratio to one record reused         {:8.2}",
        best(&whole) / best(&reused)
    );
    println!("  sandarac demo, whole process       {:8.1}", best(&demo));
    println!("  sandarac --version, whole process  {:8.1}", best(&start));
    match peak(&audit) {
        Some(kilobytes) => println!(
            "  peak memory of the audit, MB       {:8.1}",
            kilobytes / 1000.0
        ),
        None => println!(
            "  peak memory of the audit           not measured (GNU time is not installed)"
        ),
    }
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

/// A small generator of numbers, the same on every machine (Knuth's MMIX constants).
struct Chance(u64);

impl Chance {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % limit
    }
}

/// A valid shop of drums in cabinets with ten years of log, in the proportions of a real one.
fn write_shop(folder: &Path, entries: usize) {
    let write = |name: &str, text: String| std::fs::write(folder.join(name), text).unwrap();
    write(
        "shop.toml",
        "name = \"Large made-up shop\"\nunits = \"us\"\npacks = [\"us-workplace\", \"us-fire-code\"]\nemployees = 12\n".into(),
    );
    write("rooms.csv", "room,use,length,width,height,level,exhaust\nfinishing,finishing,60 ft,40 ft,12 ft,ground,6000 cfm\n".into());
    let mut places = String::from("place,room,kind,rated\n");
    for cabinet in 1..=50 {
        let _ = writeln!(places, "cabinet {cabinet},finishing,cabinet,yes");
    }
    write("places.csv", places);
    let mut inventory =
        String::from("container,product,lot,vessel,capacity,place,since,amount,labelled\n");
    for at in 0..CONTAINERS {
        let (product, cabinet) = (PRODUCTS[at % 5], at % 50 + 1);
        let _ = writeln!(
            inventory,
            "C-{at:05},{product},L-{},drum,60 gal,cabinet {cabinet},2016-01-01,30 gal,yes",
            at % 97
        );
    }
    write("inventory.csv", inventory);
    write("log.csv", log(entries));
}

fn log(entries: usize) -> String {
    let mut chance = Chance(20_260_101);
    let mut left = vec![30.0 * 3785.411784; CONTAINERS];
    let units = [
        ("fl oz", 29.5735295625),
        ("qt", 946.352946),
        ("pt", 473.176473),
        ("mL", 1.0),
        ("L", 1000.0),
    ];
    let mut text = String::from("entry,when,what,container,amount,into,place,minutes,by,note\n");
    for n in 0..entries {
        let minutes = n as u64 * 10 * 365 * 24 * 60 / entries as u64;
        let when = moment(minutes);
        let at = chance.below(CONTAINERS);
        let (unit, millilitres) = units[chance.below(5)];
        let hundredths = chance.below(2000) + 1;
        let (amount, take) = (
            format!("{}.{:02} {unit}", hundredths / 100, hundredths % 100),
            hundredths as f64 / 100.0 * millilitres,
        );
        let id = n + 1;
        let _ = if left[at] < take + 1000.0 {
            left[at] += 20.0 * 3785.411784;
            writeln!(text, "{id},{when},receive,C-{at:05},20 gal,,,,made-up,")
        } else {
            match chance.below(20) {
                0..14 => {
                    left[at] -= take;
                    writeln!(
                        text,
                        "{id},{when},use,C-{at:05},{amount},,,{},made-up,coat",
                        chance.below(115) + 5
                    )
                }
                14..16 => {
                    let into = (at + 5) % CONTAINERS;
                    left[at] -= take;
                    left[into] += take;
                    writeln!(
                        text,
                        "{id},{when},decant,C-{at:05},{amount},C-{into:05},,,made-up,"
                    )
                }
                16 => {
                    left[at] -= take;
                    writeln!(
                        text,
                        "{id},{when},discard,C-{at:05},{amount},,,,made-up,settled"
                    )
                }
                17 => writeln!(text, "{id},{when},open,C-{at:05},,,,,made-up,"),
                _ => writeln!(
                    text,
                    "{id},{when},move,C-{at:05},,,cabinet {},,made-up,",
                    chance.below(50) + 1
                ),
            }
        };
    }
    text
}

/// Minutes after 2016-01-04T08:00, in years of twelve months of thirty days: every such day is in the calendar but the
/// 30th of February, which is told as its 28th.
fn moment(minutes: u64) -> String {
    let minutes = minutes + 8 * 60;
    let days = minutes / (24 * 60) + 3;
    let (year, month, day) = (2016 + days / 360, days % 360 / 30 + 1, days % 30 + 1);
    let day = if month == 2 { day.min(28) } else { day };
    let (hour, minute) = if month == 2 && days % 30 + 1 > 28 {
        (23, 59)
    } else {
        (minutes / 60 % 24, minutes % 60)
    };
    format!("{year}-{month:02}-{day:02}T{hour:02}:{minute:02}")
}
