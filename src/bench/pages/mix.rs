//! What to weigh and pour for a cut of shellac, whether the shelf has it, and the entry that logs it.

use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{ended, page, problem_words};
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::check::Fit;
use crate::quantity::{Amount, Ratio, natural};
use crate::record::{ProductKind, What};
use crate::report::words::date;
use crate::report::{
    MixNeed, MixRequest, MixView, Recipe, kilograms, litres, mix_asked, mix_too_fine, mix_view,
};
use crate::text::clean;
use crate::trade::Flake;
use maud::{Markup, html};

/// What shellac may be kept in; bare metal stains it.
const VESSELS: [&str; 3] = ["glass", "plastic", "approved-plastic"];

/// The page: the form, and the answer where it is filled in.
pub fn mix(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let asked = !call.text("make").is_empty() || !call.text("from").is_empty();
    let answer = match asked {
        false => html! {},
        true => worked_out(call, &now).unwrap_or_else(|problem| problem_words(&problem)),
    };
    let main = html! {
        (from_flakes(call, &now))
        (let_down(call, &now))
        (answer)
    };
    Ok(Reply::page(page(call, &now, "Mix", &main)))
}

fn from_flakes(call: &Call, now: &BenchNow) -> Markup {
    let chosen = |text: &str| call.text("flake") == text;
    html! {
        form.entry method="get" action="/mix" {
            label.field { span { "Cut, pounds of flakes to a gallon of alcohol" } input name="cut" inputmode="decimal" value=(clean(call.text("cut"))) autocomplete="off" required; }
            label.field { span { "Make, such as 1 qt or 500 mL" } input name="make" value=(clean(call.text("make"))) autocomplete="off" required; }
            label.field { span { "Flakes" }
                select name="flake" {
                    option value="" { "Any" }
                    @for (word, _) in Flake::WORDS { option value=(word) selected[chosen(word)] { (word) } }
                    @for product in products(now, ProductKind::Flakes) { option value=(product) selected[chosen(product)] { (clean(product)) } }
                }
            }
            button type="submit" { "Work it out" }
        }
    }
}

fn let_down(call: &Call, now: &BenchNow) -> Markup {
    let jars = now
        .rows
        .iter()
        .filter(|row| kind(now, &row.product) == Some(ProductKind::Shellac));
    html! {
        details.more open[!call.text("from").is_empty()] {
            summary { "Thin a thick cut" }
            form.entry method="get" action="/mix" {
                label.field { span { "Which jar" } select name="from" required {
                    option value="" { "Choose" }
                    @for row in jars { option value=(row.container) selected[row.container == call.text("from")] { (clean(&row.container)) " – " (clean(&row.product)) } }
                } }
                label.field { span { "To which cut" } input name="to" inputmode="decimal" value=(clean(call.text("to"))) autocomplete="off" required; }
                label.field { span { "Make; empty for the whole jar" } input name="make" autocomplete="off"; }
                button type="submit" { "Work it out" }
            }
        }
    }
}

fn kind(now: &BenchNow, product: &str) -> Option<ProductKind> {
    now.shop.tables.kind_of(product)
}

fn products(now: &BenchNow, of: ProductKind) -> Vec<&str> {
    let rows = now.rows.iter().map(|row| row.product.as_str());
    let mut list: Vec<&str> = rows
        .filter(|product| kind(now, product) == Some(of))
        .collect();
    list.sort_unstable();
    list.dedup();
    list
}

fn worked_out(call: &Call, now: &BenchNow) -> Result<Markup, BenchProblem> {
    let given = |name: &'static str| Some(call.text(name)).filter(|text| !text.is_empty());
    let request = MixRequest {
        cut: given("cut"),
        from: given("from"),
        to_cut: given("to"),
        make: given("make"),
        flake: given("flake"),
        alcohol: given("alcohol").unwrap_or("denatured alcohol"),
    };
    let asked = mix_asked(&request, &now.shop)?;
    let audit = now.shop.audit(now.at.day())?;
    let view = mix_view(&audit, &now.cautions, &asked, true)?;
    let us = now.us();
    Ok(html! {
        section #answer {
            h2 { (clean(&view.product)) }
            ul.effect { @for line in recipe(&view, us)? { li { (line) } } }
            @for need in &view.needs { (shelf(need, us)) }
            (used_up(&view, us))
            @if let Some(keeps) = &view.keeps {
                @if let Some(day) = keeps.discard_after { p { "Discard it after " (date(day)) "." } }
                @if let Some(day) = keeps.test_from { p { "Test it from " (date(day)) " on." } }
            }
            @for note in view.untested() { p.warning { (ended(&note)) } }
        }
        @if call.may_log() { (mixed(&view, now)) }
        @for caution in &view.cautions { details { summary { (clean(&caution.title)) } p { (clean(&caution.text)) } } }
    })
}

