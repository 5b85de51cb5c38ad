//! `sandarac close`: what is not accounted for before everyone goes home. It never writes.

use super::{Ended, Failure, ahead, log, open, style};
use crate::audit::Shop;
use crate::quantity::Moment;
use crate::report::{closing_json, closing_line, closing_screen};
use clap::Args;
use std::path::PathBuf;

/// `close`.
#[derive(Debug, Args)]
#[command(after_help = "Example: sandarac close my-shop\n\
    In a shell prompt: sandarac close --quiet\n\
    Exit code: 0 nothing is open, 1 something is open, 2 the files or the clock have a problem. It never writes.")]
pub struct CloseArgs {
    /// Shop folder. The default is this folder
    pub shop: Option<PathBuf>,
    /// Time to look at, such as 5pm, 'yesterday 17:30' or a day for its end. The default is now
    #[arg(long, value_parser = log::moment_args::end_moment, value_name = "MOMENT")]
    pub at: Option<Moment>,
    /// Print one line if something is open, and nothing if not
    #[arg(long, short, conflicts_with = "json")]
    pub quiet: bool,
    /// Print the list as JSON. The only value is `-`
    #[arg(long, value_name = "-", value_parser = ["-"])]
    pub json: Option<String>,
}

impl CloseArgs {
    /// The moment asked for, or now: the only look at the clock of this command.
    pub fn moment(&self) -> Moment {
        self.at.unwrap_or_else(Moment::now)
    }
}

/// Prints the list of the evening; with `--quiet` at most one line of it.
pub fn run(args: &CloseArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.as_deref())?;
    let listed = |not| open::failure(not, open::LISTED);
    let mut shop = Shop::open_tables(&folder).map_err(listed)?;
    let at = args.moment();
    if args.at.is_none() {
        shop.leave_out_answers_after(at);
    }
    let (closing, stock) = shop.closing(at).map_err(listed)?;
    let is_ahead = ahead::tell(args.at.is_some(), &shop, &stock, None);
    let name = &shop.tables.shop.name;
    if args.json.is_some() {
        let text = closing_json(name, &closing, &shop.files).map_err(Failure::unprinted)?;
        style::print(&text)?;
    } else if args.quiet {
        if let Some(line) = closing_line(&closing, style::columns()) {
            style::print(&format!("{line}\n"))?;
        }
    } else {
        let from = args.shop.as_deref().map(|shop| shop.display().to_string());
        let from = from.as_deref().filter(|from| *from != ".");
        style::print(&closing_screen(
            (name, shop.tables.shop.us),
            &closing,
            from,
            style::columns(),
        ))?;
    }
    let ended = match closing.open() {
        0 => Ended::Well,
        _ => Ended::Findings,
    };
    Ok(ended.unless(is_ahead))
}
