//! The audit for programs.

use super::super::against::{ActionRow, Comparison, FindingChange};
use super::super::air_view::MOST_SESSIONS;
use super::super::cautions::Caution;
use super::super::earlier::FORMAT;
use super::super::format::Format;
use super::super::shelf::{MonthRow, StockRow};
use super::super::view::{PackView, View};
use super::air::sessions;
use super::object::{amount, base_unit, list, object, text, value, write};
use crate::finding::{Compared, Finding, Quantity, Verdict};
use crate::quantity::Exact;
use serde::Serialize;
use std::collections::BTreeMap;
use std::io::{self, Write};

/// `DAY-audit.json`.
pub struct Json;

impl Format for Json {
    fn extension(&self) -> &'static str {
        "json"
    }

    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> io::Result<()> {
        write(&audit(view), out)
    }
}

fn audit<'a>(view: &'a View<'a>) -> impl Serialize {
    let counts: BTreeMap<&str, usize> = view
        .counts
        .words()
        .chain([
            ("accepted", view.counts.accepted),
            ("about_nothing", view.counts.about_nothing),
            ("findings", view.findings.len()),
            ("air_left_out", view.air.left_out(MOST_SESSIONS)),
        ])
        .collect();
    object("format", FORMAT)
        .and("on", view.on.to_string())
        .and("shop", &view.shop)
        .and("packs", list(|| view.packs.iter().map(pack)))
        .and("counts", counts)
        .and(
            "findings",
            list(|| view.findings.iter().map(|it| finding(view, it))),
        )
        .and("stock", list(|| view.stock.iter().map(stock)))
        .and("use_by_month", list(|| view.months.iter().map(month)))
        .and("air", sessions(&view.air, false))
        .and(
            "cautions",
            list(|| view.cautions.iter().map(|it| caution(it))),
        )
        .and("against", against(&view.against))
        .and("trend", &view.against.trend)
        .and("actions", list(|| view.actions.iter().map(action)))
        .and("problems", [(); 0])
}

fn pack(pack: &PackView) -> impl Serialize {
    object("id", &pack.id)
        .and("title", &pack.title)
        .and("jurisdiction", &pack.jurisdiction)
        .and("binds", &pack.binds)
        .and("advisory", pack.advisory)
        .and("rules", pack.rules)
}

fn caution(caution: &Caution) -> impl Serialize {
    object("name", &caution.name)
        .and("title", &caution.title)
        .and("text", &caution.text)
        .and("source", &caution.source)
}

fn finding<'a>(view: &'a View<'_>, finding: &'a Finding) -> impl Serialize {
    let (observed, limit, margin) = numbers(finding.compared.as_ref());
    let cited = &finding.citation;
    let citation = object("document", &cited.document)
        .and("edition", &cited.edition)
        .and("clause", &cited.clause)
        .and("in_force", text(cited.in_force))
        .and("seen", cited.seen.word())
        .and("note", &cited.note);
    let accepted = finding.accepted.as_ref().map(|accepted| {
        object("why", &accepted.why)
            .and("by", &accepted.by)
            .and("until", accepted.until.to_string())
            .and("lapsed", accepted.lapsed)
    });
    object("rule", &*finding.rule.id)
        .and("pack", &*finding.rule.pack)
        .and("title", &*finding.rule.title)
        .and("topic", finding.rule.topic)
        .and(
            "subject",
            subject(finding.subject.kind.word(), &finding.subject.id),
        )
        .and("severity", finding.severity.word())
        .and("advisory", finding.advisory)
        .and("verdict", finding.verdict.word())
        .and("observed", observed.map(quantity))
        .and("observed_text", &*finding.observed)
        .and("limit", limit.map(quantity))
        .and("limit_text", &*finding.limit)
        .and("margin", margin.map(quantity))
        .and("margin_text", finding.margin.as_deref())
        .and("working", &finding.working)
        .and("said", list(|| finding.said.iter().map(|said| &**said)))
        .and("citation", citation)
        .and("why", &*finding.rule.why)
        .and("action", &*finding.action)
        .and("evidence", view.places(finding))
        .and("unconfirmed", finding.unconfirmed)
        .and("local", finding.local)
        .and("tightest", finding.tightest)
        .and("since", text(view.against.since(finding)))
        .and("accepted", accepted)
}

