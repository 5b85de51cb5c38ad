//! A mixture on the screen: what to weigh, what to pour, in which order, and what to mind.

use super::mix_view::{
    Keeps, MixBatch, MixClass, MixNeed, MixView, Recipe, kilograms, litres, some,
};
use super::screen::Screen;
use super::words::date;
use crate::check::Fit;
use crate::quantity::unit::for_shop;
use crate::quantity::{Amount, Ratio, TooFine, in_unit, natural};
use crate::trade::mixing::{evaporates, resin_by_volume, resin_by_weight};
use crate::vapour::shown::figures;

/// In what order, where flakes are dissolved: common practice, no source, but for what the brackets say.
const ORDER: [&str; 5] = [
    "Pour the alcohol into a clean glass or plastic jar with room to shake. Add the flakes a few at a time, so that they do \
     not cake. Never use bare metal: iron stains shellac (shellac mixing chart; trade practice).",
    "Close the lid. Shake or stir every half hour at first, then leave it overnight. Below 60 °F (16 °C) it takes longer. To warm \
     it, set the jar, with its lid loose, in warm water heated elsewhere. Never use a hot plate or a flame.",
    "When only wax or dirt is left, strain it into its storage jar. Flakes that are still jelly the next day have failed.",
    "Try a thin film on glass. It must be dry within 15 minutes, and hard under a fingernail the next day.",
    "Label the jar at once, as shown below. Log what went in.",
];
/// In what order, where a thick cut is let down.
const ORDER_THIN: [&str; 4] = [
    "Stir the thick cut to the bottom first. To make it clear, pour it off its wax.",
    "Measure it into a clean glass or plastic jar, never bare metal. Then pour in the alcohol and stir.",
    "Try a thin film on glass. It must be dry within 15 minutes, and hard under a fingernail the next day.",
    "Label the jar at once, as shown below. Log what went in.",
];

fn both(amount: Amount, us: bool) -> String {
    match us {
        true => format!("{} ({})", natural(amount, true), natural(amount, false)),
        false => natural(amount, false),
    }
}

fn volume(ratio: Ratio, us: bool) -> Result<String, TooFine> {
    litres(ratio).map(|amount| both(amount, us))
}

/// An estimate, three figures.
pub(super) fn rounded(ratio: Ratio) -> Result<String, TooFine> {
    Ok(figures(ratio.rounded(9)?.estimate()))
}

/// A number without a unit, to four decimals.
fn plain(ratio: Ratio) -> Result<String, TooFine> {
    Ok(ratio.rounded(4)?.digits())
}

/// The mixture on the screen.
pub fn mix_screen(view: &MixView<'_>, columns: usize) -> Result<String, TooFine> {
    let mut screen = Screen::new(columns);
    let made = litres(view.made())?;
    let head = match &view.recipe {
        Recipe::Fresh { .. } => format!("To mix {} of {}", both(made, view.us), view.product),
        Recipe::Thinned { thinning, jar } => {
            let from = jar.map_or_else(String::new, |jar| format!(" in {jar}"));
            let (from_cut, to) = (thinning.from.words(), thinning.to.words());
            format!(
                "To thin the {from_cut} cut{from} to a {to} cut: {}",
                view.product
            )
        }
    };
    screen.indented(0, 2, head);
    screen.gap();
    measures(&mut screen, view)?;
    screen.gap();
    conventions(&mut screen, view)?;
    what_it_is(&mut screen, view)?;
    for need in &view.needs {
        shelf(&mut screen, view, need);
    }
    if let Some(batch) = &view.batch {
        screen.heading("HOW MUCH YOU USE");
        screen.indented(2, 2, pace(batch, view.us));
    }
    order(&mut screen, view);
    if !view.commands.is_empty() {
        screen.heading("TO LOG IT");
        screen.indented(
            2,
            2,
            "With --log and the name of the jar, everything is logged at once. Or log each entry, with your own JAR, SIZE and PLACE:",
        );
    }
    for command in &view.commands {
        screen.indented(2, 6, command);
    }
    screen.heading("TAKE CARE");
    for note in &view.notes {
        screen.item("  * ", note);
    }
    for caution in &view.cautions {
        screen.item("  * ", format!("{}: {}", caution.title, caution.text));
    }
    Ok(screen.done())
}

