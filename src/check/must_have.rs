//! This is present, and of this kind.

use super::above::{ABOVE, Above};
use super::applies::{AskedThing, locations, room_holds, shop_holds, unless_unsure};
use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, SelectorSection, option_words};
use super::reader::{RuleReader, RuleRefused};
use super::sheets::data_sheets;
use super::sign::{Sign, answer_detail, answered, said};
use crate::fact::{ContainerFilter, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::pack::{Seen, WithSpan};
use crate::record::{Place, RoomId};

pub(super) const KIND: CheckKind = CheckKind {
    name: "must-have",
    concern: Concern::Other,
    asks: "Is it there: a label on the container, the data sheet of its product, a listed cabinet, a fixture in the room, a yes in \
           the round?",
    options: &[
        OptionKey::words::<HavePer>(KeyNeed::Always),
        OptionKey::words::<Have>(KeyNeed::Always),
        OptionKey::text(
            "answer",
            "a question of the round",
            KeyNeed::With("have = \"answer\" or \"sprinklers\""),
        ),
        ABOVE,
    ],
    fixture: Some(KeyNeed::With("have = \"fixture\"")),
    selectors: &[
        (SelectorSection::Where, ContainerFilter::KEYS),
        (SelectorSection::With, ContainerFilter::KEYS),
    ],
    unknown: "when the cell is empty, the check has no answer on record, or there is no fixtures.csv",
    source: "common practice, no source: an empty cell is unknown, and unknown is not a yes",
    parse: |rule| {
        let (wanted, select) = (wanted(rule), rule.containers(SelectorSection::Where));
        let above = Above::read(rule);
        Ok(Box::new(MustHave {
            wanted: wanted?,
            select: select?,
            above: above?,
        }))
    },
    ..CheckKind::PLAIN
};

option_words! {
    enum HavePer: "per" {
        Container = "container",
        Place = "place",
        Room = "room",
        Shop = "shop",
    }
}

option_words! {
    /// What must be there.
    enum Have: "have" {
        Label = "label",
        Listed = "rated",
        Fixture = "fixture",
        Answer = "answer",
        Sprinklers = "sprinklers",
        Sheet = "sheet",
    }
}

/// What each thing can have. A label is a column of inventory.csv, a data sheet one of products.csv, a listing one of places.csv and rooms.csv, sprinklers one
/// of rooms.csv; fixtures are in rooms.
fn wanted(rule: &mut RuleReader<'_, '_>) -> Result<WantedThing, RuleRefused> {
    let (per, have) = (rule.must(), rule.must());
    let (per, have) = (per?, have?);
    Ok(match (per, have) {
        (HavePer::Container, Have::Label) => WantedThing::Label,
        (HavePer::Container, Have::Sheet) => WantedThing::Sheet,
        (HavePer::Place, Have::Listed) => WantedThing::Listed,
        (HavePer::Place, Have::Answer) => WantedThing::InPlaces(rule.question()?),
        (HavePer::Room, Have::Fixture) => WantedThing::InRooms(Sign::Fixture(rule.fixtures()?)),
        (HavePer::Room, Have::Listed) => WantedThing::InRooms(Sign::Listed),
        (HavePer::Room, Have::Sprinklers) => {
            WantedThing::InRooms(Sign::Sprinklers(rule.question()?))
        }
        (HavePer::Room, Have::Answer) => WantedThing::InRooms(Sign::Answer(rule.question()?)),
        (HavePer::Shop, Have::Fixture) => WantedThing::InShop(Sign::Fixture(rule.fixtures()?)),
        (HavePer::Shop, Have::Answer) => WantedThing::InShop(Sign::Answer(rule.question()?)),
        (HavePer::Container, Have::Listed | Have::Fixture | Have::Answer | Have::Sprinklers) => {
            return Err(rule.unfit::<Have>("per = \"container\"", "label, sheet"));
        }
        (HavePer::Place, Have::Label | Have::Fixture | Have::Sprinklers | Have::Sheet) => {
            return Err(rule.unfit::<Have>("per = \"place\"", "rated, answer"));
        }
        (HavePer::Room, Have::Label | Have::Sheet) => {
            return Err(rule.unfit::<Have>("per = \"room\"", "rated, fixture, answer, sprinklers"));
        }
        (HavePer::Shop, Have::Label | Have::Listed | Have::Sprinklers | Have::Sheet) => {
            return Err(rule.unfit::<Have>("per = \"shop\"", "fixture, answer"));
        }
    })
}

struct MustHave {
    wanted: WantedThing,
    select: ContainerFilter,
    above: Option<Above>,
}

enum WantedThing {
    /// Containers have a label.
    Label,
    /// Products have a data sheet.
    Sheet,
    /// Places are listed.
    Listed,
    /// A question is answered with yes for each place.
    InPlaces(WithSpan<String>),
    InRooms(Sign),
    InShop(Sign),
}

impl RuleCheck for MustHave {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        match &self.wanted {
            WantedThing::Label => self.labels(facts),
            WantedThing::Sheet => data_sheets(&self.select, facts),
            WantedThing::Listed => self.places(facts, |place| {
                let listed = said(place.listed, "rated", &place.id, place.at);
                (listed, Detail::Listing)
            }),
            WantedThing::InPlaces(question) => self.places(facts, |place| {
                let thing = AskedThing {
                    name: &place.id,
                    room: place.room,
                };
                let detail = answer_detail(facts, &question.value, thing);
                (answered(facts, &question.value, thing, place.at), detail)
            }),
            WantedThing::InRooms(sign) => self.rooms(facts, sign),
            WantedThing::InShop(_) if !shop_holds(&self.select, facts) => Vec::new(),
            WantedThing::InShop(_) if self.applies(facts, None) == Match::No => Vec::new(),
            WantedThing::InShop(sign) => {
                let shop = &facts.tables.shop;
                let subject = match sign {
                    Sign::Answer(question) => {
                        Subject::new(SubjectKind::Check, question.value.clone())
                    }
                    Sign::Fixture(_) | Sign::Listed | Sign::Sprinklers(_) => {
                        Subject::new(SubjectKind::Shop, shop.name.clone())
                    }
                };
                let shop_thing = AskedThing {
                    name: "",
                    room: None,
                };
                let outcome = sign.look(facts, shop_thing, shop.at);
                let outcome = unless_unsure(outcome, self.applies(facts, None), shop.at);
                let detail = sign.detail(facts, shop_thing);
                vec![Judged::new(subject, outcome, Working::new(shop.us)).seeing(detail)]
            }
        }
    }

    fn question(&self) -> Option<&WithSpan<String>> {
        match &self.wanted {
            WantedThing::InPlaces(question)
            | WantedThing::InRooms(Sign::Answer(question) | Sign::Sprinklers(question))
            | WantedThing::InShop(Sign::Answer(question) | Sign::Sprinklers(question)) => {
                Some(question)
            }
            WantedThing::Label
            | WantedThing::Sheet
            | WantedThing::Listed
            | WantedThing::InRooms(Sign::Fixture(_) | Sign::Listed)
            | WantedThing::InShop(Sign::Fixture(_) | Sign::Listed) => None,
        }
    }
}

