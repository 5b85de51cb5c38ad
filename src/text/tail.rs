//! The end of a table at which rows are to be added: how the table ends, and the file as it was then.

use super::ends::Ends;
use super::journal::{Addition, Journal, Refused, Seen, seen};
use super::table::Shape;
use std::path::Path;

/// The end of one table. What it says of the file holds of one and the same state of it.
#[derive(Clone, Debug)]
pub struct Tail {
    shape: &'static Shape,
    ends: Ends,
    seen: Seen,
}

impl Tail {
    /// As the table in this folder ends now. It is refused if the file comes or goes meanwhile.
    pub fn of(folder: &Path, shape: &'static Shape) -> Result<Tail, Refused> {
        let path = folder.join(shape.file);
        // In this order: what changes after the first look is noticed when rows are added.
        let seen = seen(&path);
        let ends = Ends::of(&path, shape)
            .map_err(|fault| Refused::Unread(shape.file.to_string(), fault))?;
        let tail = Tail { shape, ends, seen };
        if tail.is_of_one_state() {
            Ok(tail)
        } else {
            Err(Refused::Changed(shape.file.to_string()))
        }
    }

    /// A file that went away and came back between two looks has its old length and day again, and would get a second row of
    /// column names.
    fn is_of_one_state(&self) -> bool {
        self.ends.missing == (self.seen.length == 0)
    }

    /// The table's name.
    pub fn file(&self) -> &'static str {
        self.shape.file
    }

    /// These rows at its end. The error is a column that the table lacks.
    pub fn addition(&self, rows: &[Vec<(&'static str, String)>]) -> Result<Addition, &'static str> {
        Ok(Addition {
            file: self.shape.file.to_string(),
            seen: self.seen.clone(),
            bytes: self.ends.rows(rows)?,
        })
    }
}

impl Journal {
    /// The end of a table after whose last line rows can go: one that was cut off is set aside first, and said.
    pub fn tail_of(&self, shape: &'static Shape) -> Result<(Tail, Option<String>), Refused> {
        let tail = Tail::of(&self.folder, shape)?;
        match tail.ends.torn {
            None => Ok((tail, None)),
            Some(from) => {
                let note = self.set_torn_aside(shape.file, from)?;
                Ok((Tail::of(&self.folder, shape)?, Some(note)))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Tail;
    use crate::text::{Refused, Shape};

    static SHAPE: Shape = Shape {
        file: "log.csv",
        must: &["entry"],
        may: &[],
    };

    #[test]
    fn what_was_seen_and_how_it_ends_are_of_one_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let absent = Tail::of(folder.path(), &SHAPE).unwrap();
        std::fs::write(&path, "entry\n1\n").unwrap();
        let present = Tail::of(folder.path(), &SHAPE).unwrap();
        let row = [vec![("entry", "2".to_string())]];
        assert_eq!(absent.addition(&row).unwrap().bytes, b"entry\n2\n");
        assert_eq!(present.addition(&row).unwrap().bytes, b"2\n");
        for (seen, ends) in [(&absent, &present), (&present, &absent)] {
            let mixed = Tail {
                shape: &SHAPE,
                ends: ends.ends.clone(),
                seen: seen.seen.clone(),
            };
            assert!(!mixed.is_of_one_state());
        }
        std::fs::write(&path, "").unwrap();
        let empty = Tail::of(folder.path(), &SHAPE).unwrap();
        assert_eq!(empty.addition(&row).unwrap().bytes, b"entry\n2\n");
        std::fs::remove_file(&path).unwrap();
        std::fs::create_dir(&path).unwrap();
        assert!(matches!(
            Tail::of(folder.path(), &SHAPE),
            Err(Refused::Unread(..))
        ));
    }
}
