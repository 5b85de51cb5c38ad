//! `sandarac workbook`: all tables as one workbook, and its changes back.

use super::log::args::WithArgs;
use super::log::brings;
use super::open::WRITTEN;
use super::{Ended, Failure, open, style, writing};
use crate::quantity::Moment;
use crate::record::shapes;
use crate::report::write as write_file;
use crate::store::{Access, Store, each_entry};
use crate::text::counted;
use crate::workbook::{
    Difference, Merged, NotMade, Reason, Workbook, difference_words, kept_words, merge, plan,
    question_words, unread_words, write,
};
use clap::{Args as ClapArgs, ValueEnum};
use std::io::{BufRead, IsTerminal};
use std::path::{Path, PathBuf};

/// `workbook`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Example: sandarac workbook my-shop shelf.xlsx\n\
    Change the sheets, add rows, save, close the file, then: sandarac workbook my-shop --take shelf.xlsx\n\
    Entries of the log and answers of the round can be added, not changed.\n\
    A new amount for a container with entries becomes a count.")]
pub struct WorkbookArgs {
    /// Shop folder. The default is this folder
    pub shop: Option<PathBuf>,
    /// Workbook to write (.xlsx)
    #[arg(value_name = "FILE.xlsx", conflicts_with = "take")]
    pub file: Option<PathBuf>,
    /// Take the changes made in this workbook (.xlsx or .ods) into the tables, all of them or nothing
    #[arg(long, value_name = "FILE")]
    pub take: Option<PathBuf>,
    /// With --take: write without asking. Rows deleted in the workbook and cells changed on both sides still need their own
    /// option
    #[arg(long, requires = "take")]
    pub yes: bool,
    /// With --take: also delete the rows that were deleted in the workbook
    #[arg(long, requires = "take")]
    pub delete: bool,
    /// With --take: which side wins if both changed the same cell
    #[arg(long, value_enum, value_name = "SIDE", requires = "take")]
    pub prefer: Option<PreferredSide>,
}

/// One of two sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PreferredSide {
    /// The tables of the shop.
    Shop,
    /// The workbook.
    Workbook,
}

/// Writes a workbook, or takes one back.
pub fn run(args: &WorkbookArgs) -> Result<Ended, Failure> {
    if let Some(path) = &args.take {
        let folder = open::folder(args.shop.as_deref())?;
        return take(args, &folder, path);
    }
    // A lone file is meant for this folder.
    let lone = args
        .shop
        .as_ref()
        .filter(|path| args.file.is_none() && is_workbook(path));
    let (shop, file) = match lone {
        Some(file) => (None, Some(file)),
        None => (args.shop.as_deref(), args.file.as_ref()),
    };
    let folder = open::folder(shop)?;
    let Some(file) = file else {
        return Err(Failure::refused(
            "No workbook is named.",
            "Name the file to write: `sandarac workbook my-shop shelf.xlsx`. To read one back, use `--take shelf.xlsx`.",
            WRITTEN,
        ));
    };
    if !is_workbook(file) {
        return Err(Failure::refused(
            format!("{} is not the name of a workbook.", file.display()),
            "Workbooks are written as .xlsx.",
            WRITTEN,
        ));
    }
    make(&folder, file)?;
    style::print(&format!(
        "Wrote {0}.\nNext: change it, save and close it, then sandarac workbook {1} --take {0}\n",
        file.display(),
        folder.display()
    ))?;
    Ok(Ended::Well)
}

fn is_workbook(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("xlsx"))
}

/// Writes the workbook of a shop.
pub(super) fn make(folder: &Path, file: &Path) -> Result<(), Failure> {
    let shop = open::shop(folder, &[])?;
    // Only a log that was read to its end is known to have all rows.
    each_entry(&shop, |_| ());
    let lost = shop.trusted(&shop.lost_rows());
    lost.map_err(|not| open::failure(not, WRITTEN))?;
    not_changed(&shop, file)?;
    let bytes = write(&shop, WithArgs::now()).map_err(|NotMade(why)| Failure::unprinted(why))?;
    shop.steady()?;
    write_file::whole(file, &bytes).map_err(|fault| {
        Failure::unwritten(
            file,
            &fault,
            "Close it in the spreadsheet, or name another file.",
        )
    })
}

