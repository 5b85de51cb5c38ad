//! Markdown: the audit in full. Cells and text are escaped here.

use super::columns::{Listing, Medium};
use super::finding_details::{FindingDetail, details, full_source, labelled};
use super::format::Format;
use super::listings;
use super::month::parts;
use super::statements::{NOTHING_OPEN, SCREENING};
use super::view::View;
use super::words::{date, verdict_words};
use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use crate::text::{capital, clean};
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
        table(out, &listings::packs(), &view.packs)?;
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
        writeln!(out, "## What is due\n")?;
        table(out, &listings::dues(view), view.due_soon())?;
        writeln!(out, "\n## Stock\n")?;
        table(out, &listings::stock(view), &view.stock)?;
        writeln!(out, "\n## Use by month\n")?;
        table(out, &listings::months(view.us), &view.months)?;
        writeln!(out, "\n## Cautions\n")?;
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
fn table<'r, R: 'r>(
    out: &mut dyn Write,
    listing: &Listing<'r, R>,
    rows: impl IntoIterator<Item = &'r R>,
) -> Result<()> {
    let mut rows = rows.into_iter().peekable();
    if rows.peek().is_none() {
        return writeln!(out, "{}", listing.empty);
    }
    let columns = || listing.shown_on(Medium::Markdown);
    let heads: Vec<&str> = columns().map(|column| column.head.as_str()).collect();
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
        let cells = columns().map(|column| safe(&(column.cell)(row).text("unknown")));
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
    let source = full_source(finding, &words);
    for detail in details(view, finding, &words, &source) {
        match detail {
            FindingDetail::Text(label, text) => {
                writeln!(out, "- {}", labelled(label, &safe(&text)))?
            }
            FindingDetail::Steps(steps) => {
                for (number, step) in (1..).zip(steps) {
                    writeln!(out, "- Step {number}: {}", safe(step))?;
                }
            }
            FindingDetail::Rows(rows) if rows.is_empty() => {}
            FindingDetail::Rows(rows) => writeln!(out, "- Rows: {}", safe(&rows.join(", ")))?,
        }
    }
    writeln!(out)
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
