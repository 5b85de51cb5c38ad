//! Markdown: the audit in full. Cells and text are escaped here.

use super::month::parts;
use super::view::View;
use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use crate::quantity::natural;
use crate::text::clean;
use std::fmt::Write;

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

/// The audit as Markdown.
pub fn markdown(view: &View<'_>) -> String {
    let mut text = String::new();
    let _ = writeln!(
        text,
        "# Finishing room of {}, at the close of {}\n",
        safe(&view.shop),
        view.on
    );
    let _ = writeln!(
        text,
        "A screening aid, not a certificate. The authority having jurisdiction, the data sheet of each product and a \
         licensed practitioner come first. Nothing here shows a pile of oily rags or a room to be safe.\n"
    );
    packs(&mut text, view);
    first(&mut text, view);
    findings(&mut text, view);
    for part in parts(view, usize::MAX) {
        let _ = writeln!(text, "## {}\n", safe(&part.title));
        for line in &part.lines {
            let _ = writeln!(text, "- {}", safe(line));
        }
        let _ = writeln!(text);
    }
    quiet(&mut text, view);
    stock(&mut text, view);
    let _ = writeln!(text, "## Cautions\n");
    for caution in &view.cautions {
        let _ = writeln!(
            text,
            "- **{}.** {} ({})",
            safe(&caution.title),
            safe(&caution.text),
            safe(&caution.source)
        );
    }
    text
}

fn packs(text: &mut String, view: &View<'_>) {
    let _ = writeln!(text, "| Pack | Where | Whom | Rules |\n|---|---|---|---:|");
    for pack in &view.packs {
        let _ = writeln!(
            text,
            "| {}: {} | {} | {} | {} |",
            safe(&pack.id),
            safe(&pack.title),
            safe(&pack.jurisdiction),
            safe(&pack.binds),
            pack.rules
        );
    }
    if let Some(authority) = &view.authority {
        let _ = writeln!(text, "\nAuthority: {}", safe(authority));
    }
    let _ = writeln!(text);
}

fn first(text: &mut String, view: &View<'_>) {
    let _ = writeln!(text, "## Do this first\n");
    let first = view.first(12);
    for (number, (action, subjects, verdict)) in first.list.iter().enumerate() {
        let _ = writeln!(
            text,
            "{}. {} ({}, {})",
            number + 1,
            safe(action),
            safe(subjects),
            verdict.word()
        );
    }
    if let Some(left) = first.left_out() {
        let _ = writeln!(text, "\n{left}");
    }
    if first.list.is_empty() {
        let _ = writeln!(
            text,
            "Nothing that the rules asked for is open. That shows no room and no rag to be safe."
        );
    }
    let _ = writeln!(text);
}

