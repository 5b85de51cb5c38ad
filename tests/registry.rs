//! The lists from which everything derives: kinds of check, codes, questions of the walk-round, words of the files.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::check::KINDS;
use sandarac::pack::{
    OPTIONS, Pack, Severity, TOPICS, built_in_names, built_in_packs, load_built_in,
};
use sandarac::quantity::Dimension;
use sandarac::record::{FixtureKind, PlaceKind, ProductKind, RoomUse, Vessel, What};
use sandarac::text::{Files, Problems, show_all};
use sandarac::trade::{ReferenceData, read_reference_data};
use std::collections::BTreeSet;

/// Kinds and keys that no built-in rule uses yet (`table`: that no kind reads). One that is used leaves this list.
const UNUSED: [&str; 3] = ["age-at-most", "since", "table"];

fn packs() -> Vec<Pack> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let packs = built_in_names()
        .into_iter()
        .filter_map(|id| load_built_in(id, &mut files, &mut problems))
        .collect();
    assert!(problems.none(), "{}", show_all(&problems, &files));
    packs
}

fn reference() -> ReferenceData {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let reference = read_reference_data(&mut files, &mut problems);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    reference
}

/// Each name once, and made as names are made: small letters, digits and hyphens.
#[track_caller]
fn are_names<'n>(names: impl IntoIterator<Item = &'n str>) {
    let mut seen = BTreeSet::new();
    for name in names {
        assert!(seen.insert(name), "{name} stands twice");
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(
            !name.is_empty() && name.chars().all(plain),
            "`{name}` is no name"
        );
    }
    assert!(!seen.is_empty());
}

#[test]
fn every_kind_is_whole() {
    are_names(KINDS.iter().map(|kind| kind.name));
    for kind in KINDS {
        let name = kind.name;
        assert!(
            kind.asks.ends_with('?'),
            "{name}: asks no question: {}",
            kind.asks
        );
        for (what, text) in [("unknown", kind.unknown), ("source", kind.source)] {
            assert!(text.len() > 10, "{name}: {what} says nothing");
            assert!(
                !text.contains("  ") && text.trim() == text,
                "{name}: {what}: `{text}`"
            );
        }
        let dimensions: BTreeSet<Dimension> = kind.limit.iter().copied().collect();
        assert_eq!(
            dimensions.len(),
            kind.limit.len(),
            "{name}: a dimension twice"
        );
        assert!(
            !kind.by_class || !kind.limit.is_empty(),
            "{name}: by class, but no number"
        );
        for option in kind.options {
            assert!(
                OPTIONS.contains(&option.key),
                "{name}: no rule can hold `{}`",
                option.key
            );
            let words: BTreeSet<&&str> = option.words.iter().collect();
            assert_eq!(
                words.len(),
                option.words.len(),
                "{name}: a word twice in `{}`",
                option.key
            );
        }
        for need in kind.needs {
            let known = ["[with]", "[never]", "fixture", "fixture?"];
            assert!(
                known.contains(need),
                "{name}: needs `{need}`, which is nothing"
            );
        }
    }
}

#[test]
fn every_kind_is_used_by_a_rule_and_every_rule_is_of_a_kind() {
    let used: BTreeSet<String> = packs()
        .iter()
        .flat_map(|pack| &pack.rules)
        .map(|rule| rule.check.value.clone())
        .collect();
    let tried = KINDS
        .iter()
        .map(|kind| kind.name)
        .filter(|name| !UNUSED.contains(name));
    let known: BTreeSet<String> = tried.map(str::to_string).collect();
    assert_eq!(used, known);
}

/// What a kind can read, some rule says; a key or word that no rule uses is untried.
#[test]
fn every_option_is_used_by_a_rule() {
    let packs = packs();
    let rules = || packs.iter().flat_map(|pack| &pack.rules);
    for key in OPTIONS {
        let read = KINDS
            .iter()
            .any(|kind| kind.options.iter().any(|o| o.key == key));
        assert_eq!(read, key != "table", "does a kind read `{key}`?");
        let written = rules().any(|rule| rule.options.contains_key(key));
        assert_eq!(
            written,
            !UNUSED.contains(&key),
            "is `{key}` said by a rule?"
        );
    }
    for topic in TOPICS {
        let written = rules().any(|rule| rule.topic == topic);
        let asked = reference()
            .round
            .questions
            .iter()
            .any(|question| question.topic == topic);
        assert!(written || asked, "nothing is about `{topic}`");
    }
}

