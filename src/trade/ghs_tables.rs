//! Reads the tables of `data/ghs/`, five of them, into what a label needs.

use super::ghs::{
    Classed, Counted, Ghs, HazardClass, LeastSize, Limit, Pictogram, Signal, Statement, Under,
};
use crate::pack::Seen;
use crate::quantity::{Dimension, Measure};
use crate::record::Fields;
use crate::text::{FileId, Files, Problems, Shape, Table};

const CLASSES: Shape = Shape {
    file: "classes.csv",
    must: &["class", "title", "code", "source", "seen"],
    may: &[
        "signal",
        "pictogram",
        "speaks_for",
        "precautions",
        "covers",
        "flash",
        "boils",
        "estimate",
        "up_to",
        "note",
    ],
};
const STATEMENTS: Shape = Shape {
    file: "statements.csv",
    must: &["code", "text", "source", "seen"],
    may: &["shown", "rank", "covers", "note"],
};
const LIMITS: Shape = Shape {
    file: "limits.csv",
    must: &["class", "of", "by", "weight", "at_least", "source", "seen"],
    may: &["note"],
};
const SUBSTANCES: Shape = Shape {
    file: "substances.csv",
    must: &["material", "class", "source", "seen"],
    may: &["at_least", "estimate", "factor", "note"],
};
const SIZES: Shape = Shape {
    file: "sizes.csv",
    must: &[
        "short_side",
        "long_side",
        "pictogram",
        "pictogram_better",
        "letter",
        "source",
        "seen",
    ],
    may: &["up_to", "note"],
};

/// The five files, in the order in which [`read_ghs`] takes them.
pub const GHS_FILES: [&str; 5] = [
    "data/ghs/classes.csv",
    "data/ghs/statements.csv",
    "data/ghs/limits.csv",
    "data/ghs/substances.csv",
    "data/ghs/sizes.csv",
];

/// Reads the five tables.
pub fn read_ghs(files: &Files, tables: [FileId; 5], problems: &mut Problems) -> Ghs {
    let mut ghs = Ghs::default();
    let [classes, statements, limits, substances, sizes] = tables;
    rows(files, classes, &CLASSES, problems, |fields| {
        ghs.classes.extend(read_class(fields));
    });
    rows(files, statements, &STATEMENTS, problems, |fields| {
        let statement = read_statement(fields);
        ghs.statements
            .extend(statement.map(|read| (read.code.clone(), read)));
    });
    rows(files, limits, &LIMITS, problems, |fields| {
        ghs.limits.extend(read_limit(fields));
    });
    rows(files, substances, &SUBSTANCES, problems, |fields| {
        if let Some((name, classed)) = read_substance(fields) {
            ghs.substances.entry(name).or_default().push(classed);
        }
    });
    rows(files, sizes, &SIZES, problems, |fields| {
        ghs.sizes.extend(read_size(fields));
    });
    ghs
}

fn rows(
    files: &Files,
    file: FileId,
    shape: &'static Shape,
    problems: &mut Problems,
    mut read: impl FnMut(&mut Fields<'_, '_>),
) {
    let Some(mut table) = Table::open(files, file, shape, problems) else {
        return;
    };
    while let Some(row) = table.next(problems) {
        read(&mut Fields { row, problems });
    }
    table.finish(problems);
}

fn words(fields: &Fields<'_, '_>, column: usize) -> Vec<String> {
    let text = fields.text(column).unwrap_or_default();
    text.split_whitespace().map(str::to_string).collect()
}

/// `< 23 C`, or `<= 60 C`.
fn under(text: &str) -> Option<Under> {
    let (text, with) = match text.strip_prefix("<=") {
        Some(rest) => (rest, true),
        None => (text.strip_prefix('<')?, false),
    };
    let border = Measure::parse_as(text.trim(), Dimension::Temperature).ok()?;
    Some(Under {
        border: border.temperature(),
        with,
    })
}

fn read_class(fields: &mut Fields<'_, '_>) -> Option<HazardClass> {
    let signals = [("danger", Signal::Danger), ("warning", Signal::Warning)];
    let (id, title, code) = (fields.owned(0), fields.owned(1), fields.owned(2));
    Some(HazardClass {
        id: id?,
        title: title?,
        code: code?,
        seen: fields.word(4, &Seen::WORDS)?,
        signal: fields.word(5, &signals),
        pictogram: fields.word(6, &Pictogram::WORDS),
        speaks_for: fields.owned(7).unwrap_or_default(),
        precautions: words(fields, 8),
        covers: words(fields, 9),
        flash: fields.text(10).and_then(under),
        boils: fields.text(11).and_then(under),
        estimate: fields.number(12),
        up_to: fields.number(13),
    })
}

fn read_statement(fields: &mut Fields<'_, '_>) -> Option<Statement> {
    let (code, text) = (fields.owned(0), fields.owned(1));
    let rank = fields.text(5).and_then(|rank| rank.parse().ok());
    Some(Statement {
        code: code?,
        text: fields.owned(4).or(text)?,
        rank: rank.unwrap_or(0),
        covers: words(fields, 6),
        seen: fields.word(3, &Seen::WORDS)?,
    })
}

fn read_limit(fields: &mut Fields<'_, '_>) -> Option<Limit> {
    let by = [("each", Counted::Each), ("sum", Counted::Sum)];
    let (class, of) = (fields.owned(0), fields.owned(1));
    Some(Limit {
        class: class?,
        of: of?,
        by: fields.word(2, &by)?,
        weight: fields.number(3)?,
        at_least: fields.number(4)?,
        seen: fields.word(6, &Seen::WORDS)?,
    })
}

fn read_substance(fields: &mut Fields<'_, '_>) -> Option<(String, Classed)> {
    let (name, class) = (fields.owned(0), fields.owned(1));
    let classed = Classed {
        class: class?,
        source: fields.owned(2).unwrap_or_default(),
        seen: fields.word(3, &Seen::WORDS)?,
        at_least: fields.number(4),
        estimate: fields.number(5),
        factor: fields.number(6),
        note: fields.owned(7).unwrap_or_default(),
    };
    Some((name?.to_lowercase(), classed))
}

fn read_size(fields: &mut Fields<'_, '_>) -> Option<LeastSize> {
    let length = |fields: &mut Fields<'_, '_>, column| {
        let measure = fields.measure(column, &[Dimension::Length]);
        measure.map(|m| m.length())
    };
    Some(LeastSize {
        short: length(fields, 0)?,
        long: length(fields, 1)?,
        pictogram: length(fields, 2)?,
        better: length(fields, 3)?,
        letter: length(fields, 4)?,
        up_to: fields.measure(7, &[Dimension::Volume]).map(|m| m.volume()),
    })
}
