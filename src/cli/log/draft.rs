//! An entry that is not written yet, and its cells.

mod command;

pub use command::TypedOptions;

use super::args::{LogWhat, PourArgs, PutArgs};
use super::new_container::NewContainer;
use crate::quantity::{Dimension, Measure, in_digits};
use crate::record::{HAZARDOUS_WASTE, What};

/// An entry to be.
#[derive(Clone, Debug)]
pub struct Draft {
    pub what: What,
    /// The cells, empty where there is nothing to say.
    pub container: String,
    pub amount: String,
    /// Another container, a test, or the entry that is mended.
    pub into: String,
    pub place: String,
    pub minutes: String,
    /// Which rags are taken.
    pub from: String,
    /// Where soiled rags are put away at once.
    pub then: String,
    /// What the note begins with, by the rules of the log.
    pub says: String,
    /// A container that the inventory does not know yet.
    pub new: Option<NewContainer>,
    /// The options that were typed with it.
    pub typed: TypedOptions,
}

impl Draft {
    /// An entry of a kind with nothing said yet.
    pub fn new(what: What) -> Draft {
        Draft {
            what,
            container: String::new(),
            amount: String::new(),
            into: String::new(),
            place: String::new(),
            minutes: String::new(),
            from: String::new(),
            then: String::new(),
            says: String::new(),
            new: None,
            typed: TypedOptions::default(),
        }
    }

    /// From the words of the command line; `undo` is for its caller, who knows the log.
    pub fn from_words(what: &LogWhat) -> Option<Draft> {
        let draft = |what, container: &String| Draft {
            container: container.clone(),
            ..Draft::new(what)
        };
        let text = |given: &Option<String>| given.clone().unwrap_or_default();
        let if_so = |is_so: bool, word: &str| if is_so { word.into() } else { String::new() };
        Some(match what {
            LogWhat::Use(used) => Draft {
                amount: used.amount.clone(),
                minutes: text(&used.minutes),
                place: text(&used.place),
                ..draft(What::Use, &used.container)
            },
            LogWhat::Mix(pour) => poured(What::Mix, pour),
            LogWhat::Decant(pour) => poured(What::Decant, pour),
            LogWhat::Receive(got) => Draft {
                amount: got.amount.clone(),
                new: got.new.product.is_some().then(|| got.new.clone()),
                ..draft(What::Receive, &got.container)
            },
            LogWhat::Move(moved) => Draft {
                place: moved.place.clone(),
                from: text(&moved.from),
                ..draft(What::Move, &moved.container)
            },
            LogWhat::Open { container } => draft(What::Open, container),
            LogWhat::Test(test) => Draft {
                amount: text(&test.amount),
                from: text(&test.from),
                into: text(&test.test),
                minutes: text(&test.minutes),
                says: text(&test.result),
                ..draft(What::Test, &test.container)
            },
            LogWhat::Count(count) => Draft {
                amount: count.amount.clone(),
                ..draft(What::Count, &count.container)
            },
            LogWhat::Discard(gone) => Draft {
                amount: text(&gone.amount),
                from: text(&gone.from),
                into: if_so(gone.hazardous_waste, HAZARDOUS_WASTE),
                ..draft(What::Discard, &gone.container)
            },
            LogWhat::Soil(soiled) => Draft {
                amount: soiled.amount.clone(),
                from: text(&soiled.from),
                into: text(&soiled.with),
                place: text(&soiled.place),
                ..draft(What::Soil, &soiled.container)
            },
            LogWhat::Spread(rags) => put(What::Spread, rags),
            LogWhat::Soak(rags) => put(What::Soak, rags),
            LogWhat::Bin(rags) => put(What::Bin, rags),
            // Which of the three it is depends on the place, and is decided once that is known.
            LogWhat::Put(rags) => put(What::Move, rags),
            LogWhat::Empty { place } => Draft {
                place: place.clone(),
                ..Draft::new(What::Empty)
            },
            LogWhat::Correct(right) => Draft {
                from: text(&right.from),
                container: text(&right.container),
                amount: text(&right.amount),
                into: right.entry.clone(),
                place: text(&right.place),
                minutes: text(&right.minutes),
                says: if_so(right.void, "void"),
                ..Draft::new(What::Correct)
            },
            LogWhat::Undo { .. }
            | LogWhat::Check(_)
            | LogWhat::Action(_)
            | LogWhat::Done(_)
            | LogWhat::Record(_)
            | LogWhat::Restore
            | LogWhat::Accept(_) => return None,
        })
    }