fn measures(screen: &mut Screen, view: &MixView<'_>) -> Result<(), TooFine> {
    let us = view.us;
    let mut say = |what: &str, words: String| screen.item(&format!("  {what:<10}"), words);
    let spirit = &view.alcohol.name;
    match &view.recipe {
        Recipe::Fresh { mixture, .. } => {
            let flakes = both(kilograms(mixture.flakes)?, us);
            say("weigh", format!("{flakes} of {}", view.flakes));
            let alcohol = volume(mixture.alcohol, us)?;
            say("measure", format!("{alcohol} of {spirit}"));
        }
        Recipe::Thinned { thinning, jar } => {
            let from = jar.map_or_else(String::new, |jar| format!(", from {jar}"));
            let (stock, cut) = (volume(thinning.stock, us)?, thinning.from.words());
            say("take", format!("{stock} of the {cut} cut{from}"));
            let (alcohol, parts) = (volume(thinning.alcohol, us)?, plain(thinning.parts)?);
            say(
                "add",
                format!("{alcohol} of {spirit}, {parts} to 1 of the cut"),
            );
        }
    }
    say("comes to", volume(view.made(), us)?);
    Ok(())
}

fn conventions(screen: &mut Screen, view: &MixView<'_>) -> Result<(), TooFine> {
    let us = view.us;
    screen.line(
        "A cut counts pounds of flakes per US gallon of alcohol poured in, not per gallon of shellac. Dissolved resin is taken \
         to add 0.1 gal per pound (convention of the trade; the default here).",
    );
    screen.line(match &view.recipe {
        Recipe::Fresh { chart, .. } => format!(
            "Charts count by the alcohol and leave out the gain: {} of flakes to {} of alcohol make {}.",
            both(kilograms(chart.flakes)?, us),
            volume(chart.alcohol, us)?,
            volume(chart.made, us)?
        ),
        Recipe::Thinned { thinning, .. } => format!(
            "The rule of thumb leaves out the gain: {} parts of alcohol to 1, here {}. That makes a thinner {} lb cut.",
            plain(thinning.thumb_parts)?,
            volume(thinning.stock.times(thinning.thumb_parts)?, us)?,
            rounded(thinning.thumb_cut)?
        ),
    });
    Ok(())
}

fn what_it_is(screen: &mut Screen, view: &MixView<'_>) -> Result<(), TooFine> {
    screen.heading("PROPERTIES");
    let cut = view.cut();
    let by_volume = rounded(resin_by_volume(cut)?)?;
    let mut words = match &view.alcohol.density {
        Some((density, whose)) => {
            let by_weight = rounded(resin_by_weight(cut, *density)?)?;
            let voc = rounded(evaporates(cut, *density)?)?;
            vec![
                format!("resin: {by_volume} % by volume, about {by_weight} % by weight"),
                format!("VOC: about {voc} g/L, all of its alcohol, by {whose}"),
            ]
        }
        None => vec![
            format!("resin: {by_volume} % by volume"),
            format!(
                "by weight, and VOC: unknown. Record the density of {} in products.csv",
                view.alcohol.name
            ),
        ],
    };
    let classes = view.classes.iter();
    words.extend(classes.flat_map(|class| class_words(class, view.us)));
    words.push(keeping_words(view.keeps.as_ref()));
    for words in words {
        screen.indented(2, 6, words);
    }
    Ok(())
}

fn class_words(class: &MixClass<'_>, us: bool) -> Vec<String> {
    let title = match &class.class {
        Ok(title) => format!(
            "{title} ({}), by the flash point of the alcohol",
            class.pack
        ),
        Err(why) => format!("class unknown ({}): {why}", class.pack),
    };
    let mut words = vec![title];
    for (size, jars) in &class.sizes {
        let jars = match jars {
            Some(1) | None => String::new(),
            Some(many) => format!(", so you need {many} of them"),
        };
        words.push(format!(
            "largest glass or plastic container: {}{jars} ({}/{}, {}). `sandarac audit` checks each one",
            in_unit(size.most.base, for_shop(size.most.unit, us)),
            class.pack,
            size.rule,
            size.citation.clause
        ));
    }
    words
}

fn keeping_words(keeps: Option<&Keeps<'_>>) -> String {
    let Some(keeps) = keeps else {
        return "shelf life: none published for this cut. Test it before each job".into();
    };
    let Some(from) = keeps.from else {
        return "shelf life: unknown, because its stock has no date. Test it before each job"
            .into();
    };
    let mut parts = vec![format!("counted from {}", date(from))];
    parts.extend(
        keeps
            .test_from
            .map(|day| format!("test from {}", date(day))),
    );
    let last = keeps.discard_after;
    parts.extend(last.map(|day| format!("discard after {}", date(day))));
    format!(
        "shelf life: {}. A test ({}) decides, not the date ({})",
        parts.join(", "),
        keeps.test.replace('+', ", "),
        keeps.says
    )
}

