//! Use and stock over twelve months: one small picture a product, then the numbers.

use crate::quantity::{Amount, Exact, natural};
use crate::report::html::{name, nothing, table};
use crate::report::lines::{Series, lines};
use crate::report::view::View;
use crate::report::wrap::many;
use crate::report::year::{HeldAtEnd, ProductYear, YearMonth};
use maud::{Markup, PreEscaped, html};

/// Most pictures; the products with the most months of use have one.
const MOST: usize = 24;

/// The part about the year.
pub(super) fn years(view: &View<'_>) -> Markup {
    let mut drawn: Vec<&ProductYear> = view
        .years
        .iter()
        .filter(|year| year.months_of_use() > 0)
        .collect();
    drawn.sort_by_key(|year| std::cmp::Reverse(year.months_of_use()));
    let left = drawn.len().saturating_sub(MOST);
    drawn.truncate(MOST);
    drawn.sort_by(|a, b| a.product.cmp(&b.product));
    html! {
        @if view.years.is_empty() {
            (nothing("Nothing was held or used in the last twelve months, as far as the files tell."))
        } @else {
            p.faint {
                "Full line with dots: held when the month ended. Broken line with squares: used in the month, mixing included. A \
                 line begins where the inventory begins."
            }
            div.small {
                @for (at, year) in drawn.iter().enumerate() { (picture(view, at, year)) }
            }
            @if left > 0 { p.faint { (many(left, "more product")) " in use, with fewer months of use, only in the table." } }
            (numbers(view))
        }
    }
}

fn picture(view: &View<'_>, at: usize, year: &ProductYear) -> Markup {
    let most = natural(year.most(), view.us);
    let Some((_, symbol)) = most.split_once(' ') else {
        return html! {};
    };
    let months: Vec<&str> = year
        .months
        .iter()
        .map(|month| month.month.as_str())
        .collect();
    let held = year.months.iter().map(|month| match month.held {
        HeldAtEnd::Sum(amount) => Some(amount.base()),
        HeldAtEnd::NotOnRecord | HeldAtEnd::NotKnown => None,
    });
    let series = Series {
        months: &months,
        held: held.collect(),
        used: year.months.iter().map(used).collect(),
        symbol,
    };
    let Some(drawn) = lines(&series) else {
        return html! {};
    };
    let (words, told) = (format!("year-{at}"), format!("year-{at}-told"));
    html! {
        figure aria-labelledby=(words) {
            figcaption { h3 id=(words) { (name(&year.product)) } }
            svg.plot role="img" aria-labelledby={ (words) " " (told) } viewBox=(drawn.view) {
                desc id=(told) { (in_words(view, year)) }
                (PreEscaped(&drawn.inner))
            }
        }
    }
}

/// The picture in a sentence.
fn in_words(view: &View<'_>, year: &ProductYear) -> String {
    let shown = |amount: Amount| natural(amount, view.us);
    let last = year.months.last();
    let now = last.map_or(String::new(), |month| held(view, month.held));
    let used = year.months.iter().max_by_key(|month| month.used.base());
    let most = used.map_or(String::new(), |month| {
        format!("; most used in {}: {}", month.month, shown(month.used))
    });
    format!(
        "Held and used by month. Held now: {now}; used in {}{most}. The table below has every month.",
        many(year.months_of_use(), "month")
    )
}

/// What was used in a month; nothing said of a month before the inventory begins.
fn used(month: &YearMonth) -> Option<Exact> {
    let used = month.used.base();
    (month.held != HeldAtEnd::NotOnRecord || !used.is_zero()).then_some(used)
}

fn held(view: &View<'_>, held: HeldAtEnd) -> String {
    match held {
        HeldAtEnd::Sum(amount) => natural(amount, view.us),
        HeldAtEnd::NotOnRecord => "not on record".into(),
        HeldAtEnd::NotKnown => "not known".into(),
    }
}

/// Every number, folded away.
fn numbers(view: &View<'_>) -> Markup {
    let heads = ["Product", "Month", "#Held at its end", "#Used or mixed"];
    html! {
        details.folded {
            summary { "Every month in numbers" }
            (table("Use and stock by product and month", &heads, &html! { tbody {
                @for year in &view.years {
                    @for month in year.months.iter().filter(|month| used(month).is_some()) {
                        tr {
                            th scope="row" { (name(&year.product)) }
                            td { (month.month) }
                            td.number { (held(view, month.held)) }
                            td.number { (natural(month.used, view.us)) }
                        }
                    }
                }
            } }))
        }
    }
}
