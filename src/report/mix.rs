//! A mixture on the screen: what to weigh, what to pour, in which order, and what to mind.

use super::air::{heading, line};
use super::mix_view::{Batch, Keeps, MixClass, MixView, Need, Recipe, kilograms, litres, some};
use crate::check::Fit;
use crate::quantity::{Amount, Ratio, TooFine, natural};
use crate::trade::mixing::{Mixture, evaporates, resin_by_volume, resin_by_weight};
use crate::vapour::shown::figures;

/// In what order, where flakes are dissolved: common practice, no source, but for what the brackets say.
const ORDER: [&str; 5] = [
    "Pour the alcohol into a clean glass or plastic jar with room to shake, then the flakes, a few at a time, so that they \
     do not cake. Never into bare metal: iron stains shellac (shellac mixing chart; trade practice).",
    "Close the lid and shake or stir every half hour at first; then leave it over night. Below 60 F it takes longer. If it \
     must be warmed, stand the jar with its lid loose in warm water that was heated elsewhere: never on a hotplate, \
     never near a flame.",
    "When nothing but wax or dirt is left, strain it into the jar it will stand in. Flakes that are still jelly or ghosts \
     the next day have failed.",
    "Try a thin film on glass: dry within 15 minutes, and hard under a fingernail the next day.",
    "Label the jar at once, as below, and log what went in.",
];
/// In what order, where a thick cut is let down.
const ORDER_THIN: [&str; 4] = [
    "Stir the thick cut to the bottom first; decant it from its wax if it is to be clear.",
    "Measure it into a clean glass or plastic jar, never into bare metal, then pour in the alcohol and stir.",
    "Try a thin film on glass: dry within 15 minutes, and hard under a fingernail the next day.",
    "Label the jar at once, as below, and log what went in.",
];

fn both(amount: Amount, us: bool) -> String {
    format!("{} ({})", natural(amount, us), natural(amount, !us))
}

fn volume(ratio: Ratio, us: bool) -> Result<String, TooFine> {
    litres(ratio).map(|amount| both(amount, us))
}

/// An estimate, three figures.
pub(super) fn about(ratio: Ratio) -> Result<String, TooFine> {
    Ok(figures(ratio.rounded(9)?.estimate()))
}

/// A number without a unit, to four decimals.
fn plain(ratio: Ratio) -> Result<String, TooFine> {
    Ok(ratio.rounded(4)?.digits())
}

/// The mixture on the screen.
pub fn mix_screen(view: &MixView<'_>, columns: usize) -> Result<String, TooFine> {
    let mut text = String::new();
    let made = litres(view.made())?;
    let head = match &view.recipe {
        Recipe::Fresh { .. } => format!("To mix {} of {}", both(made, view.us), view.product),
        Recipe::Thinned { thinning, jar } => {
            let from = jar.map_or_else(String::new, |jar| format!(" in {jar}"));
            let (from_cut, to) = (thinning.from.words(), thinning.to.words());
            format!(
                "To let the {from_cut} cut{from} down to a {to} cut: {}",
                view.product
            )
        }
    };
    line(&mut text, &head, columns, "", "  ");
    text.push('\n');
    measures(&mut text, view, columns)?;
    text.push('\n');
    conventions(&mut text, view, columns)?;
    what_it_is(&mut text, view, columns)?;
    for need in &view.needs {
        shelf(&mut text, view, need, columns);
    }
    if let Some(batch) = &view.batch {
        heading(&mut text, "HOW MUCH OF IT YOU USE", columns);
        line(&mut text, &pace(batch, view.us), columns, "  ", "  ");
    }
    order(&mut text, view, columns);
    if !view.commands.is_empty() {
        heading(&mut text, "TO LOG IT", columns);
        let words = "With `--log` and the name of the jar all of it is written at once; or entry by entry, with your own words \
                     for JAR, SIZE and PLACE:";
        line(&mut text, words, columns, "  ", "  ");
        for command in &view.commands {
            line(&mut text, command, columns, "  ", "      ");
        }
    }
    heading(&mut text, "MIND", columns);
    let notes = view.notes.iter().map(String::as_str);
    for note in notes {
        line(&mut text, note, columns, "  * ", "    ");
    }
    for caution in &view.cautions {
        let words = format!("{}: {}", caution.title, caution.text);
        line(&mut text, &words, columns, "  * ", "    ");
    }
    Ok(text)
}

