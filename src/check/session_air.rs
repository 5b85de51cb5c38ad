//! What the two kinds about sessions share: which sessions are shown, their working, and what would have met.

use super::kind::{Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Gap, Known, Match, RoomFilter, Working};
use crate::finding::{AirLimit, Compared, Detail, Subject, SubjectKind};
use crate::pack::Seen;
use crate::quantity::when::moment;
use crate::quantity::{Airflow, Exact, in_unit, unit};
use crate::record::RoomId;
use crate::text::the;
use crate::vapour::against::Against;
use crate::vapour::estimate::{Estimate, Side};
use crate::vapour::given_off::Vapour;
use crate::vapour::session::{PersonShift, SESSION_ERROR, Session};
use crate::vapour::shown::{air_shown, litres_shown};
use crate::vapour::{percent, share, share_of, whole};

/// The sums that the sessions of the last month come to, against a share of a limit.
pub(super) struct SessionAir {
    pub(super) rooms: RoomFilter,
    pub(super) against: Against,
    pub(super) percent: Exact,
}

impl RuleCheck for SessionAir {
    /// What is plainly within the limit is shown once, with the worst session.
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut open: Vec<Judged> = Vec::new();
        let mut gaps: Vec<(Gap, usize, Subject)> = Vec::new();
        let mut quiet: Option<(f64, Judged)> = None;
        let sessions = facts.sessions.list.iter();
        for session in sessions.filter(|s| self.rooms.meets(facts, s.room) != Match::No) {
            let subject = subject(facts, session);
            let level = self.level(
                session.all.get(self.against),
                session.confirmed.get(self.against),
            );
            if let Some(because) = self.gap(facts, session, level) {
                let look: Vec<_> = session.emissions.iter().take(4).map(|p| p.at).collect();
                let mut known = gaps.iter_mut();
                match known.find(|(gap, _, s)| gap.because == because && *s == subject) {
                    Some((_, count, _)) => *count += 1,
                    None => gaps.push((Gap { because, look }, 1, subject)),
                }
                continue;
            }
            // Nothing that was used counts in this sum.
            let Some(level) = level else { continue };
            let judged = self.judged(facts, session, subject, level);
            if !self.is_plain(level) {
                open.push(judged);
            } else if quiet
                .as_ref()
                .is_none_or(|(worst, _)| level.percent > *worst)
            {
                quiet = Some((level.percent, judged));
            }
        }
        open.extend(self.people(facts));
        open.extend(quiet.map(|(_, judged)| judged));
        open.extend(gaps.into_iter().map(|(mut gap, count, subject)| {
            if count > 1 {
                gap.because = format!(
                    "{} This concerns {count} sessions of the month.",
                    gap.because
                );
            }
            Judged::new(subject, Known::No(gap), Working::new(facts.tables.shop.us))
        }));
        open
    }
}

fn subject(facts: &Facts<'_>, session: &Session) -> Subject {
    match session.room_in(facts.tables) {
        Some(room) => Subject::new(SubjectKind::Room, room.id.as_str()),
        None => Subject::new(SubjectKind::Room, "room not recorded"),
    }
}

/// What has to be known before a session over the limit at worst can be judged.
fn lacking(facts: &Facts<'_>, session: &Session) -> String {
    let room = session
        .room_in(facts.tables)
        .map_or("", |room| room.id.as_str());
    if session.air.is_some_and(|air| air.exhaust.is_none()) {
        format!(
            "Measure the exhaust of {}, and record it in rooms.csv. It is unknown.",
            the(room)
        )
    } else {
        "Record the minutes of work in log.csv. They are not recorded.".to_string()
    }
}

/// Rooms named of a person's eight hours.
const MOST_ROOMS_SHOWN: usize = 12;

/// What was done, in a line.
fn told(facts: &Facts<'_>, session: &Session) -> String {
    let us = facts.tables.shop.us;
    let shown = facts
        .sessions
        .used(session)
        .into_iter()
        .map(|(name, litres)| {
            let litres = litres_shown(litres, us);
            format!("{litres} of {name}")
        });
    let shown: Vec<String> = shown.collect();
    let by = if session.by.is_empty() {
        String::new()
    } else {
        format!(", by {}", session.by.join(", "))
    };
    format!(
        "{}, {} min of work{by}: {}",
        moment(session.began, us),
        session.worked.round(),
        shown.join(", ")
    )
}

/// What a session comes to.
#[derive(Clone, Copy)]
struct JudgedLevel {
    /// Per cent of the limits.
    percent: f64,
    /// How the weakest of the limits that count was seen.
    seen: Seen,
}

