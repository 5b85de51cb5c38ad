//! Words, marks and tables shared by all HTML pages. Text from files is escaped, and a page runs and fetches nothing.

use super::statements::SCREENING;
use super::view::View;
use super::words::{FindingWords, date, moment};
use crate::finding::{Cited, Finding, Verdict};
use crate::quantity::{Day, Moment};
use crate::text::clean;
use maud::{DOCTYPE, PreEscaped, html};

pub(super) use maud::Markup;

/// A word longer than this may be broken anywhere.
const LONG: usize = 24;
/// Nothing runs, nothing is fetched; the style is the page's own.
pub(super) const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";
/// The same, with pictures that lie beside the page.
pub(super) const POLICY_WITH_PHOTOS: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' file:; base-uri 'none'; \
                                             form-action 'none'";
/// The head of a page.
pub(super) struct HtmlHead<'h> {
    pub title: &'h str,
    pub style: &'h [&'h str],
    /// Its color schemes: `light dark`, or `only light`.
    pub scheme: &'h str,
    /// The mark by which the program recognizes its own page.
    pub mark: &'h str,
}

/// A whole page, which runs nothing and fetches nothing.
pub(super) fn document(head: &HtmlHead<'_>, body: &Markup) -> Markup {
    document_under(POLICY, head, body)
}

/// The same under another policy.
pub(super) fn document_under(policy: &str, head: &HtmlHead<'_>, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                (PreEscaped(head.mark))
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content=(head.scheme);
                meta name="referrer" content="no-referrer";
                title { (clean(head.title)) }
                style { @for style in head.style { (PreEscaped(style)) } }
            }
            body { (body) }
        }
    }
}

/// The foot of a page.
pub(super) fn footer(view: &View<'_>) -> Markup {
    html! {
        footer {
            p { (SCREENING) }
            p { "Made by sandarac from the files of this shop, for the end of " (date(view.on)) "." }
        }
    }
}

/// A name from a file: its own direction does not reach the words around it.
pub(super) fn name(text: &str) -> Markup {
    let long = text.split_whitespace().any(|word| word.len() > LONG);
    let class = long.then_some("long");
    html! { bdi class=[class] { (clean(text)) } }
}

/// A sentence of the report. Text between backticks is a name.
pub(super) fn prose(text: &str) -> Markup {
    let text = clean(text);
    let parts: Vec<&str> = text.split('`').collect();
    if parts.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! {
        @for (at, part) in parts.iter().enumerate() {
            @if at % 2 == 0 { (part) } @else { span.named { (name(part)) } }
        }
    }
}

/// The verdict as a reader says it.
pub(super) fn said(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breach => "over the limit",
        Verdict::CannotJudge => "unknown",
        Verdict::Near => "close or due",
        Verdict::Meets => "within the limit",
        Verdict::NotInForce => "not in effect",
    }
}

/// A verdict in words, marked by its state.
pub(super) fn verdict(verdict: Verdict) -> Markup {
    html! { span.verdict.(verdict.word()) { (said(verdict)) } }
}

/// A table. A head that begins with `#` is over numbers.
pub(super) fn table(label: &str, heads: &[&str], body: &Markup) -> Markup {
    table_of(label, "", heads, body)
}

/// A table whose rows become cards on a narrow screen: each cell repeats its head in `data-label`.
pub(super) fn table_of(label: &str, class: &str, heads: &[&str], body: &Markup) -> Markup {
    let class = format!("cards {class}");
    html! {
        table class=(class.trim_end()) aria-label=(clean(label)) {
            thead { tr {
                @for head in heads {
                    @match head.strip_prefix('#') {
                        Some(head) => th.number scope="col" { (head) },
                        None => th scope="col" { (head) },
                    }
                }
            } }
            (body)
        }
    }
}

/// A note in place of a table without rows.
pub(super) fn nothing(words: &str) -> Markup {
    html! { p.nothing { (prose(words)) } }
}

