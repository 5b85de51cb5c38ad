//! Which containers and places are meant, and the labels for them.

use super::content::{Label, LabelSources};
use super::facts::container_label;
use super::fit::{Laid, PAD, Text, font_for, largest_in, lay};
use super::notes::notes;
use super::placed::{LabelSheet, Placed};
use super::places::{is_labelled_place, place_label};
use super::sheet::{Grid, LabelSize, Paper, micrometres};
use super::warnings::Warnings;
use crate::quantity::Amount;
use crate::record::{ProductKind, ShopTables, Vessel};
use crate::stock::Stock;
use crate::text::nearest;
use crate::trade::LeastSize;

/// What a label is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabelWanted {
    /// A container, by position.
    Container(usize),
    /// A pad jar, or a can for oily rags, by position among the places.
    Place(usize),
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
    let rows = tables.containers.iter().zip(&tables.kinds);
    let rows = rows.zip(&stock.containers).enumerate();
    let containers = rows.filter(|(at, ((row, kind), contents))| {
        let cloth = row.vessel.is_some_and(Vessel::is_cloth);
        let liquid_or_flakes = match contents.amount {
            Some(Amount::Volume(_)) => true,
            Some(Amount::Mass(_)) => **kind == Some(ProductKind::Flakes),
            Some(Amount::Pieces(_)) => false,
            None => **kind != Some(ProductKind::Abrasive),
        };
        !cloth && liquid_or_flakes && stock.present(tables, *at)
    });
    let places = (0..tables.places.len()).filter(|at| is_labelled_place(tables, *at));
    containers
        .map(|(at, _)| LabelWanted::Container(at))
        .chain(places.map(LabelWanted::Place))
        .collect()
}

fn one(tables: &ShopTables, name: &str) -> Result<LabelWanted, String> {
    if let Some(at) = tables.container(name) {
        let vessel = tables.containers.get(at).and_then(|row| row.vessel);
        return match vessel {
            Some(vessel) if vessel.is_cloth() => Err(format!(
                "{name} is a row of rags or pads, which carry no label.\n  Label the pad jar or the can they go into, by the \
                 name of its place."
            )),
            _ => Ok(LabelWanted::Container(at)),
        };
    }
    if let Some(at) = tables.place(name) {
        return if is_labelled_place(tables, at) {
            Ok(LabelWanted::Place(at))
        } else {
            Err(format!(
                "{name} is neither a pad jar nor a can for oily rags. Other places carry no label.\n  Name the containers \
                 that are stored there."
            ))
        };
    }
    let places = (0..tables.places.len()).filter(|at| is_labelled_place(tables, *at));
    let places = places
        .filter_map(|at| tables.places.get(at))
        .map(|place| place.id.as_str());
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
            LabelWanted::Container(at) => container_label(sources, *at),
            LabelWanted::Place(at) => place_label(sources, *at),
        };
        let Some(label) = label else { continue };
        let least = label
            .capacity
            .and_then(|capacity| sources.ghs.least_size(capacity));
        let laid = laid(&label, least, size);
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

/// Letters from what the pack asks for down to the smallest that is asked of any; pictograms likewise.
fn laid(label: &Label, least: Option<&LeastSize>, size: &LabelSize) -> Laid {
    const LETTERS: [i64; 4] = [2000, 1800, 1400, 1200];
    let asked = |pick: fn(&LeastSize) -> crate::quantity::Length, else_: i64| {
        least
            .and_then(|least| micrometres(pick(least)))
            .unwrap_or(else_)
    };
    let letter = asked(|least| least.letter, 0).max(1800);
    let fonts: Vec<i64> = LETTERS
        .iter()
        .filter(|one| **one <= letter)
        .map(|one| font_for(*one))
        .collect();
    let (better, smallest) = (
        asked(|least| least.better, 16_000),
        asked(|least| least.pictogram, 10_000),
    );
    let between = [14_000, 12_000].into_iter();
    let mut sides = vec![better];
    sides.extend(between.filter(|side| *side > smallest && *side < better));
    sides.push(smallest);
    // Pictograms stand in one row beside the statements; where the row is too short for them they are made smaller, and a
    // warning says so.
    let count = i64::try_from(label.pictograms.len()).unwrap_or(1).max(1);
    let row = largest_in((size.width - 2 * PAD) / count);
    let column = largest_in(size.height - 2 * PAD - 8_000);
    let largest = row.min(column).max(10_000);
    sides.dedup();
    sides.retain(|side| *side <= largest);
    if sides.is_empty() {
        sides.push(largest);
    }
    let text = Text {
        heading: &label.heading,
        lines: &label.lines,
        pictograms: i64::try_from(label.pictograms.len()).unwrap_or(0),
    };
    lay(&text, (size.width, size.height), &fonts, &sides)
}
