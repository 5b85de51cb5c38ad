//! The first row of a table: which column stands where, and what is wrong with their names.

use super::problem::Problem;
use super::problems::Problems;
use super::shape::Shape;
use super::span::FileId;
use super::span::{Extent, Span};
use crate::text::TableFault;

/// The row that names the columns is looked for below so many rows that name none.
pub(super) const MOST_ROWS_ABOVE: usize = 8;

/// Where each column of the shape is in a row; names are read without regard to capital letters.
pub(super) fn columns(
    shape: &'static Shape,
    file: FileId,
    byte: u64,
    names: &[&str],
    problems: &mut Problems,
) -> Vec<Option<u16>> {
    let mut at = vec![None; shape.all().count()];
    for (index, name) in names.iter().enumerate() {
        let column = u16::try_from(index).unwrap_or(u16::MAX);
        let extent = Extent::Cell(byte, column);
        let found = position(shape, name);
        let code = match found.and_then(|found| at.get_mut(found)) {
            _ if name.is_empty() => continue,
            Some(slot @ None) => {
                *slot = Some(column);
                continue;
            }
            Some(Some(_)) => TableFault::ColumnTwice {
                column: name.to_string(),
            },
            None => TableFault::ColumnUnknown {
                column: name.to_string(),
                near: problems.near(name, shape.all()),
                known: shape.all().collect::<Vec<_>>().join(", "),
            },
        };
        problems.add(Problem::new(code, Span { file, extent }));
    }
    at
}

/// Are the columns there that must be? Each that is missing is noted.
pub(super) fn has_all(
    shape: &'static Shape,
    file: FileId,
    byte: u64,
    at: &[Option<u16>],
    problems: &mut Problems,
) -> bool {
    let missing = shape.must.iter().zip(at).filter(|(_, slot)| slot.is_none());
    let mut whole = true;
    for (column, _) in missing {
        whole = false;
        let extent = Extent::Row(byte);
        problems.add(Problem::new(
            TableFault::ColumnMissing { column },
            Span { file, extent },
        ));
    }
    whole
}

fn position(shape: &Shape, name: &str) -> Option<usize> {
    shape
        .all()
        .position(|known| known.eq_ignore_ascii_case(name))
}

/// Does this row name every column that must be there?
pub(super) fn names_all(shape: &Shape, names: &[&str]) -> bool {
    let there = |must: &&str| names.iter().any(|name| name.eq_ignore_ascii_case(must));
    shape.must.iter().all(there)
}

/// Does it name none of the columns there are?
pub(super) fn names_none(shape: &Shape, names: &[&str]) -> bool {
    names.iter().all(|name| position(shape, name).is_none())
}
