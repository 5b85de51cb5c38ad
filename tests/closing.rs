//! Closing time: which states of a rag raise no alarm over night, what counts as accounted for, and how `close` ends.
//!
//! The states follow fire services' and fire-protection bodies' advice on rags with drying oil: spread flat outdoors, or
//! under water in a lidded metal can, or gone; a listed can is emptied daily (29 CFR 1910.107(g)(3); model fire code 2018,
//! 304.3.1). Put together they are a judgment, and so is that one rag is enough.
#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const TABLES: [(&str, &str); 5] = [
    (
        "shop.toml",
        "name = \"t\"\nunits = \"us\"\npacks = [\"trade\"]\nemployees = 0\nbusiness = false\n",
    ),
    ("rooms.csv", "room,use,level\nroom,finishing,ground\n"),
    (
        "places.csv",
        "place,room,kind,rated\nbench,room,bench,\ncabinet,room,cabinet,yes\nrag can,room,oily-waste-can,yes\n\
         water can,room,water-can,\nyard,room,outdoors,\nline,room,drying-line,yes\nshed line,room,drying-line,\n\
         pad jar,room,pad-jar,\nshelf,room,shelf,\n",
    ),
    (
        "products.csv",
        "product,kind,flash_point,drying_oil\nspirit,solvent,55 F,no\nvarnish,oil-varnish,104 F,\n\
         oddment,stain,120 F,\ncloth,other,none,no\n",
    ),
    (
        "inventory.csv",
        "container,product,vessel,capacity,place,since,amount,opened\nA-1,spirit,metal,1 qt,cabinet,2026-11-01,1 pt,\n\
         V-1,varnish,metal,1 qt,cabinet,2026-11-01,1 pt,\nS-1,oddment,metal,1 qt,cabinet,2026-11-01,1 pt,\n\
         R-1,cloth,rag,,shelf,2026-11-01,20 pcs,\nP-1,cloth,pad,,shelf,2026-11-01,4 pcs,\n",
    ),
];
const LOG: &str = "entry,when,what,container,amount,into,place,minutes,by,note\n";
/// The can was emptied once, so that it is known to be empty.
const BEGUN: &str = "0,2026-11-02T17:00,empty,,,,rag can,,,\n";
const LIDS: &str = "2026-11-24T17:50,lids-closed,room,yes\n";
const AT: &str = "2026-11-24T18:00";

