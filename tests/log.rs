//! `sandarac log` with the real program: what is written, what is refused in which words, and that nothing written is
//! ever lost: to a kill, to another writer, or to a program that saves over the table.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/program.rs"]
mod program;

use program::demo;
use snapbox::{data::Inline, str};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
/// Entries of the tests lie after the demo's last and before any day on which they run.
const WHEN: &str = "2026-10-31T18:00";

/// Standard output, standard error and exit code.
fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    program::run(&folder.join("shop"), args)
}

fn read(folder: &TempDir, file: &str) -> String {
    std::fs::read_to_string(folder.path().join("shop").join(file)).unwrap()
}

/// The log without its last column, which says when each row was written: empty, or within the last minutes.
fn log_rows(folder: &TempDir) -> String {
    let text = read(folder, "log.csv");
    let today = chrono::Local::now().naive_local();
    let bare = |line: &str| {
        let (row, written) = line.rsplit_once(',').unwrap();
        if !matches!(written, "" | "written") {
            let written = chrono::NaiveDateTime::parse_from_str(written, "%Y-%m-%dT%H:%M").unwrap();
            assert!((0..10).contains(&(today - written).num_minutes()), "{line}");
        }
        format!("{row}\n")
    };
    let rows = text.lines().filter(|line| !line.starts_with('#'));
    rows.map(bare).collect()
}

fn append(folder: &TempDir, file: &str, text: &str) {
    let path = folder.path().join("shop").join(file);
    let old = std::fs::read_to_string(&path).unwrap();
    std::fs::write(path, format!("{old}{text}")).unwrap();
}

/// `log … --when WHEN`, which must end well.
#[track_caller]
fn log(folder: &TempDir, words: &[&str]) -> String {
    let mut args = vec!["log"];
    args.extend(words);
    args.extend(["--when", WHEN]);
    let (out, err, code) = run(folder.path(), &args);
    assert_eq!((err.as_str(), code), ("", Some(0)), "{words:?}");
    out
}

/// A refusal: its whole words, exit code 2, and not a byte changed.
#[track_caller]
fn refused(folder: &TempDir, words: &[&str], message: Inline) {
    let before = (read(folder, "log.csv"), read(folder, "inventory.csv"));
    let mut args = vec!["log"];
    args.extend(words);
    if !words.contains(&"--when") {
        args.extend(["--when", WHEN]);
    }
    let (out, err, code) = run(folder.path(), &args);
    assert_eq!((out.as_str(), code), ("", Some(2)), "{err}");
    snapbox::assert_data_eq!(err, message);
    assert_eq!(
        before,
        (read(folder, "log.csv"), read(folder, "inventory.csv"))
    );
}

#[test]
fn each_word_writes_its_row() {
    let folder = demo();
    let rows = [
        (
            vec![
                "use",
                "J-2",
                "1/2 fl oz",
                "--minutes",
                "20",
                "--by",
                "owner",
            ],
            "use,J-2,1/2 fl oz,,,20,owner,,",
        ),
        (
            vec!["decant", "A-1", "2 fl oz", "A-5"],
            "decant,A-1,2 fl oz,A-5,,,,,",
        ),
        (
            vec!["receive", "A-1", "1 pt", "--note", "from the store"],
            "receive,A-1,1 pt,,,,,from the store,",
        ),
        (vec!["move", "A-4", "cabinet"], "move,A-4,,,cabinet,,,,"),
        (vec!["open", "A-4"], "open,A-4,,,,,,,"),
        (
            vec!["test", "J-2", "pass", "--minutes", "9"],
            "test,J-2,,,,9,,pass,",
        ),
        (
            vec![
                "test",
                "J-2",
                "retest",
                "--test",
                "nail",
                "--note",
                "a mark at 24 h",
            ],
            "test,J-2,,nail,,,,retest: a mark at 24 h,",
        ),
        (vec!["count", "J-2", "6 fl oz"], "count,J-2,6 fl oz,,,,,,"),
        (vec!["discard", "J-1"], "discard,J-1,,,,,,,"),
        (
            vec!["soil", "R-1", "2", "V-1", "--place", "bench"],
            "soil,R-1,2 pcs,V-1,bench,,,,",
        ),
        (
            vec!["bin", "R-1", "rag can", "1 pcs", "--from", "bench"],
            "bin,R-1,1 pcs,,rag can,,,,bench",
        ),
        (
            vec!["spread", "R-1", "yard", "1", "--from", "bench"],
            "spread,R-1,1 pcs,,yard,,,,bench",
        ),
        (vec!["empty", "rag can"], "empty,,,,rag can,,,,"),
        (
            vec!["correct", "204", "--amount", "1 fl oz"],
            "correct,,1 fl oz,204,,,,,",
        ),
        (vec!["undo"], "correct,,,217,,,,void,"),
    ];
    for (at, (words, row)) in rows.iter().enumerate() {
        let out = log(&folder, words);
        assert!(out.starts_with(&format!("Wrote {}: ", 204 + at)), "{out}");
        let text = log_rows(&folder);
        assert_eq!(
            text.lines().last().unwrap(),
            format!("{},{WHEN},{row}", 204 + at)
        );
        assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    }
    let (_, err, code) = run(
        folder.path(),
        &["audit", "--on", "2026-11-01", "--no-reports"],
    );
    assert_eq!((err.as_str(), code), ("", Some(1)));
}

