//! The health of the data: every pack whole and cited, the round complete, the built-in list current.
//!
//! `SNAPSHOTS=overwrite cargo test --test packs` writes `src/pack/embedded.rs` again; read the difference before
//! committing it.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::check_pack;
use sandarac::pack::{Pack, Seen, Severity, TOPICS, built_in_names, load_to_check};
use sandarac::record::Fields;
use sandarac::text::{Files, Problems, Shape, Table, show_all};
use sandarac::trade::About;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// Every file below a folder, in order.
fn below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let Ok(list) = std::fs::read_dir(folder) else {
        return found;
    };
    for entry in list {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(below(&path));
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn folders() -> Vec<PathBuf> {
    let packs = root().join("data/packs");
    let mut folders: Vec<PathBuf> = std::fs::read_dir(packs)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
}

fn packs() -> Vec<Pack> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let packs = folders()
        .iter()
        .filter_map(|folder| load_to_check(folder, &mut files, &mut problems))
        .collect();
    assert!(problems.none(), "{}", show_all(&problems, &files));
    packs
}

#[test]
fn every_pack_checks_out() {
    let mut broken = String::new();
    for folder in folders() {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let result = check_pack(&folder, &mut files, &mut problems);
        assert!(
            result.rules > 0 && result.cases > 3 * result.rules,
            "{result:?}"
        );
        if !problems.none() {
            broken.push_str(&show_all(&problems, &files));
        }
    }
    assert!(broken.is_empty(), "\n{broken}");
}

#[test]
fn every_pack_is_built_in() {
    let names: Vec<String> = folders()
        .iter()
        .map(|folder| folder.file_name().unwrap().to_string_lossy().into_owned())
        .collect();
    assert_eq!(built_in_names(), names);
}

