//! Tab 9: who keeps the records, which are kept and for how long, how far this shop's go back, and the copied tables.

use super::checks::checks;
use super::context::Binder;
use super::found::open_here;
use super::retention::KeptRecord;
use super::sources::Copied;
use super::tab::Tab;
use crate::finding::Finding;
use crate::quantity::Day;
use crate::record::What;
use crate::report::columns::Listing;
use crate::report::html::{name, nothing, on_day, prose};
use maud::{Markup, html};
use std::collections::BTreeMap;

/// People named of a table.
const PEOPLE: usize = 24;

/// How far a record goes back.
struct RecordReach {
    rows: u64,
    first: Day,
    last: Day,
}

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let entry = binder.stock.last_entry.map(|moment| moment.day());
    let answer = binder.answers().last().map(|answer| answer.when.day());
    let part = html! {
        h3 { "Who keeps the records" }
        (who(binder))
        (open_here(binder, Tab::Records))
        h3 { "How long to keep each record" }
        p.faint { "This list covers the rule packs in use. A period from memory says so: ask your authority which period applies. The first date \
            of a record comes from its rows. Rows may still be missing." }
        (kept(binder))
        (permits(binder))
        (checks(binder, Tab::Records))
        h3 { "Tables in this binder" }
        (copies(binder))
    };
    (entry.max(answer), part)
}

fn who(binder: &Binder<'_>) -> Markup {
    let shop = &binder.tables.shop;
    let mut asked: BTreeMap<&str, u64> = BTreeMap::new();
    let answers = binder.answers();
    for by in answers.iter().filter_map(|answer| answer.by.as_deref()) {
        *asked.entry(by).or_insert(0) += 1;
    }
    let unnamed = answers.iter().filter(|answer| answer.by.is_none()).count();
    html! {
        @match &shop.keeper {
            Some(keeper) => p { span.label { "Kept by" } " " (name(keeper)) ", as shop.toml says." },
            None => (nothing("No keeper of the records is on record. Record who and where: `sandarac log record shop keeper 'NAME, PLACE'`.")),
        }
        @if let Some(ask) = &shop.ask { p { span.label { "Contact for questions about a container" } " " (name(ask)) } }
        @match binder.daybook {
            Some(daybook) => (wrote("log.csv", daybook.people.iter().map(|(by, n)| (by.as_str(), *n)), daybook.unnamed)),
            None => (nothing("There is no log.csv.")),
        }
        @if answers.is_empty() {
            (nothing("checks.csv has no answer. No round is on record."))
        } @else {
            (wrote("checks.csv", asked.into_iter(), u64::try_from(unnamed).unwrap_or(0)))
        }
    }
}

/// Who wrote in a table, those with most rows first.
fn wrote<'p>(table: &str, people: impl Iterator<Item = (&'p str, u64)>, unnamed: u64) -> Markup {
    let mut people: Vec<(&str, u64)> = people.collect();
    people.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    let more = people.len().saturating_sub(PEOPLE);
    html! {
        p {
            span.label { "Entries in " (table) " by" } " "
            @for (at, (by, rows)) in people.iter().take(PEOPLE).enumerate() {
                @if at > 0 { ", " } (name(by)) " (" (rows) ")"
            }
            @if more > 0 { " and " (more) " more" }
            @if unnamed > 0 { @if !people.is_empty() { "; " } (unnamed) " without a name" }
            @if people.is_empty() && unnamed == 0 { "not recorded" }
        }
    }
}

fn kept(binder: &Binder<'_>) -> Markup {
    let mine = |record: &&KeptRecord| {
        let wanted = |pack: &String| binder.packs.iter().any(|own| own.id == *pack);
        record.packs.iter().any(wanted)
    };
    let table = Listing::<KeptRecord>::new("How long to keep each record")
        .column("Record", |record| record.what.clone())
        .column("Where", |record| place(binder, record))
        .column("Covers", |record| reach_words(binder, record))
        .column("Keep for", |record| record.keep.clone())
        .styled("Source", "cited", |record| {
            html! {
                span.source {
                    cite { (prose(&record.document)) } ", " (prose(&record.edition))
                    @if !record.clause.is_empty() { ", " (prose(&record.clause)) }
                    "; " (record.seen.how()) ", " (record.read)
                    @if let Some(note) = &record.note { "; note: " (prose(note)) }
                }
            }
        })
        .mark("data-record", |record| Some(&record.record));
    binder.table(&table, binder.records.iter().filter(mine))
}

