//! Use and stock over the year: one row and one small line for each product, the closest to its target first.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::limits::bar;
use super::plan_shapes::{count, px};
use crate::quantity::{Amount, Exact, natural};
use crate::report::html::{name, nothing, table_of};
use crate::report::share::share_words;
use crate::report::view::View;
use crate::report::year::{HeldAtEnd, ProductYear, YearMonth};
use maud::{Markup, html};

/// Width and height of a line.
const WIDE: f64 = 120.0;
const HIGH: f64 = 24.0;

/// The part about the year.
pub(super) fn years(view: &View<'_>) -> Markup {
    if view.years.is_empty() {
        return nothing("No stock and no use is on record for the last twelve months.");
    }
    let mut years: Vec<(&ProductYear, Option<f64>)> = view
        .years
        .iter()
        .map(|year| (year, short_of_target(view, year)))
        .collect();
    years.sort_by(|(a, short), (b, other)| {
        let by_target = other.unwrap_or(-1.0).total_cmp(&short.unwrap_or(-1.0));
        by_target
            .then(b.months_of_use().cmp(&a.months_of_use()))
            .then(a.product.cmp(&b.product))
    });
    let has_targets = years.iter().any(|(_, short)| short.is_some());
    let mut heads = vec![
        "Product",
        "Held, from the first record",
        "#Held now",
        "#Used in the year",
    ];
    if has_targets {
        heads.push("Target as a share of what is held");
    }
    html! {
        (table_of("Use and stock over the year", "years", &heads, &html! { tbody {
            @for (year, short) in &years { (row(view, year, *short, has_targets)) }
        } }))
        (numbers(view))
    }
}

fn row(view: &View<'_>, year: &ProductYear, short: Option<f64>, has_targets: bool) -> Markup {
    let last = year.months.last();
    html! {
        tr {
            th scope="row" data-label="Product" { (name(&year.product)) }
            td.drawn { (spark(view, year)) }
            td.number data-label="Held now" { (last.map_or(String::new(), |month| held(view, month.held))) }
            td.number data-label="Used in the year" { (used(view, year.used())) }
            @if has_targets {
                td.drawn {
                    @if let Some(short) = short { (bar(short, &format!("target is {} of what is held", share_words(short)))) }
                }
            }
        }
    }
}

/// The shop's target over what is held: more than 1 where too little is held.
fn short_of_target(view: &View<'_>, year: &ProductYear) -> Option<f64> {
    let mut targets = view.air.tables.shop.targets.iter();
    let target = targets.find(|target| {
        target.product.value == year.product && target.amount.same_kind(year.zero)
    })?;
    let HeldAtEnd::Sum(held) = year.months.last()?.held else {
        return None;
    };
    let share = target.amount.base().estimate() / held.base().estimate();
    Some(if share.is_finite() { share } else { f64::MAX })
}

/// What was held at the end of each month, from the first month on record.
fn spark(view: &View<'_>, year: &ProductYear) -> Markup {
    let first = year
        .months
        .iter()
        .position(|month| month.held != HeldAtEnd::NotOnRecord);
    let months = year.months.get(first.unwrap_or(0)..).unwrap_or(&[]);
    let value = |month: &YearMonth| match month.held {
        HeldAtEnd::Sum(amount) => Some(amount.base().estimate()),
        HeldAtEnd::NotOnRecord | HeldAtEnd::NotKnown => None,
    };
    let top = months.iter().filter_map(value).fold(0.0, f64::max);
    let step = WIDE / (count(months.len()) - 1.0).max(1.0);
    let mut path = String::new();
    let mut last = None;
    for (at, month) in months.iter().enumerate() {
        let point = value(month).filter(|_| top > 0.0);
        let point = point.map(|value| {
            (
                count(at) * step + 2.0,
                2.0 + (HIGH - 4.0) * (1.0 - value / top),
            )
        });
        if let Some((x, y)) = point {
            let sign = if last.is_none() { 'M' } else { 'L' };
            path.push_str(&format!("{sign}{} {}", px(x), px(y)));
        }
        last = point;
    }
    html! {
        svg.spark role="img" aria-label=(in_words(view, year, months)) viewBox={ "0 0 " (WIDE + 6.0) " " (HIGH) } {
            path.line d=(path) {}
            @if let Some((x, y)) = last { circle cx=(px(x)) cy=(px(y)) r="2.5" {} }
        }
    }
}

fn in_words(view: &View<'_>, year: &ProductYear, months: &[YearMonth]) -> String {
    let most = year.zero.with(
        months
            .iter()
            .fold(Exact::ZERO, |most, month| match month.held {
                HeldAtEnd::Sum(amount) if amount.base() > most => amount.base(),
                HeldAtEnd::Sum(_) | HeldAtEnd::NotOnRecord | HeldAtEnd::NotKnown => most,
            }),
    );
    let from = months.first().map_or("", |month| month.month.as_str());
    format!("Held each month from {from}, at most {}", shown(view, most))
}

fn shown(view: &View<'_>, amount: Amount) -> String {
    natural(amount, view.us)
}

fn held(view: &View<'_>, held: HeldAtEnd) -> String {
    match held {
        HeldAtEnd::Sum(amount) => shown(view, amount),
        HeldAtEnd::NotOnRecord => "not on record".into(),
        HeldAtEnd::NotKnown => "unknown".into(),
    }
}

fn used(view: &View<'_>, used: Option<Amount>) -> String {
    used.map_or_else(|| "unknown".into(), |used| natural(used, view.us))
}

/// Every number, folded away.
fn numbers(view: &View<'_>) -> Markup {
    let heads = ["Product", "Month", "#Held at its end", "#Used or mixed"];
    let told = |month: &&YearMonth| month.held != HeldAtEnd::NotOnRecord || month.is_used();
    html! {
        details.folded {
            summary { "Every month in numbers" }
            (table_of("Use and stock by product and month", "", &heads, &html! { tbody {
                @for year in &view.years {
                    @for month in year.months.iter().filter(told) {
                        tr {
                            th scope="row" { (name(&year.product)) }
                            td data-label="Month" { (month.month) }
                            td.number data-label="Held at its end" { (held(view, month.held)) }
                            td.number data-label="Used or mixed" { (used(view, month.used)) }
                        }
                    }
                }
            } }))
        }
    }
}
