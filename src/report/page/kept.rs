//! Keeping times on a time line: every row has the same days from left to right, and the same post for today.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::plan_shapes::px;
use crate::quantity::{Day, Period};
use crate::report::html::{name, nothing, on_day, prose};
use crate::report::kept::{AgingRow, KeptDays};
use crate::report::view::View;
use crate::report::words::date;
use maud::{Markup, html};

/// Width of a line in pixels.
const WIDE: f64 = 320.0;
/// Months before and after the day that a line shows at most.
const BACK: u32 = 24;
const AHEAD: u32 = 18;

/// The days that the lines span.
#[derive(Clone, Copy)]
struct Axis {
    from: Day,
    to: Day,
    on: Day,
}

/// The part about keeping times.
pub(super) fn keeping(view: &View<'_>) -> Markup {
    if view.kept.is_empty() {
        return nothing(
            "No product here has a shelf life, published or in products.csv. That does not mean that it keeps forever.",
        );
    }
    let axis = Axis::new(view);
    html! {
        p.faint {
            "Each bar starts on the day the product was mixed, opened or received. Plain means good without a test. Hatched means test \
             before use. The bar ends on the last day. The upright line is " (date(view.on)) "."
        }
            table.cards.lives {
                thead { tr {
                    th scope="col" { "Container" }
                    th scope="col" { "Shelf life" (scale(axis)) }
                    th scope="col" { "Test from" }
                    th scope="col" { "Last day" }
                    th scope="col" { "State" }
                } }
                tbody { @for kept in &view.kept { (row(view, axis, kept)) } }
            }
    }
}

fn row(view: &View<'_>, axis: Axis, kept: &AgingRow<'_>) -> Markup {
    let finding = kept.finding;
    html! {
        tr {
            th scope="row" { (name(&finding.subject.id)) " " span.faint { (name(&kept.product)) } }
            @match kept.days {
                Some(days) => {
                    td.drawn { (line(axis, days)) }
                    td data-label="Test from" { (on_day(days.test)) }
                    td data-label="Last day" { @match days.until { Some(day) => (on_day(day)), None => "no last day" } }
                }
                None => td colspan="3" {
                    (prose(&view.words(finding).fact))
                },
            }
            td data-label="State" { (view.words(finding).state) }
        }
    }
}

impl Axis {
    fn new(view: &View<'_>) -> Axis {
        let days = || view.kept.iter().filter_map(|kept| kept.days);
        let on = view.on;
        let first = days().map(|days| days.from).min().unwrap_or(on);
        let last = days().map(|days| days.until.unwrap_or(days.test)).max();
        let oldest = on.back(BACK * 30);
        Axis {
            from: first.max(oldest).min(on.back(30)),
            to: last
                .unwrap_or(on)
                .min(on.plus(Period::Months(AHEAD)))
                .max(on.plus(Period::Months(2))),
            on,
        }
    }

    /// Where a day is, from the left.
    fn place(self, day: Day) -> f64 {
        let whole = count(self.to.since(self.from)).max(1.0);
        (count(day.since(self.from)) / whole * WIDE).clamp(0.0, WIDE)
    }
}

fn count(days: i64) -> f64 {
    i32::try_from(days).map_or(0.0, f64::from)
}

/// Slanting strokes across a part of a bar.
fn hatch((from, to): (f64, f64), (low, high): (u32, u32)) -> String {
    let mut path = String::new();
    let mut x = from + 1.0;
    while x + 4.0 < to {
        path.push_str(&format!("M{} {low}L{} {high}", px(x), px(x + 4.0)));
        x += 5.0;
    }
    path
}

/// The months and years over the lines, for those who see them; the dates stand in the table.
fn scale(axis: Axis) -> Markup {
    let months = count(axis.to.since(axis.from)) / 30.4;
    let step = [1, 2, 3, 6, 12]
        .into_iter()
        .find(|step| months / f64::from(*step) <= 6.5);
    let step = step.unwrap_or(24);
    let first = axis.from.month_key() + 1;
    let ticks = (first..=axis.to.month_key()).filter(|key| key.rem_euclid(step) == 0);
    let ticks: Vec<(f64, String)> = ticks
        .filter_map(|key| {
            let month = crate::quantity::month_of(key);
            Some((axis.place(Day::parse(&format!("{month}-01")).ok()?), month))
        })
        .filter(|(x, _)| *x < WIDE - 52.0)
        .collect();
    html! {
        svg.axis width=(WIDE) height="20" viewBox={ "0 0 " (WIDE) " 20" } aria-hidden="true" focusable="false" {
            @for (x, month) in &ticks {
                path.tick d={ "M" (px(*x)) " 2V20" } {}
                text x=(px(x + 3.0)) y="13" { (month) }
            }
        }
    }
}

fn line(axis: Axis, days: KeptDays) -> Markup {
    let KeptDays { from, test, until } = days;
    let words = format!(
        "from {from}, test from {test}{}",
        until.map_or(String::new(), |day| format!(", last day {day}"))
    );
    let (start, due) = (axis.place(from), axis.place(test.max(from)));
    let end = until.map_or(due, |day| axis.place(day.max(test)));
    let today = axis.place(axis.on);
    html! {
        svg.bar.time role="img" aria-label=(words) width=(WIDE) height="18" viewBox={ "0 0 " (WIDE) " 18" } {
            path.thread d={ "M" (px(start)) " 9H" (px(today.max(end))) } {}
            @if due > start { rect.bulk x=(px(start)) y="5" width=(px(due - start)) height="8" {} }
            @if end > due {
                rect.due x=(px(due)) y="5" width=(px(end - due)) height="8" {}
                path.hatch d=(hatch((due, end), (13, 5))) {}
            }
            @if until.is_some_and(|day| day <= axis.to) { path.end d={ "M" (px(end)) " 2V16" } {} }
            @if until.unwrap_or(test) > axis.to { path.beyond d={ "M" (px(WIDE - 6.0)) " 4L" (px(WIDE - 2.0)) " 9L" (px(WIDE - 6.0)) " 14" } {} }
            @if from < axis.from { path.beyond d="M6 4L2 9L6 14" {} }
            rect.post x=(px((today - 1.0).max(0.0))) y="0" width="2.5" height="18" {}
        }
    }
}
