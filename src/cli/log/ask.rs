//! Asks for an entry step by step, the likely answer first.

use super::draft::Draft;
use super::new_jar::{is_measure, new_jar};
use super::prompt::{gone, pick};
use super::typed;
use crate::audit::Shop;
use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::quantity::{Amount, Measure, in_digits, natural};
use crate::record::{Vessel, What, minutes_written};
use crate::stock::Stock;
use crate::text::clean;
use crate::typing::{AmountTyped, HeldAmount, typed_amount, typed_minutes, with_point};
use dialoguer::{Confirm, Input};

/// Kinds of entry in the order in which a day needs them, and what they ask.
const WORDS: [(What, &str); 14] = [
    (What::Use, "used on the work"),
    (What::Soil, "rags got finish on them"),
    (What::Bin, "rags into the rag can"),
    (What::Spread, "rags laid flat outdoors"),
    (What::Soak, "rags put under water"),
    (What::Empty, "a can was emptied"),
    (What::Mix, "mixed into another container"),
    (What::Decant, "decanted, the same product"),
    (What::Receive, "received"),
    (What::Open, "opened for the first time"),
    (What::Move, "moved to another place"),
    (What::Count, "counted or measured"),
    (What::Test, "tested"),
    (What::Discard, "discarded"),
];

/// A draft, or nothing if the person gave up.
pub(super) fn ask(opened: &Shop, stock: &Stock) -> Result<Option<Draft>, Failure> {
    let labels: Vec<String> = WORDS
        .iter()
        .map(|(what, words)| format!("{:<8} {words}", what.word()))
        .collect();
    let Some(at) = pick("What was done?", &labels)? else {
        return Ok(None);
    };
    let Some((what, _)) = WORDS.get(at) else {
        return Ok(None);
    };
    let mut draft = Draft::new(*what);
    if *what != What::Empty && !which_container(opened, stock, &mut draft)? {
        return Ok(None);
    }
    let answered = match what {
        What::Use => amount(opened, stock, &mut draft, false)? && minutes(opened, &mut draft)?,
        What::Mix | What::Decant => {
            amount(opened, stock, &mut draft, false)? && into(opened, stock, &mut draft)?
        }
        What::Receive | What::Count => amount(opened, stock, &mut draft, false)?,
        What::Discard => amount(opened, stock, &mut draft, true)?,
        What::Soil => amount(opened, stock, &mut draft, false)? && into(opened, stock, &mut draft)?,
        What::Move | What::Empty => place(opened, &mut draft)?,
        What::Spread | What::Soak | What::Bin => {
            place(opened, &mut draft)? && amount(opened, stock, &mut draft, true)?
        }
        What::Test => result(&mut draft)?,
        What::Open | What::Correct => true,
    };
    if !answered || !which_rags(opened, stock, &mut draft)? {
        return Ok(None);
    }
    confirmed(draft)
}

/// The container that the entry is about; one that is received may be new.
fn which_container(opened: &Shop, stock: &Stock, draft: &mut Draft) -> Result<bool, Failure> {
    match container(opened, stock, draft.what, "Which container?", None)? {
        Some(Picked::Known(name)) => (draft.container, draft.new) = (name, None),
        Some(Picked::New) => match new_jar(opened)? {
            Some((name, new)) => (draft.container, draft.new) = (name, Some(new)),
            None => return Ok(false),
        },
        None => return Ok(false),
    }
    Ok(true)
}

/// The same draft with the answer that a person wants to change asked again; nothing if the person gave up.
pub(super) fn again(
    opened: &Shop,
    stock: &Stock,
    mut draft: Draft,
) -> Result<Option<Draft>, Failure> {
    let answers = [
        ("container", draft.container.clone()),
        ("amount", draft.amount.clone()),
        ("into", draft.into.clone()),
        ("place", draft.place.clone()),
        ("minutes", draft.minutes.clone()),
        ("from", draft.from.clone()),
    ];
    let given = answers.into_iter().filter(|(_, answer)| !answer.is_empty());
    let given: Vec<(&str, String)> = given.collect();
    let mut labels: Vec<String> = given
        .iter()
        .map(|(what, answer)| format!("{what}: {}", clean(answer)))
        .collect();
    labels.push("none: write nothing".to_string());
    let picked = pick("Which answer do you want to change?", &labels)?;
    let may_be_all = matches!(
        draft.what,
        What::Discard | What::Spread | What::Soak | What::Bin
    );
    let answered = match picked.and_then(|at| given.get(at)).map(|(what, _)| *what) {
        Some("container") => which_container(opened, stock, &mut draft)?,
        Some("amount") => amount(opened, stock, &mut draft, may_be_all)?,
        Some("into") => into(opened, stock, &mut draft)?,
        Some("place") => place(opened, &mut draft)?,
        Some("minutes") => minutes(opened, &mut draft)?,
        Some(_) => which_rags(opened, stock, &mut draft)?,
        None => false,
    };
    match answered {
        true => confirmed(draft),
        false => Ok(None),
    }
}

