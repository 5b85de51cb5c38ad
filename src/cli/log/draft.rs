//! An entry that is not written yet, and its cells.

mod command;

pub use command::TypedOptions;

use super::args::LogWhat;
use super::new_container::NewContainer;
use crate::quantity::{Dimension, Measure, in_digits};
use crate::record::{HAZARDOUS_WASTE, What};

/// An entry to be.
#[derive(Clone, Debug)]
pub struct Draft {
    /// What was done.
    pub what: What,
    /// The cells, empty where there is nothing to say.
    pub container: String,
    /// How much.
    pub amount: String,
    /// Another container, a test, or the entry that is mended.
    pub into: String,
    /// Where.
    pub place: String,
    /// How long.
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
        Some(match what {
            LogWhat::Use {
                container,
                amount,
                minutes,
                place,
            } => Draft {
                amount: amount.clone(),
                minutes: text(minutes),
                place: text(place),
                ..draft(What::Use, container)
            },
            LogWhat::Mix {
                container,
                amount,
                into,
                new,
            } => poured(What::Mix, container, amount, into, new),
            LogWhat::Decant {
                container,
                amount,
                into,
                new,
            } => poured(What::Decant, container, amount, into, new),
            LogWhat::Receive {
                container,
                amount,
                new,
            } => Draft {
                amount: amount.clone(),
                new: new.product.is_some().then(|| new.clone()),
                ..draft(What::Receive, container)
            },
            LogWhat::Move {
                container,
                place,
                from,
            } => Draft {
                place: place.clone(),
                from: text(from),
                ..draft(What::Move, container)
            },
            LogWhat::Open { container } => draft(What::Open, container),
            LogWhat::Test {
                container,
                result,
                amount,
                test,
                minutes,
                from,
            } => Draft {
                amount: text(amount),
                from: text(from),
                into: text(test),
                minutes: text(minutes),
                says: text(result),
                ..draft(What::Test, container)
            },
            LogWhat::Count { container, amount } => Draft {
                amount: amount.clone(),
                ..draft(What::Count, container)
            },
            LogWhat::Discard {
                container,
                amount,
                from,
                hazardous_waste,
            } => Draft {
                amount: text(amount),
                from: text(from),
                into: if *hazardous_waste {
                    HAZARDOUS_WASTE.into()
                } else {
                    String::new()
                },
                ..draft(What::Discard, container)
            },
            LogWhat::Soil {
                container,
                amount,
                with,
                place,
                from,
                then: _,
            } => Draft {
                amount: amount.clone(),
                from: text(from),
                into: text(with),
                place: text(place),
                ..draft(What::Soil, container)
            },
            LogWhat::Spread {
                container,
                place,
                amount,
                from,
            } => put(What::Spread, container, place, [amount, from]),
            LogWhat::Soak {
                container,
                place,
                amount,
                from,
            } => put(What::Soak, container, place, [amount, from]),
            LogWhat::Bin {
                container,
                place,
                amount,
                from,
            } => put(What::Bin, container, place, [amount, from]),
            // Which of the three it is depends on the place, and is decided once that is known.
            LogWhat::Put {
                container,
                place,
                amount,
                from,
            } => put(What::Move, container, place, [amount, from]),
            LogWhat::Empty { place } => Draft {
                place: place.clone(),
                ..Draft::new(What::Empty)
            },
            LogWhat::Correct {
                entry,
                container,
                amount,
                place,
                minutes,
                from,
                void,
            } => Draft {
                from: text(from),
                container: text(container),
                amount: text(amount),
                into: entry.clone(),
                place: text(place),
                minutes: text(minutes),
                says: if *void { "void".into() } else { String::new() },
                ..Draft::new(What::Correct)
            },
            LogWhat::Undo { .. }
            | LogWhat::Check { .. }
            | LogWhat::Action { .. }
            | LogWhat::Done { .. }
            | LogWhat::Record { .. }
            | LogWhat::Restore
            | LogWhat::Accept { .. } => return None,
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

fn poured(what: What, container: &str, amount: &str, into: &str, new: &NewContainer) -> Draft {
    Draft {
        container: container.into(),
        amount: amount.into(),
        into: into.into(),
        new: new.product.is_some().then(|| new.clone()),
        ..Draft::new(what)
    }
}

fn put(what: What, container: &str, place: &str, given: [&Option<String>; 2]) -> Draft {
    let [amount, from] = given.map(|given| given.clone().unwrap_or_default());
    Draft {
        container: container.into(),
        place: place.into(),
        amount,
        from,
        ..Draft::new(what)
    }
}

#[cfg(test)]
mod tests;