fn shown(
    ratio: Ratio,
    make: fn(Ratio) -> Result<Amount, crate::quantity::TooFine>,
    us: bool,
) -> Result<String, BenchProblem> {
    let amount = make(ratio).map_err(mix_too_fine)?;
    Ok(natural(amount, us))
}

/// What to weigh and pour, step by step.
fn recipe(view: &MixView<'_>, us: bool) -> Result<Vec<String>, BenchProblem> {
    let alcohol = clean(&view.alcohol.name);
    Ok(match &view.recipe {
        Recipe::Fresh { mixture, .. } => vec![
            format!(
                "Weigh {} of {}.",
                shown(mixture.flakes, kilograms, us)?,
                clean(&view.flakes)
            ),
            format!("Pour {} of {alcohol}.", shown(mixture.alcohol, litres, us)?),
            format!("It makes {}.", shown(mixture.made, litres, us)?),
        ],
        Recipe::Thinned { thinning, jar } => vec![
            format!(
                "Pour {} from {}.",
                shown(thinning.stock, litres, us)?,
                clean(jar.unwrap_or("the thick cut"))
            ),
            format!("Add {} of {alcohol}.", shown(thinning.alcohol, litres, us)?),
            format!("It makes {}.", shown(thinning.made, litres, us)?),
        ],
    })
}

/// What the shelf has of one thing.
fn shelf(need: &MixNeed<'_>, us: bool) -> Markup {
    let unfit = |fit: &Fit| match fit {
        Fit::Unfit(why) => Some(why.clone()),
        Fit::Good | Fit::TestFirst(_) => None,
    };
    html! {
        h3 { "From the shelf: " (need.what) ", " (natural(need.wanted, us)) }
        ul.things {
            @for (standing, taken) in &need.takes {
                li { p {
                    bdi { (clean(standing.id)) } ", " bdi { (clean(standing.product)) }
                    @if let Some(taken) = taken { ": take " (natural(*taken, us)) }
                    @if let Some(why) = unfit(&standing.fit) { ": not usable, " (clean(&why)) }
                } }
            }
        }
        @if let Some(short) = need.short { p.warning { "The shelf is short by " (natural(short, us)) "." } }
        @if need.open { p.warning { "There is more than one product. Choose the flakes above." } }
    }
}

/// How much will be used before it must be tested.
fn used_up(view: &MixView<'_>, us: bool) -> Markup {
    html! {
        @if let Some(batch) = &view.batch {
            p class=[batch.over.then_some("warning")] {
                "At the pace of the last " (batch.days) " days, about " (natural(batch.ahead, us)) " will be used by "
                (date(batch.until)) ", and " (natural(batch.there, us)) " is there. Mix at most " (natural(batch.most, us)) "."
            }
        }
    }
}

/// The form that logs it: what is poured is settled here, so that sending it again says the same.
fn mixed(view: &MixView<'_>, now: &BenchNow) -> Markup {
    let pours = view.pours("jar");
    let jars = now
        .shop
        .tables
        .containers
        .iter()
        .filter(|row| row.product == view.product);
    let hidden = |back: &str| {
        html! {
            input type="hidden" name="what" value=(What::Mix.word());
            input type="hidden" name="back" value=(back);
            @for pour in &pours { input type="hidden" name="pour" value={ (pour.amount) " from " (pour.container) }; }
        }
    };
    html! {
        @if !pours.is_empty() {
            section {
                h2 { "Mixed" }
                @for row in jars {
                    form.entry method="get" action="/entry" {
                        (hidden(&format!("/container/{}", url(&row.id))))
                        button type="submit" name="into" value=(row.id) { span { "Into " bdi { (clean(&row.id)) } ", which holds the same" } }
                    }
                }
                details.more {
                    summary { "Into a new jar" }
                    form.entry method="get" action="/entry" {
                        (hidden("/containers"))
                        input type="hidden" name="product" value=(view.product);
                        label.field { span { "Number of the new jar" } input name="into" autocomplete="off" required; }
                        label.field { span { "Made of" } select name="vessel" { @for vessel in VESSELS { option { (vessel) } } } }
                        label.field { span { "Holds when full, such as 1 qt" } input name="capacity" autocomplete="off" required; }
                        label.field { span { "Place" } select name="jar-place" { @for place in &now.shop.tables.places { option value=(place.id) { (clean(&place.id)) } } } }
                        button type="submit" { "Next" }
                    }
                }
            }
        }
    }
}