pub(super) fn counts(view: &View<'_>) -> Markup {
    let counts = &view.counts;
    html! {
        ul.counts aria-label="Findings by state" {
            @for (word, verdict) in Verdict::WORDS {
                @let count = counts.shown(verdict);
                li.(word) { b data-count=(word) { (count) } " " (said(verdict)) }
            }
            @if counts.about_nothing > 0 {
                li { b data-count="about_nothing" { (counts.about_nothing) } " do not apply" }
            }
            @if counts.accepted > 0 { li { b data-count="accepted" { (counts.accepted) } " accepted, still open" } }
        }
    }
}

/// Record, limit and margin of a finding, where they say more than its sentence.
pub(super) fn figures(finding: &Finding, fact: &str) -> Markup {
    let said = fact.contains(&finding.observed);
    let unbounded = finding.limit.is_empty() && finding.margin.is_none();
    if said && unbounded {
        return html! {};
    }
    html! {
        dl.figures {
            div { dt { "On record" } dd.observed { (prose(&finding.observed)) } }
            @if !finding.limit.is_empty() { div { dt { "Limit" } dd.limit { (prose(&finding.limit)) } } }
            @if let Some(margin) = &finding.margin {
                div {
                    dt { "Margin" }
                    dd {
                        span.margin { (clean(margin)) }
                        @if finding.tightest { " · the strictest of the packs" }
                    }
                }
            }
        }
    }
}

/// The state of a finding in words, marked by its verdict.
pub(super) fn state(finding: &Finding, words: &FindingWords) -> Markup {
    html! { span.verdict.(finding.verdict.word()) { (words.state) } }
}

/// The cautions that apply to the stock.
pub(super) fn cautions(view: &View<'_>) -> Markup {
    html! {
        dl.cautions {
            @for caution in &view.cautions {
                div {
                    dt { (prose(&caution.title)) }
                    dd { (prose(&caution.text)) " " span.faint { "Source: " (prose(&caution.source)) } }
                }
            }
        }
    }
}

/// Document, edition, clause, day and how it was seen, in one line.
pub(super) fn source(cited: &Cited) -> Markup {
    html! {
        cite { (prose(&cited.document)) } ", " (prose(&cited.edition)) ", " (prose(&cited.clause))
        @if let Some(day) = cited.in_force { "; in effect since " (on_day(day)) }
        "; " (cited.seen.how())
    }
}

/// A day, which no line break cuts.
pub(super) fn on_day(day: Day) -> Markup {
    html! { time datetime=(day) { (date(day)) } }
}

/// A part that is folded until it is asked for, or open where the whole page is printed.
pub(super) fn fold(open: bool, id: &str, title: &str, more: &str, inner: &Markup) -> Markup {
    let id = (!id.is_empty()).then_some(id);
    let topic = id.is_some_and(|id| id.starts_with("topic-"));
    html! {
        details.fold.topic[topic] id=[id] open[open] {
            summary { strong { (title) } " " span.faint { (more) } }
            (inner)
        }
    }
}

/// A day and its minute.
pub(super) fn timed(at: Moment, us: bool) -> Markup {
    html! { time datetime=(at) { (moment(at, us)) } }
}

/// A part of a page with a line for each row, paragraph and item, where a break shows as nothing: so that two pages can be
/// compared by line.
pub(super) fn in_lines(markup: &Markup) -> String {
    const ENDS: [&str; 7] = [
        "</tr>",
        "</p>",
        "</li>",
        "</h2>",
        "</h3>",
        "</h4>",
        "</figure>",
    ];
    let markup = &markup.0;
    let mut text = String::with_capacity(markup.len() + markup.len() / 64);
    for part in markup.split_inclusive('>') {
        text.push_str(part);
        if ENDS.iter().any(|end| part.ends_with(end)) {
            text.push('\n');
        }
    }
    text
}
