//! `sandarac roll`: closes a period, so that what an audit costs does not grow from year to year. The inventory is written
//! as of the last day, what else the entries left behind goes to forward.csv, and the log is set aside. Nothing counts
//! before two audits, of that day and of today, were made from the new tables and say what they said before.

mod open_points;
mod tables;

use super::open::Opened;
use super::writing::{self, unwritten};
use super::{Ended, Failure, open, style};
use crate::quantity::Day;
use crate::record::{LOG, closed_books};
use crate::report::{differs, json};
use crate::stock::Stock;
use crate::text::{Journal, clean, is_unfinished};
use clap::Args;
use std::path::{Path, PathBuf};
use tables::Names;

/// `roll`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: sandarac roll my-shop --to 2026-11-02 --dry-run\n\
    It refuses while a count or a correction is open, and writes all files or none. To look back into a closed period, make a\n\
    folder of the tables that were set aside, under their old names."
)]
pub struct RollArgs {
    /// Shop folder; without it, this folder if it holds shop.toml
    pub shop: Option<PathBuf>,
    /// The last day of the period, YYYY-MM-DD; it must be over
    #[arg(long, value_parser = super::args::day, value_name = "DAY")]
    pub to: Day,
    /// Say what would be done, and write nothing
    #[arg(long)]
    pub dry_run: bool,
}

impl RollArgs {
    /// Today: the only look at the clock of this command.
    fn today(&self) -> Day {
        Day::today()
    }
}

/// Closes the books up to a day.
pub fn run(args: &RollArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.as_deref())?;
    let today = args.today();
    if args.to >= today {
        return Err(refused(
            &format!("{} is not over, and more may happen on it", args.to),
            "name a day that is over; the last of a month or year is usual",
        ));
    }
    if !folder.join("shop.toml").is_file() {
        // Nothing is made in a folder that is no shop.
        open::shop_with(&folder, &[], &[])?;
    }
    let journal = writing::hold(&folder)?;
    writing::end_of(&journal, &LOG)?;
    let names = Names::of(&folder, args.to)?;
    // As the files are before anything is read of them: what somebody saves from now on stops the whole.
    let seen = names.replacements(&journal);
    let mut opened = open::to_write(&folder, &[])?;
    in_order(&opened, args.to)?;
    let of_today = audit(&mut opened, today)?.1;
    let (stock, of_day) = audit(&mut opened, args.to)?;
    open_points::refuse(&opened, &stock)?;
    let done = match tables::stage(&journal, &opened, &stock, &names) {
        Ok(done) => done,
        Err(failure) => {
            journal.forget_staged()?;
            return Err(failure);
        }
    };
    if done.set_aside == 0 {
        journal.forget_staged()?;
        return Err(refused(
            &format!("no entry of log.csv lies on {} or before", args.to),
            "there is nothing to set aside; name a later day",
        ));
    }
    let proved = prove(
        &journal,
        &folder,
        &names,
        (args.to, &of_day),
        (today, &of_today),
    );
    if args.dry_run || proved.is_err() {
        journal.forget_staged()?;
        proved?;
    } else {
        let replaced = journal.replace(&seen);
        if replaced.is_err() && !is_unfinished(&folder) {
            journal.forget_staged()?;
        }
        replaced.map_err(|fault| writing::refused(&fault))?;
    }
    style::print(&told(args, &opened, &names, &done, today))?;
    Ok(Ended::Well)
}

/// The period must follow the one before it, and there must be a log.
fn in_order(opened: &Opened, to: Day) -> Result<(), Failure> {
    if opened.tables.log.is_none() {
        return Err(refused(
            "there is no log.csv, and so no period to close",
            "an inventory without a log is already as it stands; mend its amounts and `since`",
        ));
    }
    match closed_books(&opened.files, opened.tables.forward) {
        Some(books) if books.closed >= to => Err(refused(
            &format!("the books up to {} are closed already", books.closed),
            "name a later day",
        )),
        Some(_) | None => Ok(()),
    }
}

/// The stock of a day, and all that an audit of it says.
fn audit(opened: &mut Opened, on: Day) -> Result<(Stock, String), Failure> {
    let stock = opened.stock(on)?;
    let audit = opened.audit(&stock)?;
    let view = opened.view(&stock, &audit);
    let text = json(&view).map_err(|fault| Failure::Said(format!("error: {fault}")))?;
    Ok((stock, text))
}

/// Audits the shop as it would be, and holds that against what was said before.
fn prove(
    journal: &Journal,
    folder: &Path,
    names: &Names,
    (day, of_day): (Day, &str),
    (today, of_today): (Day, &str),
) -> Result<(), Failure> {
    let instead = names.instead(journal);
    let mut new = open::to_write(folder, &instead)?;
    for (on, before) in [(day, of_day), (today, of_today)] {
        let after = audit(&mut new, on)?.1;
        if let Some(difference) = differs(before, &after) {
            return Err(refused(
                &format!("the audit of {on} would not say what it says now, at {difference}"),
                "nothing is wrong with your books, but with this program; keep them as they are, and report this",
            ));
        }
    }
    Ok(())
}

fn refused(what: &str, instead: &str) -> Failure {
    unwritten(&format!("error: {what}\n = help: {instead}"))
}

fn told(
    args: &RollArgs,
    opened: &Opened,
    names: &Names,
    done: &tables::Done,
    today: Day,
) -> String {
    let shop = clean(&opened.tables.shop.name);
    let entries = |n: u64| {
        if n == 1 {
            "1 entry".to_string()
        } else {
            format!("{n} entries")
        }
    };
    let mut lines: Vec<(&str, String)> = vec![
        (
            &names.log,
            format!("{}, set aside", entries(done.set_aside)),
        ),
        (&names.inventory, "the inventory as it was before".into()),
    ];
    lines.extend(
        names
            .forward
            .as_deref()
            .map(|name| (name, "what the period before handed on".into())),
    );
    let containers = if done.containers == 1 {
        "container"
    } else {
        "containers"
    };
    lines.push((
        "inventory.csv",
        format!(
            "{} {containers}, as of the close of {}",
            done.containers, args.to
        ),
    ));
    lines.push((
        "forward.csv",
        "what else goes on: rags, tests, lots, months".into(),
    ));
    lines.push(("log.csv", format!("{}, which go on", entries(done.kept))));
    let wide = lines.iter().map(|(name, _)| name.len()).max().unwrap_or(0);
    let (begins, ends) = if args.dry_run {
        ("would be closed", "Nothing was written.")
    } else {
        ("are closed", "All of it is written.")
    };
    let mut text = format!("The books of {shop} up to {} {begins}\n\n", args.to);
    for (name, what) in &lines {
        text.push_str(&format!("{name:<wide$}  {what}\n"));
    }
    text.push_str(&format!(
        "\nAudits of {} and of {today}, made from these tables, say what they said before.\n",
        args.to
    ));
    if args.dry_run {
        text.push_str(&format!(
            "Counts of {} or before that are still on paper are entered first: afterwards they are refused.\n",
            args.to
        ));
    }
    text.push_str(ends);
    text.push('\n');
    text
}
