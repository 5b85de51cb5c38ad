//! `sandarac sheet --enter`: a filled-in sheet into log.csv and checks.csv, all of it or nothing.
//!
//! Everything is tried first: the shop is opened as it would be with the new rows at the end of its tables, and replayed.
//! Only then both additions go through the journal as one, which finishes after a crash what it had begun.

use super::args::SheetArgs;
use super::log::args::WithArgs;
use super::log::{brings, number, open_elsewhere};
use super::writing::{self, unwritten};
use super::{Ended, Failure, ahead, enter_ask, open, style};
use crate::audit::Shop;
use crate::files::{Journal, TableEnd};
use crate::quantity::{Day, Moment, natural};
use crate::record::{CHECKS, LOG};
use crate::report::{fill, sheet};
use crate::stock::Stock;
use crate::text::{Problems, Span, Table, clean, show_all_and};
use crate::trade::{Filled, Seen, read_filled};
use std::collections::HashMap;
use std::io::IsTerminal;
use std::path::Path;

/// Reads the sheet, or asks for it, and writes what it says.
pub fn run(args: &SheetArgs, folder: &Path, path: Option<&Path>) -> Result<Ended, Failure> {
    let (asked, when) = match path {
        Some(_) => (None, args.when),
        None => match ask(args, folder)? {
            Some(table) => (Some(table), Some(args.moment())),
            None => return Ok(Ended::Well),
        },
    };
    open_elsewhere(folder, [LOG.file, CHECKS.file], "")?;
    let journal = writing::hold(folder)?;
    let table_files = [
        writing::end_of(&journal, &LOG)?,
        writing::end_of(&journal, &CHECKS)?,
    ];
    let mut opened = open::shop_with(folder, &[], &[])?;
    let file = match (path, asked) {
        (_, Some(table)) => opened.files.hold("what you answered", table.into_bytes()),
        (Some(path), None) => {
            let name = path.display().to_string();
            opened.files.open(&name, path).map_err(|fault| {
                Failure::Said(format!(
                    "error: {name} cannot be read: {fault}\n = help: check its name, and that you may read it\nnothing was written"
                ))
            })?
        }
        (None, None) => return Ok(Ended::Well),
    };
    let logged = Logged::of(&opened);
    let mut problems = Problems::new();
    let there = |seen: &Seen, is_count: bool| {
        if is_count {
            logged.count(seen)
        } else {
            answered(&opened, seen)
        }
    };
    let filled = read_filled(
        &opened.files,
        file,
        &opened.tables,
        &opened.reference.round,
        when,
        there,
        &mut problems,
    );
    if !problems.none() {
        return Err(Failure::Said(show_all_and(
            &problems,
            &opened.files,
            open::WRITTEN,
        )));
    }
    if filled.counts.is_empty() && filled.answers.is_empty() {
        style::print("no row was looked at; nothing was written\n")?;
        return Ok(Ended::Well);
    }
    not_ahead(&filled)?;
    let text = write(folder, &opened, &journal, &filled, &logged, table_files)?;
    style::print(&text)?;
    Ok(Ended::Well)
}

/// Asks row by row, on a terminal; the table as if it had been filled in, or nothing if the person gave up.
fn ask(args: &SheetArgs, folder: &Path) -> Result<Option<String>, Failure> {
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        return Err(Failure::Said(
            "error: `--enter` without a file asks on a terminal, and this is none\n = help: name the filled-in table: \
             `--enter FILE.csv`"
                .into(),
        ));
    }
    let shop = open::shop(folder, &args.shop.packs)?;
    let audit = open::audit(&shop, args.shop.day())?;
    ahead::tell(args.shop.on.is_some(), &audit.stock, None);
    let cautions = open::cautions()?;
    let view = open::view(&audit, &cautions);
    enter_ask::ask(&sheet(&shop.tables, &audit.stock, &view))
}

/// What was seen tomorrow is seen by no audit of today.
fn not_ahead(filled: &Filled) -> Result<(), Failure> {
    let now = WithArgs::now();
    let ahead = |seen: &&Seen| match Moment::parse(&seen.when) {
        Ok(when) => when > now,
        Err(_) => day(&seen.when).is_some_and(|day| day > now.day()),
    };
    match filled.counts.iter().chain(&filled.answers).find(ahead) {
        None => Ok(()),
        Some(seen) => Err(unwritten(&format!(
            "error: {}: {} lies ahead: this computer's clock says {now}\n = help: mend the moment of the row or of --when, or \
             set the clock right",
            clean(&seen.name),
            seen.when
        ))),
    }
}

/// What the log holds that bears on new counts.
#[derive(Default)]
struct Logged {
    /// Rows, and the highest number that one of them bears as its name.
    rows: u64,
    highest: u64,
    last: Option<Day>,
    counts: HashMap<(String, String), Span>,
}

