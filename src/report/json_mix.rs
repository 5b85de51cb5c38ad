//! A mixture as JSON. Amounts are in house units, L and kg; what a density enters into is an estimate and says so.

use super::json::{FORMAT, Value};
use super::mix::about;
use super::mix_view::{MixView, Need, Recipe, kilograms, litres};
use crate::check::Fit;
use crate::quantity::{Amount, Day, Ratio, TooFine};
use crate::trade::mixing::{Mixture, evaporates, resin_by_volume, resin_by_weight};
use serde::Serialize;

#[derive(Serialize)]
struct About {
    value: String,
    unit: &'static str,
    about: bool,
}

#[derive(Serialize)]
struct MixtureOut {
    cut: String,
    flakes: Value,
    alcohol: Value,
    makes: Value,
}

#[derive(Serialize)]
struct ThumbOut {
    parts: String,
    alcohol: Value,
    cut: String,
}

#[derive(Serialize)]
struct ThinOut<'a> {
    container: Option<&'a str>,
    from_cut: String,
    to_cut: String,
    stock: Value,
    alcohol: Value,
    makes: Value,
    parts: String,
    rule_of_thumb: ThumbOut,
}

#[derive(Serialize)]
struct SizeOut<'a> {
    rule: &'a str,
    most: Value,
    clause: &'a str,
    vessels: Option<i64>,
}

#[derive(Serialize)]
struct ClassOut<'a> {
    pack: &'a str,
    class: Option<&'a str>,
    unknown: Option<&'a str>,
    glass_or_plastic: Vec<SizeOut<'a>>,
}

#[derive(Serialize)]
struct KeepsOut<'a> {
    from: Option<String>,
    test_from: Option<String>,
    discard_after: Option<String>,
    test: &'a str,
    source: &'a str,
}

#[derive(Serialize)]
struct StandingOut<'a> {
    container: &'a str,
    product: &'a str,
    lots: &'a [String],
    held: Option<Value>,
    fit: &'static str,
    why: Option<&'a str>,
    take: Option<Value>,
}

#[derive(Serialize)]
struct NeedOut<'a> {
    what: &'static str,
    wanted: Value,
    short: Option<Value>,
    not_chosen: bool,
    containers: Vec<StandingOut<'a>>,
}

#[derive(Serialize)]
struct BatchOut {
    used: Value,
    from: String,
    days: i64,
    until: String,
    will_use: Value,
    there: Value,
    most: Value,
    over: bool,
}

#[derive(Serialize)]
struct PourOut {
    container: String,
    amount: String,
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    on: String,
    shop: Option<&'a str>,
    product: &'a str,
    alcohol: &'a str,
    methanol_up_to: Option<&'a str>,
    fresh: Option<MixtureOut>,
    by_chart: Option<MixtureOut>,
    thinned: Option<ThinOut<'a>>,
    resin_by_volume: About,
    resin_by_weight: Option<About>,
    voc: Option<About>,
    classes: Vec<ClassOut<'a>>,
    keeps: Option<KeepsOut<'a>>,
    shelf: Vec<NeedOut<'a>>,
    batch: Option<BatchOut>,
    pours: Vec<PourOut>,
    notes: &'a [String],
    cautions: Vec<&'a str>,
}

fn value(amount: Amount) -> Value {
    Value {
        value: amount.base().digits(),
        unit: match amount {
            Amount::Volume(_) => "L",
            Amount::Mass(_) => "kg",
            Amount::Pieces(_) => "pcs",
        },
    }
}

fn volume(ratio: Ratio) -> Result<Value, TooFine> {
    litres(ratio).map(value)
}

fn decimals(ratio: Ratio) -> Result<String, TooFine> {
    Ok(ratio.rounded(6)?.digits())
}

fn estimate(ratio: Ratio, unit: &'static str) -> Result<About, TooFine> {
    Ok(About {
        value: about(ratio)?,
        unit,
        about: true,
    })
}

/// The mixture as JSON text, one object, ending with a line break; the error is in words.
pub fn mix_json(view: &MixView<'_>) -> Result<String, String> {
    let report =
        report(view).map_err(|_| "the amounts have more digits than there are".to_string())?;
    let text = serde_json::to_string_pretty(&report).map_err(|fault| fault.to_string())?;
    Ok(text + "\n")
}

