//! `sandarac mix` with the real program: the screen with and without a shop, the JSON, what is refused, what is logged.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/program.rs"]
mod program;

use program::{Ran, append, demo, run};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr;

const DAY: &str = "2026-10-31";
const NOON: &str = "2026-10-31T15:00";

/// `mix --shop shop --on DAY` and more.
fn mix(folder: &Path, more: &[&str]) -> Ran {
    let mut args = vec!["mix", "--shop", "shop", "--on", DAY];
    args.extend(more);
    run(folder, &args)
}

/// Compares with a file of the project, or writes it where `SNAPSHOTS=overwrite` asks for that.
#[track_caller]
fn golden(name: &str, found: &str) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = root.join("tests/golden").join(name);
    if std::env::var("SNAPSHOTS").is_ok_and(|word| word == "overwrite") {
        std::fs::write(path, found).unwrap();
        return;
    }
    let there = std::fs::read_to_string(path).unwrap_or_default();
    assert_eq!(there, found, "{name}");
}

/// Whole output, no wider than eighty columns, no space at the end of a line.
#[track_caller]
fn shown(name: &str, (out, err, code): Ran, ends: i32) {
    assert_eq!((err.as_str(), code), ("", Some(ends)), "{out}");
    for line in out.lines() {
        assert!(line.width() <= 80, "{}: {line}", line.width());
        assert!(!line.ends_with(' '), "{line:?}");
    }
    golden(name, &out);
}

#[test]
fn with_a_shop() {
    let folder = demo();
    let mix = |more: &[&str]| mix(folder.path(), more);
    shown(
        "mix.txt",
        mix(&["--cut", "2", "--make", "12 fl oz", "--flake", "dewaxed"]),
        0,
    );
    // The oldest first, and no more than there is of it; then what is missing.
    shown(
        "mix-short.txt",
        mix(&["--cut", "3", "--make", "1 gal", "--flake", "bleached"]),
        1,
    );
    shown(
        "mix-which.txt",
        mix(&["--cut", "1 1/2", "--make", "1 pt"]),
        0,
    );
    shown("mix-thin.txt", mix(&["--from", "J-7", "--to-cut", "2"]), 0);
}

#[test]
fn without_a_shop() {
    let folder = TempDir::new().unwrap();
    let mix = |more: &[&str]| {
        let mut args = vec!["mix", "--on", DAY];
        args.extend(more);
        run(folder.path(), &args)
    };
    shown("mix-alone.txt", mix(&["--cut", "2", "--make", "1 qt"]), 0);
    let metric = ["--cut", "1 1/2", "--make", "500 mL", "--flake", "blonde"];
    shown("mix-metric.txt", mix(&metric), 0);
    let thin = ["--from", "3 lb", "--to-cut", "1", "--make", "2 gal"];
    shown("mix-thin-alone.txt", mix(&thin), 0);
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        0,
        "nothing is written"
    );
}

/// In a shop's own folder no `--shop` is needed.
#[test]
fn in_the_folder() {
    let folder = demo();
    let here = [
        "mix", "--on", DAY, "--cut", "2", "--make", "12 fl oz", "--flake", "dewaxed",
    ];
    let (out, _, code) = run(&folder.path().join("shop"), &here);
    assert_eq!(code, Some(0));
    let named = mix(folder.path(), &here[3..]).0;
    assert!(named.contains(" --shop shop"), "{named}");
    assert_eq!(out, named.replace(" --shop shop", ""));
}

