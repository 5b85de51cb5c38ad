//! The round that is being walked, `.sandarac/bench/round`: answers and counts that wait there until they are saved together. What is
//! in it was accepted by the store, is on the disk, and is shown as not saved. Only whoever holds the journal changes it.

use super::device::{home, secretly};
use super::problem::BenchProblem;
use super::sent::Sent;
use crate::files::{NamedCells, cell_of};
use crate::quantity::Moment;
use crate::record::{CHECKS, LOG};
use crate::store::{NewRow, Submission};
use crate::text::Shape;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The first line of the file; a moment follows where the round was saved.
const HEAD: &str = "sandarac round 1";
/// The tables that a round writes.
const TABLES: [&Shape; 2] = [&LOG, &CHECKS];
/// A round has at most so many answers.
const MOST: usize = 5000;

/// An answer or a count that waits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftLine {
    /// Its id, made on the device.
    pub id: String,
    /// When it was seen.
    pub when: Moment,
    /// The table that it goes into.
    pub file: &'static str,
    /// Its cells, without the moment.
    pub cells: NamedCells,
}

/// A round, in the order in which it was walked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RoundDraft {
    pub lines: Vec<DraftLine>,
    /// When it was saved, if it was.
    pub saved: Option<Moment>,
}

impl DraftLine {
    /// What was sent, if a round can hold it.
    pub fn of(sent: &Sent) -> Option<DraftLine> {
        let (table, cells) = sent.rows.first()?;
        let is_known = TABLES.iter().any(|known| known.file == table.file);
        is_known.then(|| DraftLine {
            id: sent.id.clone(),
            when: sent.when,
            file: table.file,
            cells: cells.clone(),
        })
    }

    /// A cell by its column.
    pub fn cell(&self, column: &str) -> &str {
        cell_of(&self.cells, column)
    }

    /// Is it about the same question or container?
    fn is_about_the_same(&self, other: &DraftLine) -> bool {
        let same = |column| self.cell(column) == other.cell(column);
        self.file == other.file && ["check", "where", "container"].into_iter().all(same)
    }

    /// As the store takes it.
    pub fn submission(&self) -> Submission {
        let table = TABLES.into_iter().find(|table| table.file == self.file);
        let rows = table.map(|table| {
            let mut row = NewRow {
                table,
                cells: self.cells.clone(),
            };
            row.cells.insert(0, ("when", self.when.to_string()));
            row
        });
        Submission {
            id: Some(self.id.clone()),
            rows: rows.into_iter().collect(),
        }
    }

    /// Cells hold no tab and no line break: a form refuses them.
    fn text(&self) -> String {
        let mut line = format!("{}\t{}\t{}", self.id, self.when, self.file);
        for (column, text) in &self.cells {
            line.push_str(&format!("\t{column}={text}"));
        }
        line
    }

    fn parse(line: &str) -> Option<DraftLine> {
        let mut parts = line.split('\t');
        let (id, when, file) = (parts.next()?, parts.next()?, parts.next()?);
        let table = TABLES.into_iter().find(|table| table.file == file)?;
        let cell = |part: &str| {
            let (name, text) = part.split_once('=')?;
            let column = table.all().find(|column| *column == name)?;
            Some((column, text.to_string()))
        };
        Some(DraftLine {
            id: id.to_string(),
            when: Moment::parse(when).ok()?,
            file: table.file,
            cells: parts.map(cell).collect::<Option<NamedCells>>()?,
        })
    }
}

impl RoundDraft {
    /// The round that is under way; an empty one where none is.
    pub fn read(shop: &Path) -> Result<RoundDraft, BenchProblem> {
        RoundDraft::of(&home(shop).join("round"))
    }

    /// The round that was saved last.
    pub fn last_saved(shop: &Path) -> Result<RoundDraft, BenchProblem> {
        RoundDraft::of(&home(shop).join("round-saved"))
    }

    fn of(path: &PathBuf) -> Result<RoundDraft, BenchProblem> {
        let text = match std::fs::read_to_string(path) {
            Ok(text) => text,
            Err(fault) if fault.kind() == ErrorKind::NotFound => return Ok(RoundDraft::default()),
            Err(fault) => return Err(unread(&fault.to_string())),
        };
        let mut lines = text.lines();
        let head = lines.next().and_then(|line| line.strip_prefix(HEAD));
        let damaged = || unread("it is damaged, or from another version of this program");
        let saved = match head.ok_or_else(damaged)?.trim() {
            "" => None,
            when => Some(Moment::parse(when).map_err(|_| damaged())?),
        };
        let lines: Option<Vec<DraftLine>> = lines.map(DraftLine::parse).collect();
        Ok(RoundDraft {
            lines: lines.ok_or_else(damaged)?,
            saved,
        })
    }

