//! A period that is closed changes no audit: whatever was logged, wherever it is cut, and when it is cut again.

use crate::few;
use crate::log::{CONTAINERS, LOG_HEAD, Line, inventory, minutes, shop_with, stock_of, written};
use crate::rags::{rag_entry, rag_line};
use proptest::collection::vec;
use proptest::prelude::{TestCaseError, any, prop_assert, prop_assert_eq, proptest};
use proptest::sample::Index;
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .args(args)
        .output()
        .unwrap()
}

/// What an audit says, without the rows on which it rests: those are other rows after a period was closed.
fn said(folder: &Path, on: &str) -> Result<Value, TestCaseError> {
    let output = run(
        folder,
        &["audit", ".", "--on", on, "--no-reports", "--json", "-"],
    );
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    let mut value: Value = serde_json::from_slice(&output.stdout)
        .map_err(|fault| TestCaseError::fail(format!("{fault}: {told}")))?;
    strip(&mut value);
    Ok(value)
}

/// What other commands make of the stock, and the page's year: labels know when a vessel was filled, curves what was held when
/// a month ended.
fn papers(folder: &Path, on: &str) -> Vec<String> {
    let commands: [&[&str]; 6] = [
        &["stock", ".", "--on", on],
        &["stock", ".", "--on", on, "--reconcile"],
        &["stock", ".", "--on", on, "--use-first"],
        &["stock", ".", "--on", on, "--expiring", "60d"],
        &["stock", ".", "--on", on, "--running-low"],
        &["labels", ".", "--on", on, "--html", "-"],
    ];
    let said = commands.map(|args| {
        let output = run(folder, args);
        assert!(output.status.code() != Some(2), "{args:?}: {output:?}");
        // Rows move, and a longer name of one breaks its line elsewhere.
        let text = String::from_utf8(output.stdout).unwrap();
        let is_row = |word: &str| word.contains("log.csv:") || word.contains("forward.csv:");
        let words = text.split_whitespace();
        let words = words.map(|word| if is_row(word) { "(row)" } else { word });
        words.collect::<Vec<_>>().join(" ")
    });
    run(folder, &["audit", ".", "--on", on, "--quiet"]);
    let reports = folder.join("reports");
    let page = std::fs::read_to_string(reports.join(format!("{on}-audit.html"))).unwrap();
    std::fs::remove_dir_all(reports).unwrap();
    let year = page
        .split("<section")
        .find(|part| part.contains("id=\"year\""));
    let year = year
        .unwrap_or_else(|| panic!("the page has no year"))
        .to_string();
    said.into_iter().chain([year]).collect()
}

fn strip(value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.remove("evidence");
            map.values_mut().for_each(strip);
        }
        Value::Array(list) => list.iter_mut().for_each(strip),
        _ => {}
    }
}

/// Nobody finds fault with a count, so that none is open.
fn accepted() -> String {
    let names = CONTAINERS.iter().map(|(name, ..)| *name).chain(["R"]);
    let rows = names.map(|name| format!("trade/count-agrees,{name},made up,owner,2030-01-01\n"));
    format!("rule,subject,why,by,until\n{}", rows.collect::<String>())
}

/// The log of bottles and rags, each line with its own name; people and minutes so that the air has something to judge.
fn log(lines: &[Line], rags: &[(&'static str, u32, &'static str)]) -> String {
    let head = "entry,when,what,container,amount,into,place,minutes,by,note\n";
    let mut text = head.to_string();
    for (at, line) in lines.iter().enumerate() {
        let row = line.text(&format!("e{at}"));
        let people = ["", "owner", "helper"][at % 3];
        text.push_str(&format!("{},,{},{people},\n", row.trim_end(), 5 + at % 50));
    }
    for (nth, entry) in rags.iter().enumerate() {
        let row = rag_line(nth, *entry);
        let (cells, note) = row.trim_end().rsplit_once(',').unwrap();
        let longer = format!("{text}r{cells},,,{note}\n");
        // What cannot be (too few rags) is left out.
        if stock_of(&longer, "2026-12-31").is_ok() {
            text = longer;
        }
    }
    text
}

proptest! {
    #![proptest_config(few(8))]

    #[test]
    fn a_closed_period_changes_no_audit(
        minutes in minutes(),
        rags in vec(rag_entry(), 1..14),
        cuts in (any::<Index>(), any::<Index>()),
    ) {
        let (lines, _) = written(&minutes);
        let log = log(&lines, &rags);
        // Both kinds of log have entries, and the second is not only a head.
        prop_assert!(log.len() > LOG_HEAD.len());
        let days: Vec<&str> = log.lines().skip(1).filter_map(|row| row.split(',').nth(1)?.get(..10)).collect();
        if days.is_empty() {
            return Ok(());
        }
        let folder = TempDir::new().unwrap();
        let at = folder.path();
        for (name, bytes) in shop_with(inventory(), log.clone()) {
            std::fs::write(at.join(name), bytes).unwrap();
        }
        std::fs::write(at.join("accepted.csv"), accepted()).unwrap();
        let mut cut = [days[cuts.0.index(days.len())], days[cuts.1.index(days.len())]];
        cut.sort_unstable();
        let later = ["2026-02-10", "2026-03-04", "2026-03-12", "2026-04-30", "2027-02-01"];
        let asked = |from: &str| -> Vec<String> {
            let from = from.to_string();
            std::iter::once(from.clone()).chain(later.iter().map(ToString::to_string).filter(move |day| *day > from)).collect()
        };
        for day in cut {
            let days = asked(day);
            let before = days.iter().map(|on| said(at, on)).collect::<Result<Vec<_>, _>>()?;
            let papers_before = papers(at, &days[days.len() / 2]);
            let output = run(at, &["roll", ".", "--to", day]);
            let told = String::from_utf8_lossy(&output.stderr).into_owned();
            // The second cut may be the first, or find nothing between them.
            let none = told.contains("are closed already") || told.contains("no entry of log.csv lies");
            prop_assert!(output.status.success() || none, "{}\n{}", told, log);
            for (on, before) in days.iter().zip(before) {
                prop_assert_eq!(&said(at, on)?, &before, "{} on {}:\n{}", day, on, log);
            }
            let papers = papers(at, &days[days.len() / 2]);
            for (before, after) in papers_before.iter().zip(papers) {
                prop_assert_eq!(&after, before, "{}:\n{}", day, log);
            }
        }
    }
}
