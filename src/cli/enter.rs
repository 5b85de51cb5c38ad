//! `sandarac round --enter`: a filled-in sheet into log.csv and checks.csv, all of it or nothing.

use super::args::RoundArgs;
use super::log::args::WithArgs;
use super::log::brings;
use super::log::taken::{fresh_id, taken_back};
use super::open::WRITTEN;
use super::{Ended, Failure, ahead, enter_ask, open, style, writing};
use crate::audit::Shop;
use crate::quantity::when::date;
use crate::quantity::{Day, Moment, natural};
use crate::record::{CHECKS, ContainerId, LOG};
use crate::report::{View, fill, sheet};
use crate::stock::Stock;
use crate::store::{
    Access, Clock, LogRowText, NewRow, Plan, Store, Submission, each_answer, each_entry,
};
use crate::text::{FileId, Problems, Span, clean, counted, show_all_and};
use crate::trade::{Filled, FilledRow, RoundInput, read_filled};
use std::cell::RefCell;
use std::collections::{HashMap, HashSet};
use std::io::IsTerminal;
use std::path::Path;

/// Reads the sheet, or asks for it, and writes what it says.
pub fn run(args: &RoundArgs, folder: &Path, path: Option<&Path>) -> Result<Ended, Failure> {
    let (asked, when) = match path {
        Some(_) => (None, args.when),
        None => match ask(args, folder)? {
            Some(table) => (Some(table), Some(args.moment())),
            None => return Ok(Ended::Untrusted),
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
    let entered = match path {
        Some(_) => entered_rows(&store.shop),
        None => Vec::new(),
    };
    let filled = read(&store, file, when, &entered)?;
    if filled.counts.is_empty() && filled.answers.is_empty() {
        style::print("No row was filled in. Nothing was written.\n")?;
        return Ok(Ended::Well);
    }
    // What was asked on the terminal was seen now; a sheet may come a second time.
    let sheet = filled.printed.filter(|_| path.is_some());
    if let Some(printed) = sheet {
        not_entered_yet(printed, &entered, &filled)?;
    }
    let id = match (sheet, when) {
        (Some(printed), _) => fresh_id(SHEET, &store.shop, &printed.to_string()),
        (None, Some(when)) => fresh_id("round-at", &store.shop, &when.to_string()),
        (None, None) => fresh_id("round-at", &store.shop, &WithArgs::now().to_string()),
    };
    style::print(&write(&store, &filled, id)?).map_err(Failure::after_writing)?;
    Ok(Ended::Well)
}

/// Begins the id of all rows of one entered sheet; the day on which the sheet was printed follows.
const SHEET: &str = "round";
/// As many names are shown.
const MOST_NAMES: usize = 6;

/// Reads the filled-in table.
fn read(
    store: &Store,
    file: FileId,
    when: Option<Moment>,
    entered: &[EnteredRow],
) -> Result<Filled, Failure> {
    let (shop, counted) = (&store.shop, counts(&store.shop));
    let mut problems = Problems::new();
    let there = |seen: &FilledRow, is_count: bool, printed: Option<Day>| match is_count {
        _ if printed.is_some_and(|day| is_entered(day, entered, seen)) => None,
        true => counted
            .get(&(seen.name.clone(), seen.when.clone()))
            .copied(),
        false => answered(shop, seen),
    };
    // The log is replayed once for each moment that the sheet names.
    let books: RefCell<HashMap<Moment, Option<Stock>>> = RefCell::default();
    let book = |container: ContainerId, at: Moment| {
        let mut books = books.borrow_mut();
        let stock = books.entry(at).or_insert_with(|| shop.stock_at(at).ok());
        stock.as_ref()?[container].amount
    };
    let input = RoundInput {
        tables: &shop.tables,
        round: &shop.reference.round,
        when,
        there: &there,
        book: &book,
    };
    let filled = read_filled(&shop.files, file, &input, &mut problems);
    if problems.none() {
        return Ok(filled);
    }
    Err(Failure::Said(show_all_and(&problems, &shop.files, WRITTEN)))
}

/// A row that was entered from a sheet and still counts: its id, its name, and what it is about.
type EnteredRow = (String, String, String);

/// All rows that were entered from sheets.
fn entered_rows(shop: &Shop) -> Vec<EnteredRow> {
    let taken_back = taken_back(shop);
    let counting: HashSet<Span> = shop.tables.answers.iter().map(|it| it.at).collect();
    let mut rows = Vec::new();
    let mut note = |id: &str, name: &str, about: &str| {
        if id.starts_with(SHEET) {
            rows.push((id.to_string(), name.to_string(), about.to_string()));
        }
    };
    each_entry(shop, |row| {
        let row = LogRowText::read(row);
        if row.what == "count" && !taken_back.contains(row.entry) {
            note(row.id, row.container, "");
        }
    });
    each_answer(shop, |row| {
        let [_, check, _, about, _, _, _, id]: [&str; 8] = row.texts();
        if counting.contains(&row.span()) {
            note(id, check, about);
        }
    });
    rows
}

/// Was this row entered from the sheet of that day?
fn is_entered(printed: Day, entered: &[EnteredRow], seen: &FilledRow) -> bool {
    let sheet = format!("{SHEET}-{printed}");
    let of_sheet = |id: &str| {
        let rest = id.strip_prefix(&sheet);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    };
    let same =
        |(id, name, about): &EnteredRow| *name == seen.name && *about == seen.about && of_sheet(id);
    entered.iter().any(same)
}

/// Refuses a sheet, or a row of it, that is in the tables already, whatever time it is given now.
fn not_entered_yet(printed: Day, entered: &[EnteredRow], filled: &Filled) -> Result<(), Failure> {
    let seen = filled.counts.iter().chain(&filled.answers);
    let twice = seen.filter(|it| is_entered(printed, entered, it));
    let twice: Vec<String> = twice.map(|it| clean(&it.name)).collect();
    if twice.is_empty() {
        return Ok(());
    }
    let named: Vec<&str> = twice.iter().take(MOST_NAMES).map(String::as_str).collect();
    let more = match twice.len().saturating_sub(MOST_NAMES) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    Err(Failure::refused(
        format!(
            "{} of the sheet printed on {} {} entered already: {}{more}.",
            counted(twice.len(), "row"),
            date(printed),
            if twice.len() == 1 { "is" } else { "are" },
            named.join(", ")
        ),
        "Take the round back with `sandarac log undo` and enter it again. Or empty these rows, and log single counts and answers \
         with `sandarac log count` and `sandarac log check`.",
        WRITTEN,
    ))
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
    let shop = open::shop_by(folder, &args.shop.packs, args.shop.now())?;
    let audit = open::audit(&shop, args.shop.day())?;
    ahead::tell(args.shop.on.is_some(), &shop, &audit.stock, None);
    let cautions = open::cautions()?;
    let view = View::new(&audit, &cautions);
    enter_ask::ask(&sheet(&shop.tables, &audit.stock, &view))
}

/// The counts of the log that still hold, by container and moment.
fn counts(shop: &Shop) -> HashMap<(String, String), Span> {
    let (mut counts, taken_back) = (HashMap::new(), taken_back(shop));
    each_entry(shop, |row| {
        let text = LogRowText::read(row);
        if text.what == "count" && !taken_back.contains(text.entry) {
            let key = (text.container.to_string(), text.when.to_string());
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
fn write(store: &Store, filled: &Filled, id: String) -> Result<String, Failure> {
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
    let rows = Submission {
        id: Some(id),
        rows: counts.chain(filled.answers.iter().map(answer)).collect(),
    };
    let plan = store.plan(&[rows], &Clock::typed(WithArgs::now()));
    let plan = plan.map_err(|not| writing::failure(not, ""))?;
    // What was seen is a true record, whatever it breaks: all of it is reported, and none is in the way.
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
        counted(filled.counts.len(), "count"),
        counted(filled.answers.len(), "answer"),
        match filled.passed {
            1 => "1 row was".to_string(),
            passed => format!("{passed} rows were"),
        }
    );
    let us = after.tables.shop.us;
    for seen in &filled.counts {
        let at = after.tables.container(&seen.name);
        let gap = at.and_then(|at| stock[at].gap);
        let differs = gap.filter(|gap| natural(gap.expected, us) != natural(gap.counted, us));
        if let Some(gap) = differs.filter(|gap| day(&seen.when) == Some(gap.day)) {
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
            "{} no. `sandarac audit` shows the rules behind it. Write down who will fix it: sandarac log action WHAT --who NAME --due DAY\n",
            match no {
                1 => "1 answer is".to_string(),
                no => format!("{no} answers are"),
            }
        ));
    }
    text
}
