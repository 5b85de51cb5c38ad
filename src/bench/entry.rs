//! What a form says, as rows for the tables: one entry of the log, two that belong together, or an answer of the round.

use super::call::Call;
use super::problem::BenchProblem;
use super::sent::{RowOfTable, Sent};
use super::state::BenchNow;
use super::understood::{moment, understand};
use crate::quantity::{Exact, Measure, Moment, natural};
use crate::record::{ANSWERS, CHECKS, INVENTORY, LOG, Vessel, What};
use crate::typing::DayOrder;

/// Columns that a form does not fill: the store does, or another field does.
const NOT_TYPED: [&str; 4] = ["written", "id", "by", "note"];
/// An entry may wait on a phone for so many minutes: a year. What is older is taken as of now and would be refused as wrong.
const LONGEST_WAIT: u64 = 366 * 24 * 60;

/// Reads the fields of a form.
pub fn sent(call: &Call, now: &BenchNow) -> Result<Sent, BenchProblem> {
    let id = call.cell("id")?;
    let fine = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    if !(8..=40).contains(&id.len()) || !id.chars().all(fine) {
        return Err(BenchProblem::unfit(
            "The form has no id, so it could be written twice.",
            "Open the page again and fill in the form there.",
        ));
    }
    let when = when(call, DayOrder::of_shop(&now.shop.tables.shop))?;
    let (anyway, by_clock) = (call.text("anyway") == "yes", call.text("when").is_empty());
    let (what, rows) = if !call.text("check").is_empty() {
        (None, vec![(&CHECKS, answer(call, now)?)])
    } else {
        let what = What::parse(call.text("what")).ok_or_else(|| {
            BenchProblem::unfit(
                "The form does not say what was done.",
                "Choose what was done.",
            )
        })?;
        let is_mixture = call.fields.iter().any(|(name, _)| name == "pour");
        match is_mixture {
            true => (Some(What::Mix), mixture(call, now)?),
            false => (Some(what), entries(call, now, what)?),
        }
    };
    Ok(Sent {
        id,
        what,
        when,
        rows,
        anyway,
        by_clock,
    })
}

/// The entry of a form, with those that belong to it.
fn entries(call: &Call, now: &BenchNow, what: What) -> Result<Vec<RowOfTable>, BenchProblem> {
    let mut rows: Vec<RowOfTable> = vec![(&LOG, first_entry(call, now, what)?)];
    // Several containers go to one place as one entry, and several entries are taken back as one.
    let differs = [(What::Move, "container"), (What::Correct, "into")];
    let differs = differs.iter().find(|(own, _)| *own == what);
    let differs = differs.map_or("", |(_, column)| *column);
    let also = call.cells("also")?;
    for other in also.into_iter().filter(|_| !differs.is_empty()) {
        let first = rows.first().map_or(&[][..], |(_, cells)| cells);
        let mut cells = first.to_vec();
        for (_, text) in cells.iter_mut().filter(|(name, _)| *name == differs) {
            text.clone_from(&other);
        }
        understand(now, what, &mut cells)?;
        rows.push((&LOG, cells));
    }
    if call.text("then") == "empty" {
        let place = call.cell("place")?;
        let cells = vec![
            ("what", What::Empty.word().to_string()),
            ("place", place),
            ("by", by(call)?),
        ];
        rows.push((&LOG, cells));
    }
    Ok(rows)
}

/// The cells of the entry itself.
fn first_entry(
    call: &Call,
    now: &BenchNow,
    what: What,
) -> Result<Vec<(&'static str, String)>, BenchProblem> {
    let mut cells = vec![("what", what.word().to_string())];
    for column in LOG.may.iter().filter(|column| !NOT_TYPED.contains(column)) {
        let text = call.cell(column)?;
        if !text.is_empty() {
            cells.push((column, text));
        }
    }
    leveled(call, now, &mut cells)?;
    understand(now, what, &mut cells)?;
    in_pieces(now, &mut cells);
    cells.push(("by", by(call)?));
    let note = call.cell("note")?;
    let result = call.cell("result")?;
    cells.push((
        "note",
        match (result.as_str(), note.as_str()) {
            ("", _) => note,
            (_, "") => result,
            _ => format!("{result}: {note}"),
        },
    ));
    Ok(cells)
}

