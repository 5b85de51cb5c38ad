//! `sandarac audit`: the main job.

use super::args::AuditArgs;
use super::{Ended, Failure, ahead, binder, earlier, open, parallel, style};
use crate::report::{FORMATS, Format, Json, View, terminal, write};
use std::fmt::Display;
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
    let mut as_json = JsonOf {
        view: &view,
        made: None,
    };
    if !args.no_reports {
        let reports = reports_folder(&folder, OR)?;
        write_reports(&reports, &view, parallel::cores())?;
        as_json.made = Some(reports.join(Json.file(view.on)));
    }
    let told = match (&binder, &papers) {
        (Some(binder), Some(papers)) => {
            binder.write(papers, (&audit, &view), |out| as_json.write(out))?
        }
        _ => String::new(),
    };
    match args.json.as_deref() {
        Some(path) if path == Path::new("-") => as_json.write(&mut io::stdout().lock())?,
        Some(path) => {
            write::filled(path, |out| as_json.write(out))
                .map_err(|fault| said(path, &fault, "print it with `--json -`"))?;
            screen(args, &view, &told)?;
        }
        None => screen(args, &view, &told)?,
    }
    if view.fails_on(args.fail_on.severity()) {
        Ok(Ended::Findings)
    } else {
        Ok(Ended::Well)
    }
}

/// The audit for programs. Where its report was written just now, that is copied and not made again.
struct JsonOf<'v> {
    view: &'v View<'v>,
    made: Option<PathBuf>,
}

impl JsonOf<'_> {
    fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        match &self.made {
            Some(path) => io::copy(&mut File::open(path)?, out).map(|_| ())?,
            None => Json.write(self.view, out)?,
        }
        out.flush()
    }
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

/// A file or folder that cannot be written, and what else can be done.
pub(super) fn said(path: &Path, fault: impl Display, or: &str) -> Failure {
    let fix = format!("Check that you may write there and that the disk has room, or {or}.");
    Failure::unwritten(path, fault, fix)
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
        Ok(_) => Err(Failure::refused(
            format!("{} leads out of the shop folder.", folder.display()),
            "Replace it with a folder of its own.",
            "No reports were written.",
        )),
        Err(fault) => Err(said(&folder, &fault, or)),
    }
}

/// Every format of the audit into its own file, each whole or not at all, on so many threads at once.
pub(super) fn write_reports(folder: &Path, view: &View<'_>, threads: usize) -> Result<(), Failure> {
    let written = parallel::on_each(&FORMATS, threads, |format| {
        let path = folder.join(format.file(view.on));
        write::filled(&path, |out| format.write(view, out)).map_err(|fault| said(&path, &fault, OR))
    });
    written.into_iter().collect()
}