/// What a permit is needed for, with room to enter the permit itself.
fn permits(binder: &Binder<'_>) -> Markup {
    let view = binder.view;
    let permits = view.findings.iter();
    let permits: Vec<&Finding> = permits
        .filter(|f| f.rule.topic == "permits" && !f.does_not_apply())
        .collect();
    let blank = || html! { span.blank {} };
    let table = Listing::<&Finding>::new("Permits")
        .column("Permit", |finding| finding.rule.title.to_string())
        .column("State", |finding| view.words(finding).state)
        .column("Found", |finding| view.words(finding).fact)
        .column("Number", move |_| blank())
        .column("Valid until", move |_| blank());
    html! {
        @if !permits.is_empty() {
            h3 { "Permits" }
            (binder.table(&table, &permits))
        }
    }
}

fn place(binder: &Binder<'_>, record: &KeptRecord) -> Markup {
    html! {
        @match &record.table {
            None => "on paper; keep it behind this tab",
            Some(table) if !binder.has(table) => { "missing: the shop has no " code { (table) } }
            Some(table) => {
                code { (table) }
                @if !record.rows.is_empty() { ": " (record.rows.join(", ")) }
            }
        }
    }
}

fn reach_words(binder: &Binder<'_>, record: &KeptRecord) -> Markup {
    let has_days = matches!(
        record.table.as_deref(),
        Some("log.csv" | "checks.csv" | "actions.csv")
    );
    html! {
        @match reach(binder, record) {
            Some(reach) => {
                (reach.rows) @if reach.rows == 1 { " row, " } @else { " rows, " }
                (on_day(reach.first)) " to " (on_day(reach.last))
            }
            None if record.table.is_none() => "unknown",
            None if has_days => strong { "no row" },
            None => "the present state, without dates",
        }
    }
}

/// The first and last day of the rows of a record.
fn reach(binder: &Binder<'_>, record: &KeptRecord) -> Option<RecordReach> {
    let days: Vec<Day> = match record.table.as_deref()? {
        "log.csv" => {
            let all = What::WORDS.map(|(_, what)| what);
            let named: Vec<What> = record
                .rows
                .iter()
                .filter_map(|word| What::parse(word))
                .collect();
            let (rows, first, last) =
                binder
                    .daybook?
                    .period(if named.is_empty() { &all } else { &named })?;
            return Some(RecordReach {
                rows,
                first: first.day(),
                last: last.day(),
            });
        }
        "checks.csv" => {
            let answers = binder.answers().into_iter();
            let mine = answers.filter(|a| record.rows.is_empty() || record.rows.contains(&a.check));
            mine.map(|answer| answer.when.day()).collect()
        }
        "actions.csv" => {
            let all = binder.tables.actions.iter();
            all.filter_map(|action| action.closed.or(action.by))
                .collect()
        }
        _ => return None,
    };
    Some(RecordReach {
        rows: u64::try_from(days.len()).unwrap_or(u64::MAX),
        first: days.iter().copied().min()?,
        last: days.iter().copied().max()?,
    })
}

fn copies(binder: &Binder<'_>) -> Markup {
    let table = Listing::<Copied>::new("Tables in this binder")
        .column("File", |copy| html! { code { "tables/" (copy.name) } })
        .number("Bytes", |copy: &Copied| copy.bytes.to_string());
    html! {
        p.faint { "The folder " code { "tables" } " holds an exact copy of each table, as it was read for this audit. Those under " code { "data" }
            " came with the program." }
        (binder.table(&table, binder.copies))
    }
}
