//! Labels for containers, pad jars and rag cans: what each says, how it fits its size, and the sheet to print.
//!
//! `facts` and `places` gather what is said; `fit` lays it out in whole micrometres; `sheet` lays labels out on paper;
//! `html` writes the page, and is the only file that knows HTML.

mod content;
mod facts;
mod fit;
mod hazards;
mod html;
mod make;
mod notes;
mod pictogram;
mod placed;
mod places;
mod sheet;
mod signs;
mod warnings;

pub use content::LabelSources;
pub use html::{LABELS_MARK, label_page};
pub use make::{LabelWanted, Named, label_sheet, missing, named};
pub use placed::LabelSheet;
pub use sheet::{LabelSize, Paper, SizeFault};
pub use signs::sign_page;
