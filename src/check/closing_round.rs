//! Closing time: the questions of the round that an evening asks, and whether they were answered today.

use super::closing_list::{Account, ClosingLine, ClosingTopic, Evening, command};
use crate::fact::heats;
use crate::record::{Answer, ContainerId, PlaceKind, RoomId, Vessel};
use crate::stock::RagState;
use crate::trade::Question;
use std::collections::BTreeSet;

/// Lids, in each room in which liquid stands or pads are kept.
const LIDS: &str = "lids-closed";
/// The fan, in each room in which liquid was used today.
const FAN: &str = "fan-runs-on";
/// The rags, where a drying oil was used today and no rag is on record.
const RAGS: &str = "rags-accounted";
/// The water, for each can with rags in it.
const WATER: &str = "water-can";
/// The rags on a line, for each line with rags on it.
const LINE: &str = "drying-rack";

/// The last answer of today.
pub(super) fn answered<'e>(evening: &Evening<'e>, check: &str, about: &str) -> Option<&'e Answer> {
    evening
        .tables
        .answers
        .iter()
        .filter(|a| a.check == check && a.place == about)
        .filter(|a| a.when.day() == evening.at.day() && a.when <= evening.at)
        .max_by_key(|a| a.when)
}

/// What is asked tonight: the question's word, and what it is asked about.
fn asked(evening: &Evening<'_>) -> BTreeSet<(&'static str, String)> {
    let mut asked = BTreeSet::new();
    let room = |room: Option<RoomId>| room.map(|room| &evening.tables[room]);
    let rooms = &evening.tables.rooms;
    for (container, row) in ContainerId::each(&evening.tables.containers) {
        let contents = &evening.stock[container];
        if !evening.stock.present(evening.tables, container) {
            continue;
        }
        let cloth = row.vessel.is_some_and(|vessel| vessel.is_cloth());
        if !cloth && !may_be_dry(evening, container) {
            match room(contents.location.room) {
                Some(room) => {
                    asked.insert((LIDS, room.id.clone()));
                }
                // It may stand in any of them.
                None => asked.extend(rooms.iter().map(|room| (LIDS, room.id.clone()))),
            }
        }
        for batch in &contents.cloth {
            let place = batch.location.place.map(|place| &evening.tables[place]);
            let (Some(place), true) = (place, batch.state != RagState::Clean) else {
                continue;
            };
            match place.kind {
                PlaceKind::WaterCan => {
                    asked.insert((WATER, place.id.clone()));
                }
                PlaceKind::DryingLine => {
                    asked.insert((LINE, place.id.clone()));
                }
                PlaceKind::PadJar => {
                    let room = room(place.room).map(|room| (LIDS, room.id.clone()));
                    asked.extend(room);
                }
                _ => {}
            }
        }
    }
    for one in &evening.stock.uses {
        if one.when.day() == evening.at.day() {
            let indoors = room(one.location.room).filter(|_| !one.outdoors);
            asked.extend(indoors.map(|room| (FAN, room.id.clone())));
            if lacks_rags(evening, one.container) {
                asked.insert((RAGS, String::new()));
            }
        }
    }
    asked
}

/// Was a liquid used today that can self-heat on a rag, and is no rag of today on record that it may be on?
fn lacks_rags(evening: &Evening<'_>, container: ContainerId) -> bool {
    let stock = evening.stock;
    let today = |at: ContainerId| {
        let soiled = stock[at].soiled_rags;
        soiled.is_some_and(|soiled| soiled.day() == evening.at.day())
    };
    let cloth = |at: ContainerId| {
        let vessel = evening.tables[at].vessel;
        vessel.is_some_and(Vessel::is_cloth)
    };
    let mut rows = ContainerId::each(&evening.tables.containers);
    let unknown_on_rags = rows.any(|(at, _)| cloth(at) && today(at));
    heats(stock, evening.hazards, container)
        && !cloth(container)
        && !today(container)
        && !unknown_on_rags
}

/// Flakes, powders and dry things have no vapour to keep in.
fn may_be_dry(evening: &Evening<'_>, container: ContainerId) -> bool {
    use crate::vapour::class::Flash;
    let hazard = evening.hazards.of_container(evening.stock, container);
    matches!(hazard.flash.value(), Some(Flash::NotALiquid | Flash::Never))
}

pub(super) fn questions(evening: &Evening<'_>) -> Vec<ClosingLine> {
    asked(evening)
        .into_iter()
        .filter_map(|(check, about)| {
            let question = evening.reference.round.find(check)?;
            Some(line(evening, question, about))
        })
        .collect()
}

fn line(evening: &Evening<'_>, question: &Question, about: String) -> ClosingLine {
    let answered = answered(evening, &question.check, &about);
    let (standing, said) = match answered.map(|a| (a.answer, a.when)) {
        Some((Some(true), when)) => (
            Account::Accounted,
            format!("Yes at {}.", evening.clock(when)),
        ),
        Some((None, when)) if question.may_be_absent => {
            let words = format!("Not present here (answered at {}).", evening.clock(when));
            (Account::Accounted, words)
        }
        Some((None, when)) => (
            Account::Open,
            format!(
                "\"Not present\" at {} is no answer to this question.",
                evening.clock(when)
            ),
        ),
        Some((Some(false), when)) => (Account::Open, format!("No at {}.", evening.clock(when))),
        None => (Account::Open, "No answer today.".into()),
    };
    let action = format!("Check: {}. Then log the answer.", question.pass);
    let answer = |word: &str| command(&["check", &question.check, word, &about]);
    let commands = match standing {
        Account::Open => vec![answer("yes"), answer("no")],
        Account::Warned | Account::Accounted => Vec::new(),
    };
    ClosingLine {
        standing,
        about: ClosingTopic::Question,
        subject: question.check.clone(),
        observed: match about.as_str() {
            "" => format!("{} {said}", question.question),
            _ => format!("{about}: {} {said}", question.question),
        },
        place: about.clone(),
        amount: None,
        since: answered.map(|answer| answer.when),
        action,
        commands,
        evidence: answered.map(|answer| answer.at).into_iter().collect(),
    }
}
