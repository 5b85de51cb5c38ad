//! Sandarac audits a finishing room.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::as_conversions,
        clippy::float_arithmetic
    )
)]

pub mod check;
pub mod cli;
pub mod fact;
pub mod finding;
pub mod pack;
pub mod quantity;
pub mod record;
pub mod report;
pub mod stock;
pub mod text;
pub mod trade;
#[allow(clippy::float_arithmetic, reason = "the physics is an estimate in f64")]
pub mod vapour;
