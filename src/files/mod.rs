//! A shop folder on disk: read as of one moment, and written all or not at all.
//!
//! In go folders, rows and bytes; out come files that may be read, and changes that are synced. This layer knows tables as
//! rows and columns, but not what they are about. Every change of a table is first written to the journal, then to the table;
//! the next command that opens the folder finishes what was cut short in between.

mod admit;
mod change;
mod journal;
mod kept_rows;
mod lost_fault;
mod lost_rows;
mod patience;
mod photo;
mod records;
mod recover;
mod restore;
mod row_index;
mod seen_rows;
mod table_edit;
mod table_end;
mod table_text;
mod whole_folder;
pub mod write;

pub use admit::{Barred, admit, open_in};
pub use change::{Change, Note, Refused};
pub use journal::{Journal, Reading};
pub use kept_rows::{JOURNAL, KeptRow};
pub use lost_rows::{ChangedRow, LostRows};
pub use photo::{MOST_PHOTO_BYTES, PHOTOS, drop_photo, is_photo_name, keep_photo, photo_of};
pub use restore::Restored;
pub use row_index::{expect_rows, has_rows};
pub use seen_rows::note_rows;
pub use table_edit::TableEdit;
pub use table_end::{NamedCells, TableEnd, cell_of, with_plain_breaks};
pub use whole_folder::{Beside, NotBegun};