impl MustHave {
    /// Does the rule apply in this room, or (without one) in the shop?
    fn applies(&self, facts: &Facts<'_>, room: Option<RoomId>) -> Match {
        let above = self.above.as_ref();
        above.map_or(Match::Yes, |above| above.meets(facts, room))
    }

    fn labels(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut list = Vec::new();
        for container in facts.containers() {
            let row = &facts.tables[container];
            // What has the label has it, whether or not the rule means this container.
            let outcome = match (self.select.meets(facts, container), row.labelled) {
                (Match::No, _) => continue,
                (Match::Unknown(why), None | Some(false)) => Known::gap(why, vec![row.at]),
                (Match::Unknown(_) | Match::Yes, labelled) => {
                    said(labelled, "labelled", &row.id, row.at)
                }
            };
            let subject = Subject::new(SubjectKind::Container, row.id.clone());
            let working = Working::new(facts.tables.shop.us);
            list.push(Judged::new(subject, outcome, working).seeing(Detail::Label));
        }
        list
    }

    fn places(
        &self,
        facts: &Facts<'_>,
        look: impl Fn(&Place) -> (Known<Compared>, Detail),
    ) -> Vec<Judged> {
        let content = &self.select.content;
        let mut list = Vec::new();
        for (location, place) in locations(facts) {
            let place_id = location.place.into_iter();
            let mut here = place_id.flat_map(|place| facts.containers_at(place));
            let holds = !content.restricts() || here.any(|c| content.meets(facts, *c) != Match::No);
            let matched = self.select.places.meets(facts, location);
            let applies = self.applies(facts, place.room);
            if matched == Match::No || applies == Match::No || !holds {
                continue;
            }
            let subject = Subject::new(SubjectKind::Place, place.id.clone());
            let working = Working::new(facts.tables.shop.us);
            let (outcome, detail) = look(place);
            let outcome = unless_unsure(outcome, matched, place.at);
            let outcome = unless_unsure(outcome, applies, place.at);
            list.push(Judged::new(subject, outcome, working).seeing(detail));
        }
        list
    }

    fn rooms(&self, facts: &Facts<'_>, sign: &Sign) -> Vec<Judged> {
        let mut list = Vec::new();
        for (at, room) in RoomId::each(&facts.tables.rooms) {
            let matched = self.select.places.rooms.meets(facts, Some(at));
            let applies = self.applies(facts, Some(at));
            let idle = matched == Match::No || applies == Match::No;
            if idle || !room_holds(&self.select, facts, at) {
                continue;
            }
            let thing = AskedThing {
                name: &room.id,
                room: Some(at),
            };
            let outcome = sign.look(facts, thing, room.at);
            let outcome = unless_unsure(outcome, matched, room.at);
            let outcome = unless_unsure(outcome, applies, room.at);
            let subject = Subject::new(SubjectKind::Room, room.id.clone());
            let (outcome, working) = (
                self.unless_contents_unsure(facts, at, outcome),
                Working::new(facts.tables.shop.us),
            );
            let detail = sign.detail(facts, thing);
            list.push(Judged::new(subject, outcome, working).seeing(detail));
        }
        list
    }

    /// Where only something that may be meant is in the room, a thing that is wanting cannot be judged.
    fn unless_contents_unsure(
        &self,
        facts: &Facts<'_>,
        room: RoomId,
        outcome: Known<Compared>,
    ) -> Known<Compared> {
        let wanting = matches!(
            outcome.value(),
            Some(Compared::Plain {
                stage: Stage::Broken,
                ..
            })
        );
        if !wanting || !self.select.content.restricts() {
            return outcome;
        }
        let (mut unsure, mut seen) = (None, None::<Seen>);
        let here = facts.containers_in(Some(room)).iter();
        for container in here.chain(facts.containers_in(None)).copied() {
            match self.select.meets(facts, container) {
                Match::Yes => {
                    let own = self.select.content.evidence(facts, container).seen;
                    seen = Some(seen.map_or(own, |best| best.min(own)));
                }
                Match::Unknown(why) => unsure = unsure.or(Some((why, facts.row(container)))),
                Match::No => {}
            }
        }
        match (seen, unsure) {
            (Some(seen), _) => outcome.seen_as(seen),
            (None, Some((why, row))) => Known::gap(why, vec![row]),
            (None, None) => outcome,
        }
    }
}
