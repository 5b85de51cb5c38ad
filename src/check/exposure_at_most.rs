//! What is breathed over a shift, or a quarter of an hour, is at most.

use super::kind::CheckKind;
use super::options::{KeyNeed, OptionKey, SelectorSection, option_words};
use super::session_air::SessionAir;
use crate::fact::RoomFilter;
use crate::finding::Concern;
use crate::quantity::Dimension;
use crate::vapour::against::Against;

pub(super) const KIND: CheckKind = CheckKind {
    name: "exposure-at-most",
    concern: Concern::Other,
    asks: "In each session of the last month, did the exposure stay within the limits: legal limits or guide values over 8 hours, or short-term limits (all of them, or only those that are law) over 15 minutes?",
    limit: &[Dimension::Share],
    options: &[OptionKey::words::<ExposureLimit>(KeyNeed::Always)],
    selectors: &[(SelectorSection::Where, RoomFilter::KEYS)],
    unknown: "as dilution-at-least",
    source: "29 CFR 1910.1000(d)(2)(i), Em = sum of C over L; the level by the mass balance of a well-mixed room",
    parse: |rule| {
        let (limits, rooms, limit) = (rule.must(), rule.rooms(), rule.share());
        Ok(Box::new(SessionAir {
            rooms: rooms?,
            against: match limits? {
                ExposureLimit::Legal => Against::Legal,
                ExposureLimit::Guide => Against::Guide,
                ExposureLimit::Short => Against::Short,
                ExposureLimit::ShortLegal => Against::ShortLegal,
            },
            percent: limit?.base,
        }))
    },
    ..CheckKind::PLAIN
};

option_words! {
    /// The limits that exposures are summed against.
    enum ExposureLimit: "measure" {
        Legal = "legal",
        Guide = "guide",
        Short = "short",
        ShortLegal = "short-legal",
    }
}