impl Logged {
    fn of(opened: &Shop) -> Logged {
        let mut logged = Logged::default();
        let mut problems = Problems::new();
        let Some(log) = opened.tables.log else {
            return logged;
        };
        let mut table = Table::open(&opened.files, log, &LOG, &mut problems);
        while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
            let [name, when, what, container]: [&str; 4] = row.texts();
            logged.rows += 1;
            logged.highest = logged.highest.max(number(name));
            logged.last = logged.last.max(day(when));
            if what == "count" {
                let key = (container.to_string(), when.to_string());
                logged.counts.entry(key).or_insert(row.span());
            }
        }
        logged
    }

    fn count(&self, seen: &Seen) -> Option<Span> {
        let key = (seen.name.clone(), seen.when.clone());
        self.counts.get(&key).copied()
    }
}

/// An answer to the same question of the same moment that stands in checks.csv.
fn answered(opened: &Shop, seen: &Seen) -> Option<Span> {
    let moment = Moment::parse(&seen.when)
        .ok()
        .or_else(|| day(&seen.when).map(Moment::start_of))?;
    let same = |a: &&crate::record::Answer| {
        a.check == seen.name && a.place == seen.about && a.when == moment
    };
    opened
        .tables
        .answers
        .iter()
        .find(same)
        .map(|answer| answer.at)
}

fn day(when: &str) -> Option<Day> {
    Day::parse(when.get(..10)?).ok()
}

/// Tries the rows, and writes them; what to say of it.
fn write(
    folder: &Path,
    before: &Shop,
    journal: &Journal,
    filled: &Filled,
    logged: &Logged,
    [log, checks]: [TableEnd; 2],
) -> Result<String, Failure> {
    let first = logged.rows.max(logged.highest) + 1;
    let entries = (first..).zip(&filled.counts).map(|(number, seen)| {
        vec![
            ("entry", number.to_string()),
            ("when", seen.when.clone()),
            ("what", "count".to_string()),
            ("container", seen.name.clone()),
            ("amount", seen.told.clone()),
            ("by", seen.by.clone()),
            ("note", seen.note.clone()),
        ]
    });
    let answers = filled.answers.iter().map(|seen| {
        vec![
            ("when", seen.when.clone()),
            ("check", seen.name.clone()),
            ("where", seen.about.clone()),
            ("answer", seen.told.clone()),
            ("by", seen.by.clone()),
            ("note", seen.note.clone()),
        ]
    });
    let mut additions = Vec::new();
    for (tail, rows) in [
        (log, entries.collect::<Vec<_>>()),
        (checks, answers.collect()),
    ] {
        if rows.is_empty() {
            continue;
        }
        additions.push(tail.with(&rows).map_err(|why| writing::refused(&why))?);
    }
    let after = open::shop_with(folder, &[], &additions)?;
    let days = filled
        .counts
        .iter()
        .chain(&filled.answers)
        .filter_map(|seen| day(&seen.when));
    let Some(on) = days.chain(logged.last).max() else {
        return Err(unwritten("error: no row has a day"));
    };
    let audit_before = open::or_unwritten(before.audit(on))?;
    let audit_after = open::or_unwritten(after.audit(on))?;
    journal
        .write(&additions)
        .map_err(|why| writing::refused(&why))?;
    // What was seen is a true record, whatever it breaks: all of it is told, and none stands in the way.
    let objections = audit_after.objections(&audit_before);
    Ok(told(filled, &after, &audit_after.stock) + &brings(&objections, style::columns()))
}

/// How much was written, and what the counts found.
fn told(filled: &Filled, after: &Shop, stock: &Stock) -> String {
    let mut text = format!(
        "wrote {} to log.csv and {} to checks.csv; {} not looked at\n",
        style::many(filled.counts.len(), "count"),
        style::many(filled.answers.len(), "answer"),
        match filled.passed {
            1 => "1 row was".to_string(),
            passed => format!("{passed} rows were"),
        }
    );
    let us = after.tables.shop.us;
    for seen in &filled.counts {
        let at = after.tables.container(&seen.name);
        let gap = at.and_then(|at| stock.containers.get(at)?.gap);
        if let Some(gap) = gap.filter(|gap| day(&seen.when) == Some(gap.day)) {
            let line = format!(
                "{}: the book said {}, counted {}",
                clean(&seen.name),
                natural(gap.expected, us),
                natural(gap.counted, us)
            );
            text.push_str(&fill(&line, style::columns(), "  ", "    "));
            text.push('\n');
        }
    }
    let no = filled
        .answers
        .iter()
        .filter(|seen| seen.told == "no")
        .count();
    if no > 0 {
        text.push_str(&format!(
            "{} no: `sandarac audit` says which rules are broken; write who mends it into actions.csv\n",
            match no {
                1 => "1 answer is".to_string(),
                no => format!("{no} answers are"),
            }
        ));
    }
    text
}
