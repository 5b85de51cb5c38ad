//! A bar that shows how an observed number lies to its limit: the limit is an upright post at three quarters of the width.
//! What is over (or short) is hatched and outlined, so that no colour is needed to see it. The words beside it say the same.
#![allow(
    clippy::float_arithmetic,
    reason = "places on paper, rounded to a tenth of a pixel"
)]

use crate::finding::{Compared, Finding};
use maud::{Markup, html};

/// Width and height of the picture.
const WIDE: f64 = 240.0;
const HIGH: f64 = 16.0;
/// Where the limit stands.
const POST: f64 = 180.0;
/// The topic whose findings have no bar: no number of rags is nearer to safe than another.
const NO_BAR: &str = "rags";

/// What a bar shows, as shares of its limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shares {
    /// What was observed.
    pub(super) observed: f64,
    /// How far that may be off, as a share of it.
    pub(super) error: f64,
    /// From where something is due.
    pub(super) warn: Option<f64>,
    /// At least, and not at most.
    pub(super) at_least: bool,
}

/// The shares of a finding, if it compares numbers.
pub(super) fn shares(finding: &Finding) -> Option<Shares> {
    if finding.topic == NO_BAR {
        return None;
    }
    let (observed, limit, warn, at_least, error) = match finding.compared.as_ref()? {
        Compared::AtMost { observed, limit } => (observed.base, limit.base, None, false, 0.0),
        Compared::AtLeast { observed, limit } => (observed.base, limit.base, None, true, 0.0),
        Compared::Staged {
            observed,
            warn,
            limit,
        } => {
            let last = limit.unwrap_or(*warn);
            (observed.base, last.base, Some(warn.base), false, 0.0)
        }
        Compared::Estimated {
            observed,
            error,
            limit,
            ..
        } => {
            let share = observed / limit;
            return share.is_finite().then_some(Shares {
                observed: share.max(0.0),
                error: *error,
                warn: None,
                at_least: false,
            });
        }
        Compared::Plain { .. } => return None,
    };
    let share = observed.estimate() / limit.estimate();
    let warn = warn.map(|warn| warn.estimate() / limit.estimate());
    (share.is_finite() && limit.estimate() > 0.0).then_some(Shares {
        observed: share.max(0.0),
        error,
        warn: warn.filter(|warn| warn.is_finite() && *warn < 1.0),
        at_least,
    })
}

/// The bar, with its words for those who do not see it.
pub(super) fn bar(shares: Shares, words: &str) -> Markup {
    let end = (shares.observed * POST).min(WIDE - 2.0);
    let beyond = shares.observed * POST > WIDE - 2.0;
    // Over an upper limit, the part behind the post is wrong; under a lower one, the part that is missing before it.
    let solid = if shares.at_least { end } else { end.min(POST) };
    let wrong = match (shares.at_least, shares.observed) {
        (false, seen) if seen > 1.0 => Some((POST, end)),
        (true, seen) if seen < 1.0 => Some((end, POST)),
        _ => None,
    };
    let off = shares.error > 0.0;
    let low = (shares.observed * (1.0 - shares.error) * POST).clamp(1.0, WIDE - 1.0);
    let high = (shares.observed * (1.0 + shares.error) * POST).clamp(1.0, WIDE - 1.0);
    html! {
        svg.bar role="img" aria-label=(crate::text::clean(words)) width=(WIDE) height=(HIGH)
            viewBox={ "0 0 " (WIDE) " " (HIGH) } {
            rect.trough x="0" y="4" width=(WIDE) height="8" {}
            @if solid > 0.0 { rect.bulk x="0" y="4" width=(px(solid)) height="8" {} }
            @if let Some((from, to)) = wrong {
                rect.over x=(px(from)) y="4" width=(px(to - from)) height="8" {}
                path.hatch d=(hatch((from, to), (12, 4))) {}
            }
            @if let Some(warn) = shares.warn {
                path.warn d={ "M" (px(warn * POST)) " 1V15" } {}
            }
            @if off { path.error d={ "M" (px(low)) " 8H" (px(high)) "M" (px(low)) " 5V11M" (px(high)) " 5V11" } {} }
            rect.post x=(px(POST - 1.0)) y="0" width="2.5" height=(HIGH) {}
            @if beyond { path.beyond d={ "M" (WIDE - 10.0) " 2L" (WIDE - 6.0) " 8L" (WIDE - 10.0) " 14" } {} }
        }
    }
}

/// Slanting strokes across a part of a bar, from its lower to its upper edge.
pub(super) fn hatch((from, to): (f64, f64), (low, high): (u32, u32)) -> String {
    let mut path = String::new();
    let mut x = from + 1.0;
    while x + 4.0 < to {
        path.push_str(&format!("M{} {low}L{} {high}", px(x), px(x + 4.0)));
        x += 5.0;
    }
    path
}

/// A place on paper, to a tenth.
pub(super) fn px(place: f64) -> String {
    let text = format!("{place:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_string)
}
