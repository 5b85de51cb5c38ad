//! `sandarac round --enter`: a filled-in sheet into log.csv and checks.csv, all of it or nothing.

use super::args::RoundArgs;
use super::log::args::WithArgs;
use super::log::brings;
use super::open::WRITTEN;
use super::{Ended, Failure, ahead, enter_ask, open, style, writing};
use crate::audit::Shop;
use crate::quantity::{Day, Moment, natural};
use crate::record::{CHECKS, LOG};
use crate::report::{fill, sheet};
use crate::store::{Access, Clock, NewRow, Plan, Store, Submission, each_entry};
use crate::text::{Problems, Span, clean, show_all_and};
use crate::trade::{Filled, FilledRow, read_filled};
use std::collections::HashMap;
use std::io::IsTerminal;
use std::path::Path;

/// Reads the sheet, or asks for it, and writes what it says.
pub fn run(args: &RoundArgs, folder: &Path, path: Option<&Path>) -> Result<Ended, Failure> {
    let (asked, when) = match path {
        Some(_) => (None, args.when),
        None => match ask(args, folder)? {
            Some(table) => (Some(table), Some(args.moment())),
            None => return Ok(Ended::Well),
        },
    };
    let mut store = writing::store(folder, &[&LOG, &CHECKS], Access::Write, "")?;
    let files = &mut store.shop.files;
    let file = match (path, asked) {
        (_, Some(table)) => files.hold("what you answered", table.into_bytes()),
        (Some(path), None) => {
            let name = path.display().to_string();
            files.open_table(&name, path, &[]).map_err(|fault| {
                Failure::refused(
                    format!("{name} cannot be read: {fault}."),
                    "Check its name, and that you may read it.",
                    WRITTEN,
                )
            })?
        }
        (None, None) => return Ok(Ended::Well),
    };
    files.set_locale(file, store.shop.tables.shop.locale);
    let (shop, counted) = (&store.shop, counts(&store.shop));
    let mut problems = Problems::new();
    let there = |seen: &FilledRow, is_count: bool| match is_count {
        true => counted
            .get(&(seen.name.clone(), seen.when.clone()))
            .copied(),
        false => answered(shop, seen),
    };
    let filled = read_filled(
        &shop.files,
        file,
        &shop.tables,
        &shop.reference.round,
        when,
        there,
        &mut problems,
    );
    if !problems.none() {
        return Err(Failure::Said(show_all_and(&problems, &shop.files, WRITTEN)));
    }
    if filled.counts.is_empty() && filled.answers.is_empty() {
        style::print("No row was filled in. Nothing was written.\n")?;
        return Ok(Ended::Well);
    }
    style::print(&write(&store, &filled)?).map_err(Failure::after_writing)?;
    Ok(Ended::Well)
}

/// Asks row by row, on a terminal; the table as if it had been filled in, or nothing if the person gave up.
fn ask(args: &RoundArgs, folder: &Path) -> Result<Option<String>, Failure> {
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        return Err(Failure::refused(
            "`--enter` without a file needs a terminal, and there is none.",
            "Name the filled-in table: `--enter FILE.csv`.",
            WRITTEN,
        ));
    }
    let shop = open::shop(folder, &args.shop.packs)?;
    let audit = open::audit(&shop, args.shop.day())?;
    ahead::tell(args.shop.on.is_some(), &audit.stock, None);
    let cautions = open::cautions()?;
    let view = open::view(&audit, &cautions);
    enter_ask::ask(&sheet(&shop.tables, &audit.stock, &view))
}

/// The counts that the log has, by container and moment.
fn counts(shop: &Shop) -> HashMap<(String, String), Span> {
    let mut counts = HashMap::new();
    each_entry(shop, |row| {
        let [_, when, what, container]: [&str; 4] = row.texts();
        if what == "count" {
            let key = (container.to_string(), when.to_string());
            counts.entry(key).or_insert(row.span());
        }
    });
    counts
}

/// An answer to the same question of the same moment that stands in checks.csv.
fn answered(opened: &Shop, seen: &FilledRow) -> Option<Span> {
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

/// Writes the rows, and says what was found.
fn write(store: &Store, filled: &Filled) -> Result<String, Failure> {
    let count = |seen: &FilledRow| {
        let cells = [
            ("when", &*seen.when),
            ("what", "count"),
            ("container", &seen.name),
            ("amount", &seen.told),
            ("by", &seen.by),
            ("note", &seen.note),
        ];
        NewRow::new(&LOG, &cells)
    };
    let answer = |seen: &FilledRow| {
        let cells = [
            ("when", &*seen.when),
            ("check", &seen.name),
            ("where", &seen.about),
            ("answer", &seen.told),
            ("by", &seen.by),
            ("note", &seen.note),
        ];
        NewRow::new(&CHECKS, &cells)
    };
    let counts = filled.counts.iter().map(count);
    let rows = Submission::without_id(counts.chain(filled.answers.iter().map(answer)).collect());
    let plan = store.plan(&[rows], &Clock::typed(WithArgs::now()));
    let plan = plan.map_err(|not| writing::failure(not, ""))?;
    // What was seen is a true record, whatever it breaks: all of it is told, and none stands in the way.
    store
        .write(&plan)
        .map_err(|not| writing::failure(not, ""))?;
    Ok(told(filled, &plan) + &brings(&plan, style::columns()))
}

/// How much was written, and what the counts found.
fn told(filled: &Filled, plan: &Plan) -> String {
    let (after, stock) = (&plan.shop, &plan.after);
    let mut text = format!(
        "Wrote {} to log.csv and {} to checks.csv. {} skipped.\n",
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
        let gap = at.and_then(|at| stock[at].gap);
        if let Some(gap) = gap.filter(|gap| day(&seen.when) == Some(gap.day)) {
            let line = format!(
                "{}: book amount {}, counted {}",
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
            "{} no. `sandarac audit` shows the rules behind it. Write who will fix it into actions.csv.\n",
            match no {
                1 => "1 answer is".to_string(),
                no => format!("{no} answers are"),
            }
        ));
    }
    text
}
