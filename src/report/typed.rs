//! Words that a person typed outside a table, checked against the tables. All problems are reported at once.

use super::not_audited::Refusal;
use crate::quantity::{Amount, Dimension, Exact, Measure, MeasureFault, NumberFault};
use crate::record::{RoomId, ShopTables};
use crate::text::{
    CellFault, Fault, FileId, Files, Locale, Problem, Problems, ShownProblems, Span, Words, nearest,
};
use crate::typing::{ambiguous, with_point};
use crate::vapour::plan::Work;

/// The longest work that is planned: a day.
const MOST_MINUTES: u32 = 24 * 60;
/// What an amount and an airflow must be.
const MORE_THAN_NOTHING: &str = "an amount above zero";

/// The words of a plan, all there; the options of `air` have the same names.
pub struct WorkRequest<'a> {
    pub room: &'a str,
    pub product: &'a str,
    /// How much of it.
    pub amount: &'a str,
    /// How long it takes.
    pub minutes: &'a str,
    /// An exhaust in place of the room's own.
    pub exhaust: Option<&'a str>,
}

/// The words of a command, with their problems.
pub(super) struct TypedWords {
    files: Files,
    line: FileId,
    locale: Locale,
    pub(super) problems: Problems,
}

/// What only one command finds wrong with one of its options.
#[derive(Debug)]
struct OptionFault {
    option: &'static str,
    words: Words,
}

impl Fault for OptionFault {
    fn code(&self) -> &'static str {
        "option-wrong"
    }

    fn field(&self) -> Option<&str> {
        Some(self.option)
    }

    fn words(&self) -> Words {
        self.words.clone()
    }
}

impl TypedWords {
    /// `locale` is how the shop writes decimals.
    pub(super) fn new(locale: Locale) -> TypedWords {
        let mut files = Files::default();
        TypedWords {
            line: files.hold("command line", Vec::new()),
            files,
            locale,
            problems: Problems::new(),
        }
    }

    /// Why the command cannot be done.
    pub(super) fn refusal(&self) -> Refusal {
        Refusal::Problems(ShownProblems::of_files(&self.problems, &self.files))
    }

    pub(super) fn add(&mut self, fault: impl Fault) {
        self.problems
            .add(Problem::new(fault, Span::whole(self.line)));
    }

    /// Adds a problem in words of its own.
    pub(super) fn refuse(
        &mut self,
        option: &'static str,
        wrong: impl Into<String>,
        fix: impl Into<String>,
    ) {
        let words = Words::new(wrong, fix);
        self.add(OptionFault { option, words });
    }

    fn unfit(&mut self, option: &str, text: &str, wanted: impl Into<String>) {
        self.add(CellFault::Unfit {
            column: option.into(),
            read: text.into(),
            wanted: wanted.into(),
        });
    }

    pub(super) fn unknown(&mut self, kind: &'static str, name: &str, near: Option<&str>) {
        self.add(CellFault::NameUnknown {
            kind,
            read: name.to_string(),
            near: near.map(str::to_string),
        });
    }

    /// A product is known if products.csv or the built-in list describes it.
    pub(super) fn knows_product(&mut self, name: &str, tables: &ShopTables) -> bool {
        if tables.product(name).is_some() || tables.materials.find(name).is_some() {
            return true;
        }
        let own = tables.products.iter().map(|product| product.id.as_str());
        let mut generic: Vec<&str> = tables.materials.names().collect();
        generic.sort_unstable();
        self.unknown("product", name, nearest(name, own.chain(generic)));
        false
    }

    /// A number with a decimal point; nothing if it can mean two.
    pub(super) fn with_point(&mut self, text: &str) -> Option<String> {
        let plain = with_point(text, &self.locale);
        if plain.is_err() {
            self.add(ambiguous(text));
        }
        plain.ok()
    }

    pub(super) fn measure(
        &mut self,
        option: &str,
        text: &str,
        wanted: Dimension,
    ) -> Option<Measure> {
        let text = &*self.with_point(text)?;
        match Measure::parse_as(text, wanted) {
            Ok(measure) => return Some(measure),
            Err(MeasureFault::Number(NumberFault::Negative)) => {
                self.unfit(option, text, MORE_THAN_NOTHING);
            }
            Err(fault) => self.add(CellFault::Quantity {
                column: option.into(),
                read: text.into(),
                fault,
                wanted: vec![wanted],
            }),
        }
        None
    }

    fn room(&mut self, name: &str, tables: &ShopTables) -> Option<RoomId> {
        let room = tables.room(name);
        if room.is_none() {
            let near = nearest(name, tables.rooms.iter().map(|room| room.id.as_str()));
            self.unknown("room", name, near);
        }
        room
    }

    fn minutes(&mut self, text: &str) -> Option<u32> {
        let read = text.trim().parse::<u32>().ok();
        let fits = read.filter(|minutes| (1..=MOST_MINUTES).contains(minutes));
        if fits.is_none() {
            let wanted = format!("the whole minutes of work, from 1 to {MOST_MINUTES}");
            self.unfit("--minutes", text, wanted);
        }
        fits
    }
}

/// Reads the words of a plan.
pub fn work_asked<'a>(
    asked: &WorkRequest<'a>,
    at_once: bool,
    tables: &ShopTables,
) -> Result<Work<'a>, Refusal> {
    let mut words = TypedWords::new(tables.shop.locale);
    let room = words.room(asked.room, tables);
    words.knows_product(asked.product, tables);
    let amount = words.measure("--amount", asked.amount, Dimension::Volume);
    let minutes = words.minutes(asked.minutes);
    let exhaust = asked.exhaust;
    let exhaust = exhaust.and_then(|text| words.measure("--exhaust", text, Dimension::Airflow));
    let litres = amount.as_ref().and_then(Measure::amount).and_then(positive);
    if amount.is_some() && litres.is_none() {
        words.unfit("--amount", asked.amount, MORE_THAN_NOTHING);
    }
    match (room, litres, minutes) {
        (Some(room), Some(litres), Some(minutes)) if words.problems.none() => Ok(Work {
            room,
            product: asked.product,
            litres,
            minutes,
            exhaust: exhaust.map(|measure| measure.base.estimate()),
            at_once,
        }),
        _ => Err(words.refusal()),
    }
}

fn positive(amount: Amount) -> Option<f64> {
    let base = amount.base();
    (base > Exact::ZERO).then(|| base.estimate())
}
