//! The one way to write, as a program uses it: rows with ids, columns that a table lacks, refusals as data.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::Shop;
use sandarac::quantity::{Day, Moment};
use sandarac::record::{CHECKS, INVENTORY, LOG};
use sandarac::store::{Access, Clock, NewRow, NotWritten, Outcome, Plan, Store, Submission};
use std::path::Path;
use tempfile::TempDir;

/// The demo's last entry is of this day.
const NOW: &str = "2026-10-31T18:00";

fn moment(text: &str) -> Moment {
    Moment::parse(text).unwrap()
}

fn clock() -> Clock {
    Clock::typed(moment(NOW))
}

fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo");
    for entry in std::fs::read_dir(demo).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, folder.path().join(path.file_name().unwrap())).unwrap();
    }
    folder
}

fn read(folder: &TempDir, name: &str) -> String {
    std::fs::read_to_string(folder.path().join(name)).unwrap_or_default()
}

fn open(folder: &TempDir, access: Access) -> Result<Store, NotWritten> {
    Store::open(folder.path(), &[&LOG, &CHECKS, &INVENTORY], access)
}

fn store(folder: &TempDir) -> Store {
    open(folder, Access::Write).unwrap()
}

fn row(what: &str, container: &str, amount: &str) -> NewRow {
    let cells = [
        ("when", NOW),
        ("what", what),
        ("container", container),
        ("amount", amount),
    ];
    NewRow::new(&LOG, &cells)
}

fn used(id: &str, amount: &str) -> Submission {
    Submission {
        id: (!id.is_empty()).then(|| id.to_string()),
        rows: vec![row("use", "A-1", amount)],
    }
}

fn send(folder: &TempDir, submissions: &[Submission]) -> Result<Vec<Outcome>, NotWritten> {
    let store = store(folder);
    let plan = store.plan(submissions, &clock())?;
    store.write(&plan)?;
    Ok(plan.outcomes)
}

fn numbers(outcome: &Outcome) -> Vec<&str> {
    match outcome {
        Outcome::New(numbers) => numbers.iter().map(String::as_str).collect(),
        Outcome::Already(rows) => rows
            .iter()
            .flatten()
            .filter(|(column, _)| *column == "entry")
            .map(|(_, number)| number.as_str())
            .collect(),
    }
}

#[test]
fn what_bears_an_id_is_written_once() {
    let folder = demo();
    let before = read(&folder, "log.csv").lines().count();
    let both = [
        used("k3v9", "1 fl oz"),
        used("", "2 fl oz"),
        used("k3v9", "1 fl oz"),
    ];
    let first = send(&folder, &both).unwrap();
    assert_eq!(
        first.iter().map(numbers).collect::<Vec<_>>(),
        [["204"], ["205"], ["204"]]
    );
    let text = read(&folder, "log.csv");
    assert_eq!(text.lines().count(), before + 2);
    let last: Vec<&str> = text.lines().rev().take(2).collect();
    assert_eq!(
        last[1],
        format!("204,{NOW},use,A-1,1 fl oz,,,,,,,{NOW},k3v9")
    );
    assert_eq!(last[0], format!("205,{NOW},use,A-1,2 fl oz,,,,,,,{NOW},"));
    // Sent again by another program, after the answer was lost.
    let again = send(&folder, &[used("k3v9", " 1 fl oz")]).unwrap();
    let Outcome::Already(rows) = &again[0] else {
        panic!("{again:?}");
    };
    assert!(matches!(first[2], Outcome::Already(_)));
    assert!(rows[0].contains(&("written", NOW.to_string())));
    assert_eq!(numbers(&again[0]), ["204"]);
    assert_eq!(read(&folder, "log.csv"), text);
    // The same id with other words is a mistake, and is shown.
    for other in [used("k3v9", "3 fl oz"), used("k3v9", "")] {
        match send(&folder, &[used("new", "1 mL"), other]) {
            Err(NotWritten::OtherContent { id, there }) => {
                assert_eq!((id.as_str(), there.len()), ("k3v9", 1));
            }
            other => panic!("{other:?}"),
        }
    }
    let twins = [used("twin", "1 mL"), used("twin", "2 mL")];
    assert!(matches!(
        send(&folder, &twins),
        Err(NotWritten::OtherContent { .. })
    ));
    assert_eq!(read(&folder, "log.csv"), text);
}

