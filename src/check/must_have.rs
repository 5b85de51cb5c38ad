//! This is present, and of this kind.

use super::applies::{answers, locations, no_fixtures_file, room_holds, shop_holds};
use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, OptionWords, SelectorSection};
use super::reader::{RuleReader, RuleRefused};
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::pack::WithSpan;
use crate::quantity::Period;
use crate::record::{Answer, FixtureKind, Place};
use crate::text::Span;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "must-have",
    concern: Concern::Other,
    asks: "Is it there: a label on the container, a rated cabinet, a fixture in the room, a yes in the walk-round?",
    limit: &[],
    by_class: false,
    options: &[
        OptionKey::words::<HavePer>(KeyNeed::Always),
        OptionKey::words::<Have>(KeyNeed::Always),
        OptionKey::text(
            "answer",
            "a question of the round",
            KeyNeed::With("have = \"answer\""),
        ),
    ],
    fixture: Some(KeyNeed::With("have = \"fixture\"")),
    selectors: &[(SelectorSection::Where, ContainerFilter::KEYS)],
    adjusts: false,
    always_judges: false,
    unknown: "when the cell is empty, the check has no answer on record, or there is no fixtures.csv",
    source: "common practice, no source: an empty cell is not known, and what is not known is no yes",
    parse: |rule| {
        let (wanted, select) = (wanted(rule), rule.containers(SelectorSection::Where));
        Ok(Box::new(MustHave {
            wanted: wanted?,
            select: select?,
        }))
    },
};

/// What has it.
#[derive(Clone, Copy)]
enum HavePer {
    Container,
    Place,
    Room,
    Shop,
}

impl OptionWords for HavePer {
    const KEY: &'static str = "per";
    const WORDS: &'static [(&'static str, HavePer)] = &[
        ("container", HavePer::Container),
        ("place", HavePer::Place),
        ("room", HavePer::Room),
        ("shop", HavePer::Shop),
    ];
}

/// What must be there.
#[derive(Clone, Copy)]
enum Have {
    Label,
    Listed,
    Fixture,
    Answer,
}

impl OptionWords for Have {
    const KEY: &'static str = "have";
    const WORDS: &'static [(&'static str, Have)] = &[
        ("label", Have::Label),
        ("rated", Have::Listed),
        ("fixture", Have::Fixture),
        ("answer", Have::Answer),
    ];
}

/// What each thing can have. A label is a column of inventory.csv, a listing one of places.csv; fixtures are in rooms.
fn wanted(rule: &mut RuleReader<'_, '_>) -> Result<WantedThing, RuleRefused> {
    let (per, have) = (rule.must(), rule.must());
    let (per, have) = (per?, have?);
    Ok(match (per, have) {
        (HavePer::Container, Have::Label) => WantedThing::Label,
        (HavePer::Place, Have::Listed) => WantedThing::Listed,
        (HavePer::Place, Have::Answer) => WantedThing::InPlaces(rule.question()?),
        (HavePer::Room, Have::Fixture) => WantedThing::InRooms(Sign::Fixture(rule.fixtures()?)),
        (HavePer::Room, Have::Answer) => WantedThing::InRooms(Sign::Answer(rule.question()?)),
        (HavePer::Shop, Have::Fixture) => WantedThing::InShop(Sign::Fixture(rule.fixtures()?)),
        (HavePer::Shop, Have::Answer) => WantedThing::InShop(Sign::Answer(rule.question()?)),
        (HavePer::Container, Have::Listed | Have::Fixture | Have::Answer) => {
            return Err(rule.unfit::<Have>("per = \"container\"", "label"));
        }
        (HavePer::Place, Have::Label | Have::Fixture) => {
            return Err(rule.unfit::<Have>("per = \"place\"", "rated, answer"));
        }
        (HavePer::Room, Have::Label | Have::Listed) => {
            return Err(rule.unfit::<Have>("per = \"room\"", "fixture, answer"));
        }
        (HavePer::Shop, Have::Label | Have::Listed) => {
            return Err(rule.unfit::<Have>("per = \"shop\"", "fixture, answer"));
        }
    })
}

/// From one monthly round to the next, with two days of grace.
const ROUND: Period = Period::Days(33);