fn confirmed(draft: Draft) -> Result<Option<Draft>, Failure> {
    let question = format!("Write this? {}", clean(&draft.command()));
    let sure = Confirm::new()
        .with_prompt(question)
        .default(true)
        .interact_opt();
    Ok(sure.map_err(gone)?.unwrap_or(false).then_some(draft))
}

/// A container that is picked from the list.
enum Picked {
    /// One of the inventory.
    Known(String),
    /// One that the inventory does not have yet.
    New,
}

/// Containers that the entry may be about, those used last first.
fn container(
    opened: &Shop,
    stock: &Stock,
    what: What,
    question: &str,
    but: Option<&str>,
) -> Result<Option<Picked>, Failure> {
    let of_cloth = matches!(what, What::Soil | What::Spread | What::Soak | What::Bin);
    let mut rows: Vec<_> = opened
        .tables
        .containers
        .iter()
        .zip(&stock.containers)
        .filter(|(row, contents)| {
            let cloth = row.vessel.is_some_and(Vessel::is_cloth);
            let fits = cloth == of_cloth
                || matches!(
                    what,
                    What::Test | What::Count | What::Discard | What::Move | What::Receive
                );
            let holds = contents.amount.is_none_or(|a| !a.base().is_zero());
            fits && but != Some(row.id.as_str())
                && (holds || what == What::Receive || but.is_some())
        })
        .collect();
    rows.sort_by_key(|(_, contents)| std::cmp::Reverse(contents.last_used));
    let label = |(row, contents): &(&crate::record::Container, &crate::stock::ContainerState)| {
        let left = contents
            .amount
            .map_or_else(|| "?".into(), |a| natural(a, opened.tables.shop.us));
        format!("{:<8} {:<12} {}", clean(&row.id), left, clean(&row.product))
    };
    let mut labels: Vec<String> = rows.iter().map(label).collect();
    // What is received, mixed or poured may go into a jar that is new with it.
    let is_poured = matches!(what, What::Mix | What::Decant);
    let may_be_new = what == What::Receive && but.is_none() || is_poured && but.is_some();
    if may_be_new {
        labels.push("a new container".to_string());
    }
    if labels.is_empty() {
        return Err(Failure::refused(
            "There is no container for such an entry.",
            "A new container begins with: sandarac log receive NAME AMOUNT --product PRODUCT",
            WRITTEN,
        ));
    }
    let at = pick(question, &labels)?;
    Ok(at.map(|at| match rows.get(at) {
        Some((row, _)) => Picked::Known(row.id.clone()),
        None => Picked::New,
    }))
}

/// The amount; what was used last time is unknown to be likely, so only "all" is offered where it makes sense.
fn amount(
    opened: &Shop,
    stock: &Stock,
    draft: &mut Draft,
    may_be_all: bool,
) -> Result<bool, Failure> {
    let held = super::held(opened, stock, &draft.container)
        .map_or_else(|| "unknown".into(), |a| natural(a, opened.tables.shop.us));
    let question = if may_be_all {
        format!("How much? {held} is there. Leave empty for all of it")
    } else {
        format!("How much? {held} is there")
    };
    let (of, us) = (typed::held(draft, opened, stock), opened.tables.shop.us);
    let (fluid, what) = (opened.tables.shop.fluid_ounces, draft.what);
    let locale = opened.tables.shop.locale;
    let understood = |text: &String| {
        if text.trim().is_empty() {
            return Ok(());
        }
        let Ok(text) = &with_point(text, &locale) else {
            return Err("Write it without a point, or with a comma for decimals.");
        };
        match typed_amount(text, of.of_entry(what, text), us, fluid) {
            AmountTyped::HeldUnknown => Err("How much is there is unknown. Write an amount."),
            AmountTyped::Ounces(_) => Ok(()),
            AmountTyped::Cell(cell) => fits(&cell, of),
            AmountTyped::AsTyped => fits(text, of),
        }
    };
    let text: String = Input::new()
        .with_prompt(question)
        .allow_empty(may_be_all)
        .validate_with(understood)
        .interact_text()
        .map_err(gone)?;
    draft.amount = text.trim().to_string();
    Ok(may_be_all || !draft.amount.is_empty())
}