/// The whole message of each thing that is refused.
#[test]
fn what_is_refused() {
    let alone = |told: &str| format!("{told}\n\nNo mix was worked out.\n");
    let option =
        |told: &str| format!("command line, {told}\n\n1 problem. No mix was worked out.\n");
    let cut = |what: &str| {
        option(&format!(
            "--cut: {what}\n  A cut is pounds of flakes per US gallon of alcohol, more than 0 and at most 8. Write 2, 1 1/2 or \
             0.5 lb."
        ))
    };
    let folder = demo();
    append(
        folder.path(),
        "inventory.csv",
        "RM-1,ready-mixed shellac,,metal,1 qt,cabinet,2026-07-01,20 fl oz,2026-07-02,,,yes,",
    );
    let said: [(&[&str], String); 19] = [
        (&["--cut", "0", "--make", "1 qt"], cut("A cut of \"0\" has no flakes in it.")),
        (&["--cut", "-2", "--make", "1 qt"], cut("A cut of \"-2\" has no flakes in it.")),
        (
            &["--cut", "40", "--make", "1 qt"],
            cut("\"40\" is thicker than the thickest listed cut, 8 lb (ASTM D360-89)."),
        ),
        (&["--cut", "thick", "--make", "1 qt"], cut("\"thick\" is not a cut.")),
        (&["--cut", "240 g/L", "--make", "1 qt"], cut("\"240 g/L\" is not a cut.")),
        (
            &["--cut", "2", "--make", "2 lb"],
            option("--make: \"2 lb\" is a mass, but a volume is needed here.\n  Write a volume, such as 1 qt."),
        ),
        (
            &["--cut", "2", "--make", "1"],
            option("--make: \"1\" has no unit.\n  Write \"1 pt\" or \"1 mL\", as the label says."),
        ),
        (
            &["--cut", "2", "--make", "0 qt"],
            option("--make: \"0 qt\" leaves nothing to mix.\n  Write how much to make, such as `--make '1 qt'`."),
        ),
        (
            &["--cut", "2", "--make", "-1 qt"],
            option("--make: \"-1 qt\" leaves nothing to mix.\n  Write how much to make, such as `--make '1 qt'`."),
        ),
        (
            &["--from", "J-77", "--to-cut", "1"],
            "command line: There is no container \"J-77\".\n  Did you mean \"J-7\"? If not, add the container to its table.\n\n\
             1 problem. No mix was worked out.\n"
                .into(),
        ),
        (
            &["--from", "3", "--to-cut", "1"],
            option("--from: There is no container \"3\".\n  If you mean a cut, write its unit: `--from '3 lb'`."),
        ),
        (
            &["--from", "TP-1", "--to-cut", "1"],
            option("--from: TP-1 holds turpentine, which is not shellac.\n  Name a jar of shellac."),
        ),
        (
            &["--from", "RM-1", "--to-cut", "1"],
            option(
                "--from: The cut of RM-1 is unknown. Its product, \"ready-mixed shellac\", names no cut.\n  Name the product in \
                 inventory.csv by its cut, such as \"shellac 3 lb cut, dewaxed\". Or write the cut itself: `--from '3 lb'`.",
            ),
        ),
        (
            &["--from", "J-3", "--to-cut", "2"],
            option(
                "--to-cut: Alcohol only thins. It cannot turn a 1 1/2 lb cut into a 2 lb cut.\n  Write a thinner cut, or mix \
                 flakes to a thicker one with `--cut`.",
            ),
        ),
        (
            &["--from", "J-5", "--to-cut", "1"],
            alone(
                "J-5 is not fit to thin: failed the glass test on 3 Oct 2026.\n  Name another jar with `--from`. Or test this \
                 one, and log a passed test before you use it.",
            ),
        ),
        (
            &["--from", "J-4", "--to-cut", "1", "--make", "2 gal"],
            alone(
                "This takes 3.152 qt of the thick cut, but J-4 holds 13.6 fl oz.\n  All of it makes 1.079 qt. Write no more than \
                 that, or leave out `--make`.",
            ),
        ),
        (
            &["--cut", "2", "--make", "1 qt", "--alcohol", "mineral spirits"],
            option(
                "--alcohol: \"mineral spirits\" is not a known alcohol. Shellac dissolves in alcohol.\n  Write denatured alcohol, \
                 ethanol, or a product whose made_of in products.csv names an alcohol.",
            ),
        ),
        (
            &["--cut", "2", "--make", "1 qt", "--flake", "waxi"],
            option(
                "--flake: \"waxi\" is not a known word here.\n  Did you mean \"waxy\"? Known: bleached, dewaxed, waxy, \
                 and flakes by their product.",
            ),
        ),
        (
            &["--cut", "2", "--make", "1 qt", "--flake", "pumice"],
            option(
                "--flake: \"pumice\" is not a kind of flakes.\n  Write bleached, dewaxed or waxy, or the product on the shelf.",
            ),
        ),
    ];
    for (args, wanted) in said {
        let (out, err, code) = mix(folder.path(), args);
        assert_eq!((out.as_str(), code), ("", Some(2)), "{args:?}");
        assert_eq!(err, wanted, "{args:?}");
    }
}