fn findings(text: &mut String, view: &View<'_>) {
    let _ = writeln!(text, "## Findings\n");
    for topic in TOPICS {
        let list: Vec<&Finding> = view
            .findings
            .iter()
            .filter(|f| f.topic == topic && f.calls())
            .collect();
        if list.is_empty() {
            continue;
        }
        let _ = writeln!(text, "### {}\n", capital(topic));
        for finding in list {
            one(text, view, finding);
        }
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn one(text: &mut String, view: &View<'_>, finding: &Finding) {
    let _ = writeln!(
        text,
        "**{}** ({}{}), {}: {}{}\n",
        finding.verdict.word(),
        finding.severity.word(),
        if finding.advisory {
            ", advice here"
        } else {
            ""
        },
        safe(&finding.subject.id),
        safe(&finding.observed),
        if finding.limit.is_empty() {
            String::new()
        } else {
            format!("; limit {}", safe(&finding.limit))
        },
    );
    let _ = writeln!(
        text,
        "- Rule: {} ({}/{})",
        safe(&finding.title),
        safe(&finding.pack),
        safe(&finding.rule)
    );
    if let Some(margin) = &finding.margin {
        let _ = writeln!(
            text,
            "- Margin: {}{}",
            safe(margin),
            if finding.tightest {
                "; the tighter of the packs"
            } else {
                ""
            }
        );
    }
    let cited = &finding.citation;
    let since = cited
        .in_force
        .map_or_else(String::new, |day| format!(", in force since {day}"));
    let _ = writeln!(
        text,
        "- Source: {}, {}, {}{since}; seen: {}",
        safe(&cited.document),
        safe(&cited.edition),
        safe(&cited.clause),
        cited.seen.word()
    );
    if let Some(note) = &cited.note {
        let _ = writeln!(text, "- Note: {}", safe(note));
    }
    for said in &finding.said {
        let _ = writeln!(text, "- {}", safe(said));
    }
    let _ = writeln!(text, "- Why: {}", safe(&finding.why));
    let _ = writeln!(text, "- Do: {}", safe(&finding.action));
    if let Some(accepted) = &finding.accepted {
        let lapsed = if accepted.lapsed { "; **lapsed**" } else { "" };
        let _ = writeln!(
            text,
            "- Accepted by {} until {}: {}{lapsed}",
            safe(&accepted.by),
            accepted.until,
            safe(&accepted.why)
        );
    }
    for (number, step) in finding.working.iter().enumerate() {
        let _ = writeln!(text, "- Step {}: {}", number + 1, safe(step));
    }
    let places = view.places(finding);
    if !places.is_empty() {
        let _ = writeln!(text, "- Rows: {}", safe(&places.join(", ")));
    }
    let _ = writeln!(text);
}

fn quiet(text: &mut String, view: &View<'_>) {
    let _ = writeln!(
        text,
        "## Every rule, counted\n\n| Verdict | Findings |\n|---|---:|"
    );
    for (word, verdict) in Verdict::WORDS {
        let count = match verdict {
            Verdict::Meets => view.counts.met(),
            other => view.counts.of(other),
        };
        let _ = writeln!(text, "| {word} | {count} |");
    }
    let _ = writeln!(
        text,
        "| about nothing here | {} |",
        view.counts.about_nothing
    );
    let _ = writeln!(text);
    for remark in &view.remarks {
        let _ = writeln!(text, "- {}", safe(remark));
    }
    let _ = writeln!(text);
}

fn stock(text: &mut String, view: &View<'_>) {
    let _ = writeln!(
        text,
        "## Stock\n\n| Container | Product | Where | Holds | Age, days | Class |\n|---|---|---|---:|---:|---|"
    );
    for row in &view.stock {
        let place = if row.place.is_empty() {
            &row.room
        } else {
            &row.place
        };
        let mut classes: Vec<String> = row
            .class
            .iter()
            .map(|(pack, class)| format!("{pack}: {class}"))
            .collect();
        if row.cloth.is_some() {
            classes.push("rags and pads".into());
        }
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} | {} |",
            safe(&row.container),
            safe(&row.product),
            safe(place),
            safe(&row.holds(view.us)),
            row.age_days
                .map_or_else(|| "not known".into(), |days| days.to_string()),
            safe(&classes.join("; "))
        );
    }
    months(text, view);
}

/// Every product and month, from what was held to what is held; what counts found stands by itself.
fn months(text: &mut String, view: &View<'_>) {
    let _ = writeln!(
        text,
        "\n## Use by month\n\n| Product | Month | Start | Received | Poured in | Used | Mixed | Poured out | Discarded | \
         Unexplained | End |\n|---|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|"
    );
    for row in &view.months {
        let shown = |amount| natural(amount, view.us);
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} |",
            safe(&row.product),
            row.month,
            shown(row.start),
            shown(row.received),
            shown(row.arrived),
            shown(row.used),
            shown(row.mixed),
            shown(row.poured),
            shown(row.discarded),
            shown(row.unexplained),
            shown(row.end)
        );
    }
    let _ = writeln!(text);
}
