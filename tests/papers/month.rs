//! Month against month: what is new, standing, cleared; counts; actions.

use crate::{DEMO_DAY, demo, edit, file, root, said};
use serde_json::Value;
use std::path::Path;

const BEFORE: &str = "2026-09-30";
const FIRST: &str = "2026-08-31";

fn audit(folder: &Path, day: &str, more: &[&str]) -> Value {
    let mut args = vec!["audit", "shop", "--on", day, "--json", "-"];
    args.extend(more);
    serde_json::from_str(&said(folder, &args, 1)).unwrap()
}

fn list<'v>(found: &'v Value, path: &[&str]) -> &'v Vec<Value> {
    let at = path.iter().fold(found, |value, key| &value[key]);
    at.as_array()
        .unwrap_or_else(|| panic!("{path:?} is no list"))
}

/// The change about a rule and subject, if it is among them.
fn change<'v>(found: &'v Value, sort: &str, rule: &str, subject: &str) -> Option<&'v Value> {
    let mine = |c: &&Value| c["rule"] == rule && c["subject"]["id"] == subject;
    list(found, &["against", sort]).iter().find(mine)
}

fn report(folder: &Path, day: &str) -> std::path::PathBuf {
    folder.join(format!("shop/reports/{day}-audit.json"))
}

#[test]
fn three_months_of_the_demo() {
    let folder = demo();
    let first = audit(folder.path(), FIRST, &[]);
    assert!(first["against"]["on"].is_null() && first["against"]["file"].is_null());
    for finding in list(&first, &["findings"]) {
        let open =
            ["breach", "near", "cannot-judge"].contains(&finding["verdict"].as_str().unwrap());
        assert_eq!(finding["since"] == FIRST, open, "{finding}");
        assert_eq!(finding["since"].is_null(), !open);
    }
    audit(folder.path(), BEFORE, &[]);
    let third = audit(folder.path(), DEMO_DAY, &[]);
    assert_eq!(third["against"]["on"], BEFORE);
    assert_eq!(third["against"]["file"], format!("{BEFORE}-audit.json"));
    // A jar that was near and is past its time; open since the first of the three.
    let jar = change(&third, "standing", "kept-within", "J-5").unwrap();
    assert_eq!(
        (&jar["was"], &jar["is"], &jar["since"]),
        (&"near".into(), &"breach".into(), &FIRST.into())
    );
    assert!(change(&third, "new", "rags-secured", "R-1").is_some());
    let cleared = change(&third, "cleared", "exposure-legal", "finishing room").unwrap();
    assert_eq!(
        (&cleared["was"], &cleared["since"]),
        (&"cannot-judge".into(), &BEFORE.into())
    );
    // New and standing together are what is open, each once.
    let open: std::collections::BTreeSet<String> = list(&third, &["findings"])
        .iter()
        .filter(|f| !f["since"].is_null())
        .map(|f| format!("{}/{}/{}", f["pack"], f["rule"], f["subject"]))
        .collect();
    let sorts = ["new", "standing"].map(|sort| list(&third, &["against", sort]).len());
    assert_eq!(sorts.iter().sum::<usize>(), open.len());
    let days: Vec<&str> = list(&third, &["trend"])
        .iter()
        .map(|t| t["on"].as_str().unwrap())
        .collect();
    assert_eq!(days, [FIRST, BEFORE, DEMO_DAY]);
    for tally in list(&third, &["trend"]) {
        assert!(tally["counts"]["breach"].is_u64() && tally["counts"]["near"].is_u64());
    }
    for word in ["breach", "near", "cannot-judge", "meets", "not-in-force"] {
        assert_eq!(
            list(&third, &["trend"])[2]["counts"][word],
            third["counts"][word]
        );
        assert_eq!(
            list(&third, &["trend"])[0]["counts"][word],
            first["counts"][word]
        );
    }
    // The screen, as it is at the end of the third month.
    let args = ["audit", "shop", "--on", DEMO_DAY, "--full"];
    let screen = said(folder.path(), &args, 1);
    let path = root().join("tests/golden/demo-third-month.txt");
    let (_, from) = screen.split_once("\nCHANGES SINCE ").unwrap();
    let (part, _) = from.split_once("\nNOTHING TO DO ").unwrap();
    let part = format!("CHANGES SINCE {part}");
    if std::env::var("SNAPSHOTS").is_ok_and(|word| word == "overwrite") {
        std::fs::write(&path, &part).unwrap();
    }
    assert!(
        file(root(), "tests/golden/demo-third-month.txt") == part,
        "{part}"
    );
    let page = file(folder.path(), &format!("shop/reports/{DEMO_DAY}-audit.md"));
    assert!(page.contains("\n## Changes since 30 Sep 2026\n") && page.contains("\n## Actions\n"));
    // A second run of the day is held against the month before, not against itself.
    assert_eq!(audit(folder.path(), DEMO_DAY, &[]), third);
}