impl SessionAir {
    /// The level that is judged, if anything that was used counts in this sum: over confirmed limits where these are passed,
    /// else over all of them, since a limit from memory may warn.
    fn level(&self, all: Option<f64>, confirmed: Option<f64>) -> Option<JudgedLevel> {
        let (all, confirmed) = (percent(all?), percent(confirmed.unwrap_or(0.0)));
        let sure = confirmed >= all || confirmed > self.percent.estimate();
        Some(JudgedLevel {
            percent: if sure { confirmed } else { all },
            seen: if sure { Seen::Text } else { Seen::Memory },
        })
    }

    /// Is it within the limit by more than the error of the estimate, and a tenth to spare?
    fn is_plain(&self, level: JudgedLevel) -> bool {
        Estimate::new(level.percent, "%", SESSION_ERROR)
            .is_some_and(|e| e.side_with(0.1, self.percent.estimate()) == Side::Below)
    }

    /// Is it over confirmed limits by more than the error of the estimate?
    fn is_certain(&self, level: JudgedLevel) -> bool {
        level.seen != Seen::Memory
            && Estimate::new(level.percent, "%", SESSION_ERROR)
                .is_some_and(|e| e.side_of(self.percent.estimate()) == Side::Above)
    }

    /// Why a session cannot be judged. What is unknown of it can only add: where the known part is over, it is over.
    fn gap(
        &self,
        facts: &Facts<'_>,
        session: &Session,
        level: Option<JudgedLevel>,
    ) -> Option<String> {
        let over = level.is_some_and(|level| level.percent > self.percent.estimate());
        if session.is_at_worst() && over {
            let lacking = || lacking(facts, session);
            return Some(session.gap.clone().unwrap_or_else(lacking));
        }
        let certain = level.is_some_and(|level| self.is_certain(level));
        session.gap.clone().filter(|_| !certain)
    }

    /// People who worked in several rooms, where that comes near a limit: (d)(1) adds up a person's whole shift.
    fn people(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let counts = |room: RoomId| self.rooms.meets(facts, Some(room)) != Match::No;
        let shifts = facts.sessions.people.iter();
        shifts
            .filter(|shift| shift.against == self.against)
            .filter(|shift| shift.rooms.iter().all(|(room, _)| counts(*room)))
            .filter_map(|shift| {
                let level = self.level(Some(shift.level), Some(shift.confirmed))?;
                (!self.is_plain(level)).then(|| self.of_person(facts, shift, level))
            })
            .collect()
    }

    fn of_person(&self, facts: &Facts<'_>, shift: &PersonShift, level: JudgedLevel) -> Judged {
        let name = shift.by.as_deref().unwrap_or("person not recorded");
        let subject = Subject::new(SubjectKind::Person, name);
        let limit = self.percent.estimate();
        let parts = shift.rooms.iter().map(|(room, part)| {
            let room = &facts.tables[*room].id;
            let shown = Estimate::new(percent(*part), "%", 0.0);
            let shown = shown.map_or_else(String::new, |part| part.shown());
            format!("{room} {shown}")
        });
        let parts: Vec<String> = parts.take(MOST_ROOMS_SHOWN).collect();
        let mut working = Working::new(facts.tables.shop.us);
        working.say(format!(
            "{name}: 8 hours with work in {} rooms, from {}: {}",
            shift.rooms.len(),
            moment(shift.from, facts.tables.shop.us),
            parts.join(" + ")
        ));
        working.say(
            "It is unknown where a person was between two entries. Each room counts as if that person stayed there.",
        );
        if shift.at_worst && level.percent > limit {
            let because = format!(
                "Record the missing exhaust in rooms.csv or the missing minutes in log.csv. At worst, {name} is over the limit."
            );
            return Judged::new(subject, Known::gap(because, shift.at.clone()), working);
        }
        let value = Compared::Estimated {
            observed: level.percent,
            error: SESSION_ERROR,
            limit,
            unit: "%",
        };
        let evidence = Evidence {
            places: shift.at.clone(),
            seen: level.seen,
            said: Vec::new(),
        };
        Judged::new(subject, Known::yes(value, evidence), working)
    }

