//! The round as CSV: the columns `found`, `answer`, `when`, `by` and `note` are left empty, to be filled in.

use super::findings_csv::inert;
use super::sheet_rows::{Ask, RoundSheet};

/// The columns, in order. `kind`, `name` and `about` say what a row is; the rest of the filled ones are for people.
pub const COLUMNS: [&str; 16] = [
    "row", "room", "place", "kind", "name", "about", "what", "expected", "due", "unit", "printed",
    "found", "answer", "when", "by", "note",
];

/// What is filled into a row: `found`, `answer` and `note`.
pub type Fill = [String; 3];

/// The rows that bear a number, to be filled in.
pub fn sheet_csv(sheet: &RoundSheet) -> Result<String, csv::Error> {
    sheet_filled(sheet, |_| Fill::default())
}

/// The rows that bear a number, each with what is found for its number.
pub fn sheet_filled(
    sheet: &RoundSheet,
    fill: impl Fn(usize) -> Fill,
) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    let printed = sheet.on.to_string();
    for leg in &sheet.legs {
        for line in &leg.lines {
            let Some(number) = line.number else { continue };
            let [found, answer, note] = fill(number);
            let number = number.to_string();
            let [kind, name, about, what, expected, due, unit] = match &line.ask {
                Ask::Count(count) => [
                    "count",
                    &count.container,
                    "",
                    &count.product,
                    &count.expected,
                    "",
                    count.unit,
                ],
                Ask::Check(check) => [
                    "check",
                    &check.check,
                    &check.about,
                    &check.question,
                    &check.pass,
                    &check.due,
                    "",
                ],
                Ask::Look { .. } => continue,
            };
            let cells = [
                &number,
                &leg.room,
                &line.place,
                kind,
                name,
                about,
                what,
                expected,
                due,
                unit,
                &printed,
                &found,
                &answer,
                "",
                "",
                &note,
            ];
            writer.write_record(cells.map(inert))?;
        }
    }
    let bytes = writer
        .into_inner()
        .map_err(|fault| csv::Error::from(fault.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
