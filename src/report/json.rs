//! JSON: numbers as text, stable keys, format 1. Quantities are in house units, exact: L, kg, m, m3/h, F, day, pcs, %.

use super::earlier::Tally;
use super::json_air::{AirOut, rows};
use super::json_month::{ActionOut, AgainstOut, actions, against};
use super::view::View;
use crate::finding::{Compared, Finding, Quantity};
use crate::quantity::{Amount, Dimension, Exact};
use crate::text::steers;
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The same object, in which what would steer a terminal is escaped: JSON itself escapes only the first 32 characters.
pub(super) fn inert(text: String) -> String {
    let text = text + "\n";
    let steering = |c: char| c != '\n' && steers(c);
    if !text.contains(steering) {
        return text;
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if steering(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
}

/// The number of this format; it changes when a key changes its meaning or goes.
pub(super) const FORMAT: u32 = 1;

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    on: String,
    shop: &'a str,
    packs: Vec<PackOut<'a>>,
    counts: BTreeMap<&'static str, usize>,
    findings: Vec<FindingOut<'a>>,
    stock: Vec<StockOut<'a>>,
    use_by_month: Vec<MonthOut<'a>>,
    air: Vec<AirOut<'a>>,
    cautions: Vec<CautionOut<'a>>,
    against: AgainstOut<'a>,
    trend: &'a [Tally],
    actions: Vec<ActionOut<'a>>,
    problems: Vec<()>,
}

#[derive(Serialize)]
struct PackOut<'a> {
    id: &'a str,
    title: &'a str,
    jurisdiction: &'a str,
    binds: &'a str,
    advisory: bool,
    rules: usize,
}

#[derive(Serialize)]
pub(super) struct SubjectOut<'a> {
    pub(super) kind: &'a str,
    pub(super) id: &'a str,
}

#[derive(Serialize)]
struct CitationOut<'a> {
    document: &'a str,
    edition: &'a str,
    clause: &'a str,
    in_force: Option<String>,
    seen: &'static str,
    note: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct Value {
    pub(super) value: String,
    pub(super) unit: &'static str,
}

#[derive(Serialize)]
struct AcceptedOut<'a> {
    why: &'a str,
    by: &'a str,
    until: String,
    lapsed: bool,
}

#[derive(Serialize)]
struct FindingOut<'a> {
    rule: &'a str,
    pack: &'a str,
    title: &'a str,
    topic: &'static str,
    subject: SubjectOut<'a>,
    severity: &'static str,
    advisory: bool,
    verdict: &'static str,
    observed: Option<Value>,
    observed_text: &'a str,
    limit: Option<Value>,
    limit_text: &'a str,
    margin: Option<Value>,
    margin_text: Option<&'a str>,
    working: &'a [String],
    said: &'a [String],
    citation: CitationOut<'a>,
    why: &'a str,
    action: &'a str,
    evidence: Vec<&'a str>,
    unconfirmed: bool,
    local: bool,
    tightest: bool,
    since: Option<String>,
    accepted: Option<AcceptedOut<'a>>,
}

#[derive(Serialize)]
struct StockOut<'a> {
    container: &'a str,
    product: &'a str,
    place: &'a str,
    room: &'a str,
    amount: Option<Value>,
    capacity: Option<Value>,
    age_days: Option<i64>,
    use_by: Option<String>,
    tested: Option<&'a str>,
    unexplained: Option<Value>,
    class: BTreeMap<&'a str, &'a str>,
}

#[derive(Serialize)]
struct MonthOut<'a> {
    product: &'a str,
    month: &'a str,
    used: Value,
    mixed: Value,
    discarded: Value,
    received: Value,
    start: Value,
    poured_in: Value,
    poured_out: Value,
    unexplained: Value,
    untracked: Value,
    end: Value,
    closes: bool,
}

#[derive(Serialize)]
struct CautionOut<'a> {
    name: &'a str,
    title: &'a str,
    text: &'a str,
    source: &'a str,
}

fn house_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Volume => "L",
        Dimension::Mass => "kg",
        Dimension::Length => "m",
        Dimension::Area => "m2",
        Dimension::Airflow => "m3/h",
        Dimension::AirChanges => "/h",
        Dimension::AirPerArea => "m3/h/m2",
        Dimension::Temperature => "F",
        Dimension::Density => "kg/L",
        Dimension::Share => "%",
        Dimension::Period => "day",
        Dimension::Pieces => "pcs",
        Dimension::Ppm => "ppm",
        Dimension::MassInAir => "mg/m3",
        Dimension::Pressure => "kPa",
        Dimension::MolarMass => "g/mol",
    }
}

fn quantity(quantity: &Quantity) -> Value {
    Value {
        value: quantity.base.digits(),
        unit: house_unit(quantity.unit.dimension),
    }
}

pub(super) fn amount(amount: Amount) -> Value {
    Value {
        value: amount.base().digits(),
        unit: house_unit(amount.dimension()),
    }
}

