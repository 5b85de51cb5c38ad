//! This is present, and of this kind.

use super::bind::Bound;
use super::due_within::latest;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Stage, Subject, SubjectKind};
use crate::quantity::Period;
use crate::record::{Answer, Location};
use crate::text::Span;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "must-have",
    asks: "Is it there: a label on the container, a rated cabinet, a fixture in the room, a yes in the walk-round?",
    limit: &[],
    by_class: false,
    options: &[
        OptionKey {
            key: "per",
            words: &["container", "place", "room", "shop"],
            must: true,
        },
        OptionKey {
            key: "have",
            words: &["label", "rated", "fixture", "answer"],
            must: true,
        },
        OptionKey {
            key: "answer",
            words: &[],
            must: false,
        },
    ],
    needs: &["fixture?"],
    unknown: "when the cell is empty, the check has no answer on record, or there is no fixtures.csv",
    source: "common practice, no source: an empty cell is not known, and what is not known is no yes",
    observe,
};

/// From one monthly round to the next, with two days of grace.
const ROUND: Period = Period::Days(33);

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, _limit: &Limit<'_>) -> Vec<Judged> {
    match bound.option("per") {
        "container" => containers(bound, facts),
        "place" => places(bound, facts),
        "room" => rooms(bound, facts),
        _ => {
            if !shop_holds(bound, facts) {
                return Vec::new();
            }
            let subject = match bound.option("have") {
                "answer" => Subject::new(SubjectKind::Check, bound.option("answer")),
                _ => Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone()),
            };
            vec![judged(
                bound,
                facts,
                subject,
                &Spot {
                    name: "",
                    at: facts.tables.shop.at,
                    ..Spot::default_at(facts)
                },
            )]
        }
    }
}

/// What is asked about.
struct Spot<'f> {
    name: &'f str,
    at: Span,
    said: Option<bool>,
    column: &'static str,
    room: Option<usize>,
}

