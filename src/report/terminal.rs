//! The screen: what to do first, the findings by topic, the quiet ones counted, the cautions named. Eighty columns.

use super::view::View;
use super::wrap::{fill, width};
use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use crate::quantity::natural;
use crate::text::clean;
use std::fmt::Write;
use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::{Alignment, Style, Width};

/// Most lines of "do this first".
const FIRST: usize = 7;

/// The audit on the screen; `full` adds the working of every finding that calls for something.
pub fn terminal(view: &View<'_>, columns: usize, full: bool) -> String {
    let mut text = String::new();
    header(&mut text, view, columns);
    first(&mut text, view, columns);
    findings(&mut text, view, columns, full);
    quiet(&mut text, view, columns);
    closing(&mut text, view, columns);
    text
}

fn line(text: &mut String, words: &str, columns: usize, first: &str, rest: &str) {
    text.push_str(&fill(&clean(words), columns, first, rest));
    text.push('\n');
}

fn heading(text: &mut String, words: &str, columns: usize) {
    let rule = "─".repeat(columns.saturating_sub(width(words) + 1));
    let _ = writeln!(text, "\n{words} {rule}");
}

fn header(text: &mut String, view: &View<'_>, columns: usize) {
    line(
        text,
        &format!(
            "Finishing room of {}, at the close of {}",
            view.shop, view.on
        ),
        columns,
        "",
        "",
    );
    line(
        text,
        "A screening aid, not a certificate. The authority having jurisdiction, the data sheet of each product and a \
         licensed practitioner come first.",
        columns,
        "",
        "",
    );
    for pack in &view.packs {
        line(
            text,
            &format!("{} ({}): {}", pack.id, pack.jurisdiction, pack.binds),
            columns,
            "  ",
            "    ",
        );
    }
    if let Some(authority) = &view.authority {
        line(text, &format!("asked: {authority}"), columns, "  ", "    ");
    }
}

fn first(text: &mut String, view: &View<'_>, columns: usize) {
    heading(text, "DO THIS FIRST", columns);
    let mut said: Vec<(&str, &str)> = Vec::new();
    let urgent = view
        .findings
        .iter()
        .filter(|f| f.calls() && !f.is_accepted());
    for finding in urgent {
        if said
            .iter()
            .any(|(action, subject)| *action == finding.action && *subject == finding.subject.id)
        {
            continue;
        }
        said.push((&finding.action, &finding.subject.id));
        if said.len() > FIRST {
            break;
        }
        let number = said.len();
        let words = format!(
            "{} ({}: {})",
            finding.action,
            finding.subject.id,
            finding.verdict.word()
        );
        line(text, &words, columns, &format!("{number}. "), "   ");
    }
    if said.is_empty() {
        line(
            text,
            "Nothing that the rules asked for is open. That shows no room and no rag to be safe.",
            columns,
            "",
            "",
        );
    }
}

fn findings(text: &mut String, view: &View<'_>, columns: usize, full: bool) {
    heading(text, "FINDINGS", columns);
    let count = |verdict| view.counts.of(verdict);
    let words = format!(
        "{} breach, {} cannot be judged, {} near, {} met, {} not in force{}",
        count(Verdict::Breach),
        count(Verdict::CannotJudge),
        count(Verdict::Near),
        count(Verdict::Meets),
        count(Verdict::NotInForce),
        match view.counts.accepted {
            0 => String::new(),
            n => format!("; {n} accepted"),
        }
    );
    line(text, &words, columns, "", "");
    for topic in TOPICS {
        let list: Vec<&Finding> = view
            .findings
            .iter()
            .filter(|f| f.topic == topic && f.calls())
            .collect();
        if list.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{topic}");
        for finding in list {
            one(text, view, finding, columns, full);
        }
    }
}