#[test]
fn rows_of_several_tables_are_sent_again_as_one() {
    let folder = demo();
    let jar = [
        ("container", "J-77"),
        ("product", "shellac 1 lb cut, dewaxed"),
        ("amount", "0 fl oz"),
    ];
    let mut mix = row("mix", "J-2", "2 fl oz");
    mix.cells.push(("into", "J-77".into()));
    let answer = [
        ("when", NOW),
        ("check", "dust"),
        ("where", "store-room"),
        ("answer", "yes"),
    ];
    let all = Submission {
        id: Some("once".into()),
        rows: vec![
            NewRow::new(&INVENTORY, &jar),
            mix,
            NewRow::new(&CHECKS, &answer),
        ],
    };
    let tables = || ["inventory.csv", "log.csv", "checks.csv"].map(|name| read(&folder, name));
    let first = send(&folder, std::slice::from_ref(&all)).unwrap();
    assert_eq!(first, [Outcome::New(vec!["204".into()])]);
    let after = tables();
    assert!(after[0].contains("\nJ-77,"));
    assert!(after[2].ends_with(&format!(",{NOW},once\n")));
    let again = send(&folder, &[all]).unwrap();
    assert!(matches!(&again[0], Outcome::Already(rows) if rows.len() == 2));
    assert_eq!(tables(), after);
    Shop::open(folder.path(), &[]).unwrap();
}

/// Some are sent, some answers are lost, and then all are sent again, in other bundles.
#[test]
fn sending_in_any_bundles_gives_each_row_once() {
    let folder = demo();
    let all: Vec<Submission> = (0..9).map(|it| used(&format!("id-{it}"), "1 mL")).collect();
    for bundle in [0..3, 1..6, 0..2, 5..6, 2..9, 0..9] {
        send(&folder, &all[bundle]).unwrap();
    }
    let text = read(&folder, "log.csv");
    for it in 0..9 {
        assert_eq!(text.matches(&format!(",id-{it}\n")).count(), 1);
    }
}

/// Whatever a person or a spreadsheet made of a table stays to the byte; only the new column is added.
#[test]
fn a_column_is_added_and_nothing_else_changes() {
    let folder = demo();
    let checks = "# ours\r\n\r\nWHERE,\"check\",when,answer\r\nstore-room,\"dust\" ,2026-10-02,yes\r\n\
                  # kept, too\r\nstore-room,dust,2026-10-09,\"yes\"";
    std::fs::write(folder.path().join("checks.csv"), checks).unwrap();
    let audited = || {
        let shop = Shop::open(folder.path(), &[]).unwrap();
        let audit = shop.audit(Day::parse("2026-10-31").unwrap()).unwrap();
        format!(
            "{:?}",
            audit
                .findings()
                .iter()
                .map(|it| (&it.rule.id, it.verdict))
                .collect::<Vec<_>>()
        )
    };
    let before = audited();
    let cells = [
        ("when", NOW),
        ("check", "exit-light"),
        ("where", "street door"),
        ("answer", "yes"),
        ("by", "me, too"),
    ];
    let answer = Submission::without_id(vec![NewRow::new(&CHECKS, &cells)]);
    send(&folder, &[answer]).unwrap();
    let wide = format!(
        "# ours\r\n\r\nWHERE,\"check\",when,answer,by,written\r\nstore-room,\"dust\" ,2026-10-02,yes,,\r\n\
         # kept, too\r\nstore-room,dust,2026-10-09,\"yes\",,\r\n\
         street door,exit-light,{NOW},yes,\"me, too\",{NOW}\r\n"
    );
    assert_eq!(read(&folder, "checks.csv"), wide);
    // Without the new row, and with no word of it, the wide table says what the old one said.
    std::fs::remove_dir_all(folder.path().join(".sandarac")).unwrap();
    let cut = wide.split("street door").next().unwrap();
    std::fs::write(folder.path().join("checks.csv"), cut).unwrap();
    assert_eq!(audited(), before);
}

