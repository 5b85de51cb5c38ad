//! The shop of the benchmark is the same bytes on every machine: those of the script it was written after, whose figures
//! these are (lengths, sums of all bytes, and rows).
#![allow(clippy::unwrap_used, clippy::as_conversions, clippy::float_arithmetic)]

#[path = "bench/shop.rs"]
mod shop;

#[test]
fn a_thousand_entries_are_the_known_bytes() {
    let folder = tempfile::tempdir().unwrap();
    shop::write(folder.path(), 1000).unwrap();
    for (name, length, sum) in [
        ("log.csv", 61_777, 3_904_701),
        ("inventory.csv", 155_925, 11_202_509),
        ("places.csv", 2_022, 178_042),
        ("rooms.csv", 113, 10_227),
        ("shop.toml", 113, 9_429),
    ] {
        let bytes = std::fs::read(folder.path().join(name)).unwrap();
        let all: u64 = bytes.iter().map(|byte| u64::from(*byte)).sum();
        assert_eq!((bytes.len(), all), (length, sum), "{name}");
    }
    let log = std::fs::read_to_string(folder.path().join("log.csv")).unwrap();
    let rows: Vec<&str> = log.lines().collect();
    assert_eq!(
        rows[2],
        "2,2016-01-07T23:36,decant,C-01807,7.86 fl oz,C-01812,,,made-up,"
    );
    assert_eq!(
        rows[1000],
        "1000,2025-12-28T16:24,use,C-00319,2.85 qt,,,93,made-up,coat 9"
    );
}
