//! `sandarac labels`: a sheet of labels to print.

use super::args::LabelsArgs;
use super::output::{OutputKind, put};
use super::report_files::{reports_folder, said};
use super::{Ended, Failure, ahead, open, style};
use crate::audit::Shop;
use crate::report::{
    LabelSheet, LabelSize, LabelSources, Paper, fill, label_page, label_sheet, missing, named,
    sign_page, write,
};
use crate::stock::Stock;
use crate::text::clean;
use std::path::{Path, PathBuf};

/// Makes the labels and writes them, or prints the page.
pub fn run(args: &LabelsArgs) -> Result<Ended, Failure> {
    let (folder, names) = shop_and_names(args)?;
    let opened = open::shop_by(&folder, &args.shop.packs, args.shop.now())?;
    let paper = args.paper.map_or(
        if opened.tables.shop.us {
            Paper::Letter
        } else {
            Paper::A4
        },
        super::option_words::PaperArg::paper,
    );
    let stock = open::stock(&opened, args.shop.day())?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &opened, &stock, None);
    if args.signs {
        let page = sign_page(&opened.tables, paper);
        if let Some(path) = put_page(args, &folder, (&stock, "signs"), &page)? {
            style::print(&format!("Wrote {}.\n", clean(&path.display().to_string())))?;
        }
    } else {
        labels(args, &folder, (&opened, &stock), &names, paper)?;
    }
    Ok(Ended::Well.unless(is_ahead))
}

/// Labels of containers by their names, or of all.
fn labels(
    args: &LabelsArgs,
    folder: &Path,
    (opened, stock): (&Shop, &Stock),
    names: &[String],
    paper: Paper,
) -> Result<(), Failure> {
    let ghs = opened.ghs()?;
    let hazards = opened.hazards(stock);
    let mut wanted = named(&opened.tables, stock, names);
    if !wanted.refused.is_empty() {
        return Err(Failure::Said(wanted.refused.join("\n\n")));
    }
    if args.missing {
        missing(&opened.tables, &mut wanted.wanted);
    }
    if wanted.wanted.is_empty() {
        if args.missing {
            return style::print("Every container is on record as labeled. No labels were made.\n");
        }
        return Err(Failure::refused(
            format!("No container holds a liquid or flakes on {}.", stock.on),
            "Name a container to label it empty.",
            UNDONE,
        ));
    }
    let sources = LabelSources {
        tables: &opened.tables,
        stock,
        hazards: &hazards,
        reference: &opened.reference,
        ghs: &ghs,
    };
    let size = args.size.clone().unwrap_or_else(|| LabelSize::usual(paper));
    let Some(sheet) = label_sheet(&sources, &wanted.wanted, &size, paper) else {
        return Err(Failure::refused(
            format!(
                "No label of {} fits on {} paper with its margins.",
                size.shown,
                paper.word()
            ),
            "Choose a smaller size.",
            UNDONE,
        ));
    };
    let page = label_page(&sheet);
    if let Some(path) = put_page(args, folder, (stock, "labels"), &page)? {
        style::print(&told(&sheet, &path))?;
    }
    Ok(())
}

/// Prints a page, or writes it and says where.
fn put_page(
    args: &LabelsArgs,
    folder: &Path,
    (stock, kind): (&Stock, &str),
    page: &str,
) -> Result<Option<PathBuf>, Failure> {
    if args.html.is_some() {
        style::print(page)?;
        return Ok(None);
    }
    let path = match &args.out {
        Some(path) => path.clone(),
        None => reports_folder(folder, OR)?.join(format!("{}-{kind}.html", stock.on)),
    };
    if let Some(parent) = path
        .parent()
        .filter(|parent| !parent.as_os_str().is_empty())
        && !parent.is_dir()
    {
        let why = format!("there is no folder {}", parent.display());
        return Err(said(&path, why, OR));
    }
    match &args.out {
        Some(path) => {
            let or = format!("Check that you may write there and that the disk has room, or {OR}.");
            put(path, OutputKind::Labels, &or, |out| {
                out.write_all(page.as_bytes())
            })?;
        }
        None => {
            let written = write::whole(&path, page.as_bytes());
            written.map_err(|fault| said(&path, fault, OR))?;
        }
    }
    Ok(Some(path))
}

/// What can be done without a reports folder.
const OR: &str = "name a file with `--out`, or print it with `--html -`";
const UNDONE: &str = "No labels were made.";

/// The shop folder and the names behind it. Without a folder, in a shop's own folder, the first word is a name too.
fn shop_and_names(args: &LabelsArgs) -> Result<(PathBuf, Vec<String>), Failure> {
    let mut names = args.names.clone();
    let given = args.shop.shop.as_deref();
    if let Some(first) = given.filter(|given| !given.is_dir())
        && Path::new("shop.toml").exists()
    {
        names.insert(0, first.to_string_lossy().into_owned());
        return Ok((open::folder(None)?, names));
    }
    Ok((open::folder(given)?, names))
}

/// What was written, and what whoever prints it must look at.
fn told(sheet: &LabelSheet, path: &Path) -> String {
    let count = |number: usize, one: &str, many: &str| {
        format!("{number} {}", if number == 1 { one } else { many })
    };
    let columns = style::columns();
    let wrote = format!(
        "Wrote {}: {} of {} on {} of {} paper.",
        clean(&path.display().to_string()),
        count(sheet.labels(), "label", "labels"),
        sheet.size.shown,
        count(sheet.sheets(), "sheet", "sheets"),
        sheet.paper.word()
    );
    let mut text = fill(&wrote, columns, "", "");
    text.push_str("\n\n");
    for warning in &sheet.warnings {
        text.push_str(&fill(&clean(warning), columns, "- ", "  "));
        text.push('\n');
    }
    if !sheet.warnings.is_empty() {
        text.push('\n');
    }
    let cut = if sheet.grid.is_cut {
        "Print page 1 at 100 % on plain paper and hold it against your sheet of cut labels. Its margins are from memory. If it \
         does not fit, measure a label and name its --size, or cut the labels out."
    } else {
        "Print at 100 % and cut from mark to mark."
    };
    let words = &format!(
        "{cut} The last pages are cards and notes. This is a screening aid: the label of the maker and the data sheet come \
         first. Never label a food or drink container."
    );
    text.push_str(&fill(words, columns, "", ""));
    text.push('\n');
    text
}
