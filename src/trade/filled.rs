//! A sheet of the round that comes back filled in: what was counted, and what was answered. A row with nothing in `found`
//! or `answer` was not looked at, and says nothing.

use super::filled_row::{Filled, FilledRow, RoundInput};
use crate::quantity::{
    Amount, Day, Dimension, Exact, Measure, MeasureFault, Moment, full_words, in_unit, natural,
    shown_unit,
};
use crate::record::{ANSWERS, ContainerId, Fields, typed_answer};
use crate::stock::StockFault;
use crate::text::{
    CellFault, Fault, FileId, Files, Problem, Problems, Shape, Span, Table, nearest,
};
use crate::trade::RoundFault;
use std::collections::HashMap;

/// The columns that are read; the others are for people.
static SHAPE: Shape = Shape {
    file: "sheet.csv",
    must: &["kind", "name", "found", "answer"],
    may: &[
        "row", "room", "place", "about", "what", "expected", "due", "unit", "when", "by", "note",
        "printed",
    ],
};

const NAME: usize = 1;
const FOUND: usize = 2;
const ANSWER: usize = 3;
const ABOUT: usize = 7;
const EXPECTED: usize = 9;
const UNIT: usize = 11;
const WHEN: usize = 12;
const BY: usize = 13;
const NOTE: usize = 14;
const PRINTED: usize = 15;

/// The word of `found` for "as the sheet printed".
pub const AS_PRINTED: &str = "ok";

/// The word of `found` for a container with nothing in it.
const EMPTY: &str = "empty";
/// The word of `found` for a container that is half full.
const HALF: &str = "half";

/// Is this a share of a container and no amount?
pub fn is_share(found: &str) -> bool {
    [EMPTY, HALF]
        .iter()
        .any(|word| found.trim().eq_ignore_ascii_case(word))
}

#[derive(Clone, Copy)]
enum Kind {
    Count,
    Check,
}

/// Is this sheet filled in? One that cannot be read may be filled in, too.
pub fn is_filled(files: &Files, file: FileId) -> bool {
    let mut problems = Problems::new();
    let Some(mut table) = Table::open(files, file, &SHAPE, &mut problems) else {
        return true;
    };
    while let Some(row) = table.next(&mut problems) {
        if [FOUND, ANSWER, BY, NOTE]
            .into_iter()
            .any(|column| !row.text(column).trim().is_empty())
        {
            return true;
        }
    }
    table.finish(&mut problems);
    !problems.none()
}

/// Reads a filled-in sheet.
pub fn read_filled(
    files: &Files,
    file: FileId,
    input: &RoundInput<'_>,
    problems: &mut Problems,
) -> Filled {
    let mut filled = Filled::default();
    let mut untimed: Vec<Span> = Vec::new();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return filled;
    };
    let mut known: HashMap<(bool, String, String), Span> = HashMap::new();
    while let Some(row) = table.next(problems) {
        let mut reading = FilledReading {
            fields: Fields { row, problems },
            input,
            untimed: &mut untimed,
        };
        let day = reading.fields.text(PRINTED).map(Day::parse);
        filled.printed = filled.printed.or(day.and_then(Result::ok));
        let Some((kind, seen)) = reading.row() else {
            filled.passed += usize::from(reading.is_blank());
            continue;
        };
        let is_count = matches!(kind, Kind::Count);
        let there = (input.there)(&seen, is_count, filled.printed);
        let twice = known.insert((is_count, seen.name.clone(), seen.about.clone()), seen.at);
        if let Some(place) = twice.or(there) {
            let code = RoundFault::DuplicateAnswer {
                name: seen.name.clone(),
            };
            problems.add(Problem::between(code, seen.at, place));
        }
        match kind {
            Kind::Count => filled.counts.push(seen),
            Kind::Check => filled.answers.push(seen),
        }
    }
    table.finish(problems);
    // One moment holds for the whole round, so one message asks for it.
    if let Some(first) = untimed.first() {
        let rows = untimed.len();
        problems.add(Problem::new(RoundFault::MomentNeeded { rows }, *first));
    }
    filled
}

