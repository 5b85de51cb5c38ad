//! Asks for an entry step by step, the likely answer first.

use super::draft::Draft;
use crate::audit::Shop;
use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::quantity::natural;
use crate::record::{Vessel, What};
use crate::stock::Stock;
use crate::text::clean;
use dialoguer::{Confirm, Input, Select};

/// Kinds of entry in the order in which a day needs them, and what they ask.
const WORDS: [(What, &str); 14] = [
    (What::Use, "used on the work"),
    (What::Soil, "rags got finish on them"),
    (What::Bin, "rags into the rag can"),
    (What::Spread, "rags spread flat outdoors"),
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
    if *what != What::Empty {
        match container(opened, stock, *what, "Which container?", None)? {
            Some(name) => draft.container = name,
            None => return Ok(None),
        }
    }
    let answered = match what {
        What::Use => amount(opened, stock, &mut draft, false)? && minutes(&mut draft)?,
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
    let question = format!("Write this? {}", clean(&draft.command()));
    let sure = Confirm::new()
        .with_prompt(question)
        .default(true)
        .interact_opt();
    Ok(sure.map_err(gone)?.unwrap_or(false).then_some(draft))
}

fn gone(fault: dialoguer::Error) -> Failure {
    let dialoguer::Error::IO(fault) = fault;
    Failure::from(fault)
}

pub(super) fn pick(question: &str, labels: &[String]) -> Result<Option<usize>, Failure> {
    Select::new()
        .with_prompt(question)
        .items(labels)
        .default(0)
        .max_length(12)
        .interact_opt()
        .map_err(gone)
}

/// Containers that the entry may be about, those used last first.
fn container(
    opened: &Shop,
    stock: &Stock,
    what: What,
    question: &str,
    but: Option<&str>,
) -> Result<Option<String>, Failure> {
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
    let labels: Vec<String> = rows.iter().map(label).collect();
    if labels.is_empty() {
        return Err(Failure::refused(
            "There is no container for such an entry.",
            "Add the container to inventory.csv.",
            WRITTEN,
        ));
    }
    let at = pick(question, &labels)?;
    Ok(at
        .and_then(|at| rows.get(at))
        .map(|(row, _)| row.id.clone()))
}

/// The amount; what was used last time is not known to be likely, so only "all" is offered where it makes sense.
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
    let text: String = Input::new()
        .with_prompt(question)
        .allow_empty(may_be_all)
        .interact_text()
        .map_err(gone)?;
    draft.amount = text.trim().to_string();
    Ok(may_be_all || !draft.amount.is_empty())
}

fn minutes(draft: &mut Draft) -> Result<bool, Failure> {
    let text: String = Input::new()
        .with_prompt("For how many minutes? Leave empty if unknown")
        .allow_empty(true)
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
    match container(opened, stock, What::Use, question, Some(&own))? {
        Some(name) => draft.into = name,
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
            "Add its row to places.csv.",
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
            batch.state.words(),
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
