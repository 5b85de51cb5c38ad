//! What must be settled before a period can be closed: afterwards nobody can mend it.

use super::super::Failure;
use super::super::open::Opened;
use crate::check::{Audit, COUNT_AGREES};
use crate::quantity::natural;
use crate::record::LOG;
use crate::stock::Stock;
use crate::text::{Problems, Span, Table, clean};
use std::collections::HashMap;

/// As many open points as are told one by one.
const MOST_TOLD: usize = 20;

/// Refuses while counts or corrections are open, all of them at once.
pub fn refuse(opened: &Opened, stock: &Stock) -> Result<(), Failure> {
    let mut open = counts(opened, stock)?;
    open.extend(overfull(opened, stock));
    open.extend(corrections(opened, stock));
    if open.is_empty() {
        return Ok(());
    }
    let more = open.len().saturating_sub(MOST_TOLD);
    open.truncate(MOST_TOLD);
    let list: Vec<String> = open
        .iter()
        .map(|point| format!(" - {}", clean(point)))
        .collect();
    let more = match more {
        0 => String::new(),
        more => format!("\n - and {more} more"),
    };
    Err(Failure::Said(format!(
        "error: the books up to {} cannot be closed while this is open:\n{}{more}\nnothing was written",
        stock.on,
        list.join("\n")
    )))
}

/// Counts that do not agree with the book, as the packs judge it, and that nobody accepted.
fn counts(opened: &Opened, stock: &Stock) -> Result<Vec<String>, Failure> {
    let audit: Audit<'_> = opened.audit(stock)?;
    let of_counts = |pack: &str, rule: &str| {
        let pack = opened.packs.iter().find(|known| known.id == pack);
        let rule = pack.and_then(|pack| pack.rules.iter().find(|known| known.id == rule));
        rule.is_some_and(|rule| rule.check.value == COUNT_AGREES)
    };
    let open = audit
        .findings
        .iter()
        .filter(|f| f.calls() && !f.is_accepted() && of_counts(&f.pack, &f.rule));
    Ok(open
        .map(|finding| {
            let first = finding.working.first().map_or("", String::as_str);
            format!(
                "{first}; mend it, or accept `{}/{}` for `{}` in accepted.csv: afterwards it can only be accepted",
                finding.pack, finding.rule, finding.subject.id
            )
        })
        .collect())
}

/// A vessel that holds more than it can by the book: the inventory could not be written so.
fn overfull(opened: &Opened, stock: &Stock) -> Vec<String> {
    let us = opened.tables.shop.us;
    let rows = opened.tables.containers.iter().zip(&stock.containers);
    let over = rows.filter_map(|(row, contents)| {
        let (held, capacity) = (contents.amount?, row.capacity?);
        let over = held.same_kind(capacity) && held.base() > capacity.base();
        over.then(|| {
            format!(
                "`{}` holds {} by the book, and {} when full; count it, and close the day of that count or a later one",
                row.id,
                natural(held, us),
                natural(capacity, us)
            )
        })
    });
    over.collect()
}

/// Corrections after the day that mend an entry up to it.
fn corrections(opened: &Opened, stock: &Stock) -> Vec<String> {
    let day = stock.on.to_string();
    let is_late = |when: &str| when.get(..10).unwrap_or("") > day.as_str();
    let mut late: HashMap<String, (String, Span)> = HashMap::new();
    each(opened, |[id, when, what, into], at| {
        if is_late(when) && what.eq_ignore_ascii_case("correct") {
            late.insert(into.to_string(), (id.to_string(), at));
        }
    });
    let mut open = Vec::new();
    if late.is_empty() {
        return open;
    }
    each(opened, |[id, when, ..], _| {
        if let Some((correction, at)) = late.get(id).filter(|_| !is_late(when)) {
            let at = opened.files.locate(*at);
            let line = at.line.map_or_else(String::new, |line| format!(":{line}"));
            open.push(format!(
                "{}{line}: entry `{correction}` mends entry `{id}` of {when}, which would be set aside; close its day or a later one",
                at.name
            ));
        }
    });
    open
}

/// Name, moment, kind and `into` of each entry.
fn each(opened: &Opened, mut hear: impl FnMut([&str; 4], Span)) {
    let Some(log) = opened.tables.log else { return };
    let mut problems = Problems::new();
    let mut table = Table::open(&opened.files, log, &LOG, &mut problems);
    while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
        let [id, when, what, _, _, into] = row.texts();
        hear([id, when, what, into], row.span());
    }
}
