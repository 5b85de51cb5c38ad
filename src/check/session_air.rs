//! What the two kinds about sessions share: which sessions are shown, their working, and what would have met.

use super::kind::{Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Gap, Known, Match, RoomFilter, Working};
use crate::finding::{AirLimit, Compared, Detail, Subject, SubjectKind};
use crate::pack::Seen;
use crate::quantity::{Airflow, Exact, in_unit, unit};
use crate::text::the;
use crate::vapour::estimate::{Estimate, Side};
use crate::vapour::given_off::Vapour;
use crate::vapour::session::{Against, SESSION_ERROR, Session};

/// The sums that the sessions of the last month come to, against a share of a limit.
pub(super) struct SessionAir {
    pub(super) rooms: RoomFilter,
    pub(super) against: Against,
    pub(super) percent: Exact,
}

impl RuleCheck for SessionAir {
    /// What is plainly within the limit is shown once, with the worst session.
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let limit = self.percent.estimate();
        let mut open: Vec<Judged> = Vec::new();
        let mut gaps: Vec<(Gap, usize, Subject)> = Vec::new();
        let mut quiet: Option<(f64, Judged)> = None;
        let sessions = facts.sessions.list.iter();
        for session in sessions.filter(|s| self.rooms.meets(facts, s.room) != Match::No) {
            let subject = subject(facts, session);
            let (because, seen) = match (self.gap(facts, session), self.level(session)) {
                (Some(because), seen) => (Some(because), seen),
                // Nothing that was used counts in this sum.
                (None, None) => continue,
                (None, seen) => (None, seen),
            };
            if let Some(because) = because {
                let look: Vec<_> = session.emissions.iter().take(4).map(|p| p.at).collect();
                let mut known = gaps.iter_mut();
                match known.find(|(gap, _, s)| gap.because == because && *s == subject) {
                    Some((_, count, _)) => *count += 1,
                    None => gaps.push((Gap { because, look }, 1, subject)),
                }
                continue;
            }
            let Some(seen) = seen else { continue };
            let judged = self.judged(facts, session, subject, seen);
            let plain = Estimate::new(seen, "%", SESSION_ERROR)
                .is_some_and(|e| e.side_with(0.1, limit) == Side::Below);
            if !plain {
                open.push(judged);
            } else if quiet.as_ref().is_none_or(|(worst, _)| seen > *worst) {
                quiet = Some((seen, judged));
            }
        }
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
        None => Subject::new(SubjectKind::Room, "not known"),
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

/// What was done, in a line.
fn told(facts: &Facts<'_>, session: &Session) -> String {
    let us = facts.tables.shop.us;
    let symbol = if us { "fl oz" } else { "mL" };
    let shown: Vec<String> = session
        .litres
        .iter()
        .map(|(product, litres)| {
            let name = facts
                .sessions
                .products
                .get(*product)
                .map_or("", |(name, _)| name.as_str());
            format!(
                "{} of {name}",
                crate::vapour::component::litres_shown(*litres, symbol)
            )
        })
        .collect();
    let by = if session.by.is_empty() {
        String::new()
    } else {
        format!(", by {}", session.by.join(", "))
    };
    format!(
        "{}, {} min of work{by}: {}",
        session.initial,
        session.worked.round(),
        shown.join(", ")
    )
}

impl SessionAir {
    /// The level of a session in per cent, if anything that was used counts in this sum.
    fn level(&self, session: &Session) -> Option<f64> {
        let level = match self.against {
            Against::Lel => session.peak_lel,
            Against::Legal => session.legal,
            Against::Guide => session.guide,
            Against::Short => session.short,
        };
        level.map(crate::vapour::percent)
    }

    /// Why a session cannot be judged.
    fn gap(&self, facts: &Facts<'_>, session: &Session) -> Option<String> {
        let at_worst =
            session.air.is_some_and(|air| air.exhaust.is_none()) || session.minutes_missing;
        let limit = self.percent.estimate();
        let over = || self.level(session).is_some_and(|level| level > limit);
        session
            .gap
            .clone()
            .or_else(|| (at_worst && over()).then(|| lacking(facts, session)))
    }

