//! `sandarac audit --binder`: the inspector's binder, into a folder that holds nothing else.

use super::args::AuditArgs;
use super::open::WRITTEN;
use super::{Failure, style};
use crate::audit::{Audit, Shop};
use crate::files::{Beside, NotBegun, PHOTOS, is_photo_name, photo_of};
use crate::pack;
use crate::report::{
    BINDER_MARK, BinderPhoto, BinderSources, Copied, KeptRecord, View, binder_page, fill,
    read_daybook,
};
use crate::stock::{Daybook, Stock};
use crate::text::{Problems, counted};
use std::io::{Error, Read, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

const UNDONE: &str = "The binder was not written.";
const ROOM: &str = "Check that you may write there and that the disk has room.";
const PAGE: &str = "binder.html";
/// The audit for programs.
const JSON: &str = "audit.json";
const TABLES: &str = "tables";
/// What evidence can name besides the tables of the shop.
const BUILT_IN: [(&str, &str); 4] = [
    ("data/materials.csv", pack::MATERIALS),
    ("data/keeping.csv", pack::KEEPING),
    ("data/checks.csv", pack::CHECKS),
    ("data/records.csv", pack::RECORDS),
];
/// What systems put into any folder by themselves.
const STRAY: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

/// A file as it was before the shop was read.
type FileStamp = Option<(u64, Option<SystemTime>)>;

/// Where a binder goes, and what is known before the shop is read.
pub struct BinderWanted {
    /// As the user named it.
    shown: String,
    /// The folder itself, without links on the way.
    to: PathBuf,
    before: Vec<(&'static str, FileStamp)>,
    shop: PathBuf,
}

/// What a binder needs besides the audit.
pub struct Papers {
    records: Vec<KeptRecord>,
    daybook: Option<Daybook>,
}

/// Looks whether a binder may be written there; `None` where none is asked for. Nothing is made yet.
pub fn asked(args: &AuditArgs, shop: &Path) -> Result<Option<BinderWanted>, Failure> {
    let Some(given) = &args.binder else {
        return Ok(None);
    };
    // Without a slash at its end, which would lead through a link.
    let given: PathBuf = given.components().collect();
    let shown = given.display().to_string();
    let to = real(&given, &shown)?;
    let own = std::fs::canonicalize(shop).unwrap_or_else(|_| shop.to_path_buf());
    if own.starts_with(&to) {
        let is = if own == to { "is" } else { "contains" };
        return Err(refused(&shown, &format!("{is} the shop folder"), shop));
    }
    if ["reports", ".sandarac"]
        .iter()
        .any(|name| own.join(name) == to)
    {
        let why = "is where sandarac keeps other files of the shop";
        return Err(refused(&shown, why, shop));
    }
    if std::env::current_dir().is_ok_and(|here| here.starts_with(&to)) {
        return Err(refused(
            &shown,
            "is your current folder, or contains it",
            shop,
        ));
    }
    may_hold(&to, &shown)?;
    let before = crate::audit::files_of_a_shop().map(|name| (name, stamp(&shop.join(name))));
    Ok(Some(BinderWanted {
        shown,
        to,
        before: before.collect(),
        shop: shop.to_path_buf(),
    }))
}

fn refused(shown: &str, why: &str, shop: &Path) -> Failure {
    Failure::refused(
        format!("{shown} {why}. A binder needs a folder of its own."),
        format!(
            "Name a folder that does not exist yet, such as {}.",
            shop.join("binder").display()
        ),
        WRITTEN,
    )
}

/// Where the folder is, or will be.
fn real(given: &Path, shown: &str) -> Result<PathBuf, Failure> {
    let refused = |wrong: String, fix: &str| Err(Failure::refused(wrong, fix, WRITTEN));
    match std::fs::symlink_metadata(given) {
        Ok(found) if found.is_symlink() => refused(
            format!("{shown} is a link. A binder is not written through a link."),
            "Name the folder that it leads to, or another one.",
        ),
        Ok(found) if !found.is_dir() => refused(
            format!("{shown} is not a folder."),
            "Name an empty folder, or one that does not exist yet.",
        ),
        Ok(_) => std::fs::canonicalize(given).or_else(|fault| unreadable(shown, &fault)),
        Err(_) => {
            let parent = given
                .parent()
                .filter(|parent| !parent.as_os_str().is_empty());
            let parent = parent.unwrap_or(Path::new("."));
            let name = given.file_name();
            match (std::fs::canonicalize(parent), name) {
                (Ok(parent), Some(name)) if parent.is_dir() => Ok(parent.join(name)),
                _ => refused(
                    format!("The folder {} does not exist.", parent.display()),
                    "Make it before the binder, or name another folder.",
                ),
            }
        }
    }
}

fn unreadable<T>(shown: &str, fault: &Error) -> Result<T, Failure> {
    let wrong = format!("{shown} cannot be read: {fault}.");
    let fix = "Check that you may read it, or name another folder.";
    Err(Failure::refused(wrong, fix, WRITTEN))
}

/// An empty folder, or one that holds an earlier binder and nothing else: what is in it will go.
fn may_hold(to: &Path, shown: &str) -> Result<(), Failure> {
    let other = foreign(to).or_else(|fault| unreadable(shown, &fault))?;
    let page = to.join(PAGE);
    let wrong = match (other, first_thing(to)) {
        (Some(other), _) => format!("{shown} contains {other}, which is not part of a binder."),
        (None, Some(thing)) if !page.exists() => {
            format!("{shown} contains {thing}, but no {PAGE}.")
        }
        (None, Some(_)) if !is_a_binder(&page) => {
            format!("{shown}/{PAGE} is not the page of a binder.")
        }
        (None, Some(_) | None) => return Ok(()),
    };
    let fix = "Name an empty folder, one that does not exist yet, or one with an earlier binder and nothing else.";
    Err(Failure::refused(wrong, fix, WRITTEN))
}

/// The first foreign file in a folder, by name.
fn first_thing(to: &Path) -> Option<String> {
    let list = std::fs::read_dir(to).ok()?;
    let names =
        list.filter_map(|entry| Some(entry.ok()?.file_name().to_string_lossy().into_owned()));
    names.filter(|name| !STRAY.contains(&name.as_str())).min()
}

/// The first thing in a folder that no binder has; a folder that is not there has none.
fn foreign(to: &Path) -> std::io::Result<Option<String>> {
    let table_files: Vec<&str> = crate::audit::files_of_a_shop().collect();
    let built_in: Vec<&str> = BUILT_IN
        .iter()
        .filter_map(|(name, _)| name.strip_prefix("data/"))
        .collect();
    let levels: [(&str, &[&str], &[&str]); 4] = [
        ("", &[PAGE, JSON], &[TABLES, PHOTOS]),
        (TABLES, &table_files, &["data"]),
        ("tables/data", &built_in, &[]),
        (PHOTOS, &[], &[]),
    ];
    for (inner, files, folders) in levels {
        let place = to.join(inner);
        if !place.is_dir() {
            continue;
        }
        for entry in std::fs::read_dir(&place)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let kind = entry.file_type()?;
            let known = if kind.is_dir() {
                folders.contains(&name.as_str())
            } else {
                let is_photo = inner == PHOTOS && is_photo_name(&name);
                let own =
                    is_photo || files.contains(&name.as_str()) || STRAY.contains(&name.as_str());
                kind.is_file() && own
            };
            if !known {
                let inner = if inner.is_empty() {
                    String::new()
                } else {
                    format!("{inner}/")
                };
                return Ok(Some(format!("{inner}{name}")));
            }
        }
    }
    Ok(None)
}

/// Does the page say at its head that it is a binder?
fn is_a_binder(page: &Path) -> bool {
    let mut head = Vec::new();
    let read = std::fs::File::open(page).and_then(|file| file.take(512).read_to_end(&mut head));
    let text = String::from_utf8_lossy(&head);
    read.is_ok() && text.starts_with("<!DOCTYPE html>") && text.contains(BINDER_MARK)
}

fn stamp(path: &Path) -> FileStamp {
    let data = std::fs::metadata(path).ok()?;
    Some((data.len(), data.modified().ok()))
}

/// Reads what else a binder needs: the log once more, and the table of periods.
pub fn papers(opened: &Shop, stock: &Stock) -> Result<Papers, Failure> {
    let records = super::open::records()?;
    let mut problems = Problems::new();
    let rows = opened.files.rows_read();
    let daybook = super::style::while_waiting(&rows, || {
        read_daybook(&opened.files, &opened.tables, stock.on, &mut problems)
    });
    opened.trusted(&problems)?;
    Ok(Papers { records, daybook })
}

impl BinderWanted {
    /// Writes the binder; the line to tell.
    pub fn write(
        &self,
        papers: &Papers,
        (audit, view): (&Audit<'_>, &View<'_>),
        as_json: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
    ) -> Result<String, Failure> {
        let mut new = Beside::begin(&self.to, |left| {
            foreign(left).is_ok_and(|other| other.is_none())
        })
        .map_err(|why| self.not_begun(why))?;
        // An earlier run may have been put back just now.
        may_hold(&self.to, &self.shown)?;
        let fault = |fault: Error| self.fault(&fault);
        let opened = audit.shop;
        let mut copies = Vec::new();
        let mut copy = |name: &str, from: &mut dyn Read| -> Result<(), Failure> {
            let copied = new.copy(&format!("{TABLES}/{name}"), from);
            let (name, bytes) = (name.to_string(), copied.map_err(fault)?);
            copies.push(Copied { name, bytes });
            Ok(())
        };
        for (name, file) in opened.table_files() {
            copy(name, &mut opened.files.reader(*file).map_err(fault)?)?;
            if opened.files.held(*file).is_none() {
                self.unchanged(name)?;
            }
        }
        for (name, text) in BUILT_IN {
            copy(name, &mut text.as_bytes())?;
        }
        let mut photos = Vec::new();
        for id in opened.tables.answers.iter().filter_map(|it| it.id.as_ref()) {
            let Some((name, path)) = photo_of(&self.shop, id) else {
                continue;
            };
            let link = format!("{PHOTOS}/{name}");
            let mut file = std::fs::File::open(path).map_err(fault)?;
            new.copy(&link, &mut file).map_err(fault)?;
            let id = id.clone();
            photos.push(BinderPhoto { id, link });
        }
        let page = binder_page(&BinderSources {
            view,
            audit,
            daybook: papers.daybook.as_ref(),
            records: &papers.records,
            copies: &copies,
            photos: &photos,
        });
        new.fill(JSON, as_json).map_err(fault)?;
        new.copy(PAGE, &mut page.as_bytes()).map_err(fault)?;
        new.put_in_place().map_err(fault)?;
        let told = format!(
            "The binder is {}/{PAGE}, with {JSON} and {}; open it and print it.",
            self.shown,
            counted(copies.len(), "table")
        );
        Ok(fill(&told, style::columns(), "", "  ") + "\n")
    }

    /// A large file is read again to be copied: it must be the one that was audited.
    fn unchanged(&self, name: &str) -> Result<(), Failure> {
        let before = self.before.iter().find(|(file, _)| *file == name);
        if before.is_some_and(|(_, before)| *before == stamp(&self.shop.join(name))) {
            return Ok(());
        }
        Err(Failure::refused(
            format!(
                "Another program changed {name} while it was read, so its copy would differ from the audited table."
            ),
            "Save and close it there, then try again.",
            UNDONE,
        ))
    }

    fn not_begun(&self, why: NotBegun) -> Failure {
        match why {
            NotBegun::Busy => Failure::refused(
                format!(
                    "Another run is writing the binder {} right now.",
                    self.shown
                ),
                "Let it finish, then try again.",
                UNDONE,
            ),
            NotBegun::InTheWay(path) => Failure::refused(
                format!(
                    "{} is in the way of the new binder, and is not from an earlier run.",
                    path.display()
                ),
                "Check it and move it away, then try again.",
                UNDONE,
            ),
            NotBegun::Fault(path, fault) => Failure::refused(
                format!("{} cannot be written: {fault}.", path.display()),
                ROOM,
                UNDONE,
            ),
        }
    }

    fn fault(&self, fault: &Error) -> Failure {
        Failure::refused(
            format!("The binder {} cannot be written: {fault}.", self.shown),
            ROOM,
            "The binder was not written. An earlier one is kept.",
        )
    }
}
