//! One page a file, made from what the audit says. A page reads; what it wants written it sends through a form.

pub mod closing;
pub mod container;
pub mod devices;
pub mod emergency;
pub mod entries;
pub mod log;
pub mod mix;
pub mod more;
pub mod now;
pub mod office;
pub mod pair;
pub mod plan;
pub mod print;
pub mod rags;
pub mod round;
pub mod round_save;
pub mod sheets;
pub mod stock;
#[cfg(feature = "workbook")]
mod workbook;
