//! Markdown: the audit in full. Cells and text are escaped here.

use super::columns::{Listing, Medium};
use super::format::Format;
use super::listings::{PACKS, STOCK};
use super::month::parts;
use super::urgent::{NOTHING_OPEN, SCREENING};
use super::view::View;
use super::wrap::capital;
use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use crate::quantity::natural;
use crate::text::clean;
use std::io::{Result, Write};

/// `DAY-audit.md`.
pub struct Markdown;

impl Format for Markdown {
    fn extension(&self) -> &'static str {
        "md"
    }

    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> Result<()> {
        writeln!(
            out,
            "# Finishing room of {}, at the close of {}\n\n{SCREENING}\n",
            safe(&view.shop),
            view.on
        )?;
        table(out, &PACKS, view.packs.iter(), view)?;
        if let Some(authority) = &view.authority {
            writeln!(out, "\nAuthority: {}", safe(authority))?;
        }
        first(out, view)?;
        findings(out, view)?;
        for part in parts(view, usize::MAX) {
            writeln!(out, "## {}\n", safe(&part.title))?;
            for line in &part.lines {
                writeln!(out, "- {}", safe(line))?;
            }
            writeln!(out)?;
        }
        quiet(out, view)?;
        writeln!(out, "## Stock\n")?;
        table(out, &STOCK, view.stock.iter(), view)?;
        months(out, view)?;
        writeln!(out, "## Cautions\n")?;
        for caution in &view.cautions {
            let [title, text, source] =
                [&caution.title, &caution.text, &caution.source].map(|it| safe(it));
            writeln!(out, "- **{title}.** {text} ({source})")?;
        }
        Ok(())
    }
}

/// Text in which nothing is markup.
fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    // At the beginning of a line these would begin a list.
    if text.starts_with(['-', '+']) {
        out.push('\\');
    }
    for c in clean(text).chars() {
        match c {
            '|' | '$' | '*' | '_' | '`' | '[' | ']' | '#' | '\\' | '~' => {
                out.push('\\');
                out.push(c);
            }
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            _ => out.push(c),
        }
    }
    out
}

/// A table that other formats show too.
fn table<'r, R>(
    out: &mut dyn Write,
    listing: &Listing<R>,
    rows: impl Iterator<Item = &'r R>,
    view: &View<'_>,
) -> Result<()> {
    let columns = || listing.on(Medium::Markdown);
    let heads: Vec<&str> = columns().map(|column| column.head).collect();
    let ends = columns().map(|column| match column.class {
        Some(_) => "---:|",
        None => "---|",
    });
    writeln!(
        out,
        "| {} |\n|{}",
        heads.join(" | "),
        ends.collect::<String>()
    )?;
    for row in rows {
        let cells = columns().map(|column| safe(&(column.cell)(row, view).text("not known")));
        writeln!(out, "| {} |", cells.collect::<Vec<_>>().join(" | "))?;
    }
    Ok(())
}

fn first(out: &mut dyn Write, view: &View<'_>) -> Result<()> {
    writeln!(out, "\n## Do this first\n")?;
    let first = view.first(12);
    for (number, (action, subjects, verdict)) in first.list.iter().enumerate() {
        let (action, subjects, word) = (safe(action), safe(subjects), verdict.word());
        writeln!(out, "{}. {action} ({subjects}, {word})", number + 1)?;
    }
    if let Some(left) = first.left_out() {
        writeln!(out, "\n{left}")?;
    }
    if first.list.is_empty() {
        writeln!(out, "{NOTHING_OPEN}")?;
    }
    writeln!(out)
}

fn findings(out: &mut dyn Write, view: &View<'_>) -> Result<()> {
    writeln!(out, "## Findings\n")?;
    for topic in TOPICS {
        let mut heading = Some(topic);
        for finding in view.open_of(topic) {
            if let Some(topic) = heading.take() {
                writeln!(out, "### {}\n", capital(topic))?;
            }
            one(out, view, finding)?;
        }
    }
    Ok(())
}

