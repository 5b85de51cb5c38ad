//! One neutral view of an audit, and one file a format. What a reader sees is worded here and nowhere else.

mod against;
mod air;
mod air_plan;
mod air_view;
mod binder;
mod cautions;
mod cited;
mod closing;
mod corner;
mod due;
mod earlier;
mod floor;
mod groups;
mod ics;
mod json;
mod json_air;
mod json_closing;
mod json_many;
mod json_mix;
mod json_month;
mod kept;
mod kinds;
mod label;
mod lines;
mod many;
mod markdown;
mod may_buy;
mod mix;
mod mix_view;
mod month;
mod page;
mod paint;
mod plot;
mod reconcile;
mod rows;
mod running_low;
mod same;
mod sheet;
mod sheet_csv;
mod sheet_html;
mod shelf;
mod table;
mod terminal;
mod urgent;
mod use_first;
mod view;
mod wrap;
mod year;

pub use crate::text::write;
pub use against::{ActionRow, ActionState, Against, Change};
pub use air::air_month;
pub use air_plan::{PlanView, air_plan};
pub use air_view::{AirView, MOST_SESSIONS, air_svg};
pub use binder::{
    BINDER_MARK, BinderSources, Copied, KeptRecord, binder_page, read_daybook, read_records,
    record_from,
};
pub use cautions::{Caution, read_cautions};
pub use closing::{closing_line, closing_screen};
pub use due::Due;
pub use earlier::{Earlier, Key, Looked, Past, Tally, day_named, read_earlier};
pub use ics::ics;
pub use json::json;
pub use json_air::air_json;
pub use json_closing::closing_json;
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
pub use page::page;
pub use paint::paint;
pub use reconcile::reconcile_table;
pub use rows::rows;
pub use running_low::{Supply, running_low};
pub use same::differs;
pub use sheet::{Ask, Check, Count, Leg, Line, Sheet, sheet};
pub use sheet_csv::{Fill, sheet_csv, sheet_filled};
pub use sheet_html::sheet_html;
pub use shelf::{MonthRow, StockRow};
pub use table::stock_table;
pub use terminal::terminal;
pub use use_first::{Shelf, expiring, use_first};
pub use view::{Counts, PackView, View, build};
pub use wrap::{fill, width};
