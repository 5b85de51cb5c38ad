//! A rule, or a kind of check, in full.

use super::list::{in_units, weight};
use crate::audit::Shop;
use crate::check::{CheckKind, KINDS, KeyNeed, Takes, kind_of};
use crate::cli::Failure;
use crate::fact::selector_words;
use crate::pack::{Adjust, InForce, Pack, Rule, StoredIn, WithSpan};
use crate::quantity::Day;
use crate::report::Screen;
use crate::report::words::date;
use crate::text::{clean, nearest};
use crate::trade::Question;

/// Every kind of check with the keys and words that it takes, and the questions that a rule can ask for.
pub(super) fn kinds(questions: &[Question], columns: usize) -> String {
    let mut screen = Screen::new(columns);
    for kind in KINDS {
        explain_kind(&mut screen, kind);
        screen.gap();
    }
    screen.whole("words of the selectors (each a list: place = [\"cabinet\"])");
    for (keys, words) in selector_words() {
        screen.item(&format!("{keys}: "), &words);
    }
    screen.gap();
    screen.whole("questions of the round (a pack can add its own in checks.csv)");
    for question in questions {
        let line = format!("{}: {}", question.check, question.question);
        screen.item("  ", &line);
    }
    screen.done()
}

/// A rule of the shop's packs, its own ones too, or a kind of check.
pub(super) fn named(shop: &Shop, name: &str, on: Day, columns: usize) -> Result<String, Failure> {
    let mut screen = Screen::new(columns);
    for pack in shop.packs() {
        for rule in &pack.rules {
            if name == rule.id || name == format!("{}/{}", pack.id, rule.id) {
                explain_rule(&mut screen, (pack, rule), on, shop.tables.shop.us);
                explain_question(&mut screen, rule, shop);
            }
        }
    }
    if let Some(kind) = KINDS.iter().find(|kind| kind.name == name) {
        explain_kind(&mut screen, kind);
    }
    let text = screen.done();
    if !text.is_empty() {
        return Ok(text);
    }
    let rules = shop.packs().flat_map(|pack| &pack.rules);
    let names = rules
        .map(|rule| rule.id.as_str())
        .chain(KINDS.iter().map(|kind| kind.name));
    let near = nearest(name, names).map_or_else(
        || "List them with `sandarac rules SHOP` or `sandarac rules --kinds`.".to_string(),
        |near| format!("Did you mean \"{near}\"?"),
    );
    let wrong = format!(
        "No rule and no kind of check is called \"{}\".",
        clean(name)
    );
    Err(Failure::refused(wrong, near, "Nothing was explained."))
}

/// That the question which a rule reads is not the built-in one.
fn explain_question(screen: &mut Screen, rule: &Rule, shop: &Shop) {
    let round = &shop.reference.round;
    let asked = rule.options.get("answer").map(|told| &told.value);
    if let Some(question) = asked.filter(|asked| round.replaced.contains(asked))
        && let Some(question) = round.find(question)
    {
        let line = format!(
            "The question {} is asked in the words of a rule pack of the shop, not in the built-in ones: \"{}\"",
            question.check, question.question
        );
        screen.item("Note:   ", in_units(&line, shop.tables.shop.us));
        screen.gap();
    }
}

fn explain_rule(screen: &mut Screen, (pack, rule): (&Pack, &Rule), on: Day, us: bool) {
    screen.whole(&format!("{}/{}", pack.id, rule.id));
    screen.item("", in_units(&rule.title, us));
    screen.gap();
    screen.item("Why:    ", in_units(&rule.why, us));
    screen.item("Do:     ", in_units(&rule.action, us));
    screen.item(
        "Weight: ",
        format!("{}, topic {}", weight(rule.severity), rule.topic),
    );
    screen.item(
        "Pack:   ",
        format!("{}; {}", pack.about.jurisdiction, pack.about.title),
    );
    explain_keys(screen, rule);
    let now = match rule.limit.on(on) {
        InForce::Now(since, _) => Some(since),
        InForce::NotYet(_) | InForce::Ended(_) => None,
    };
    for (day, (value, citation)) in rule.limit.values() {
        let value = value.to_string();
        let lead = if now == Some(day) {
            "Limit now: "
        } else {
            "Limit:  "
        };
        if !value.is_empty() {
            screen.item(lead, in_units(&value, us));
        }
        let cited = format!(
            "{}, {}, {}; in effect since {}; {} ({})",
            citation.document,
            citation.edition,
            citation.clause,
            date(day),
            citation.seen.how(),
            citation.read
        );
        screen.item("Source: ", &cited);
        if let Some(note) = &citation.note {
            screen.item("Note:   ", in_units(note, us));
        }
    }
    explain_adoption(screen, rule, us);
    for step in &rule.adjust {
        let (times, when) = (step.times.digits(), conditions(step, us));
        screen.item(
            "Adjust: ",
            format!("× {times} where {when} ({})", step.clause),
        );
    }
    if let Some(kind) = kind_of(rule) {
        screen.gap();
        explain_kind(screen, kind);
    }
    screen.gap();
}

