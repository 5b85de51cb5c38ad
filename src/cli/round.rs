//! `sandarac round`: the round on paper.

use super::args::RoundArgs;
use super::open::WRITTEN;
use super::option_words::PaperArg;
use super::output::{self, OutputKind};
use super::report_files::reports_folder;
use super::{Ended, Failure, ahead, enter, open, style};
use crate::report::{Paper, RoundSheet, View, sheet, sheet_csv, sheet_html, write};
use crate::text::Files;
use crate::trade::is_filled;
use std::path::Path;

/// Lays out the sheet, and writes or prints it.
pub fn run(args: &RoundArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.shop.as_deref())?;
    if let Some(path) = &args.enter {
        return enter::run(args, &folder, path.as_deref());
    }
    let shop = open::shop_by(&folder, &args.shop.packs, args.shop.now())?;
    let audit = open::audit(&shop, args.shop.day())?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &shop, &audit.stock, None);
    let cautions = open::cautions()?;
    let view = View::new(&audit, &cautions);
    let sheet = sheet(&shop.tables, &audit.stock, &view);
    shop.steady()?;
    if args.out.is_none() && args.csv.is_none() {
        return Ok(both(args, &folder, &view, &sheet)?.unless(is_ahead));
    }
    if let Some(path) = &args.out {
        put(path, OutputKind::Round, &page(args, &view, &sheet))?;
    }
    if let Some(path) = &args.csv {
        not_filled(path)?;
        put(path, OutputKind::RoundTable, &table(&sheet)?)?;
    }
    Ok(Ended::Well.unless(is_ahead))
}

fn page(args: &RoundArgs, view: &View<'_>, sheet: &RoundSheet) -> String {
    let usual = if view.us { Paper::Letter } else { Paper::A4 };
    let paper = args.paper.map_or(usual, PaperArg::paper);
    sheet_html(sheet, view, paper)
}

fn table(sheet: &RoundSheet) -> Result<String, Failure> {
    sheet_csv(sheet).map_err(Failure::unprinted)
}

fn both(
    args: &RoundArgs,
    folder: &Path,
    view: &View<'_>,
    sheet: &RoundSheet,
) -> Result<Ended, Failure> {
    let reports = reports_folder(folder, OR)?;
    let (page, table) = (page(args, view, sheet), table(sheet)?);
    let path = |ending| reports.join(format!("{}-round.{ending}", view.on));
    not_filled(&path("csv"))?;
    for (ending, text) in [("html", page), ("csv", table)] {
        let path = path(ending);
        write::whole(&path, text.as_bytes()).map_err(|fault| unwritten(&path, &fault))?;
        style::print(&format!("Wrote {}\n", path.display()))?;
    }
    style::print(&format!(
        "{} rows. Print the page. To enter the answers later, fill in the table.\n",
        sheet.rows
    ))?;
    Ok(Ended::Well)
}

/// A filled-in sheet is never overwritten.
fn not_filled(path: &Path) -> Result<(), Failure> {
    if !path.is_file() {
        return Ok(());
    }
    let mut files = Files::default();
    let filled = files
        .open_table("sheet.csv", path, &[])
        .is_ok_and(|file| is_filled(&files, file));
    if !filled {
        return Ok(());
    }
    let shown = path.display();
    Err(Failure::refused(
        format!("{shown} is filled in and would be overwritten."),
        format!("Enter it with `--enter {shown}`, or name another file with `--csv`."),
        WRITTEN,
    ))
}

/// Prints to standard output, or writes a file.
fn put(path: &Path, kind: OutputKind, text: &str) -> Result<(), Failure> {
    if path == Path::new("-") {
        return style::print(text);
    }
    output::put(path, kind, FIX, |out| out.write_all(text.as_bytes()))?;
    style::print(&format!("Wrote {}\n", path.display()))
}

/// What can be done where a file cannot be written.
const FIX: &str = "Name a file in a folder where you may write, or `-` to print it.";
/// What can be done without a reports folder.
const OR: &str = "name files with `--out` and `--csv`, or `-` to print one";

fn unwritten(path: &Path, fault: &std::io::Error) -> Failure {
    Failure::unwritten(path, fault, FIX)
}
