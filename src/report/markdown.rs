//! Markdown: the audit in full. Cells and text are escaped here.

use super::columns::{Listing, Medium};
use super::format::Format;
use super::listings::{PACKS, STOCK};
use super::month::parts;
use super::urgent::{NOTHING_OPEN, SCREENING};
use super::view::View;
use super::words::{FindingWords, date, verdict_words};
use super::wrap::capital;
use crate::finding::{Finding, Verdict};
use crate::pack::{Seen, TOPICS};
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
            "# Finishing room of {}, {}\n\n**{}**\n\n{SCREENING}\n",
            safe(&view.shop),
            date(view.on),
            safe(&view.to_do.headline)
        )?;
        table(out, &PACKS, view.packs.iter(), view)?;
        if let Some(authority) = &view.authority {
            writeln!(out, "\nAuthority: {}", safe(authority))?;
        }
        to_do(out, view)?;
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
        let cells = columns().map(|column| safe(&(column.cell)(row, view).text("unknown")));
        writeln!(out, "| {} |", cells.collect::<Vec<_>>().join(" | "))?;
    }
    Ok(())
}

fn to_do(out: &mut dyn Write, view: &View<'_>) -> Result<()> {
    writeln!(out, "\n## What to do\n")?;
    let mut number = 0;
    for (title, lines) in view.to_do.parts() {
        if !lines.is_empty() {
            writeln!(out, "### {title}\n")?;
        }
        for line in lines {
            number += 1;
            let notes = match line.notes() {
                notes if notes.is_empty() => String::new(),
                notes => format!(" ({})", safe(&notes)),
            };
            let (words, law) = (safe(&line.words()), safe(&line.law));
            writeln!(out, "{number}. {words}{notes} *{law}.*")?;
        }
        if !lines.is_empty() {
            writeln!(out)?;
        }
    }
    if view.to_do.is_empty() {
        writeln!(out, "{NOTHING_OPEN}\n")?;
    }
    Ok(())
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
    let words = view.words(finding);
    writeln!(
        out,
        "**{}.** {}\n",
        safe(&capital(&words.state)),
        safe(&words.fact)
    )?;
    for line in about(view, finding, &words) {
        writeln!(out, "- {line}")?;
    }
    writeln!(out)
}

/// All that is said of a finding below its head.
fn about(view: &View<'_>, finding: &Finding, words: &FindingWords) -> Vec<String> {
    let [title, pack, rule] = [&finding.title, &finding.pack, &finding.rule].map(|it| safe(it));
    let mut lines = Vec::new();
    if words.task != words.fact {
        lines.push(format!("To do: {}", safe(&words.task)));
    }
    if words.adds(&finding.action) {
        lines.push(format!("In detail: {}", safe(&finding.action)));
    }
    lines.push(format!("Why: {}", safe(&finding.why)));
    lines.push(format!("Rule: {title} ({pack}/{rule})"));
    if finding.tightest {
        lines.push("This is the strictest of your rule packs.".into());
    }
    if finding.advisory {
        lines.push("This rule is only advice for your shop.".into());
    }
    lines.push(source(finding, words));
    let note = finding.citation.note.iter();
    lines.extend(note.map(|note| format!("Note: {}", safe(note))));
    lines.extend(finding.said.iter().map(|said| safe(said)));
    if let Some(accepted) = &finding.accepted {
        let ended = if accepted.lapsed { " (ended)" } else { "" };
        let (by, until, why) = (
            safe(&accepted.by),
            date(accepted.until),
            safe(&accepted.why),
        );
        lines.push(format!("Accepted by {by} until {until}{ended}: {why}"));
    }
    let steps = finding.working.iter().enumerate();
    lines.extend(steps.map(|(at, step)| format!("Step {}: {}", at + 1, safe(step))));
    let places = view.places(finding);
    if !places.is_empty() {
        lines.push(format!("Rows: {}", safe(&places.join(", "))));
    }
    lines
}

fn source(finding: &Finding, words: &FindingWords) -> String {
    let cited = &finding.citation;
    let since = cited
        .in_force
        .map(|day| format!(", in effect since {}", date(day)));
    let read = match cited.seen {
        Seen::Text => "read in the text itself",
        Seen::Secondary => "read in another source",
        Seen::Memory => "from memory, not confirmed",
    };
    format!(
        "{}. Source: {}, {}, {}{}; {read}",
        safe(&words.law),
        safe(&cited.document),
        safe(&cited.edition),
        safe(&cited.clause),
        since.unwrap_or_default(),
    )
}

fn quiet(out: &mut dyn Write, view: &View<'_>) -> Result<()> {
    writeln!(
        out,
        "## Every rule, counted\n\n| State | Findings |\n|---|---:|"
    )?;
    for (_, verdict) in Verdict::WORDS {
        let words = capital(verdict_words(verdict));
        writeln!(out, "| {words} | {} |", view.counts.shown(verdict))?;
    }
    writeln!(out, "| Does not apply | {} |\n", view.counts.about_nothing)?;
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
         Difference | End |\n|---|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|"
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
