//! `forward.csv`: what the books of a closed period hand on, beside the inventory. `sandarac roll` writes it; nobody else
//! needs to. One fact a row, with the entry of the closed period that it rests on.

use super::row::Fields;
use super::tables::{Location, ShopTables};
use crate::quantity::{Amount, Day, Dimension, Exact, Measure, Moment};
use crate::text::{Code, FileId, Files, Problem, Problems, Shape, Span, Table};
use std::collections::HashSet;

/// The columns of what is carried forward.
pub static FORWARD: Shape = Shape {
    file: "forward.csv",
    must: &["what"],
    may: &[
        "container",
        "product",
        "place",
        "when",
        "until",
        "held",
        "amount",
        "other",
        "came",
        "went",
        "unexplained",
        "state",
        "minutes",
        "number",
        "highest",
        "rows",
        "with",
        "by",
        "from",
    ],
};

const WHAT: usize = 0;
const CONTAINER: usize = 1;
const PRODUCT: usize = 2;
const PLACE: usize = 3;
const WHEN: usize = 4;
const UNTIL: usize = 5;
const HELD: usize = 6;
const AMOUNT: usize = 7;
const OTHER: usize = 8;
const CAME: usize = 9;
const WENT: usize = 10;
const UNEXPLAINED: usize = 11;
const STATE: usize = 12;
const MINUTES: usize = 13;
const NUMBER: usize = 14;
const HIGHEST: usize = 15;
const ROWS: usize = 16;
const WITH: usize = 17;
const BY: usize = 18;
const FROM: usize = 19;

/// What a row hands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carried {
    /// The period: its last day, its log (`with`), its entries (`number`), its last entry (`until`), the highest number that is
    /// an entry's name (`highest`), and how many rows follow (`rows`).
    Books,
    /// A container: what the inventory must say of it (`held`, `place`), what it first wrote (`amount`), what came and went
    /// since, and the like.
    Vessel,
    /// A lot of flakes in it.
    Lot,
    /// A product that was poured into it.
    PouredIn,
    /// Its last test.
    Test,
    /// Its last count that did not agree: expected (`amount`) and counted (`other`).
    Gap,
    /// A count below the book, one of a row of them.
    Short,
    /// The most that was put in beyond what it holds.
    Overfull,
    /// Rags or pads of a row in one state at one place.
    Rags,
    /// What soiled the rags of the row above (`with`); nothing named is not known.
    Soiled,
    /// Nights that rags of a row lay wet and loose.
    Night,
    /// A place was emptied.
    Emptied,
    /// What became of a product in a month: which flow (`state`) and how much.
    Month,
    /// The end of a month; for each container what it held then, where that differs from the month after it.
    MonthEnd,
    /// A liquid used in the last weeks.
    Use,
}

impl Carried {
    /// The words of the file.
    pub const WORDS: [(&'static str, Carried); 15] = [
        ("books", Carried::Books),
        ("vessel", Carried::Vessel),
        ("lot", Carried::Lot),
        ("poured-in", Carried::PouredIn),
        ("test", Carried::Test),
        ("gap", Carried::Gap),
        ("short", Carried::Short),
        ("overfull", Carried::Overfull),
        ("rags", Carried::Rags),
        ("soiled", Carried::Soiled),
        ("night", Carried::Night),
        ("emptied", Carried::Emptied),
        ("month", Carried::Month),
        ("month-end", Carried::MonthEnd),
        ("use", Carried::Use),
    ];

    /// The word of the file.
    pub fn word(self) -> &'static str {
        Self::WORDS
            .iter()
            .find(|(_, carried)| *carried == self)
            .map_or("?", |(word, _)| word)
    }

