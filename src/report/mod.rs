//! One neutral view of an audit, and one file a format. What a reader sees is worded here and nowhere else.

mod against;
mod air;
mod air_plan;
mod air_view;
mod cautions;
mod due;
mod earlier;
mod ics;
mod json;
mod json_air;
mod json_many;
mod json_mix;
mod json_month;
mod label;
mod many;
mod markdown;
mod mix;
mod mix_view;
mod month;
mod paint;
mod plot;
mod rows;
mod sheet;
mod sheet_csv;
mod sheet_html;
mod shelf;
mod terminal;
mod view;
mod wrap;

pub use crate::text::write;
pub use against::{ActionRow, ActionState, Against, Change};
pub use air::air_month;
pub use air_plan::{PlanView, air_plan};
pub use air_view::{AirView, MOST_SESSIONS, air_svg};
pub use cautions::{Caution, read_cautions};
pub use due::Due;
pub use earlier::{Earlier, Key, Looked, Past, Tally, day_named, read_earlier};
pub use ics::ics;
pub use json::json;
pub use json_air::air_json;
pub use json_many::many_json;
pub use json_mix::mix_json;
pub use label::{
    LabelSheet, LabelSize, Named, Paper, SizeFault, Sources as LabelSources, Wanted, label_page,
    label_sheet, named,
};
pub use many::{ManyView, ShopLine, many};
pub use markdown::markdown;
pub use mix::mix_screen;
pub use mix_view::{Batch, Keeps, MixClass, MixView, Need, Pour, Recipe, kilograms, litres};
pub use paint::paint;
pub use rows::rows;
pub use sheet::{Ask, Check, Count, Leg, Line, Sheet, sheet};
pub use sheet_csv::{Fill, sheet_csv, sheet_filled};
pub use sheet_html::sheet_html;
pub use shelf::{MonthRow, StockRow};
pub use terminal::{stock_table, terminal};
pub use view::{Counts, PackView, View, build};
pub use wrap::{fill, width};
