//! The states of a rag or pad, and what each entry of the log does to it: one table, to be checked against the trade by
//! reading it. It knows no numbers of rags; `rags.rs` carries it out.
//!
//! Only an entry changes a state. Time alone never makes a rag dry: somebody looks, and logs a passed test.

use crate::record::{Location, PlaceKind, ShopTables, What};

/// The state of a rag or pad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RagState {
    /// As bought.
    Clean,
    /// With finish on it, lying or hanging anywhere indoors, balled or flat.
    Wet,
    /// Spread in one layer outdoors.
    Flat,
    /// Under water in a lidded metal can.
    UnderWater,
    /// In a can for oily waste.
    InCan,
    /// A polishing pad, moist with spirit in the lidded jar for pads: the jar is a container of flammable liquid, and the
    /// pad is wet again the moment it leaves it.
    InJar,
    /// Found hard and dry.
    Dry,
}
use RagState::{Clean, Dry, Flat, InCan, InJar, UnderWater, Wet};

/// What a place does for a rag with finish on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum RagPlace {
    /// Nothing: anywhere indoors, or not known where.
    Loose,
    /// Air on both sides, clear of the building.
    Outdoors,
    /// Water over it, in a lidded metal can.
    WaterCan,
    /// A can for oily waste.
    OilyCan,
    /// The jar for pads. It is one for pads only; a rag in it is loose.
    PadJar,
}
use RagPlace::{Loose, OilyCan, Outdoors, PadJar, WaterCan};

/// What becomes of a rag that an entry takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fate {
    /// It is in this state from now on.
    Becomes(RagState),
    /// It leaves the shop.
    ThrownOut,
    /// It is gone and was never dangerous: used up, or thrown out without an entry.
    Gone,
    /// It is gone, was soiled, and no entry says where to: it may smolder somewhere.
    Missing,
}
use Fate::{Becomes, Gone, Missing, ThrownOut};

/// Since when a rag counts as in its state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum RagClock {
    /// Since this entry, unless it stays in the same state at the same place.
    Restarts,
    /// Since the first moment.
    RunsOn,
}
use RagClock::{Restarts, RunsOn};

/// One line of the table.
#[derive(Debug)]
pub(super) struct RagChange {
    /// Rags in these states are taken, in this order.
    pub from: &'static [RagState],
    /// What becomes of them.
    pub to: Fate,
    /// Since when they count as that.
    pub clock: RagClock,
}

const fn change(from: &'static [RagState], to: Fate, clock: RagClock) -> RagChange {
    RagChange { from, to, clock }
}