#[test]
fn no_tabs_no_trailing_space_and_a_line_end_at_the_end() {
    let mut wrong = Vec::new();
    for path in below(&root().join("data")) {
        let text = read(&path);
        if text.contains('\t') || text.contains('\r') || text.contains('\u{feff}') {
            wrong.push(format!("{}: a tab, CR or BOM", path.display()));
        }
        if !text.ends_with('\n') || text.ends_with("\n\n") {
            wrong.push(format!("{}: ends in one line end", path.display()));
        }
        let trailing = |line: &str| line.ends_with(' ');
        if let Some(at) = text.lines().position(trailing) {
            wrong.push(format!("{}:{}: a space at the end", path.display(), at + 1));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// An address is one whole address, and stands nowhere but in `sources.toml`.
#[test]
fn one_address_a_field() {
    let mut seen = 0;
    for pack in packs() {
        for (key, document) in &pack.sources {
            if let Some(address) = &document.address {
                let starts = address.starts_with("https://") || address.starts_with("http://");
                let single = !address.contains([' ', ',', ';', '<', '>', '"']);
                assert!(starts && single, "{}, {key}: {address}", pack.id);
                let tail = address.split_once("://").unwrap().1;
                let archived = address.contains("webarchive") || address.contains("web.archive");
                let again = tail.contains("http:") || tail.contains("https:");
                assert!(archived || !again, "{}, {key}: two addresses", pack.id);
                seen += 1;
            }
        }
    }
    assert!(seen > 0);
    for path in below(&root().join("data/packs")) {
        if path.file_name().is_some_and(|name| name != "sources.toml") {
            assert!(
                !read(&path).contains("://"),
                "{}: an address",
                path.display()
            );
        }
    }
}

/// Every document is cited by a value, no citation is empty, and one from memory says so.
#[test]
fn every_source_is_used_and_every_citation_full() {
    for pack in packs() {
        let mut used = BTreeSet::new();
        let limits = pack.rules.iter().flat_map(|rule| {
            let values = rule.limit.values();
            values.map(|(_, (_, citation))| (rule.id.as_str(), citation))
        });
        let scheme = pack.scheme.iter().flat_map(|scheme| {
            let values = scheme.in_force.values();
            values.map(|(_, citation)| ("classes", citation))
        });
        for (rule, citation) in limits.chain(scheme) {
            used.insert((citation.document.clone(), citation.edition.clone()));
            let what = format!("{}, {rule}", pack.id);
            assert!(citation.clause.len() > 1, "{what}: {}", citation.clause);
            assert!(citation.read.as_str() > "2026", "{what}: {}", citation.read);
            if citation.seen == Seen::Memory {
                let note = citation.note.as_deref().unwrap_or("");
                let says = note.contains("memory") || note.contains("could not be confirmed");
                assert!(says, "{what}: from memory, and its note does not say what");
            }
        }
        for (key, document) in &pack.sources {
            let this = (document.title.clone(), document.edition.clone());
            assert!(used.contains(&this), "{}: no rule cites {key}", pack.id);
        }
    }
}

/// What is not law at a pack's place is advice there: a construction rule, a voluntary standard, a clause that the state deletes.
#[test]
fn only_a_law_of_the_place_is_a_must() {
    let mut wrong = Vec::new();
    for pack in packs().iter().filter(|pack| pack.id != "trade") {
        for rule in pack
            .rules
            .iter()
            .filter(|rule| rule.severity == Severity::Must)
        {
            for (_, (_, citation)) in rule.limit.values() {
                let elsewhere = ["Part 1926", "ANSI", "Administrative Code", "CCR"];
                let elsewhere = elsewhere
                    .iter()
                    .any(|word| citation.document.contains(word));
                if elsewhere || citation.clause.contains("of the model code") {
                    wrong.push(format!("{}/{}: {}", pack.id, rule.id, citation.document));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A case without a rule never runs.
#[test]
fn every_case_has_its_rule() {
    for folder in folders() {
        let names = |sub: &str| -> BTreeSet<_> {
            let files = below(&folder.join(sub)).into_iter();
            files
                .map(|path| path.file_name().unwrap().to_owned())
                .collect()
        };
        assert_eq!(names("cases"), names("rules"), "{}", folder.display());
    }
}

// The round.

const SHAPE: Shape = Shape {
    file: "checks.csv",
    must: &[
        "check", "question", "pass", "interval", "severity", "topic", "where", "source", "seen",
        "grade",
    ],
    may: &["if_absent"],
};

/// One question of the round, as far as the rules need it.
struct Question {
    word: String,
    about: String,
}

/// Is this a kind of place that a question may be about: the shop, a room, a kind of place or of fixture?
fn subject(word: &str) -> bool {
    About::words().iter().any(|(known, _)| known == word)
}

/// Reads `data/checks.csv` with the reader of every table; what is wrong in it is shown at its place.
fn questions() -> Vec<Question> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold(
        "data/checks.csv",
        read(&root().join("data/checks.csv")).into_bytes(),
    );
    let mut list = Vec::new();
    let mut table = Table::open(&files, file, &SHAPE, &mut problems).unwrap();
    let severities = ["must", "should"].map(|word| (word, ()));
    let grades = ["H", "M", "L", "judgement"].map(|word| (word, ()));
    while let Some(row) = table.next(&mut problems) {
        let mut fields = Fields {
            row,
            problems: &mut problems,
        };
        for column in 0..SHAPE.must.len() {
            let _ = fields.must(column);
        }
        let _ = fields.period(3);
        let _ = fields.word(4, &severities);
        let _ = fields.word(5, &TOPICS.map(|topic| (topic, ())));
        let _ = fields.word(8, &Seen::WORDS);
        let _ = fields.word(9, &grades);
        let absent = row.text(SHAPE.must.len());
        assert!(matches!(absent, "" | "fine"), "if_absent: {absent}");
        let text = |column| row.text(column).to_string();
        assert!(subject(&text(6)), "{}: {}", text(0), text(6));
        assert!(text(1).ends_with('?'), "{}: {}", text(0), text(1));
        list.push(Question {
            word: text(0),
            about: text(6),
        });
    }
    table.finish(&mut problems);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    list
}

#[test]
fn the_walk_round_reads_cleanly() {
    let questions = questions();
    let words: BTreeSet<&str> = questions.iter().map(|q| q.word.as_str()).collect();
    assert_eq!(words.len(), questions.len(), "a word stands twice");
    assert_eq!(
        questions.len(),
        read(&root().join("data/checks.csv")).lines().count() - 1
    );
}

/// A rule could never be met if the round does not ask its question.
#[test]
fn every_answer_a_rule_waits_for_is_asked() {
    let questions = questions();
    let mut missing = Vec::new();
    let mut met = 0;
    for pack in packs() {
        for rule in &pack.rules {
            let Some(word) = rule.options.get("answer") else {
                continue;
            };
            met += 1;
            if !questions.iter().any(|q| q.word == word.value) {
                missing.push(format!("{}/{}: {}", pack.id, rule.id, word.value));
            }
        }
    }
    assert!(met > 30, "only {met} rules wait for an answer");
    assert!(
        missing.is_empty(),
        "not in data/checks.csv:\n{}",
        missing.join("\n")
    );
}

/// A question asked for a kind of fixture or place is waited for by a rule about just that, and the other way round.
#[test]
fn a_question_is_about_what_its_rule_is_about() {
    let questions = questions();
    let mut wrong = Vec::new();
    for pack in packs() {
        for rule in &pack.rules {
            let (Some(word), Some(per)) = (rule.options.get("answer"), rule.options.get("per"))
            else {
                continue;
            };
            let Some(question) = questions.iter().find(|q| q.word == word.value) else {
                continue;
            };
            let fits = match (per.value.as_str(), question.about.split_once(':')) {
                ("fixture", Some(("fixture", kind))) => names(rule, "fixture", kind),
                ("place", Some(("place", kind))) => names(rule, "place", kind),
                ("fixture" | "place", _) => false,
                _ => true,
            };
            if !fits {
                wrong.push(format!(
                    "{}/{} wants {} for each {}; it is asked for {}",
                    pack.id, rule.id, word.value, per.value, question.about
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A rule names classes of liquid without a gap: a class in the middle that is left out is forgotten.
#[test]
fn no_rule_leaves_out_a_class_in_the_middle() {
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for pack in packs() {
        let Some(scheme) = &pack.scheme else { continue };
        let names: Vec<&str> = scheme.classes.iter().map(|c| c.name.as_str()).collect();
        for rule in &pack.rules {
            let sections = [Some(&rule.select), rule.with.as_ref(), rule.never.as_ref()];
            for select in sections.into_iter().flatten() {
                let words = select.words("class").iter();
                let at: Vec<usize> = words
                    .filter_map(|told| names.iter().position(|name| *name == told.value))
                    .collect();
                seen += at.len();
                if !at.windows(2).all(|two| two[0] + 1 == two[1]) {
                    wrong.push(format!("{}/{}: {at:?}", pack.id, rule.id));
                }
            }
        }
    }
    assert!(seen > 300, "{seen}");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn names(rule: &sandarac::pack::Rule, key: &str, kind: &str) -> bool {
    rule.select.words(key).iter().any(|told| told.value == kind)
}

// The built-in list.
