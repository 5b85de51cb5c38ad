//! The air thins what evaporates to no more than a share of the lower explosive limit.

use super::kind::CheckKind;
use super::options::SelectorSection;
use super::session_air::SessionAir;
use crate::fact::RoomFilter;
use crate::finding::Concern;
use crate::quantity::Dimension;
use crate::vapour::against::Against;

pub(super) const KIND: CheckKind = CheckKind {
    name: "dilution-at-least",
    concern: Concern::Other,
    asks: "In each session of the last month, did the vapor stay within this share of its lower explosive limit?",
    limit: &[Dimension::Share],
    selectors: &[(SelectorSection::Where, RoomFilter::KEYS)],
    unknown: "when the size of the room or the parts of a product are unknown; or when the exhaust or the minutes are unknown and the worst case is over the limit",
    source: "mass balance of a well-mixed room with the mixing factor K; sum of C over limit after Le Chatelier; aims as \
             29 CFR 1910.94(c)(6)(ii)",
    parse: |rule| {
        let (rooms, limit) = (rule.rooms(), rule.share());
        Ok(Box::new(SessionAir {
            rooms: rooms?,
            against: Against::Lel,
            percent: limit?.base,
        }))
    },
    ..CheckKind::PLAIN
};