impl<'f> Spot<'f> {
    fn default_at(facts: &Facts<'f>) -> Spot<'f> {
        Spot {
            name: "",
            at: facts.tables.shop.at,
            said: None,
            column: "",
            room: None,
        }
    }
}

fn containers(bound: &Bound<'_>, facts: &Facts<'_>) -> Vec<Judged> {
    let mut list = Vec::new();
    for container in facts.containers() {
        let matched = bound.select.container(facts, container);
        let Some(row) = facts.tables.containers.get(container) else {
            continue;
        };
        if matched == Match::No {
            continue;
        }
        let subject = Subject::new(SubjectKind::Container, row.id.clone());
        let spot = Spot {
            name: &row.id,
            at: row.at,
            said: row.labelled,
            column: "labelled",
            room: facts.location(container).room,
        };
        // What has the label has it, whether or not the rule means this container.
        let judged = judged(bound, facts, subject, &spot);
        list.push(match (matched, row.labelled) {
            (Match::Unknown(why), said) if said != Some(true) => Judged {
                outcome: Known::gap(why, vec![row.at]),
                ..judged
            },
            (Match::Unknown(_) | Match::Yes | Match::No, _) => judged,
        });
    }
    list
}

fn places(bound: &Bound<'_>, facts: &Facts<'_>) -> Vec<Judged> {
    let mut list = Vec::new();
    for (at, place) in facts.tables.places.iter().enumerate() {
        let location = Location {
            place: Some(at),
            room: place.room,
        };
        let holds = !bound.select.asks_of_content()
            || facts.containers().any(|c| {
                facts.location(c).place == Some(at) && bound.select.content(facts, c) != Match::No
            });
        if bound.select.location(facts, location) == Match::No || !holds {
            continue;
        }
        let subject = Subject::new(SubjectKind::Place, place.id.clone());
        let spot = Spot {
            name: &place.id,
            at: place.at,
            said: place.listed,
            column: "rated",
            room: place.room,
        };
        list.push(judged(bound, facts, subject, &spot));
    }
    list
}

fn rooms(bound: &Bound<'_>, facts: &Facts<'_>) -> Vec<Judged> {
    let mut list = Vec::new();
    for (at, room) in facts.tables.rooms.iter().enumerate() {
        let location = Location {
            place: None,
            room: Some(at),
        };
        let by_room = crate::fact::Filter {
            place: Vec::new(),
            not_place: Vec::new(),
            ..bound.select.clone()
        };
        if by_room.location(facts, location) == Match::No || !room_holds(bound, facts, at) {
            continue;
        }
        let subject = Subject::new(SubjectKind::Room, room.id.clone());
        let spot = Spot {
            name: &room.id,
            at: room.at,
            said: None,
            column: "",
            room: Some(at),
        };
        list.push(unless_unsure(
            bound,
            facts,
            at,
            judged(bound, facts, subject, &spot),
        ));
    }
    list
}

/// Where only something that may be meant is in the room, a thing that is wanting cannot be judged.
fn unless_unsure(bound: &Bound<'_>, facts: &Facts<'_>, room: usize, judged: Judged) -> Judged {
    let wanting = matches!(&judged.outcome, Known::Yes(fact)
        if matches!(&fact.value, Compared::Plain { stage: Stage::Broken, .. }));
    if !wanting || !bound.select.asks_of_content() {
        return judged;
    }
    let mut why = None;
    for container in facts
        .containers()
        .filter(|c| facts.location(*c).room.is_none_or(|r| r == room))
    {
        match bound.select.container(facts, container) {
            Match::Yes => return judged,
            Match::Unknown(reason) => why = why.or(Some((reason, facts.row(container)))),
            Match::No => {}
        }
    }
    match why {
        Some((why, row)) => Judged {
            outcome: Known::gap(why, row.into_iter().collect()),
            ..judged
        },
        None => judged,
    }
}

/// Does the room hold anything that the rule is about? A rule about no content is about every room.
pub(super) fn room_holds(bound: &Bound<'_>, facts: &Facts<'_>, room: usize) -> bool {
    let asks = bound.select.asks_of_content()
        || !bound.select.place.is_empty()
        || !bound.select.not_place.is_empty();
    if !asks {
        return true;
    }
    if !bound.select.asks_of_content() {
        return facts.tables.places.iter().enumerate().any(|(at, s)| {
            s.room == Some(room)
                && bound.select.location(
                    facts,
                    Location {
                        place: Some(at),
                        room: s.room,
                    },
                ) == Match::Yes
        });
    }
    facts.containers().any(|c| {
        facts.location(c).room.is_none_or(|r| r == room)
            && bound.select.container(facts, c) != Match::No
    })
}

/// Does the shop hold anything that the rule is about?
pub(super) fn shop_holds(bound: &Bound<'_>, facts: &Facts<'_>) -> bool {
    let asks_room = !bound.select.room.is_empty()
        || !bound.select.not_room.is_empty()
        || !bound.select.level.is_empty();
    if !bound.select.asks_of_content() && !asks_room && bound.select.place.is_empty() {
        return true;
    }
    if bound.select.asks_of_content() {
        return facts
            .containers()
            .any(|c| bound.select.container(facts, c) != Match::No);
    }
    let by_room = facts.tables.rooms.iter().enumerate().any(|(at, _)| {
        bound.select.place.is_empty()
            && bound.select.location(
                facts,
                Location {
                    place: None,
                    room: Some(at),
                },
            ) != Match::No
    });
    by_room
        || facts.tables.places.iter().enumerate().any(|(at, place)| {
            bound.select.location(
                facts,
                Location {
                    place: Some(at),
                    room: place.room,
                },
            ) != Match::No
        })
}

fn judged(bound: &Bound<'_>, facts: &Facts<'_>, subject: Subject, spot: &Spot<'_>) -> Judged {
    let working = Working::new(facts.tables.shop.us);
    let outcome = match bound.option("have") {
        "fixture" => fixture(bound, facts, spot),
        "answer" => answer(bound, facts, spot),
        _ => said(spot),
    };
    Judged::new(subject, outcome, working)
}

fn plain(observed: impl Into<String>, holds: bool, evidence: Evidence) -> Known<Compared> {
    let compared = Compared::Plain {
        observed: observed.into(),
        wanted: "yes".into(),
        stage: if holds { Stage::Holds } else { Stage::Broken },
    };
    Known::Yes(Fact {
        value: compared,
        evidence,
    })
}

fn said(spot: &Spot<'_>) -> Known<Compared> {
    match spot.said {
        Some(yes) => plain(if yes { "yes" } else { "no" }, yes, Evidence::at(spot.at)),
        None => Known::gap(
            format!(
                "`{}` of `{}` is empty; say yes or no",
                spot.column, spot.name
            ),
            vec![spot.at],
        ),
    }
}

fn answer(bound: &Bound<'_>, facts: &Facts<'_>, spot: &Spot<'_>) -> Known<Compared> {
    let check = bound.option("answer");
    match latest(facts, check, spot.name, false) {
        Some(given) if stale(facts, check, given) => {
            let why = format!(
                "`{check}` was last answered on {}; look again and answer in checks.csv",
                given.when.day()
            );
            Known::gap(why, vec![given.at])
        }
        Some(given) => match given.answer {
            Some(yes) => {
                let word = if yes { "yes" } else { "no" };
                plain(
                    format!("{word}, on {}", given.when.day()),
                    yes,
                    Evidence::at(given.at),
                )
            }
            None => {
                let fine = facts
                    .reference
                    .round
                    .find(check)
                    .is_some_and(|q| q.may_be_absent);
                plain(
                    format!("not present, on {}", given.when.day()),
                    fine,
                    Evidence::at(given.at),
                )
            }
        },
        None => {
            let about = if spot.name.is_empty() {
                String::new()
            } else {
                format!(" for `{}`", spot.name)
            };
            Known::gap(
                format!("no answer to `{check}` is on record in checks.csv{about}"),
                vec![spot.at],
            )
        }
    }
}

/// A yes does not last for ever: it counts for the interval of its question, and at least from one monthly round to the
/// next. (That least span is a judgement, no source.)
fn stale(facts: &Facts<'_>, check: &str, given: &Answer) -> bool {
    let round = given.when.day().plus(ROUND);
    let due = facts
        .reference
        .round
        .find(check)
        .map_or(round, |q| given.when.day().plus(q.interval).max(round));
    given.answer != Some(false) && facts.on() > due
}

fn fixture(bound: &Bound<'_>, facts: &Facts<'_>, spot: &Spot<'_>) -> Known<Compared> {
    let Some(list) = &facts.tables.fixtures else {
        return no_fixtures_file(facts).outcome;
    };
    let words: Vec<&str> = bound.fixture.iter().map(|kind| kind.word()).collect();
    let found = list
        .iter()
        .find(|f| bound.fixture.contains(&f.kind) && (spot.room.is_none() || f.room == spot.room));
    match found {
        Some(fixture) => plain(
            format!("yes: {}", fixture.id),
            true,
            Evidence::at(fixture.at),
        ),
        None => plain(
            format!("no {} in fixtures.csv", words.join(" or ")),
            false,
            Evidence::at(spot.at),
        ),
    }
}

/// Without fixtures.csv nothing is known of fixtures.
pub(super) fn no_fixtures_file(facts: &Facts<'_>) -> Judged {
    let subject = Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone());
    let why = "there is no fixtures.csv; list exits, extinguishers, fans and flames in it";
    Judged::new(
        subject,
        Known::gap(why, vec![facts.tables.shop.at]),
        Working::new(facts.tables.shop.us),
    )
}