/// What an entry does.
#[derive(Debug)]
pub(super) enum Effect {
    /// As many new rags as the entry says are in this state.
    Adds(RagState),
    /// Takes as many rags as the entry says, or all. Too few are a problem.
    Takes(&'static [RagChange]),
    /// The same, but without a number the clean ones stay.
    TakesSoiled(&'static [RagChange]),
    /// The same as `Takes`, and where all are taken, their row is at the new place from now on.
    Carries(&'static [RagChange]),
    /// If the test was passed: changes every rag in such a state where it is.
    IfPassed(&'static [RagChange]),
    /// Fewer than in the book: takes the missing ones. More: they are new, and have unknown finish on them.
    Counts(&'static [RagChange]),
    /// Throws out everything at the place, of every row.
    Empties,
    /// A problem: the entry is for a place of another kind.
    WantsPlace(&'static str),
    /// A problem: rags cannot be poured.
    NotPoured,
    /// Nothing.
    Nothing,
}

/// A clean rag is taken first, then a dry one. What touches finish is wet until it is put away.
const SOILED: &[RagChange] = &[
    change(&[Clean, Dry, InJar], Becomes(Wet), Restarts),
    change(&[Wet], Becomes(Wet), RunsOn),
];
/// A pad is charged and goes back into its jar.
const CHARGED: &[RagChange] = &[change(&[Clean, Dry, InJar, Wet], Becomes(InJar), Restarts)];
/// The wet ones are put away first. Dry ones need not be. What is in a can already stays in it since the same moment.
const INTO_CAN: &[RagChange] = &[change(PUT_AWAY, Becomes(InCan), Restarts)];
const UNDER_WATER: &[RagChange] = &[change(PUT_AWAY, Becomes(UnderWater), Restarts)];
const INTO_JAR: &[RagChange] = &[change(PUT_AWAY, Becomes(InJar), Restarts)];
const FLAT: &[RagChange] = &[change(PUT_AWAY, Becomes(Flat), Restarts)];
const PUT_AWAY: &[RagState] = &[Wet, Flat, UnderWater, InCan, InJar, Clean];
/// Spread anywhere but outdoors, a rag is as wet as before.
const SPREAD_INDOORS: &[RagChange] = &[
    change(&[Wet], Becomes(Wet), RunsOn),
    change(
        &[Flat, UnderWater, InCan, InJar, Clean],
        Becomes(Wet),
        Restarts,
    ),
];
/// What is taken out of a can, out of the water or in from outdoors is wet and loose again. It is taken before rags that
/// change nothing but their place.
const CARRIED: &[RagChange] = &[
    change(&[InJar, InCan, UnderWater, Flat], Becomes(Wet), Restarts),
    change(&[Wet], Becomes(Wet), RunsOn),
    change(&[Dry], Becomes(Dry), RunsOn),
    change(&[Clean], Becomes(Clean), RunsOn),
];
/// Dry rags go first, then what was secured. Clean ones are not thrown out.
const DISCARDED: &[RagChange] = &[change(
    &[Dry, UnderWater, InCan, Flat, InJar, Wet],
    ThrownOut,
    Restarts,
)];
/// Only what dried outdoors, in one layer, can be found dry.
const DRIED: &[RagChange] = &[change(&[Flat], Becomes(Dry), Restarts)];
/// A count that finds too few: what is harmless is missed first.
const MISSED: &[RagChange] = &[
    change(&[Clean, Dry], Gone, Restarts),
    change(&[InJar, UnderWater, InCan, Flat, Wet], Missing, Restarts),
];

/// The table: a kind of entry, where it puts the rags, and what it does to them.
pub(super) fn effect(what: What, place: RagPlace) -> Effect {
    use Effect::{
        Adds, Carries, Counts, Empties, IfPassed, NotPoured, Nothing, Takes, TakesSoiled,
        WantsPlace,
    };
    match (what, place) {
        (What::Receive, _) => Adds(Clean),
        (What::Soil | What::Use, Loose | Outdoors | WaterCan | OilyCan) => Takes(SOILED),
        (What::Soil | What::Use, PadJar) => Takes(CHARGED),
        (What::Spread, Outdoors) => TakesSoiled(FLAT),
        (What::Spread, Loose | WaterCan | OilyCan | PadJar) => TakesSoiled(SPREAD_INDOORS),
        (What::Soak, WaterCan) => TakesSoiled(UNDER_WATER),
        (What::Soak, Loose | Outdoors | OilyCan | PadJar) => WantsPlace("water-can"),
        (What::Bin, OilyCan) => TakesSoiled(INTO_CAN),
        (What::Bin, Loose | Outdoors | WaterCan | PadJar) => WantsPlace("oily-waste-can"),
        (What::Move, Loose) => Carries(CARRIED),
        (What::Move, Outdoors) => Takes(FLAT),
        (What::Move, WaterCan) => Takes(UNDER_WATER),
        (What::Move, OilyCan) => Takes(INTO_CAN),
        (What::Move, PadJar) => Takes(INTO_JAR),
        (What::Discard, _) => Takes(DISCARDED),
        (What::Test, _) => IfPassed(DRIED),
        (What::Count, _) => Counts(MISSED),
        (What::Empty, WaterCan | OilyCan) => Empties,
        (What::Empty, Loose | Outdoors | PadJar) => WantsPlace("oily-waste-can or water-can"),
        (What::Mix | What::Decant, _) => NotPoured,
        (What::Open | What::Correct, _) => Nothing,
    }
}

impl RagPlace {
    /// What the place of a location does for rags, or for pads.
    pub fn find(tables: &ShopTables, location: Location, pads: bool) -> RagPlace {
        let Some(place) = location.place_id() else {
            return Loose;
        };
        let place = &tables[place];
        match place.kind {
            PlaceKind::Outdoors => Outdoors,
            // A line counts only where the shop says that it hangs outdoors, clear of the building.
            PlaceKind::DryingLine if place.listed == Some(true) => Outdoors,
            PlaceKind::WaterCan => WaterCan,
            PlaceKind::OilyWasteCan => OilyCan,
            PlaceKind::PadJar if pads => PadJar,
            PlaceKind::Cabinet
            | PlaceKind::StoreRoom
            | PlaceKind::Shelf
            | PlaceKind::Bench
            | PlaceKind::Floor
            | PlaceKind::Window
            | PlaceKind::Refrigerator
            | PlaceKind::DryingLine
            | PlaceKind::PadJar => Loose,
        }
    }

    /// The state of a rag with finish on it that is found there.
    pub fn state(self) -> RagState {
        match self {
            Loose => Wet,
            Outdoors => Flat,
            WaterCan => UnderWater,
            OilyCan => InCan,
            PadJar => InJar,
        }
    }
}

impl RagState {
    /// Without finish on it that could still heat itself.
    pub(super) fn is_harmless(self) -> bool {
        match self {
            Clean | Dry => true,
            Wet | Flat | UnderWater | InCan | InJar => false,
        }
    }
}
