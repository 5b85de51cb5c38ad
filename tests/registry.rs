//! The lists from which everything derives: kinds of check, codes, questions of the round, words of the files.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::Shop;
use sandarac::check::{KINDS, KeyNeed, SelectorSection, Takes, bind};
use sandarac::pack::{
    OPTIONS, Pack, Select, Severity, TOPICS, built_in_names, built_in_packs, load_built_in,
    load_held,
};
use sandarac::quantity::{Density, Dimension, Measure};
use sandarac::record::{
    FixtureKind, HAZARDS, PlaceKind, ProductKind, RoomUse, Stated, Vessel, What, parse_parts,
};
use sandarac::text::{Files, Problems, show_all};
use sandarac::trade::{ReferenceData, read_reference_data};
use std::collections::BTreeSet;

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
            if let Takes::Words(words) = option.takes {
                are_names(words());
            }
        }
        for (section, keys) in kind.selectors {
            for key in *keys {
                assert!(
                    Select::KEYS.contains(key),
                    "{name}: {}: {key}",
                    section.head()
                );
            }
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
    let known: BTreeSet<String> = KINDS.iter().map(|kind| kind.name.to_string()).collect();
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
        assert!(read, "does a kind read `{key}`?");
        let written = rules().any(|rule| rule.options.contains_key(key));
        assert!(written, "is `{key}` said by a rule?");
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

/// The codes of problems, as the fault files of the layers have them.
#[test]
fn every_code_is_a_name() {
    let src = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let folders = std::fs::read_dir(src).unwrap();
    let folders = folders.map(|entry| entry.unwrap().path());
    let files = folders
        .filter(|path| path.is_dir())
        .flat_map(|folder| std::fs::read_dir(folder).unwrap())
        .map(|entry| entry.unwrap().path());
    let mut codes = Vec::new();
    for file in files.filter(|path| path.to_string_lossy().ends_with("fault.rs")) {
        let text = std::fs::read_to_string(file).unwrap();
        let Some((_, list)) = text.split_once("fn code(&self)") else {
            let faults = text.lines().filter(|line| line.ends_with("=> ("));
            let mine = faults.map(|line| line.split('"').nth(1).unwrap().to_string());
            codes.extend(mine.collect::<BTreeSet<String>>());
            continue;
        };
        let (list, _) = list.split_once("\n    }\n").unwrap();
        codes.extend(list.split('"').skip(1).step_by(2).map(str::to_string));
    }
    assert!(codes.len() > 50, "only {} codes", codes.len());
    are_names(codes.iter().map(String::as_str));
}

/// A rule that asks for an answer of the round asks for one that can be given.
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

/// The built-in rules of a kind, each as its path and text.
fn rules_of(kind: &str) -> Vec<(&'static str, &'static str)> {
    let of_kind = format!("\"{kind}\"");
    let is = |text: &str| {
        text.lines()
            .any(|line| line.starts_with("check") && line.ends_with(&of_kind))
    };
    let rules = built_in_packs().into_iter();
    rules
        .filter(|(path, text)| path.contains("/rules/") && is(text))
        .collect()
}

/// The text of a built-in file.
fn built_in(path: &str) -> &'static str {
    let mut files = built_in_packs().into_iter();
    files.find(|(name, _)| *name == path).unwrap().1
}

/// Is the rule accepted, with this text, beside the sources of its own pack and the classes of a pack that has some?
fn is_accepted(path: &str, text: &str) -> bool {
    let (id, _) = path.split_once('/').unwrap();
    let classes = match id {
        "us-fire-code" => "us-fire-code",
        _ => "us-workplace",
    };
    let mut sources = built_in(&format!("{id}/sources.toml")).to_string();
    if id != classes {
        sources += built_in(&format!("{classes}/sources.toml"));
    }
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let parts: Vec<(String, _)> = [
        ("rules/rule.toml", text.to_string()),
        ("sources.toml", sources),
        (
            "pack.toml",
            built_in(&format!("{id}/pack.toml")).to_string(),
        ),
        (
            "classes.toml",
            built_in(&format!("{classes}/classes.toml")).to_string(),
        ),
    ]
    .map(|(name, text)| (name.to_string(), files.hold(name, text.into_bytes())))
    .into();
    let pack = load_held(id, &parts, &mut files, &mut problems);
    let pack = pack.unwrap_or_else(|| panic!("{path}: {}", show_all(&problems, &files)));
    let [rule] = pack.rules.as_slice() else {
        panic!("{path}: {}", show_all(&problems, &files));
    };
    bind(rule, &pack, &mut problems).is_some() && problems.none()
}

/// A rule with this key in a section, in place of what it has there.
fn with_key(text: &str, head: &str, key: &str, word: &str) -> String {
    let line = format!("{key} = [\"{word}\"]");
    if !text.lines().any(|line| line == head) {
        return text.replacen("[limit", &format!("{head}\n{line}\n\n[limit"), 1);
    }
    let (mut lines, mut section, mut goes_on) = (Vec::new(), "", false);
    for old in text.lines() {
        if old.starts_with('[') {
            section = old;
        }
        let replaced = section == head && old.split([' ', '=']).next() == Some(key);
        if replaced || goes_on {
            goes_on = !old.contains(']');
            continue;
        }
        lines.push(old);
        if old == head {
            lines.push(&line);
        }
    }
    lines.join("\n")
}