fn shelf(screen: &mut Screen, view: &MixView<'_>, need: &MixNeed<'_>) {
    let us = view.us;
    screen.heading(match need.what {
        "flakes" => "FLAKES ON THE SHELF, OLDEST FIRST",
        "stock" => "THE THICK CUT",
        _ => "ALCOHOL ON THE SHELF, OLDEST FIRST",
    });
    if need.takes.is_empty() {
        screen.indented(2, 2, "none");
    }
    for (standing, taken) in &need.takes {
        let held = standing.held.map(|held| natural(held, us));
        let held = held.as_deref().unwrap_or("amount unknown");
        let lots = match standing.lots {
            [] => String::new(),
            lots => format!(", lot {}", lots.join(", ")),
        };
        let does = match (taken, &standing.fit) {
            (_, Fit::Unfit(why)) => format!("left out: {why}"),
            (Some(taken), Fit::Good) => format!("take {}", natural(*taken, us)),
            (Some(taken), Fit::TestFirst(why)) => {
                format!("take {}, but test it first: {why}", natural(*taken, us))
            }
            (None, Fit::TestFirst(why)) => format!("not needed; {why}"),
            (None, Fit::Good) if need.open => "also fits".to_string(),
            (None, Fit::Good) => "not needed".to_string(),
        };
        let (id, product) = (standing.id, standing.product);
        screen.indented(2, 6, format!("{id} ({product}{lots}), {held}: {does}"));
    }
    let words = match (need.open, need.short) {
        (true, _) => "Name the flakes with --flake, such as --flake dewaxed.".into(),
        (false, Some(short)) => format!(
            "NOT ENOUGH: {} of {} is missing.",
            natural(short, us),
            natural(need.wanted, us)
        ),
        (false, None) => "enough".to_string(),
    };
    screen.indented(2, 2, words);
}

fn pace(batch: &MixBatch, us: bool) -> String {
    let MixBatch {
        from, days, until, ..
    } = batch;
    let used = natural(batch.used, us);
    if !some(batch.used) {
        return format!(
            "None of this cut and kind was used since {} ({days} days). Mix as little as you need, and no more than three \
             months' use (shellac mixing chart).",
            date(*from)
        );
    }
    let most = match (some(batch.most), batch.over) {
        (false, _) => "so you have enough already".to_string(),
        (true, false) => format!("so mix at most {}", natural(batch.most, us)),
        (true, true) => format!(
            "so mix at most {}, less than you asked for",
            natural(batch.most, us)
        ),
    };
    format!(
        "You used {used} since {}, in {days} days. At that pace you use {} by {}, when it must be tested. You have {} already, \
         {most}.",
        date(*from),
        natural(batch.ahead, us),
        date(*until),
        natural(batch.there, us)
    )
}

fn order(screen: &mut Screen, view: &MixView<'_>) {
    screen.heading("ORDER OF WORK (common practice, no source)");
    let steps: &[&str] = match view.recipe {
        Recipe::Fresh { .. } => &ORDER,
        Recipe::Thinned { .. } => &ORDER_THIN,
    };
    let first = "Run the exhaust. Put out every flame and pilot light. Wear gloves and glasses.";
    for (at, step) in std::iter::once(&first).chain(steps).enumerate() {
        screen.item(&format!("  {}. ", at + 1), step);
    }
    let mut label = vec![view.product.clone()];
    if !view.kind_known {
        label.push("kind of flakes".into());
    }
    label.push(match view.lots().as_slice() {
        [] => "lot of flakes".to_string(),
        lots => format!("lot {}", lots.join(", ")),
    });
    label.push(match &view.alcohol.methanol {
        Some(most) => format!("{} (methanol up to {most})", view.alcohol.name),
        None => view.alcohol.name.clone(),
    });
    label.push(format!("mixed {}, by (name)", date(view.on)));
    let test = view.keeps.as_ref().and_then(|keeps| keeps.test_from);
    label.extend(test.map(|day| format!("test from {}", date(day))));
    label.push("DANGER, highly flammable liquid and vapor".into());
    screen.indented(2, 6, format!("label: {}", label.join("; ")));
}
