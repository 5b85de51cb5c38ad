//! What to use first, and what runs out of its time soon: two tables over the same days.

use super::footnotes::Footnotes;
use super::screen::Screen;
use super::words::date;
use crate::fact::{Age, Kept};
use crate::quantity::{Day, Period, natural};
use crate::record::ShopTables;
use crate::stock::{PASS_MINUTES, RETEST_MINUTES, Stock};
use crate::text::Files;

/// What a table of days is made from.
pub struct AgingStock<'a> {
    pub tables: &'a ShopTables,
    pub stock: &'a Stock,
    /// The containers and their days.
    pub kept: Vec<Kept>,
    pub files: &'a Files,
}

/// What is under a table: the rules, and remarks about containers.
#[derive(Default)]
struct UnderTable {
    rules: Footnotes,
    notes: Vec<String>,
}

impl AgingStock<'_> {
    fn id(&self, kept: &Kept) -> &str {
        &self.tables[kept.container].id
    }

    fn product(&self, kept: &Kept) -> &str {
        &self.tables[kept.container].product
    }

    fn holds(&self, kept: &Kept) -> String {
        let amount = self.stock[kept.container].recorded();
        amount.map_or_else(
            || "unknown".into(),
            |amount| natural(amount, self.tables.shop.us),
        )
    }

    /// The number of a container's rule, and its notes kept for the foot.
    fn because(&self, kept: &Kept, foot: &mut UnderTable) -> String {
        let said = kept.said.iter();
        foot.notes
            .extend(said.map(|said| format!("{}: {said}", self.id(kept))));
        let place = kept.at.map(|at| format!(" [{}]", self.files.row_name(at)));
        let rule = kept.rule.as_ref();
        rule.map_or_else(String::new, |rule| {
            foot.rules
                .number(&format!("{rule}{}", place.unwrap_or_default()))
        })
    }
}

fn day(day: Option<Day>) -> String {
    day.map_or_else(String::new, date)
}

/// By use-by day, opened before sealed, oldest first; what has no day comes last.
fn order(a: &Kept, b: &Kept) -> std::cmp::Ordering {
    let last = |kept: &Kept| kept.use_by.or(kept.test_from);
    let key = |kept: &Kept| (last(kept).is_none(), last(kept), !kept.opened, kept.born);
    key(a)
        .cmp(&key(b))
        .then_with(|| a.container.cmp(&b.container))
}

/// May it go on work at all?
fn usable(kept: &Kept) -> bool {
    !matches!(kept.age, Age::Failed | Age::Past)
}

fn word(age: Age) -> &'static str {
    match age {
        Age::Failed => "failed",
        Age::Past => "expired",
        Age::TestDue => "test",
        Age::Good => "good",
        Age::NotKnown => "?",
        Age::NoTime => "",
    }
}

/// What to use first, product by product.
pub fn use_first(shelf: &AgingStock<'_>, columns: usize) -> String {
    let mut list: Vec<&Kept> = shelf.kept.iter().collect();
    list.sort_by(|a, b| {
        let (mine, other) = (shelf.product(a), shelf.product(b));
        mine.cmp(other)
            .then_with(|| usable(b).cmp(&usable(a)))
            .then_with(|| order(a, b))
    });
    let mut foot = UnderTable::default();
    let mut rows = Vec::new();
    let (mut product, mut number) = ("", 0);
    for kept in list {
        let new = shelf.product(kept) != product;
        product = shelf.product(kept);
        number = if new { 1 } else { number + 1 };
        rows.push(vec![
            if new { product.into() } else { String::new() },
            if usable(kept) {
                format!("{number}.")
            } else {
                "-".into()
            },
            shelf.id(kept).to_string(),
            shelf.holds(kept),
            day(kept.use_by),
            word(kept.age).to_string(),
            shelf.because(kept, &mut foot),
        ]);
    }
    let head = ["product", "", "container", "holds", "use by", "is", "why"];
    let mut screen = Screen::new(columns);
    screen.table(&head, &rows);
    screen.gap();
    screen.line(
        "Use each product from the top: the earliest use-by date first, then open before sealed, then the oldest. Do not use \
         the ones marked -.",
    );
    finish(screen, &foot)
}

/// What has expired, or will expire or need a test within a span.
pub fn expiring(shelf: &AgingStock<'_>, span: Period, columns: usize) -> String {
    let on = shelf.stock.on;
    let until = on.plus(span);
    let falls = |kept: &&Kept| {
        let soon = |day: Option<Day>| day.is_some_and(|day| day <= until);
        matches!(
            kept.age,
            Age::Failed | Age::Past | Age::NotKnown | Age::TestDue
        ) || soon(kept.test_from)
            || soon(kept.use_by)
    };
    let mut list: Vec<&Kept> = shelf.kept.iter().filter(falls).collect();
    let first = |kept: &Kept| match kept.age {
        Age::Failed => (0, None),
        Age::NotKnown => (1, None),
        _ => (2, kept.use_by.or(kept.test_from)),
    };
    list.sort_by(|a, b| first(a).cmp(&first(b)).then_with(|| order(a, b)));
    let mut foot = UnderTable::default();
    let rows: Vec<Vec<String>> = list
        .into_iter()
        .map(|kept| {
            vec![
                shelf.id(kept).to_string(),
                shelf.product(kept).to_string(),
                shelf.holds(kept),
                day(kept.test_from),
                day(kept.use_by),
                word(kept.age).to_string(),
                shelf.because(kept, &mut foot),
            ]
        })
        .collect();
    let mut screen = Screen::new(columns);
    screen.line(format!(
        "Expired, or to be tested or used by {} ({span} from {}):",
        date(until),
        date(on)
    ));
    if rows.is_empty() {
        screen.line("Nothing.");
    } else {
        let head = [
            "container",
            "product",
            "holds",
            "test from",
            "use by",
            "is",
            "why",
        ];
        screen.table(&head, &rows);
    }
    screen.gap();
    finish(screen, &foot)
}

fn finish(mut screen: Screen, foot: &UnderTable) -> String {
    foot.rules.print(&mut screen);
    if !foot.notes.is_empty() {
        screen.gap();
    }
    for note in &foot.notes {
        screen.item("- ", note);
    }
    screen.gap();
    for part in tests().lines() {
        screen.line(part);
    }
    screen.done()
}

/// What each result of a test does, with the pass marks and how well they are supported.
fn tests() -> String {
    format!(
        "good: within its shelf life. test: test it before use. ?: its first day is unknown, so test it first. expired: test it \
         or discard it. failed: it failed a test, so discard it. Empty: no published shelf life.\n\
         Tests. Glass: dry within {PASS_MINUTES} min is a pass (grade M: trade magazine and finishers' notes). Dry within \
         {RETEST_MINUTES} min is a retest, and longer is a fail (both a judgment). A pass extends the shelf life from the day \
         of the test, by its rule. After a retest, use it only for sealing and jigs, and test it again. Discard what fails any \
         test, whatever its age. A film that a fingernail dents after 24 h also fails; log it as nail. The months are a \
         convention of the trade. The test decides."
    )
}