/// Is this an amount of the sort that the container holds?
fn fits(text: &str, of: HeldAmount) -> Result<(), &'static str> {
    let measure = Measure::parse(text)
        .ok()
        .and_then(|measure| measure.amount());
    match (measure, of.held.or(of.capacity)) {
        // A number of rags needs no unit.
        (None, Some(Amount::Pieces(_))) if in_digits(text).is_some() => Ok(()),
        (None, _) => is_measure(text),
        (Some(found), Some(like)) if found.dimension() != like.dimension() => {
            Err("The container holds another kind of amount. Write it in its unit.")
        }
        (Some(_), _) => Ok(()),
    }
}

fn minutes(opened: &Shop, draft: &mut Draft) -> Result<bool, Failure> {
    let question = match typed::usual_minutes(draft, opened) {
        Some((_, usual)) => format!("For how many minutes? Leave empty for the usual {usual}"),
        None => "For how many minutes? Leave empty if unknown".to_string(),
    };
    let understood = |text: &String| {
        let text = text.trim();
        let known = typed_minutes(text).is_some() || minutes_written(text).is_some();
        match text.is_empty() || known {
            true => Ok(()),
            false => Err("Write minutes, such as 45, 1:30 or 2 h."),
        }
    };
    let text: String = Input::new()
        .with_prompt(question)
        .allow_empty(true)
        .validate_with(understood)
        .interact_text()
        .map_err(gone)?;
    draft.minutes = text.trim().to_string();
    Ok(true)
}

fn into(opened: &Shop, stock: &Stock, draft: &mut Draft) -> Result<bool, Failure> {
    let question = if draft.what == What::Soil {
        "With what?"
    } else {
        "Into which?"
    };
    let own = draft.container.clone();
    let what = match draft.what {
        What::Soil => What::Use,
        pours => pours,
    };
    match container(opened, stock, what, question, Some(&own))? {
        Some(Picked::Known(name)) => (draft.into, draft.new) = (name, None),
        Some(Picked::New) => match new_jar(opened)? {
            Some((name, new)) => (draft.into, draft.new) = (name, Some(new)),
            None => return Ok(false),
        },
        None => return Ok(false),
    }
    Ok(true)
}

fn place(opened: &Shop, draft: &mut Draft) -> Result<bool, Failure> {
    let wants = |kind: crate::record::PlaceKind| {
        use crate::record::PlaceKind;
        match draft.what {
            What::Bin => kind == PlaceKind::OilyWasteCan,
            What::Soak => kind == PlaceKind::WaterCan,
            What::Spread => matches!(kind, PlaceKind::Outdoors | PlaceKind::DryingLine),
            What::Empty => matches!(kind, PlaceKind::OilyWasteCan | PlaceKind::WaterCan),
            _ => true,
        }
    };
    let names: Vec<String> = opened
        .tables
        .places
        .iter()
        .filter(|place| wants(place.kind))
        .map(|place| place.id.clone())
        .collect();
    if names.is_empty() {
        return Err(Failure::refused(
            "places.csv has no place for that.",
            "Add one: sandarac log record NAME room ROOM kind KIND --table places",
            WRITTEN,
        ));
    }
    let labels: Vec<String> = names.iter().map(|name| clean(name)).collect();
    match pick("Where?", &labels)?.and_then(|at| names.get(at)) {
        Some(name) => draft.place.clone_from(name),
        None => return Ok(false),
    }
    Ok(true)
}

/// Which batch of rags, where an entry could mean several.
fn which_rags(opened: &Shop, stock: &Stock, draft: &mut Draft) -> Result<bool, Failure> {
    let takes = matches!(
        draft.what,
        What::Spread | What::Soak | What::Bin | What::Move | What::Test | What::Discard
    );
    let at = opened.tables.container(&draft.container).filter(|_| takes);
    let Some(at) = at else {
        return Ok(true);
    };
    let mut choices: Vec<(String, String)> = Vec::new();
    for batch in &stock[at].cloth {
        let Some(word) = stock.source_word(&opened.tables, (at, batch), draft.what) else {
            continue;
        };
        let place = opened.tables.location_name(batch.location);
        let label = format!(
            "{} {}, at {}",
            batch.pieces.digits(),
            batch.state.words().state,
            clean(place.as_deref().unwrap_or("an unknown place"))
        );
        choices.push((label, word));
    }
    if choices.len() < 2 {
        return Ok(true);
    }
    let labels: Vec<String> = choices.iter().map(|(label, _)| label.clone()).collect();
    let Some((_, word)) = pick("Which of them?", &labels)?.and_then(|at| choices.get(at)) else {
        return Ok(false);
    };
    draft.from.clone_from(word);
    Ok(true)
}

fn result(draft: &mut Draft) -> Result<bool, Failure> {
    let results = ["pass", "retest", "fail"].map(str::to_string);
    match pick("How did it go?", &results)?.and_then(|at| results.get(at)) {
        Some(result) => draft.says.clone_from(result),
        None => return Ok(false),
    }
    Ok(true)
}
