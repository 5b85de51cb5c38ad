//! One neutral view of an audit, and one file a format. What a reader sees is worded here and nowhere else.

mod cautions;
mod json;
mod markdown;
mod rows;
mod terminal;
mod view;
mod wrap;
pub mod write;

pub use cautions::{Caution, read_cautions};
pub use json::json;
pub use markdown::markdown;
pub use rows::rows;
pub use terminal::{stock_table, terminal};
pub use view::{Counts, PackView, StockRow, View, build};
pub use wrap::{fill, width};