    fn what(&self) -> &'static str {
        match self.against {
            Against::Lel => "highest sum of C / lower explosive limit, in well-mixed air",
            Against::Legal => "highest 8-hour sum of C / legal limit, in well-mixed air",
            Against::Guide => "highest 8-hour sum of C / guide value, in well-mixed air",
            Against::Short => "highest 15-minute sum of C / short-term limit, in well-mixed air",
            Against::ShortLegal => {
                "highest 15-minute sum of C / legal short-term limit or ceiling, in well-mixed air"
            }
        }
    }

    fn judged(
        &self,
        facts: &Facts<'_>,
        session: &Session,
        subject: Subject,
        level: JudgedLevel,
    ) -> Judged {
        let mut working = Working::new(facts.tables.shop.us);
        working.say(told(facts, session));
        if let Some(air) = session.air {
            working.say(air_shown(&air, facts.tables.shop.us));
        }
        working.say(self.what());
        let limit = self.percent.estimate();
        let value = Compared::Estimated {
            observed: level.percent,
            error: SESSION_ERROR,
            limit,
            unit: "%",
        };
        let outcome = Known::yes(value, self.evidence(facts, session, level));
        let mut judged = Judged::new(subject, outcome, working);
        let over = level.percent > limit;
        judged.detail = self.session_detail(facts, session, level.percent);
        judged.advice = over.then(|| self.remedy(facts, session, level.percent));
        judged
    }

    fn evidence(&self, facts: &Facts<'_>, session: &Session, level: JudgedLevel) -> Evidence {
        let mut evidence = Evidence {
            seen: level.seen,
            places: session.emissions.iter().map(|p| p.at).collect(),
            ..Evidence::none()
        };
        evidence
            .places
            .extend(session.room_in(facts.tables).map(|room| room.at));
        let partly = |gap: &String| {
            format!(
                "part of the session is unknown ({gap}); the known part alone is over the limit"
            )
        };
        evidence
            .said
            .extend(session.gap.as_ref().map(|gap| partly(gap).into()));
        for (product, _) in &session.litres {
            let (_, off) = &facts.sessions.products[*product];
            for said in &off.said {
                if !evidence.said.iter().any(|known| **known == **said) {
                    evidence.said.push(said.as_str().into());
                }
            }
            // Over confirmed limits, what is from memory takes nothing away.
            let seen = off.seen.filter(|seen| *seen != Seen::Memory);
            evidence.seen = evidence.seen.max(seen.unwrap_or(Seen::Text));
            let without = |v: &&Vapour| self.against == Against::Legal && v.limits.legal.is_none();
            for vapour in off.vapours.iter().filter(without) {
                evidence.said.push(
                    format!(
                        "{} has no legal limit and does not count in this sum",
                        vapour.name
                    )
                    .into(),
                );
            }
        }
        evidence
    }

    fn session_detail(&self, facts: &Facts<'_>, session: &Session, seen: f64) -> Detail {
        let limit = self.percent.estimate();
        let less = percent(share_of(limit, seen));
        let over = seen > limit;
        Detail::Session {
            air: match self.against {
                Against::Lel => AirLimit::Explosive,
                Against::Legal => AirLimit::Legal,
                Against::Guide => AirLimit::Recommended,
                Against::Short => AirLimit::ShortTerm,
                Against::ShortLegal => AirLimit::LegalShortTerm,
            },
            when: session.began,
            exhaust: over.then(|| self.enough_exhaust(facts, session)).flatten(),
            share: over.then(|| whole(less.floor())).flatten(),
        }
    }

    /// The exhaust that would have kept the session within the limit, in the unit of the shop.
    fn enough_exhaust(&self, facts: &Facts<'_>, session: &Session) -> Option<String> {
        let share = share(self.percent.estimate());
        let air = facts.sessions.exhaust_for(session, self.against, share);
        let symbol = if facts.tables.shop.us { "cfm" } else { "m3/h" };
        air.and_then(|air| flow_shown(air, symbol))
    }

    /// What would have met: so much air, or so much less of it.
    fn remedy(&self, facts: &Facts<'_>, session: &Session, seen: f64) -> String {
        let limit = self.percent.estimate();
        let flow = self.enough_exhaust(facts, session);
        let less = percent(share_of(limit, seen));
        let less = Estimate::new(less, "%", 0.0).map_or_else(String::new, |e| e.shown());
        let measure = match self.against {
            Against::Lel => "",
            Against::Legal | Against::Guide | Against::Short | Against::ShortLegal => {
                " This is an estimate. Have the air at the bench measured."
            }
        };
        match flow {
            Some(flow) => {
                format!("Raise the exhaust to {flow}, or use at most {less} as much.{measure}")
            }
            None => format!(
                "Use at most {less} as much, or another product. No exhaust would be enough.{measure}"
            ),
        }
    }
}

fn flow_shown(cubic_metres_an_hour: f64, symbol: &str) -> Option<String> {
    let unit = unit::find(symbol)?;
    let whole = whole(cubic_metres_an_hour.ceil())?;
    Some(format!(
        "about {}",
        in_unit(Airflow::from_base(Exact::whole(whole)).base(), unit)
    ))
}
