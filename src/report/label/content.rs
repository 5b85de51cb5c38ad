//! What a label says, before anything is laid out.

use crate::fact::Hazard;
use crate::quantity::Volume;
use crate::record::ShopTables;
use crate::stock::Stock;
use crate::text::clean;
use crate::trade::{Ghs, Pictogram, ReferenceData, Signal};

/// What a label says where a fact is missing.
pub(super) const NOT_KNOWN: &str = "not known: see data sheet";

/// Everything that labels are made from.
pub struct LabelSources<'a> {
    /// The tables.
    pub tables: &'a ShopTables,
    /// The stock.
    pub stock: &'a Stock,
    /// What each product is.
    pub hazards: &'a [Hazard],
    /// What the craft knows.
    pub reference: &'a ReferenceData,
    /// The harmonized system.
    pub ghs: &'a Ghs,
}

/// What a line of a label is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabelPart {
    /// The signal word.
    Signal,
    /// A heading of its own, such as `HAZARDOUS WASTE`.
    Band,
    /// A hazard statement, or that a hazard is not known.
    Hazard,
    /// A word of caution of the trade.
    Caution,
    /// A fact of the container.
    Fact,
    /// A precautionary statement.
    Precaution,
}

/// One paragraph of a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelLine {
    /// What it is.
    pub kind: LabelPart,
    /// What it begins with in bold.
    pub lead: Option<String>,
    pub text: String,
    /// It rests on general knowledge alone.
    pub memory: bool,
}

impl LabelLine {
    pub(super) fn new(kind: LabelPart, text: impl Into<String>) -> LabelLine {
        LabelLine {
            kind,
            lead: None,
            text: text.into(),
            memory: false,
        }
    }

    pub(super) fn fact(lead: &str, text: impl Into<String>) -> LabelLine {
        LabelLine {
            kind: LabelPart::Fact,
            lead: Some(lead.to_string()),
            text: text.into(),
            memory: false,
        }
    }

    /// All of it in one text, with the mark of what is from memory.
    pub fn whole(&self) -> String {
        let mark = if self.memory { " †" } else { "" };
        match &self.lead {
            Some(lead) => format!("{lead}: {}{mark}", self.text),
            None => format!("{}{mark}", self.text),
        }
    }
}

/// Two names in one heading, each kept from turning the other round where one runs from right to left.
pub(super) fn heading(id: &str, of: &str) -> String {
    let (id, of) = (clean(id), clean(of));
    if id.is_ascii() && of.is_ascii() {
        format!("{id} · {of}")
    } else {
        format!("\u{2068}{id}\u{2069} · \u{2068}{of}\u{2069}")
    }
}

/// One label.
#[derive(Clone, Debug, Default)]
pub struct Label {
    /// The name of the container or place.
    pub id: String,
    /// Name and product.
    pub heading: String,
    /// The signal word.
    pub signal: Option<Signal>,
    /// Pictograms, in order.
    pub pictograms: Vec<Pictogram>,
    /// Everything else, in order.
    pub lines: Vec<LabelLine>,
    /// Codes of precautions that are not shown in full on the label.
    pub by_code: Vec<String>,
    /// What the pack holds, if it is known by volume.
    pub capacity: Option<Volume>,
    /// The substances whose classes it rests on.
    pub substances: Vec<String>,
    /// Something about its hazards is not known.
    pub gaps: Vec<String>,
}

impl Label {
    /// One paragraph more.
    pub(super) fn say(&mut self, kind: LabelPart, text: impl Into<String>) {
        self.lines.push(LabelLine::new(kind, text));
    }

    /// A word of caution more.
    pub(super) fn caution(&mut self, text: impl Into<String>) {
        self.say(LabelPart::Caution, text);
    }

    /// A fact more, behind its lead.
    pub(super) fn fact(&mut self, lead: &str, text: impl Into<String>) {
        self.lines.push(LabelLine::fact(lead, text));
    }
}
