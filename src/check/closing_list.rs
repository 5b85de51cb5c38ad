//! The list of an evening: its lines, and what all of them are made from.

use crate::fact::Hazards;
use crate::quantity::when;
use crate::quantity::{Amount, Moment};
use crate::record::{Location, PlaceKind, ShopTables};
use crate::stock::Stock;
use crate::text::{Span, shell_word};
use crate::trade::ReferenceData;

/// The state of a thing at closing time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Account {
    /// Open: something has to be done or recorded.
    Open,
    /// Accounted for, with a warning.
    Warned,
    /// Accounted for; no more is said than that.
    Accounted,
}

impl Account {
    /// The words of the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Account::Open => "open",
            Account::Warned => "warning",
            Account::Accounted => "accounted",
        }
    }
}

/// What a line is about, most urgent first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ClosingTopic {
    /// Rags that can set themselves on fire, or of which that is unknown.
    OilyRag,
    /// A can for oily waste.
    Can,
    /// Other soiled rags and pads.
    Rag,
    /// What is on the bench.
    Bench,
    /// A question of the round.
    Question,
}

impl ClosingTopic {
    /// The words of the JSON.
    pub fn word(self) -> &'static str {
        match self {
            ClosingTopic::OilyRag => "oily-rag",
            ClosingTopic::Can => "can",
            ClosingTopic::Rag => "rag",
            ClosingTopic::Bench => "bench",
            ClosingTopic::Question => "question",
        }
    }
}

/// One line of the list.
#[derive(Clone, Debug)]
pub struct ClosingLine {
    /// The state of it.
    pub standing: Account,
    /// What it is about.
    pub about: ClosingTopic,
    /// The container, place, product or question.
    pub subject: String,
    pub place: String,
    /// How much of it.
    pub amount: Option<Amount>,
    /// Since when.
    pub since: Option<Moment>,
    /// What is seen, in words.
    pub observed: String,
    pub action: String,
    /// Entries any one of which would settle it, as commands.
    pub commands: Vec<String>,
    /// The rows it rests on.
    pub evidence: Vec<Span>,
}

/// The list of an evening.
#[derive(Clone, Debug)]
pub struct Closing {
    pub at: Moment,
    /// What is open first, then warnings, then what is accounted for.
    pub lines: Vec<ClosingLine>,
}

impl Closing {
    /// How many lines are not accounted for.
    pub fn open(&self) -> usize {
        let open = |line: &&ClosingLine| line.standing == Account::Open;
        self.lines.iter().filter(open).count()
    }
}

/// What the list is made from.
pub(super) struct Evening<'a> {
    pub tables: &'a ShopTables,
    pub stock: &'a Stock,
    pub reference: &'a ReferenceData,
    pub hazards: &'a Hazards,
    pub at: Moment,
}

impl Evening<'_> {
    /// The name of a place or room, for readers.
    pub fn named(&self, location: Location) -> String {
        let name = self.tables.location_name(location);
        name.unwrap_or_else(|| "an unknown place".into())
    }

    /// The kind of a place.
    pub fn kind(&self, location: Location) -> Option<PlaceKind> {
        location.place.map(|place| self.tables[place].kind)
    }

    /// The time of a moment, as the shop writes it.
    pub fn clock(&self, moment: Moment) -> String {
        when::clock(moment, self.tables.shop.us)
    }

    /// A moment of today by the clock, another one in full.
    pub fn when(&self, moment: Moment) -> String {
        if moment.day() == self.at.day() {
            format!("{} today", self.clock(moment))
        } else {
            when::moment(moment, self.tables.shop.us)
        }
    }

    /// For how long, in words.
    pub fn since(&self, since: Option<Moment>) -> String {
        let Some(since) = since else {
            return "since an unknown time".into();
        };
        let minutes = self.at.minutes_since(since).max(0);
        let long = match minutes {
            0..120 => format!("{minutes} minutes"),
            120..4320 => format!("{} hours", minutes / 60),
            _ => format!("{} days", minutes / 1440),
        };
        format!("since {} ({long})", self.when(since))
    }
}

/// A command of `log` with its words, those in quotes that a shell would take apart.
pub(super) fn command(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| shell_word(word)).collect();
    format!("sandarac log {}", quoted.join(" "))
}

#[cfg(test)]
mod tests {
    use super::command;

    #[test]
    fn a_shell_reads_each_word_as_one() {
        let told = command(&["bin", "R-1", "rag can", "2 pcs"]);
        assert_eq!(told, "sandarac log bin R-1 'rag can' '2 pcs'");
        assert_eq!(
            command(&["empty", "the boss's can; rm $HOME"]),
            "sandarac log empty 'the boss'\\''s can; rm $HOME'"
        );
    }
}