fn measures(text: &mut String, view: &MixView<'_>, columns: usize) -> Result<(), TooFine> {
    let us = view.us;
    let mut say = |what: &str, words: String| {
        line(
            text,
            &words,
            columns,
            &format!("  {what:<10}"),
            &" ".repeat(12),
        );
    };
    let spirit = &view.spirit.name;
    match &view.recipe {
        Recipe::Fresh { mixture, .. } => {
            let flakes = both(kilograms(mixture.flakes)?, us);
            say("weigh", format!("{flakes} of {}", view.flakes));
            say(
                "measure",
                format!("{} of {spirit}", volume(mixture.alcohol, us)?),
            );
            say("comes to", volume(mixture.made, us)?);
        }
        Recipe::Thinned { thinning, jar } => {
            let from = jar.map_or_else(String::new, |jar| format!(", from {jar}"));
            let stock = volume(thinning.stock, us)?;
            say(
                "take",
                format!("{stock} of the {} cut{from}", thinning.from.words()),
            );
            let parts = plain(thinning.parts)?;
            let alcohol = volume(thinning.alcohol, us)?;
            say(
                "add",
                format!("{alcohol} of {spirit}, {parts} to 1 of the cut"),
            );
            say("comes to", volume(thinning.made, us)?);
        }
    }
    Ok(())
}

fn conventions(text: &mut String, view: &MixView<'_>, columns: usize) -> Result<(), TooFine> {
    let us = view.us;
    let first = "A cut counts pounds of flakes to a US gallon of the alcohol poured in, not of what it comes to. Dissolved \
                 resin is taken to add 0.1 gal a pound (convention of the trade; the default here).";
    line(text, first, columns, "", "");
    let second = match &view.recipe {
        Recipe::Fresh { chart, .. } => {
            let Mixture {
                flakes,
                alcohol,
                made,
                ..
            } = chart;
            format!(
                "Charts count by the alcohol and leave the gain out: {} of flakes to {} of alcohol, which come to {}.",
                both(kilograms(*flakes)?, us),
                volume(*alcohol, us)?,
                volume(*made, us)?
            )
        }
        Recipe::Thinned { thinning, .. } => format!(
            "The rule of thumb leaves the gain out: {} parts of alcohol to 1, here {}, which comes out thinner than asked, \
             at a {} lb cut.",
            plain(thinning.thumb_parts)?,
            volume(thinning.stock.times(thinning.thumb_parts)?, us)?,
            about(thinning.thumb_cut)?
        ),
    };
    line(text, &second, columns, "", "");
    Ok(())
}

fn what_it_is(text: &mut String, view: &MixView<'_>, columns: usize) -> Result<(), TooFine> {
    heading(text, "WHAT IT IS", columns);
    let mut say = |words: &str| line(text, words, columns, "  ", "      ");
    let cut = view.cut();
    let by_volume = about(resin_by_volume(cut)?)?;
    match &view.spirit.density {
        Some((density, whose)) => {
            let by_weight = about(resin_by_weight(cut, *density)?)?;
            let voc = about(evaporates(cut, *density)?)?;
            say(&format!(
                "resin: {by_volume} % by volume, about {by_weight} % by weight"
            ));
            say(&format!(
                "evaporates (VOC): about {voc} g/L, all of its alcohol; taken at {whose}"
            ));
        }
        None => {
            say(&format!("resin: {by_volume} % by volume"));
            say(&format!(
                "by weight, and VOC: not known without the density of {}; give it in products.csv",
                view.spirit.name
            ));
        }
    }
    for class in &view.classes {
        for words in class_words(class) {
            say(&words);
        }
    }
    for words in keeping_words(view.keeps.as_ref()) {
        say(&words);
    }
    Ok(())
}

fn class_words(class: &MixClass<'_>) -> Vec<String> {
    let title = match &class.class {
        Ok(title) => format!(
            "{title} ({}), by the flash point of the alcohol",
            class.pack
        ),
        Err(why) => format!("class not known ({}): {why}", class.pack),
    };
    let mut words = vec![title];
    for (size, jars) in &class.sizes {
        let jars = match jars {
            Some(1) | None => String::new(),
            Some(many) => format!("; so it takes {many} of them"),
        };
        words.push(format!(
            "largest glass or plastic vessel: {}{jars} ({}/{}, {}); `sandarac audit` judges each vessel",
            size.most.text(),
            class.pack,
            size.rule,
            size.citation.clause
        ));
    }
    words
}

