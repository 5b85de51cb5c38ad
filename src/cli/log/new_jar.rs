//! Asks for a container that the inventory does not have yet.

use super::new_container::NewContainer;
use super::prompt::{gone, pick};
use crate::audit::Shop;
use crate::cli::Failure;
use crate::quantity::Measure;
use crate::record::Vessel;
use crate::text::clean;
use crate::typing::{near_product, product};
use dialoguer::{Confirm, Input};

/// What a container is made as, the likely first.
const VESSELS: [Vessel; 9] = [
    Vessel::Metal,
    Vessel::Glass,
    Vessel::Plastic,
    Vessel::ApprovedPlastic,
    Vessel::SafetyCan,
    Vessel::Aerosol,
    Vessel::Drum,
    Vessel::Bag,
    Vessel::Box,
];

/// Its name, and what else its row says; nothing if the person gave up.
pub(super) fn new_jar(opened: &Shop) -> Result<Option<(String, NewContainer)>, Failure> {
    let tables = &opened.tables;
    let taken = |name: &String| match tables.container(name.trim()) {
        Some(_) => Err("There is a container of that name. Write another name."),
        None => Ok(()),
    };
    let name: String = Input::new()
        .with_prompt("Its name, as its label will say it")
        .validate_with(taken)
        .interact_text()
        .map_err(gone)?;
    let typed: String = Input::new()
        .with_prompt("What is in it?")
        .interact_text()
        .map_err(gone)?;
    let product = match product(tables, &typed) {
        Some(known) => known,
        None => meant_product(opened, typed)?,
    };
    let labels = VESSELS.map(|vessel| vessel.word().to_string());
    let Some(vessel) = pick("What is the container?", &labels)? else {
        return Ok(None);
    };
    let capacity: String = Input::new()
        .with_prompt("How much does it hold when full? Leave empty if unknown")
        .allow_empty(true)
        .validate_with(|text: &String| match text.trim() {
            "" => Ok(()),
            text => is_measure(text),
        })
        .interact_text()
        .map_err(gone)?;
    let places = tables.places.iter().map(|place| place.id.clone());
    let rooms = tables.rooms.iter().map(|room| room.id.clone());
    let places: Vec<String> = places.chain(rooms).collect();
    let labels: Vec<String> = places.iter().map(|name| clean(name)).collect();
    let Some(place) = pick("Where is it?", &labels)?.and_then(|at| places.get(at)) else {
        return Ok(None);
    };
    let labelled = Confirm::new()
        .with_prompt("Does it have a label with its contents?")
        .interact_opt()
        .map_err(gone)?;
    let new = NewContainer {
        product: Some(product),
        vessel: VESSELS.get(vessel).map(|vessel| vessel.word().to_string()),
        capacity: Some(capacity.trim().to_string()).filter(|text| !text.is_empty()),
        place: Some(place.clone()),
        labelled: labelled.unwrap_or(false),
        ..NewContainer::default()
    };
    Ok(Some((name.trim().to_string(), new)))
}

/// The product that was meant by a name that neither the shop nor the built-in list has.
fn meant_product(opened: &Shop, typed: String) -> Result<String, Failure> {
    let Some(near) = near_product(&opened.tables, &typed) else {
        return Ok(typed);
    };
    let question = format!(
        "\"{}\" is not known here. Did you mean {}?",
        clean(&typed),
        clean(&near)
    );
    let answer = Confirm::new().with_prompt(question).interact_opt();
    Ok(match answer.map_err(gone)? {
        Some(true) => near,
        Some(false) | None => typed,
    })
}

/// Is this an amount with a unit?
pub(super) fn is_measure(text: &str) -> Result<(), &'static str> {
    let is_amount = Measure::parse(text).is_ok_and(|measure| measure.amount().is_some());
    match is_amount {
        true => Ok(()),
        false => Err("Write a number and a unit, such as 1 qt, 250 mL or 2 lb."),
    }
}
