//! The entries that settle a line of the closing list, read from the commands that the list gives: one source says what settles
//! a thing, and a button writes the same as the command.

use crate::files::{NamedCells, cell_of};
use crate::record::What;

/// One entry of a command, by the columns of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settling {
    pub what: What,
    /// The cells that the command gives.
    pub cells: NamedCells,
}

impl Settling {
    /// A cell by its column.
    pub fn cell(&self, column: &str) -> &str {
        cell_of(&self.cells, column)
    }
}

/// The entries of a command, such as `sandarac log bin R-1 'rag can' '2 pcs' && sandarac log empty 'rag can'`; `None` where a
/// word of it is unknown here.
pub fn settling(command: &str) -> Option<Vec<Settling>> {
    let words = words(command)?;
    let parts = words.split(|word| word == "&&");
    parts.map(entry).collect()
}

fn entry(words: &[String]) -> Option<Settling> {
    let [program, log, verb, rest @ ..] = words else {
        return None;
    };
    if program != "sandarac" || log != "log" {
        return None;
    }
    let what = What::parse(verb)?;
    let columns: &[&str] = match what {
        What::Use | What::Receive | What::Count | What::Discard => &["container", "amount"],
        What::Mix | What::Decant | What::Soil => &["container", "amount", "into"],
        What::Move | What::Spread | What::Soak | What::Bin => &["container", "place", "amount"],
        What::Open => &["container"],
        What::Test => &["container", "note"],
        What::Empty => &["place"],
        What::Correct => &["into"],
    };
    let (mut cells, mut columns) = (Vec::new(), columns.iter());
    let mut rest = rest.iter();
    while let Some(word) = rest.next() {
        let column = match word.as_str() {
            "--minutes" => "minutes",
            "--place" => "place",
            "--from" => "from",
            "--note" => "note",
            "--test" => "into",
            option if option.starts_with("--") => return None,
            _ => {
                cells.push((*columns.next()?, word.clone()));
                continue;
            }
        };
        cells.push((column, rest.next()?.clone()));
    }
    Some(Settling { what, cells })
}

/// The words of a command as a shell reads them: apart at spaces, together between single quotes.
fn words(command: &str) -> Option<Vec<String>> {
    let (mut words, mut word, mut quoted, mut begun) = (Vec::new(), String::new(), false, false);
    let mut letters = command.chars();
    while let Some(c) = letters.next() {
        match c {
            '\'' => (quoted, begun) = (!quoted, true),
            ' ' if !quoted => {
                if begun {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            '\\' if !quoted => {
                word.push(letters.next()?);
                begun = true;
            }
            c => {
                word.push(c);
                begun = true;
            }
        }
    }
    if begun {
        words.push(word);
    }
    (!quoted).then_some(words)
}

#[cfg(test)]
mod tests {
    use super::settling;
    use crate::record::What;

    #[test]
    fn a_button_writes_what_the_command_would() {
        let list = settling(
            "sandarac log bin R-1 'the boss'\\''s can' '2 pcs' && sandarac log empty 'the boss'\\''s can'",
        );
        let list = list.unwrap();
        assert_eq!(list.len(), 2);
        assert_eq!((list[0].what, list[1].what), (What::Bin, What::Empty));
        assert_eq!(list[0].cell("container"), "R-1");
        assert_eq!(list[0].cell("place"), "the boss's can");
        assert_eq!(list[0].cell("amount"), "2 pcs");
        assert_eq!(list[1].cell("place"), "the boss's can");
        let list = settling("sandarac log soak R-1 'water can' '1 pcs' --from 'entry 57'").unwrap();
        assert_eq!(list[0].cell("from"), "entry 57");
        assert_eq!(
            settling("sandarac log test R-1 pass").unwrap()[0].cell("note"),
            "pass"
        );
        for odd in [
            "rm -rf /",
            "sandarac log fly J-1",
            "sandarac log open J-1 --force",
            "sandarac log open 'J-1",
        ] {
            assert_eq!(settling(odd), None, "{odd}");
        }
    }
}
