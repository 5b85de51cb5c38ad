//! What a label says, before anything is laid out.

use crate::fact::Hazards;
use crate::quantity::Volume;
use crate::record::ShopTables;
use crate::stock::Stock;
use crate::trade::{Ghs, Pictogram, ReferenceData};

/// Everything that labels are made from.
pub struct LabelSources<'a> {
    pub tables: &'a ShopTables,
    pub stock: &'a Stock,
    /// What each product is.
    pub hazards: &'a Hazards,
    /// What the trade knows.
    pub reference: &'a ReferenceData,
    pub ghs: &'a Ghs,
}

#[derive(Clone, Debug, Default)]
pub struct Label {
    /// The name of the container or place.
    pub id: String,
    /// The address of its page on the bench page, for the square code.
    pub code: Option<String>,
    /// The product, or what the place is for.
    pub name: String,
    /// `DANGER`, `HAZARDOUS WASTE`, or that the hazards are unknown.
    pub signal: String,
    /// Pictograms, in order.
    pub pictograms: Vec<Pictogram>,
    /// Sentences, the most important first; each is set whole, or goes on the card.
    pub sentences: Vec<String>,
    /// Where it comes from: `made 10 Apr 2026, lot BL-0398`.
    pub made: String,
    /// What comes before the large date: `use by`.
    pub before: String,
    /// The large date, or what stands in its place.
    pub until: String,
    /// What the two lines to write on are for.
    pub lines: [&'static str; 2],
    /// How much it holds when full, if that is known by volume.
    pub capacity: Option<Volume>,
    /// The substances whose classes it rests on.
    pub substances: Vec<String>,
    /// What is unknown about its hazards.
    pub gaps: Vec<String>,
}

impl Label {
    pub(super) fn say(&mut self, sentence: impl Into<String>) {
        self.sentences.push(sentence.into());
    }
}
