//! Questions that a rule may ask: a value with its evidence, or why it is not known. Nothing here judges.

mod facts;
mod hazard;
mod kept;
mod known;
mod mixture;
mod select;
mod soiling;
mod spirit;
mod working;

pub use facts::{Facts, ShopOnDay};
pub use hazard::{FlashContradiction, Hazard, hazards};
pub use kept::{Age, Kept, kept};
pub use known::{Evidence, Fact, Gap, Known};
pub use mixture::{mixture_boils, mixture_flash};
pub use select::{
    ContainerFilter, ContentFilter, Match, PlaceFilter, RoomFilter, fixture_kinds, levels,
    selector_words,
};
pub use soiling::{heats, parcel_heats};
pub use spirit::{Spirit, spirit};
pub use working::Working;