    /// The row of log.csv, by column.
    pub fn cells(&self, when: &str, by: &str, note: &str) -> Vec<(&'static str, String)> {
        let note = match (self.says.as_str(), note) {
            ("", note) => note.to_string(),
            (says, "") => says.to_string(),
            (says, note) => format!("{says}: {note}"),
        };
        vec![
            ("when", when.into()),
            ("what", self.what.word().into()),
            ("container", self.container.clone()),
            ("amount", self.amount.clone()),
            ("into", self.into.clone()),
            ("place", self.place.clone()),
            ("minutes", self.minutes.clone()),
            ("from", self.from.clone()),
            ("by", by.into()),
            ("note", note),
        ]
    }

    /// The container that is new with this entry.
    pub fn new_container(&self) -> &str {
        match self.what {
            What::Mix | What::Decant => &self.into,
            _ => &self.container,
        }
    }

    /// The row of inventory.csv for a new container, which begins empty: the entry then fills it.
    pub fn new_row(&self, day: &str) -> Option<Vec<(&'static str, String)>> {
        let new = self.new.as_ref()?;
        let text = |given: &Option<String>| given.clone().unwrap_or_default();
        let measure = new.capacity.as_deref().unwrap_or(&self.amount);
        let unit = Measure::parse(measure).map_or("pcs", |measure| measure.unit.symbol);
        Some(vec![
            ("container", self.new_container().into()),
            ("product", text(&new.product)),
            ("lot", text(&new.lot)),
            ("vessel", text(&new.vessel)),
            ("capacity", text(&new.capacity)),
            ("place", text(&new.place)),
            ("since", day.into()),
            ("amount", format!("0 {unit}")),
            ("labelled", self.labelled(new.labelled).into()),
        ])
    }

    /// Whether a new container has a label. What is bought mostly has that of its maker, which is to be looked for; a jar that
    /// is filled here has none until one is written.
    fn labelled(&self, said: bool) -> &'static str {
        match (said, self.what) {
            (true, _) => "yes",
            (false, What::Receive) => "",
            (false, _) => "no",
        }
    }

    /// Rags are counted, so a bare whole number of them is read as pieces.
    pub fn count_pieces(&mut self) {
        if let Some(digits) = in_digits(&self.amount) {
            self.amount = digits;
        }
        let bare = !self.amount.is_empty() && self.amount.bytes().all(|byte| byte.is_ascii_digit());
        if bare {
            self.amount.push_str(" pcs");
        }
    }

    /// Does the entry speak of pieces already?
    pub fn is_in_pieces(&self) -> bool {
        Measure::parse(&self.amount).is_ok_and(|m| m.unit.dimension == Dimension::Pieces)
    }
}

fn poured(what: What, pour: &PourArgs) -> Draft {
    Draft {
        container: pour.container.clone(),
        amount: pour.amount.clone(),
        into: pour.into.clone(),
        new: pour.new.product.is_some().then(|| pour.new.clone()),
        ..Draft::new(what)
    }
}

fn put(what: What, rags: &PutArgs) -> Draft {
    Draft {
        container: rags.container.clone(),
        place: rags.place.clone(),
        amount: rags.amount.clone().unwrap_or_default(),
        from: rags.from.clone().unwrap_or_default(),
        ..Draft::new(what)
    }
}

#[cfg(test)]
#[path = "../../../tests/units/log_draft.rs"]
mod tests;