fn subject<'a>(kind: &'a str, id: &'a str) -> impl Serialize {
    object("kind", kind).and("id", id)
}

fn quantity(quantity: Quantity) -> impl Serialize {
    let unit = base_unit(quantity.unit.dimension);
    value(quantity.base.digits(), unit)
}

/// Observed, limit and margin, where they are numbers.
fn numbers(compared: Option<&Compared>) -> (Option<Quantity>, Option<Quantity>, Option<Quantity>) {
    let (observed, limit, at_most) = match compared {
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
        let (more, less) = if at_most {
            (limit, observed)
        } else {
            (observed, limit)
        };
        let base = more.base.minus(less.base).ok()?;
        let unit = limit.unit;
        Some(Quantity { base, unit })
    });
    (Some(*observed), limit.copied(), margin)
}

fn stock(row: &StockRow) -> impl Serialize {
    let unexplained = row.amount.filter(|_| row.unexplained != Exact::ZERO);
    let class: BTreeMap<&String, &String> = row
        .class
        .iter()
        .map(|(pack, class)| (pack, class))
        .collect();
    object("container", &row.container)
        .and("product", &row.product)
        .and("place", &row.place)
        .and("room", &row.room)
        .and("amount", row.amount.map(amount))
        .and("capacity", row.capacity.map(amount))
        .and("age_days", row.age_days)
        .and("use_by", text(row.use_by))
        .and("tested", &row.tested)
        .and(
            "unexplained",
            unexplained.map(|kind| amount(kind.with(row.unexplained))),
        )
        .and("class", class)
}

fn month(row: &MonthRow) -> impl Serialize {
    object("product", &row.product)
        .and("month", &row.month)
        .and("used", amount(row.used))
        .and("mixed", amount(row.mixed))
        .and("discarded", amount(row.discarded))
        .and("received", amount(row.received))
        .and("start", amount(row.start))
        .and("poured_in", amount(row.arrived))
        .and("poured_out", amount(row.poured))
        .and("unexplained", amount(row.unexplained))
        .and("untracked", amount(row.untracked))
        .and("end", amount(row.end))
        .and("closes", row.closes)
}

fn against<'a>(against: &'a Comparison) -> impl Serialize {
    let earlier = against.earlier.as_ref();
    let skipped = || {
        let skipped = against.passed_over.iter();
        skipped.map(|(file, why)| object("file", file).and("why", why))
    };
    let changes = |changes: &'a [FindingChange]| list(move || changes.iter().map(change));
    object("file", earlier.map(|(file, _)| file))
        .and("on", text(earlier.map(|(_, on)| on)))
        .and("new", changes(&against.new))
        .and("standing", changes(&against.standing))
        .and("cleared", changes(&against.cleared))
        .and("packs_left_out", &against.left_out)
        .and("passed_over", list(skipped))
}

fn change(change: &FindingChange) -> impl Serialize {
    object("rule", &change.key.rule)
        .and("pack", &change.key.pack)
        .and("subject", subject(&change.key.kind, &change.key.subject))
        .and("title", &change.title)
        .and("was", change.was.map(Verdict::word))
        .and("is", change.is.map(Verdict::word))
        .and("since", change.since.to_string())
}

fn action(row: &ActionRow<'_>) -> impl Serialize {
    let action = row.action;
    object("action", &action.id)
        .and("rule", &action.rule)
        .and("subject", &action.subject)
        .and("what", &action.what)
        .and("who", &action.who)
        .and("by", text(action.by))
        .and("closed", text(action.closed))
        .and("initials", &action.initials)
        .and("note", &action.note)
        .and("state", row.state.word())
        .and("remark", row.remark)
}
