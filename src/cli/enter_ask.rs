//! Asks a sheet row by row on a terminal. Each answer is typed: Enter alone passes over what was not looked at, and nothing is
//! written of it, so that a key pressed by accident never answers yes.

use super::{Failure, style};
use crate::quantity::{Measure, MeasureFault};
use crate::record::typed_answer;
use crate::report::{Ask, Fill, RoundLine, RoundSheet, sheet_filled};
use crate::text::clean;
use crate::trade::{AS_PRINTED, is_share};
use std::collections::HashMap;
use std::io::BufRead;

/// What was typed, once it is understood.
enum Typed {
    /// As it is printed, or another answer.
    Row(Fill),
    /// Not looked at.
    Passed,
    /// No more rows.
    Stop,
}

/// The table as if it had been filled in; `None` if nothing is to be written.
pub(super) fn ask(sheet: &RoundSheet) -> Result<Option<String>, Failure> {
    style::print(
        "Write an amount, or `ok` if it is as printed. Answer a question with `yes`, `no` or `not present`. Press Enter to\n\
         skip a row, and `q` to stop. A number without a unit has the unit in brackets.\n",
    )?;
    let mut filled: HashMap<usize, Fill> = HashMap::new();
    let (mut passed, mut stopped) = (0, false);
    for leg in &sheet.legs {
        if stopped {
            break;
        }
        style::print(&format!("\n{}\n", clean(&leg.title)))?;
        for line in &leg.lines {
            let Some(number) = line.number else { continue };
            match row(line, number, sheet.rows)? {
                Typed::Row(fill) => {
                    filled.insert(number, fill);
                }
                Typed::Passed => passed += 1,
                Typed::Stop => {
                    stopped = true;
                    break;
                }
            }
        }
    }
    let question = format!(
        "\n{} rows to write, {passed} skipped, {} not asked. Write them? (yes or no) ",
        filled.len(),
        sheet.rows.saturating_sub(filled.len() + passed)
    );
    if filled.is_empty() || !wanted(&question)? {
        style::print("Nothing was written.\n")?;
        return Ok(None);
    }
    sheet_filled(sheet, |number| {
        filled.get(&number).cloned().unwrap_or_default()
    })
    .map(Some)
    .map_err(Failure::unprinted)
}

/// Asks until it is a yes or a no; the end of the input is a no.
fn wanted(question: &str) -> Result<bool, Failure> {
    loop {
        match read(question)?.map(|said| said.to_lowercase()).as_deref() {
            Some("y" | "yes") => return Ok(true),
            Some("n" | "no") | None => return Ok(false),
            Some(_) => style::print("   write yes or no")?,
        }
    }
}

/// A line from standard input; `None` at its end.
fn read(question: &str) -> Result<Option<String>, Failure> {
    style::print(question)?;
    let mut text = String::new();
    let bytes = std::io::stdin().lock().read_line(&mut text)?;
    Ok((bytes > 0).then(|| text.trim().to_string()))
}

fn row(line: &RoundLine, number: usize, of: usize) -> Result<Typed, Failure> {
    let place = if line.place.is_empty() {
        String::new()
    } else {
        format!("{}: ", clean(&line.place))
    };
    let lead = format!("{number}/{of} {place}");
    loop {
        let (typed, understood) = match &line.ask {
            Ask::Count(count) => {
                let question = format!(
                    "{lead}{}, {}: {} [{}] ",
                    clean(&count.container),
                    clean(&count.product),
                    count.expected,
                    count.unit
                );
                let Some(typed) = read(&question)? else {
                    return Ok(Typed::Stop);
                };
                (typed.clone(), amount(&typed, &count.expected, count.unit))
            }
            Ask::Check(check) => {
                let question = format!("{lead}{} [yes, no, not present] ", check.question);
                let Some(typed) = read(&question)? else {
                    return Ok(Typed::Stop);
                };
                (typed.clone(), answer(&typed))
            }
            Ask::Look { .. } => return Ok(Typed::Passed),
        };
        match understood {
            Some(Typed::Row([found, said, _])) if said == "no" => {
                let note = read("   What is wrong, and who will fix it? ")?.unwrap_or_default();
                return Ok(Typed::Row([found, said, note]));
            }
            Some(typed) => return Ok(typed),
            None if typed.eq_ignore_ascii_case(AS_PRINTED) => {
                style::print(
                    "   No amount is printed here. Write an amount with its unit, or press Enter.\n",
                )?;
            }
            None => style::print(&format!(
                "   `{}` is not an answer here. Write {}, or press Enter.\n",
                clean(&typed),
                match line.ask {
                    Ask::Check(_) => "yes, no or not present",
                    Ask::Count(_) | Ask::Look { .. } => "`ok`, `empty`, `half` or an amount",
                }
            ))?,
        }
    }
}

fn amount(typed: &str, expected: &str, unit: &str) -> Option<Typed> {
    let found = |text: &str| Some(Typed::Row([text.to_string(), String::new(), String::new()]));
    match typed {
        "" | "-" => Some(Typed::Passed),
        "q" => Some(Typed::Stop),
        text if text.eq_ignore_ascii_case(AS_PRINTED) => Measure::parse(expected)
            .ok()
            .and_then(|_| found(AS_PRINTED)),
        text if is_share(text) => found(text),
        text => match Measure::parse(text) {
            Ok(_) => found(text),
            Err(MeasureFault::UnitMissing) if !unit.is_empty() => found(text),
            Err(_) => None,
        },
    }
}

fn answer(typed: &str) -> Option<Typed> {
    match typed.to_lowercase().as_str() {
        "" | "-" => return Some(Typed::Passed),
        "q" => return Some(Typed::Stop),
        _ => {}
    }
    let said = typed_answer(typed)?;
    Some(Typed::Row([String::new(), said.to_string(), String::new()]))
}