    /// Adds a line. A second answer of the same person takes the place of the first; one by another person stands beside it, and
    /// the later one counts. Gives the line that it replaces.
    pub fn put(&mut self, line: DraftLine) -> Result<Option<DraftLine>, BenchProblem> {
        let by = line.cell("by").to_string();
        let same = |old: &DraftLine| {
            old.is_about_the_same(&line) && !by.is_empty() && old.cell("by") == by
        };
        let at = self.lines.iter().position(same);
        let old = at.map(|at| self.lines.remove(at));
        if self.lines.len() >= MOST {
            let wrong = format!("The round has {MOST} answers, which is the most.");
            return Err(BenchProblem::unfit(wrong, "Save it, then go on."));
        }
        self.lines.push(line);
        Ok(old)
    }

    /// The answer to a question that counts: the last one.
    pub fn answer(&self, check: &str, about: &str) -> Option<&DraftLine> {
        let mut lines = self.lines.iter();
        lines.rfind(|line| line.cell("check") == check && line.cell("where") == about)
    }

    /// The count of a container that counts: the last one.
    pub fn count(&self, container: &str) -> Option<&DraftLine> {
        let mut lines = self.lines.iter().filter(|line| line.file == LOG.file);
        lines.rfind(|line| line.cell("container") == container)
    }

    /// Keeps it as the round that is under way; an empty one goes away.
    pub fn keep(&self, shop: &Path) -> Result<(), BenchProblem> {
        match self.lines.is_empty() {
            true => gone(&home(shop).join("round")),
            false => self.write(shop, "round", HEAD),
        }
    }

    /// Keeps it as the round that was saved last, and ends the one under way.
    pub fn keep_saved(&self, shop: &Path, now: Moment) -> Result<(), BenchProblem> {
        self.write(shop, "round-saved", &format!("{HEAD} {now}"))?;
        gone(&home(shop).join("round"))
    }

    /// Forgets the round that was saved last.
    pub fn forget_saved(shop: &Path) -> Result<(), BenchProblem> {
        gone(&home(shop).join("round-saved"))
    }

    fn write(&self, shop: &Path, name: &str, head: &str) -> Result<(), BenchProblem> {
        let folder = home(shop);
        let mut text = format!("{head}\n");
        for line in &self.lines {
            text.push_str(&line.text());
            text.push('\n');
        }
        std::fs::create_dir_all(&folder)
            .and_then(|()| secretly(&folder.join(name), text.as_bytes()))
            .map_err(|fault| unread(&fault.to_string()))
    }
}

fn gone(path: &PathBuf) -> Result<(), BenchProblem> {
    match std::fs::remove_file(path) {
        Err(fault) if fault.kind() != ErrorKind::NotFound => Err(unread(&fault.to_string())),
        Ok(()) | Err(_) => Ok(()),
    }
}

fn unread(why: &str) -> BenchProblem {
    let fix = "Check the folder .sandarac/bench of the shop on the computer, then try again.";
    BenchProblem {
        fix: fix.to_string(),
        ..BenchProblem::fault(format!(
            "The round that is under way cannot be kept or read: {why}."
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::{DraftLine, RoundDraft};
    use crate::quantity::Moment;

    fn line(id: &str, by: &str, answer: &str) -> DraftLine {
        DraftLine {
            id: id.to_string(),
            when: Moment::parse("2026-10-31T17:00").unwrap(),
            file: "checks.csv",
            cells: vec![
                ("check", "lids-closed".to_string()),
                ("where", "rag = can".to_string()),
                ("answer", answer.to_string()),
                ("by", by.to_string()),
            ],
        }
    }

    #[test]
    fn a_round_outlives_the_program_and_is_kept_until_it_is_saved() {
        let folder = tempfile::tempdir().unwrap();
        let shop = folder.path();
        let mut round = RoundDraft::read(shop).unwrap();
        assert!(round.lines.is_empty());
        round.put(line("aaaaaaaa", "Ann", "yes")).unwrap();
        round.keep(shop).unwrap();
        assert_eq!(RoundDraft::read(shop).unwrap(), round);
        let now = Moment::parse("2026-10-31T17:20").unwrap();
        round.keep_saved(shop, now).unwrap();
        assert!(RoundDraft::read(shop).unwrap().lines.is_empty());
        let saved = RoundDraft::last_saved(shop).unwrap();
        assert_eq!((saved.lines, saved.saved), (round.lines, Some(now)));
        let path = shop.join(".sandarac/bench/round");
        for text in ["", "sandarac round 2\n", "sandarac round 1\nhalf a line\n"] {
            std::fs::write(&path, text).unwrap();
            assert!(RoundDraft::read(shop).is_err(), "{text:?}");
        }
    }

    #[test]
    fn answers_of_two_people_stand_side_by_side() {
        let mut round = RoundDraft::default();
        round.put(line("aaaaaaaa", "Ann", "yes")).unwrap();
        round.put(line("bbbbbbbb", "Ann", "no")).unwrap();
        assert_eq!(round.lines.len(), 1, "a correction of her own");
        round.put(line("cccccccc", "Bo", "yes")).unwrap();
        round.put(line("dddddddd", "", "no")).unwrap();
        round.put(line("eeeeeeee", "", "yes")).unwrap();
        assert_eq!(round.lines.len(), 4, "who is not named may be anybody");
        let last = round.answer("lids-closed", "rag = can").unwrap();
        assert_eq!(last.id, "eeeeeeee");
    }
}
