//! Entries as people type them: each gives the right row, or one clear question. Days and times that depend on today are
//! tested beside `typing/moments.rs`.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/program.rs"]
mod program;

use program::demo;
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
        "use J-2 1floz (31 Oct 2026, 9:15 am)",
    ),
    (
        "use J-2 1floz --when '31 Oct 2026 9:15 am'",
        "use J-2 1floz (31 Oct 2026, 9:15 am)",
    ),
    (
        "use J-2 1floz --when 'Oct 31 2026, 9am'",
        "use J-2 1floz (31 Oct 2026, 9:00 am)",
    ),
    (
        "use J-2 1floz --when '10/31/2026 9:15'",
        "use J-2 1floz (31 Oct 2026, 9:15 am)",
    ),
    (
        "use J-2 1floz --when '31.10.2026 17:05'",
        "use J-2 1floz (31 Oct 2026, 5:05 pm)",
    ),
    (
        "use J-2 1floz --when '31/10/26 5:05pm'",
        "use J-2 1floz (31 Oct 2026, 5:05 pm)",
    ),
    (
        "use J-2 1floz --when '2026-10-31 noon'",
        "use J-2 1floz (31 Oct 2026, 12:00 pm)",
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
    ("use m1 two", "use M-1 '2 qt'"),
    ("use m1 1½", "use M-1 '1 1/2 qt'"),
    ("use m1 ½", "use M-1 '1/2 qt'"),
    ("use m1 1-1/2", "use M-1 '1 1/2 qt'"),
    ("use m1 '1 1/2'", "use M-1 '1 1/2 qt'"),
    ("use m1 .5", "use M-1 '0.5 qt'"),
    ("use m1 '.5 pt'", "use M-1 '0.5 pt'"),
    ("use m1 '½ pt'", "use M-1 '½ pt'"),
    ("use m1 '1½ pt'", "use M-1 '1½ pt'"),
    ("use m1 '1-1/2 qt'", "use M-1 '1-1/2 qt'"),
    ("use m1 1-1/2pt", "use M-1 1-1/2pt"),
    ("use m1 100cc", "use M-1 100cc"),
    ("use m1 '100 cc'", "use M-1 '100 cc'"),
    ("use m1 '0.1 ltr'", "use M-1 '0.1 ltr'"),
    ("use m1 '0.1 liter'", "use M-1 '0.1 liter'"),
    ("use m1 '25 cl'", "use M-1 '25 cl'"),
    ("use m1 250ML", "use M-1 250ML"),
    ("use m1 '2 cups'", "use M-1 '2 cups'"),
    ("use m1 '2 tbsp'", "use M-1 '2 tbsp'"),
    ("use m1 '1 tsp'", "use M-1 '1 tsp'"),
    ("use m1 'a pint'", "use M-1 'a pint'"),
    ("use m1 'half a pint'", "use M-1 'half a pint'"),
    ("use m1 '1 quart'", "use M-1 '1 quart'"),
    ("use m1 '2 fluid ounces'", "use M-1 '2 fluid ounces'"),
    ("use m1 '2 fl. oz.'", "use M-1 '2 fl. oz.'"),
    ("use m1 'two fl oz'", "use M-1 'two fl oz'"),
    ("use j1 all", "use J-1 '10 fl oz'"),
    ("use j1 everything", "use J-1 '10 fl oz'"),
    ("use j1 'two thirds'", "use J-1 '@'"),
    ("use v1 1floz -m 1:30", "use V-1 1floz --minutes 90"),
    ("use v1 1floz -m 1h30", "use V-1 1floz --minutes 90"),
    ("use v1 1floz -m '1 h 30 min'", "use V-1 1floz --minutes 90"),
    ("use v1 1floz -m 90m", "use V-1 1floz --minutes 90"),
    ("use v1 1floz -m '1.5 h'", "use V-1 1floz --minutes 90"),
    (
        "use v1 1floz -m 'half an hour'",
        "use V-1 1floz --minutes 30",
    ),
    ("use v1 1floz -m '1 hour'", "use V-1 1floz --minutes 60"),
    (
        "use v1 1floz -m 'an hour and a half'",
        "use V-1 1floz --minutes 90",
    ),
    ("use v1 1floz -m 1h", "use V-1 1floz --minutes 60"),
    ("test j1 pass -m 0:09", "test J-1 pass --minutes 9"),
    ("test j1 passed", "test J-1 passed"),
    ("test j1 failed", "test J-1 failed"),
    ("soil r1 'a dozen' v1", "soil R-1 '12 pcs' V-1"),
    ("soil r1 'half a dozen' v1", "soil R-1 '6 pcs' V-1"),
    ("soil r1 two v1", "soil R-1 '2 pcs' V-1"),
    ("soil rags 2 varnish", "soil R-1 '2 pcs' V-1"),
    ("soil 'cotton rags' 2 'tung oil'", "soil R-1 '2 pcs' T-1"),
    ("soil r1 2", "soil R-1 '2 pcs'"),
    ("soil r1 2 'Danish Oil'", "soil R-1 '2 pcs' D-1"),
    ("threw out j1", "discard J-1"),
    ("threw away j1", "discard J-1"),
    ("throw out j1", "discard J-1"),
    ("tossed j1", "discard J-1"),
    ("disposed of j1", "discard J-1"),
    ("poured off a1 '2 fl oz' a5", "decant A-1 '2 fl oz' A-5"),
    ("filled a1 '2 fl oz' a5", "decant A-1 '2 fl oz' A-5"),
    ("brought in a1 '1 pt'", "receive A-1 '1 pt'"),
    ("delivered a1 '1 pt'", "receive A-1 '1 pt'"),
    ("used up j2 all", "use J-2 '@'"),
    ("applied j2 1floz", "use J-2 1floz"),
    (
        "put away r1 'rag can' 1 -f bench",
        "bin R-1 'rag can' '1 pcs' --from bench",
    ),
    (
        "put away r1 water 1 -f bench",
        "soak R-1 'water can' '1 pcs' --from bench",
    ),
    (
        "put r1 yard 1 -f bench",
        "spread R-1 yard '1 pcs' --from bench",
    ),
    ("put away j6 cabinet", "move J-6 cabinet"),
    (
        "hung up r1 yard 1 -f bench",
        "spread R-1 yard '1 pcs' --from bench",
    ),
    (
        "laid out r1 yard 1 -f bench",
        "spread R-1 yard '1 pcs' --from bench",
    ),
    (
        "got Z-1 1qt --product 'danish oil' --vessel can --place cabinet",
        "receive Z-1 1qt --product 'Danish oil' --vessel can --place cabinet",
    ),
    (
        "got Z-1 1qt --product DANISH-OIL --vessel tin --place CAB",
        "receive Z-1 1qt --product 'Danish oil' --vessel tin --place cabinet",
    ),
    (
        "got Z-1 1 --product 'tung oil' --vessel metal --capacity 1qt --place cab",
        "receive Z-1 '1 qt' --product 'tung oil' --vessel metal --capacity 1qt --place cabinet",
    ),
    (
        "got Z-1 12floz --product 'aerosol lacquer' --vessel 'spray can' --place cab",
        "receive Z-1 12floz --product 'aerosol lacquer' --vessel 'spray can' --place cabinet",
    ),
    (
        "got Z-1 8floz --product 'mineral oil' --vessel 'squeeze bottle' --place bench",
        "receive Z-1 8floz --product 'mineral oil' --vessel 'squeeze bottle' --place bench",
    ),
    (
        "mix a1 '1 pt' Z-9 --product 'shellac 2 lb cut' --vessel jar --capacity 1qt --place cab",
        "mix A-1 '1 pt' Z-9 --product 'shellac 2 lb cut' --vessel jar --capacity 1qt --place cabinet",
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
    ("use m1 '2 ounces'", "can be a weight or a volume"),
    ("use m1 'two oz'", "can be a weight or a volume"),
    ("use oil 1floz", "can be more than one container"),
    ("use m1 some", "is not an amount"),
    ("use m1 '0,5 pt'", "has a decimal comma"),
    ("use m1 '1 dl'", "is unknown here"),
    ("use v1 1floz -m long", "is not valid here"),
    ("use v1 1floz -m 1:75", "is not valid here"),
    ("soil r1 2 stain", "There is no container"),
    ("test j1 bad", "is not the result of a test"),
    (
        "got Z-1 1qt --product 'tung oil' --vessel bottle --place cab",
        "does not say what the container is made of",
    ),
    (
        "got Z-1 1qt --product 'tung oil' --vessel pail --place cab",
        "does not say what the container is made of",
    ),
    (
        "got Z-1 1qt --product 'tung oil' --vessel bucket --place cab",
        "does not say what the container is made of",
    ),
    (
        "got Z-1 1qt --product 'tung oil' --vessel carboy --place cab",
        "does not say what the container is made of",
    ),
    (
        "got Z-1 1qt --product 'tung oil' --vessel tube --place cab",
        "does not say what the container is made of",
    ),
    (
        "got Z-1 1qt --product 'tung oil' --vessel crock --place cab",
        "is not a known word here",
    ),
    (
        "got Z-1 1qt --product 'tung oil' --vessel can --place shelf",
        "can be more than one place",
    ),
    ("put away r1 'rag can' 1", "not clear which rags"),
    ("put away r1 can 1 -f bench", "can be more than one place"),
    ("count x9 '1 qt'", "There is no container"),
    ("check sparkle yes", "There is no question"),
    ("check lids maybe", "is not an answer"),
    ("check cabinet yes", "can be more than one question"),
    ("done 99", "There is no action"),
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

/// Together they are at least two hundred.
#[test]
fn there_are_two_hundred_utterances() {
    let mut all: Vec<&str> = [ENTRIES, ASKED, ANSWERS]
        .iter()
        .flat_map(|list| list.iter().map(|(typed, _)| *typed))
        .collect();
    all.sort_unstable();
    all.dedup();
    assert!(all.len() >= 200, "only {}", all.len());
}

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

#[test]
fn what_is_typed_becomes_the_right_entry() {
    let folder = demo();
    let mut wrong = Vec::new();
    for (typed, wanted) in ENTRIES {
        let (out, err, code) = log(&folder, typed);
        let entry = out.strip_prefix("Would write 204: ").unwrap_or_default();
        let wanted = match wanted.contains(" (31 Oct") {
            true => (*wanted).to_string(),
            false => format!("{wanted} (31 Oct 2026, 6:00 pm)"),
        };
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

/// Runs the program in a folder, and gives what it says and its exit code.
fn say(folder: &TempDir, line: &str) -> (String, Option<i32>) {
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder.path())
        .env("COLUMNS", "400")
        .env_remove("SANDARAC_BY")
        .args(words(line))
        .output()
        .unwrap();
    let text = [output.stdout, output.stderr].concat();
    (String::from_utf8(text).unwrap(), output.status.code())
}

fn table(folder: &TempDir, name: &str) -> String {
    std::fs::read_to_string(folder.path().join("shop").join(name)).unwrap()
}

#[test]
fn an_action_is_promised_and_signed_off_by_command() {
    let folder = demo();
    let (text, code) = say(
        &folder,
        "log action 'Mend the lid of the rag can' --rule rag-can-hat --who Ann --due 2026-12-03 --shop shop",
    );
    assert_eq!(code, Some(2), "a rule that no pack has: {text}");
    let (text, code) = say(
        &folder,
        "log action 'Mend the lid of the rag can' --rule us-fire-code/rag-can-lid --who Ann --due 2026-12-03 --shop shop",
    );
    assert_eq!(code, Some(0), "{text}");
    assert!(text.starts_with("Wrote action 6: Mend the lid"), "{text}");
    let row = "6,us-fire-code/rag-can-lid,,Mend the lid of the rag can,Ann,2026-12-03,,,\n";
    assert!(table(&folder, "actions.csv").ends_with(row));
    let (text, code) = say(&folder, "log done 6 --shop shop");
    assert_eq!(code, Some(2));
    assert!(text.contains("--by NAME"), "{text}");
    let (text, code) = say(
        &folder,
        "log done 6 --by AB --when '2026-11-01 9:00' --shop shop",
    );
    assert_eq!(code, Some(0), "{text}");
    let closed = "Ann,2026-12-03,2026-11-01,AB,\n";
    assert!(table(&folder, "actions.csv").ends_with(closed));
    let (text, code) = say(&folder, "log done 6 --by AB --shop shop");
    assert_eq!(code, Some(2));
    assert!(text.contains("was closed on 1 Nov 2026"), "{text}");
    let (text, code) = say(&folder, "log done 6 --reopen --shop shop");
    assert_eq!(code, Some(0), "{text}");
    assert!(
        text.starts_with("Wrote that action 6 is open again"),
        "{text}"
    );
    assert!(table(&folder, "actions.csv").ends_with("Ann,2026-12-03,,,\n"));
}

#[test]
fn facts_that_the_audit_asks_for_are_recorded_by_command() {
    let folder = demo();
    for (line, file, row) in [
        (
            "log record 'wax stripper' flash-point '104 F' sheet none --shop shop",
            "products.csv",
            "wax stripper,cleaner,,104 F,",
        ),
        (
            "log record turpentine minutes 20 --shop shop",
            "products.csv",
            "turpentine,,",
        ),
        (
            "log record 'store room' exhaust '120 cfm' --shop shop",
            "rooms.csv",
            ",120 cfm,",
        ),
        (
            "log record j9 labelled yes --shop shop",
            "inventory.csv",
            "J-9,\"shellac 1 lb cut, bleached\",,glass,8 fl oz,cabinet,2026-10-01,0 fl oz,,,,yes,",
        ),
        (
            "log record 'metal tub' room 'finishing room' kind water-can --table places --shop shop",
            "places.csv",
            "metal tub,finishing room,water-can,",
        ),
        (
            "log record shop employees 3 --shop shop",
            "shop.toml",
            "\nemployees = 3\n",
        ),
        (
            "log record shop keeper 'Ann, in the office' --shop shop",
            "shop.toml",
            "\nkeeper = \"Ann, in the office\"\n",
        ),
    ] {
        let (text, code) = say(&folder, line);
        assert_eq!(code, Some(0), "{line}: {text}");
        let table = table(&folder, file);
        assert!(table.contains(row), "{line}: {table}");
    }
    for (line, told) in [
        (
            "log record j9 amount '1 qt' --shop shop",
            "is counted, and never edited",
        ),
        (
            "log record j9 flash_point '1 F' --shop shop",
            "There is no \"j9\"",
        ),
        (
            "log record j9 colour red --shop shop",
            "No table has the columns colour",
        ),
        (
            "log record zebra exhaust '1 cfm' --shop shop",
            "There is no \"zebra\"",
        ),
        ("log record j9 labelled --shop shop", "2 values required"),
        ("log record shop employees many --shop shop", "employees"),
        ("log record shop ounces heavy --shop shop", "ounces"),
        (
            "log record yard rated perhaps --shop shop",
            "is not a known word here",
        ),
    ] {
        let before = ["places.csv", "inventory.csv", "shop.toml"].map(|name| table(&folder, name));
        let (text, code) = say(&folder, line);
        assert_eq!(code, Some(2), "{line}: {text}");
        assert!(text.contains(told), "{line}: {text}");
        let after = ["places.csv", "inventory.csv", "shop.toml"].map(|name| table(&folder, name));
        assert!(before == after, "{line}");
    }
}

#[test]
fn ounces_and_usual_minutes_are_said_once() {
    let folder = demo();
    let use_some = "log use t1 '2 oz' --when '2026-10-31 18:00' --dry-run --anyway --shop shop";
    let (text, code) = say(&folder, use_some);
    assert_eq!(code, Some(2), "{text}");
    assert!(
        text.contains("sandarac log record shop ounces fluid"),
        "{text}"
    );
    say(&folder, "log record shop ounces fluid --shop shop");
    say(&folder, "log record 'tung oil' minutes 25 --shop shop");
    let (text, code) = say(&folder, use_some);
    assert_eq!(code, Some(0), "{text}");
    assert!(text.contains("use T-1 '2 fl oz' --minutes 25 ("), "{text}");
    assert!(
        text.contains("25 minutes are usual for tung oil (products.csv)."),
        "{text}"
    );
    let (text, _) = say(&folder, &format!("{use_some} -m 40"));
    assert!(
        text.contains("--minutes 40 (") && !text.contains("usual"),
        "{text}"
    );
}

/// A product that is unknown is named, with the one that was meant.
#[test]
fn an_unknown_product_is_named() {
    let folder = demo();
    let line = "log got Z-1 1qt --product 'Danish oill' --vessel can --place cab --when '2026-10-31 18:00' --shop shop";
    let (text, code) = say(&folder, line);
    assert_eq!(code, Some(0), "{text}");
    let meant = "If Danish oil is meant: sandarac log record Z-1 product 'Danish oil'";
    assert!(text.contains(meant), "{text}");
    let (text, code) = say(&folder, "log record Z-1 product 'Danish oil' --shop shop");
    assert_eq!(code, Some(0), "{text}");
    assert!(table(&folder, "inventory.csv").contains("Z-1,Danish oil,"));
    let (text, _) = say(
        &folder,
        &line
            .replace("Z-1", "Z-2")
            .replace("Danish oill", "tung oil"),
    );
    assert!(!text.contains("neither"), "{text}");
}

/// What was logged in one step is taken back in one step, an answer as well as an entry.
#[test]
fn one_undo_takes_back_one_step() {
    let folder = demo();
    let when = "--when '2026-10-31 18:00' --shop shop";
    let (text, code) = say(
        &folder,
        &format!("log soil r1 2 v1 --then 'rag can' {when}"),
    );
    assert_eq!(code, Some(0), "{text}");
    let (text, code) = say(&folder, "log undo --shop shop --when '2026-10-31 18:05'");
    assert_eq!(code, Some(0), "{text}");
    assert!(
        text.contains("This takes back 2 entries written together: soil R-1 "),
        "{text}"
    );
    let (text, code) = say(&folder, &format!("log check all yes {when}"));
    assert_eq!(code, Some(0), "{text}");
    let answers = text.matches("Wrote: ").count();
    assert!(answers > 2, "{text}");
    // Both were written in this minute, so the program asks which is meant.
    let (text, code) = say(
        &folder,
        "log undo lids-closed --shop shop --when '2026-10-31 18:06'",
    );
    assert_eq!(code, Some(0), "{text}");
    assert!(
        text.contains("This takes back the answer lids-closed yes"),
        "{text}"
    );
    let (text, _) = say(
        &folder,
        &format!("log check lids-closed yes 'store-room' {when}"),
    );
    assert!(text.contains("Wrote: lids-closed yes"), "{text}");
}

/// Where an entry and an answer were logged in the same minute, undo does not guess which of them was last.
#[test]
fn undo_asks_which_action_of_one_minute_is_meant() {
    let folder = demo();
    let shop = folder.path().join("shop");
    // Rows that were typed by hand have no time of writing, so their own time counts.
    let rows = [
        ("log.csv", "204,2026-10-31T18:30,use,J-2,1 fl oz,,,10,,,\n"),
        ("checks.csv", "2026-10-31T18:30,lids-closed,,yes,,\n"),
    ];
    for (table, row) in rows {
        let path = shop.join(table);
        let text = std::fs::read_to_string(&path).unwrap();
        std::fs::write(&path, format!("{}\n{row}", text.trim_end())).unwrap();
    }
    let undo = "--shop shop --when '2026-10-31 18:35'";
    let (text, code) = say(&folder, &format!("log undo {undo}"));
    assert_eq!(code, Some(2), "{text}");
    assert_eq!(
        text,
        "Two actions were logged in one minute: entry 204 (use J-2 1 fl oz 10, 31 Oct 2026, 6:30 pm) and the answer lids-closed yes, 31 Oct 2026, 6:30 pm.\n  \
         Name the one to take back: sandarac log undo 204, or sandarac log undo lids-closed.\n\nNothing was written.\n"
    );
    let (text, code) = say(&folder, &format!("log undo 204 {undo}"));
    assert_eq!(code, Some(0), "{text}");
    assert!(text.contains("takes back entry 204"), "{text}");
}

/// What can stand in accepted.csv and in the parts of shop.toml is written by a command.
#[test]
fn a_finding_is_accepted_and_withdrawn_by_command() {
    let folder = demo();
    let accept = "log accept glass-and-plastic-size A-3 --shop shop";
    let (text, code) = say(&folder, accept);
    assert_eq!(code, Some(2), "{text}");
    assert!(
        text.starts_with(
            "The last day of the acceptance is missing.\n  Say until when: sandarac log accept us-workplace/glass-and-plastic-size A-3 \
             --until 2026-12-15 --note WHY\n"
        ),
        "{text}"
    );
    let (text, code) = say(&folder, &format!("{accept} --until 2031-12-15"));
    assert_eq!(code, Some(2), "{text}");
    assert!(
        text.starts_with("An acceptance needs a reason and a name.\n"),
        "{text}"
    );
    let full = format!("{accept} --until 2031-12-15 --by owner --note 'a can is on order'");
    let (text, code) = say(&folder, &full);
    assert_eq!(code, Some(0), "{text}");
    assert!(text.starts_with("Wrote into accepted.csv: us-workplace/glass-and-plastic-size for A-3, until 15 Dec 2031."), "{text}");
    // The acceptance that had lapsed is renewed.
    let renewed = "us-workplace/glass-and-plastic-size,A-3,a can is on order,owner,2031-12-15,";
    let accepted = table(&folder, "accepted.csv");
    assert!(accepted.contains(renewed), "{accepted}");
    assert_eq!(accepted.matches("A-3").count(), 1, "{accepted}");
    let (text, code) = say(&folder, &format!("{accept} --withdraw"));
    assert_eq!(code, Some(0), "{text}");
    assert_eq!(table(&folder, "accepted.csv").matches("A-3").count(), 0);
    for (line, wrong) in [
        (
            "log accept rags-secured R-1 --until 2031-12-15 --by Ann --note x",
            "A finding about oily rags cannot be accepted.\n  Put the rags under water or lay them flat outdoors.\n\nNothing was written.\n",
        ),
        (
            "log accept container-labl J-9 --until 2031-12-15 --by Ann --note x",
            "No open finding has the rule \"container-labl\".\n  Did you mean \"container-label\"?\n\nNothing was written.\n",
        ),
        (
            "log accept container-label Q-9 --until 2031-12-15 --by Ann --note x",
            "container-label has no open finding about \"Q-9\".\n  It has one about: J-9.\n\nNothing was written.\n",
        ),
        (
            "log accept container-label J-9 --withdraw",
            "container-label is not accepted for J-9.\n  These are accepted: us-fire-code/extinguisher-present for store-room.\n\n\
             Nothing was written.\n",
        ),
        (
            "log accept stock.csv --note x",
            "\"stock.csv\" is no table whose rows are kept.\n  Name log.csv or checks.csv. For a finding, name its rule and what it is \
             about: sandarac log accept RULE NAME --until DAY --note WHY\n\nNothing was accepted.\n",
        ),
    ] {
        let (text, code) = say(&folder, &format!("{line} --shop shop"));
        assert_eq!((text.as_str(), code), (wrong, Some(2)), "{line}");
    }
}

#[test]
fn parts_of_the_settings_are_written_by_command() {
    let folder = demo();
    for (line, written) in [
        ("authority asked 2026-11-05", "asked = \"2026-11-05\"\n"),
        (
            "target product 'denatured alcohol' amount '3 gal'",
            "[[target]]\nproduct = \"denatured alcohol\"\namount = \"3 gal\"\n",
        ),
        (
            "target product 'mineral spirits' amount '1 gal'",
            "\n[[target]]\nproduct = \"mineral spirits\"\namount = \"1 gal\"\n",
        ),
        (
            "limit rule us-workplace/glass-and-plastic-size value '1 pt' by 'Fire marshal' on 2026-11-02",
            "[[limit]]\nrule = \"us-workplace/glass-and-plastic-size\"\nvalue = \"1 pt\"\nby = \"Fire marshal\"\non = \"2026-11-02\"\n",
        ),
        ("bench closes 17:45", "[bench]\ncloses = \"17:45\"\n"),
        (
            "shop packs 'us-workplace, us-fire-code'",
            "packs = [\"us-workplace\", \"us-fire-code\"]\n",
        ),
    ] {
        let (text, code) = say(&folder, &format!("log record {line} --shop shop"));
        assert_eq!(code, Some(0), "{line}: {text}");
        let toml = table(&folder, "shop.toml");
        assert!(toml.contains(written), "{line}: {toml}");
    }
    let before = table(&folder, "shop.toml");
    for (line, wrong) in [
        (
            "limit value '5 gal'",
            "The rule of the limit is missing.\n  For example: sandarac log record limit rule \
             us-fire-code/ten-gallons-outside-cabinets value '5 gal' by 'Fire marshal' on 2026-11-02\n\nNothing was written.\n",
        ),
        (
            "authority name Ann aske 2026-11-02",
            "\"aske\" is no key of shop.toml.\n  Did you mean \"asked\"?\n\nNothing was written.\n",
        ),
    ] {
        let (text, code) = say(&folder, &format!("log record {line} --shop shop"));
        assert_eq!((text.as_str(), code), (wrong, Some(2)), "{line}");
    }
    // What the program could not read or use is not written.
    for (line, wrong) in [
        ("target product wax amount lots", "\"lots\""),
        (
            "limit rule no-such-rule value '5 gal' by Ann on 2026-11-02",
            "no-such-rule",
        ),
        ("shop employees 3 packs no-such-pack", "no-such-pack"),
    ] {
        let (text, code) = say(&folder, &format!("log record {line} --shop shop"));
        assert_eq!(code, Some(2), "{line}: {text}");
        assert!(text.contains(wrong), "{line}: {text}");
        assert_eq!(table(&folder, "shop.toml"), before, "{line}");
    }
}

/// What is counted as half is half full, as on the round, and not half of what the book has. Where the size is unknown, it is refused.
#[test]
fn a_count_of_half_is_half_of_the_container() {
    let folder = demo();
    let at = "--when '2026-10-31 18:00' --dry-run --shop shop";
    let (text, code) = say(&folder, &format!("log count j2 half --anyway {at}"));
    assert_eq!(code, Some(0), "{text}");
    assert!(text.contains("count J-2 '0.5 qt'"), "{text}");
    let (text, code) = say(&folder, &format!("log use j2 half {at}"));
    assert_eq!(code, Some(0), "{text}");
    assert!(text.contains("use J-2 '3.5 fl oz'"), "{text}");
    let (text, code) = say(&folder, &format!("log count r1 half {at}"));
    assert_eq!(code, Some(2), "{text}");
    assert!(text.contains("How much R-1 holds is unknown."), "{text}");
}