#[test]
fn a_refusal_is_data_and_changes_nothing() {
    let folder = demo();
    let before = read(&folder, "log.csv");
    let refused = |rows: Vec<NewRow>| send(&folder, &[Submission::without_id(rows)]).unwrap_err();
    match refused(vec![
        row("use", "A-1", "1 fl oz"),
        row("use", "J-22", "1 fl oz"),
    ]) {
        NotWritten::Problems(misfit) => {
            let problem = &misfit.shown.list[0];
            assert_eq!((problem.file.as_str(), problem.row), ("log.csv", Some(206)));
            assert_eq!(problem.field.as_deref(), Some("container"));
            assert_eq!((problem.code, misfit.problems.count()), ("name-unknown", 1));
        }
        other => panic!("{other:?}"),
    }
    let twice = NewRow::new(&INVENTORY, &[("container", "A-1"), ("product", "x")]);
    assert!(matches!(refused(vec![twice]), NotWritten::Shop(_)));
    assert_eq!(read(&folder, "log.csv"), before);
    std::fs::write(folder.path().join("~$log.csv"), "").unwrap();
    match open(&folder, Access::Write).err().unwrap() {
        NotWritten::OpenElsewhere { file, sign } => {
            assert_eq!((file, &*sign), ("log.csv", "~$log.csv"))
        }
        other => panic!("{other:?}"),
    }
    assert!(open(&folder, Access::WriteAnyway).is_ok());
}

/// What the rows would break is reported before they are written, and the caller decides.
#[test]
fn new_breaches_are_told_beforehand() {
    let folder = demo();
    let store = store(&folder);
    let mut away = row("move", "C-1", "");
    away.cells.push(("place", "sink shelf".into()));
    let plan = store
        .plan(&[Submission::without_id(vec![away])], &clock())
        .unwrap();
    let rules = |plan: &Plan| {
        plan.against
            .iter()
            .map(|it| it.rule.id.to_string())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        rules(&plan),
        ["ammonia-never-with-bleach", "ammonia-from-bleach"]
    );
    let fine = store.plan(&[used("", "1 fl oz")], &clock()).unwrap();
    assert!(fine.against.is_empty() && fine.told.is_empty());
    // Nothing is written by planning, and either can be written then; but only one of the two.
    assert_eq!(read(&folder, "log.csv").lines().count(), 204);
    store.write(&plan).unwrap();
    assert!(matches!(
        store.write(&fine),
        Err(NotWritten::Shop(_) | NotWritten::Folder(_))
    ));
    assert_eq!(read(&folder, "log.csv").lines().count(), 205);
}

#[test]
fn only_looking_leaves_no_trace() {
    let folder = demo();
    let before = read(&folder, "log.csv");
    let store = open(&folder, Access::Look).unwrap();
    let plan = store.plan(&[used("x", "1 fl oz")], &clock()).unwrap();
    assert_eq!(plan.outcomes, [Outcome::New(vec!["204".into()])]);
    assert!(matches!(store.write(&plan), Err(NotWritten::OnlyLooking)));
    assert_eq!(read(&folder, "log.csv"), before);
    assert!(!folder.path().join(".sandarac").exists());
}

