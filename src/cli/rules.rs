//! `sandarac rules`: what a shop is held against.

use super::args::RulesArgs;
use super::{Ended, Failure, open, style};
use crate::pack::{InForce, LimitValue, Rule};
use crate::quantity::Day;
use crate::report::fill;
use std::fmt::Write;

/// Lists every rule with its limit on the day.
pub fn run(args: &RulesArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.shop.as_deref())?;
    let opened = open::shop(&folder, &args.shop.packs)?;
    let (on, columns) = (args.shop.day(), style::columns());
    let mut text = String::new();
    for pack in opened.packs() {
        let _ = writeln!(
            text,
            "{}: {} ({} rules)",
            pack.id,
            pack.about.title,
            pack.rules.len()
        );
        for rule in &pack.rules {
            let line = format!(
                "{}: {}; {}; {}",
                rule.id,
                rule.title,
                rule.severity.word(),
                limit(rule, on)
            );
            let _ = writeln!(text, "{}", fill(&line, columns, "  ", "      "));
        }
        text.push('\n');
    }
    style::print(&text)?;
    Ok(Ended::Well)
}

/// The limit of a rule on a day, with its clause.
pub(super) fn limit(rule: &Rule, on: Day) -> String {
    match rule.limit.on(on) {
        InForce::Now(since, (value, citation)) => {
            let value = value_text(value);
            let sep = if value.is_empty() { "" } else { ", " };
            format!(
                "{value}{sep}{}, {}, since {since}, seen: {}",
                citation.document,
                citation.clause,
                citation.seen.word()
            )
        }
        InForce::NotYet(day) => format!("in force from {day}"),
        InForce::Ended(day) => format!("ended on {day}"),
    }
}

/// A limit in words.
pub(super) fn value_text(value: &LimitValue) -> String {
    match value {
        LimitValue::None => String::new(),
        LimitValue::One(told) => told.value.text(),
        LimitValue::ByClass(list) => {
            let parts: Vec<String> = list
                .iter()
                .map(|(class, told)| format!("{} {}", class.value, told.value.text()))
                .collect();
            parts.join(", ")
        }
    }
}
