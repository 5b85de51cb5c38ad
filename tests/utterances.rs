//! Entries as people type them: each gives the right row, or one clear question. Days and times that depend on today are
//! tested beside `typing/moments.rs`.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::process::Command;
use tempfile::TempDir;

/// What is typed after `sandarac log`, and the entry that it would write, in the words of the tables; `@` stands for an amount
/// that is worked out.
const ENTRIES: &[(&str, &str)] = &[
    ("use J-2 1floz", "use J-2 1floz"),
    ("use j-2 1floz", "use J-2 1floz"),
    ("use j2 1floz", "use J-2 1floz"),
    ("use 'J 2' 1floz", "use J-2 1floz"),
    ("use J2 '1 fl oz'", "use J-2 '1 fl oz'"),
    ("use turpentine '1 fl oz'", "use TP-1 '1 fl oz'"),
    ("use turp '1 fl oz'", "use TP-1 '1 fl oz'"),
    ("use Danish '2 fl oz'", "use D-1 '2 fl oz'"),
    ("use 'danish oil' '2 fl oz'", "use D-1 '2 fl oz'"),
    ("use TUNG '1 fl oz'", "use T-1 '1 fl oz'"),
    ("use naphtha '1 fl oz'", "use N-1 '1 fl oz'"),
    ("use ammonia '1 fl oz'", "use H-1 '1 fl oz'"),
    ("use 'paste wax' '1 fl oz'", "use W-1 '1 fl oz'"),
    ("use pumice '1 oz'", "use P-1 '1 oz'"),
    ("use rottenstone '1 oz'", "use P-2 '1 oz'"),
    ("use w1 '1 fl oz'", "use W-1 '1 fl oz'"),
    ("use tp '1 fl oz'", "use TP-1 '1 fl oz'"),
    ("use hide '1 oz'", "use G-1 '1 oz'"),
    ("open a4", "open A-4"),
    ("open v2", "open V-2"),
    ("count sw1 10", "count SW-1 '10 pcs'"),
    ("count 'steel wool' 10", "count SW-1 '10 pcs'"),
    ("test j1 pass -m 9", "test J-1 pass --minutes 9"),
    ("move j6 cabinet", "move J-6 cabinet"),
    ("move J-6 CABINET", "move J-6 cabinet"),
    ("move j6 cab", "move J-6 cabinet"),
    ("move j6 bench", "move J-6 bench"),
    ("move j6 'flake shelf'", "move J-6 'flake shelf'"),
    ("move j6 flakeshelf", "move J-6 'flake shelf'"),
    ("move j6 flake", "move J-6 'flake shelf'"),
    ("move j6 'store-room'", "move J-6 store-room"),
    ("move j6 south", "move J-6 'south window'"),
    ("move j6 yard", "move J-6 yard"),
    ("empty 'rag can'", "empty 'rag can'"),
    ("empty rag", "empty 'rag can'"),
    ("empty ragcan", "empty 'rag can'"),
    ("empty 'RAG CAN'", "empty 'rag can'"),
    ("empty water", "empty 'water can'"),
    ("discard j1", "discard J-1"),
    ("discard j5 all", "discard J-5 '@'"),
    ("soil r1 2 v1", "soil R-1 '2 pcs' V-1"),
    ("soil R-1 '2 pcs' V-1", "soil R-1 '2 pcs' V-1"),
    ("soil r1 2 varnish", "soil R-1 '2 pcs' V-1"),
    (
        "soil r1 1 danish -p bench",
        "soil R-1 '1 pcs' D-1 --place bench",
    ),
    ("soil cheesecloth 1 'paste wax'", "soil R-2 '1 pcs' W-1"),
    (
        "soil r1 2 v1 --place BENCH",
        "soil R-1 '2 pcs' V-1 --place bench",
    ),
    ("soiled r1 2 v1", "soil R-1 '2 pcs' V-1"),
    (
        "bin r1 rag 1 -f bench",
        "bin R-1 'rag can' '1 pcs' --from bench",
    ),
    (
        "bin r1 can 1 -f bench",
        "bin R-1 'rag can' '1 pcs' --from bench",
    ),
    (
        "bin r1 'rag can' 1 --from Bench",
        "bin R-1 'rag can' '1 pcs' --from bench",
    ),
    (
        "binned r1 can 1 -f bench",
        "bin R-1 'rag can' '1 pcs' --from bench",
    ),
    (
        "soak r1 can 1 -f bench",
        "soak R-1 'water can' '1 pcs' --from bench",
    ),
    (
        "soak r1 water 1 -f 'entry 201'",
        "soak R-1 'water can' '1 pcs' --from 'entry 201'",
    ),
    (
        "spread r1 yard 1 -f bench",
        "spread R-1 yard '1 pcs' --from bench",
    ),
    ("test r1 pass -f yard", "test R-1 pass --from yard"),
    ("discard r1 3 -f clean", "discard R-1 '3 pcs' --from clean"),
    ("receive r1 12", "receive R-1 '12 pcs'"),
    ("bought r2 12", "receive R-2 '12 pcs'"),
    ("used j2 1floz", "use J-2 1floz"),
    ("bought a1 '1 pt'", "receive A-1 '1 pt'"),
    ("got a1 '1 pt'", "receive A-1 '1 pt'"),
    ("received a1 '1 pt'", "receive A-1 '1 pt'"),
    ("buy a1 '1 pt'", "receive A-1 '1 pt'"),
    ("poured a1 '2 fl oz' a5", "decant A-1 '2 fl oz' A-5"),
    ("pour a1 '2 fl oz' a5", "decant A-1 '2 fl oz' A-5"),
    ("refilled a1 '2 fl oz' a5", "decant A-1 '2 fl oz' A-5"),
    ("decanted a1 '2 fl oz' a5", "decant A-1 '2 fl oz' A-5"),
    ("threw-out j1", "discard J-1"),
    ("throw-out j1", "discard J-1"),
    ("discarded j1", "discard J-1"),
    ("disposed j1", "discard J-1"),
    ("opened a4", "open A-4"),
    ("moved j6 cab", "move J-6 cabinet"),
    ("counted j2 '6 fl oz'", "count J-2 '6 fl oz'"),
    ("measured j2 '6 fl oz'", "count J-2 '6 fl oz'"),
    ("tested j1 pass", "test J-1 pass"),
    ("emptied rag", "empty 'rag can'"),
    ("mixed a1 '1 fl oz' j9", "mix A-1 '1 fl oz' J-9"),
    ("add a1 '1 fl oz' j9", "mix A-1 '1 fl oz' J-9"),
    ("use j2 1/2floz", "use J-2 1/2floz"),
    ("use j2 '1 1/2 fl oz'", "use J-2 '1 1/2 fl oz'"),
    ("use j2 '0.5 fl oz'", "use J-2 '0.5 fl oz'"),
    ("use j2 30mL", "use J-2 30mL"),
    ("use n1 half", "use N-1 '@'"),
    ("use n1 'a third'", "use N-1 '@'"),
    ("use n1 'a quarter'", "use N-1 '@'"),
    ("use n1 all", "use N-1 '@'"),
    ("use n1 'the rest'", "use N-1 '@'"),
    ("use N-1 HALF", "use N-1 '@'"),
    ("use j2 2", "use J-2 '2 fl oz'"),
    ("use v1 1", "use V-1 '1 fl oz'"),
    ("use t1 1.5", "use T-1 '1.5 fl oz'"),
    ("use t1 1/2", "use T-1 '1/2 fl oz'"),
    ("use p1 1", "use P-1 '1 oz'"),
    ("count r1 30", "count R-1 '30 pcs'"),
    ("use sw1 1", "use SW-1 '1 pcs'"),
    (
        "use J-2 1floz -t '2026-10-31 09:15'",
        "use J-2 1floz at 2026-10-31T09:15",
    ),
    (
        "use J-2 1floz --when '31 Oct 2026 9:15 am'",
        "use J-2 1floz at 2026-10-31T09:15",
    ),
    (
        "use J-2 1floz --when 'Oct 31 2026, 9am'",
        "use J-2 1floz at 2026-10-31T09:00",
    ),
    (
        "use J-2 1floz --when '10/31/2026 9:15'",
        "use J-2 1floz at 2026-10-31T09:15",
    ),
    (
        "use J-2 1floz --when '31.10.2026 17:05'",
        "use J-2 1floz at 2026-10-31T17:05",
    ),
    (
        "use J-2 1floz --when '31/10/26 5:05pm'",
        "use J-2 1floz at 2026-10-31T17:05",
    ),
    (
        "use J-2 1floz --when '2026-10-31 noon'",
        "use J-2 1floz at 2026-10-31T12:00",
    ),
    (
        "use J-2 1floz -m 40 -b Ann -n 'two coats'",
        "use J-2 1floz --minutes 40",
    ),
    ("use J-2 1floz -m 45min", "use J-2 1floz --minutes 45min"),
    ("use J-2 1floz -p bench", "use J-2 1floz --place bench"),
    (
        "use J-2 1floz -p finishing",
        "use J-2 1floz --place 'finishing room'",
    ),
];

