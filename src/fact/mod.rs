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
mod select_measures;
mod shellac_alcohol;
mod soiling;
mod substances;
mod working;

pub use facts::{Facts, ShopOnDay};
pub use hazard::{FlashContradiction, Hazard};
pub use hazards::{Hazards, hazards};
pub use kept::{Age, Kept, KeptBy, KeptTimes, kept};
pub use known::{Evidence, Fact, Gap, Known};
pub use matching::Match;
pub use mixture::{mixture_boils, mixture_flash};
pub use room_filter::{RoomFilter, levels};
pub use select::{ContainerFilter, ContentFilter, PlaceFilter, fixture_kinds, selector_words};
pub use shellac_alcohol::{ShellacAlcohol, shellac_alcohol};
pub use soiling::{heats, is_self_heating};
pub use substances::may_contain;
pub use working::Working;