/// What must be true for an adjustment to apply.
fn conditions(step: &Adjust, us: bool) -> String {
    let mut when = Vec::new();
    if step.sprinklered {
        when.push("sprinklered".to_string());
    }
    match step.stored {
        Some(StoredIn::ListedCabinet) => when.push("all of it in listed cabinets".to_string()),
        Some(StoredIn::ListedCabinetOrSafetyCan) => {
            when.push("all of it in listed cabinets or safety cans".to_string());
        }
        None => {}
    }
    if !step.levels.is_empty() {
        let levels: Vec<&str> = step.levels.iter().map(|l| l.value.as_str()).collect();
        when.push(format!("level {}", levels.join(", ")));
    }
    if let Some((question, yes)) = &step.answered {
        let answer = if *yes { "yes" } else { "no" };
        when.push(format!("{} is answered {answer}", question.value));
    }
    if let Some(floor) = &step.floor_over {
        let floor = floor.text();
        when.push(format!("the floor is larger than {}", in_units(&floor, us)));
    }
    when.join(" and ")
}

/// Every key of a rule file that says what the rule is about, as it is written there.
fn explain_keys(screen: &mut Screen, rule: &Rule) {
    let words = |list: &[WithSpan<String>]| -> String {
        let words: Vec<&str> = list.iter().map(|told| told.value.as_str()).collect();
        words.join(", ")
    };
    for (key, told) in &rule.options {
        screen.item("Key:    ", format!("{key}: {}", told.value));
    }
    if !rule.fixture.is_empty() {
        screen.item("Key:    ", format!("fixture: {}", words(&rule.fixture)));
    }
    let sections = [
        ("[where]", Some(&rule.select)),
        ("[with]", rule.with.as_ref()),
        ("[never]", rule.never.as_ref()),
    ];
    for (head, select) in sections {
        for (key, list) in select.into_iter().flat_map(|select| &select.keys) {
            let any: Vec<&str> = list.iter().map(|told| told.value.as_str()).collect();
            screen.item("Key:    ", format!("{head} {key}: {}", any.join(" or ")));
        }
    }
}

/// Where an adopted rule comes from, and the limits that were replaced.
fn explain_adoption(screen: &mut Screen, rule: &Rule, us: bool) {
    let Some(adopted) = &rule.adopted else {
        return;
    };
    let Some(replaced) = &adopted.replaced else {
        screen.item("From:   ", format!("adopted from {}", adopted.pack));
        return;
    };
    for (day, (value, citation)) in replaced.limit.values() {
        let line = format!(
            "replaces {value} of {}: {}, {}, since {day}",
            adopted.pack, citation.document, citation.clause
        );
        screen.item("From:   ", in_units(&line, us));
    }
}

fn explain_kind(screen: &mut Screen, kind: &CheckKind) {
    screen.whole(&format!("kind of check: {}", kind.name));
    screen.item("Checks: ", kind.asks);
    let limits: Vec<&str> = kind.limit.iter().map(|d| d.word()).collect();
    let limits = if limits.is_empty() {
        "no number".to_string()
    } else {
        limits.join(", or ")
    };
    screen.item(
        "Limit:  ",
        format!(
            "{limits}{}",
            if kind.by_class {
                ", for each class if need be"
            } else {
                ""
            }
        ),
    );
    let must = |need| match need {
        KeyNeed::Always => "must be there".to_string(),
        KeyNeed::Optional => "may be there".to_string(),
        KeyNeed::With(other) => format!("with {other}"),
    };
    for option in kind.options {
        let takes = match option.takes {
            Takes::Words(words) => words().join(", "),
            Takes::Text(what) => what.to_string(),
        };
        let line = format!("{}: {takes} ({})", option.key, must(option.need));
        screen.item("Key:    ", &line);
    }
    if let Some(need) = kind.fixture {
        let line = format!("fixture: kinds of fixture ({})", must(need));
        screen.item("Key:    ", &line);
    }
    for (section, keys) in kind.selectors {
        let line = format!("{}: {}", section.head(), keys.join(", "));
        screen.item("Key:    ", &line);
    }
    if kind.adjusts {
        let line = "[[adjust]]: sprinklered, stored, level, answer, answered, floor_over";
        screen.item("Key:    ", line);
    }
    screen.item("Unknown: ", kind.unknown);
    screen.item("Basis:  ", kind.source);
}
