//! The names of things in sentences: a container with its product, a place with its preposition, a list of names.

use super::Wording;
use crate::finding::{Subject, SubjectKind};
use crate::record::{Container, PlaceKind, Vessel};
use crate::text::the;

/// Most names that a list writes out.
const NAMED: usize = 3;

/// How a check names a place that is not known.
pub(super) const UNKNOWN_PLACE: &str = "somewhere";

/// With a capital, for the start of a sentence. A name that the user wrote as `j-9` stays so.
/// "A-1, A-2 and A-3"; of many, "A-1, A-2, A-3 and 7 more".
pub(super) fn join(names: &[String]) -> String {
    let (shown, rest) = names.split_at(names.len().min(NAMED));
    match (shown, rest.len()) {
        ([], _) => String::new(),
        ([one], 0) => one.clone(),
        ([most @ .., last], 0) => format!("{} and {last}", most.join(", ")),
        (shown, more) => format!("{} and {more} more", shown.join(", ")),
    }
}

/// "a glass jar" as far as the vessel is known.
pub(super) fn vessel_words(vessel: Vessel) -> &'static str {
    match vessel {
        Vessel::Glass => "glass container",
        Vessel::Plastic => "plastic container",
        Vessel::ApprovedPlastic => "approved plastic container",
        Vessel::Metal => "metal can",
        Vessel::Aerosol => "aerosol can",
        Vessel::SafetyCan => "safety can",
        Vessel::Drum => "drum",
        Vessel::PortableTank => "portable tank",
        Vessel::Bag => "bag",
        Vessel::Box => "box",
        Vessel::Rag => "rag",
        Vessel::Pad => "pad",
    }
}

/// The plural of a kind of place.
pub(super) fn places_words(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Cabinet => "cabinets",
        PlaceKind::StoreRoom => "store rooms",
        PlaceKind::Shelf => "shelves",
        PlaceKind::Bench => "benches",
        PlaceKind::Floor => "floor areas",
        PlaceKind::Window => "windows",
        PlaceKind::Refrigerator => "refrigerators",
        PlaceKind::Outdoors => "places outdoors",
        PlaceKind::OilyWasteCan | PlaceKind::WaterCan => "cans",
        PlaceKind::DryingLine => "drying lines",
        PlaceKind::PadJar => "pad jars",
    }
}

impl Wording<'_> {
    /// A subject by its name, with its product: "J-9 (shellac, 1 lb cut)", "the bench".
    pub fn thing(&self, subject: &Subject) -> String {
        match subject.kind {
            SubjectKind::Container => match self.container(&subject.id) {
                Some(row) => format!("{} ({})", row.id, row.product),
                None => subject.id.clone(),
            },
            SubjectKind::Rag => format!("the rags {}", subject.id),
            SubjectKind::Place | SubjectKind::Room => the(&subject.id),
            SubjectKind::Person => subject.id.clone(),
            SubjectKind::Check => self.question(&subject.id),
            SubjectKind::Shop if subject.id == self.tables.shop.name => "the shop".into(),
            SubjectKind::Shop => the(&subject.id),
        }
    }

    /// As [`Wording::thing`], without the product, for a sentence that follows one which names it.
    pub(super) fn short_thing(&self, subject: &Subject) -> String {
        match subject.kind {
            SubjectKind::Container => subject.id.clone(),
            SubjectKind::Rag
            | SubjectKind::Place
            | SubjectKind::Room
            | SubjectKind::Person
            | SubjectKind::Check
            | SubjectKind::Shop => self.thing(subject),
        }
    }

    /// A question of the round as it is asked.
    pub(super) fn question(&self, check: &str) -> String {
        let found = self.round.find(check);
        found.map_or_else(
            || check.to_string(),
            |found| format!("\"{}\"", found.question),
        )
    }

    pub(super) fn container(&self, id: &str) -> Option<&Container> {
        Some(&self.tables[self.tables.container(id)?])
    }

    pub(super) fn place_kind(&self, id: &str) -> Option<PlaceKind> {
        Some(self.tables[self.tables.place(id)?].kind)
    }

    /// Where something is: "on the bench", "in cabinet 1", "in the store-room".
    pub(super) fn at_place(&self, place: &str) -> String {
        let preposition = self.place_kind(place).map_or("in", PlaceKind::preposition);
        if place == UNKNOWN_PLACE {
            return "at an unknown place".into();
        }
        format!("{preposition} {}", the(place))
    }
}

#[cfg(test)]
mod tests {
    use super::join;

    #[test]
    fn a_long_list_of_names_is_cut() {
        let names = |count: usize| (1..=count).map(|n| format!("J-{n}")).collect::<Vec<_>>();
        assert_eq!(join(&names(1)), "J-1");
        assert_eq!(join(&names(3)), "J-1, J-2 and J-3");
        assert_eq!(join(&names(5)), "J-1, J-2, J-3 and 2 more");
    }
}
