//! A draft as it was typed becomes one as the tables take it: names, amounts and the moment. What could mean several things is
//! asked on a terminal, and refused elsewhere.

use super::ask::pick;
use super::draft::Draft;
use crate::audit::Shop;
use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::record::{PlaceKind, What};
use crate::stock::Stock;
use crate::text::clean;
use crate::typing::{AmountTyped, NameChoice, NameFound, container, place, typed_amount};
use std::io::IsTerminal;

/// So many choices are listed.
const MOST_CHOICES: usize = 12;

/// Puts names and the amount of a draft as the tables write them.
pub(super) fn understand(draft: &mut Draft, shop: &Shop, stock: &Stock) -> Result<(), Failure> {
    let tables = &shop.tables;
    let is_new = draft.new.is_some();
    let fills_new = is_new && draft.what == What::Receive;
    if !draft.container.is_empty() && !fills_new {
        let found = container(tables, stock, &draft.container);
        chosen(found, &mut draft.container, "container")?;
    }
    let names_container = matches!(draft.what, What::Mix | What::Decant | What::Soil);
    if names_container && !draft.into.is_empty() && !is_new {
        chosen(
            container(tables, stock, &draft.into),
            &mut draft.into,
            "container",
        )?;
    }
    if !draft.place.is_empty() {
        let found = place(tables, &draft.place, kinds(draft.what));
        chosen(found, &mut draft.place, "place")?;
    }
    let by_entry = draft.from.to_lowercase().starts_with("entry ");
    if !draft.from.is_empty() && !by_entry && draft.from != "clean" {
        chosen(place(tables, &draft.from, &[]), &mut draft.from, "place")?;
    }
    if draft.amount.is_empty() {
        return Ok(());
    }
    let held = super::held(shop, stock, &draft.container);
    let us = tables.shop.us;
    match typed_amount(&draft.amount, held, us, tables.shop.fluid_ounces) {
        AmountTyped::Cell(cell) => draft.amount = cell,
        AmountTyped::AsTyped => {}
        AmountTyped::HeldUnknown => {
            return Err(Failure::refused(
                format!("How much {} holds is unknown.", clean(&draft.container)),
                "Write an amount, or count what is there first.",
                WRITTEN,
            ));
        }
        AmountTyped::Ounces(cell) => {
            let mut fluid = draft.clone();
            fluid.amount = cell;
            return Err(Failure::refused(
                format!("\"{}\" can be a weight or a volume.", clean(&draft.amount)),
                format!(
                    "{} is a liquid. Write fl oz: {}. Or add `ounces = \"fluid\"` to shop.toml, and oz of a liquid means fl oz \
                     from then on.",
                    clean(&draft.container),
                    fluid.command()
                ),
                WRITTEN,
            ));
        }
    }
    Ok(())
}

/// The entry that puts rags away where another has just soiled them.
pub(super) fn put_away(soiled: &Draft, shop: &Shop, to: &str) -> Result<Draft, Failure> {
    let mut to = to.to_string();
    let ways = [
        PlaceKind::OilyWasteCan,
        PlaceKind::WaterCan,
        PlaceKind::Outdoors,
        PlaceKind::DryingLine,
        PlaceKind::PadJar,
    ];
    chosen(place(&shop.tables, &to, &ways), &mut to, "place")?;
    let at = shop.tables.place(&to).map(|at| &shop.tables[at]);
    let what = match at.map(|place| place.kind) {
        Some(PlaceKind::OilyWasteCan) => What::Bin,
        Some(PlaceKind::WaterCan) => What::Soak,
        Some(PlaceKind::Outdoors | PlaceKind::DryingLine) => What::Spread,
        Some(_) | None => What::Move,
    };
    let row = shop.tables.container(&soiled.container);
    let home = row.map(|row| shop.tables.location[row.index()]);
    let home = home.and_then(|location| shop.tables.location_name(location));
    let from = match soiled.place.as_str() {
        "" => home.unwrap_or_default(),
        place => place.to_string(),
    };
    Ok(Draft {
        container: soiled.container.clone(),
        amount: soiled.amount.clone(),
        place: to,
        from,
        ..Draft::new(what)
    })
}

/// The kinds of place at which an entry can happen; none means any.
fn kinds(what: What) -> &'static [PlaceKind] {
    match what {
        What::Bin => &[PlaceKind::OilyWasteCan],
        What::Soak => &[PlaceKind::WaterCan],
        What::Empty => &[PlaceKind::OilyWasteCan, PlaceKind::WaterCan],
        What::Receive
        | What::Open
        | What::Move
        | What::Mix
        | What::Decant
        | What::Use
        | What::Soil
        | What::Discard
        | What::Spread
        | What::Test
        | What::Count
        | What::Correct => &[],
    }
}

/// Puts what was found in place of what was typed. What is unknown stays, for its reader to report.
pub(super) fn chosen(found: NameFound, typed: &mut String, kind: &str) -> Result<(), Failure> {
    match found {
        NameFound::One(name) => *typed = name,
        NameFound::Unknown => {}
        NameFound::Several(choices) => {
            let labels: Vec<String> = choices.iter().map(label).collect();
            let asks = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
            if asks && let Some(at) = pick(&format!("Which {kind} is {}?", clean(typed)), &labels)?
            {
                if let Some(choice) = choices.get(at) {
                    typed.clone_from(&choice.name);
                }
                return Ok(());
            }
            let shown = labels.iter().take(MOST_CHOICES).enumerate();
            let mut list: Vec<String> = shown
                .map(|(at, label)| format!("  {}. {label}", at + 1))
                .collect();
            if labels.len() > MOST_CHOICES {
                list.push(format!("  and {} more", labels.len() - MOST_CHOICES));
            }
            return Err(Failure::refused(
                format!(
                    "\"{}\" can be more than one {kind}:\n{}",
                    clean(typed),
                    list.join("\n")
                ),
                "Type more of the name.",
                WRITTEN,
            ));
        }
    }
    Ok(())
}

fn label(choice: &NameChoice) -> String {
    format!("{}: {}", clean(&choice.name), clean(&choice.about))
}