/// One row while it is read.
struct FilledReading<'t, 'p, 'b> {
    fields: Fields<'t, 'p>,
    input: &'b RoundInput<'b>,
    /// The rows without a moment so far.
    untimed: &'b mut Vec<Span>,
}

/// A cell that was made harmless for a spreadsheet, as it was.
fn plain(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@']) => rest,
        Some(_) | None => text,
    }
}

impl FilledReading<'_, '_, '_> {
    fn is_blank(&self) -> bool {
        let empty = |column| self.fields.text(column).is_none();
        empty(FOUND) && empty(ANSWER) && empty(NOTE)
    }

    fn note(&mut self, column: usize, fault: impl Fault) {
        let place = self.fields.span(column);
        self.fields.problems.add(Problem::new(fault, place));
    }

    /// The row, if it was looked at and nothing is wrong with it.
    fn row(&mut self) -> Option<(Kind, FilledRow)> {
        if self.is_blank() {
            return None;
        }
        let before = self.fields.problems.count();
        let words = [("count", Kind::Count), ("check", Kind::Check)];
        let kind = self
            .fields
            .must(0)
            .and_then(|_| self.fields.word(0, &words))?;
        let (column, other, word) = match kind {
            Kind::Count => (FOUND, ANSWER, "count"),
            Kind::Check => (ANSWER, FOUND, "check"),
        };
        if self.fields.text(other).is_some() {
            let code = RoundFault::CellUnused {
                kind: word,
                column: SHAPE.name(other),
            };
            self.note(other, code);
        }
        if self.fields.text(column).is_none() {
            if self.fields.text(other).is_none() {
                self.note(
                    NOTE,
                    RoundFault::NoteAlone {
                        column: SHAPE.name(column),
                    },
                );
            }
            return None;
        }
        let name = plain(self.fields.must(NAME)?).to_string();
        let about = plain(self.fields.text(ABOUT).unwrap_or("")).to_string();
        let when = self.moment(kind);
        let told = match kind {
            Kind::Count => self.amount(&name, when.as_deref()),
            Kind::Check => self.answer(&name, &about),
        };
        if let (Kind::Count, Some(when)) = (kind, &when) {
            self.not_before(&name, when);
        }
        let seen = FilledRow {
            name,
            about: match kind {
                Kind::Count => String::new(),
                Kind::Check => about,
            },
            told: told?,
            when: when?,
            by: plain(self.fields.text(BY).unwrap_or("")).to_string(),
            note: plain(self.fields.text(NOTE).unwrap_or("")).to_string(),
            at: self.fields.row.span(),
        };
        (self.fields.problems.count() == before).then_some((kind, seen))
    }

    /// The row's own moment, else the one of the round. A count needs its minute; an answer its day.
    fn moment(&mut self, kind: Kind) -> Option<String> {
        match (self.fields.text(WHEN), self.input.when, kind) {
            (Some(_), _, Kind::Count) => self.fields.moment(WHEN).map(|when| when.to_string()),
            (Some(text), _, Kind::Check) => {
                self.fields.day_or_moment(WHEN).map(|_| text.to_string())
            }
            (None, Some(when), _) => Some(when.to_string()),
            (None, None, _) => {
                self.untimed.push(self.fields.span(WHEN));
                None
            }
        }
    }

    /// A container is counted from the day on which the inventory knows it.
    fn not_before(&mut self, name: &str, when: &str) {
        let row = self
            .input
            .tables
            .container(name)
            .map(|at| &self.input.tables[at]);
        let day = Moment::parse(when).map(Moment::day).ok();
        if let (Some(since), Some(day)) = (row.and_then(|row| row.since), day)
            && day < since
        {
            let code = StockFault::BeforeSince {
                when: day.to_string(),
                container: name.to_string(),
                since: since.to_string(),
            };
            let cell = if self.fields.text(WHEN).is_some() {
                WHEN
            } else {
                NAME
            };
            self.note(cell, code);
        }
    }

    /// The amount found, with the unit of its row if it bears none.
    fn amount(&mut self, name: &str, when: Option<&str>) -> Option<String> {
        let Some(at) = self.input.tables.container(name) else {
            let code = CellFault::NameUnknown {
                kind: "container",
                read: name.to_string(),
                near: self.input.tables.near_container(name, self.fields.problems),
            };
            self.note(NAME, code);
            return None;
        };
        let found = self.fields.text(FOUND)?;
        let column = if found.eq_ignore_ascii_case(AS_PRINTED) {
            EXPECTED
        } else {
            FOUND
        };
        let text = self.fields.text(column).unwrap_or("").to_string();
        if column == EXPECTED && Measure::parse(&text).is_err() {
            self.note(FOUND, RoundFault::NothingPrinted);
            return None;
        }
        if column == EXPECTED
            && let Some(exact) = self.book_amount(at, &text, when)
        {
            return Some(exact);
        }
        if let Some(share) = self.share(at, found) {
            return Some(share);
        }
        let unit = self.fields.text(UNIT).unwrap_or("");
        let told = match Measure::parse(&text) {
            Err(MeasureFault::UnitMissing) if !unit.is_empty() => format!("{text} {unit}"),
            _ => text,
        };
        let wanted = self.wanted(at);
        let fault = match Measure::parse(&told) {
            Ok(measure) if wanted.contains(&measure.unit.dimension) => return Some(told),
            Ok(measure) => MeasureFault::UnitWrong(measure.unit),
            Err(fault) => fault,
        };
        self.fields.fault(FOUND, fault, &wanted);
        None
    }

    /// The exact book amount behind a printed one. Where the book has moved on since, the paper is what was compared.
    fn book_amount(
        &self,
        container: ContainerId,
        printed: &str,
        when: Option<&str>,
    ) -> Option<String> {
        let us = self.input.tables.shop.us;
        let held = (self.input.book)(container, Moment::parse(when?).ok()?)?;
        let is_printed = natural(held, us) == printed;
        is_printed.then(|| full_words(held, us))
    }

    /// What is in an empty or half full container, if its size is known.
    fn share(&self, container: ContainerId, found: &str) -> Option<String> {
        if !is_share(found) {
            return None;
        }
        let row = &self.input.tables[container];
        let (whole, halves) = match found.eq_ignore_ascii_case(EMPTY) {
            true => (row.capacity.or(row.amount)?, Exact::ZERO),
            false => (row.capacity?, Exact::constant(5, 1)),
        };
        let us = self.input.tables.shop.us;
        let part = whole.base().times(halves).ok()?;
        let unit = shown_unit(whole, us)?;
        Some(in_unit(part, unit))
    }

    /// What a container can be counted in: what it is written down in, else anything that is counted.
    fn wanted(&self, container: ContainerId) -> Vec<Dimension> {
        let row = &self.input.tables[container];
        let known = row.amount.or(row.capacity);
        known.map(Amount::dimension).map_or_else(
            || vec![Dimension::Volume, Dimension::Mass, Dimension::Pieces],
            |dimension| vec![dimension],
        )
    }

    fn answer(&mut self, check: &str, about: &str) -> Option<String> {
        if self.input.round.find(check).is_none() {
            let names = self.input.round.questions.iter().map(|q| q.check.as_str());
            let code = CellFault::NameUnknown {
                kind: "check",
                read: check.to_string(),
                near: nearest(check, names).map(str::to_string),
            };
            self.note(NAME, code);
        }
        let fixture = |name: &str| {
            self.input
                .tables
                .fixtures
                .iter()
                .flatten()
                .any(|f| f.id == name)
        };
        if !about.is_empty() && self.input.tables.location(about).is_none() && !fixture(about) {
            let code = CellFault::NameUnknown {
                kind: "place, room or fixture",
                read: about.to_string(),
                near: self.input.tables.near_place(about, self.fields.problems),
            };
            self.note(ABOUT, code);
        }
        let short = self.fields.text(ANSWER).and_then(typed_answer);
        let words = ANSWERS.map(|(word, _)| (word, word));
        let said = short.or_else(|| self.fields.word(ANSWER, &words));
        said.map(str::to_string)
    }
}