    fn what(&self) -> &'static str {
        match self.against {
            Against::Lel => "highest sum of C / lower explosive limit in the well-mixed room",
            Against::Legal => {
                "worst eight hours of the sum of C / legal limit in the well-mixed room"
            }
            Against::Guide => {
                "worst eight hours of the sum of C / guide value in the well-mixed room"
            }
            Against::Short => {
                "worst fifteen minutes of the sum of C / short-term limit in the well-mixed room"
            }
        }
    }

    fn judged(&self, facts: &Facts<'_>, session: &Session, subject: Subject, seen: f64) -> Judged {
        let mut working = Working::new(facts.tables.shop.us);
        working.say(told(facts, session));
        if let Some(air) = session.air {
            working.say(crate::vapour::component::air_shown(&air));
        }
        working.say(self.what());
        let limit = self.percent.estimate();
        let value = Compared::Estimated {
            observed: seen,
            error: SESSION_ERROR,
            limit,
            unit: "%",
        };
        let outcome = Known::yes(value, self.evidence(facts, session));
        let mut judged = Judged::new(subject, outcome, working);
        judged.detail = self.session_detail(facts, session, seen);
        judged.advice = (seen > limit).then(|| self.remedy(facts, session, seen));
        judged
    }

    fn evidence(&self, facts: &Facts<'_>, session: &Session) -> Evidence {
        let mut evidence = Evidence {
            places: session.emissions.iter().map(|p| p.at).collect(),
            ..Evidence::none()
        };
        evidence
            .places
            .extend(session.room_in(facts.tables).map(|room| room.at));
        evidence.said.push(told(facts, session));
        for (product, _) in &session.litres {
            let Some((_, Ok(off))) = facts.sessions.products.get(*product) else {
                continue;
            };
            for said in &off.said {
                if !evidence.said.contains(said) {
                    evidence.said.push(said.clone());
                }
            }
            evidence.seen = evidence.seen.max(off.seen.unwrap_or(Seen::Text));
            let without = |v: &&Vapour| self.against == Against::Legal && v.legal.is_none();
            for vapour in off.vapours.iter().filter(without) {
                evidence.said.push(format!(
                    "{} has no legal limit and does not count in this sum",
                    vapour.name
                ));
            }
        }
        evidence
    }

    fn session_detail(&self, facts: &Facts<'_>, session: &Session, seen: f64) -> Detail {
        let limit = self.percent.estimate();
        let less = crate::vapour::percent(crate::vapour::share_of(limit, seen));
        let over = seen > limit;
        Detail::Session {
            air: match self.against {
                Against::Lel => AirLimit::Explosive,
                Against::Legal => AirLimit::Legal,
                Against::Guide => AirLimit::Recommended,
                Against::Short => AirLimit::ShortTerm,
            },
            when: session.initial,
            exhaust: over.then(|| self.enough_exhaust(facts, session)).flatten(),
            share: over
                .then(|| crate::vapour::component::whole(less.floor()))
                .flatten(),
        }
    }

    /// The exhaust that would have kept the session within the limit, in the unit of the shop.
    fn enough_exhaust(&self, facts: &Facts<'_>, session: &Session) -> Option<String> {
        let share = crate::vapour::share(self.percent.estimate());
        let air = facts.sessions.exhaust_for(session, self.against, share);
        let symbol = if facts.tables.shop.us { "cfm" } else { "m3/h" };
        air.and_then(|air| flow_shown(air, symbol))
    }

    /// What would have met: so much air, or so much less of it.
    fn remedy(&self, facts: &Facts<'_>, session: &Session, seen: f64) -> String {
        let limit = self.percent.estimate();
        let flow = self.enough_exhaust(facts, session);
        let less = crate::vapour::percent(crate::vapour::share_of(limit, seen));
        let less = Estimate::new(less, "%", 0.0).map_or_else(String::new, |e| e.shown());
        let measure = match self.against {
            Against::Lel => "",
            Against::Legal | Against::Guide | Against::Short => {
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
    let whole = crate::vapour::component::whole(cubic_metres_an_hour.ceil())?;
    Some(format!(
        "about {}",
        in_unit(Airflow::of(Exact::whole(whole)).base(), unit)
    ))
}
