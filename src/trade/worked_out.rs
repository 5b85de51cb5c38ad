//! `data/worked-out.csv`: questions of the round that rules answer from the tables. A person is not asked what the program can
//! compute.

use super::asked::Asked;
use crate::text::{FileId, Files, Problems, Shape, Table};

const SHAPE: Shape = Shape {
    file: "worked-out.csv",
    must: &["check", "rule"],
    may: &[],
};

/// Which rules answer which questions: the words of both.
#[derive(Debug, Default)]
pub struct WorkedOut {
    list: Vec<(String, String)>,
}

impl WorkedOut {
    /// Is this question answered without a person? It is where one of its rules could be judged: what else such a rule lacks is a
    /// finding of its own. A no that a person gave is asked about until it is a yes.
    pub fn answers(&self, asked: &Asked<'_>, judged: impl Fn(&str) -> bool) -> bool {
        let is_no = asked.last.is_some_and(|(_, said)| said == Some(false));
        let mut mine = self
            .list
            .iter()
            .filter(|(check, _)| *check == asked.question.check);
        !is_no && mine.any(|(_, rule)| judged(rule))
    }

    /// All pairs of a question and a rule.
    pub fn all(&self) -> &[(String, String)] {
        &self.list
    }
}

pub fn read_worked_out(files: &Files, file: FileId, problems: &mut Problems) -> WorkedOut {
    let mut found = WorkedOut::default();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return found;
    };
    while let Some(row) = table.next(problems) {
        let [check, rule]: [&str; 2] = row.texts();
        found.list.push((check.to_string(), rule.to_string()));
    }
    table.finish(problems);
    found
}
