//! The states of a rag or pad, and what each entry of the log does to it: one table, to be checked against the trade by
//! reading it. It knows no numbers of rags; `rags.rs` carries it out.
//!
//! Only an entry changes a state. Time alone never makes a rag dry: a person must look and log a passed test.

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
    /// A polishing pad, moist with alcohol in the lidded jar for pads: the jar is a container of flammable liquid, and the
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
    /// Clear of the building, but a heap there is still a heap until it is spread.
    Outdoors,
    /// A line outdoors: what hangs on it has air on both sides.
    Line,
    /// Water over it, in a lidded metal can.
    WaterCan,
    /// A can for oily waste.
    OilyCan,
    /// The jar for pads. It is one for pads only; a rag in it is loose.
    PadJar,
}
use RagPlace::{Line, Loose, OilyCan, Outdoors, PadJar, WaterCan};

/// What becomes of a rag that an entry takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fate {
    /// It is in this state from now on.
    Becomes(RagState),
    /// It leaves the shop.
    ThrownOut,
    /// It is gone and was never dangerous: used up, or discarded without an entry.
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

/// In which order batches are taken, and which of them an entry without a number means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TakeOrder {
    /// In the order of the table; nothing becomes less dangerous by it.
    AsListed,
    /// The same; of wet ones, those that no entry soiled come first.
    UnusedFirst,
    /// As `AsListed`, but some of several batches could be others than those: where they are then is not clear.
    CarriedAsListed,
    /// As `CarriedAsListed`; clean ones last, and without a number only soiled rags.
    SoiledAsListed,
    /// The least dangerous first. Clean rags are meant only where the soiled ones are too few.
    SafestFirst,
    /// As `SafestFirst`, but without a number and without soiled rags the clean ones are meant.
    SafestFirstOrClean,
    /// The least dangerous first, clean ones too.
    AnySafestFirst,
    /// Those that have lain longest first; where it is not clear which, none.
    LongestFirst,
}

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
    /// Takes as many rags as the entry says, or all that it means. Too few are a problem.
    Takes(&'static [RagChange], TakeOrder),
    /// Takes unused rags. Where they are too few, the others may be wet ones used again, or rags that no row has: they count as more.
    Soils(&'static [RagChange]),
    /// Takes rags in the order of the table. Where all are taken from everywhere, their row is at the new place from now on.
    Carries(&'static [RagChange]),
    /// If the test was passed: changes rags in such a state where they are.
    Dries(&'static [RagChange]),
    /// Fewer than in the book: takes the missing ones. More: they are new, and have unknown finish on them.
    Counts(&'static [RagChange]),
    /// Discards everything at the place, of every row.
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
/// What is in a can already stays in one since the same moment, so that no night is lost from can to can.
const INTO_CAN: &[RagChange] = &[
    change(
        &[Wet, Flat, UnderWater, InJar, Dry, Clean],
        Becomes(InCan),
        Restarts,
    ),
    change(&[InCan], Becomes(InCan), RunsOn),
];
const UNDER_WATER: &[RagChange] = &[change(PUT_AWAY, Becomes(UnderWater), Restarts)];
const INTO_JAR: &[RagChange] = &[change(PUT_AWAY, Becomes(InJar), Restarts)];
const FLAT: &[RagChange] = &[change(PUT_AWAY, Becomes(Flat), Restarts)];
const PUT_AWAY: &[RagState] = &[Wet, Flat, UnderWater, InCan, InJar, Dry, Clean];
/// Spread anywhere but outdoors, a rag is loose. One that was put away is taken before one that is wet already, or it would still
/// count as put away; a clean one is meant last.
const SPREAD_INDOORS: &[RagChange] = &[
    change(
        &[InJar, InCan, UnderWater, Flat, Dry],
        Becomes(Wet),
        Restarts,
    ),
    change(&[Wet], Becomes(Wet), RunsOn),
    change(&[Clean], Becomes(Wet), Restarts),
];
/// What is taken out of a can, out of the water or in from outdoors is wet and loose again. It is taken before rags that
/// change nothing but their place.
const CARRIED: &[RagChange] = &[
    change(&[InJar, InCan, UnderWater, Flat], Becomes(Wet), Restarts),
    change(&[Wet], Becomes(Wet), RunsOn),
    change(&[Dry], Becomes(Dry), RunsOn),
    change(&[Clean], Becomes(Clean), RunsOn),
];
/// Which of them could still self-heat is kept.
const DISCARDED: &[RagChange] = &[change(
    &[Clean, Dry, UnderWater, InCan, InJar, Flat, Wet],
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
        Adds, Carries, Counts, Dries, Empties, NotPoured, Nothing, Soils, Takes, WantsPlace,
    };
    use TakeOrder::{AnySafestFirst, AsListed, SafestFirst, SafestFirstOrClean, SoiledAsListed};
    match (what, place) {
        (What::Receive, _) => Adds(Clean),
        (What::Soil | What::Use, Loose | Outdoors | Line | WaterCan | OilyCan) => Soils(SOILED),
        (What::Soil | What::Use, PadJar) => Takes(CHARGED, AsListed),
        (What::Spread, Outdoors | Line) => Takes(FLAT, SafestFirst),
        (What::Spread, Loose | WaterCan | OilyCan | PadJar) => {
            Takes(SPREAD_INDOORS, SoiledAsListed)
        }
        (What::Soak, WaterCan) => Takes(UNDER_WATER, SafestFirst),
        (What::Soak, Loose | Outdoors | Line | OilyCan | PadJar) => WantsPlace("water-can"),
        (What::Bin, OilyCan) => Takes(INTO_CAN, SafestFirst),
        (What::Bin, Loose | Outdoors | Line | WaterCan | PadJar) => WantsPlace("oily-waste-can"),
        // A heap that is carried outdoors is a heap outdoors.
        (What::Move, Loose | Outdoors) => Carries(CARRIED),
        (What::Move, Line) => Takes(FLAT, SafestFirstOrClean),
        (What::Move, WaterCan) => Takes(UNDER_WATER, SafestFirstOrClean),
        (What::Move, OilyCan) => Takes(INTO_CAN, SafestFirstOrClean),
        (What::Move, PadJar) => Takes(INTO_JAR, SafestFirstOrClean),
        (What::Discard, _) => Takes(DISCARDED, AnySafestFirst),
        (What::Test, _) => Dries(DRIED),
        (What::Count, _) => Counts(MISSED),
        (What::Empty, WaterCan | OilyCan) => Empties,
        (What::Empty, Loose | Outdoors | Line | PadJar) => {
            WantsPlace("oily-waste-can or water-can")
        }
        (What::Mix | What::Decant, _) => NotPoured,
        (What::Open | What::Correct, _) => Nothing,
    }
}

impl RagPlace {
    /// What the place of a location does for rags, or for pads.
    pub fn find(tables: &ShopTables, location: Location, pads: bool) -> RagPlace {
        let Some(place) = location.place else {
            return Loose;
        };
        let place = &tables[place];
        match place.kind {
            PlaceKind::Outdoors => Outdoors,
            // A line counts only where the shop says that it hangs outdoors, clear of the building.
            PlaceKind::DryingLine if place.listed == Some(true) => Line,
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
            Loose | Outdoors => Wet,
            Line => Flat,
            WaterCan => UnderWater,
            OilyCan => InCan,
            PadJar => InJar,
        }
    }
}

impl Fate {
    /// The state that a rag is in after it.
    pub fn state(self) -> Option<RagState> {
        match self {
            Becomes(state) => Some(state),
            ThrownOut | Gone | Missing => None,
        }
    }
}

impl RagState {
    /// Without finish on it that could still self-heat.
    pub(super) fn is_harmless(self) -> bool {
        match self {
            Clean | Dry => true,
            Wet | Flat | UnderWater | InCan | InJar => false,
        }
    }
}
