//! What must hold whatever is written: numbers exact, every cell in its place, no bytes that stop the program, and a log
//! that loses nothing.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "properties/bytes.rs"]
mod bytes;
#[path = "properties/log.rs"]
mod log;
#[path = "properties/metamorphic.rs"]
mod metamorphic;
#[path = "properties/mixing.rs"]
mod mixing;
#[path = "properties/months.rs"]
mod months;
#[path = "properties/numbers.rs"]
mod numbers;
#[path = "properties/places.rs"]
mod places;
#[path = "properties/rag_worlds.rs"]
mod rag_worlds;
#[path = "properties/rags.rs"]
mod rags;
#[path = "properties/shop.rs"]
mod shop;

use proptest::prelude::ProptestConfig;

/// So many cases, all rebuilt in each run, none kept on the disk.
pub(crate) fn few(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}
