//! Which containers and places are meant, and the labels for them.

use super::content::LabelSources;
use super::facts::container_label;
use super::fit::lay;
use super::notes::notes;
use super::placed::{LabelSheet, Placed};
use super::places::{is_labelled_place, place_label};
use super::sheet::{Grid, LabelSize, Paper};
use super::warnings::Warnings;
use crate::quantity::Amount;
use crate::record::{ContainerId, PlaceId, ProductKind, ShopTables, Vessel};
use crate::stock::Stock;
use crate::text::nearest;

/// What a label is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabelWanted {
    Container(ContainerId),
    /// A pad jar, or a can for oily rags.
    Place(PlaceId),
}

/// What names on the command line mean, or why each of those that mean nothing does not.
pub struct Named {
    /// In the order given, each once.
    pub wanted: Vec<LabelWanted>,
    /// Each in words, with what to write instead.
    pub refused: Vec<String>,
}

/// Finds containers and places by name; without names, everything that holds something and is no rag or powder.
pub fn named(tables: &ShopTables, stock: &Stock, names: &[String]) -> Named {
    if names.is_empty() {
        return Named {
            wanted: all(tables, stock),
            refused: Vec::new(),
        };
    }
    let (mut wanted, mut refused) = (Vec::new(), Vec::new());
    for name in names {
        match one(tables, name) {
            Ok(new) if wanted.contains(&new) => {}
            Ok(new) => wanted.push(new),
            Err(why) => refused.push(why),
        }
    }
    Named { wanted, refused }
}

fn all(tables: &ShopTables, stock: &Stock) -> Vec<LabelWanted> {
    let containers = ContainerId::each(&tables.containers).filter(|(id, row)| {
        let kind = tables.kind(*id);
        let cloth = row.vessel.is_some_and(Vessel::is_cloth);
        let liquid_or_flakes = match stock[*id].amount {
            Some(Amount::Volume(_)) => true,
            Some(Amount::Mass(_)) => kind == Some(ProductKind::Flakes),
            Some(Amount::Pieces(_)) => false,
            None => kind != Some(ProductKind::Abrasive),
        };
        !cloth && liquid_or_flakes && stock.present(tables, *id)
    });
    let places = PlaceId::each(&tables.places).filter(|(_, place)| is_labelled_place(place));
    containers
        .map(|(id, _)| LabelWanted::Container(id))
        .chain(places.map(|(id, _)| LabelWanted::Place(id)))
        .collect()
}

fn one(tables: &ShopTables, name: &str) -> Result<LabelWanted, String> {
    if let Some(at) = tables.container(name) {
        return match tables[at].vessel {
            Some(vessel) if vessel.is_cloth() => Err(format!(
                "{name} is a row of rags or pads, which carry no label.\n  Label the pad jar or the can they go into, by the \
                 name of its place."
            )),
            _ => Ok(LabelWanted::Container(at)),
        };
    }
    if let Some(at) = tables.place(name) {
        return if is_labelled_place(&tables[at]) {
            Ok(LabelWanted::Place(at))
        } else {
            Err(format!(
                "{name} is neither a pad jar nor a can for oily rags. Other places carry no label.\n  Name the containers \
                 that are stored there."
            ))
        };
    }
    let places = tables
        .places
        .iter()
        .filter(|place| is_labelled_place(place));
    let places = places.map(|place| place.id.as_str());
    let names = tables
        .containers
        .iter()
        .map(|c| c.id.as_str())
        .chain(places);
    let near = nearest(name, names).map_or_else(
        || "`sandarac stock` lists the containers.".to_string(),
        |near| format!("Did you mean \"{near}\"?"),
    );
    Err(format!(
        "There is no container, pad jar or rag can \"{name}\".\n  {near}"
    ))
}

/// Those of some labels that are missing: containers that are not on record as labelled.
pub fn missing(tables: &ShopTables, wanted: &mut Vec<LabelWanted>) {
    wanted.retain(|wanted| match wanted {
        LabelWanted::Container(at) => tables[*at].labelled != Some(true),
        LabelWanted::Place(_) => false,
    });
}

/// Makes the labels and lays them out; `None` if not one label fits on the paper.
pub fn label_sheet(
    sources: &LabelSources<'_>,
    wanted: &[LabelWanted],
    size: &LabelSize,
    paper: Paper,
) -> Option<LabelSheet> {
    let grid = Grid::fitting(paper, size)?;
    let mut warnings = Warnings::new(sources.tables.shop.us, size);
    let mut placed = Vec::new();
    for one in wanted {
        let label = match one {
            LabelWanted::Container(at) => Some(container_label(sources, *at)),
            LabelWanted::Place(at) => place_label(sources, *at),
        };
        let Some(label) = label else { continue };
        let least = label
            .capacity
            .and_then(|capacity| sources.ghs.least_size(capacity));
        let laid = lay(&label, (size.width, size.height));
        warnings.look(&label, least, &laid);
        placed.push(Placed { label, laid });
    }
    let notes = notes(sources, &placed);
    Some(LabelSheet {
        shop: sources.tables.shop.name.clone(),
        on: sources.stock.on,
        size: size.clone(),
        paper,
        grid,
        placed,
        warnings: warnings.in_words(),
        notes,
    })
}