fn one(text: &mut String, view: &View<'_>, finding: &Finding, columns: usize, full: bool) {
    let limit = match (&finding.limit, finding.verdict) {
        (limit, _) if limit.is_empty() => String::new(),
        (limit, _) => format!(" (limit {limit})"),
    };
    let marks = marks(finding);
    let head = format!(
        "{}, {}: {}: {}{limit}{marks}",
        finding.verdict.word().to_uppercase(),
        finding.severity.word(),
        finding.subject.id,
        finding.observed
    );
    line(text, &head, columns, "  ", "      ");
    let cited = format!(
        "{} [{}/{}]; {}, {}",
        finding.title,
        finding.pack,
        finding.rule,
        finding.citation.document,
        finding.citation.clause
    );
    line(text, &cited, columns, "      ", "      ");
    for said in &finding.said {
        line(text, said, columns, "      ", "      ");
    }
    if full {
        for (number, step) in finding.working.iter().enumerate() {
            line(
                text,
                step,
                columns,
                &format!("      {}. ", number + 1),
                "         ",
            );
        }
        line(
            text,
            &format!("Why: {}", finding.why),
            columns,
            "      ",
            "      ",
        );
        line(
            text,
            &format!("Do: {}", finding.action),
            columns,
            "      ",
            "      ",
        );
    }
    let places: Vec<&str> = finding
        .evidence
        .iter()
        .take(4)
        .map(|p| view.place(*p))
        .collect();
    let more = finding.evidence.len().saturating_sub(4);
    if !places.is_empty() {
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        line(
            text,
            &format!("see {}{more}", places.join(", ")),
            columns,
            "      ",
            "      ",
        );
    }
}

fn marks(finding: &Finding) -> String {
    let mut marks = String::new();
    if let Some(margin) = &finding.margin {
        let _ = write!(marks, ", {margin}");
    }
    if finding.unconfirmed {
        marks.push_str(", unconfirmed");
    }
    if finding.local {
        marks.push_str(", local limit");
    }
    if finding.tightest {
        marks.push_str(", the tighter of the packs");
    }
    if finding.advisory {
        marks.push_str(", advice here");
    }
    if let Some(accepted) = &finding.accepted {
        let lapsed = if accepted.lapsed { "; LAPSED" } else { "" };
        let _ = write!(
            marks,
            ", accepted by {} until {} ({}){lapsed}",
            accepted.by, accepted.until, accepted.why
        );
    }
    marks
}

fn quiet(text: &mut String, view: &View<'_>, columns: usize) {
    heading(text, "QUIET", columns);
    for verdict in [Verdict::Meets, Verdict::NotInForce] {
        let mut parts = Vec::new();
        for topic in TOPICS {
            let count = view
                .findings
                .iter()
                .filter(|f| f.topic == topic && f.verdict == verdict)
                .count();
            if count > 0 {
                parts.push(format!("{topic} {count}"));
            }
        }
        if !parts.is_empty() {
            line(
                text,
                &format!("{}: {}", verdict.word(), parts.join(", ")),
                columns,
                "  ",
                "    ",
            );
        }
    }
    for remark in &view.remarks {
        line(text, remark, columns, "  ", "    ");
    }
}

fn closing(text: &mut String, view: &View<'_>, columns: usize) {
    heading(text, "CAUTIONS", columns);
    for caution in &view.cautions {
        line(
            text,
            &format!("{}. {}", caution.title, caution.text),
            columns,
            "- ",
            "  ",
        );
    }
}

/// The stock as a table for the screen.
pub fn stock_table(view: &View<'_>, columns: usize) -> String {
    let mut builder = Builder::default();
    builder.push_record([
        "container",
        "product",
        "where",
        "holds",
        "age, days",
        "tested",
    ]);
    for row in &view.stock {
        let place = if row.place.is_empty() {
            row.room.clone()
        } else {
            row.place.clone()
        };
        builder.push_record([
            clean(&row.container),
            clean(&row.product),
            clean(&place),
            row.amount_text(view.us),
            row.age_days
                .map_or_else(|| "not known".into(), |days| days.to_string()),
            row.tested.clone().unwrap_or_default(),
        ]);
    }
    let stock = styled(builder, columns, 4);
    let mut builder = Builder::default();
    builder.push_record(["product", "month", "used", "mixed", "discarded", "received"]);
    for row in &view.months {
        builder.push_record([
            clean(&row.product),
            row.month.clone(),
            natural(row.used, view.us),
            natural(row.mixed, view.us),
            natural(row.discarded, view.us),
            natural(row.received, view.us),
        ]);
    }
    let months = styled(builder, columns, 5);
    format!("{stock}\n\n{months}\n")
}

fn styled(builder: Builder, columns: usize, _numbers: usize) -> String {
    let mut table = builder.build();
    table
        .with(Style::psql())
        .modify(Columns::new(..), Alignment::left());
    table.with(Width::wrap(columns).keep_words(true));
    let text = table.to_string();
    text.lines()
        .map(str::trim_end)
        .collect::<Vec<_>>()
        .join("\n")
}