fn report<'a>(view: &'a MixView<'a>) -> Result<Report<'a>, TooFine> {
    let (cut, density) = (view.cut(), view.spirit.density.as_ref());
    let (fresh, by_chart, thinned) = recipe(view)?;
    let by_weight = density.map(|(density, _)| resin_by_weight(cut, *density));
    let voc = density.map(|(density, _)| evaporates(cut, *density));
    Ok(Report {
        format: FORMAT,
        on: view.on.to_string(),
        shop: view.shop,
        product: &view.product,
        alcohol: &view.spirit.name,
        methanol_up_to: view.spirit.methanol.as_deref(),
        fresh,
        by_chart,
        thinned,
        resin_by_volume: estimate(resin_by_volume(cut)?, "%")?,
        resin_by_weight: by_weight
            .transpose()?
            .map(|w| estimate(w, "%"))
            .transpose()?,
        voc: voc
            .transpose()?
            .map(|voc| estimate(voc, "g/L"))
            .transpose()?,
        classes: view.classes.iter().map(class).collect(),
        keeps: keeps(view),
        shelf: view.needs.iter().map(need).collect(),
        batch: batch(view),
        pours: pours(view),
        notes: &view.notes,
        cautions: view
            .cautions
            .iter()
            .map(|caution| caution.name.as_str())
            .collect(),
    })
}

type Recipes<'a> = (Option<MixtureOut>, Option<MixtureOut>, Option<ThinOut<'a>>);

fn recipe<'a>(view: &MixView<'a>) -> Result<Recipes<'a>, TooFine> {
    Ok(match &view.recipe {
        Recipe::Fresh { mixture, chart } => {
            (Some(mixture_out(mixture)?), Some(mixture_out(chart)?), None)
        }
        Recipe::Thinned { thinning, jar } => {
            let thumb = thinning.stock.times(thinning.thumb_parts)?;
            let out = ThinOut {
                container: *jar,
                from_cut: thinning.from.pounds().digits(),
                to_cut: thinning.to.pounds().digits(),
                stock: volume(thinning.stock)?,
                alcohol: volume(thinning.alcohol)?,
                makes: volume(thinning.made)?,
                parts: decimals(thinning.parts)?,
                rule_of_thumb: ThumbOut {
                    parts: decimals(thinning.thumb_parts)?,
                    alcohol: volume(thumb)?,
                    cut: decimals(thinning.thumb_cut)?,
                },
            };
            (None, None, Some(out))
        }
    })
}

fn mixture_out(mixture: &Mixture) -> Result<MixtureOut, TooFine> {
    Ok(MixtureOut {
        cut: mixture.cut.pounds().digits(),
        flakes: value(kilograms(mixture.flakes)?),
        alcohol: volume(mixture.alcohol)?,
        makes: volume(mixture.made)?,
    })
}

fn class<'a>(class: &'a super::mix_view::MixClass<'a>) -> ClassOut<'a> {
    let sizes = class.sizes.iter().map(|(size, vessels)| SizeOut {
        rule: size.rule,
        most: Value {
            value: size.most.base.digits(),
            unit: "L",
        },
        clause: &size.citation.clause,
        vessels: *vessels,
    });
    ClassOut {
        pack: class.pack,
        class: class.class.as_ref().ok().copied(),
        unknown: class.class.as_ref().err().map(String::as_str),
        glass_or_plastic: sizes.collect(),
    }
}

fn keeps<'a>(view: &'a MixView<'a>) -> Option<KeepsOut<'a>> {
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    view.keeps.as_ref().map(|keeps| KeepsOut {
        from: day(keeps.from),
        test_from: day(keeps.test_from),
        discard_after: day(keeps.discard_after),
        test: keeps.test,
        source: &keeps.says,
    })
}

fn need<'a>(need: &'a Need<'a>) -> NeedOut<'a> {
    let containers = need.takes.iter().map(|(standing, take)| {
        let (fit, why) = match &standing.fit {
            Fit::Good => ("good", None),
            Fit::TestFirst(why) => ("test-first", Some(why.as_str())),
            Fit::Unfit(why) => ("unfit", Some(why.as_str())),
        };
        StandingOut {
            container: standing.id,
            product: standing.product,
            lots: standing.lots,
            held: standing.held.map(value),
            fit,
            why,
            take: take.map(value),
        }
    });
    NeedOut {
        what: need.what,
        wanted: value(need.wanted),
        short: need.short.filter(|_| !need.open).map(value),
        not_chosen: need.open,
        containers: containers.collect(),
    }
}

fn batch(view: &MixView<'_>) -> Option<BatchOut> {
    view.batch.as_ref().map(|batch| BatchOut {
        used: value(batch.used),
        from: batch.from.to_string(),
        days: batch.days,
        until: batch.until.to_string(),
        will_use: value(batch.ahead),
        there: value(batch.there),
        most: value(batch.most),
        over: batch.over,
    })
}

fn pours(view: &MixView<'_>) -> Vec<PourOut> {
    let pours = view.pours("").into_iter().map(|pour| PourOut {
        container: pour.container,
        amount: pour.amount,
    });
    pours.collect()
}
