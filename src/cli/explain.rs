//! `sandarac explain`: a rule, or a kind of check, in full.

use super::args::ExplainArgs;
use super::rules::value_text;
use super::{Ended, Failure, style};
use crate::check::{CheckKind, KINDS};
use crate::pack::{Pack, Rule, built_in_names, load_built_in};
use crate::report::fill;
use crate::text::{Files, Problems, nearest};
use std::fmt::Write;

/// Explains what a name means.
pub fn run(args: &ExplainArgs) -> Result<Ended, Failure> {
    let mut files = Files::default();
    let mut problems = Problems::new();
    let packs: Vec<Pack> = built_in_names()
        .into_iter()
        .filter_map(|id| load_built_in(id, &mut files, &mut problems))
        .collect();
    let mut text = String::new();
    let columns = style::columns();
    for pack in &packs {
        for rule in &pack.rules {
            if args.name == rule.id || args.name == format!("{}/{}", pack.id, rule.id) {
                explain_rule(&mut text, pack, rule, columns);
            }
        }
    }
    if let Some(kind) = KINDS.iter().find(|kind| kind.name == args.name) {
        explain_kind(&mut text, kind, columns);
    }
    if text.is_empty() {
        let names = packs
            .iter()
            .flat_map(|p| &p.rules)
            .map(|r| r.id.as_str())
            .chain(KINDS.iter().map(|k| k.name));
        let near = nearest(&args.name, names).map_or_else(
            || "`sandarac rules SHOP` lists the rules of a shop".to_string(),
            |near| format!("did you mean `{near}`?"),
        );
        return Err(Failure::Said(format!(
            "error: no rule and no kind of check is called `{}`\n = help: {near}",
            args.name
        )));
    }
    style::print(&text)?;
    Ok(Ended::Well)
}

fn para(text: &mut String, words: &str, columns: usize, lead: &str) {
    let rest = " ".repeat(lead.chars().count());
    let _ = writeln!(text, "{}", fill(words, columns, lead, &rest));
}

fn explain_rule(text: &mut String, pack: &Pack, rule: &Rule, columns: usize) {
    let _ = writeln!(text, "{}/{}", pack.id, rule.id);
    para(text, &rule.title, columns, "");
    text.push('\n');
    para(text, &rule.why, columns, "Why:    ");
    para(text, &rule.action, columns, "Do:     ");
    para(
        text,
        &format!("{} ({})", rule.severity.word(), rule.topic),
        columns,
        "Weight: ",
    );
    para(
        text,
        &format!("{}; {}", pack.about.jurisdiction, pack.about.title),
        columns,
        "Pack:   ",
    );
    for key in &rule.select.keys {
        let words: Vec<&str> = key.1.iter().map(|told| told.value.as_str()).collect();
        para(
            text,
            &format!("{}: {}", key.0.replace('_', " "), words.join(", ")),
            columns,
            "About:  ",
        );
    }
    for (day, (value, citation)) in rule.limit.values() {
        let value = value_text(value);
        if !value.is_empty() {
            para(text, &value, columns, "Limit:  ");
        }
        let cited = format!(
            "{}, {}, {}; since {day}; read {}, seen: {}",
            citation.document,
            citation.edition,
            citation.clause,
            citation.read,
            citation.seen.word()
        );
        para(text, &cited, columns, "Source: ");
        if let Some(note) = &citation.note {
            para(text, note, columns, "Note:   ");
        }
    }
    for step in &rule.adjust {
        let mut when = Vec::new();
        if step.sprinklered {
            when.push("sprinklered".to_string());
        }
        if step.rated_cabinet {
            when.push("all of it in rated cabinets".to_string());
        }
        if !step.levels.is_empty() {
            when.push(format!("level {}", step.levels.join(", ")));
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
    if let Some(kind) = KINDS.iter().find(|kind| kind.name == rule.check.value) {
        text.push('\n');
        explain_kind(text, kind, columns);
    }
    text.push('\n');
}

fn explain_kind(text: &mut String, kind: &CheckKind, columns: usize) {
    let _ = writeln!(text, "kind of check: {}", kind.name);
    para(text, kind.asks, columns, "Asks:   ");
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
    for option in kind.options {
        let words = if option.words.is_empty() {
            "a word".to_string()
        } else {
            option.words.join(", ")
        };
        let must = if option.must {
            "must be there"
        } else {
            "may be there"
        };
        para(
            text,
            &format!("{}: {words} ({must})", option.key),
            columns,
            "Key:    ",
        );
    }
    for needed in kind.needs {
        para(text, needed.trim_end_matches('?'), columns, "Needs:  ");
    }
    para(text, kind.unknown, columns, "Cannot judge: ");
    para(text, kind.source, columns, "After:  ");
}