/// Only the packs of both are compared; what the other knew stays out, and is named.
#[test]
fn one_pack_alone_clears_nothing_of_the_others() {
    let folder = demo();
    audit(folder.path(), BEFORE, &[]);
    let alone = audit(folder.path(), DEMO_DAY, &["--pack", "us-workplace"]);
    assert_eq!(
        alone["against"]["packs_left_out"],
        serde_json::json!(["us-fire-code"])
    );
    for sort in ["new", "standing", "cleared"] {
        for change in list(&alone, &["against", sort]) {
            assert_ne!(change["pack"], "us-fire-code", "{sort}: {change}");
        }
    }
}

/// What is no audit of this shop never stops one: it is said, and the one before it is taken.
#[test]
fn a_foreign_report_is_said_and_passed_over() {
    let folder = demo();
    audit(folder.path(), FIRST, &[]);
    let good = std::fs::read_to_string(report(folder.path(), FIRST)).unwrap();
    let renamed = good.replace(&format!("\"on\": \"{FIRST}\""), "\"on\": \"2026-10-01\"");
    let shop = "Restorer of long-case clocks (made up)";
    let foreign: [(&str, Vec<u8>, &str); 8] = [
        (
            "2026-10-01",
            good.clone().into_bytes(),
            "its date is `2026-08-31`",
        ),
        ("2026-10-02", b"{".to_vec(), "it is not an audit: "),
        ("2026-10-03", b"\xff\xfe\0".to_vec(), "it is not an audit: "),
        (
            "2026-10-04",
            b"{\"format\": 1}".to_vec(),
            "it is not an audit: missing field",
        ),
        (
            "2026-10-05",
            good.replacen("\"format\": 1", "\"format\": 2", 1)
                .into_bytes(),
            "it has format 2, but this program reads format 1",
        ),
        (
            "2026-10-06",
            renamed
                .replace("2026-10-01", "2026-10-06")
                .replace(shop, "Another shop")
                .into_bytes(),
            "it is of another shop, `Another shop`",
        ),
        ("2026-10-07", Vec::new(), "it is not an audit: "),
        (
            "2026-10-08",
            b"[[[[[[".repeat(50_000).to_vec(),
            "it is not an audit: ",
        ),
    ];
    for (day, bytes, _) in &foreign {
        std::fs::write(report(folder.path(), day), bytes).unwrap();
    }
    std::fs::create_dir(report(folder.path(), "2026-10-09")).unwrap();
    let found = audit(folder.path(), DEMO_DAY, &["--no-reports"]);
    assert_eq!(found["against"]["on"], FIRST);
    let over = list(&found, &["against", "passed_over"]);
    assert_eq!(over.len(), foreign.len() + 1);
    assert!(
        over[0]["why"]
            .as_str()
            .unwrap()
            .starts_with("it cannot be read: ")
    );
    for ((day, _, why), told) in foreign.iter().rev().zip(&over[1..]) {
        assert_eq!(told["file"], format!("{day}-audit.json"));
        let said = told["why"].as_str().unwrap();
        assert!(said.starts_with(why), "{day}: {said}");
    }
    let screen = said(
        folder.path(),
        &["audit", "shop", "--on", DEMO_DAY, "--no-reports", "--full"],
        1,
    );
    let flat = screen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("reports/2026-10-05-audit.json was skipped: it has format 2"));
    // Later ones are no earlier ones, and other names are no audits.
    std::fs::write(report(folder.path(), "2026-11-01"), "x").unwrap();
    std::fs::write(folder.path().join("shop/reports/notes-audit.json"), "x").unwrap();
    assert_eq!(audit(folder.path(), DEMO_DAY, &["--no-reports"]), found);
}