/// A mixture: what is poured into one jar, and the row of the jar where it is new.
fn mixture(call: &Call, now: &BenchNow) -> Result<Vec<RowOfTable>, BenchProblem> {
    let (jar, by) = (call.cell("into")?, by(call)?);
    let mut rows: Vec<RowOfTable> = Vec::new();
    if now.shop.tables.container(&jar).is_none() {
        let capacity = call.cell("capacity")?;
        let unit = Measure::parse(&capacity).map_or("", |measure| measure.unit.symbol);
        let cells = vec![
            ("container", jar.clone()),
            ("product", call.cell("product")?),
            ("vessel", call.cell("vessel")?),
            ("capacity", capacity),
            ("place", call.cell("jar-place")?),
            ("amount", format!("0 {unit}")),
            ("labelled", "no".to_string()),
        ];
        rows.push((&INVENTORY, cells));
    }
    for (_, pour) in call.fields.iter().filter(|(name, _)| name == "pour") {
        let Some((amount, container)) = pour.split_once(" from ") else {
            return Err(BenchProblem::unfit(
                "The form does not say what is poured.",
                "Open the page Mix again.",
            ));
        };
        let cells = vec![
            ("what", What::Mix.word().to_string()),
            ("container", container.to_string()),
            ("amount", amount.to_string()),
            ("into", jar.clone()),
            ("by", by.clone()),
        ];
        rows.push((&LOG, cells));
    }
    Ok(rows)
}

/// Who did it: whoever the form names, else the person of the device.
fn by(call: &Call) -> Result<String, BenchProblem> {
    let typed = call.cell("by")?;
    let own = call.caller.as_ref().map(|caller| caller.person.clone());
    Ok(match typed.is_empty() {
        true => own.unwrap_or_default(),
        false => typed,
    })
}

/// When it happened: the time that a person typed, else as long before its arrival as the device says that it waited. Only the
/// difference of two times of the device counts, so that its clock may be wrong.
fn when(call: &Call, order: DayOrder) -> Result<Moment, BenchProblem> {
    let typed = call.text("when");
    if !typed.is_empty() {
        return moment(typed, call.bench.clock().now(), order);
    }
    let stamp = |name: &str| call.text(name).parse::<u64>().ok();
    let waited = stamp("sent").zip(stamp("typed"));
    let waited = waited.and_then(|(sent, typed)| sent.checked_sub(typed));
    let minutes = waited.map_or(0, |waited| waited / 60_000);
    let minutes = if minutes > LONGEST_WAIT { 0 } else { minutes };
    let clock = call.bench.clock();
    let then = clock.ago(u32::try_from(minutes).unwrap_or(0));
    // In the hour that is given back each autumn, what was made before lies ahead by the clock on the wall.
    Ok(then.min(clock.now()))
}

/// The level of a slider, in hundredths of the vessel, as an amount.
fn leveled(
    call: &Call,
    now: &BenchNow,
    cells: &mut Vec<(&'static str, String)>,
) -> Result<(), BenchProblem> {
    let level = call.text("level");
    if level.is_empty() || !call.text("amount").is_empty() {
        return Ok(());
    }
    let tables = &now.shop.tables;
    let row = tables
        .container(call.text("container"))
        .map(|at| &tables[at]);
    let capacity = row.and_then(|row| row.capacity);
    let percent = level.parse::<u32>().ok().filter(|percent| *percent <= 100);
    let amount = capacity.zip(percent).and_then(|(capacity, percent)| {
        let share = Exact::constant(u64::from(percent), 2);
        capacity
            .base()
            .times(share)
            .ok()
            .map(|base| capacity.with(base))
    });
    let Some(amount) = amount else {
        return Err(BenchProblem::unfit(
            "The level of this container cannot be turned into an amount.",
            "Write the amount instead, such as 12 fl oz.",
        ));
    };
    cells.push(("amount", natural(amount, now.us())));
    Ok(())
}

/// Rags are counted, so a bare number of them means pieces.
fn in_pieces(now: &BenchNow, cells: &mut [(&'static str, String)]) {
    let cell = |column: &str| cells.iter().find(|(name, _)| *name == column);
    let tables = &now.shop.tables;
    let container = cell("container").map_or("", |(_, text)| text);
    let row = tables.container(container).map(|at| &tables[at]);
    if !row.and_then(|row| row.vessel).is_some_and(Vessel::is_cloth) {
        return;
    }
    for (_, text) in cells.iter_mut().filter(|(name, _)| *name == "amount") {
        if !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit()) {
            text.push_str(" pcs");
        }
    }
}

/// The row of checks.csv.
fn answer(call: &Call, now: &BenchNow) -> Result<Vec<(&'static str, String)>, BenchProblem> {
    let (check, told) = (call.cell("check")?, call.cell("answer")?);
    if now.shop.reference.round.find(&check).is_none() {
        return Err(BenchProblem::missing(
            "There is no such question in the round.",
        ));
    }
    if !ANSWERS.iter().any(|(word, _)| *word == told) {
        return Err(BenchProblem::unfit(
            "The answer must be yes, no or not present.",
            "Use the buttons.",
        ));
    }
    Ok(vec![
        ("check", check),
        ("where", call.cell("where")?),
        ("answer", told),
        ("by", by(call)?),
        ("note", call.cell("note")?),
    ])
}