/// Several things wrong are reported at once.
#[test]
fn all_at_once() {
    let folder = demo();
    let wrong = ["--cut", "0", "--make", "2 lb", "--flake", "pumice"];
    let (_, err, code) = mix(folder.path(), &wrong);
    assert_eq!(code, Some(2));
    for part in ["--cut: ", "--make: ", "--flake: ", "\n3 problems. "] {
        assert!(err.contains(part), "{part}: {err}");
    }
}

/// Flakes that failed their test are not mixed, and the message names each and why.
#[test]
fn unfit_flakes_only() {
    let folder = demo();
    let cut = ["--cut", "2", "--make", "12 fl oz", "--flake", "bleached"];
    append(
        folder.path(),
        "log.csv",
        "204,2026-10-31T13:00,test,F-1,,solubility,,,owner,fail: ghosts the next day,",
    );
    let (out, err, code) = mix(folder.path(), &cut);
    assert_eq!((out.as_str(), code), ("", Some(2)));
    assert_eq!(
        err,
        "No such flakes on the shelf are fit to mix: F-1 failed the solubility test on 31 Oct 2026.\n  Discard them and log it, \
         then log the fresh flakes you receive. Or name other flakes with `--flake`.\n\nNo mix was worked out.\n"
    );
    // One that failed beside one that did not is left out, and says so.
    append(
        folder.path(),
        "log.csv",
        "205,2026-10-31T13:00,test,F-2,,solubility,,,owner,fail: jelly,",
    );
    let cut = ["--cut", "2", "--make", "12 fl oz", "--flake", "dewaxed"];
    let (out, _, code) = mix(folder.path(), &cut);
    assert_eq!(code, Some(0));
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "14.5 oz: left out: failed the solubility test on 31 Oct 2026",
        "F-4 (dewaxed shellac flakes, lot DW-2291), 1 lb: take 2.5 oz",
    ] {
        assert!(flat.contains(words), "{words}\n{out}");
    }
}

fn keys(value: &Value) -> BTreeSet<String> {
    value.as_object().unwrap().keys().cloned().collect()
}

/// The keys of the JSON stand in DEVELOPERS.md, and the amounts are those of the screen.
#[test]
fn the_json() {
    let folder = demo();
    let json = |more: &[&str]| -> Value {
        let mut args = more.to_vec();
        args.extend(["--json", "-"]);
        let (out, err, code) = mix(folder.path(), &args);
        assert_eq!((err.as_str(), code), ("", Some(0)));
        serde_json::from_str(&out).unwrap()
    };
    let fresh = json(&["--cut", "2", "--make", "12 fl oz", "--flake", "dewaxed"]);
    let thin = json(&["--from", "J-7", "--to-cut", "2", "--make", "12 fl oz"]);
    assert_eq!(keys(&fresh), keys(&thin));
    let written =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md"))
            .unwrap();
    let (_, part) = written.split_once("`sandarac mix … --json -`").unwrap();
    let part = part.split("\n\n").next().unwrap();
    let told: BTreeSet<&str> = part
        .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
        .collect();
    let mut all = keys(&fresh);
    for value in [
        &fresh["fresh"],
        &thin["thinned"],
        &fresh["shelf"][0],
        &fresh["keeps"],
        &fresh["batch"],
    ] {
        all.extend(keys(value));
    }
    for key in &all {
        assert!(
            told.contains(key.as_str()),
            "`{key}` is not in DEVELOPERS.md"
        );
    }
    assert_eq!(fresh["fresh"]["makes"]["value"], "0.35488235475");
    assert_eq!(fresh["fresh"]["flakes"]["unit"], "kg");
    assert_eq!(thin["thinned"]["parts"], "1");
    assert_eq!(thin["pours"][0]["amount"], "6 fl oz");
}

