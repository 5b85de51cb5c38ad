//! A session looked at closely: each substance by itself, the course of it, and the exhaust that would have met.

use super::against::{Against, Limits, PerLimit, SHIFT};
use super::conversion::{MolarVolume, ppm_from_mg};
use super::given_off::Vapour;
use super::history::History;
use super::session::{DAY, Emission, MOST_SEARCHED, Session, Sessions, releases};
use super::well_mixed::{WEEK, WellMixedRoom};

/// One substance in a session.
#[derive(Clone, Debug)]
pub struct Component {
    pub name: String,
    /// The highest level, ppm.
    pub peak_ppm: f64,
    /// The worst fifteen minutes, ppm.
    pub quarter_ppm: f64,
    /// The worst eight hours, ppm.
    pub shift_ppm: f64,
    /// Its limits, ppm.
    pub limits_ppm: PerLimit,
}

impl Sessions {
    /// What was used in a session, by the name of the product.
    pub fn used<'s>(&'s self, session: &Session) -> Vec<(&'s str, f64)> {
        let mut used: Vec<(&str, f64)> = Vec::new();
        for (product, litres) in &session.litres {
            let name = self.products[*product].0.as_str();
            match used.iter_mut().find(|(known, _)| *known == name) {
                Some((_, sum)) => *sum += litres,
                None => used.push((name, *litres)),
            }
        }
        used
    }

    /// Every substance of a session by itself.
    pub fn components(&self, session: &Session) -> Vec<Component> {
        let Some(room) = session.air.and_then(|air| air.room()) else {
            return Vec::new();
        };
        let mut names: Vec<&Vapour> = Vec::new();
        for (product, _) in &session.litres {
            for vapour in &self.products[*product].1.vapours {
                if !names.iter().any(|known| known.name == vapour.name) {
                    names.push(vapour);
                }
            }
        }
        names
            .into_iter()
            .filter_map(|vapour| self.component(session, vapour, &room))
            .collect()
    }

    fn component(
        &self,
        session: &Session,
        vapour: &Vapour,
        room: &WellMixedRoom,
    ) -> Option<Component> {
        let span = self.stretch(session, WEEK);
        let history = self.history_of(&span, &vapour.name, room)?;
        let ppm = |mg: f64| ppm_from_mg(mg, vapour.molar, MolarVolume::Printed25);
        let worst = |against: Against| ppm(span.worst(&history, against)?);
        let limit = |against| match against {
            Against::Lel => vapour.limits.lel.map(|lel| lel * 10_000.0),
            Against::Legal | Against::Guide | Against::Short | Against::ShortLegal => {
                vapour.limits.get(against).and_then(ppm)
            }
        };
        Some(Component {
            name: vapour.name.clone(),
            peak_ppm: worst(Against::Lel)?,
            quarter_ppm: worst(Against::Short)?,
            shift_ppm: worst(Against::Legal)?,
            limits_ppm: PerLimit::each(limit),
        })
    }

    /// A session's part of the month, with what was used in the room before it and may still hang there.
    fn stretch<'s>(&'s self, session: &'s Session, before: f64) -> SessionStretch<'s> {
        let from = session.start();
        let last = from + session.worked;
        let mine = |other: &&Session| other.room == session.room && session.room.is_some();
        let mut emissions: Vec<&Emission> = Vec::new();
        let mut until = last + 2.0 * SHIFT;
        for other in self.list.iter().filter(mine) {
            if other.start() > from {
                until = until.min(other.start());
            } else if other.start() < from && other.end() >= from - before {
                emissions.extend(&other.emissions);
            }
        }
        emissions.extend(&session.emissions);
        SessionStretch {
            emissions,
            from,
            until: until.max(from),
        }
    }

    fn history_of(
        &self,
        span: &SessionStretch<'_>,
        name: &str,
        room: &WellMixedRoom,
    ) -> Option<History> {
        let mut list = Vec::new();
        for emission in &span.emissions {
            let (_, off) = &self.products[emission.product];
            let vapours = off.vapours.iter().filter(|v| v.name == name);
            list.extend(vapours.map(|vapour| emission.release(vapour, 1.0)));
        }
        History::new(room, &list)
    }

    /// The sum of a session over time, as pairs of minutes from its beginning and level, for a plot.
    pub fn course(&self, session: &Session, against: Against, steps: u32) -> Vec<(f64, f64)> {
        let Some(room) = session.air.and_then(|air| air.room()) else {
            return Vec::new();
        };
        let Some(history) = History::new(
            &room,
            &releases(&session.emissions, &self.products, against, Limits::All),
        ) else {
            return Vec::new();
        };
        let from = session.emissions.first().map_or(0.0, |p| p.start);
        let length = session
            .clear_after
            .unwrap_or(session.worked + 240.0)
            .max(session.worked + 60.0)
            .clamp(30.0, 24.0 * 60.0);
        (0..=steps)
            .filter_map(|step| {
                let minute = length * f64::from(step) / f64::from(steps.max(1));
                Some((minute, history.level_at(from + minute)?))
            })
            .collect()
    }

    /// The exhaust, m³/h, with which the session would have met a level, with what was used in the room on the day before:
    /// the peak for the explosive limit, the worst quarter of an hour for short-term limits, the worst eight hours for the
    /// others. `None` where no exhaust up to a thousand changes an hour would.
    pub fn exhaust_for(&self, session: &Session, against: Against, level: f64) -> Option<f64> {
        let air = session.air?;
        let span = self.stretch(session, DAY);
        let used = span.emissions.iter().copied();
        let list = releases(used, &self.products, against, Limits::All);
        let reached = |exhaust: f64| {
            let history = History::new(&air.with(exhaust)?, &list)?;
            span.worst(&history, against)
        };
        if span.emissions.len() > MOST_SEARCHED {
            let now = reached(air.exhaust.unwrap_or(0.0))?;
            return Some((air.exhaust.unwrap_or(0.0) + air.cracks) * now / level);
        }
        let (mut low, mut high) = (0.0, air.volume * 900.0);
        if reached(low)? <= level {
            return Some(low);
        }
        if reached(high)? > level {
            return None;
        }
        for _ in 0..48 {
            let middle = (low + high) / 2.0;
            if reached(middle)? > level {
                low = middle
            } else {
                high = middle
            }
        }
        Some(high)
    }
}

/// A session's part of the month of its room.
struct SessionStretch<'s> {
    emissions: Vec<&'s Emission>,
    from: f64,
    until: f64,
}

impl SessionStretch<'_> {
    /// The highest level, or the worst mean over the minutes that the limit is made for.
    fn worst(&self, history: &History, against: Against) -> Option<f64> {
        let highest = match against.minutes() {
            Some(minutes) => history.worst_mean_ending(minutes, self.from, self.until),
            None => history.peak_between(self.from, self.until),
        };
        highest.map(|highest| highest.level)
    }
}
