//! Cells as a person typed them become cells as the tables write them: names without regard to capitals, `half`, `5pm`.

use super::problem::BenchProblem;
use super::state::BenchNow;
use crate::quantity::Moment;
use crate::record::What;
use crate::text::clean;
use crate::typing::{
    AmountTyped, DayOrder, HeldAmount, MomentUnclear, NOON, NameFound, as_typed, container, place,
    typed_amount, typed_minutes, typed_moment, with_point,
};

/// So many choices are listed.
const MOST_CHOICES: usize = 12;

/// The cells of an entry.
pub type Cells = Vec<(&'static str, String)>;

/// Puts names and the amount as the tables write them. What is unknown stays, for the store to refuse.
pub fn understand(now: &BenchNow, what: What, cells: &mut Cells) -> Result<(), BenchProblem> {
    let (tables, stock) = (&now.shop.tables, &now.stock);
    let pours = matches!(what, What::Mix | What::Decant | What::Soil);
    let own = cells.iter().find(|(name, _)| *name == "container");
    let own = own.map_or_else(String::new, |(_, text)| text.clone());
    for (name, text) in cells.iter_mut() {
        let by_entry = text.to_lowercase().starts_with("entry ") || text == "clean";
        let found = match *name {
            "container" => container(tables, stock, text),
            "into" if pours => container(tables, stock, text),
            "place" => place(tables, text, &[]),
            "from" if !by_entry => place(tables, text, &[]),
            _ => continue,
        };
        chosen(found, text)?;
    }
    let named = cells.iter().find(|(name, _)| *name == "container");
    let named = named.map_or(own, |(_, text)| text.clone());
    let at = tables.container(&named);
    let of = HeldAmount {
        held: at.and_then(|at| stock[at].amount),
        capacity: at.and_then(|at| tables[at].capacity),
    };
    for (_, text) in cells.iter_mut().filter(|(name, _)| *name == "amount") {
        let plain = with_point(text, &tables.shop.locale);
        *text = plain.map_err(|words| BenchProblem::unfit(words.wrong, words.fix))?;
        let of = of.of_entry(what, text);
        match typed_amount(text, of, tables.shop.us, tables.shop.fluid_ounces) {
            AmountTyped::Cell(cell) => *text = cell,
            AmountTyped::AsTyped => {}
            AmountTyped::HeldUnknown => {
                return Err(BenchProblem::unfit(
                    format!("How much {} holds is unknown.", clean(&named)),
                    "Write an amount, or count what is there first.",
                ));
            }
            AmountTyped::Ounces(cell) => {
                return Err(BenchProblem::unfit(
                    format!("\"{}\" can be a weight or a volume.", clean(text)),
                    format!("{} is a liquid. Write {cell}.", clean(&named)),
                ));
            }
        }
        // A form that was shown is sent again, and read again.
        *text = as_typed(text, &tables.shop.locale);
    }
    for (_, text) in cells.iter_mut().filter(|(name, _)| *name == "minutes") {
        if let Some(minutes) = typed_minutes(text) {
            *text = minutes.to_string();
        }
    }
    Ok(())
}

fn chosen(found: NameFound, typed: &mut String) -> Result<(), BenchProblem> {
    match found {
        NameFound::One(name) => *typed = name,
        NameFound::Unknown => {}
        NameFound::Several(choices) => {
            let shown = choices.iter().take(MOST_CHOICES);
            let more = shown.map(|choice| format!("{}: {}", choice.name, choice.about));
            return Err(BenchProblem {
                more: more.collect(),
                ..BenchProblem::unfit(
                    format!("\"{}\" can mean {} things.", clean(typed), choices.len()),
                    "Type more of the name.",
                )
            });
        }
    }
    Ok(())
}

/// A moment as a person typed it.
pub fn moment(text: &str, now: Moment, order: DayOrder) -> Result<Moment, BenchProblem> {
    let wrong = |wrong: String, fix: &str| Err(BenchProblem::unfit(wrong, fix));
    match typed_moment(text, now, order, NOON) {
        Ok(moment) => Ok(moment),
        Err(MomentUnclear::Shape) => wrong(
            format!("\"{}\" is not a day and time.", clean(text)),
            "Write 5pm, yesterday 17:30, 3 Nov 10:00 or 2026-11-03T10:00, or leave the field empty for now.",
        ),
        Err(MomentUnclear::NoSuch) => wrong(
            format!("There is no such day or time: \"{}\".", clean(text)),
            "Look at the calendar and the clock.",
        ),
        Err(MomentUnclear::Order(one, other)) => wrong(
            format!("\"{}\" can be {one} or {other}.", clean(text)),
            "Write the day as 2026-11-03.",
        ),
    }
}