/// What is typed, and what is asked or refused.
const ASKED: &[(&str, &str)] = &[
    ("use shellac 1floz", "can be more than one container"),
    ("use alcohol 1floz", "can be more than one container"),
    ("use j 1floz", "can be more than one container"),
    ("empty can", "can be more than one place"),
    ("move j6 room", "can be more than one place"),
    ("move j6 shelf", "can be more than one place"),
    ("use j2 '1 oz'", "can be a weight or a volume"),
    ("use n1 2oz", "can be a weight or a volume"),
    ("use J-22 1floz", "There is no container"),
    ("use zebra 1floz", "There is no container"),
    ("move j6 attic", "There is no place"),
    (
        "use j2 1floz -t '11/3 5pm'",
        "can be 2026-11-03 or 2026-03-11",
    ),
    ("use j2 1floz -t soon", "is not a day and time"),
    ("use j2 1floz -t 25:00", "no such day or time"),
    ("use j2 1floz -t '31 Nov'", "no such day or time"),
    ("bin r1 can 1", "not clear which rags"),
    ("discard r1 1", "not clear which rags"),
];

/// Answers of the round.
const ANSWERS: &[(&str, &str)] = &[
    (
        "check lids-closed yes finishing",
        "lids-closed yes, finishing room",
    ),
    ("check lids y finishing", "lids-closed yes, finishing room"),
    (
        "check LIDS-CLOSED no 'store-room'",
        "lids-closed no, store-room",
    ),
    ("check fan-runs y finishing", "fan-runs yes, finishing room"),
    ("check eyewash-flush y", "eyewash-flush yes"),
    ("check spill n/a", "spill-kit not present"),
    ("check exit-light y", "exit-light yes"),
    ("check all yes", "lids-closed yes, finishing room"),
];