struct MustHave {
    wanted: WantedThing,
    select: ContainerFilter,
}

enum WantedThing {
    /// Containers have a label.
    Label,
    /// Places are listed.
    Listed,
    /// A question is answered with yes for each place.
    InPlaces(WithSpan<String>),
    InRooms(Sign),
    InShop(Sign),
}

/// What shows that it is there.
enum Sign {
    Fixture(Vec<FixtureKind>),
    Answer(WithSpan<String>),
}

impl RuleCheck for MustHave {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        match &self.wanted {
            WantedThing::Label => self.labels(facts),
            WantedThing::Listed => self.places(facts, |place| {
                let listed = said(place.listed, "rated", &place.id, place.at);
                (listed, Detail::Listing)
            }),
            WantedThing::InPlaces(question) => self.places(facts, |place| {
                let (question, id) = (&question.value, &place.id);
                let answered = answered(facts, question, id, place.at);
                (answered, answer_detail(facts, question, id))
            }),
            WantedThing::InRooms(sign) => self.rooms(facts, sign),
            WantedThing::InShop(_) if !shop_holds(&self.select, facts) => Vec::new(),
            WantedThing::InShop(sign) => {
                let shop = &facts.tables.shop;
                let subject = match sign {
                    Sign::Answer(question) => {
                        Subject::new(SubjectKind::Check, question.value.clone())
                    }
                    Sign::Fixture(_) => Subject::new(SubjectKind::Shop, shop.name.clone()),
                };
                let outcome = sign.look(facts, "", None, shop.at);
                vec![
                    Judged::new(subject, outcome, Working::new(shop.us))
                        .seeing(sign.detail(facts, "")),
                ]
            }
        }
    }

    fn question(&self) -> Option<&WithSpan<String>> {
        match &self.wanted {
            WantedThing::InPlaces(question)
            | WantedThing::InRooms(Sign::Answer(question))
            | WantedThing::InShop(Sign::Answer(question)) => Some(question),
            WantedThing::Label
            | WantedThing::Listed
            | WantedThing::InRooms(Sign::Fixture(_))
            | WantedThing::InShop(Sign::Fixture(_)) => None,
        }
    }
}