/// What a kind lists is what it reads: each selector that it lists is accepted in one of its rules, and every other one is
/// refused in all of them.
#[test]
fn every_kind_reads_the_selectors_that_it_lists() {
    let word = |path: &str, key: &str| match key {
        "place" | "not_place" => "oily-waste-can",
        "room" | "not_room" => "finishing",
        "level" => "basement",
        "class" if path.starts_with("us-fire-code") => "ic",
        "class" => "cat-2",
        "vessel" => "glass",
        "kind" => "solvent",
        "contains" => "ethanol",
        "drying_oil" | "rated" | "room_rated" | "opened" => "yes",
        "hazard" => "corrosive",
        "finish_kept_over" => "30 days",
        "larger_than" => "0.5 gal",
        "fixture" => "flame",
        other => panic!("{other}"),
    };
    for kind in KINDS {
        for section in [
            SelectorSection::Where,
            SelectorSection::With,
            SelectorSection::Never,
        ] {
            for key in Select::KEYS {
                let mut of_section = kind.selectors.iter().filter(|(s, _)| *s == section);
                let listed = of_section.any(|(_, keys)| keys.contains(&key));
                let accepted = rules_of(kind.name).into_iter().any(|(path, text)| {
                    let word = word(path, key);
                    is_accepted(path, &with_key(text, section.head(), key, word))
                });
                let shown = format!("{}: {key} in {}", kind.name, section.head());
                assert_eq!(accepted, listed, "{shown}");
            }
        }
    }
}

/// An option, a section of fixtures and `[[adjust]]` are accepted where a kind lists them, and refused where it does not.
#[test]
fn every_kind_refuses_what_it_does_not_list() {
    for kind in KINDS {
        let rules = rules_of(kind.name);
        let any_accepts = |change: &dyn Fn(&str) -> String| {
            rules
                .iter()
                .any(|(path, text)| is_accepted(path, &change(text)))
        };
        for key in OPTIONS {
            let listed = kind.options.iter().any(|option| option.key == key);
            let added = |text: &str| format!("{key} = \"20\"\n{text}");
            // An option is above the first section; `[[adjust]]` has an `answer` of its own.
            let given = rules.iter().any(|(_, text)| {
                let top = text.split("\n[").next().unwrap_or_default();
                top.contains(&format!("\n{key} "))
            });
            assert!(listed || !any_accepts(&added), "{}: {key}", kind.name);
            assert!(!given || listed, "{}: {key}", kind.name);
        }
        let fixture = |text: &str| format!("fixture = [\"flame\"]\n{text}");
        let listed = kind.fixture.is_some_and(|need| need != KeyNeed::Optional);
        assert!(listed || !any_accepts(&fixture), "{}: fixture", kind.name);
        let adjust = |text: &str| {
            format!("{text}\n[[adjust]]\nsprinklered = \"yes\"\ntimes = \"2\"\nclause = \"1\"\n")
        };
        assert_eq!(
            any_accepts(&adjust),
            kind.adjusts,
            "{}: [[adjust]]",
            kind.name
        );
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

/// A question that rules answer is one of the round, and its rules are in the built-in packs.
#[test]
fn questions_that_rules_answer_and_their_rules_are_there() {
    let (reference, packs) = (reference(), packs());
    let pairs = reference.worked_out.all();
    assert!(pairs.len() > 10);
    for (check, rule) in pairs {
        assert!(reference.round.find(check).is_some(), "{check}");
        let mut rules = packs.iter().flat_map(|pack| &pack.rules);
        assert!(rules.any(|known| *known.id == **rule), "{check}: {rule}");
    }
}

/// A figure that cannot be read counts as none, and a limit or a hazard would be lost.
#[test]
fn every_figure_of_the_materials_is_read() {
    let shop = Shop::empty().unwrap_or_else(|not| panic!("{not:?}"));
    let materials = shop.tables.materials.all();
    assert!(materials.len() > 100);
    for stated in materials.iter().flat_map(|material| &material.stated) {
        assert!(is_read(stated), "{}: {}", stated.property, stated.value);
    }
}

fn is_read(stated: &Stated) -> bool {
    let value = stated.value.as_str();
    let is = |dimension| Measure::parse_as(value, dimension).is_ok();
    match stated.property {
        "flash_point" => value == "none" || is(Dimension::Temperature),
        "boiling_point" | "autoignition" => is(Dimension::Temperature),
        "density" => Density::parse(value).is_ok(),
        "molar_mass" => is(Dimension::MolarMass),
        "lel" | "uel" => is(Dimension::Share),
        "pel" | "pel_ceiling" | "pel_short" | "rel" | "rel_ceiling" | "rel_short" | "tlv"
        | "tlv_short" | "idlh" => is(Dimension::Ppm) || is(Dimension::MassInAir),
        // With 15 minutes to dry at the rate of 1, each dries within a week and in no less than a tenth of a second.
        "evaporation" => value
            .parse()
            .is_ok_and(|rate: f64| (0.01..1000.0).contains(&rate)),
        "made_of" => parse_parts(value).is_some(),
        "kind" => ProductKind::WORDS.iter().any(|(word, _)| *word == value),
        "drying_oil" => value == "yes" || value == "no",
        "hazard" => {
            let (word, share) = value.split_once(' ').unwrap_or((value, "1 %"));
            HAZARDS.contains(&word) && Measure::parse_as(share, Dimension::Share).is_ok()
        }
        _ => true,
    }
}