/// The words of a line as a shell splits them.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut quoted) = (Vec::new(), false);
    let mut word: Option<String> = None;
    for letter in line.chars() {
        match letter {
            '\'' => {
                quoted = !quoted;
                word.get_or_insert_default();
            }
            ' ' if !quoted => words.extend(word.take()),
            _ => word.get_or_insert_default().push(letter),
        }
    }
    words.extend(word);
    words
}

/// Runs `sandarac log … --dry-run` on the demo, one evening.
fn log(folder: &TempDir, line: &str) -> (String, String, Option<i32>) {
    let mut args = vec!["log".to_string()];
    args.extend(words(line));
    args.extend(["--dry-run", "--shop", "shop", "--anyway"].map(str::to_string));
    if line.contains("not anyway") || ASKED.iter().any(|(typed, _)| *typed == line) {
        args.pop();
    }
    if !args.iter().any(|arg| arg == "-t" || arg == "--when") {
        args.extend(["--when", "2026-10-31T18:00"].map(str::to_string));
    }
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder.path())
        .env_remove("COLUMNS")
        .env("COLUMNS", "400")
        .args(&args)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    let made = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder.path())
        .args(["demo", "--write", "shop"])
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    folder
}

/// Does a text fit one in which `@` stands for anything?
fn fits(text: &str, wanted: &str) -> bool {
    match wanted.split_once('@') {
        None => text.starts_with(wanted),
        Some((before, behind)) => {
            let rest = text.strip_prefix(before);
            rest.is_some_and(|rest| rest.contains(behind))
        }
    }
}

/// ` at 2026-10-31T09:15` as the program says it: ` (31 Oct 2026, 9:15 am)`.
fn with_time(wanted: &str) -> String {
    const MONTHS: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    let (words, moment) = wanted.split_once(" at 2026-").unwrap();
    let (time, rest) = moment.split_at("10-31T09:15".len());
    let number = |from: usize, to: usize| time[from..to].parse::<usize>().unwrap();
    let (month, day, hour) = (number(0, 2), number(3, 5), number(6, 8));
    let half = if hour < 12 { "am" } else { "pm" };
    let shown = if hour % 12 == 0 { 12 } else { hour % 12 };
    let (month, minute) = (MONTHS[month - 1], &time[9..]);
    format!("{words} ({day} {month} 2026, {shown}:{minute} {half}){rest}")
}

#[test]
fn what_is_typed_becomes_the_right_entry() {
    let folder = demo();
    let mut wrong = Vec::new();
    for (typed, wanted) in ENTRIES {
        let (out, err, code) = log(&folder, typed);
        let entry = out.strip_prefix("Would write 204: ").unwrap_or_default();
        let wanted = match wanted.contains(" at 2026") {
            true => (*wanted).to_string(),
            false => format!("{wanted} at 2026-10-31T18:00"),
        };
        let wanted = with_time(&wanted);
        if !fits(entry, &wanted) || code != Some(0) {
            wrong.push(format!("{typed}\n  wanted {wanted}\n  found  {out}{err}"));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        ENTRIES.len(),
        wrong.join("\n")
    );
}

#[test]
fn what_could_mean_several_things_is_asked() {
    let folder = demo();
    let mut wrong = Vec::new();
    for (typed, wanted) in ASKED {
        let (out, err, code) = log(&folder, typed);
        if !err.contains(wanted) || code != Some(2) || !err.contains("Nothing was written.\n") {
            wrong.push(format!(
                "{typed}\n  wanted {wanted}\n  found  {code:?} {out}{err}"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn answers_of_the_round_are_logged_in_one_line() {
    let folder = demo();
    let mut wrong = Vec::new();
    for (typed, wanted) in ANSWERS {
        let (out, err, code) = log(&folder, typed);
        if !out.contains(&format!("Would write: {wanted} (")) || code != Some(0) {
            wrong.push(format!(
                "{typed}\n  wanted {wanted}\n  found  {code:?} {out}{err}"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}