fn keeping_words(keeps: Option<&Keeps<'_>>) -> Vec<String> {
    let Some(keeps) = keeps else {
        return vec![
            "keeping time: none in print for this cut; test it before each job".to_string(),
        ];
    };
    let Some(from) = keeps.from else {
        return vec![
            "keeping time: the day its stock was mixed is not known; test it before each job"
                .to_string(),
        ];
    };
    let mut parts = vec![format!("counted from {from}")];
    parts.extend(keeps.test_from.map(|day| format!("test from {day}")));
    parts.extend(
        keeps
            .discard_after
            .map(|day| format!("throw out after {day}")),
    );
    let tests = keeps.test.replace('+', ", ");
    vec![format!(
        "keeps: {}; a test ({tests}) decides, not the date ({})",
        parts.join(", "),
        keeps.says
    )]
}

fn shelf(text: &mut String, view: &MixView<'_>, need: &Need<'_>, columns: usize) {
    let us = view.us;
    let title = match need.what {
        "flakes" => "FLAKES ON THE SHELF, OLDEST FIRST",
        "stock" => "THE THICK CUT",
        _ => "ALCOHOL ON THE SHELF, OLDEST FIRST",
    };
    heading(text, title, columns);
    if need.takes.is_empty() {
        line(text, "none", columns, "  ", "  ");
    }
    for (standing, taken) in &need.takes {
        let held = standing
            .held
            .map_or_else(|| "amount not known".into(), |held| natural(held, us));
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
            (None, Fit::Good) if need.open => "would do".to_string(),
            (None, Fit::Good) => "not needed".to_string(),
        };
        let words = format!(
            "{} ({}{lots}), {held}: {does}",
            standing.id, standing.product
        );
        line(text, &words, columns, "  ", "      ");
    }
    let words = match (need.open, need.short) {
        (true, _) => {
            "Which flakes is not said: name them with `--flake`, such as `--flake dewaxed`."
                .to_string()
        }
        (false, Some(short)) => format!(
            "NOT ENOUGH: {} of {} is missing.",
            natural(short, us),
            natural(need.wanted, us)
        ),
        (false, None) => "enough".to_string(),
    };
    line(text, &words, columns, "  ", "  ");
}

fn pace(batch: &Batch, us: bool) -> String {
    let Batch {
        from, days, until, ..
    } = batch;
    let used = natural(batch.used, us);
    if !some(batch.used) {
        return format!(
            "None of this cut and kind was used from {from} on ({days} days). Mix the least that will do, and no more than \
             three months' use (shellac mixing chart)."
        );
    }
    let most = match (some(batch.most), batch.over) {
        (false, _) => "so there is enough already".to_string(),
        (true, false) => format!("so mix at most {}", natural(batch.most, us)),
        (true, true) => format!(
            "so mix at most {}, less than is asked for",
            natural(batch.most, us)
        ),
    };
    format!(
        "{used} used from {from} on, {days} days. At that pace {} go by {until}, when it must be tested; {} stand there \
         already, {most}.",
        natural(batch.ahead, us),
        natural(batch.there, us)
    )
}

fn order(text: &mut String, view: &MixView<'_>, columns: usize) {
    heading(text, "ORDER OF WORK (common practice, no source)", columns);
    let steps: &[&str] = match view.recipe {
        Recipe::Fresh { .. } => &ORDER,
        Recipe::Thinned { .. } => &ORDER_THIN,
    };
    let first = "Run the exhaust, put out every flame and pilot light, wear gloves and glasses.";
    for (at, step) in std::iter::once(&first).chain(steps).enumerate() {
        line(text, step, columns, &format!("  {}. ", at + 1), "     ");
    }
    let mut label = vec![view.product.clone()];
    if !view.kind_known {
        label.push("kind of flakes".into());
    }
    label.push(match view.lots().as_slice() {
        [] => "lot of flakes".to_string(),
        lots => format!("lot {}", lots.join(", ")),
    });
    let methanol = match &view.spirit.methanol {
        Some(most) => format!("{} (methanol up to {most})", view.spirit.name),
        None => view.spirit.name.clone(),
    };
    label.push(methanol);
    label.push(format!("mixed {}, and by whom", view.on));
    if let Some(day) = view.keeps.as_ref().and_then(|keeps| keeps.test_from) {
        label.push(format!("test from {day}"));
    }
    label.push("DANGER, highly flammable liquid and vapour".into());
    line(
        text,
        &format!("label: {}", label.join("; ")),
        columns,
        "  ",
        "      ",
    );
}