#[test]
fn the_clock_is_compared_to_the_minute() {
    let folder = demo();
    let store = open(&folder, Access::Look).unwrap();
    let at = |now: &str, by_clock: bool, anyway: bool| {
        let clock = Clock {
            now: moment(now),
            by_clock,
            anyway,
        };
        store.plan(&[used("", "1 mL")], &clock).map(|_| ())
    };
    assert!(at(NOW, false, false).is_ok());
    match at("2026-10-31T17:59", false, false) {
        Err(NotWritten::Ahead { name, when, now }) => {
            assert_eq!((name.as_str(), when), ("A-1", moment(NOW)));
            assert_eq!(now, moment("2026-10-31T17:59"));
        }
        other => panic!("{other:?}"),
    }
    assert!(at("2026-10-31T17:59", false, true).is_ok());
    // An hour is given back each autumn.
    let mut early = used("", "1 mL");
    early.rows[0].cells[0].1 = "2026-10-31T11:00".into();
    let behind = |now: &str| {
        let clock = Clock {
            by_clock: true,
            ..Clock::typed(moment(now))
        };
        store.plan(std::slice::from_ref(&early), &clock)
    };
    let last = read(&folder, "log.csv");
    let last = moment(last.lines().last().unwrap().split(',').nth(1).unwrap());
    assert_eq!(last.to_string(), LAST);
    assert!(behind(HOUR_BEFORE).is_ok());
    assert!(matches!(
        behind(LONGER_BEFORE),
        Err(NotWritten::ClockBehind { .. })
    ));
}

const LAST: &str = "2026-10-31T12:10";
const HOUR_BEFORE: &str = "2026-10-31T11:10";
const LONGER_BEFORE: &str = "2026-10-31T11:09";

/// What is taken back by its ids is not missed: an answer goes, an entry is voided, and the journal knows. A row that somebody else
/// removes is still missed.
#[test]
fn what_is_taken_back_is_not_missed() {
    let folder = demo();
    let answer = |id: &str, answer: &str| Submission {
        id: Some(id.to_string()),
        rows: vec![NewRow::new(
            &CHECKS,
            &[
                ("when", NOW),
                ("check", "lids-closed"),
                ("answer", answer),
                ("by", id),
            ],
        )],
    };
    let count = Submission {
        id: Some("count1".to_string()),
        rows: vec![row("count", "A-1", "1 pt")],
    };
    let before = (read(&folder, "checks.csv"), read(&folder, "log.csv"));
    let first = store(&folder);
    let plan = first
        .plan(
            &[answer("kept", "yes"), answer("taken", "no"), count.clone()],
            &clock(),
        )
        .unwrap();
    first.write(&plan).unwrap();
    drop(first);
    let taken = store(&folder);
    assert!(
        taken
            .plan_without(&["nobody"], ("Ann", "void"), &clock())
            .unwrap()
            .is_none()
    );
    let plan = taken.plan_without(&["taken", "count1"], ("Ann", "void"), &clock());
    taken.write(&plan.unwrap().unwrap()).unwrap();
    drop(taken);
    let checks = read(&folder, "checks.csv");
    assert!(
        checks.contains(",kept") && !checks.contains(",taken"),
        "{checks}"
    );
    assert_eq!(checks.lines().count(), before.0.lines().count() + 1);
    let log = read(&folder, "log.csv");
    assert_eq!(
        log.lines().count(),
        before.1.lines().count() + 2,
        "the count stays, voided"
    );
    assert!(log.lines().last().unwrap().contains("correct,"), "{log}");
    let is_whole = || Shop::open(folder.path(), &[]).is_ok();
    assert!(is_whole());
    // The index says nothing that the journal does not say.
    std::fs::remove_file(folder.path().join(".sandarac/checks.csv.rows")).unwrap();
    assert!(is_whole());
    // The same answer can be given again under the same id.
    let again = store(&folder);
    let plan = again.plan(&[answer("taken", "no")], &clock()).unwrap();
    assert!(matches!(plan.outcomes[..], [Outcome::New(_)]));
    again.write(&plan).unwrap();
    drop(again);
    assert!(is_whole());
    let path = folder.path().join("checks.csv");
    let rest: String = read(&folder, "checks.csv")
        .lines()
        .filter(|line| !line.contains(",taken"))
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(path, rest).unwrap();
    assert!(!is_whole(), "somebody else removed it");
}
