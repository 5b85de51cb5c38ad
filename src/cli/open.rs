//! Opens the shop that a command means, and says in words why it could not.

use super::{Failure, style};
use crate::audit::{Audit, NotAudited, Shop};
use crate::files;
use crate::pack;
use crate::quantity::{Day, Moment};
use crate::report::{Caution, KeptRecord, Refusal, not_audited, read_cautions, read_records};
use crate::stock::Stock;
use crate::text::{Files, Problems, clean, show_all};
use std::path::{Path, PathBuf};

/// What was not done where the files of a shop have problems.
pub(super) const AUDITED: &str = "Nothing was audited.";
pub(super) const WRITTEN: &str = "Nothing was written.";
pub(super) const LISTED: &str = "Nothing was listed.";

/// The folder meant by a command: the one given, else this one if it holds a shop.
pub fn folder(given: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(folder) = given {
        return Ok(folder.to_path_buf());
    }
    if Path::new("shop.toml").exists() {
        return Ok(PathBuf::from("."));
    }
    Err(Failure::refused(
        "No shop folder is given, and this folder has no shop.toml.",
        "Name the shop folder, or write one to start from with `sandarac new my-shop`.",
        "Nothing was done.",
    ))
}

/// Opens a shop folder. `only` names the packs to keep; none keeps all that the shop names.
pub fn shop(folder: &Path, only: &[String]) -> Result<Shop, Failure> {
    let shop = Shop::open(folder, only)?;
    for note in &shop.notes {
        style::complain(&format!("note: {}", clean(&note.to_string())));
    }
    Ok(shop)
}

/// As [`shop`], for a reader. Where the user names no day, answers that are later than now are left out.
pub fn shop_by(folder: &Path, only: &[String], now: Option<Moment>) -> Result<Shop, Failure> {
    let mut opened = shop(folder, only)?;
    if let Some(now) = now {
        opened.leave_out_answers_after(now);
    }
    Ok(opened)
}

/// Notes how many rows an audit with reports saw, so that a shorter log is reported from then on.
pub fn note_rows(shop: &mut Shop, folder: &Path) {
    shop.let_writers_in();
    for note in files::note_rows(folder, &shop.rows_seen()) {
        style::complain(&format!("note: {}", clean(&note.to_string())));
    }
}

/// Replays the log to a day; progress is shown.
pub fn stock(shop: &Shop, on: Day) -> Result<Stock, Failure> {
    Ok(style::while_waiting(&shop.files.rows_read(), || {
        shop.stock(on)
    })?)
}

/// Audits a shop on a day; a person who waits is reported how far it is.
pub fn audit(shop: &Shop, on: Day) -> Result<Audit<'_>, Failure> {
    Ok(shop.audit_of(stock(shop, on)?)?)
}

/// The cautions that are built in.
pub fn cautions() -> Result<Vec<Caution>, Failure> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("data/cautions.toml", pack::CAUTIONS.as_bytes());
    let cautions = read_cautions(&files, file, &mut problems);
    trusted(cautions, &problems, &files)
}

/// Which records are kept, and for how long.
pub fn records() -> Result<Vec<KeptRecord>, Failure> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("data/records.csv", pack::RECORDS.as_bytes());
    let records = read_records(&files, file, &mut problems);
    trusted(records, &problems, &files)
}

fn trusted<T>(value: T, problems: &Problems, files: &Files) -> Result<T, Failure> {
    if problems.none() {
        Ok(value)
    } else {
        Err(Failure::Said(show_all(problems, files)))
    }
}

impl From<NotAudited> for Failure {
    fn from(not: NotAudited) -> Failure {
        failure(not, AUDITED)
    }
}

/// Why there is no audit, in words, and what was not done because of it.
pub(super) fn failure(not: NotAudited, undone: &str) -> Failure {
    refusal(not_audited(not), undone)
}

/// A refusal of the library, and what was not done because of it.
pub(super) fn refusal(refusal: Refusal, undone: &str) -> Failure {
    match refusal {
        Refusal::Problems(problems) => Failure::Said(problems.text(undone)),
        Refusal::Words(words) => Failure::refused(words.wrong, words.fix, undone),
    }
}
