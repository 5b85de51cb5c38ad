//! A thing is done again within so long.

use super::applies::{
    AskedThing, answers, deciding_answer, locations, no_fixtures_file, shop_holds,
};
use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, SelectorSection, option_words};
use super::reader::{FIXTURE_KEYS, RuleReader, RuleRefused};
use super::sign::ask;
use crate::fact::{
    ContainerFilter, Evidence, Facts, Known, Match, PlaceFilter, RoomFilter, Working,
};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::pack::WithSpan;
use crate::quantity::when::{date, moment};
use crate::quantity::{Dimension, Exact, Moment, Period, unit};
use crate::record::{Answer, FixtureKind, Location, Place};
use crate::stock::RagState;
use crate::text::{Span, the};

pub(super) const KIND: CheckKind = CheckKind {
    name: "due-within",
    concern: Concern::Other,
    asks: "Was it done again in time, such as emptying a can or a check of the round?",
    limit: &[Dimension::Period],
    options: &[
        OptionKey::words::<DuePer>(KeyNeed::Always),
        OptionKey::words::<DueEvent>(KeyNeed::Optional),
        OptionKey::text(
            "answer",
            "a question of the round",
            KeyNeed::With("no event"),
        ),
    ],
    selectors: &[
        (SelectorSection::Where, ContainerFilter::KEYS),
        (SelectorSection::Where, FIXTURE_KEYS),
    ],
    unknown: "when no such answer is on record, or when rags are in a can since an unknown time",
    source: "intervals as 29 CFR 1910.157(e) and 1910.107(g)(3) state them; days are counted, not hours",
    parse: |rule| {
        let (per, event, within) = (rule.must(), rule.option(), rule.period());
        let (per, event) = (per?, event?);
        let due = match (event, per) {
            (Some(DueEvent::Empty), DuePer::Place) => DueThing::Emptied(cans(rule)?),
            (Some(DueEvent::Empty), DuePer::Fixture | DuePer::Shop) => {
                return Err(rule.unfit::<DuePer>("event = \"empty\"", "place"));
            }
            (None, per) => DueThing::Answered(rule.question()?, Box::new(asked_about(rule, per)?)),
        };
        Ok(Box::new(DueWithin {
            due,
            within: within?,
        }))
    },
    ..CheckKind::PLAIN
};

option_words! {
    /// What it is done to.
    enum DuePer: "per" {
        Place = "place",
        Fixture = "fixture",
        Shop = "shop",
    }
}

option_words! {
    /// What is done, where the log records it; else the round asks for it.
    enum DueEvent: "event" {
        Empty = "empty",
    }
}

struct DueWithin {
    due: DueThing,
    within: Period,
}

enum DueThing {
    /// Cans are emptied.
    Emptied(PlaceFilter),
    /// A question of the round is answered with yes.
    Answered(WithSpan<String>, Box<AskedAbout>),
}

enum AskedAbout {
    Places(PlaceFilter),
    Fixtures(Vec<FixtureKind>, RoomFilter),
    Shop(Box<ContainerFilter>),
}

/// The question of the round that finds a can empty.
const CAN_EMPTY: &str = "rag-can-empty";

/// The places that the log can record as emptied.
const CANS: [&str; 2] = ["oily-waste-can", "water-can"];

/// Only a can is emptied, so `[where]` names cans.
fn cans(rule: &mut RuleReader<'_, '_>) -> Result<PlaceFilter, RuleRefused> {
    let select = rule.select(SelectorSection::Where, PlaceFilter::KEYS)?;
    let places = PlaceFilter::read(select, rule.problems());
    let words = select.words("place");
    if words.is_empty() {
        let needs = format!("\"place\" in [where]: {}", CANS.join(", "));
        return Err(rule.demand(needs, select.at));
    }
    // A word that is no kind of place has been reported.
    let known = places.place.len() == words.len();
    match words
        .iter()
        .find(|told| !CANS.contains(&told.value.as_str()))
    {
        Some(other) if known => {
            let cans = CANS.join(", ");
            Err(rule.unfit_word(other, "place", "event = \"empty\"", &cans))
        }
        Some(_) | None => Ok(places),
    }
}

