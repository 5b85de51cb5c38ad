//! A rule, or a kind of check, in full.

use super::list::{in_units, seen, weight};
use crate::audit::Shop;
use crate::check::{CheckKind, KINDS, KeyNeed, Takes, kind_of};
use crate::cli::Failure;
use crate::fact::selector_words;
use crate::pack::{InForce, Pack, Rule, StoredIn, WithSpan};
use crate::quantity::Day;
use crate::report::fill;
use crate::report::words::date;
use crate::text::{clean, nearest};
use crate::trade::Question;
use std::fmt::Write;

/// Every kind of check with the keys and words that it takes, and the questions that a rule can ask for.
pub(super) fn kinds(questions: &[Question], columns: usize) -> String {
    let mut text = String::new();
    for kind in KINDS {
        explain_kind(&mut text, kind, columns);
        text.push('\n');
    }
    text.push_str("words of the selectors (each a list: place = [\"cabinet\"])\n");
    for (keys, words) in selector_words() {
        para(&mut text, &words, columns, &format!("{keys}: "));
    }
    text.push_str("\nquestions of the round (a pack can add its own in checks.csv)\n");
    for question in questions {
        let line = format!("{}: {}", question.check, question.question);
        para(&mut text, &line, columns, "  ");
    }
    text
}

/// A rule of the shop's packs, its own ones too, or a kind of check.
pub(super) fn named(shop: &Shop, name: &str, on: Day, columns: usize) -> Result<String, Failure> {
    let mut text = String::new();
    for pack in shop.packs() {
        for rule in &pack.rules {
            if name == rule.id || name == format!("{}/{}", pack.id, rule.id) {
                let us = shop.tables.shop.us;
                explain_rule(&mut text, (pack, rule), on, us, columns);
            }
        }
    }
    if let Some(kind) = KINDS.iter().find(|kind| kind.name == name) {
        explain_kind(&mut text, kind, columns);
    }
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

fn para(text: &mut String, words: &str, columns: usize, lead: &str) {
    let rest = " ".repeat(lead.chars().count());
    let _ = writeln!(text, "{}", fill(words, columns, lead, &rest));
}

fn explain_rule(
    text: &mut String,
    (pack, rule): (&Pack, &Rule),
    on: Day,
    us: bool,
    columns: usize,
) {
    let _ = writeln!(text, "{}/{}", pack.id, rule.id);
    para(text, &in_units(&rule.title, us), columns, "");
    text.push('\n');
    para(text, &in_units(&rule.why, us), columns, "Why:    ");
    para(text, &in_units(&rule.action, us), columns, "Do:     ");
    para(
        text,
        &format!("{}, topic {}", weight(rule.severity), rule.topic),
        columns,
        "Weight: ",
    );
    para(
        text,
        &format!("{}; {}", pack.about.jurisdiction, pack.about.title),
        columns,
        "Pack:   ",
    );
    explain_keys(text, rule, columns);
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
            para(text, &in_units(&value, us), columns, lead);
        }
        let cited = format!(
            "{}, {}, {}; in effect since {}; {} ({})",
            citation.document,
            citation.edition,
            citation.clause,
            date(day),
            seen(citation.seen),
            citation.read
        );
        para(text, &cited, columns, "Source: ");
        if let Some(note) = &citation.note {
            para(text, &in_units(note, us), columns, "Note:   ");
        }
    }
    explain_adoption(text, rule, us, columns);
    for step in &rule.adjust {
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
        para(
            text,
            &format!(
                "× {} where {} ({})",
                step.times.digits(),
                when.join(" and "),
                step.clause
            ),
            columns,
            "Adjust: ",
        );
    }
    if let Some(kind) = kind_of(rule) {
        text.push('\n');
        explain_kind(text, kind, columns);
    }
    text.push('\n');
}

/// Every key of a rule file that says what the rule is about, as it is written there.
fn explain_keys(text: &mut String, rule: &Rule, columns: usize) {
    let words = |list: &[WithSpan<String>]| -> String {
        let words: Vec<&str> = list.iter().map(|told| told.value.as_str()).collect();
        words.join(", ")
    };
    for (key, told) in &rule.options {
        para(text, &format!("{key}: {}", told.value), columns, "Key:    ");
    }
    if !rule.fixture.is_empty() {
        para(
            text,
            &format!("fixture: {}", words(&rule.fixture)),
            columns,
            "Key:    ",
        );
    }
    let sections = [
        ("[where]", Some(&rule.select)),
        ("[with]", rule.with.as_ref()),
        ("[never]", rule.never.as_ref()),
    ];
    for (head, select) in sections {
        for (key, list) in select.into_iter().flat_map(|select| &select.keys) {
            para(
                text,
                &format!("{head} {key}: {}", words(list)),
                columns,
                "Key:    ",
            );
        }
    }
}

/// Where an adopted rule comes from, and the limits that were replaced.
fn explain_adoption(text: &mut String, rule: &Rule, us: bool, columns: usize) {
    let Some(adopted) = &rule.adopted else {
        return;
    };
    let Some(replaced) = &adopted.replaced else {
        para(
            text,
            &format!("adopted from {}", adopted.pack),
            columns,
            "From:   ",
        );
        return;
    };
    for (day, (value, citation)) in replaced.limit.values() {
        let line = format!(
            "replaces {value} of {}: {}, {}, since {day}",
            adopted.pack, citation.document, citation.clause
        );
        para(text, &in_units(&line, us), columns, "From:   ");
    }
}

fn explain_kind(text: &mut String, kind: &CheckKind, columns: usize) {
    let _ = writeln!(text, "kind of check: {}", kind.name);
    para(text, kind.asks, columns, "Checks: ");
    let limits: Vec<&str> = kind.limit.iter().map(|d| d.word()).collect();
    let limits = if limits.is_empty() {
        "no number".to_string()
    } else {
        limits.join(", or ")
    };
    para(
        text,
        &format!(
            "{limits}{}",
            if kind.by_class {
                ", for each class if need be"
            } else {
                ""
            }
        ),
        columns,
        "Limit:  ",
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
        para(text, &line, columns, "Key:    ");
    }
    if let Some(need) = kind.fixture {
        let line = format!("fixture: kinds of fixture ({})", must(need));
        para(text, &line, columns, "Key:    ");
    }
    for (section, keys) in kind.selectors {
        let line = format!("{}: {}", section.head(), keys.join(", "));
        para(text, &line, columns, "Key:    ");
    }
    if kind.adjusts {
        let line = "[[adjust]]: sprinklered, stored, level, answer, answered, floor_over";
        para(text, line, columns, "Key:    ");
    }
    para(text, kind.unknown, columns, "Unknown: ");
    para(text, kind.source, columns, "Basis:  ");
}
