//! Which rooms a finding belongs to: those of the marks on the floor plans that show it, or else that of its container.

use super::floor::Floor;
use super::shelf::StockRow;
use crate::finding::{Subject, SubjectKind};
use std::collections::{HashMap, HashSet};

/// The rooms of all findings, looked up once.
pub(super) struct FindingRooms {
    by_finding: HashMap<usize, Vec<String>>,
    by_container: HashMap<String, String>,
}

impl FindingRooms {
    pub(super) fn new(floors: &[Floor], stock: &[StockRow]) -> FindingRooms {
        let mut by_finding: HashMap<usize, Vec<String>> = HashMap::new();
        for floor in floors {
            for at in floor.marks.iter().flat_map(|mark| &mark.findings) {
                let rooms = by_finding.entry(*at).or_default();
                if rooms.last() != Some(&floor.room) {
                    rooms.push(floor.room.clone());
                }
            }
        }
        let known = stock.iter().filter(|row| !row.room.is_empty());
        let by_container = known.map(|row| (row.container.clone(), row.room.clone()));
        FindingRooms {
            by_finding,
            by_container: by_container.collect(),
        }
    }

    /// The rooms that some findings about these things belong to, each once.
    pub(super) fn of(&self, subjects: &[&Subject], findings: &[usize]) -> Vec<String> {
        let marked = findings.iter().filter_map(|at| self.by_finding.get(at));
        let mut rooms: Vec<&String> = marked.flatten().collect();
        let is_unmarked = rooms.is_empty();
        for subject in subjects {
            let stored = self.by_container.get(&subject.id).filter(|_| is_unmarked);
            let own = (subject.kind == SubjectKind::Room).then_some(&subject.id);
            rooms.extend(stored.into_iter().chain(own));
        }
        let mut seen = HashSet::new();
        rooms.retain(|room| seen.insert(*room));
        rooms.into_iter().cloned().collect()
    }
}
