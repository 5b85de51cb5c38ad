//! One neutral view of an audit, and one file a format. What a reader sees is worded here and nowhere else.

mod against;
mod air;
mod air_plan;
mod air_view;
mod binder;
mod cautions;
mod chart;
mod cited;
mod closing;
mod code;
mod columns;
mod due;
mod earlier;
mod entry_effect;
mod finding_details;
mod finding_rooms;
mod findings_csv;
mod floor;
mod footnotes;
mod format;
mod groups;
mod html;
mod html_table;
mod ics;
mod json;
mod kept;
mod label;
mod listings;
mod many;
mod markdown;
mod may_buy;
mod mix;
mod mix_view;
mod mixing;
mod month;
mod not_audited;
mod one_screen;
mod page;
mod paint;
mod plot;
mod reconcile;
mod rule_groups;
mod running_low;
mod screen;
mod session_words;
mod share;
mod sheet;
mod sheet_csv;
mod sheet_html;
mod sheet_rows;
mod sheet_weight;
mod shelf;
mod statements;
mod stock_screen;
mod supply;
mod table;
mod terminal;
mod typed;
mod use_first;
mod view;
pub mod words;
mod wrap;
mod year;

pub use crate::files::write;
pub use against::{ActionRow, ActionState, Comparison, FindingChange};
pub use air::air_month;
pub use air_plan::{PlanView, air_plan};
pub use air_view::{AirView, MOST_SESSIONS, air_svg};
pub use binder::{
    BINDER_MARK, BinderPhoto, BinderSources, Copied, KeptRecord, binder_page, read_daybook,
    read_records,
};
pub use cautions::{Caution, read_cautions};
pub use closing::{closing_line, closing_screen};
#[cfg(feature = "bench")]
pub use code::code_for_terminal;
pub use code::{code_svg, container_link};
pub use due::DueItem;
pub use earlier::{Earlier, Key, Looked, Past, Tally, day_named, read_earlier};
pub use entry_effect::{AmountLeft, EntryEffect};
pub use findings_csv::Csv;
pub use format::Format;
pub use ics::DueCalendar;
pub use json::{Json, air_json, closing_json, many_json, mix_json};
pub use label::{
    LABELS_MARK, LabelSheet, LabelSize, LabelSources, LabelWanted, Named, Paper, SizeFault,
    label_page, label_sheet, missing, named, sign_page,
};
pub use many::{ManyView, ShopLine, many};
pub use markdown::Markdown;
pub use mix::mix_screen;
pub use mix_view::{Keeps, MixBatch, MixClass, MixNeed, MixView, Pour, Recipe, kilograms, litres};
pub use mixing::{MixAsked, MixRequest, mix_asked, mix_too_fine, mix_view};
pub use not_audited::{Refusal, not_audited};
pub use page::{Page, SHOPS_MARK, shops_page};
pub use paint::paint;
pub use reconcile::reconcile_table;
pub use running_low::running_low;
pub use screen::Screen;
pub use session_words::session_words;
pub use sheet::sheet;
pub use sheet_csv::{Fill, sheet_csv, sheet_filled};
pub use sheet_html::{ROUND_MARK, sheet_html};
pub use sheet_rows::{Ask, Leg, RoundCheck, RoundCount, RoundLine, RoundSheet};
pub use shelf::{MonthRow, StockRow};
pub use stock_screen::stock_table;
pub use supply::Supply;
pub use terminal::terminal;
pub use typed::{WorkRequest, work_asked};
pub use use_first::{AgingStock, expiring, use_first};
pub use view::{Counts, PackView, View};
pub use wrap::{fill, width};

/// Every format of the audit, each with its file in the reports of a shop. Those that take longest come first, so that threads
/// which take the next one in turn end at about the same time.
pub const FORMATS: [&dyn Format; 5] = [&Page, &Json, &Csv, &Markdown, &DueCalendar];
