//! `sandarac audit`: the main job.

use super::args::AuditArgs;
use super::{Ended, Failure, ahead, binder, earlier, open, style};
use crate::report::{View, ics, json, markdown, page, rows, terminal, write};
use std::path::{Path, PathBuf};

/// Audits a shop, writes its reports, and prints them for people or for programs.
pub fn run(args: &AuditArgs) -> Result<Ended, Failure> {
    if let (Some(first), false) = (&args.shop.shop, args.more.is_empty()) {
        let folders: Vec<&PathBuf> = std::iter::once(first).chain(&args.more).collect();
        return super::audit_many::run(args, &folders);
    }
    let folder = open::folder(args.shop.shop.as_deref())?;
    let binder = binder::asked(args, &folder)?;
    let opened = open::shop(&folder, &args.shop.packs)?;
    let stock = open::stock(&opened, args.shop.day())?;
    ahead::tell(args.shop.on.is_some(), &stock, None);
    let papers = match &binder {
        Some(_) => Some(binder::papers(&opened, &stock)?),
        None => None,
    };
    let audit = opened.audit_of(stock)?;
    let stock = &audit.stock;
    let cautions = open::cautions()?;
    let mut view = open::view(&audit, &cautions);
    view.hold_against(earlier::look(&folder, stock.on, &opened.tables.shop.name));
    opened.steady()?;
    // Nothing is made in the folder before the shop has read cleanly.
    let reports = if args.no_reports {
        None
    } else {
        Some(reports_folder(&folder, OR)?)
    };
    let as_json = if reports.is_some() || args.json.is_some() || binder.is_some() {
        json(&view).map_err(|fault| Failure::Said(format!("error: {fault}")))?
    } else {
        String::new()
    };
    if let Some(reports) = &reports {
        write_reports(reports, &view, &as_json)?;
    }
    let told = match (&binder, &papers) {
        (Some(binder), Some(papers)) => binder.write(papers, (&opened, stock, &view), &as_json)?,
        _ => String::new(),
    };
    match args.json.as_deref() {
        Some(path) if path == Path::new("-") => style::print(&as_json)?,
        Some(path) => {
            write::whole(path, as_json.as_bytes())
                .map_err(|fault| said(path, &fault, "print it with `--json -`"))?;
            screen(args, &view, &told)?;
        }
        None => screen(args, &view, &told)?,
    }
    let ended = if view.fails_on(args.fail_on.severity()) {
        Ended::Findings
    } else {
        Ended::Well
    };
    // The process ends here: the system takes the memory back at once, and what is freed piece by piece takes a tenth of
    // the time of a large shop.
    std::mem::forget(view);
    std::mem::forget(audit);
    std::mem::forget(opened);
    Ok(ended)
}

/// The screen report, unless nobody wants to see it, and what else was written.
fn screen(args: &AuditArgs, view: &View<'_>, told: &str) -> Result<(), Failure> {
    if args.quiet {
        return Ok(());
    }
    style::show(&terminal(view, style::columns(), args.full))?;
    if told.is_empty() {
        return Ok(());
    }
    style::print(&format!("\n{told}"))
}

/// What an audit can do without its reports folder.
pub(super) const OR: &str = "use `--no-reports`";

fn said(path: &Path, fault: &std::io::Error, or: &str) -> Failure {
    Failure::Said(format!(
        "error: {} cannot be written: {fault}\n = help: check that you may write there and that the disk has room, or {or}",
        path.display()
    ))
}

/// The reports folder of a shop, made if it is not there; a link that leads elsewhere is refused. `or` says what can be done
/// without it.
pub(super) fn reports_folder(shop: &Path, or: &str) -> Result<PathBuf, Failure> {
    let folder = shop.join("reports");
    std::fs::create_dir_all(&folder).map_err(|fault| said(&folder, &fault, or))?;
    let inside =
        std::fs::canonicalize(&folder).and_then(|real| Ok((real, std::fs::canonicalize(shop)?)));
    match inside {
        Ok((real, shop)) if real.starts_with(&shop) => Ok(folder),
        Ok(_) => Err(Failure::Said(format!(
            "error: {} leads out of the shop folder\n = help: make it a folder of its own",
            folder.display()
        ))),
        Err(fault) => Err(said(&folder, &fault, or)),
    }
}

/// `DAY-audit.md`, `.csv`, `.json` and `.html`, and `due.ics`, each whole or not at all.
pub(super) fn write_reports(folder: &Path, view: &View<'_>, as_json: &str) -> Result<(), Failure> {
    let as_rows = rows(view).map_err(|fault| Failure::Said(format!("error: {fault}")))?;
    let formats = [
        (format!("{}-audit.md", view.on), markdown(view)),
        (format!("{}-audit.csv", view.on), as_rows),
        (format!("{}-audit.json", view.on), as_json.to_string()),
        (format!("{}-audit.html", view.on), page(view)),
        // Without a day in its name, so that a calendar can go on reading the same file.
        ("due.ics".to_string(), ics(view)),
    ];
    for (name, text) in formats {
        let path = folder.join(name);
        write::whole(&path, text.as_bytes()).map_err(|fault| said(&path, &fault, OR))?;
    }
    Ok(())
}
