//! Lists of rules and packs.

use crate::audit::Shop;
use crate::pack::{InForce, Rule, Severity, built_in_names, load_built_in};
use crate::quantity::{Day, in_metric};
use crate::report::Screen;
use crate::report::words::date;
use crate::text::{Files, Problems};
use std::borrow::Cow;

/// The rule packs that are built in, with the documents they cite.
pub(super) fn built_in(columns: usize) -> String {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let mut screen = Screen::new(columns);
    for id in built_in_names() {
        let Some(pack) = load_built_in(id, &mut files, &mut problems) else {
            continue;
        };
        screen.whole(&format!(
            "{id}: {}, {} ({} rules)",
            pack.about.title,
            pack.about.jurisdiction,
            pack.rules.len()
        ));
        screen.indented(4, 4, &pack.about.about);
        for source in pack.sources.values() {
            screen.item("  - ", format!("{}, {}", source.title, source.edition));
        }
    }
    screen.done()
}

/// Every rule of a shop with its limit on the day.
pub(super) fn rules(shop: &Shop, on: Day, columns: usize) -> String {
    let mut screen = Screen::new(columns);
    for pack in shop.packs() {
        let (id, title) = (&pack.id, &pack.about.title);
        screen.whole(&format!("{id}: {title} ({} rules)", pack.rules.len()));
        for rule in &pack.rules {
            let line = format!(
                "{}: {}; {}; {}{}",
                rule.id,
                rule.title,
                weight(rule.severity),
                limit(rule, on),
                adopted(rule)
            );
            screen.indented(2, 6, in_units(&line, shop.tables.shop.us));
        }
        screen.gap();
    }
    screen.done()
}

/// How much a rule weighs, with its word in rule files and options.
pub(super) fn weight(severity: Severity) -> &'static str {
    match severity {
        Severity::Must => "required (must)",
        Severity::Should => "recommended (should)",
        Severity::Note => "good practice (note)",
    }
}

/// A text of a pack in the units of the shop.
pub(super) fn in_units(text: &str, us: bool) -> Cow<'_, str> {
    match us {
        true => text.into(),
        false => in_metric(text).into(),
    }
}

/// That a rule is adopted, and from which pack.
fn adopted(rule: &Rule) -> String {
    match (&rule.adopted, rule.replaced()) {
        (None, _) => String::new(),
        (Some(adopted), None) => format!("; adopted from {}", adopted.pack),
        (Some(adopted), Some(_)) => format!("; changes {}", adopted.pack),
    }
}

/// The limit of a rule on a day, with its clause.
pub(super) fn limit(rule: &Rule, on: Day) -> String {
    match rule.limit.on(on) {
        InForce::Now(since, (value, citation)) => {
            let value = value.to_string();
            let sep = if value.is_empty() { "" } else { ", " };
            format!(
                "{value}{sep}{}, {}, in effect since {}, {}",
                citation.document,
                citation.clause,
                date(since),
                citation.seen.how()
            )
        }
        InForce::NotYet(day) => format!("takes effect {}", date(day)),
        InForce::Ended(day) => format!("ended on {}", date(day)),
    }
}
