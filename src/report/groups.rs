//! Stock by place and class, and the totals that a rule puts a limit to.

use super::shelf::StockRow;
use crate::quantity::{Amount, Dimension, Exact, natural};
use std::collections::BTreeMap;

/// What is at one place and is of one class.
pub struct ClassGroup {
    pub room: String,
    /// The place; empty where only the room is known.
    pub place: String,
    /// The class by each pack that has classes, or that it is unknown.
    pub class: String,
    /// The kind of amount and its sum; `None` where it cannot be added.
    pub sum: Option<Amount>,
    pub containers: usize,
    /// How many of them hold an amount that is unknown.
    pub unknown: usize,
    /// The sum has more digits than can be added.
    too_fine: bool,
}

impl ClassGroup {
    /// What it holds in words, and how many of its containers are in no sum.
    pub fn holds(&self, us: bool) -> String {
        match self.sum.filter(|_| self.unknown < self.containers) {
            None => "unknown".into(),
            Some(sum) if self.unknown > 0 => {
                format!("{}, and {} unknown", natural(sum, us), self.unknown)
            }
            Some(sum) => natural(sum, us),
        }
    }
}

/// Where a class is unknown.
pub const CLASS_NOT_KNOWN: &str = "class unknown";

/// The class of a row by every pack, each title once.
pub(super) fn class_of(row: &StockRow) -> String {
    if row.cloth.is_some() {
        return "rags and pads".into();
    }
    let mut titles: Vec<&str> = Vec::new();
    for (_, title) in &row.class {
        if !titles.contains(&title.as_str()) {
            titles.push(title);
        }
    }
    if titles.is_empty() {
        CLASS_NOT_KNOWN.to_string()
    } else {
        titles.join("; ")
    }
}

/// The groups by room, place and class. Rags and pads are left out: no number of them says anything.
pub(super) fn groups(rows: &[StockRow]) -> Vec<ClassGroup> {
    let mut found: BTreeMap<(&str, &str, String, u8), ClassGroup> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.cloth.is_none()) {
        let kind = match row.amount.or(row.capacity).map(Amount::dimension) {
            Some(Dimension::Volume) | None => 0,
            Some(Dimension::Mass) => 1,
            Some(_) => 2,
        };
        let class = class_of(row);
        let key = (row.room.as_str(), row.place.as_str(), class.clone(), kind);
        let group = found.entry(key).or_insert_with(|| ClassGroup {
            room: row.room.clone(),
            place: row.place.clone(),
            class,
            sum: row.amount.map(|amount| amount.with(Exact::ZERO)),
            containers: 0,
            unknown: 0,
            too_fine: false,
        });
        group.containers += 1;
        match row.amount {
            None => group.unknown += 1,
            Some(amount) => {
                let before = group.sum.map_or(Exact::ZERO, Amount::base);
                match before.plus(amount.base()) {
                    Ok(sum) if !group.too_fine => group.sum = Some(amount.with(sum)),
                    // One that is lost would make the sum of the others too small.
                    Ok(_) | Err(_) => (group.sum, group.too_fine) = (None, true),
                }
            }
        }
    }
    found.into_values().collect()
}