/// The audit as JSON text, one object, ending with a line break.
pub fn json(view: &View<'_>) -> Result<String, serde_json::Error> {
    let (air, air_left_out) = rows(&view.air, false);
    let counts = view
        .counts
        .words()
        .chain([
            ("accepted", view.counts.accepted),
            ("about_nothing", view.counts.about_nothing),
            ("findings", view.findings.len()),
            ("air_left_out", air_left_out),
        ])
        .collect();
    let report = Report {
        format: FORMAT,
        on: view.on.to_string(),
        shop: &view.shop,
        packs: view
            .packs
            .iter()
            .map(|p| PackOut {
                id: &p.id,
                title: &p.title,
                jurisdiction: &p.jurisdiction,
                binds: &p.binds,
                advisory: p.advisory,
                rules: p.rules,
            })
            .collect(),
        counts,
        findings: view.findings.iter().map(|f| finding(view, f)).collect(),
        stock: stock(view),
        use_by_month: months(view),
        air,
        cautions: view
            .cautions
            .iter()
            .map(|c| CautionOut {
                name: &c.name,
                title: &c.title,
                text: &c.text,
                source: &c.source,
            })
            .collect(),
        against: against(&view.against),
        trend: &view.against.trend,
        actions: actions(&view.actions),
        problems: Vec::new(),
    };
    serde_json::to_string_pretty(&report).map(inert)
}

fn finding<'a>(view: &'a View<'_>, finding: &'a Finding) -> FindingOut<'a> {
    let (observed, limit, margin) = numbers(finding.compared.as_ref());
    let cited = &finding.citation;
    FindingOut {
        rule: &finding.rule,
        pack: &finding.pack,
        title: &finding.title,
        topic: finding.topic,
        subject: SubjectOut {
            kind: finding.subject.kind.word(),
            id: &finding.subject.id,
        },
        severity: finding.severity.word(),
        advisory: finding.advisory,
        verdict: finding.verdict.word(),
        observed,
        observed_text: &finding.observed,
        limit,
        limit_text: &finding.limit,
        margin,
        margin_text: finding.margin.as_deref(),
        working: &finding.working,
        said: &finding.said,
        citation: CitationOut {
            document: &cited.document,
            edition: &cited.edition,
            clause: &cited.clause,
            in_force: cited.in_force.map(|day| day.to_string()),
            seen: cited.seen.word(),
            note: cited.note.as_deref(),
        },
        why: &finding.why,
        action: &finding.action,
        evidence: view.places(finding),
        unconfirmed: finding.unconfirmed,
        local: finding.local,
        tightest: finding.tightest,
        since: view.against.since(finding).map(|day| day.to_string()),
        accepted: finding.accepted.as_ref().map(|a| AcceptedOut {
            why: &a.why,
            by: &a.by,
            until: a.until.to_string(),
            lapsed: a.lapsed,
        }),
    }
}

/// Observed, limit and margin, where they are numbers.
fn numbers(compared: Option<&Compared>) -> (Option<Value>, Option<Value>, Option<Value>) {
    let (observed, limit, sign) = match compared {
        Some(Compared::AtMost { observed, limit }) => (observed, Some(limit), true),
        Some(Compared::AtLeast { observed, limit }) => (observed, Some(limit), false),
        Some(Compared::Staged {
            observed, limit, ..
        }) => (observed, limit.as_ref(), true),
        Some(Compared::Estimated { .. } | Compared::Plain { .. }) | None => {
            return (None, None, None);
        }
    };
    let margin = limit.and_then(|limit| {
        let (a, b) = if sign {
            (limit.base, observed.base)
        } else {
            (observed.base, limit.base)
        };
        a.minus(b).ok().map(|base| {
            quantity(&Quantity {
                base,
                unit: limit.unit,
            })
        })
    });
    (Some(quantity(observed)), limit.map(quantity), margin)
}

fn stock<'a>(view: &'a View<'_>) -> Vec<StockOut<'a>> {
    view.stock
        .iter()
        .map(|row| StockOut {
            container: &row.container,
            product: &row.product,
            place: &row.place,
            room: &row.room,
            amount: row.amount.map(amount),
            capacity: row.capacity.map(amount),
            age_days: row.age_days,
            use_by: row.use_by.map(|day| day.to_string()),
            tested: row.tested.as_deref(),
            unexplained: row
                .amount
                .filter(|_| row.unexplained != Exact::ZERO)
                .map(|kind| amount(kind.with(row.unexplained))),
            class: row
                .class
                .iter()
                .map(|(pack, class)| (pack.as_str(), class.as_str()))
                .collect(),
        })
        .collect()
}

fn months<'a>(view: &'a View<'_>) -> Vec<MonthOut<'a>> {
    view.months
        .iter()
        .map(|row| MonthOut {
            product: &row.product,
            month: &row.month,
            used: amount(row.used),
            mixed: amount(row.mixed),
            discarded: amount(row.discarded),
            received: amount(row.received),
            start: amount(row.start),
            poured_in: amount(row.arrived),
            poured_out: amount(row.poured),
            unexplained: amount(row.unexplained),
            untracked: amount(row.untracked),
            end: amount(row.end),
            closes: row.closes,
        })
        .collect()
}
