//! One file a table: typed, as written, not yet believed. This layer knows no rule and draws no conclusion.

mod accepted;
mod action;
mod answer;
mod container;
mod doubt;
mod entry;
mod fault;
mod fixture;
mod ids;
mod material;
mod names;
mod place;
mod product;
mod read_tables;
mod room;
mod row;
mod shop;
mod tables;

pub use accepted::Acceptance;
pub use action::Action;
pub use answer::{ANSWERS, Answer, CHECKS};
pub use container::{Container, INVENTORY, Vessel};
pub use entry::{Entry, LOG, What, read_entry};
pub use fault::RecordFault;
pub use fixture::{Fixture, FixtureKind};
pub use ids::{ContainerId, PlaceId, ProductId, RoomId};
pub use material::{Material, Materials, Property, Stated, read_materials};
pub use place::{Place, PlaceKind};
pub use product::{Part, Product, ProductKind, parse_parts, short_of_whole};
pub use read_tables::read_tables;
pub use room::{Level, Room, RoomUse};
pub use row::{Fields, words_of};
pub use shop::{Authority, BenchSettings, LocalLimit, ShopSettings, Target, read_shop};
pub use tables::{Location, ShopTables};
