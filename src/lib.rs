//! Sandarac audits a finishing room: the tables of a shop and a day go in; findings, stock, air, due days and things to do
//! come out, as data.
//!
//! ```
//! use sandarac::audit::{NotAudited, Shop};
//! use sandarac::quantity::Moment;
//!
//! # fn main() -> Result<(), NotAudited> {
//! let shop = Shop::demo()?; // or Shop::open("my-shop".as_ref(), &[])?
//! let audit = shop.audit(Moment::now().day())?;
//! for thing in &audit.to_do().now {
//!     println!("{} at {}: {}", thing.subject.id, thing.place, thing.action);
//! }
//! for due in audit.dues().iter().take(1) {
//!     println!("next due on {}", due.day);
//! }
//! # Ok(())
//! # }
//! ```
//!
//! [`audit`] is the front door. The layers behind it, each using those before it and none after: [`quantity`], [`text`],
//! [`files`], [`pack`], [`record`], [`stock`], [`trade`], [`vapour`], [`fact`], [`finding`], [`check`], [`audit`],
//! [`store`], `workbook` (a feature), [`report`], `bench` (a feature), [`cli`].
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

pub mod audit;
#[cfg(feature = "bench")]
pub mod bench;
pub mod check;
pub mod cli;
pub mod fact;
pub mod files;
pub mod finding;
pub mod pack;
pub mod parallel;
pub mod quantity;
pub mod record;
pub mod report;
pub mod stock;
pub mod store;
pub mod text;
pub mod trade;
pub mod typing;
#[allow(clippy::float_arithmetic, reason = "the physics is an estimate in f64")]
pub mod vapour;
#[cfg(feature = "workbook")]
pub mod workbook;