/// An earlier audit that knew no `since` counts from its own day.
#[test]
fn an_audit_without_since_counts_from_its_day() {
    let folder = demo();
    audit(folder.path(), BEFORE, &[]);
    let path = report(folder.path(), BEFORE);
    let mut old: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
    for key in ["trend", "against", "actions"] {
        old.as_object_mut().unwrap().remove(key);
    }
    for finding in old["findings"].as_array_mut().unwrap() {
        finding.as_object_mut().unwrap().remove("since");
    }
    std::fs::write(&path, old.to_string()).unwrap();
    let found = audit(folder.path(), DEMO_DAY, &["--no-reports"]);
    let jar = change(&found, "standing", "kept-within", "J-5").unwrap();
    assert_eq!(jar["since"], BEFORE);
    assert_eq!(list(&found, &["trend"]).len(), 2);
}

fn states(found: &Value) -> Vec<(String, String, String)> {
    let word = |v: &Value| v.as_str().unwrap_or("").to_string();
    let rows = list(found, &["actions"]).iter();
    rows.map(|a| (word(&a["action"]), word(&a["state"]), word(&a["remark"])))
        .collect()
}

/// Open until it is closed with a day and initials; late ones first; a closed one is shown for a month.
#[test]
fn actions_are_carried_forward() {
    let folder = demo();
    let table = "action,rule,subject,what,who,by,closed,initials,note\n\
        late,,,mend the lid,owner,2026-10-30,,,\n\
        today,,,mend the fan,owner,2026-10-31,,,\n\
        someday,,,mend the roof,,,,,\n\
        half,,,mend the door,owner,2026-10-01,2026-10-02,,\n\
        other-half,,,mend the wall,owner,2026-11-30,,own,\n\
        done,,,mend the shelf,owner,2026-10-01,2026-09-30,own,\n\
        long-done,,,mend the step,owner,2026-10-01,2026-09-29,own,\n\
        tomorrow,,,mend the bell,owner,2026-11-05,2026-11-01,own,\n\
        stands,rags-secured,R-1,agree on closing time,owner,2026-10-30,2026-10-30,own,\n\
        gone,trade/kept-within,A-1,test the spirit,owner,2026-11-30,,,\n";
    std::fs::write(folder.path().join("shop/actions.csv"), table).unwrap();
    let found = audit(folder.path(), DEMO_DAY, &["--no-reports"]);
    let row = |a: &str, b: &str, c: &str| (a.to_string(), b.to_string(), c.to_string());
    assert_eq!(
        states(&found),
        [
            row(
                "half",
                "late",
                "Closed without initials, so it is still open"
            ),
            row("late", "late", ""),
            row("today", "open", ""),
            row("tomorrow", "open", ""),
            row(
                "other-half",
                "open",
                "Initialed without a date, so it is still open"
            ),
            row(
                "gone",
                "open",
                "Its finding is gone. Close it with date and initials"
            ),
            row("someday", "open", "Name a person for it"),
            row("done", "closed", ""),
            row(
                "stands",
                "closed",
                "Marked done, but its finding is still open"
            ),
        ]
    );
    let due = said(folder.path(), &["calendar", "shop", "--on", DEMO_DAY], 0);
    assert!(due.contains("SUMMARY:mend the lid (owner) (was due 30 Oct 2026)\r\n"));
    assert!(!due.contains("SUMMARY:mend the shelf") && !due.contains("SUMMARY:mend the roof"));
    // On the day it is closed it is closed.
    edit(
        folder.path(),
        "shop/actions.csv",
        "2026-11-01,own",
        "2026-10-31,own",
    );
    let found = audit(folder.path(), DEMO_DAY, &["--no-reports"]);
    assert!(states(&found).contains(&row("tomorrow", "closed", "")));
}