fn asked_about(rule: &mut RuleReader<'_, '_>, per: DuePer) -> Result<AskedAbout, RuleRefused> {
    Ok(match per {
        DuePer::Place => AskedAbout::Places(rule.places(SelectorSection::Where)?),
        DuePer::Fixture => {
            let (kinds, rooms) = rule.fixtures_in_rooms()?;
            AskedAbout::Fixtures(kinds, rooms)
        }
        DuePer::Shop => AskedAbout::Shop(Box::new(rule.containers(SelectorSection::Where)?)),
    })
}

impl RuleCheck for DueWithin {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        match &self.due {
            DueThing::Emptied(places) => self.emptied(places, facts),
            DueThing::Answered(question, about) => self.answered(&question.value, about, facts),
        }
    }

    fn question(&self) -> Option<&WithSpan<String>> {
        match &self.due {
            DueThing::Emptied(_) => None,
            DueThing::Answered(question, _) => Some(question),
        }
    }

    fn interval(&self) -> Option<Period> {
        self.question().map(|_| self.within)
    }
}

impl DueWithin {
    fn emptied(&self, places: &PlaceFilter, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for (location, place) in locations(facts) {
            let mut working = Working::new(facts.tables.shop.us);
            let outcome = match places.meets(facts, location) {
                Match::No => continue,
                Match::Unknown(why) => Known::gap(why, vec![place.at]),
                Match::Yes => self.can(facts, location, place, &mut working),
            };
            let subject = Subject::new(SubjectKind::Place, place.id.clone());
            judged.push(Judged::new(subject, outcome, working).seeing(Detail::CanFilled));
        }
        judged
    }

    /// How long the oldest rag has been in a can.
    fn can(
        &self,
        facts: &Facts<'_>,
        location: Location,
        place: &Place,
        working: &mut Working,
    ) -> Known<Compared> {
        let mut evidence = Evidence::at(place.at);
        let mut oldest: Option<Moment> = None;
        let mut pieces = Ok(Exact::ZERO);
        for batch in facts
            .containers()
            .flat_map(|container| &facts.contents(container).cloth)
            .filter(|batch| batch.location.place == location.place)
            .filter(|batch| batch.state != RagState::Clean)
        {
            let Some(since) = batch.since else {
                let why = format!(
                    "Empty {} and log it. It holds rags, and no date of the first one is on record.",
                    the(&place.id)
                );
                return Known::gap(why, vec![batch.at]);
            };
            pieces = pieces.and_then(|sum| sum.plus(batch.pieces));
            evidence.add(batch.at);
            oldest = Some(oldest.map_or(since, |o| o.min(since)));
        }
        let Ok(pieces) = pieces else {
            return Known::too_fine(evidence.places);
        };
        if let Some(oldest) = oldest {
            let first = moment(oldest, facts.tables.shop.us);
            working.say(format!(
                "rags in the can: {}, the first one since {first}",
                pieces.digits()
            ));
            return self.days_since(oldest, facts, evidence, working);
        }
        let emptied = location.place.and_then(|can| facts.stock.emptied(can));
        if emptied.is_none() && !self.looked_in(facts, &place.id) {
            let why = format!(
                "Look into {}, empty it out of the building, and log that. No entry for it is on record.",
                the(&place.id)
            );
            return Known::gap(why, vec![place.at]);
        }
        if let Some((when, at)) = emptied {
            working.say(format!("emptied on {}", date(when.day())));
            evidence.add(at);
        }
        let wanted = format!("emptied within {}", self.within);
        Known::yes(Compared::plain("empty", wanted, Stage::Holds), evidence)
    }

    /// Did the round find the can empty within the span?
    fn looked_in(&self, facts: &Facts<'_>, place: &str) -> bool {
        let last = answers(facts, CAN_EMPTY, place).max_by_key(|a| a.when);
        last.is_some_and(|a| a.answer == Some(true) && a.when.day().plus(self.within) >= facts.on())
    }

