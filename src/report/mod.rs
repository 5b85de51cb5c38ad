//! One neutral view of an audit, and one file a format. What a reader sees is worded here and nowhere else.

mod cautions;
mod json;
mod markdown;
mod rows;
mod shelf;
mod terminal;
mod view;
mod wrap;
pub mod write;

pub use cautions::{Caution, read_cautions};
pub use json::json;
pub use markdown::markdown;
pub use rows::rows;
pub use shelf::{MonthRow, StockRow};
pub use terminal::{stock_table, terminal};
pub use view::{Counts, PackView, View, build};
pub use wrap::{fill, width};