/// Changes in a workbook that are not in the shop yet are not written over.
fn not_changed(shop: &crate::audit::Shop, file: &Path) -> Result<(), Failure> {
    if !file.exists() {
        return Ok(());
    }
    let same = Workbook::read(file)
        .ok()
        .and_then(|book| merge(shop, &book).ok());
    if same.is_some_and(|it| {
        it.differences.is_empty() && it.questions.is_empty() && it.kept.is_empty()
    }) {
        return Ok(());
    }
    let shown = file.display();
    Err(Failure::refused(
        format!("{shown} has changes that are not in the shop, or is not a workbook of this shop."),
        format!("Take its changes first with `--take {shown}`, or name another file."),
        WRITTEN,
    ))
}

/// Takes the changes of a workbook into the tables.
fn take(args: &WorkbookArgs, folder: &Path, path: &Path) -> Result<Ended, Failure> {
    let book = Workbook::read(path).map_err(|not| {
        let (wrong, fix) = unread_words(&path.display().to_string(), &not);
        Failure::refused(wrong, fix, WRITTEN)
    })?;
    let store = writing::store(folder, &shapes(), Access::Write, "")?;
    let merged = merge(&store.shop, &book).map_err(|not| open::failure(not, WRITTEN))?;
    style::print(&kept_words(&merged).concat())?;
    let differences = decided(args, merged)?;
    if differences.is_empty() {
        style::print("There are no changes to take. Nothing was written.\n")?;
        return Ok(Ended::Well);
    }
    let mut text = String::new();
    for difference in &differences {
        text.push_str(&format!("{}\n", difference_words(difference)));
    }
    style::print(&text)?;
    let now = WithArgs::now();
    write_all(args, &store, &differences, now)
}

fn write_all(
    args: &WorkbookArgs,
    store: &Store,
    differences: &[Difference],
    now: Moment,
) -> Result<Ended, Failure> {
    let plan = plan(store, differences, now).map_err(|not| writing::failure(not, ""))?;
    let many = counted(differences.len(), "change");
    if !args.yes {
        if !is_asked() {
            return Err(Failure::refused(
                format!("{many} would be written."),
                "Add --yes to write them, or run the command on a terminal, where it asks.",
                WRITTEN,
            ));
        }
        if !yes(&format!("Write {many}? (yes or no) "))? {
            style::print("Nothing was written.\n")?;
            return Ok(Ended::Untrusted);
        }
    }
    store
        .write(&plan)
        .map_err(|not| writing::failure(not, ""))?;
    let brought = brings(&plan, style::columns());
    style::print(&format!("Wrote {many}.\n{brought}")).map_err(Failure::after_writing)?;
    Ok(Ended::Well)
}

/// The differences to write, once every question is decided.
fn decided(args: &WorkbookArgs, merged: Merged) -> Result<Vec<Difference>, Failure> {
    let mut differences = merged.differences;
    let mut open = Vec::new();
    for question in merged.questions {
        let by_option = match question.reason {
            Reason::Deleted => args.delete.then_some(true),
            Reason::ChangedInBoth { .. } | Reason::RemovedFromShop | Reason::AddedInBoth => {
                args.prefer.map(|side| side == PreferredSide::Workbook)
            }
        };
        match by_option {
            Some(true) => differences.push(question.difference),
            Some(false) => {}
            None if args.yes || !is_asked() => open.push(question),
            None if yes(&format!("{} (yes or no) ", question_words(&question)))? => {
                differences.push(question.difference);
            }
            None => {}
        }
    }
    if open.is_empty() {
        return Ok(differences);
    }
    let lines: Vec<String> = open.iter().map(question_words).collect();
    Err(Failure::refused(
        lines.join("\n"),
        "Run the command on a terminal, where it asks. Or add --delete to delete these rows, and --prefer shop or \
         --prefer workbook for cells that both sides changed.",
        WRITTEN,
    ))
}

fn is_asked() -> bool {
    std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
}

/// Asks until it is a yes or a no; the end of the input is a no.
fn yes(question: &str) -> Result<bool, Failure> {
    loop {
        style::print(question)?;
        let mut text = String::new();
        if std::io::stdin().lock().read_line(&mut text)? == 0 {
            return Ok(false);
        }
        match text.trim().to_lowercase().as_str() {
            "y" | "yes" => return Ok(true),
            "n" | "no" => return Ok(false),
            _ => {}
        }
    }
}
