//! `sandarac audit`: the main job.

use super::args::AuditArgs;
use super::output::{OutputKind, put};
use super::report_files::{JSON_OR, OR, reports_folder, write_reports};
use super::{Ended, Failure, ahead, binder, earlier, open, style};
use crate::audit::Audit;
use crate::report::{FORMATS, Format, Json, View, terminal};
use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Audits a shop, writes its reports, and prints them for people or for programs.
pub fn run(args: &AuditArgs) -> Result<Ended, Failure> {
    if let (Some(first), false) = (&args.shop.shop, args.more.is_empty()) {
        let folders: Vec<&PathBuf> = std::iter::once(first).chain(&args.more).collect();
        return super::audit_many::run(args, &folders);
    }
    let folder = open::folder(args.shop.shop.as_deref())?;
    let binder = binder::asked(args, &folder)?;
    let mut opened = open::shop_by(&folder, &args.shop.packs, args.shop.now())?;
    let stock = open::stock(&opened, args.shop.day())?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &opened, &stock, None);
    let papers = match &binder {
        Some(_) => Some(binder::papers(&opened, &stock)?),
        None => None,
    };
    let audit = opened.audit_of(stock)?;
    if args.reports_nothing() {
        opened.steady()?;
    } else {
        report(args, &folder, &audit, binder.as_ref().zip(papers.as_ref()))?;
    }
    let ended = match audit.fails_on(args.fail_on.severity()) {
        true => Ended::Findings,
        false => Ended::Well,
    };
    drop(audit);
    if !args.no_reports {
        open::note_rows(&mut opened, &folder);
    }
    Ok(ended.unless(is_ahead))
}

/// Writes and prints what is asked for.
fn report(
    args: &AuditArgs,
    folder: &Path,
    audit: &Audit<'_>,
    binder: Option<(&binder::BinderWanted, &binder::Papers)>,
) -> Result<(), Failure> {
    let cautions = open::cautions()?;
    let mut view = View::new(audit, &cautions);
    view.hold_against(earlier::look(folder, view.on, &view.shop));
    view.full = args.full;
    audit.shop.steady()?;
    // Nothing is made in the folder before the shop has read cleanly.
    let mut as_json = JsonOf {
        view: &view,
        made: None,
    };
    if !args.no_reports {
        let reports = reports_folder(folder, OR)?;
        write_reports(&reports, &view, FORMATS.len())?;
        as_json.made = Some(reports.join(Json.file(view.on)));
    }
    let told = match binder {
        Some((binder, papers)) => binder.write(papers, (audit, &view), |out| as_json.write(out))?,
        None => String::new(),
    };
    match args.json.as_deref() {
        Some(path) if path == Path::new("-") => style::print_as_made(|out| as_json.write(out))?,
        Some(path) => {
            put(path, OutputKind::Audit, JSON_OR, |out| as_json.write(out))?;
            screen(args, &view, (&told, as_json.folder()))?;
        }
        None => screen(args, &view, (&told, as_json.folder()))?,
    }
    Ok(())
}

/// The audit for programs. Where its report was written just now, that is copied and not made again.
struct JsonOf<'v> {
    view: &'v View<'v>,
    made: Option<PathBuf>,
}

impl JsonOf<'_> {
    /// The folder of the reports that were written.
    fn folder(&self) -> Option<String> {
        let folder = self.made.as_deref()?.parent()?;
        Some(folder.display().to_string())
    }

    fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        match &self.made {
            Some(path) => io::copy(&mut File::open(path)?, out).map(|_| ())?,
            None => Json.write(self.view, out)?,
        }
        out.flush()
    }
}

/// The screen report, unless `--quiet` is given, and what else was written.
fn screen(
    args: &AuditArgs,
    view: &View<'_>,
    (told, reports): (&str, Option<String>),
) -> Result<(), Failure> {
    if args.quiet {
        return Ok(());
    }
    let reports = reports.as_deref();
    style::show(&terminal(view, style::columns(), args.full, reports))?;
    if told.is_empty() {
        return Ok(());
    }
    style::print(&format!("\n{told}"))
}
