//! What the two kinds about sessions share: which sessions are shown, their working, and what would have met.

use super::Judged;
use crate::fact::{Evidence, Fact, Facts, Gap, Known, Working};
use crate::finding::{Compared, Subject, SubjectKind};
use crate::pack::Seen;
use crate::quantity::{Airflow, Exact, in_unit, unit};
use crate::vapour::estimate::{Estimate, Side};
use crate::vapour::session::{Against, SESSION_ERROR, Session};

/// Judges every session of the month against a share of a limit, in per cent; what plainly meets is told once.
pub(super) fn judge(
    facts: &Facts<'_>,
    rooms: impl Fn(Option<usize>) -> bool,
    against: Against,
    percent: Exact,
    level: impl Fn(&Session) -> Option<f64>,
) -> Vec<Judged> {
    let limit = percent.estimate();
    let mut open: Vec<Judged> = Vec::new();
    let mut gaps: Vec<(Gap, usize, Subject)> = Vec::new();
    let mut quiet: Option<(f64, Judged)> = None;
    for session in facts
        .sessions
        .list
        .iter()
        .filter(|session| rooms(session.room))
    {
        let subject = subject(facts, session);
        let seen = level(session).map(crate::vapour::percent);
        let at_worst =
            session.air.is_some_and(|air| air.exhaust.is_none()) || session.minutes_missing;
        let gap = match (&session.gap, seen) {
            (Some(why), _) => Some(why.clone()),
            // Nothing that was used counts in this sum.
            (None, None) => continue,
            (None, Some(seen)) if at_worst && seen > limit => Some(lacking(facts, session)),
            (None, Some(_)) => None,
        };
        if let Some(because) = gap {
            let look: Vec<_> = session.emissions.iter().take(4).map(|p| p.at).collect();
            match gaps
                .iter_mut()
                .find(|(gap, _, s)| gap.because == because && *s == subject)
            {
                Some((_, count, _)) => *count += 1,
                None => gaps.push((Gap { because, look }, 1, subject)),
            }
            continue;
        }
        let Some(seen) = seen else { continue };
        let judged = judged(facts, session, subject, against, seen, limit);
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
            gap.because = format!("{} ({count} sessions of the month)", gap.because);
        }
        Judged::new(subject, Known::No(gap), Working::new(facts.tables.shop.us))
    }));
    open
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
            "the exhaust of the room `{room}` is not known; measure it and give it in rooms.csv"
        )
    } else {
        "how long the work took is not logged; give minutes in log.csv".to_string()
    }
}

/// What was done, in a line.
pub fn told(facts: &Facts<'_>, session: &Session) -> String {
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

fn judged(
    facts: &Facts<'_>,
    session: &Session,
    subject: Subject,
    against: Against,
    seen: f64,
    limit: f64,
) -> Judged {
    let mut working = Working::new(facts.tables.shop.us);
    working.say(told(facts, session));
    if let Some(air) = session.air {
        working.say(crate::vapour::component::air_shown(&air));
    }
    working.say(match against {
        Against::Lel => {
            "highest sum of C / lower explosive limit in the well-mixed room".to_string()
        }
        Against::Legal => {
            "worst eight hours of the sum of C / legal limit in the well-mixed room".to_string()
        }
        Against::Guide => {
            "worst eight hours of the sum of C / guide value in the well-mixed room".to_string()
        }
        Against::Short => {
            "worst fifteen minutes of the sum of C / short-term limit in the well-mixed room"
                .to_string()
        }
    });
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
        evidence.said.extend(
            off.said
                .iter()
                .filter(|s| !evidence.said.contains(s))
                .cloned()
                .collect::<Vec<_>>(),
        );
        evidence.seen = evidence.seen.max(off.seen.unwrap_or(Seen::Text));
        for vapour in off
            .vapours
            .iter()
            .filter(|v| against == Against::Legal && v.legal.is_none())
        {
            evidence.said.push(format!(
                "{} has no legal limit and does not count in this sum",
                vapour.name
            ));
        }
    }
    let value = Compared::Estimated {
        observed: seen,
        error: SESSION_ERROR,
        limit,
        unit: "%",
    };
    let over = seen > limit;
    let mut judged = Judged::new(subject, Known::Yes(Fact { value, evidence }), working);
    judged.advice = over.then(|| remedy(facts, session, against, seen, limit));
    judged
}

/// What would have met: so much air, or so much less of it.
fn remedy(facts: &Facts<'_>, session: &Session, against: Against, seen: f64, limit: f64) -> String {
    let air = facts
        .sessions
        .exhaust_for(session, against, crate::vapour::share(limit));
    let symbol = if facts.tables.shop.us { "cfm" } else { "m3/h" };
    let by_air = air.and_then(|air| flow_shown(air, symbol)).map(|flow| {
        format!(
            "With an exhaust of {flow} the session of {} would have met this",
            session.initial
        )
    });
    let less = Estimate::new(
        crate::vapour::percent(crate::vapour::share_of(limit, seen)),
        "%",
        0.0,
    )
    .map_or_else(String::new, |e| e.shown());
    let by_amount = format!("with {less} of what was used, too");
    let measure = match against {
        Against::Lel => "",
        Against::Legal | Against::Guide | Against::Short => {
            " Have the air at the bench measured; this is an estimate."
        }
    };
    match by_air {
        Some(by_air) => format!("{by_air}; {by_amount}.{measure}"),
        None => format!(
            "No exhaust would have met this; use {less} of the amount, or another product.{measure}"
        ),
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