    /// Columns that a row of this kind must fill.
    fn needs(self) -> &'static [usize] {
        match self {
            Carried::Books => &[WHEN, WITH, NUMBER, ROWS],
            Carried::Vessel => &[CONTAINER, NUMBER],
            Carried::Lot => &[CONTAINER, WITH],
            Carried::PouredIn => &[CONTAINER, PRODUCT],
            Carried::Test => &[CONTAINER, WHEN, STATE, WITH],
            Carried::Gap | Carried::Short => &[CONTAINER, WHEN, AMOUNT, OTHER],
            Carried::Overfull => &[CONTAINER, WHEN, AMOUNT],
            Carried::Rags => &[CONTAINER, STATE, AMOUNT],
            Carried::Soiled => &[CONTAINER],
            Carried::Night => &[CONTAINER, STATE, AMOUNT, UNTIL, NUMBER],
            Carried::Emptied => &[PLACE, WHEN],
            Carried::Month => &[PRODUCT, WHEN, STATE, AMOUNT],
            Carried::MonthEnd => &[WHEN],
            Carried::Use => &[CONTAINER, WHEN, AMOUNT],
        }
    }
}

/// A row, names resolved where the book knows them.
#[derive(Debug)]
#[allow(missing_docs, reason = "the columns of the table; see [`Carried`]")]
pub struct ForwardRow<'t> {
    pub what: Carried,
    pub container: Option<usize>,
    pub product: &'t str,
    pub location: Option<Location>,
    pub when: Option<Moment>,
    pub until: Option<Moment>,
    pub held: Option<Amount>,
    pub amount: Option<Amount>,
    /// Is the amount below zero? Only what counts found, and what is untracked, can be.
    pub less: bool,
    pub other: Option<Amount>,
    pub received: Exact,
    pub removed: Exact,
    pub unexplained: Exact,
    pub state: &'t str,
    pub minutes: Option<u32>,
    pub number: Option<u64>,
    pub rows: Option<u64>,
    pub with: &'t str,
    /// `with` as a container.
    pub target: Option<usize>,
    pub by: &'t str,
    pub from: &'t str,
    pub at: Span,
    pub state_at: Span,
    pub product_at: Span,
}

/// Reads one row; `None` if it has problems, which are noted. A name that is in no table any more is told once, and kept in
/// `gone`.
pub fn read_forward<'t>(
    fields: &mut Fields<'t, '_>,
    tables: &ShopTables,
    gone: &mut HashSet<String>,
) -> Option<ForwardRow<'t>> {
    let before = fields.problems.count();
    fields.must(WHAT)?;
    let what = fields.word(WHAT, &Carried::WORDS)?;
    for column in what.needs() {
        if fields.text(*column).is_none() {
            let code = Code::EntryNeeds {
                what: what.word(),
                column: FORWARD.name(*column),
            };
            let place = fields.span(*column);
            fields.problems.add(Problem::new(code, place));
        }
    }
    let soiler = what == Carried::Soiled;
    let container = named(fields, CONTAINER, gone, "container", |id| {
        tables.container(id)
    });
    let target = if soiler {
        named(fields, WITH, gone, "container", |id| tables.container(id))
    } else {
        None
    };
    let location = named(fields, PLACE, gone, "place or room", |id| {
        tables.location(id)
    });
    let missed = |column, found: bool| !found && fields.text(column).is_some();
    if missed(CONTAINER, container.is_some())
        || missed(PLACE, location.is_some())
        || soiler && missed(WITH, target.is_some())
    {
        return None;
    }
    let (amount, less) = signed(fields, AMOUNT);
    let row = ForwardRow {
        what,
        container,
        product: fields.row.text(PRODUCT),
        location,
        when: moment(fields, WHEN),
        until: moment(fields, UNTIL),
        held: signed(fields, HELD).0.and_then(|read| read.amount()),
        amount: amount.and_then(|read| read.amount()),
        less,
        other: signed(fields, OTHER).0.and_then(|read| read.amount()),
        received: total(fields, CAME),
        removed: total(fields, WENT),
        unexplained: total(fields, UNEXPLAINED),
        state: fields.row.text(STATE),
        minutes: whole(fields, MINUTES).and_then(|n| u32::try_from(n).ok()),
        number: whole(fields, NUMBER),
        rows: whole(fields, ROWS),
        with: fields.row.text(WITH),
        target,
        by: fields.row.text(BY),
        from: fields.row.text(FROM),
        at: fields.row.span(),
        state_at: fields.span(STATE),
        product_at: fields.span(PRODUCT),
    };
    (fields.problems.count() == before).then_some(row)
}

