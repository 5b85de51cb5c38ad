//! Questions that a rule may ask: a value with its evidence, or why it is unknown. Nothing here judges.

mod danger;
mod facts;
mod hazard;
mod hazards;
mod kept;
mod known;
mod matching;
mod mixture;
mod room_filter;
mod select;
mod soiling;
mod spirit;
mod substances;
mod working;

pub use facts::{Facts, ShopOnDay};
pub use hazard::{FlashContradiction, Hazard};
pub use hazards::{Hazards, hazards};
pub use kept::{Age, Kept, kept};
pub use known::{Evidence, Fact, Gap, Known};
pub use matching::Match;
pub use mixture::{mixture_boils, mixture_flash};
pub use room_filter::{RoomFilter, levels};
pub use select::{ContainerFilter, ContentFilter, PlaceFilter, fixture_kinds, selector_words};
pub use soiling::{heats, parcel_heats};
pub use spirit::{Spirit, spirit};
pub use working::Working;
