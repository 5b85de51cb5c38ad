//! Labels for containers, pad jars and rag cans: what each says, how it fits its size, and the sheet to print.
//!
//! `facts` and `places` gather what is said; `fit` lays it out in whole micrometres; `sheet` lays labels out on paper;
//! `html` writes the page, and is the only file that knows HTML.

mod facts;
mod fit;
mod hazards;
mod html;
mod notes;
mod pictogram;
mod places;
mod sheet;
mod view;
mod warnings;

pub use html::label_page;
pub use sheet::{LabelSize, Paper, SizeFault};
pub use view::{LabelSheet, LabelSources, LabelWanted, Named, label_sheet, named};
