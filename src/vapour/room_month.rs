//! The month of one room: its emissions go in as sessions, and each session comes out with the worst of its own stretch.
//!
//! All emissions of the month are carried through the room together, so that what an earlier session left in the air counts.

use super::against::{Against, Limits, PerLimit, SHIFT};
use super::given_off::GivenOff;
use super::history::History;
use super::session::{DAY, Emission, MOST_SEARCHED, RoomAir, Session, releases};
use super::well_mixed::WellMixedRoom;

/// A room's air over the month against one kind of limit.
pub(super) struct Course {
    against: Against,
    all: Option<History>,
    confirmed: Option<History>,
    /// No limit that counts is from memory, so both are the same.
    alike: bool,
}

/// The courses that a person's eight hours are read from.
pub(super) struct RoomCourse {
    /// Against legal limits.
    pub legal: Course,
    /// Against guide values.
    pub guide: Course,
}

impl Course {
    fn new(
        room: &WellMixedRoom,
        list: &[Session],
        products: &[(String, GivenOff)],
        against: Against,
    ) -> Course {
        let emissions = || list.iter().flat_map(|session| &session.emissions);
        let history =
            |limits| History::new(room, &releases(emissions(), products, against, limits));
        let used = list.iter().flat_map(|session| &session.litres);
        let used = used.map(|(product, _)| &products[*product]);
        let alike = used.flat_map(|(_, off)| &off.vapours).all(|vapour| {
            vapour.weight(against, Limits::All) == vapour.weight(against, Limits::Confirmed)
        });
        Course {
            against,
            all: history(Limits::All),
            confirmed: if alike {
                None
            } else {
                history(Limits::Confirmed)
            },
            alike,
        }
    }

    /// The history over these limits; `None` where nothing that was used counts.
    pub fn history(&self, limits: Limits) -> Option<&History> {
        match limits {
            Limits::Confirmed if !self.alike => self.confirmed.as_ref(),
            Limits::All | Limits::Confirmed => self.all.as_ref(),
        }
    }

    /// The highest level of a part of the month, or its worst mean over the minutes that the limit is made for.
    fn worst(&self, limits: Limits, stretch: &SessionPart) -> Option<f64> {
        let history = self.history(limits)?;
        let highest = match self.against.minutes() {
            Some(minutes) => {
                history.worst_mean_ending(minutes, stretch.from, stretch.until_mean)?
            }
            None => history.peak_between(stretch.from, stretch.until)?,
        };
        Some(highest.level)
    }
}

/// The part of the month that belongs to a session.
struct SessionPart {
    from: f64,
    until: f64,
    until_mean: f64,
}

/// The month of a room in one history for each sum; each session gets the worst of its own stretch of it.
pub(super) fn judge_room(
    mut list: Vec<Session>,
    air: Option<RoomAir>,
    products: &[(String, GivenOff)],
) -> (Vec<Session>, Option<RoomCourse>) {
    let Some(room) = air.and_then(|air| air.room()) else {
        for session in &mut list {
            session.gap = Some(no_room(session, air));
        }
        return (list, None);
    };
    let courses = Against::ALL.map(|against| Course::new(&room, &list, products, against));
    let starts: Vec<f64> = list.iter().map(Session::start).collect();
    for (at, session) in list.iter_mut().enumerate() {
        let from = session.start();
        let last = from + session.worked;
        let until = starts.get(at + 1).copied().unwrap_or(last + 2.0 * DAY);
        let stretch = SessionPart {
            from,
            until,
            until_mean: until.min(last + 2.0 * SHIFT),
        };
        let unknown = session.litres.iter();
        let unknown = unknown.map(|(product, _)| &products[*product]);
        let unknown = || unknown.clone().find_map(|(_, off)| off.gap.clone());
        session.gap = session.gap.take().or_else(unknown);
        let worst = |limits| {
            PerLimit::each(|against| {
                let course = courses.iter().find(|course| course.against == against)?;
                course.worst(limits, &stretch)
            })
        };
        session.all = worst(Limits::All);
        session.confirmed = worst(Limits::Confirmed);
        session.clear_after =
            alone(session, products, &room).map(|minute| (minute - from).max(0.0));
    }
    let [_, legal, guide, _, _] = courses;
    (list, Some(RoomCourse { legal, guide }))
}

/// Why a session's room cannot be judged.
fn no_room(session: &Session, air: Option<RoomAir>) -> String {
    let why = match (session.room, air) {
        (None, _) => {
            "the room in which it was used is unknown; record its place in inventory.csv or the log"
        }
        (Some(_), None) => {
            "the length, width or height of the room is unknown; record it in rooms.csv"
        }
        (Some(_), Some(air)) => air.odd(),
    };
    why.into()
}

/// The minute at which the session's own vapour falls under a tenth of every limit.
fn alone(session: &Session, products: &[(String, GivenOff)], room: &WellMixedRoom) -> Option<f64> {
    if session.emissions.len() > MOST_SEARCHED {
        return None;
    }
    let mut latest: Option<f64> = None;
    for against in [Against::Legal, Against::Guide, Against::Lel] {
        let list: Vec<_> = releases(&session.emissions, products, against, Limits::All);
        let Some(history) = History::new(room, &list) else {
            continue;
        };
        let clear = history.clear_from(0.1)?;
        latest = Some(latest.map_or(clear, |minute| minute.max(clear)));
    }
    latest
}

impl Session {
    /// The minute at which it began, on the clock of its emissions.
    pub(super) fn start(&self) -> f64 {
        self.emissions.first().map_or(0.0, |first| first.start)
    }

    /// The minute at which its last work ended.
    pub(super) fn end(&self) -> f64 {
        let ends = self.emissions.iter().map(Emission::end);
        ends.max_by(f64::total_cmp).unwrap_or(0.0)
    }
}