fn shop(log: &str, checks: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    let checks = format!("when,check,where,answer\n{checks}");
    let log = format!("{LOG}{BEGUN}{log}");
    let all = TABLES
        .into_iter()
        .chain([("log.csv", log.as_str()), ("checks.csv", checks.as_str())]);
    for (name, text) in all {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

fn close(folder: &Path, more: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).env_remove("COLUMNS");
    command.args(["close", "."]).args(more).output().unwrap()
}

fn at(folder: &Path, moment: &str, more: &[&str]) -> Output {
    close(folder, &[&["--at", moment], more].concat())
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn json(folder: &Path, moment: &str) -> Value {
    serde_json::from_slice(&at(folder, moment, &["--json", "-"]).stdout).unwrap()
}

/// `standing about subject` of every line.
fn lines(folder: &Path, moment: &str) -> Vec<String> {
    let found = json(folder, moment);
    let word = |line: &Value, key: &str| line[key].as_str().unwrap().to_string();
    found["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| {
            let [a, b, c] = ["standing", "about", "subject"].map(|key| word(line, key));
            format!("{a} {b} {c}")
        })
        .collect()
}

/// What is open but for the questions.
fn open(folder: &Path, moment: &str) -> Vec<String> {
    let mut list = lines(folder, moment);
    list.retain(|line| line.starts_with("open") && !line.contains("question"));
    list
}

fn soiled(more: &str) -> TempDir {
    let soil = "1,2026-11-24T10:00,soil,R-1,1 pcs,V-1,bench,,,\n";
    shop(&format!("{soil}{more}"), LIDS)
}

/// A can that is not on record as listed is no way to put an oily rag away.
#[test]
fn an_unlisted_can_is_not_proposed() {
    let folder = soiled("");
    assert!(out(&at(folder.path(), AT, &[])).contains("sandarac log bin R-1"));
    let places = folder.path().join("places.csv");
    let text = std::fs::read_to_string(&places).unwrap();
    std::fs::write(
        &places,
        text.replace("oily-waste-can,yes", "oily-waste-can,"),
    )
    .unwrap();
    let text = out(&at(folder.path(), AT, &[]));
    assert!(!text.contains("sandarac log bin"), "{text}");
    assert!(text.contains("sandarac log soak R-1"), "{text}");
}

/// One rag is enough, wherever it lies indoors.
#[test]
fn one_wet_rag_is_open() {
    let moves = [
        "",
        "2,2026-11-24T11:00,spread,R-1,1 pcs,,bench,,,\n",
        "2,2026-11-24T11:00,spread,R-1,1 pcs,,shed line,,,\n",
        "2,2026-11-24T11:00,move,R-1,1 pcs,,cabinet,,,\n",
        "2,2026-11-24T11:00,bin,R-1,1 pcs,,rag can,,,\n3,2026-11-24T12:00,move,R-1,1 pcs,,bench,,,\n",
        "2,2026-11-24T11:00,soak,R-1,1 pcs,,water can,,,\n3,2026-11-24T12:00,move,R-1,1 pcs,,shelf,,,\n",
        "2,2026-11-24T11:00,spread,R-1,1 pcs,,yard,,,\n3,2026-11-24T12:00,move,R-1,1 pcs,,bench,,,\n",
        // A rag that is no pad stays wet in the jar for pads.
        "2,2026-11-24T11:00,move,R-1,1 pcs,,pad jar,,,\n",
    ];
    for more in moves {
        let folder = soiled(more);
        assert_eq!(open(folder.path(), AT), ["open oily-rag R-1"], "{more}");
        assert_eq!(at(folder.path(), AT, &[]).status.code(), Some(1));
    }
}

/// Rags in the trash burn there; only as hazardous waste do they leave the building wet.
#[test]
fn a_wet_rag_in_the_trash_is_open() {
    let discard = |into: &str| format!("2,2026-11-24T11:00,discard,R-1,20 pcs,{into},,,,\n");
    let as_waste = soiled(&discard("hazardous-waste"));
    assert!(open(as_waste.path(), AT).is_empty());
    // Three nights later it is still asked after; on the fourth only the audit reports it.
    let folder = soiled(&discard(""));
    for (moment, asked) in [
        (AT, true),
        ("2026-11-27T18:00", true),
        ("2026-11-28T18:00", false),
    ] {
        let lines = open(folder.path(), moment);
        assert_eq!(
            lines.contains(&"open oily-rag R-1".to_string()),
            asked,
            "{moment}"
        );
    }
}

/// Flat outdoors, under water, and gone: the only states without an alarm.
#[test]
fn three_states_raise_no_alarm() {
    let moves = [
        "2,2026-11-24T11:00,spread,R-1,1 pcs,,yard,,,\n",
        "2,2026-11-24T11:00,spread,R-1,1 pcs,,line,,,\n",
        "2,2026-11-24T11:00,bin,R-1,1 pcs,,rag can,,,\n3,2026-11-24T17:30,empty,,,,rag can,,,\n",
    ];
    for more in moves {
        let folder = soiled(more);
        assert!(open(folder.path(), AT).is_empty(), "{more}");
    }
    let water = "2,2026-11-24T11:00,soak,R-1,1 pcs,,water can,,,\n";
    let folder = soiled(water);
    let asked: Vec<String> = lines(folder.path(), AT)
        .into_iter()
        .filter(|line| line.starts_with("open"))
        .collect();
    assert_eq!(
        asked,
        ["open question water-can"],
        "the water is asked about"
    );
}

/// A can for oily waste is emptied every day; rags in it are not accounted for before that.
#[test]
fn the_can_is_open_until_it_is_emptied() {
    let bin = "2,2026-11-24T11:00,bin,R-1,1 pcs,,rag can,,,\n";
    let folder = soiled(bin);
    assert_eq!(open(folder.path(), AT), ["open can rag can"]);
    let told = out(&at(folder.path(), AT, &[]));
    assert!(told.contains("sandarac log empty 'rag can'"), "{told}");
    assert!(told.contains("last emptied on 2 Nov"), "{told}");
    let next = out(&at(folder.path(), "2026-11-25T09:00", &[]));
    assert!(next.contains("They were in it overnight"), "{next}");
    let emptied = soiled(&format!("{bin}3,2026-11-24T17:30,empty,,,,rag can,,,\n"));
    let told = out(&at(emptied.path(), AT, &[]));
    assert!(told.contains("rag can: Emptied today at 5:30 pm"), "{told}");
    // Before that entry it was not.
    assert_eq!(
        open(emptied.path(), "2026-11-24T17:29"),
        ["open can rag can"]
    );
}

/// Of a can about which nothing is logged, nothing is known.
#[test]
fn a_can_without_an_entry_is_open() {
    let folder = shop("", LIDS);
    std::fs::write(folder.path().join("log.csv"), LOG).unwrap();
    assert_eq!(open(folder.path(), AT), ["open can rag can"]);
    let looked = format!("{LIDS}2026-11-24T17:51,rag-can-empty,rag can,yes\n");
    std::fs::write(
        folder.path().join("checks.csv"),
        format!("when,check,where,answer\n{looked}"),
    )
    .unwrap();
    assert!(open(folder.path(), AT).is_empty());
}

/// What is unknown, or mixed, counts as a drying oil; what is known not to dry heats nothing, but its vapour burns.
#[test]
fn what_is_on_a_rag() {
    let soil = |by: &str| {
        let soil = format!("1,2026-11-24T10:00,soil,R-1,1 pcs,{by},bench,,,\n");
        let folder = shop(&soil, LIDS);
        open(folder.path(), AT)
    };
    assert_eq!(soil("A-1"), ["open rag R-1"], "spirit");
    assert_eq!(soil("V-1"), ["open oily-rag R-1"], "varnish");
    assert_eq!(
        soil("S-1"),
        ["open oily-rag R-1"],
        "a stain of which nothing is said"
    );
    assert_eq!(soil(""), ["open oily-rag R-1"], "not recorded");
    assert_eq!(soil("P-1"), ["open oily-rag R-1"], "off another cloth");
    assert_eq!(soil("R-1"), ["open oily-rag R-1"], "off itself");
    let both = "1,2026-11-24T10:00,soil,R-1,3 pcs,A-1,bench,,,\n2,2026-11-24T10:10,soil,R-1,3 pcs,V-1,bench,,,\n";
    let folder = shop(both, LIDS);
    assert_eq!(
        open(folder.path(), AT),
        ["open oily-rag R-1", "open rag R-1"],
        "each is a batch of its own"
    );
}

/// Pads live in their jar, which is asked about as a container is; one with drying oil is a warning there, and an oily rag
/// the moment it leaves.
#[test]
fn pads_in_their_jar() {
    let charged = |by: &str| format!("1,2026-11-24T10:00,soil,P-1,2 pcs,{by},pad jar,,,\n");
    let spirit = shop(&charged("A-1"), LIDS);
    assert!(lines(spirit.path(), AT).contains(&"accounted rag P-1".to_string()));
    assert_eq!(at(spirit.path(), AT, &[]).status.code(), Some(0));
    let oiled = shop(&charged("V-1"), LIDS);
    assert!(lines(oiled.path(), AT).contains(&"warning oily-rag P-1".to_string()));
    assert_eq!(at(oiled.path(), AT, &[]).status.code(), Some(0));
    let left = "2,2026-11-24T16:00,move,P-1,2 pcs,,bench,,,\n";
    let out = shop(&format!("{}{left}", charged("V-1")), LIDS);
    let found = json(out.path(), AT);
    assert_eq!(open(out.path(), AT), ["open oily-rag P-1"]);
    assert_eq!(
        found["lines"][0]["since"], "2026-11-24T16:00",
        "wet anew since it left"
    );
    let unasked = shop(&charged("A-1"), "");
    assert_eq!(
        at(unasked.path(), AT, &[]).status.code(),
        Some(1),
        "the lids"
    );
}

/// Soiled rags that a count misses are asked after.
#[test]
fn a_count_that_misses_soiled_rags_is_open() {
    let folder = soiled("2,2026-11-24T17:00,count,R-1,0 pcs,,,,,\n");
    let told = out(&at(folder.path(), AT, &[]));
    assert!(
        told.contains("missing since the count of 5:00 pm today"),
        "{told}"
    );
    assert_eq!(open(folder.path(), AT), ["open oily-rag R-1"]);
}

/// On the bench stays no more than a day's supply; where no use is on record that is unknown.
#[test]
fn the_bench() {
    let out = "1,2026-11-24T09:00,move,A-1,,,bench,,,\n";
    let folder = shop(out, LIDS);
    assert_eq!(open(folder.path(), AT), ["open bench spirit"]);
    let told = String::from_utf8(at(folder.path(), AT, &[]).stdout).unwrap();
    assert!(told.contains("sandarac log move A-1 cabinet"), "{told}");
    let used =
        "2,2026-11-23T09:00,use,A-1,4 fl oz,,,30,,\n3,2026-11-23T11:00,use,A-1,6 fl oz,,,30,,\n";
    let folder = shop(&format!("{used}{out}"), LIDS);
    // 6 fl oz are left of the pint, and 10 were used on the day before.
    assert!(open(folder.path(), AT).is_empty());
    let half = "2,2026-11-23T09:00,use,A-1,4 fl oz,,,30,,\n";
    let folder = shop(&format!("{half}{out}"), LIDS);
    assert_eq!(
        open(folder.path(), AT),
        ["open bench spirit"],
        "12 fl oz and 4"
    );
}

/// Amounts with too many digits to be added up: more stands on the bench than the sum shows, so it is no day's supply.
#[test]
fn a_sum_that_cannot_be_kept_is_unknown() {
    let used =
        "1,2026-11-23T09:00,use,A-1,320 fl oz,,,30,,\n2,2026-11-24T09:00,move,A-1,,,bench,,,\n";
    let folder = shop(used, LIDS);
    let path = folder.path().join("inventory.csv");
    let inventory = std::fs::read_to_string(&path).unwrap();
    let a_1 = "A-1,spirit,metal,1 qt,cabinet,2026-11-01,1 pt,";
    let inventory = inventory.replace(a_1, "A-1,spirit,metal,5 gal,cabinet,2026-11-01,5 gal,");
    std::fs::write(&path, &inventory).unwrap();
    assert!(open(folder.path(), AT).is_empty());
    let fine = "A-2,spirit,metal,1 qt,bench,2026-11-01,0.000000000000001 fl oz,\n";
    std::fs::write(&path, format!("{inventory}{fine}")).unwrap();
    assert_eq!(open(folder.path(), AT), ["open bench spirit"]);
}

/// Lids and fan are asked about each evening; an answer of yesterday, or of later, is none, and a no is no yes.
#[test]
fn questions_are_asked_today() {
    let ends = |log: &str, checks: &str| {
        let folder = shop(log, checks);
        let list = lines(folder.path(), AT);
        list.into_iter()
            .filter(|line| line.starts_with("open"))
            .collect::<Vec<_>>()
    };
    let lids = ["open question lids-closed"];
    assert!(ends("", LIDS).is_empty());
    assert_eq!(ends("", ""), lids);
    assert_eq!(ends("", "2026-11-23T17:50,lids-closed,room,yes\n"), lids);
    assert_eq!(ends("", "2026-11-24T18:01,lids-closed,room,yes\n"), lids);
    assert_eq!(
        ends("", &format!("{LIDS}2026-11-24T17:55,lids-closed,room,no\n")),
        lids
    );
    let used = "1,2026-11-24T09:00,use,A-1,4 fl oz,,,30,,\n";
    assert_eq!(ends(used, LIDS), ["open question fan-runs-on"]);
    let fan = format!("{LIDS}2026-11-24T17:52,fan-runs-on,room,not present\n");
    assert!(ends(used, &fan).is_empty());
    // Work outdoors needs no fan.
    assert!(ends(&used.replace(",,,30,", ",,yard,30,"), LIDS).is_empty());
}

/// Each command that is printed, run as it stands, settles its line.
#[cfg(unix)]
#[test]
fn the_printed_commands_settle_their_lines() {
    let begin = "2,2026-11-24T09:00,move,A-1,,,bench,,,\n";
    let first = soiled(begin);
    let told = json(first.path(), AT);
    let mut ran = 0;
    for line in told["lines"].as_array().unwrap() {
        for command in line["commands"].as_array().unwrap() {
            let folder = soiled(begin);
            let program = env!("CARGO_BIN_EXE_sandarac");
            let script = command
                .as_str()
                .unwrap()
                .replace("sandarac log", &format!("'{program}' log --when {AT}"));
            let output = Command::new("sh")
                .current_dir(folder.path())
                .args(["-c", &script])
                .output()
                .unwrap();
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert!(output.status.success(), "{script}: {said}");
            let subject = line["subject"].as_str().unwrap();
            let left = open(folder.path(), AT);
            assert!(
                !left.iter().any(|line| line.ends_with(subject)),
                "{script}: {left:?}"
            );
            ran += 1;
        }
    }
    assert_eq!(ran, 4, "soak, spread, bin and empty; move");
}

/// For a prompt: one line where something is open, and nothing at all where nothing is.
#[test]
fn quiet() {
    let well = shop("", LIDS);
    let output = at(well.path(), AT, &["--quiet"]);
    assert_eq!((output.status.code(), out(&output).as_str()), (Some(0), ""));
    let folder = soiled("");
    let output = at(folder.path(), AT, &["-q"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(
        out(&output),
        "to do before you leave: oily rags 1; R-1 at bench (sandarac close)\n"
    );
}

#[test]
fn how_it_ends() {
    let folder = shop("", LIDS);
    let said = |output: &Output| String::from_utf8(output.stderr.clone()).unwrap();
    let wrong = at(folder.path(), "some day", &[]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(said(&wrong).contains("\"some day\" is not a day and time. Write 5pm"));
    std::fs::write(
        folder.path().join("log.csv"),
        format!("{LOG}1,2026-11-24,use,A-1,1 fl oz,,,,,\n"),
    )
    .unwrap();
    let output = at(folder.path(), AT, &["-q"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        said(&output).contains(": \"2026-11-24\" is not a date with a time.\n"),
        "{}",
        said(&output)
    );
    assert!(out(&output).is_empty());
    let none = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder.path())
        .args(["close", "no-such-shop"])
        .output()
        .unwrap();
    assert_eq!(none.status.code(), Some(2));
    assert!(
        said(&none).contains("shop.toml: The file is missing.\n"),
        "{}",
        said(&none)
    );
}

/// It never writes, neither a report nor anything else.
#[test]
fn nothing_is_written() {
    let folder = soiled("");
    let all = || {
        let list = std::fs::read_dir(folder.path()).unwrap();
        list.map(|entry| {
            let entry = entry.unwrap();
            let when = entry.metadata().unwrap().modified().unwrap();
            (entry.file_name(), when, std::fs::read(entry.path()).ok())
        })
        .collect::<BTreeSet<_>>()
    };
    let before = all();
    for more in [&[][..], &["--quiet"], &["--json", "-"]] {
        at(folder.path(), AT, more);
    }
    assert!(all() == before);
}

/// The keys that programs may lean on.
#[test]
fn the_json_has_its_documented_keys() {
    let folder = soiled("");
    let found = json(folder.path(), AT);
    let keys = |value: &Value| {
        value
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect::<Vec<_>>()
    };
    assert_eq!(
        keys(&found),
        ["at", "caution", "format", "lines", "open", "shop"]
    );
    assert_eq!(
        (&found["open"], &found["at"]),
        (&Value::from(1), &Value::from(AT))
    );
    let first = &found["lines"][0];
    assert_eq!(
        keys(first),
        [
            "about", "action", "amount", "commands", "evidence", "observed", "place", "since",
            "standing", "subject"
        ]
    );
    assert_eq!(first["amount"]["value"], "1");
    assert_eq!(
        first["commands"][0],
        "sandarac log soak R-1 'water can' '1 pcs'"
    );
    assert_eq!(first["evidence"][0], "log.csv:3");
}

/// No line says or suggests that rags are safe, however they lie.
#[test]
fn nothing_is_called_safe() {
    for more in [
        "",
        "2,2026-11-24T11:00,spread,R-1,1 pcs,,yard,,,\n",
        "2,2026-11-24T11:00,soak,R-1,1 pcs,,water can,,,\n",
        "2,2026-11-24T11:00,bin,R-1,1 pcs,,rag can,,,\n",
    ] {
        let folder = soiled(more);
        let told = out(&at(folder.path(), AT, &[])).replace('\n', " ");
        let caution = "It does not show that a rag or a room is safe.";
        assert!(told.contains(caution), "{told}");
        let rest = told.replace(caution, "").to_lowercase();
        for word in ["safe", "harmless", "no danger", "all clear", " ok"] {
            assert!(!rest.contains(word), "{word}: {told}");
        }
    }
}

/// A drying oil was used and no rag is on record: that is asked, and never passed over.
#[test]
fn oil_without_a_rag_is_asked() {
    let used = |more: &str| {
        let log = format!("1,2026-11-24T10:00,use,V-1,1 fl oz,,,30,,\n{more}");
        let folder = shop(&log, LIDS);
        let found = lines(folder.path(), AT);
        found.contains(&"open question rags-accounted".to_string())
    };
    assert!(used(""));
    // A rag of the day before, and one with another liquid, are others.
    assert!(used("2,2026-11-23T10:00,soil,R-1,1 pcs,V-1,bench,,,\n"));
    assert!(used("2,2026-11-24T10:10,soil,R-1,1 pcs,A-1,bench,,,\n"));
    for more in [
        "2,2026-11-24T10:10,soil,R-1,1 pcs,V-1,bench,,,\n",
        // What is on this one is unknown, so it may be that oil.
        "2,2026-11-24T10:10,soil,R-1,1 pcs,,bench,,,\n",
        "2,2026-11-24T10:10,soil,P-1,1 pcs,V-1,pad jar,,,\n",
    ] {
        assert!(!used(more), "{more}");
    }
    // An oil that is weighed is an oil.
    let weighed = shop("1,2026-11-24T10:00,use,V-1,1 oz,,,30,,\n", LIDS);
    let path = weighed.path().join("inventory.csv");
    let inventory = std::fs::read_to_string(&path).unwrap();
    let inventory = inventory.replace(
        "1 qt,cabinet,2026-11-01,1 pt,\nS-1",
        "1 kg,cabinet,2026-11-01,500 g,\nS-1",
    );
    std::fs::write(&path, inventory).unwrap();
    let log = std::fs::read_to_string(weighed.path().join("log.csv")).unwrap();
    std::fs::write(weighed.path().join("log.csv"), log.replace("1 oz", "20 g")).unwrap();
    let asked = lines(weighed.path(), AT);
    assert!(
        asked.contains(&"open question rags-accounted".to_string()),
        "{asked:?}"
    );
    let solvent = shop("1,2026-11-24T10:00,use,A-1,1 fl oz,,,30,,\n", LIDS);
    assert!(
        !lines(solvent.path(), AT)
            .iter()
            .any(|line| line.contains("rags-accounted"))
    );
    let answered = format!("{LIDS}2026-11-24T17:55,rags-accounted,,yes\n");
    let folder = shop("1,2026-11-24T10:00,use,V-1,1 fl oz,,,30,,\n", &answered);
    assert!(lines(folder.path(), AT).contains(&"accounted question rags-accounted".to_string()));
}
