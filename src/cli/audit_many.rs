//! `sandarac audit SHOP SHOP …`: many shops side by side, one summary. One bad shop never stops the others.

use super::args::AuditArgs;
use super::open::AUDITED;
use super::output::{OutputKind, put};
use super::report_files::{JSON_OR, OR, reports_folder, write_reports};
use super::{Ended, Failure, ahead, earlier, open, style};
use crate::parallel::{cores, on_each};
use crate::quantity::Day;
use crate::report::{ManyView, ShopLine, View, many, many_json, shops_page};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// What came of one shop.
struct Done {
    line: Result<ShopLine, (String, String)>,
    us: bool,
    fails: bool,
    is_ahead: bool,
}

/// Audits every folder, each with its own reports, and prints the summary.
pub fn run(args: &AuditArgs, folders: &[&PathBuf]) -> Result<Ended, Failure> {
    if args.binder.is_some() {
        return Err(Failure::refused(
            format!("A binder is for one shop, but {} are named.", folders.len()),
            "Audit each shop by itself, with its own `--binder FOLDER`.",
            AUDITED,
        ));
    }
    let on = args.shop.day();
    style::progress_begins();
    let count = AtomicUsize::new(0);
    let done = on_each(folders, cores(), |folder| {
        let done = one(args, folder, on);
        let so_far = count.fetch_add(1, Ordering::Relaxed) + 1;
        style::progress(so_far, folders.len(), "shops");
        done
    });
    style::progress_ends();
    let fails = done.iter().any(|done| done.fails);
    let is_ahead = done.iter().any(|done| done.is_ahead);
    let us = done.iter().filter(|done| done.us).count() * 2 >= done.len();
    let (mut shops, mut unread) = (Vec::new(), Vec::new());
    for done in done {
        match done.line {
            Ok(line) => shops.push(line),
            Err(why) => unread.push(why),
        }
    }
    let bad = unread.len();
    let view = ManyView::new(on, us, shops, unread);
    if let Some(path) = &args.page {
        put(path, OutputKind::Shops, "Leave `--page` out.", |out| {
            out.write_all(shops_page(&view).as_bytes())
        })?;
    }
    let as_json = || many_json(&view).map_err(Failure::unprinted);
    match args.json.as_deref() {
        Some(path) if path == Path::new("-") => style::print(&as_json()?)?,
        Some(path) => {
            let text = as_json()?;
            put(path, OutputKind::Audit, JSON_OR, |out| {
                out.write_all(text.as_bytes())
            })?;
            screen(args, &view)?;
        }
        None => screen(args, &view)?,
    }
    if bad > 0 {
        let shops = if bad == 1 { "shop" } else { "shops" };
        return Err(Failure::refused(
            format!("{bad} {shops} could not be audited."),
            "Audit one by itself to see all its problems.",
            "Shops that were not audited are not in the totals.",
        ));
    }
    let ended = if fails { Ended::Findings } else { Ended::Well };
    Ok(ended.unless(is_ahead))
}

/// The summary, unless `--quiet` is given.
fn screen(args: &AuditArgs, view: &ManyView) -> Result<(), Failure> {
    if args.quiet {
        return Ok(());
    }
    style::print(&many(view, style::columns()))
}

/// One shop, of which only a line is kept.
fn one(args: &AuditArgs, folder: &Path, on: Day) -> Done {
    let shown = folder.display().to_string();
    match audited(args, folder, &shown, on) {
        Ok(done) => done,
        Err(failure) => {
            let why = match failure {
                Failure::Said(text) | Failure::Later(text) => text,
            };
            let why = why.lines().next().unwrap_or("error").to_string();
            Done {
                line: Err((shown, why)),
                us: true,
                fails: true,
                is_ahead: false,
            }
        }
    }
}

fn audited(args: &AuditArgs, folder: &Path, shown: &str, on: Day) -> Result<Done, Failure> {
    let mut opened = open::shop_by(folder, &args.shop.packs, args.shop.now())?;
    let audit = open::audit(&opened, on)?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &opened, &audit.stock, Some(folder));
    let cautions = open::cautions()?;
    let mut view = View::new(&audit, &cautions);
    view.hold_against(earlier::look(folder, on, &opened.tables.shop.name));
    opened.steady()?;
    if !args.no_reports {
        let reports = reports_folder(folder, OR)?;
        // The shops themselves are audited side by side already.
        write_reports(&reports, &view, 1)?;
    }
    let done = Done {
        line: Ok(ShopLine::new(shown, &view)),
        us: view.us,
        fails: audit.fails_on(args.fail_on.severity()),
        is_ahead,
    };
    drop(view);
    drop(audit);
    if !args.no_reports {
        open::note_rows(&mut opened, folder);
    }
    Ok(done)
}