    fn days_since(
        &self,
        since: Moment,
        facts: &Facts<'_>,
        evidence: Evidence,
        working: &mut Working,
    ) -> Known<Compared> {
        let Some(days) = unit::find("day") else {
            return Known::gap("no unit", Vec::new());
        };
        let (since, within) = (since.day(), self.within.in_days());
        let due = since.plus(within);
        let (passed, allowed) = (facts.on().since(since), due.since(since));
        working.say(format!(
            "{} + {within} = due by {}; {passed} days have passed by {}",
            date(since),
            date(due),
            date(facts.on())
        ));
        let compared = Compared::at_most(Exact::whole(passed), Exact::whole(allowed), days);
        Known::yes(compared, evidence)
    }

    fn answered(&self, question: &str, about: &AskedAbout, facts: &Facts<'_>) -> Vec<Judged> {
        let place = |name: &str, room, at| {
            let subject = Subject::new(SubjectKind::Place, name);
            self.answer(facts, question, (subject, AskedThing { name, room }, at))
        };
        match about {
            AskedAbout::Places(filter) => locations(facts)
                .filter(|(location, _)| filter.meets(facts, *location) != Match::No)
                .map(|(_, found)| place(&found.id, found.room, found.at))
                .collect(),
            AskedAbout::Fixtures(kinds, rooms) => {
                let Some(list) = &facts.tables.fixtures else {
                    return vec![no_fixtures_file(facts)];
                };
                list.iter()
                    .filter(|fixture| kinds.contains(&fixture.kind))
                    .filter(|fixture| rooms.meets(facts, fixture.room) != Match::No)
                    .map(|fixture| place(&fixture.id, fixture.room, fixture.at))
                    .collect()
            }
            AskedAbout::Shop(filter) if shop_holds(filter, facts) => {
                let subject = Subject::new(SubjectKind::Check, question);
                let shop = AskedThing {
                    name: "",
                    room: None,
                };
                vec![self.answer(facts, question, (subject, shop, facts.tables.shop.at))]
            }
            AskedAbout::Shop(_) => Vec::new(),
        }
    }

    fn answer(
        &self,
        facts: &Facts<'_>,
        question: &str,
        (subject, thing, at): (Subject, AskedThing<'_>, Span),
    ) -> Judged {
        let mut working = Working::new(facts.tables.shop.us);
        let about = thing.name;
        let last = deciding_answer(facts, question, thing);
        let asked = facts.reference.round.find(question);
        let absent_is_fine = asked.is_some_and(|question| question.may_be_absent);
        let yes = answers(facts, question, about)
            .filter(|a| a.answer.unwrap_or(absent_is_fine))
            .max_by_key(|a| a.when);
        let question_name = || question.to_string();
        let detail = match (last, yes) {
            (Some(no), _) if no.answer == Some(false) => Detail::Answered {
                question: question_name(),
                day: no.when.day(),
            },
            (_, Some(yes)) => Detail::LastDone {
                question: question_name(),
                day: yes.when.day(),
            },
            (last, None) => Detail::Unanswered {
                question: question_name(),
                last: last.map(|answer| answer.when.day()),
            },
        };
        let outcome = match (last, yes) {
            (Some(no), _) if no.answer == Some(false) => answered_no(no, at),
            (_, Some(yes)) => {
                let day = yes.when.day();
                let word = yes.answer.map_or("not present", |_| "yes");
                working.say(format!("`{question}` was answered {word} on {}", date(day)));
                let mut evidence = Evidence::at(yes.at);
                evidence.add(at);
                self.days_since(yes.when, facts, evidence, &mut working)
            }
            (_, None) => {
                let last = last.map(|answer| answer.when.day());
                let why = ask(facts, question, about, last);
                Known::gap(why, vec![at])
            }
        };
        Judged::new(subject, outcome, working).seeing(detail)
    }
}

/// The last look found it wanting.
fn answered_no(no: &Answer, at: Span) -> Known<Compared> {
    let mut evidence = Evidence::at(no.at);
    evidence.add(at);
    let observed = format!("answered no on {}", date(no.when.day()));
    Known::yes(Compared::plain(observed, "yes", Stage::Broken), evidence)
}
