//! The eight hours of people who worked in several rooms: sessions with the course of each room go in, and the worst eight
//! hours of each person come out.
//!
//! Where a person was between two entries is unknown, so every room of these eight hours counts as if that person stayed
//! there: each part is the room's own mean, and no part is less than what the room itself is held to.
//!
//! Source: 29 CFR 1910.1000(d)(1)(i), E = sum of C T / 8, over all places of a person's shift.

use super::against::{Against, Limits, SHIFT};
use super::room_month::RoomCourse;
use super::session::{PersonShift, Session};
use crate::record::RoomId;
use std::collections::{BTreeMap, HashMap};

/// More rooms than this in eight hours are added up by the worst of each, which is never too low.
const MOST_ROOMS: usize = 64;
/// Steps in which the worst eight hours are looked for around the best beginning: a quarter of an hour each.
const STEPS: i32 = 16;
/// Minutes of a step.
const STEP: f64 = 15.0;
/// Rows shown of a person's eight hours.
const FEW: usize = 8;

/// A person's part in a session of one room.
struct Stay<'s> {
    room: RoomId,
    from: f64,
    end: f64,
    session: &'s Session,
    at: Vec<crate::text::Span>,
}

/// All that a person did, in order of time.
struct Person<'s> {
    stays: Vec<Stay<'s>>,
    longest: f64,
    courses: &'s HashMap<RoomId, RoomCourse>,
}

/// The worst eight hours of everyone who worked in more than one room within them.
pub(super) fn person_shifts(
    sessions: &[Session],
    courses: &HashMap<RoomId, RoomCourse>,
    names: &[String],
) -> Vec<PersonShift> {
    let mut by_person: BTreeMap<Option<usize>, Vec<Stay<'_>>> = BTreeMap::new();
    for session in sessions {
        let Some(room) = session.room.filter(|room| courses.contains_key(room)) else {
            continue;
        };
        for (by, stay) in stays(session, room) {
            by_person.entry(by).or_default().push(stay);
        }
    }
    let mut list = Vec::new();
    for (by, mut stays) in by_person {
        let first = stays.first().map(|stay| stay.room);
        if stays.iter().all(|stay| Some(stay.room) == first) {
            continue;
        }
        stays.sort_by(|a, b| a.from.total_cmp(&b.from));
        let lengths = stays.iter().map(|stay| stay.end - stay.from);
        let person = Person {
            longest: lengths.max_by(f64::total_cmp).unwrap_or(0.0),
            stays,
            courses,
        };
        let name = by.and_then(|by| names.get(by)).cloned();
        for against in [Against::Legal, Against::Guide] {
            list.extend(person.worst(against).map(|shift| PersonShift {
                by: name.clone(),
                ..shift
            }));
        }
    }
    list
}

/// What each person did in a session.
fn stays(session: &Session, room: RoomId) -> Vec<(Option<usize>, Stay<'_>)> {
    let mut list: Vec<(Option<usize>, Stay<'_>)> = Vec::new();
    for emission in &session.emissions {
        match list.iter_mut().find(|(by, _)| *by == emission.by) {
            Some((_, stay)) => {
                stay.end = stay.end.max(emission.end());
                if stay.at.len() < FEW {
                    stay.at.push(emission.at);
                }
            }
            None => list.push((
                emission.by,
                Stay {
                    room,
                    from: emission.start,
                    end: emission.end(),
                    session,
                    at: vec![emission.at],
                },
            )),
        }
    }
    list
}

impl<'s> Person<'s> {
    /// The worst eight hours in which this person worked in more than one room.
    fn worst(&self, against: Against) -> Option<PersonShift> {
        let starts = self.stays.iter();
        let starts = starts.flat_map(|stay| [stay.from, stay.end - SHIFT, stay.session.start()]);
        // A log is written by the minute, so of very many entries most begin together.
        let mut starts: Vec<f64> = starts.collect();
        starts.sort_by(f64::total_cmp);
        starts.dedup();
        let best = self.best(against, starts.into_iter())?;
        let around = (-STEPS..=STEPS).map(|step| best.0 + STEP * f64::from(step));
        let (from, level) = self.best(against, around)?;
        let active = self.active(from);
        let (first, _) = active.first().zip(active.get(1))?;
        let mut at: Vec<_> = active.iter().flat_map(|stay| stay.at.clone()).collect();
        at.truncate(2 * FEW);
        Some(PersonShift {
            by: None,
            against,
            level,
            confirmed: self.level(against, Limits::Confirmed, from).unwrap_or(0.0),
            from: first.session.began,
            rooms: self.parts(&active, against, Limits::All, from),
            at_worst: active.iter().any(|stay| stay.session.is_at_worst()),
            at,
        })
    }

    /// The beginning of eight hours with the highest sum, and that sum.
    fn best(&self, against: Against, starts: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
        starts
            .filter_map(|from| Some((from, self.level(against, Limits::All, from)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The sum over the rooms of eight hours; `None` where it is one room, which is judged by itself.
    fn level(&self, against: Against, limits: Limits, from: f64) -> Option<f64> {
        let active = self.active(from);
        let first = active.first().map(|stay| stay.room);
        if active.iter().all(|stay| Some(stay.room) == first) {
            return None;
        }
        if active.len() > MOST_ROOMS {
            let sums = active.iter().map(|stay| match limits {
                Limits::All => stay.session.all.get(against),
                Limits::Confirmed => stay.session.confirmed.get(against),
            });
            return Some(sums.map(|sum| sum.unwrap_or(0.0)).sum());
        }
        let parts = self.parts(&active, against, limits, from);
        Some(parts.iter().map(|(_, part)| part).sum())
    }

    /// The rooms of these stays, each once, with its mean over the eight hours.
    fn parts(
        &self,
        active: &[&Stay<'s>],
        against: Against,
        limits: Limits,
        from: f64,
    ) -> Vec<(RoomId, f64)> {
        let mut rooms: Vec<RoomId> = active.iter().map(|stay| stay.room).collect();
        rooms.sort_unstable();
        rooms.dedup();
        let mean = |room: RoomId| {
            let course = self.courses.get(&room)?;
            let course = match against {
                Against::Guide => &course.guide,
                Against::Legal | Against::Lel | Against::Short | Against::ShortLegal => {
                    &course.legal
                }
            };
            course.history(limits)?.mean(from, SHIFT)
        };
        rooms
            .into_iter()
            .map(|room| (room, mean(room).unwrap_or(0.0)))
            .collect()
    }

    /// What this person did in the eight hours from a moment; of very many stays the first few.
    fn active(&self, from: f64) -> Vec<&Stay<'s>> {
        let stays = &self.stays;
        let first = stays.partition_point(|stay| stay.from < from - self.longest);
        let until = stays.partition_point(|stay| stay.from <= from + SHIFT);
        let window = stays.get(first..until).unwrap_or_default();
        window.iter().filter(|stay| stay.end >= from).collect()
    }
}
