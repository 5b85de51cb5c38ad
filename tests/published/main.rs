//! Every check against something printed outside the project: one file a source, with its edition and how it was seen.
//!
//! `text`: the source or an official twin was read. `secondary`: a copy or a page that restates it. `memory`: from
//! memory, unconfirmed. `computed`: worked by other means from stated inputs, not printed anywhere.
#![allow(clippy::unwrap_used)]

mod abulencia_theodore;
mod air_changes;
mod air_lock_notes;
mod antoine_notebook;
mod cdc_1994;
mod cdc_2003;
mod chemicals_docstrings;
mod epa_spill;
mod ethanol_water;
mod exposure_conversion;
mod flash_mixtures;
mod ifc_2018;
mod industrial_ventilation;
mod niosh;
mod osha_air_contaminants;
mod osha_storage_room;
mod paint_confined_spaces;
mod room_to_limit;
mod saturated_vapour;
mod solvent_oven_note;
mod table_g11;
mod tank_table;
mod vapour_pressures;
mod voc;

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