/// All of it is written at once, the book holds it, and a jar made so can be let down to the last drop.
#[test]
fn what_is_logged() {
    let folder = demo();
    let read = |file: &str| std::fs::read_to_string(folder.path().join("shop").join(file)).unwrap();
    let log = |more: &[&str]| {
        let mut args = vec!["mix", "--shop", "shop", "--when", NOON];
        args.extend(more);
        run(folder.path(), &args)
    };
    let cut = [
        "--cut", "2", "--make", "12 fl oz", "--flake", "dewaxed", "--log",
    ];
    let before = (read("log.csv"), read("inventory.csv"));
    let refused: [(&[&str], &str); 4] = [
        (
            &["J-20"],
            "J-20 is new, and its size or its place is missing.\n  Add `--capacity '1 qt' --place cabinet`, with your own size \
             and place.\n\nNothing was written.\n",
        ),
        (
            &["A-1"],
            "A-1 is a jar of denatured alcohol, not of shellac 2 lb cut, dewaxed.\n  Name a jar of the same, or a name that no \
             container has yet.\n\nNothing was written.\n",
        ),
        (
            &[
                "J-20",
                "--vessel",
                "metal",
                "--capacity",
                "1 pt",
                "--place",
                "cabinet",
            ],
            "Shellac does not go into metal: bare metal stains it.\n  Write `--vessel glass`, `plastic` or \
             `approved-plastic`.\n\nNothing was written.\n",
        ),
        (&["J-20", "--capacity", "1 gal", "--place", "cabinet"], ""),
    ];
    for (more, wanted) in refused {
        let (out, err, code) = log(&[&cut, more].concat());
        assert_eq!((out.as_str(), code), ("", Some(2)), "{more:?}");
        // The last is refused by the rule on sizes, in that rule's own words.
        match wanted {
            "" => assert!(err.contains("glass-and-plastic-size"), "{err}"),
            wanted => assert_eq!(err, wanted),
        }
        assert_eq!((read("log.csv"), read("inventory.csv")), before, "{more:?}");
    }
    let new = [
        "J-20",
        "--capacity",
        "1 pt",
        "--place",
        "cabinet",
        "--by",
        "owner",
    ];
    let (out, err, code) = log(&[&cut[..], &new[..]].concat());
    assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
    // Without the last two columns: when it was written, and the id of the step.
    let bare = |line: &str| {
        let (rest, id) = line.rsplit_once(',').unwrap();
        assert!(id.starts_with("step"), "{line}");
        format!("{}\n", rest.rsplit_once(',').unwrap().0)
    };
    let log_now = read("log.csv");
    let rows = log_now.lines().filter(|line| !line.starts_with('#'));
    let added: String = rows.skip(204).map(bare).collect();
    assert_eq!(
        added,
        "204,2026-10-31T15:00,mix,A-1,10 fl oz,J-20,,,owner,,\n205,2026-10-31T15:00,mix,F-2,2.5 oz,J-20,,,owner,,\n"
    );
    assert_eq!(
        read("inventory.csv").replace(&before.1, ""),
        "J-20,\"shellac 2 lb cut, dewaxed\",,glass,1 pt,cabinet,2026-10-31,0 pt,,,,no,\n"
    );
    let thin = ["--from", "J-20", "--to-cut", "1", "--log", "J-21"];
    let (out, err, code) =
        log(&[&thin[..], &["--capacity", "1 qt", "--place", "cabinet"][..]].concat());
    assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
    // The jar it came from is younger than a day and holds a trace at most.
    let (out, _, _) = run(
        folder.path(),
        &["stock", "shop", "--on", DAY, "--why", "J-21"],
    );
    assert!(out.contains("It holds"), "{out}");
    // What is due for a test is written down all the same, and said.
    let due = ["--from", "J-3", "--to-cut", "1", "--log", "J-22"];
    let (out, err, code) =
        log(&[&due[..], &["--capacity", "1 qt", "--place", "cabinet"][..]].concat());
    assert_eq!((err.as_str(), code), ("", Some(0)), "{out}");
    assert!(
        out.contains("! `J-3` is to be tested first, due for a test: 115 days"),
        "{out}"
    );
}