/// The column that says on which entry of the closed period a row rests.
pub fn forward_from<'t>(row: &crate::text::Row<'t>) -> &'t str {
    row.text(FROM)
}

/// A period that was closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClosedBooks {
    /// Its last day.
    pub closed: Day,
    /// The file in which its log stands.
    pub log: String,
    /// The highest number that is the name of one of its entries.
    pub highest: u64,
    /// Its entries, and those of the periods before it.
    pub entries: u64,
}

/// The period that was closed last, if one was; what is wrong with its row is told when the stock is worked out.
pub fn closed_books(files: &Files, forward: Option<FileId>) -> Option<ClosedBooks> {
    let mut problems = Problems::new();
    let mut table = Table::open(files, forward?, &FORWARD, &mut problems)?;
    let row = table.next(&mut problems)?;
    let mut unread = Problems::new();
    let mut fields = Fields {
        row,
        problems: &mut unread,
    };
    Some(ClosedBooks {
        closed: fields.day(WHEN)?,
        log: fields.row.text(WITH).to_string(),
        highest: whole(&mut fields, HIGHEST).unwrap_or(0),
        entries: whole(&mut fields, NUMBER).unwrap_or(0),
    })
}

/// A thing by its name. One that is gone is told once: the row that names it is right, and the table that lacks it is not.
fn named<T>(
    fields: &mut Fields<'_, '_>,
    column: usize,
    gone: &mut HashSet<String>,
    kind: &'static str,
    find: impl Fn(&str) -> Option<T>,
) -> Option<T> {
    let name = fields.text(column)?;
    let found = find(name);
    if found.is_none() && gone.insert(name.to_string()) {
        let code = Code::CarriedGone {
            kind,
            name: name.to_string(),
        };
        let place = fields.span(column);
        fields.problems.add(Problem::new(code, place));
    }
    found
}

fn moment(fields: &mut Fields<'_, '_>, column: usize) -> Option<Moment> {
    fields.text(column)?;
    fields.day_or_moment(column)
}

/// A quantity to the last digit, and whether a minus stands before it.
fn signed(fields: &mut Fields<'_, '_>, column: usize) -> (Option<Measure>, bool) {
    const AMOUNTS: [Dimension; 3] = [Dimension::Volume, Dimension::Mass, Dimension::Pieces];
    let Some(text) = fields.text(column) else {
        return (None, false);
    };
    let below = text
        .strip_prefix('-')
        .and_then(|text| Measure::parse_kept(text).ok())
        .filter(|read| AMOUNTS.contains(&read.unit.dimension));
    match below {
        Some(read) => (Some(read), true),
        None => (fields.measure_kept(column, &AMOUNTS), false),
    }
}

fn total(fields: &mut Fields<'_, '_>, column: usize) -> Exact {
    match signed(fields, column) {
        (Some(read), true) => Exact::ZERO.minus(read.base).unwrap_or(Exact::ZERO),
        (Some(read), false) => read.base,
        (None, _) => Exact::ZERO,
    }
}

fn whole(fields: &mut Fields<'_, '_>, column: usize) -> Option<u64> {
    let text = fields.text(column)?;
    let read = text.parse().ok();
    if read.is_none() {
        let cell = fields.row.cell(column);
        let code = Code::WordUnknown {
            column: cell.column.into(),
            read: text.into(),
            near: None,
            known: "a whole number".into(),
        };
        fields.problems.add(Problem::new(code, cell.place));
    }
    read
}
