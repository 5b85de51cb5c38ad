//! A mixture as JSON. Amounts are in base units, L and kg; what a density enters into is an estimate and says so.

use super::super::earlier::FORMAT;
use super::super::mix::rounded;
use super::super::mix_view::{
    Keeps, MixBatch, MixClass, MixNeed, MixView, Recipe, kilograms, litres,
};
use super::object::{amount, estimate, list, object, text, to_text, value};
use crate::check::{Fit, Standing};
use crate::quantity::{Amount, Ratio, TooFine};
use crate::trade::mixing::{Mixture, Thinning, evaporates, resin_by_volume, resin_by_weight};
use serde::Serialize;

/// The mixture as JSON text, one object, ending with a line break; the error is in words.
pub fn mix_json(view: &MixView<'_>) -> Result<String, String> {
    let report =
        report(view).map_err(|_| "the amounts have more digits than there are".to_string())?;
    to_text(&report).map_err(|fault| fault.to_string())
}

fn volume(ratio: Ratio) -> Result<impl Serialize, TooFine> {
    litres(ratio).map(amount)
}

fn decimals(ratio: Ratio) -> Result<String, TooFine> {
    Ok(ratio.rounded(6)?.digits())
}

fn about(ratio: Ratio, unit: &'static str) -> Result<impl Serialize, TooFine> {
    Ok(estimate(rounded(ratio)?, unit))
}

fn report<'a>(view: &'a MixView<'a>) -> Result<impl Serialize, TooFine> {
    let (cut, density) = (view.cut(), view.alcohol.density.as_ref());
    let by_weight = density.map(|(density, _)| about(resin_by_weight(cut, *density)?, "%"));
    let voc = density.map(|(density, _)| about(evaporates(cut, *density)?, "g/L"));
    let (fresh, by_chart, thinned) = match &view.recipe {
        Recipe::Fresh { mixture, chart } => (Some(fresh(mixture)?), Some(fresh(chart)?), None),
        Recipe::Thinned { thinning, jar } => (None, None, Some(thinned(thinning, *jar)?)),
    };
    Ok(object("format", FORMAT)
        .and("on", view.on.to_string())
        .and("shop", view.shop)
        .and("product", &view.product)
        .and("alcohol", &view.alcohol.name)
        .and("methanol_up_to", view.alcohol.methanol.as_deref())
        .and("fresh", fresh)
        .and("by_chart", by_chart)
        .and("thinned", thinned)
        .and("resin_by_volume", about(resin_by_volume(cut)?, "%")?)
        .and("resin_by_weight", by_weight.transpose()?)
        .and("voc", voc.transpose()?)
        .and("classes", list(|| view.classes.iter().map(class)))
        .and("keeps", view.keeps.as_ref().map(keeps))
        .and("shelf", list(|| view.needs.iter().map(need)))
        .and("batch", view.batch.as_ref().map(batch))
        .and(
            "pours",
            list(|| {
                let pours = view.pours("").into_iter();
                pours.map(|it| object("container", it.container).and("amount", it.amount))
            }),
        )
        .and("notes", &view.notes)
        .and(
            "cautions",
            list(|| view.cautions.iter().map(|caution| &caution.name)),
        ))
}

fn fresh(mixture: &Mixture) -> Result<impl Serialize + use<>, TooFine> {
    Ok(object("cut", mixture.cut.pounds().digits())
        .and("flakes", amount(kilograms(mixture.flakes)?))
        .and("alcohol", volume(mixture.alcohol)?)
        .and("makes", volume(mixture.made)?))
}

fn thinned<'a>(
    thinning: &Thinning,
    jar: Option<&'a str>,
) -> Result<impl Serialize + use<'a>, TooFine> {
    let thumb = thinning.stock.times(thinning.thumb_parts)?;
    let thumb = object("parts", decimals(thinning.thumb_parts)?)
        .and("alcohol", volume(thumb)?)
        .and("cut", decimals(thinning.thumb_cut)?);
    Ok(object("container", jar)
        .and("from_cut", thinning.from.pounds().digits())
        .and("to_cut", thinning.to.pounds().digits())
        .and("stock", volume(thinning.stock)?)
        .and("alcohol", volume(thinning.alcohol)?)
        .and("makes", volume(thinning.made)?)
        .and("parts", decimals(thinning.parts)?)
        .and("rule_of_thumb", thumb))
}

fn class<'a>(class: &'a MixClass<'a>) -> impl Serialize {
    let sizes = || {
        class.sizes.iter().map(|(size, vessels)| {
            object("rule", size.rule)
                .and("most", value(size.most.base.digits(), "L"))
                .and("clause", &size.citation.clause)
                .and("vessels", vessels)
        })
    };
    object("pack", class.pack)
        .and("class", class.class.as_ref().ok())
        .and("unknown", class.class.as_ref().err())
        .and("glass_or_plastic", list(sizes))
}

fn keeps<'a>(keeps: &'a Keeps<'a>) -> impl Serialize {
    object("from", text(keeps.from))
        .and("test_from", text(keeps.test_from))
        .and("discard_after", text(keeps.discard_after))
        .and("test", keeps.test)
        .and("source", &keeps.says)
}

fn need<'a>(need: &'a MixNeed<'a>) -> impl Serialize {
    let containers = || {
        need.takes
            .iter()
            .map(|(standing, take)| container(standing, *take))
    };
    object("what", need.what)
        .and("wanted", amount(need.wanted))
        .and("short", need.short.filter(|_| !need.open).map(amount))
        .and("not_chosen", need.open)
        .and("containers", list(containers))
}

fn container<'a>(standing: &'a Standing<'a>, take: Option<Amount>) -> impl Serialize {
    let (fit, why) = match &standing.fit {
        Fit::Good => ("good", None),
        Fit::TestFirst(why) => ("test-first", Some(why)),
        Fit::Unfit(why) => ("unfit", Some(why)),
    };
    object("container", standing.id)
        .and("product", standing.product)
        .and("lots", standing.lots)
        .and("held", standing.held.map(amount))
        .and("fit", fit)
        .and("why", why)
        .and("take", take.map(amount))
}

fn batch(batch: &MixBatch) -> impl Serialize {
    object("used", amount(batch.used))
        .and("from", batch.from.to_string())
        .and("days", batch.days)
        .and("until", batch.until.to_string())
        .and("will_use", amount(batch.ahead))
        .and("there", amount(batch.there))
        .and("most", amount(batch.most))
        .and("over", batch.over)
}
