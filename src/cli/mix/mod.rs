//! `sandarac mix`: what to weigh and pour for a cut of shellac, and whether the shelf has it.

pub mod args;
mod to_log;

use super::log::args::WithArgs;
use super::log::draft::Draft;
use super::open;
use super::{Ended, Failure, ahead, style};
use crate::audit::Shop;
use crate::report::{fill, mix_asked, mix_json, mix_screen, mix_too_fine, mix_view};
use crate::text::clean;
use args::MixArgs;
use std::path::{Path, PathBuf};

const UNDONE: &str = "No mix was worked out.";
/// What a run comes to, once the shop is read and let go of.
enum MixOutcome {
    /// To be printed.
    Shown(String, Ended),
    /// To be written into the log, with what must be said of it.
    Settled(Vec<Draft>, Vec<String>),
}

/// Says what to mix, or writes down that it was mixed.
pub fn run(args: &MixArgs) -> Result<Ended, Failure> {
    let folder = folder(args);
    // Whoever reads a shop keeps writers out, so that the reading ends before the writing begins.
    match outcome(args, folder.as_deref())? {
        MixOutcome::Shown(text, ended) => style::print(&text).map(|()| ended),
        MixOutcome::Settled(drafts, said) => {
            let mut text = to_log::written(folder.as_deref(), args, &drafts)?;
            for words in said {
                text.push_str(&fill(&clean(&words), style::columns(), "! ", "  "));
                text.push('\n');
            }
            style::print(&text).map_err(Failure::after_writing)?;
            Ok(Ended::Well)
        }
    }
}

fn outcome(args: &MixArgs, folder: Option<&Path>) -> Result<MixOutcome, Failure> {
    let mut opened = match folder {
        Some(folder) => open::shop(folder, &[])?,
        None => Shop::empty()?,
    };
    let given = args.on.is_some() || args.when.is_some();
    if !given {
        opened.leave_out_answers_after(WithArgs::now());
    }
    let refused = |why| open::refusal(why, UNDONE);
    let asked = mix_asked(&args.request(), &opened).map_err(refused)?;
    let stock = opened.stock(args.day())?;
    let is_ahead = ahead::tell(given, &opened, &stock, None);
    let audit = opened.audit_of(stock)?;
    let cautions = open::cautions()?;
    let mut view = mix_view(&audit, &cautions, &asked, folder.is_some()).map_err(refused)?;
    if let Some(jar) = &args.log {
        to_log::may_be_now(args, &opened)?;
        let drafts = to_log::settled(&view, args, jar, &opened)?;
        return Ok(MixOutcome::Settled(drafts, view.untested()));
    }
    view.commands = to_log::commands(&view, args, opened.tables.shop.locale);
    let text = match &args.json {
        Some(_) => mix_json(&view).map_err(Failure::unprinted)?,
        None => mix_screen(&view, style::columns())
            .map_err(mix_too_fine)
            .map_err(refused)?,
    };
    let ended = match view.is_short() {
        true => Ended::Findings,
        false => Ended::Well,
    };
    Ok(MixOutcome::Shown(text, ended.unless(is_ahead)))
}

/// The shop that is meant, if one is.
fn folder(args: &MixArgs) -> Option<PathBuf> {
    let here = Path::new("shop.toml").exists();
    args.shop
        .clone()
        .or_else(|| here.then(|| PathBuf::from(".")))
}
