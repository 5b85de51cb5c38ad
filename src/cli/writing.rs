//! What all commands do that write into the tables of a shop: open its store, and say why nothing was written.

use super::open::{self, WRITTEN};
use super::{Ended, Failure, style};
use crate::audit::NotAudited;
use crate::files::Refused;
use crate::store::{Access, NotWritten, Store};
use crate::text::{Shape, clean};
use std::path::Path;

/// How `log` may be told to write all the same; other commands have no such option.
pub(super) const ANYWAY: &str = " Or add --anyway.";

/// The store of a shop; what it finished for others is reported. `or` is another way out than those of [`failure`], in words.
pub(super) fn store(
    folder: &Path,
    tables: &[&'static Shape],
    access: Access,
    or: &str,
) -> Result<Store, Failure> {
    let store = Store::open(folder, tables, access).map_err(|not| {
        let only_lost = matches!(not, NotWritten::Shop(NotAudited::Problems(_)))
            && !or.is_empty()
            && Store::open(folder, tables, Access::LookAnyway).is_ok();
        match failure(not, or) {
            Failure::Said(text) if only_lost => {
                let (problems, undone) = text.rsplit_once("\n\n").unwrap_or((&text, WRITTEN));
                Failure::Said(format!(
                    "{problems}\n  To save the entry first and settle this later, add --anyway.\n\n{undone}"
                ))
            }
            failure => failure,
        }
    })?;
    for note in &store.notes {
        style::complain(&format!("note: {}", clean(&note.to_string())));
    }
    Ok(store)
}

/// How a command ends that wrote an entry although rows of the tables are lost: they are named again, and it does not end well.
pub(super) fn borne(store: &Store, dry_run: bool) -> Ended {
    let Some(problems) = &store.borne else {
        return Ended::Well;
    };
    let did = match dry_run {
        true => "Nothing was written.",
        false => {
            "The entry is saved; do not enter it again. Every command reports this until it is settled."
        }
    };
    style::complain(&problems.text(did));
    Ended::Findings
}

/// `10081` as `10081 minutes`; a unit that was written stays.
fn minutes_shown(written: &str) -> String {
    let unit = if written.ends_with(|c: char| c.is_ascii_digit()) {
        " minutes"
    } else {
        ""
    };
    format!("{}{unit}", clean(written))
}

/// What a folder refused; rows that are in the journal already are not lost.
fn refused_by_folder(refused: &Refused) -> Failure {
    let words = refused.words();
    if let Refused::Left(..) = refused {
        let later = "A later step failed: the entry is in the journal, but not in every table yet.";
        return Failure::Later(format!("{}\n  {}\n\n{later}", words.wrong, words.fix));
    }
    Failure::refused(words.wrong, words.fix, WRITTEN)
}

/// Why nothing was written, in words. `or` is another way out, as a sentence.
pub(super) fn failure(not: NotWritten, or: &str) -> Failure {
    let (wrong, fix) = match not {
        NotWritten::Shop(not) => return open::failure(not, WRITTEN),
        NotWritten::Problems(misfit) => return Failure::Said(misfit.shown.text(WRITTEN)),
        NotWritten::Folder(refused) => return refused_by_folder(&refused),
        NotWritten::OpenElsewhere { file, sign } => (
            format!(
                "{file} is open in another program, which would save over this entry ({sign} is there)."
            ),
            format!("Save and close it there, then try again. If it is closed, delete {sign}.{or}"),
        ),
        NotWritten::Ahead { name, when, now } => {
            let name = if name.is_empty() {
                name
            } else {
                format!("{}: ", clean(&name))
            };
            (
                format!("{name}{when} is ahead of this computer's clock, which says {now}."),
                format!(
                    "Write the time it happened, with --when or in its row, or set the clock right.{or}"
                ),
            )
        }
        NotWritten::TooLong { name, minutes } => (
            format!(
                "{}: {} of work is more than a day.",
                clean(&name),
                minutes_shown(&minutes)
            ),
            "Write how many minutes the work took, with --minutes or in its row.".to_string(),
        ),
        NotWritten::ClockBehind { last, now } => (
            format!("This computer's clock says {now}, but log.csv goes on to {last}."),
            format!(
                "Set the clock right, give the time it happened with --when, or correct the date of that entry in log.csv.{or}"
            ),
        ),
        NotWritten::OtherContent { id, .. } => (
            format!(
                "The id {} belongs to an entry that says something else.",
                clean(&id)
            ),
            "Give the new entry an id of its own.".to_string(),
        ),
        NotWritten::OnlyLooking => (
            "The shop was opened only to look.".to_string(),
            "Open it for writing.".to_string(),
        ),
    };
    Failure::refused(wrong, fix, WRITTEN)
}
