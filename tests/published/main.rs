//! Every check against something printed outside the project: one file a source, with its edition and how it was seen.
//!
//! `text`: the source or an official twin was read. `secondary`: a copy or a page that restates it. `memory`: from
//! memory, unconfirmed. `computed`: worked by other means from stated inputs, not printed anywhere.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

mod abulencia_theodore;
mod air_changes;
mod air_lock_notes;
mod antoine_notebook;
mod cdc_1994;
mod cdc_2003;
mod chemicals_1_5_2;
mod chemicals_docstrings;
mod ethanol_water;
mod exposure_conversion;
mod fire_code_classes;
mod flash_mixtures;
mod ghs_liquids;
mod ghs_mixtures;
mod ghs_tables;
mod handbook_44;
mod ifc_2018;
mod ifc_quantities;
mod imperial_units;
mod industrial_ventilation;
mod keeping_times;
mod materials;
mod niosh;
mod osha_air_contaminants;
mod osha_cabinets;
mod osha_categories;
mod osha_incidental;
mod osha_storage_room;
mod paint_confined_spaces;
mod planned;
mod pound_cuts;
mod room_to_limit;
mod shop;
mod shop_liquids;
mod solvent_oven_note;
mod table_g11;
mod table_h12;
mod tank_table;
mod vapour_pressures;
mod voc;
mod yard_and_pound;

use sandarac::vapour::history::History;
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

/// Minutes until what hangs in a perfectly mixed room is down to a share of it, with so many air changes an hour.
fn minutes_to_clear(changes: f64, share: f64) -> Option<f64> {
    let room = WellMixedRoom::new(100.0, 100.0 * changes, 1.0).unwrap();
    let all_at_once = Release {
        start: 0.0,
        minutes: 0.0,
        mass: 100.0,
        drying: 0.0,
    };
    History::new(&room, &[all_at_once])
        .unwrap()
        .clear_from(share)
}

/// Ours is the printed figure within a share of it.
#[track_caller]
fn near(ours: Option<f64>, printed: f64, share: f64) {
    let ours = ours.unwrap();
    assert!(
        (ours - printed).abs() <= share * printed.abs(),
        "{ours}, printed {printed}"
    );
}

/// Ours rounds to the printed figure at so many decimals.
#[track_caller]
fn prints(ours: Option<f64>, printed: &str) {
    let ours = ours.unwrap();
    let decimals = printed.split_once('.').map_or(0, |(_, after)| after.len());
    assert_eq!(format!("{ours:.decimals$}"), printed, "{ours}");
}
