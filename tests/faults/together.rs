//! All writing commands at once, beside readers: nothing is lost, nothing is written twice, and no reader sees half of it.

use crate::{DAY, read, run, shop};
use std::collections::BTreeSet;
use std::path::Path;

/// How often each of them writes.
const TIMES: usize = 12;

#[track_caller]
fn works(folder: &Path, words: &str) {
    let words: Vec<&str> = words.split('|').collect();
    let (_, err, code) = run(folder, &words);
    assert!(matches!(code, Some(0 | 1)) && err.is_empty(), "{err}");
}

#[test]
fn all_writers_and_readers_at_once() {
    let folder = shop();
    let path = folder.path();
    let rows =
        "row,kind,name,about,found,answer\n1,count,V-1,,1 qt,\n2,check,fan-runs,window fan,,yes\n";
    std::fs::write(path.join("sheet.csv"), rows).unwrap();
    // The first write ever begins the journal, without which readers and writers cannot see each other.
    works(path, "log|open|A-1|--when|2026-09-04T09:00|--shop|shop");
    std::thread::scope(|scope| {
        scope.spawn(|| {
            for _ in 0..TIMES {
                works(path, "log|use|A-1|1 mL|--when|2026-09-05T09:00|--shop|shop");
            }
        });
        scope.spawn(|| {
            for jar in 0..TIMES {
                let new = "--capacity|1 pt|--place|cabinet|--when|2026-09-05T10:00";
                works(
                    path,
                    &format!(
                        "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|--log|Z-{jar}|{new}"
                    ),
                );
            }
        });
        scope.spawn(|| {
            for minute in 0..TIMES {
                works(
                    path,
                    &format!("round|shop|--enter|sheet.csv|--when|2026-09-06T09:{minute:02}"),
                );
            }
        });
        for _ in 0..2 {
            scope.spawn(|| {
                for _ in 0..TIMES {
                    works(path, &format!("audit|shop|--on|{DAY}|--quiet"));
                    works(path, &format!("close|shop|--at|{DAY}"));
                }
            });
        }
    });
    let (log, checks) = (read(&folder, "log.csv"), read(&folder, "checks.csv"));
    let count = |text: &str, word: &str| text.matches(word).count();
    assert_eq!(count(&log, ",2026-09-05T09:00,use,A-1,1 mL,"), TIMES);
    assert_eq!(count(&log, ",2026-09-05T10:00,mix,"), TIMES * 2);
    assert_eq!(count(&log, ",2026-09-06T09:"), TIMES);
    let answers = checks.lines().filter(|row| row.contains("2026-09-06T09:"));
    assert_eq!(answers.count(), TIMES);
    assert_eq!(count(&read(&folder, "inventory.csv"), "\nZ-"), TIMES);
    let rows = log.lines().filter(|line| !line.starts_with('#')).skip(1);
    let names: Vec<&str> = rows.map(|row| row.split(',').next().unwrap()).collect();
    let single: BTreeSet<&&str> = names.iter().collect();
    assert_eq!(single.len(), names.len(), "two entries have one name");
    // Reports of two who wrote them at once are whole.
    let json = path.join(format!("shop/reports/{DAY}-audit.json"));
    let json = std::fs::read(json).unwrap();
    serde_json::from_slice::<serde_json::Value>(&json).unwrap();
    let page = path.join(format!("shop/reports/{DAY}-audit.html"));
    let page = std::fs::read_to_string(page).unwrap();
    assert!(page.trim_end().ends_with("</html>"));
    let left = std::fs::read_dir(path.join("shop/reports")).unwrap();
    assert_eq!(left.count(), 5);
}
