//! Rule packs as written: data with a citation in every value. This layer knows no kind of check and no shop.

mod about;
mod adjust;
mod adopt;
mod case;
mod citation;
mod classes;
mod contents;
mod dated;
pub mod document;
mod embedded;
mod fault;
mod folder;
mod load;
mod rule;
mod select;

pub use about::{Binds, PackAbout, SourceDocument};
pub use adjust::{Adjust, StoredIn};
pub use case::{Case, TABLES, read_cases};
pub use citation::{Citation, Seen};
pub use classes::{Band, Class, Scheme};
pub use contents::Pack;
pub use dated::{Dated, InForce};
pub use document::{Document, Section, WithSpan, word};
pub use embedded::{
    CAUTIONS, CHECKS, EmbeddedFile, GHS, KEEPING, MATERIALS, RECORDS, WORKED_OUT, built_in_packs,
    demo, pack_starter, starter,
};
pub use fault::PackFault;
pub use load::{built_in_names, load_built_in, load_folder, load_held, load_to_check};
pub use rule::{Adopted, LimitValue, OPTIONS, Replaced, Rule, Severity, TOPICS};
pub use select::Select;