#[test]
fn the_words_of_the_files_are_names() {
    are_names(TOPICS);
    are_names(OPTIONS);
    are_names(built_in_names());
    are_names(What::WORDS.map(|(word, _)| word));
    are_names(Vessel::WORDS.map(|(word, _)| word));
    are_names(PlaceKind::WORDS.map(|(word, _)| word));
    are_names(RoomUse::WORDS.map(|(word, _)| word));
    are_names(FixtureKind::WORDS.map(|(word, _)| word));
    are_names(ProductKind::WORDS.map(|(word, _)| word));
    are_names(Severity::WORDS.map(|(word, _)| word));
    for pack in packs() {
        are_names(pack.rules.iter().map(|rule| rule.id.as_str()));
        let classes = pack.scheme.iter().flat_map(|scheme| &scheme.classes);
        let names: Vec<&str> = classes.map(|class| class.name.as_str()).collect();
        if !names.is_empty() {
            are_names(names);
        }
    }
}

/// Within a minute what comes in is there before it is poured, and a count is of what all else has left; between those
/// the lines stand as they are written.
#[test]
fn the_kinds_of_entry_have_an_order() {
    let rank = |word: &str| What::parse(word).unwrap().rank();
    for (first, then) in [
        ("receive", "use"),
        ("mix", "use"),
        ("decant", "use"),
        ("use", "count"),
        ("empty", "test"),
        ("test", "count"),
    ] {
        assert!(rank(first) < rank(then), "{first} before {then}");
    }
    for by_line in ["move", "soil", "discard", "spread", "soak", "bin", "empty"] {
        assert_eq!(rank("use"), rank(by_line), "{by_line}");
    }
}

/// The names in brackets, as the program's own list has them.
#[test]
fn every_code_is_a_name() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/text/code.rs");
    let text = std::fs::read_to_string(path).unwrap();
    let (_, list) = text.split_once("fn name(&self)").unwrap();
    are_names(list.split('"').skip(1).step_by(2));
}

/// A rule that asks for an answer of the walk-round asks for one that can be given.
#[test]
fn every_answer_asked_for_is_a_question() {
    let reference = reference();
    let questions: BTreeSet<&str> = reference
        .round
        .questions
        .iter()
        .map(|q| q.check.as_str())
        .collect();
    are_names(questions.iter().copied());
    let mut asked = 0;
    for pack in packs() {
        for rule in &pack.rules {
            if let Some(told) = rule.options.get("answer") {
                let word = told.value.as_str();
                assert!(
                    questions.contains(word),
                    "{}/{}: no question `{word}` in data/checks.csv",
                    pack.id,
                    rule.id
                );
                assert_eq!(
                    reference.round.find(word).map(|q| q.check.as_str()),
                    Some(word)
                );
                asked += 1;
            }
        }
    }
    assert!(asked > 20, "only {asked} rules ask for an answer");
}

/// The words of `since` and `event` in the rules are read by the kind, not only written: a kind lists them.
#[test]
fn every_word_of_a_rule_is_one_of_its_kind() {
    for pack in packs() {
        for rule in &pack.rules {
            let kind = KINDS
                .iter()
                .find(|kind| kind.name == rule.check.value)
                .unwrap();
            for (key, told) in &rule.options {
                let option = kind.options.iter().find(|option| option.key == *key);
                let option = option.unwrap_or_else(|| panic!("{}: `{key}` is idle", rule.id));
                let listed = option.words.is_empty() || option.words.contains(&told.value.as_str());
                assert!(listed, "{}: {key} = {}", rule.id, told.value);
            }
        }
    }
}

#[test]
fn what_is_built_in_is_in_order() {
    let paths: Vec<&str> = built_in_packs().into_iter().map(|(path, _)| path).collect();
    let sorted: Vec<&str> = paths
        .iter()
        .copied()
        .collect::<BTreeSet<&str>>()
        .into_iter()
        .collect();
    assert_eq!(paths, sorted, "in order, and none twice");
    let found: usize = packs().iter().map(|pack| pack.rules.len()).sum();
    assert_eq!(
        found,
        paths.iter().filter(|path| path.contains("/rules/")).count(),
        "a rule each file"
    );
}