impl MustHave {
    fn labels(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut list = Vec::new();
        for container in facts.containers() {
            let Some(row) = facts.tables.containers.get(container) else {
                continue;
            };
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
        for (at, (location, place)) in locations(facts).enumerate() {
            let holds = !content.restricts()
                || facts.containers().any(|c| {
                    facts.location(c).place == Some(at) && content.meets(facts, c) != Match::No
                });
            if self.select.places.meets(facts, location) == Match::No || !holds {
                continue;
            }
            let subject = Subject::new(SubjectKind::Place, place.id.clone());
            let working = Working::new(facts.tables.shop.us);
            let (outcome, detail) = look(place);
            list.push(Judged::new(subject, outcome, working).seeing(detail));
        }
        list
    }

    fn rooms(&self, facts: &Facts<'_>, sign: &Sign) -> Vec<Judged> {
        let mut list = Vec::new();
        for (at, room) in facts.tables.rooms.iter().enumerate() {
            let matched = self.select.places.rooms.meets(facts, Some(at));
            if matched == Match::No || !room_holds(&self.select, facts, at) {
                continue;
            }
            let outcome = sign.look(facts, &room.id, Some(at), room.at);
            let subject = Subject::new(SubjectKind::Room, room.id.clone());
            let (outcome, working) = (
                self.unless_unsure(facts, at, outcome),
                Working::new(facts.tables.shop.us),
            );
            let detail = sign.detail(facts, &room.id);
            list.push(Judged::new(subject, outcome, working).seeing(detail));
        }
        list
    }

    /// Where only something that may be meant is in the room, a thing that is wanting cannot be judged.
    fn unless_unsure(
        &self,
        facts: &Facts<'_>,
        room: usize,
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
        let mut unsure = None;
        let here = facts
            .containers()
            .filter(|c| facts.location(*c).room.is_none_or(|r| r == room));
        for container in here {
            match self.select.meets(facts, container) {
                Match::Yes => return outcome,
                Match::Unknown(why) => unsure = unsure.or(Some((why, facts.row(container)))),
                Match::No => {}
            }
        }
        unsure.map_or(outcome, |(why, row)| {
            Known::gap(why, row.into_iter().collect())
        })
    }
}

impl Sign {
    /// Is it there, in this room or (with no room) anywhere in the shop?
    fn look(
        &self,
        facts: &Facts<'_>,
        name: &str,
        room: Option<usize>,
        at: Span,
    ) -> Known<Compared> {
        match self {
            Sign::Fixture(kinds) => fixture(facts, kinds, room, at),
            Sign::Answer(question) => answered(facts, &question.value, name, at),
        }
    }
}

impl Sign {
    fn detail(&self, facts: &Facts<'_>, name: &str) -> Detail {
        match self {
            Sign::Fixture(kinds) => Detail::Fixture(kinds.iter().map(|kind| kind.word()).collect()),
            Sign::Answer(question) => answer_detail(facts, &question.value, name),
        }
    }
}

/// The answer that counts, or that none does any more.
fn answer_detail(facts: &Facts<'_>, question: &str, name: &str) -> Detail {
    let last = answers(facts, question, name).max_by_key(|a| a.when);
    let question_name = question.to_string();
    match last {
        Some(given) if !stale(facts, question, given) => Detail::Answered {
            question: question_name,
            day: given.when.day(),
        },
        last => Detail::Unanswered {
            question: question_name,
            last: last.map(|given| given.when.day()),
        },
    }
}

fn yes_or_no(observed: impl Into<String>, holds: bool, evidence: Evidence) -> Known<Compared> {
    let stage = if holds { Stage::Holds } else { Stage::Broken };
    Known::yes(Compared::plain(observed, "yes", stage), evidence)
}

fn said(said: Option<bool>, column: &str, name: &str, at: Span) -> Known<Compared> {
    match said {
        Some(yes) => yes_or_no(if yes { "yes" } else { "no" }, yes, Evidence::at(at)),
        None => Known::gap(
            format!("Record yes or no under {column} for {name}. The cell is empty."),
            vec![at],
        ),
    }
}

fn answered(facts: &Facts<'_>, question: &str, name: &str, at: Span) -> Known<Compared> {
    let Some(given) = answers(facts, question, name).max_by_key(|a| a.when) else {
        let about = match name {
            "" => String::new(),
            name => format!(" for {name}"),
        };
        return Known::gap(
            format!("Answer {question} in the round{about}. No answer is on record in checks.csv."),
            vec![at],
        );
    };
    let day = given.when.day();
    if stale(facts, question, given) {
        let why = format!("Answer {question} in the round. It was last answered on {day}.");
        return Known::gap(why, vec![given.at]);
    }
    let (word, holds) = match given.answer {
        Some(true) => ("yes", true),
        Some(false) => ("no", false),
        None => {
            let question = facts.reference.round.find(question);
            ("not present", question.is_some_and(|q| q.may_be_absent))
        }
    };
    yes_or_no(format!("{word}, on {day}"), holds, Evidence::at(given.at))
}

/// A yes does not last for ever: it counts for the interval of its question, and at least from one monthly round to the
/// next. (That least span is a judgement, no source.)
fn stale(facts: &Facts<'_>, question: &str, given: &Answer) -> bool {
    let round = given.when.day().plus(ROUND);
    let due = facts
        .reference
        .round
        .find(question)
        .map_or(round, |q| given.when.day().plus(q.interval).max(round));
    given.answer != Some(false) && facts.on() > due
}

fn fixture(
    facts: &Facts<'_>,
    kinds: &[FixtureKind],
    room: Option<usize>,
    at: Span,
) -> Known<Compared> {
    let Some(list) = &facts.tables.fixtures else {
        return no_fixtures_file(facts).outcome;
    };
    let found = list
        .iter()
        .find(|f| kinds.contains(&f.kind) && (room.is_none() || f.room == room));
    match found {
        Some(fixture) => yes_or_no(
            format!("yes: {}", fixture.id),
            true,
            Evidence::at(fixture.at),
        ),
        None => {
            let words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
            let observed = format!("no {} in fixtures.csv", words.join(" or "));
            yes_or_no(observed, false, Evidence::at(at))
        }
    }
}
