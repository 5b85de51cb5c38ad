//! Words that a person typed outside a table, held against the tables: everything that is wrong is reported at once.

use super::not_audited::Refusal;
use crate::quantity::{Amount, Dimension, Exact, Measure, MeasureFault, NumberFault};
use crate::record::{RoomId, ShopTables};
use crate::text::{CellFault, FileId, Files, Problem, Problems, ShownProblems, Span, nearest};
use crate::vapour::plan::Work;

/// The longest work that is planned: a day.
const MOST_MINUTES: u32 = 24 * 60;
/// What an amount and an airflow must be.
const MORE_THAN_NOTHING: &str = "an amount above zero";

/// The words of a plan, all there; the options of `air` have the same names.
pub struct WorkRequest<'a> {
    /// The room.
    pub room: &'a str,
    /// The product.
    pub product: &'a str,
    /// How much of it.
    pub amount: &'a str,
    /// How long it takes.
    pub minutes: &'a str,
    /// An exhaust in place of the room's own.
    pub exhaust: Option<&'a str>,
}

/// Reads the words of a plan; everything that is wrong is reported at once.
pub fn work_asked<'a>(
    asked: &WorkRequest<'a>,
    at_once: bool,
    tables: &ShopTables,
) -> Result<Work<'a>, Refusal> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let line = files.hold("command line", Vec::new());
    let room = known_room(asked.room, tables, line, &mut problems);
    known_product(asked.product, tables, line, &mut problems);
    let amount = measure(
        "--amount",
        asked.amount,
        Dimension::Volume,
        line,
        &mut problems,
    );
    let minutes = minutes(asked.minutes, line, &mut problems);
    let exhaust = asked
        .exhaust
        .and_then(|text| measure("--exhaust", text, Dimension::Airflow, line, &mut problems));
    let litres = amount.as_ref().and_then(Measure::amount).and_then(positive);
    if amount.is_some() && litres.is_none() {
        refused(
            "--amount",
            asked.amount,
            MORE_THAN_NOTHING.into(),
            line,
            &mut problems,
        );
    }
    match (room, litres, minutes) {
        (Some(room), Some(litres), Some(minutes)) if problems.none() => Ok(Work {
            room,
            product: asked.product,
            litres,
            minutes,
            exhaust: exhaust.map(|measure| measure.base.estimate()),
            at_once,
        }),
        _ => Err(Refusal::Problems(ShownProblems::of_files(
            &problems, &files,
        ))),
    }
}

fn positive(amount: Amount) -> Option<f64> {
    let base = amount.base();
    (base > Exact::ZERO).then(|| base.estimate())
}

fn known_room(
    name: &str,
    tables: &ShopTables,
    line: FileId,
    problems: &mut Problems,
) -> Option<RoomId> {
    let room = tables.room(name);
    if room.is_none() {
        let near = nearest(name, tables.rooms.iter().map(|room| room.id.as_str()));
        unknown("room", name, near, line, problems);
    }
    room
}

/// A product is known if products.csv describes it, or the generic materials.
pub(super) fn known_product(
    name: &str,
    tables: &ShopTables,
    line: FileId,
    problems: &mut Problems,
) {
    if tables.product(name).is_some() || tables.materials.find(name).is_some() {
        return;
    }
    let own = tables.products.iter().map(|product| product.id.as_str());
    let mut generic: Vec<&str> = tables.materials.names().collect();
    generic.sort_unstable();
    let near = nearest(name, own.chain(generic));
    unknown("product", name, near, line, problems);
}

pub(super) fn unknown(
    kind: &'static str,
    name: &str,
    near: Option<&str>,
    line: FileId,
    problems: &mut Problems,
) {
    let code = CellFault::NameUnknown {
        kind,
        read: name.to_string(),
        near: near.map(str::to_string),
    };
    problems.add(Problem::new(code, Span::whole(line)));
}

pub(super) fn measure(
    flag: &str,
    text: &str,
    wanted: Dimension,
    line: FileId,
    problems: &mut Problems,
) -> Option<Measure> {
    let fault = match Measure::parse_as(text, wanted) {
        Ok(measure) => return Some(measure),
        Err(fault) => fault,
    };
    if fault == MeasureFault::Number(NumberFault::Negative) {
        refused(flag, text, MORE_THAN_NOTHING.into(), line, problems);
        return None;
    }
    let code = CellFault::Quantity {
        column: flag.into(),
        read: text.into(),
        fault,
        wanted: vec![wanted],
    };
    problems.add(Problem::new(code, Span::whole(line)));
    None
}

fn refused(flag: &str, text: &str, wanted: String, line: FileId, problems: &mut Problems) {
    let code = CellFault::Unfit {
        column: flag.into(),
        read: text.into(),
        wanted,
    };
    problems.add(Problem::new(code, Span::whole(line)));
}

fn minutes(text: &str, line: FileId, problems: &mut Problems) -> Option<u32> {
    let read = text.trim().parse::<u32>().ok();
    let fits = read.filter(|minutes| (1..=MOST_MINUTES).contains(minutes));
    if fits.is_none() {
        let wanted = format!("the whole minutes of work, from 1 to {MOST_MINUTES}");
        refused("--minutes", text, wanted, line, problems);
    }
    fits
}
