//! `data/checks.csv`: the questions of the walk-round, how often each is due, and who says so.

use crate::pack::Severity;
use crate::quantity::Span;
use crate::record::Fields;
use crate::text::{FileId, Files, Problems, Shape, Table};

const SHAPE: Shape = Shape {
    file: "checks.csv",
    must: &[
        "check", "question", "pass", "interval", "severity", "topic", "where", "source", "seen",
        "grade",
    ],
    may: &["if_absent"],
};

/// One question.
#[derive(Clone, Debug)]
pub struct Question {
    /// Its word, by which rules and answers name it.
    pub check: String,
    /// The question.
    pub question: String,
    /// What a yes means.
    pub pass: String,
    /// How often it is due.
    pub interval: Span,
    /// How much it weighs.
    pub severity: Severity,
    /// Its topic.
    pub topic: String,
    /// What it is asked about: `shop`, `room`, `place:<kind>`, `fixture:<kind>`.
    pub about: String,
    /// Who says so.
    pub source: String,
    /// "Not present" is a good answer: the rule is then about nothing.
    pub may_be_absent: bool,
}

/// All questions.
#[derive(Debug, Default)]
pub struct Round {
    /// In the order of the file.
    pub questions: Vec<Question>,
}

impl Round {
    /// A question by its word.
    pub fn find(&self, check: &str) -> Option<&Question> {
        self.questions
            .iter()
            .find(|question| question.check == check)
    }
}

/// Reads the questions.
pub fn read_round(files: &Files, file: FileId, problems: &mut Problems) -> Round {
    let mut round = Round::default();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return round;
    };
    while let Some(row) = table.next(problems) {
        round.questions.extend(read(&mut Fields { row, problems }));
    }
    table.finish(problems);
    round
}

fn read(fields: &mut Fields<'_, '_>) -> Option<Question> {
    let must = |fields: &mut Fields<'_, '_>, column| fields.must(column).map(str::to_string);
    let (check, question, pass) = (must(fields, 0), must(fields, 1), must(fields, 2));
    let interval = fields.must(3).and_then(|_| fields.span(3));
    let severity = fields
        .must(4)
        .and_then(|_| fields.word(4, &Severity::WORDS));
    let (topic, about, source) = (must(fields, 5), must(fields, 6), must(fields, 7));
    let may_be_absent = fields
        .word(10, &[("fine", true), ("wanting", false)])
        .unwrap_or(false);
    Some(Question {
        check: check?,
        question: question?,
        pass: pass?,
        interval: interval?,
        severity: severity?,
        topic: topic?,
        about: about?,
        source: source?,
        may_be_absent,
    })
}
