//! Words and signs that every part of the page uses.

use crate::finding::{Finding, Verdict};
use crate::text::clean;
use maud::{Markup, html};

/// A word longer than this may be broken anywhere.
const LONG: usize = 24;

/// A name from a file: its own direction does not reach the words around it.
pub(in crate::report) fn name(text: &str) -> Markup {
    let long = text.split_whitespace().any(|word| word.len() > LONG);
    let class = long.then_some("long");
    html! { bdi class=[class] { (clean(text)) } }
}

/// A sentence of the report; what stands between backticks is a name.
pub(in crate::report) fn prose(text: &str) -> Markup {
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

/// A verdict's own name for its shape, as a class.
pub(in crate::report) fn class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breach => "breach",
        Verdict::CannotJudge => "cannot-judge",
        Verdict::Near => "near",
        Verdict::Meets => "meets",
        Verdict::NotInForce => "not-in-force",
    }
}

/// The verdict as a reader says it.
pub(in crate::report) fn said(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breach => "breach",
        Verdict::CannotJudge => "cannot judge",
        Verdict::Near => "near",
        Verdict::Meets => "meets",
        Verdict::NotInForce => "not in force",
    }
}

/// Sign and word of a verdict.
pub(in crate::report) fn verdict(verdict: Verdict) -> Markup {
    html! {
        span.verdict.(class(verdict)) { (sign(verdict)) " " (said(verdict)) }
    }
}

/// The sign alone: a bar and the line of its limit.
pub(in crate::report) fn sign(verdict: Verdict) -> Markup {
    html! {
        svg.sign width="22" height="14" viewBox="0 0 22 14" aria-hidden="true" focusable="false" {
            use href={ "#sign-" (class(verdict)) } {}
        }
    }
}

/// The signs, drawn once. Each shows where a bar ends with regard to an upright line.
pub(in crate::report) fn signs() -> Markup {
    html! {
        svg.signs width="0" height="0" aria-hidden="true" focusable="false" {
            defs {
                symbol id="sign-breach" viewBox="0 0 22 14" {
                    rect x="0" y="4" width="21" height="6" {}
                    rect x="12" y="0" width="2.5" height="14" {}
                }
                symbol id="sign-near" viewBox="0 0 22 14" {
                    rect x="0" y="4" width="11" height="6" {}
                    rect x="12" y="0" width="2.5" height="14" {}
                }
                symbol id="sign-meets" viewBox="0 0 22 14" {
                    rect.rim x="0.75" y="4.75" width="6" height="4.5" {}
                    rect x="12" y="0" width="2.5" height="14" {}
                }
                symbol id="sign-cannot-judge" viewBox="0 0 22 14" {
                    path.rim d="M1 10V8M1 6V4H4M6 4H9M9 10H6M4 10H1" {}
                    rect x="12" y="0" width="2.5" height="14" {}
                    path.rim d="M17 4.5q0-2.5 2-2.5t2 2q0 1.5-2 2.500V9M19 11v1.5" {}
                }
                symbol id="sign-not-in-force" viewBox="0 0 22 14" {
                    rect x="12" y="0" width="2.5" height="3" {}
                    rect x="12" y="5.5" width="2.5" height="3" {}
                    rect x="12" y="11" width="2.5" height="3" {}
                }
            }
        }
    }
}

/// How a finding's subject is called: `container`, or nothing for the shop itself, whose name says it.
pub(in crate::report) fn subject(finding: &Finding) -> Markup {
    let kind = finding.subject.kind.word();
    html! { strong.subject { (name(&finding.subject.id)) } " " span.faint { "(" (kind) ")" } }
}

/// A heading's word with a capital.
pub(in crate::report) fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// `1 container`, `2 containers`.
pub(in crate::report) fn many(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

/// A wide table or picture, which scrolls by itself and by the keyboard.
pub(in crate::report) fn wide(label: &str, inner: Markup) -> Markup {
    html! {
        div.wide role="region" aria-label=(clean(label)) tabindex="0" { (inner) }
    }
}