fn one(out: &mut dyn Write, view: &View<'_>, finding: &Finding) -> Result<()> {
    let advice = if finding.advisory {
        ", advice here"
    } else {
        ""
    };
    let limit = match finding.limit.as_str() {
        "" => String::new(),
        limit => format!("; limit {}", safe(limit)),
    };
    writeln!(
        out,
        "**{}** ({}{advice}), {}: {}{limit}\n",
        finding.verdict.word(),
        finding.severity.word(),
        safe(&finding.subject.id),
        safe(&finding.observed),
    )?;
    for line in about(view, finding) {
        writeln!(out, "- {line}")?;
    }
    writeln!(out)
}

/// All that is told of a finding below its head.
fn about(view: &View<'_>, finding: &Finding) -> Vec<String> {
    let [title, pack, rule] = [&finding.title, &finding.pack, &finding.rule].map(|it| safe(it));
    let mut lines = vec![format!("Rule: {title} ({pack}/{rule})")];
    if let Some(margin) = &finding.margin {
        let tightest = if finding.tightest {
            "; the tighter of the packs"
        } else {
            ""
        };
        lines.push(format!("Margin: {}{tightest}", safe(margin)));
    }
    let cited = &finding.citation;
    let since = cited.in_force.map(|day| format!(", in force since {day}"));
    lines.push(format!(
        "Source: {}, {}, {}{}; seen: {}",
        safe(&cited.document),
        safe(&cited.edition),
        safe(&cited.clause),
        since.unwrap_or_default(),
        cited.seen.word()
    ));
    let note = cited.note.iter();
    lines.extend(note.map(|note| format!("Note: {}", safe(note))));
    lines.extend(finding.said.iter().map(|said| safe(said)));
    lines.push(format!("Why: {}", safe(&finding.why)));
    lines.push(format!("Do: {}", safe(&finding.action)));
    if let Some(accepted) = &finding.accepted {
        let lapsed = if accepted.lapsed { "; **lapsed**" } else { "" };
        let (by, until, why) = (safe(&accepted.by), accepted.until, safe(&accepted.why));
        lines.push(format!("Accepted by {by} until {until}: {why}{lapsed}"));
    }
    let steps = finding.working.iter().enumerate();
    lines.extend(steps.map(|(at, step)| format!("Step {}: {}", at + 1, safe(step))));
    let places = view.places(finding);
    if !places.is_empty() {
        lines.push(format!("Rows: {}", safe(&places.join(", "))));
    }
    lines
}

fn quiet(out: &mut dyn Write, view: &View<'_>) -> Result<()> {
    writeln!(
        out,
        "## Every rule, counted\n\n| Verdict | Findings |\n|---|---:|"
    )?;
    for (word, verdict) in Verdict::WORDS {
        writeln!(out, "| {word} | {} |", view.counts.shown(verdict))?;
    }
    writeln!(
        out,
        "| about nothing here | {} |\n",
        view.counts.about_nothing
    )?;
    for remark in &view.remarks {
        writeln!(out, "- {}", safe(remark))?;
    }
    writeln!(out)
}

/// Every product and month, from what was held to what is held; what counts found stands by itself.
fn months(out: &mut dyn Write, view: &View<'_>) -> Result<()> {
    writeln!(
        out,
        "\n## Use by month\n\n| Product | Month | Start | Received | Poured in | Used | Mixed | Poured out | Discarded | \
         Unexplained | End |\n|---|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|"
    )?;
    for row in &view.months {
        let amounts = [
            row.start,
            row.received,
            row.arrived,
            row.used,
            row.mixed,
            row.poured,
            row.discarded,
            row.unexplained,
            row.end,
        ];
        let amounts = amounts.map(|amount| natural(amount, view.us)).join(" | ");
        writeln!(
            out,
            "| {} | {} | {amounts} |",
            safe(&row.product),
            row.month
        )?;
    }
    writeln!(out)
}
