//! Lists of rules and packs.

use crate::audit::Shop;
use crate::pack::{InForce, Rule, Seen, Severity, built_in_names, load_built_in};
use crate::quantity::{Day, in_metric};
use crate::report::fill;
use crate::report::words::date;
use crate::text::{Files, Problems};
use std::borrow::Cow;
use std::fmt::Write;

/// The rule packs that are built in, with the documents they cite.
pub(super) fn built_in(columns: usize) -> String {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let mut text = String::new();
    for id in built_in_names() {
        let Some(pack) = load_built_in(id, &mut files, &mut problems) else {
            continue;
        };
        let _ = writeln!(
            text,
            "{id}: {}, {} ({} rules)",
            pack.about.title,
            pack.about.jurisdiction,
            pack.rules.len()
        );
        let _ = writeln!(text, "{}", fill(&pack.about.about, columns, "    ", "    "));
        for source in pack.sources.values() {
            let line = format!("{}, {}", source.title, source.edition);
            let _ = writeln!(text, "{}", fill(&line, columns, "  - ", "    "));
        }
    }
    text
}

/// Every rule of a shop with its limit on the day.
pub(super) fn rules(shop: &Shop, on: Day, columns: usize) -> String {
    let mut text = String::new();
    for pack in shop.packs() {
        let _ = writeln!(
            text,
            "{}: {} ({} rules)",
            pack.id,
            pack.about.title,
            pack.rules.len()
        );
        for rule in &pack.rules {
            let line = format!(
                "{}: {}; {}; {}{}",
                rule.id,
                rule.title,
                weight(rule.severity),
                limit(rule, on),
                adopted(rule)
            );
            let line = in_units(&line, shop.tables.shop.us);
            let _ = writeln!(text, "{}", fill(&line, columns, "  ", "      "));
        }
        text.push('\n');
    }
    text
}

/// How much a rule weighs, with its word in rule files and options.
pub(super) fn weight(severity: Severity) -> &'static str {
    match severity {
        Severity::Must => "required (must)",
        Severity::Should => "recommended (should)",
        Severity::Note => "good practice (note)",
    }
}

/// How a source was read.
pub(super) fn seen(seen: Seen) -> &'static str {
    match seen {
        Seen::Text => "read in the text",
        Seen::Secondary => "read in another source",
        Seen::Memory => "from memory, not confirmed",
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
                seen(citation.seen)
            )
        }
        InForce::NotYet(day) => format!("takes effect {}", date(day)),
        InForce::Ended(day) => format!("ended on {}", date(day)),
    }
}