#[test]
fn a_new_jar_gets_its_row_in_the_same_step() {
    let folder = demo();
    let jar = [
        "--product",
        "shellac 1 lb cut, dewaxed",
        "--vessel",
        "glass",
        "--capacity",
        "8 fl oz",
        "--place",
        "cabinet",
    ];
    let mut words = vec!["mix", "J-2", "2 fl oz", "J-77", "--labelled"];
    words.extend(jar);
    snapbox::assert_data_eq!(
        log(&folder, &words),
        str![[r#"
Wrote 204: mix J-2 '2 fl oz' J-77 --product 'shellac 1 lb cut, dewaxed' --vessel
  glass --capacity '8 fl oz' --place cabinet --labelled (31 Oct 2026, 6:00 pm),
  and J-77 as a new row of inventory.csv
J-2: 5 fl oz of shellac 2 lb cut, dewaxed, was 7 fl oz
J-77: 2 fl oz of shellac 1 lb cut, dewaxed
! This breaks a rule: The shelf life of J-77 (shellac 1 lb cut, dewaxed) ended
  on 20 Oct. Discard J-77 (shellac 1 lb cut, dewaxed) as waste, or test it
  before use. Good practice: shelf life of shellac dewaxed thin.

"#]]
    );
    let row =
        "J-77,\"shellac 1 lb cut, dewaxed\",,glass,8 fl oz,cabinet,2026-10-31,0 fl oz,,,,yes,";
    assert_eq!(read(&folder, "inventory.csv").lines().last().unwrap(), row);
    // What one row refuses, the other does not write.
    let before = read(&folder, "inventory.csv");
    let (_, _, code) = run(
        folder.path(),
        &[
            "log",
            "mix",
            "J-2",
            "9 qt",
            "J-78",
            "--product",
            "x",
            "--when",
            WHEN,
        ],
    );
    assert_eq!((code, read(&folder, "inventory.csv")), (Some(2), before));
}

#[test]
fn dry_run_writes_nothing() {
    let folder = demo();
    let before = read(&folder, "log.csv");
    let out = log(&folder, &["use", "J-2", "1 fl oz", "--dry-run"]);
    assert!(
        out.starts_with("Would write 204: use J-2 '1 fl oz' (31 Oct 2026, 6:00 pm)"),
        "{out}"
    );
    assert_eq!(read(&folder, "log.csv"), before);
    assert!(!folder.path().join("shop/.sandarac").exists());
}

/// A pasted fix lands on the day that was typed, and fixes all that is wrong at once.
#[test]
fn a_repaired_command_keeps_every_option_and_fixes_everything() {
    let folder = demo();
    let typed = [
        "use",
        "J-22",
        "1 qrt",
        "--when",
        "2026-10-30T09:00",
        "--by",
        "owner",
        "--note",
        "case door",
    ];
    refused(
        &folder,
        &typed,
        str![[r#"
log.csv, row 205 (204), column "container": There is no container "J-22".
  Did you mean "J-2"? If not, add the container to its table.

log.csv, row 205 (204), column "amount": The unit "qrt" in "1 qrt" is unknown here.
  Did you mean "1 qt"? Write a volume, a mass or a number of pieces, such as 1 qt.

2 problems. Nothing was written.
Then: This takes 1 qt out of J-2, which holds 7 fl oz at that time.
Try: sandarac log use J-2 '7 fl oz' --when 2026-10-30T09:00 --by owner --note 'case door'

"#]],
    );
}

/// All faults of an answer are repaired at once, and every option stays.
#[test]
fn a_repaired_answer_keeps_every_option() {
    let folder = demo();
    let options = [
        "--when",
        "2026-10-31T17:00",
        "--by",
        "owner",
        "--note",
        "late",
    ];
    let typed = |words: &[&'static str]| [&["check"], words, &options[..]].concat();
    refused(
        &folder,
        &typed(&["lids-clozed", "yes", "finnishing room"]),
        str![[r#"
There is no question "lids-clozed" in the round.
  Did you mean "lids-closed"?

There is no place, room or fixture "finnishing room".
  Did you mean "finishing room"?

Nothing was written.
Try: sandarac log check lids-closed yes 'finishing room' --when 2026-10-31T17:00 --by owner --note late

"#]],
    );
    refused(
        &folder,
        &typed(&["lids-closed", "perhaps", "store-roon"]),
        str![[r#"
There is no place, room or fixture "store-roon".
  Did you mean "store-room"?

"perhaps" is not an answer.
  Answer with one of: yes, no, not present.

Nothing was written.
Try: sandarac log check lids-closed ANSWER store-room --when 2026-10-31T17:00 --by owner --note late

"#]],
    );
    // The words of a new jar are repaired too, and so is what is wrong beside them.
    let jar = "mix A-11 1qt J-77 --product x --vessel glas --capacity 1qrt --place cabnet";
    let jar: Vec<&str> = jar.split(' ').collect();
    refused(
        &folder,
        &[&jar, &options[..]].concat(),
        str![[r#"
inventory.csv, row 43 (J-77), column "vessel": "glas" is not a known word here.
  Did you mean "glass"? Known: glass, plastic, approved-plastic, metal, safety-can, drum, portable-tank, bag, box, aerosol, rag, pad.

inventory.csv, row 43 (J-77), column "capacity": The unit "qrt" in "1qrt" is unknown here.
  Did you mean "1qt"? Write a volume, a mass or a number of pieces, such as 1 qt.

inventory.csv, row 43 (J-77), column "place": There is no place or room "cabnet".
  Did you mean "cabinet"? If not, add the place or room to its table.

3 problems. Nothing was written.
Then: There is no container "A-11".
Then: This takes 1 qt out of A-1, which holds 21 fl oz at that time.
Try: sandarac log mix A-1 '21 fl oz' J-77 --product x --vessel glass --capacity 1qt --place cabinet --when 2026-10-31T17:00 --by owner --note late

"#]],
    );
    // Soiled rags that are put away at once are one command.
    refused(
        &folder,
        &[
            &["soil", "R-11", "2", "V-1", "--then", "rag cann"],
            &options[..],
        ]
        .concat(),
        str![[r#"
log.csv, row 205 (204), column "container": There is no container "R-11".
  Did you mean "R-1"? If not, add the container to its table.
  The same problem is in row 206.

log.csv, row 205 (204), column "amount": "2" has no unit.
  Write "2 pt", "2 mL", "2 lb", "2 kg" or "2 pcs", as the label says.
  The same problem is in row 206.

log.csv, row 206 (205), column "place": There is no place or room "rag cann".
  Did you mean "rag can"? If not, add the place or room to its table.

5 problems. Nothing was written.
Try: sandarac log soil R-1 '2 pcs' V-1 --then 'rag can' --when 2026-10-31T17:00 --by owner --note late

"#]],
    );
    // What only shows after the first repair is repaired as well.
    refused(
        &folder,
        &[&["use", "J-22", "40 fl oz"], &options[..]].concat(),
        str![[r#"
log.csv, row 205 (204), column "container": There is no container "J-22".
  Did you mean "J-2"? If not, add the container to its table.

1 problem. Nothing was written.
Then: This takes 1.25 qt out of J-2, which holds 7 fl oz at that time.
Try: sandarac log use J-2 '7 fl oz' --when 2026-10-31T17:00 --by owner --note late

"#]],
    );
    // A misspelled result is no remark: by its minutes, a fail would become a pass.
    refused(
        &folder,
        &[&["test", "J-2", "fial", "--minutes", "9"], &options[..]].concat(),
        str![[r#"
"fial" is not the result of a test.
  Did you mean "fail"? sandarac log test J-2 fail --minutes 9 --when 2026-10-31T17:00 --by owner --note late

Nothing was written.

"#]],
    );
    // The weight of a liquid in oz becomes fl oz, on the day that was typed.
    refused(
        &folder,
        &[&["use", "J-2", "2 oz"], &options[..]].concat(),
        str![[r#"
"2 oz" can be a weight or a volume.
  J-2 is a liquid. Write fl oz: sandarac log use J-2 '2 fl oz' --when 2026-10-31T17:00 --by owner --note late. Or say once what oz of a liquid means here: sandarac log record shop ounces fluid, which adds ounces = "fluid" to shop.toml.

Nothing was written.

"#]],
    );
}

#[test]
fn what_is_refused_says_what_would_work() {
    let folder = demo();
    refused(
        &folder,
        &["use", "J-22", "1 fl oz"],
        str![[r#"
log.csv, row 205 (204), column "container": There is no container "J-22".
  Did you mean "J-2"? If not, add the container to its table.

1 problem. Nothing was written.
Try: sandarac log use J-2 '1 fl oz' --when 2026-10-31T18:00

"#]],
    );
    refused(
        &folder,
        &["use", "J-2", "40 fl oz"],
        str![[r#"
log.csv, row 205 (204): This takes 1.25 qt out of J-2, which holds 7 fl oz at that time.
  Correct the amount, log what was put in before, or `count` what is really there.
  See also inventory.csv, row 12 (J-2).

1 problem. Nothing was written.
Try: sandarac log use J-2 '7 fl oz' --when 2026-10-31T18:00
If there is more than the log says, count it first: sandarac log count J-2 AMOUNT --when EARLIER

"#]],
    );
    refused(
        &folder,
        &["mix", "A-1", "1 fl oz", "J-77"],
        str![[r#"
log.csv, row 205 (204), column "into": There is no container "J-77".
  Did you mean "J-7"? If not, add the container to its table.

1 problem. Nothing was written.
Try: sandarac log mix A-1 '1 fl oz' J-7 --when 2026-10-31T18:00
If J-77 is new: sandarac log mix A-1 '1 fl oz' J-77 --product PRODUCT --vessel glass --capacity '1 qt' --place PLACE --when 2026-10-31T18:00

"#]],
    );
    refused(
        &folder,
        &["decant", "A-1", "1 fl oz", "J-2"],
        str![[r#"
log.csv, row 205 (204): This decants denatured alcohol into a vessel of shellac 2 lb cut, dewaxed.
  A decant keeps the product. Log a `mix`, or give the new content its own row in inventory.csv.
  See also inventory.csv, row 12 (J-2).

1 problem. Nothing was written.
Try: sandarac log mix A-1 '1 fl oz' J-2 --when 2026-10-31T18:00

"#]],
    );
    refused(
        &folder,
        &["bin", "R-1", "rag cn"],
        str![[r#"
log.csv, row 205 (204), column "place": There is no place or room "rag cn".
  Did you mean "rag can"? If not, add the place or room to its table.

1 problem. Nothing was written.
Try: sandarac log bin R-1 'rag can' --when 2026-10-31T18:00

"#]],
    );
    refused(
        &folder,
        &["use", "J-2", "1 cup of it"],
        str![[r#"
log.csv, row 205 (204), column "amount": The unit "cup of it" in "1 cup of it" is unknown here.
  Known: gal, qt, pt, fl oz, mL, L, cup, tbsp, tsp, cL, ft3, m3, in3, imp gal, imp pt, imp fl oz, lb, oz, g, kg, mg, pcs.

1 problem. Nothing was written.

"#]],
    );
    refused(
        &folder,
        &["test", "J-2", "so-so"],
        str![[r#"
"so-so" is not the result of a test.
  Write pass, retest or fail.

Nothing was written.

"#]],
    );
    refused(
        &folder,
        &["use", "J-2", "1 fl oz", "--when", "2099-01-01T00:00"],
        str![[r#"
J-2: 2099-01-01T00:00 is ahead of this computer's clock, which says [..]
  Write the time it happened, with --when or in its row, or set the clock right. Or add --anyway.

Nothing was written.

"#]],
    );
    refused(
        &folder,
        &["undo", "999"],
        str![[r#"
There is no entry "999".
  Name the entry as log.csv does, for example: sandarac log undo 207.

Nothing was written.

"#]],
    );
    refused(
        &folder,
        &[],
        str![[r#"
The command does not name what was done.
  For example: sandarac log use J-12 '6 fl oz' --minutes 40. `sandarac log --help` lists the words. On a terminal, `sandarac log` asks.

Nothing was written.

"#]],
    );
}

#[test]
fn what_must_not_be_is_refused_unless_it_has_happened() {
    let folder = demo();
    refused(
        &folder,
        &["move", "C-1", "sink shelf"],
        str![[r#"
H-1 and C-1 are stored together on the sink shelf.
  Good practice: Household hazardous waste text
  (trade/ammonia-never-with-bleach). See also inventory.csv:30, log.csv:171,
  log.csv:33.
  Ammonia for brushes and bleach for stains give off a choking gas when they
  meet: in a leak, a shared bucket or a rag.
  Keep only one of them, or keep them in different places with different buckets
  and rags.
H-1 and C-1 are stored together on the sink shelf.
  Recommended by International Fire Code 5003.9.8
  (us-fire-code/ammonia-from-bleach). See also inventory.csv:30, log.csv:171,
  log.csv:33.
  Bleach makes chlorine with acids and chloramine with ammonia. Both gases harm
  the lungs. For containers of half a gallon or less keeping them apart is good
  practice.
  Take the bleach out of the finishing room.
  If this has already happened, log it anyway: sandarac log move C-1 'sink shelf' --when 2026-10-31T18:00 --anyway

Nothing was written.

"#]],
    );
    let glass = [
        "mix",
        "A-1",
        "1 pt",
        "J-77",
        "--product",
        "denatured alcohol",
        "--vessel",
        "glass",
        "--capacity",
        "1/2 gal",
        "--place",
        "bench",
    ];
    refused(
        &folder,
        &glass,
        str![[r#"
J-77 (denatured alcohol) is a 2 qt glass container. The limit is 1 qt.
  Required by 29 CFR 1910.106(d)(2)(iii) (us-workplace/glass-and-plastic-size).
  See also inventory.csv:43, products.csv:2, products.csv:2.
  Glass breaks and plastic melts, and then everything in it burns at once. The
  more easily a liquid lights, the smaller the jar may be.
  Move the liquid to a metal can or a safety can, or split it into smaller jars.
  If this has already happened, log it anyway: sandarac log mix A-1 '1 pt' J-77 --product 'denatured alcohol' --vessel glass --capacity '1/2 gal' --place bench --when 2026-10-31T18:00 --anyway

Nothing was written.

"#]],
    );
    refused(
        &folder,
        &["decant", "A-1", "12 fl oz", "A-5"],
        str![[r#"
A-5 (denatured alcohol) holds up to 8 fl oz, but 17 fl oz were recorded on 31 Oct.
  Good practice: Stock-taking (trade/within-capacity). See also log.csv:205,
  inventory.csv:6.
  If the log overfills a container, an entry is missing or wrong: a use, a
  second container, a unit. The sums of the shop are then wrong too.
  Count what is there and log the count. Correct the entry if it was wrong.
  If this has already happened, log it anyway: sandarac log decant A-1 '12 fl oz' A-5 --when 2026-10-31T18:00 --anyway

Nothing was written.

"#]],
    );
    refused(
        &folder,
        &["mix", "H-1", "1 fl oz", "C-1"],
        str![[r#"
C-1 holds products that must be kept apart.
  Good practice: Household hazardous waste text
  (trade/ammonia-never-with-bleach). See also inventory.csv:31, log.csv:205.
  Ammonia for brushes and bleach for stains give off a choking gas when they
  meet: in a leak, a shared bucket or a rag.
  Keep only one of them, or keep them in different places with different buckets
  and rags.
C-1 holds products that must be kept apart.
  Recommended by International Fire Code 5003.9.8
  (us-fire-code/ammonia-from-bleach). See also inventory.csv:31, log.csv:205.
  Bleach makes chlorine with acids and chloramine with ammonia. Both gases harm
  the lungs. For containers of half a gallon or less keeping them apart is good
  practice.
  Take the bleach out of the finishing room.
  If this has already happened, log it anyway: sandarac log mix H-1 '1 fl oz' C-1 --when 2026-10-31T18:00 --anyway

Nothing was written.

"#]],
    );
    append(
        &folder,
        "places.csv",
        "fridge,finishing room,refrigerator,,,,,\n",
    );
    refused(
        &folder,
        &["move", "J-2", "fridge"],
        str![[r#"
J-2 (shellac 2 lb cut, dewaxed) is in the fridge.
  Good practice: Chemical safety pages (trade/no-finish-in-the-refrigerator).
  See also inventory.csv:12, log.csv:205, log.csv:139.
  The lamp, switch and thermostat of a household refrigerator spark, and vapor
  gathers behind the closed door. Dry flakes may go in; anything cut or liquid
  may not.
  Take it out now, let the air clear before you switch anything, and keep it in
  the cabinet.
  If this has already happened, log it anyway: sandarac log move J-2 fridge --when 2026-10-31T18:00 --anyway

Nothing was written.

"#]],
    );
    log(&folder, &["test", "J-2", "fail", "--test", "nail"]);
    refused(
        &folder,
        &["use", "J-2", "1 fl oz"],
        str![[r#"
J-2 failed the nail test on 31 Oct 2026 (log.csv:205). Do not use it on any work.
  Discard it: sandarac log discard J-2 --when 2026-10-31T18:00. If it was used, log that with --anyway.

Nothing was written.

"#]],
    );
    let out = log(&folder, &["move", "C-1", "sink shelf", "--anyway"]);
    assert!(
        out.contains(
            "! This breaks a rule: H-1 and C-1 are stored together on the sink shelf. Keep"
        ),
        "{out}"
    );
}

/// One rag is loose on the bench already. More of them, or others beside it, are reported all the same; fewer are not.
#[test]
fn more_loose_rags_beside_a_loose_one_are_reported() {
    let folder = demo();
    let spread = log(&folder, &["spread", "R-1", "bench", "--from", "yard"]);
    assert!(spread.contains("! This breaks a rule: "), "{spread}");
    assert!(spread.contains("3 oily rags"), "{spread}");
    let soiled = log(&folder, &["soil", "R-1", "2", "V-1"]);
    assert!(soiled.contains("! This breaks a rule: "), "{soiled}");
    let away = log(
        &folder,
        &["soak", "R-1", "water can", "1", "--from", "entry 205"],
    );
    assert!(!away.contains("! This"), "{away}");
}

/// Where clean rags lie at the same place, that place does not tell an oily one from them.
#[test]
fn an_oily_rag_beside_clean_ones_is_named_by_its_entry() {
    let folder = TempDir::new().unwrap();
    let made = Command::new(PROGRAM)
        .current_dir(folder.path())
        .args(["new", "shop"])
        .status();
    assert!(made.unwrap().success());
    for file in std::fs::read_dir(folder.path().join("shop")).unwrap() {
        let path = file.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        std::fs::write(
            &path,
            text.replace("2026-11", "2026-09")
                .replace("2026-10", "2026-08"),
        )
        .unwrap();
    }
    log(&folder, &["soil", "R-1", "2", "V-1"]);
    for from in [&[][..], &["--from", "bench"]] {
        let words = [&["log", "discard", "R-1", "2", "--when", WHEN], from].concat();
        let (_, err, code) = run(folder.path(), &words);
        assert_eq!(code, Some(2), "{err}");
        assert!(err.contains("There are 2 groups."), "{err}");
        assert!(
            err.contains("--from clean --when") && err.contains("--from 'entry 3' --when"),
            "{err}"
        );
    }
    let (_, err, code) = run(
        folder.path(),
        &[
            "log", "discard", "R-1", "2", "--from", "entry 3", "--when", WHEN,
        ],
    );
    assert_eq!(code, Some(2), "{err}");
    assert!(
        err.contains("2 oily rags from the bench were discarded before drying"),
        "{err}"
    );
}

/// A wet rag used again and a rag of no record look alike. The command asks, and what is logged anyway counts as one more wet rag.
#[test]
fn more_rags_than_are_unused_are_asked_for() {
    let folder = demo();
    append(
        &folder,
        "inventory.csv",
        "R-9,cotton rags,,rag,,bench,2026-10-01,3 pcs,,,,,\n",
    );
    log(&folder, &["soil", "R-9", "2", "V-1", "--place", "bench"]);
    refused(
        &folder,
        &["soil", "R-9", "2", "V-1", "--place", "bench"],
        str![[r#"
R-9 has only 1 unused rag left, so it is not clear which rags these are.
  Log the unused ones first: sandarac log soil R-9 '1 pcs' V-1 --place bench --when 2026-10-31T18:00
  If a wet rag was used again, name it:
  2 rags at the bench since 31 Oct 2026, 6:00 pm, wet and loose: sandarac log soil R-9 '2 pcs' V-1 --place bench --from 'entry 204' --when 2026-10-31T18:00
  If they are other rags, log first how many came: sandarac log receive R-9 PIECES --when EARLIER
  Or add --anyway: until you know, they count as more rags.

Nothing was written.

"#]],
    );
    refused(
        &folder,
        &["use", "R-9", "2"],
        str![[r#"
R-9 has only 1 unused rag left, so it is not clear which rags these are.
  Log the unused ones first: sandarac log use R-9 '1 pcs' --when 2026-10-31T18:00
  If a wet rag was used again, name it:
  2 rags at the bench since 31 Oct 2026, 6:00 pm, wet and loose: sandarac log soil R-9 '2 pcs' --from 'entry 204' --when 2026-10-31T18:00
  If they are other rags, log first how many came: sandarac log receive R-9 PIECES --when EARLIER
  Or add --anyway: until you know, they count as more rags.

Nothing was written.

"#]],
    );
    // Fewer than were soiled are never proposed.
    refused(
        &folder,
        &["soil", "R-9", "9", "V-1"],
        str![[r#"
log.csv, row 206 (205): This takes 9 pieces of R-9, but at that time only 3 could be taken.
  Correct the number, or log what happened to the rags before.
  See also inventory.csv, row 43 (R-9).

1 problem. Nothing was written.
If they are other rags, log first how many came: sandarac log receive R-9 PIECES --when EARLIER

"#]],
    );
    let wet = |expected: u32| {
        let at = ["close", "--at", "2026-10-31T19:00", "--json", "-"];
        let (out, _, _) = run(folder.path(), &at);
        let list: serde_json::Value = serde_json::from_str(&out).unwrap();
        let lines = list["lines"].as_array().unwrap().iter();
        let lines = lines.filter(|line| line["subject"] == "R-9");
        let pieces = lines.map(|line| line["amount"]["value"].as_str().unwrap());
        let sum: u32 = pieces.map(|pieces| pieces.parse::<u32>().unwrap()).sum();
        assert_eq!(sum, expected, "{out}");
    };
    log(&folder, &["soil", "R-9", "1", "V-1", "--place", "bench"]);
    log(
        &folder,
        &[
            "soil",
            "R-9",
            "2",
            "V-1",
            "--from",
            "entry 204",
            "--place",
            "bench",
        ],
    );
    wet(3);
    // The two of the second entry are at the bench besides those three, as far as the records say.
    log(
        &folder,
        &["soil", "R-9", "2", "V-1", "--place", "bench", "--anyway"],
    );
    wet(5);
    let unclear = || {
        let words = ["audit", "--on", "2026-10-31", "--no-reports", "--json", "-"];
        let (out, _, _) = run(folder.path(), &words);
        let audit: serde_json::Value = serde_json::from_str(&out).unwrap();
        let mut findings = audit["findings"].as_array().unwrap().iter();
        findings.any(|it| it["subject"]["id"] == "R-9" && it["verdict"] == "cannot-judge")
    };
    assert!(unclear());
    // The answer settles it.
    log(&folder, &["correct", "207", "--from", "entry 204"]);
    wet(3);
    assert!(!unclear());
}

/// A rag that was spread an hour ago is not dry, whoever says so.
#[test]
fn rags_spread_today_are_not_found_dry() {
    let folder = demo();
    log(&folder, &["soil", "R-2", "2", "V-1", "--place", "bench"]);
    log(&folder, &["spread", "R-2", "yard", "--from", "bench"]);
    refused(
        &folder,
        &["test", "R-2", "pass", "--from", "yard"],
        str![[r#"
R-2 were spread today. Oil takes days to dry, so no test can find them hard and dry yet.
  Test them on another day. With --anyway the test is logged, and they still count as wet.

Nothing was written.

"#]],
    );
    log(
        &folder,
        &["test", "R-2", "pass", "--from", "yard", "--anyway"],
    );
    let (_, err, code) = run(
        folder.path(),
        &[
            "log", "discard", "R-2", "2", "--from", "yard", "--when", WHEN,
        ],
    );
    assert_eq!(code, Some(2));
    assert!(err.contains("were discarded before drying"), "{err}");
}

/// Rags that lie in a heap are not found dry: the test is written, and said to dry none. And what is empty has no less to give.
#[test]
fn a_test_that_dries_nothing_says_so() {
    let folder = demo();
    log(&folder, &["soil", "R-2", "2", "V-1", "--place", "bench"]);
    let out = log(&folder, &["test", "R-2", "pass"]);
    assert!(out.contains("! This test dries none."), "{out}");
    let out = log(&folder, &["test", "R-1", "pass", "--from", "yard"]);
    assert!(!out.contains("dries none"), "{out}");
    // An amount that is rounded up when it is shown is proposed as it is.
    log(&folder, &["use", "J-2", "38.1 mL"]);
    let (_, err, _) = run(
        folder.path(),
        &["log", "use", "J-2", "1 qt", "--when", WHEN],
    );
    let tried = err.split_once("Try: sandarac log use J-2 '").unwrap().1;
    let amount = tried.split_once('\'').unwrap().0;
    log(&folder, &["use", "J-2", amount]);
    log(&folder, &["discard", "J-1"]);
    let (_, err, code) = run(
        folder.path(),
        &["log", "use", "J-1", "1 fl oz", "--when", WHEN],
    );
    assert_eq!(code, Some(2));
    assert!(
        !err.contains("Try:") && err.contains("count it first"),
        "{err}"
    );
}

/// A metric shop is given a jar of a liter as an example.
#[test]
fn an_example_has_the_units_of_the_shop() {
    let folder = demo();
    let path = folder.path().join("shop/shop.toml");
    let settings = std::fs::read_to_string(&path).unwrap();
    for (units, size) in [("us", "'1 qt'"), ("metric", "'1 L'")] {
        let units = format!("\"{units}\"");
        std::fs::write(&path, settings.replace("\"us\"", &units)).unwrap();
        let (_, err, _) = run(
            folder.path(),
            &["log", "receive", "Z-9", "1 pt", "--when", WHEN],
        );
        assert!(err.contains(&format!("--capacity {size}")), "{err}");
    }
}

/// Each batch that comes to lie loose is reported, also one of the same minute, and whatever the word was.
#[test]
fn each_loose_batch_is_reported() {
    let folder = demo();
    for words in [
        &["soil", "R-2", "2", "V-1"][..],
        &["soil", "R-2", "2", "V-1"],
        &["use", "R-2", "2"],
    ] {
        let out = log(&folder, words);
        assert!(out.contains("! This breaks a rule: 2 oily rags"), "{out}");
        assert!(out.contains("can set itself on fire"), "{out}");
        let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(out.contains(sandarac::stock::PUT_AWAY), "{out}");
    }
}

/// A bare number in a correction is of the unit of the container that is corrected.
#[test]
fn a_bare_number_in_a_correction_is_understood() {
    let folder = demo();
    log(&folder, &["soil", "R-2", "2", "V-1"]);
    log(&folder, &["correct", "204", "--amount", "3"]);
    assert!(
        log_rows(&folder).contains("correct,,3 pcs,204,"),
        "{}",
        log_rows(&folder)
    );
}

/// A place that an entry does not take rags from cannot be corrected either.
#[test]
fn a_correction_says_only_what_its_entry_can_say() {
    let folder = demo();
    log(&folder, &["use", "A-1", "1 fl oz"]);
    refused(
        &folder,
        &["correct", "204", "--from", "bench"],
        str![[r#"
log.csv, row 206 (205): This corrects "from" of an entry "use", which has none.
  Fill in only what the corrected entry says, or take that entry back and write another one.

1 problem. Nothing was written.

"#]],
    );
}

/// One command that could mean several batches of rags is refused, with a command for each.
#[test]
fn rags_that_could_be_meant_are_asked_for() {
    let folder = demo();
    refused(
        &folder,
        &["bin", "R-1", "rag can", "1", "--by", "owner"],
        str![[r#"
It is not clear which rags of R-1 are meant. There are 2 groups.
  Name the place they are taken from:
  3 rags at the yard since 30 Oct 2026, 3:00 pm, flat outdoors: sandarac log bin R-1 'rag can' '1 pcs' --from yard --when 2026-10-31T18:00 --by owner
  1 rag at the bench since 31 Oct 2026, 10:15 am, wet and loose: sandarac log bin R-1 'rag can' '1 pcs' --from bench --when 2026-10-31T18:00 --by owner

Nothing was written.

"#]],
    );
    // The oily one in the trash is a hazard, and not a record like any other.
    refused(
        &folder,
        &["discard", "R-1", "1", "--from", "bench"],
        str![[r#"
1 oily rag from the bench was discarded before drying, on 31 Oct, 6:00 pm.
  Good practice: Advice on rags with drying oil (trade/rags-thrown-out). See
  also log.csv:202, products.csv:11, inventory.csv:40.
  Rags wet with drying oil or varnish self-heat in a trash bin until they burn,
  within hours, and one is enough.
  Find these rags now and take them out of the trash. Put them under water in a
  lidded metal can, or spread them flat outdoors.
  If they leave the building as hazardous waste: sandarac log discard R-1 '1 pcs' --from bench --hazardous-waste --when 2026-10-31T18:00
  If this has already happened, log it anyway: sandarac log discard R-1 '1 pcs' --from bench --when 2026-10-31T18:00 --anyway

Nothing was written.

"#]],
    );
    log(
        &folder,
        &[
            "discard",
            "R-1",
            "1",
            "--from",
            "bench",
            "--hazardous-waste",
        ],
    );
    let text = log_rows(&folder);
    let last = text.lines().last().unwrap();
    assert!(
        last.ends_with("discard,R-1,1 pcs,hazardous-waste,,,,,bench"),
        "{last}"
    );
}

/// Whatever is done with rags of which several could be meant, it is refused, and each command that is given instead works as it is
/// printed.
#[cfg(unix)]
#[test]
fn each_word_for_rags_asks_which_are_meant() {
    let ready = || {
        let folder = demo();
        append(
            &folder,
            "inventory.csv",
            "R-9,cotton rags,,rag,,bench,2026-10-01,20 pcs,,,,,\n",
        );
        append(
            &folder,
            "places.csv",
            "side yard,finishing room,outdoors,,,,,\n",
        );
        let at = |when: &str, words: &[&str]| {
            let words = [&["log"], words, &["--when", when]].concat();
            let (_, err, code) = run(folder.path(), &words);
            assert_eq!((err.as_str(), code), ("", Some(0)), "{words:?}");
        };
        for (day, place) in [("29", "yard"), ("30", "side yard")] {
            let soiled = format!("2026-10-{day}T10:00");
            at(&soiled, &["soil", "R-9", "2", "V-1", "--place", "bench"]);
            let spread = format!("2026-10-{day}T10:10");
            at(&spread, &["spread", "R-9", place, "2", "--from", "bench"]);
        }
        at(
            "2026-10-31T10:00",
            &["soil", "R-9", "2", "V-1", "--place", "bench"],
        );
        at(
            "2026-10-31T10:05",
            &["soil", "R-9", "1", "D-1", "--place", "bench"],
        );
        folder
    };
    for words in [
        &["bin", "R-9", "rag can", "1"][..],
        &["soak", "R-9", "water can", "1"],
        &["spread", "R-9", "yard", "1"],
        &["move", "R-9", "rag can"],
        &["put-away", "R-9", "water can", "2"],
        &["discard", "R-9", "2"],
        &["test", "R-9", "pass"],
        &["test", "R-9", "pass", "--amount", "1"],
    ] {
        let folder = ready();
        let before = read(&folder, "log.csv");
        let all = [&["log"], words, &["--when", WHEN]].concat();
        let (_, err, code) = run(folder.path(), &all);
        assert_eq!(code, Some(2), "{words:?}: {err}");
        assert!(
            err.contains("It is not clear which rags"),
            "{words:?}: {err}"
        );
        assert_eq!(read(&folder, "log.csv"), before);
        let given: Vec<&str> = err
            .lines()
            .filter_map(|line| line.split_once(": sandarac log ").map(|(_, rest)| rest))
            .collect();
        assert!(given.len() > 1, "{words:?}: {err}");
        for command in given {
            let folder = ready();
            // What is thrown out wet is an objection of its own.
            let anyway = if words[0] == "discard" {
                " --anyway"
            } else {
                ""
            };
            let output = Command::new("sh")
                .current_dir(folder.path().join("shop"))
                .args(["-c", &format!("'{PROGRAM}' log {command}{anyway}")])
                .stdin(Stdio::null())
                .output()
                .unwrap();
            let told = String::from_utf8_lossy(&output.stderr);
            assert_eq!(
                output.status.code(),
                Some(0),
                "{words:?}: {command}: {told}"
            );
        }
    }
}

#[test]
fn undo_takes_back_one_after_another() {
    let folder = demo();
    log(&folder, &["use", "J-2", "1 fl oz"]);
    log(&folder, &["use", "J-2", "2 fl oz"]);
    log(&folder, &["undo"]);
    log(&folder, &["undo"]);
    let text = log_rows(&folder);
    let last: Vec<&str> = text.lines().rev().take(2).collect();
    assert!(
        last[1].ends_with(",correct,,,205,,,,void,")
            && last[0].ends_with(",correct,,,204,,,,void,"),
        "{last:?}"
    );
    let (out, _, _) = run(
        folder.path(),
        &["stock", "--on", "2026-11-01", "--why", "J-2"],
    );
    assert!(out.contains("7 fl oz at the end"), "{out}");
}

#[test]
fn a_cut_off_line_is_set_aside_and_an_open_table_is_noticed() {
    let folder = demo();
    append(&folder, "log.csv", "204,2026-10-3");
    let (_, err, code) = run(folder.path(), &["log", "open", "A-1", "--when", WHEN]);
    let note = "note: the last line of log.csv was incomplete: `204,2026-10-3`. It was set aside in .sandarac/unplaced.csv\n";
    assert_eq!((err.as_str(), code), (note, Some(0)));
    assert!(read(&folder, ".sandarac/unplaced.csv").contains("204,2026-10-3\n"));
    // A whole last line only lacks its line break.
    let text = read(&folder, "log.csv");
    std::fs::write(folder.path().join("shop/log.csv"), text.trim_end()).unwrap();
    log(&folder, &["open", "A-3"]);
    assert!(log_rows(&folder).contains("open,A-1,,,,,,,\n205,"));
    std::fs::write(folder.path().join("shop/.~lock.log.csv#"), "").unwrap();
    refused(
        &folder,
        &["open", "A-1"],
        str![[r#"
log.csv is open in another program, which would save over this entry (.~lock.log.csv# is there).
  Save and close it there, then try again. If it is closed, delete .~lock.log.csv#. Or add --anyway.

Nothing was written.

"#]],
    );
}

#[test]
fn what_another_program_saved_over_is_noticed() {
    let folder = demo();
    let old = read(&folder, "log.csv");
    log(&folder, &["use", "J-2", "1 fl oz"]);
    std::fs::write(folder.path().join("shop/log.csv"), old).unwrap();
    refused(
        &folder,
        &["open", "A-1"],
        str![[r#"
log.csv: The table no longer has 1 row that was written into it: 204, 2026-10-31T18:00, use, J-2, 1 fl oz. Another program removed rows, or saved an older table.
  Run `sandarac log restore` to bring them back. If they were removed on purpose, run `sandarac log accept log.csv --note WHY`.
  To save the entry first and settle this later, add --anyway.

1 problem. Nothing was written.

"#]],
    );
    log(&folder, &["restore"]);
    log(&folder, &["open", "A-1"]);
}

/// A name may be the highest number there is; the next entry is numbered by the others.
#[test]
fn a_name_may_be_a_huge_number() {
    let folder = demo();
    let huge = u64::MAX;
    append(
        &folder,
        "log.csv",
        &format!("{huge},{WHEN},open,A-1,,,,,,,\n"),
    );
    let out = log(&folder, &["open", "A-3"]);
    assert!(out.starts_with("Wrote 205: "), "{out}");
    let new = ["--capacity", "1 pt", "--place", "cabinet", "--when", WHEN];
    let mix = [
        "mix", "--cut", "2", "--make", "1 fl oz", "--flake", "dewaxed",
    ];
    let words = [&mix[..], &["--shop", ".", "--log", "J-20"], &new].concat();
    let (out, err, code) = run(folder.path(), &words);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(out.starts_with("Wrote 206: "), "{out}");
}

/// Two programs log at once, some dozens of times each: nothing is lost, and no name appears twice.
#[test]
fn two_writers_lose_nothing() {
    let folder = demo();
    let before = read(&folder, "log.csv").lines().count();
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                for _ in 0..25 {
                    log(&folder, &["use", "M-1", "1 mL"]);
                }
            });
        }
    });
    let text = read(&folder, "log.csv");
    assert_eq!(text.lines().count(), before + 50);
    let mut names: Vec<&str> = text
        .lines()
        .skip(2)
        .map(|line| line.split(',').next().unwrap())
        .collect();
    let all = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all);
}

/// Killed at a moment drawn by chance, some hundreds of times: what was acknowledged is there, whole and once; what was
/// not is there whole or not at all; and the shop always reads.
#[cfg(unix)]
#[test]
fn a_kill_loses_nothing_acknowledged() {
    let folder = demo();
    let mut state = 20_261_125_u64;
    let mut acknowledged = Vec::new();
    for round in 0..200_u32 {
        let note = format!("round-{round}");
        let mut child = Command::new(PROGRAM)
            .current_dir(folder.path().join("shop"))
            .args([
                "log", "receive", "K-1", "1 mL", "--when", WHEN, "--note", &note, "--anyway",
            ])
            .args(if round == 0 {
                &[
                    "--product",
                    "mineral spirits",
                    "--vessel",
                    "metal",
                    "--capacity",
                    "1 gal",
                    "--place",
                    "cabinet",
                ][..]
            } else {
                &[]
            })
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        // The first is let live, so that the jar is there.
        if round > 0 {
            std::thread::sleep(Duration::from_micros(state >> 33 & 0x7FFF));
            let _ = child.kill();
        }
        let output = child.wait_with_output().unwrap();
        if output.stdout.starts_with(b"Wrote ") {
            acknowledged.push(note);
        }
    }
    // Whoever comes next finishes what was cut short.
    log(&folder, &["open", "A-1"]);
    let text = log_rows(&folder);
    let ends: Vec<&str> = text
        .lines()
        // The note is the last column but one.
        .filter_map(|line| line.rsplit(',').nth(1))
        .collect();
    for note in &acknowledged {
        assert_eq!(ends.iter().filter(|end| *end == note).count(), 1, "{note}");
    }
    assert!(
        text.lines()
            .filter(|line| line.contains("round-") || line.contains("K-1"))
            .all(|line| line.matches(',').count() == 10)
    );
    let mut known: Vec<&&str> = ends
        .iter()
        .filter(|end| end.starts_with("round-"))
        .collect();
    let all = known.len();
    known.sort_unstable();
    known.dedup();
    assert_eq!(known.len(), all, "nothing stands twice");
    assert!(acknowledged.len() < 200, "some were killed in time");
    let (_, err, code) = run(
        folder.path(),
        &["audit", "--on", "2026-11-01", "--no-reports"],
    );
    assert_eq!((err.as_str(), code), ("", Some(1)));
}

/// Without a word it asks, on a terminal: here that of `script`, of the base system. Where that is missing, the test says
/// that it was left out.
#[cfg(unix)]
#[test]
#[allow(clippy::print_stderr)]
fn it_asks_step_by_step() {
    use std::io::Write;
    let folder = demo();
    let spawned = Command::new("script")
        .args(["-qec", &format!("{PROGRAM} log --when {WHEN}"), "/dev/null"])
        .current_dir(folder.path().join("shop"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let Ok(mut child) = spawned else {
        eprintln!("left out: `script` is not on this machine");
        return;
    };
    let mut keys = child.stdin.take().unwrap();
    // Used; the container used last; how much; how long; yes.
    for key in ["\r", "\r", "1/2 fl oz\r", "20\r", "y"] {
        std::thread::sleep(Duration::from_millis(700));
        keys.write_all(key.as_bytes()).unwrap();
        keys.flush().unwrap();
    }
    std::thread::sleep(Duration::from_millis(700));
    drop(keys);
    let output = child.wait_with_output().unwrap();
    let shown = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        shown.contains("Wrote 204: use V-1 '1/2 fl oz' --minutes 20"),
        "{shown}"
    );
    let row = format!("204,{WHEN},use,V-1,1/2 fl oz,,,20,,,");
    assert_eq!(log_rows(&folder).lines().last().unwrap(), row);
}

/// A person who gives up has written nothing, and the exit code says so.
#[cfg(target_os = "linux")]
#[test]
fn who_gives_up_has_written_nothing() {
    use std::io::Write;
    let folder = demo();
    let before = read(&folder, "log.csv");
    let spawned = Command::new("script")
        .args(["-qec", &format!("{PROGRAM} log --when {WHEN}"), "/dev/null"])
        .current_dir(folder.path().join("shop"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let Ok(mut child) = spawned else {
        return;
    };
    let mut keys = child.stdin.take().unwrap();
    std::thread::sleep(Duration::from_millis(900));
    keys.write_all(b"\x1b").unwrap();
    keys.flush().unwrap();
    std::thread::sleep(Duration::from_millis(900));
    drop(keys);
    let output = child.wait_with_output().unwrap();
    let shown = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(shown.contains("Nothing was written."), "{shown}");
    assert_eq!(output.status.code(), Some(2), "{shown}");
    assert_eq!(read(&folder, "log.csv"), before);
}

/// Whoever reads while another writes sees all of an entry or none of it.
#[test]
fn a_reader_never_sees_half_an_entry() {
    let folder = demo();
    log(&folder, &["open", "A-1"]);
    std::thread::scope(|scope| {
        let writer = scope.spawn(|| {
            for jar in 0..25 {
                let name = format!("K-{jar}");
                let new = [
                    "--product",
                    "mineral spirits",
                    "--vessel",
                    "metal",
                    "--capacity",
                    "1 gal",
                    "--place",
                    "cabinet",
                ];
                let mut words = vec!["receive", name.as_str(), "1 pt"];
                words.extend(new);
                log(&folder, &words);
            }
        });
        while !writer.is_finished() {
            let (_, err, code) = run(
                folder.path(),
                &["audit", "--on", "2026-11-01", "--no-reports"],
            );
            assert_eq!((err.as_str(), code), ("", Some(1)));
        }
        writer.join().unwrap();
    });
    assert_eq!(read(&folder, "inventory.csv").matches("\nK-").count(), 25);
}

/// Runs the program where no file may grow past so many bytes, as on a full disk.
#[cfg(target_os = "linux")]
fn run_where_files_end(
    folder: &Path,
    bytes: usize,
    args: &[&str],
) -> Option<(String, Option<i32>)> {
    let output = Command::new("sh")
        .current_dir(folder.join("shop"))
        .args([
            "-c",
            "trap '' XFSZ; limit=$1; shift; exec prlimit --fsize=$limit:$limit \"$@\"",
            "sh",
        ])
        .arg(bytes.to_string())
        .arg(PROGRAM)
        .args(args)
        .stdin(Stdio::null())
        .output()
        .ok()?;
    let err = String::from_utf8(output.stderr).unwrap();
    (!err.contains("prlimit:") && output.status.code() != Some(127))
        .then_some((err, output.status.code()))
}

/// A disk that is full in the middle of a line leaves every table as it was, and no report half written.
#[cfg(target_os = "linux")]
#[test]
#[allow(clippy::print_stderr)]
fn a_full_disk_changes_nothing() {
    let folder = demo();
    // With its last column, so that the log is no longer written whole: the journal would be the first to find no room.
    let wide = read(&folder, "log.csv").replace(",note,from\n", ",note,from,written\n");
    let wide = wide.replace('\n', ",\n").replace("written,", "written");
    std::fs::write(folder.path().join("shop/log.csv"), wide).unwrap();
    log(&folder, &["open", "A-1"]);
    let (log_before, inventory_before) = (read(&folder, "log.csv"), read(&folder, "inventory.csv"));
    let words = [
        "log",
        "receive",
        "K-1",
        "1 pt",
        "--when",
        WHEN,
        "--product",
        "mineral spirits",
        "--vessel",
        "metal",
        "--capacity",
        "1 gal",
        "--place",
        "cabinet",
    ];
    for more in [0, 1, 7, 20] {
        let Some((err, code)) = run_where_files_end(folder.path(), log_before.len() + more, &words)
        else {
            eprintln!("left out: `prlimit` is not on this machine");
            return;
        };
        assert_eq!(code, Some(2), "{err}");
        assert!(
            err.starts_with("log.csv cannot be written: File too large"),
            "{err}"
        );
        assert!(err.ends_with("Nothing was written.\n"), "{err}");
        assert_eq!(read(&folder, "log.csv"), log_before);
        assert_eq!(read(&folder, "inventory.csv"), inventory_before);
        let journal = read(&folder, ".sandarac/journal");
        assert!(journal.lines().last().unwrap().starts_with("done\t"));
    }
    let audit = ["audit", "--on", "2026-11-01"];
    let (err, code) = run_where_files_end(folder.path(), 300, &audit).unwrap();
    assert_eq!(code, Some(2));
    assert!(err.contains("cannot be written: "), "{err}");
    let reports = std::fs::read_dir(folder.path().join("shop/reports")).unwrap();
    let names: Vec<_> = reports.map(|entry| entry.unwrap().file_name()).collect();
    assert!(names.is_empty(), "{names:?}");
}

/// The last action may be a correction; then that is taken back, and the entry counts again as it was.
#[test]
fn undo_takes_back_the_last_action() {
    let folder = demo();
    let held = || {
        let (out, _, _) = run(
            folder.path(),
            &["stock", "--on", "2026-11-01", "--why", "A-1"],
        );
        let last = out.lines().last().unwrap_or_default();
        last.trim_start_matches("so it holds").trim().to_string()
    };
    let initial = held();
    log(&folder, &["use", "A-1", "3 fl oz"]);
    let one_use = held();
    log(&folder, &["use", "A-1", "4 fl oz"]);
    let two_uses = held();
    log(&folder, &["correct", "204", "--amount", "1 fl oz"]);
    let corrected = held();
    log(&folder, &["correct", "206", "--amount", "2 fl oz"]);
    assert!(corrected != two_uses && held() != corrected);
    let undo = |words: &str| {
        let out = log(&folder, &["undo"]);
        assert!(out.contains(words), "{out}");
    };
    undo("This takes back entry 207: correct 206 2 fl oz, 31 Oct 2026, 6:00 pm.\n");
    assert_eq!(held(), corrected);
    undo("This takes back entry 206: correct 204 1 fl oz, 31 Oct 2026, 6:00 pm.\n");
    assert_eq!(held(), two_uses);
    undo("This takes back entry 205: use A-1 4 fl oz, 31 Oct 2026, 6:00 pm.\n");
    assert_eq!(held(), one_use);
    // What takes back a taking back is an entry by hand; then there is one more to undo.
    log(&folder, &["correct", "210", "--void"]);
    assert_eq!(held(), two_uses);
    undo("This takes back entry 205: use A-1 4 fl oz");
    undo("This takes back entry 204: use A-1 3 fl oz");
    assert_eq!(held(), initial);
    log(&folder, &["use", "A-1", "3 fl oz"]);
    log(&folder, &["correct", "214", "--amount", "1 fl oz"]);
    refused(
        &folder,
        &["undo", "214"],
        str![[r#"
Entry 214 is corrected by entry 215.
  Take the correction back first: sandarac log undo 215

Nothing was written.

"#]],
    );
    log(&folder, &["undo", "215"]);
    log(&folder, &["undo", "214"]);
    assert_eq!(held(), initial);
}

/// A second correction changes what it says, and leaves what the first one said. And the advice of a refusal works as it is printed.
#[test]
fn a_second_correction_keeps_the_first() {
    let folder = demo();
    let held = || {
        let (out, _, _) = run(
            folder.path(),
            &["stock", "--on", "2026-11-01", "--why", "A-1"],
        );
        out.lines().last().unwrap_or_default().trim().to_string()
    };
    log(&folder, &["use", "A-1", "1 fl oz"]);
    log(&folder, &["correct", "204", "--amount", "9 fl oz"]);
    let nine = held();
    log(&folder, &["correct", "205", "--minutes", "60"]);
    assert_eq!(held(), nine);
    let words = [
        "log", "correct", "204", "--amount", "8 fl oz", "--when", WHEN,
    ];
    let (_, err, code) = run(folder.path(), &words);
    assert_eq!(code, Some(2), "{err}");
    assert!(err.contains("Correct entry 206 instead"), "{err}");
    log(&folder, &["correct", "206", "--amount", "8 fl oz"]);
    let eight = held();
    assert_ne!(eight, nine);
    // Each can be taken back by itself, the last one first.
    log(&folder, &["undo", "207"]);
    assert_eq!(held(), nine);
    log(&folder, &["undo", "206"]);
    assert_eq!(held(), nine);
    log(&folder, &["undo", "205"]);
    assert!(![nine, eight].contains(&held()));
}

/// A row that was pasted twice would put away a rag that is still out.
#[test]
fn an_entry_that_stands_twice_is_an_error() {
    let folder = demo();
    log(&folder, &["soil", "R-1", "2", "V-1"]);
    log(&folder, &["bin", "R-1", "rag can", "1", "--from", "bench"]);
    let text = read(&folder, "log.csv");
    let row = text.lines().last().unwrap();
    append(&folder, "log.csv", &format!("{row}\n"));
    let (_, err, code) = run(folder.path(), &["close", "--at", "2026-10-31T19:00"]);
    assert_eq!(code, Some(2));
    snapbox::assert_data_eq!(
        err,
        str![[r#"
log.csv, row 207 (205): Two entries are called "205".
  If the row was pasted twice, delete one of the two. Otherwise give this entry its own number.

log.csv, row 207 (205): This takes 1 piece of R-1, but at that time only 0 could be taken.
  Correct the number, or log what happened to the rags before.
  See also inventory.csv, row 40 (R-1).

2 problems. Nothing was listed.

"#]]
    );
}

/// An entry that has no amount cannot get one by a correction.
#[test]
fn a_correction_fills_in_only_what_the_entry_says() {
    let folder = demo();
    log(&folder, &["empty", "rag can"]);
    log(&folder, &["open", "A-1"]);
    for (entry, option, value, what) in [
        (
            "204",
            "--amount",
            "2 pcs",
            "\"amount\" of an entry \"empty\"",
        ),
        (
            "204",
            "--container",
            "A-1",
            "\"container\" of an entry \"empty\"",
        ),
        ("205", "--amount", "1 pt", "\"amount\" of an entry \"open\""),
        ("205", "--minutes", "5", "\"minutes\" of an entry \"open\""),
    ] {
        let words = ["log", "correct", entry, option, value, "--when", WHEN];
        let (_, err, code) = run(folder.path(), &words);
        assert_eq!(code, Some(2), "{err}");
        assert!(
            err.contains(&format!("This corrects {what}, which has none.\n")),
            "{err}"
        );
    }
}

/// Receives a drum of alcohol, and gives what was said in one line.
fn receive_drum(folder: &TempDir, drum: &str, place: &str) -> String {
    let words = format!(
        "receive|{drum}|55 gal|--product|denatured alcohol|--vessel|drum|--capacity|55 gal|--place|{place}|--labelled|--anyway"
    );
    let out = log(folder, &words.split('|').collect::<Vec<_>>());
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is over its limit already is no reason to be silent about more of it.
#[test]
fn an_entry_that_makes_a_breach_worse_is_reported() {
    let folder = demo();
    let receive = |drum: &str| receive_drum(&folder, drum, "cabinet");
    receive("DR-1");
    let second = receive("DR-2");
    assert!(
        second.contains("! This breaks a rule: ") || second.contains("a broken rule worse: "),
        "{second}"
    );
    for drum in ["DR-3", "DR-4"] {
        let out = receive(drum);
        assert!(out.contains("! This makes a broken rule worse: "), "{out}");
        assert!(
            out.contains("cabinet-contents") || out.contains("cabinet"),
            "{out}"
        );
    }
    // A harmless entry makes nothing worse.
    let out = log(&folder, &["open", "DR-1"]);
    assert!(
        !out.contains("breaks a rule") && !out.contains("worse"),
        "{out}"
    );
}

/// Oily rags that a count does not find are reported, though they were a finding already where they lay.
#[test]
fn each_oily_rag_that_a_count_misses_is_reported() {
    let folder = demo();
    log(&folder, &["soil", "R-2", "2", "V-1", "--place", "bench"]);
    log(
        &folder,
        &["soil", "R-2", "1", "D-1", "--place", "flake shelf"],
    );
    let out = log(&folder, &["count", "R-2", "0", "--anyway"]);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for place in [
        "2 soiled rags from the bench",
        "1 soiled rag from the flake shelf",
    ] {
        let said = format!("! This breaks a rule: {place}");
        assert!(out.contains(&said), "{place}: {out}");
    }
}

/// What is recorded of a product or a can says what is on the rags that were wiped with it. Where oily rags become harmless by that, it
/// is said; an entry that puts them away needs no such word.
#[test]
fn oily_rags_that_a_fact_makes_harmless_are_named() {
    let folder = demo();
    log(&folder, &["soil", "R-2", "2", "V-1", "--place", "bench"]);
    let record = |words: &[&str]| {
        let words = [&["log", "record"], words].concat();
        let (out, err, code) = run(folder.path(), &words);
        assert_eq!((err.as_str(), code), ("", Some(0)));
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let said = "! By this change, these rags no longer count as oily: 2 oily rags have been wet";
    assert!(!record(&["V-1", "note", "by the door"]).contains(said));
    let out = record(&["V-1", "product", "mineral spirits"]);
    assert!(out.contains(said), "{out}");
    record(&["V-1", "product", "oil varnish sealer"]);
    let out = log(&folder, &["soak", "R-2", "water can", "--from", "bench"]);
    assert!(!out.contains("no longer count"), "{out}");
}

/// An authority that accepts a drum too many has not accepted the next one.
#[test]
fn more_than_was_accepted_is_reported() {
    let folder = demo();
    let receive = |drum: &str| receive_drum(&folder, drum, "finishing room");
    let outside = "All liquid outside cabinets together";
    assert!(receive("DR-1").contains(outside));
    let audit = ["audit", "--on", "2026-11-01", "--no-reports", "--json", "-"];
    let audit: serde_json::Value = serde_json::from_str(&run(folder.path(), &audit).0).unwrap();
    let rule = "ten-gallons-outside-cabinets";
    let mut findings = audit["findings"].as_array().unwrap().iter();
    let finding = findings.find(|it| it["rule"] == rule && it["verdict"] == "breach");
    let subject = finding.unwrap()["subject"]["id"]
        .as_str()
        .unwrap()
        .to_string();
    let accept = [
        "log",
        "accept",
        rule,
        &subject,
        "--until",
        "2031-01-01",
        "--by",
        "Kim",
        "--note",
        "until it is used",
    ];
    let (_, err, code) = run(folder.path(), &accept);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(!log(&folder, &["open", "DR-1"]).contains(outside));
    let second = receive("DR-2");
    assert!(
        second.contains(&format!("! This makes a broken rule worse: {outside}")),
        "{second}"
    );
}

/// A jar cannot hold what was counted in it, whatever the book said.
#[test]
fn a_count_beyond_the_capacity_is_a_finding() {
    let folder = demo();
    let words = ["log", "count", "J-2", "5 gal", "--when", WHEN];
    let (_, err, code) = run(folder.path(), &words);
    assert_eq!(code, Some(2), "{err}");
    assert!(
        err.contains("J-2") && err.contains("(trade/within-capacity)"),
        "{err}"
    );
    log(&folder, &["count", "J-2", "5 gal", "--anyway"]);
    let (out, _, _) = run(
        folder.path(),
        &["audit", "--on", "2026-11-01", "--no-reports", "--json", "-"],
    );
    let audit: serde_json::Value = serde_json::from_str(&out).unwrap();
    let findings = audit["findings"].as_array().unwrap();
    let breach = findings
        .iter()
        .find(|it| it["rule"] == "within-capacity" && it["verdict"] == "breach");
    assert!(breach.is_some_and(|it| it.to_string().contains("J-2")));
}

/// A second count that agrees nearly does not hide that the first one did not.
#[test]
fn a_small_difference_does_not_hide_a_large_one() {
    let folder = demo();
    let counted = || {
        let args = ["audit", "--on", "2026-11-01", "--no-reports", "--json", "-"];
        let (out, _, _) = run(folder.path(), &args);
        let audit: serde_json::Value = serde_json::from_str(&out).unwrap();
        let findings = audit["findings"].as_array().unwrap().clone();
        let of_it = |it: &&serde_json::Value| {
            it["rule"] == "count-agrees" && it["subject"].to_string().contains("\"A-1\"")
        };
        findings.iter().find(of_it).unwrap().clone()
    };
    let count = |amount: &str, when: &str| {
        let (_, err, code) = run(
            folder.path(),
            &["log", "count", "A-1", amount, "--when", when],
        );
        assert_eq!((err.as_str(), code), ("", Some(0)));
    };
    count("10 fl oz", "2026-10-31T18:00");
    assert_eq!(counted()["verdict"], "breach");
    let first = counted()["observed"].clone();
    count("9.9 fl oz", "2026-10-31T19:00");
    assert_eq!(counted()["verdict"], "breach");
    assert_eq!(counted()["observed"], first);
    // Of two large ones both are reported.
    count("5 fl oz", "2026-10-31T20:00");
    let found = counted();
    assert_eq!(found["observed"], first);
    assert!(
        found.to_string().contains("another count differed"),
        "{found}"
    );
}

/// Rags of another soiling lie at the same place: what is put away in the same command is what was just soiled, and the other
/// rag stays open.
#[test]
fn rags_put_away_in_one_command_are_those_it_soiled() {
    let folder = demo();
    log(
        &folder,
        &[
            "soil", "R-1", "2", "V-1", "--place", "bench", "--then", "rag can",
        ],
    );
    let table = read(&folder, "log.csv");
    let [soiled, binned]: [&str; 2] = table
        .lines()
        .skip(204)
        .collect::<Vec<_>>()
        .try_into()
        .unwrap();
    assert!(
        soiled.starts_with("204,2026-10-31T18:00,soil,R-1,2 pcs,V-1,bench,"),
        "{table}"
    );
    assert!(
        binned.starts_with("205,2026-10-31T18:00,bin,R-1,2 pcs,,rag can,"),
        "{table}"
    );
    assert!(binned.contains(",entry 204"), "{table}");
    let at = ["close", "--at", "2026-10-31T19:00", "--json", "-"];
    let (out, _, code) = run(folder.path(), &at);
    let list: serde_json::Value = serde_json::from_str(&out).unwrap();
    let lines = list["lines"].as_array().unwrap();
    let loose: Vec<&serde_json::Value> = lines
        .iter()
        .filter(|it| it["about"] == "oily-rag" && it["place"] == "bench")
        .collect();
    assert_eq!(loose.len(), 1, "{out}");
    assert_eq!(loose[0]["amount"]["value"], "1", "{out}");
    assert_eq!(code, Some(1));
}
