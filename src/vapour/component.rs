//! A session looked at closely: each substance by itself, the course of it, and the exhaust that would have met.

use super::estimate::Estimate;
use super::given_off::Vapour;
use super::history::History;
use super::release::{MolarVolume, ppm_from_mg};
use super::session::{
    Against, MOST_SEARCHED, QUARTER_HOUR, RoomAir, SHIFT, Session, Sessions, THROUGH_CRACKS,
    releases,
};
use super::well_mixed::{Release, Room};

/// One substance in a session.
#[derive(Clone, Debug)]
pub struct Component {
    /// Its name.
    pub name: String,
    /// The highest level, ppm.
    pub peak_ppm: f64,
    /// The worst fifteen minutes, ppm.
    pub quarter_ppm: f64,
    /// The worst eight hours, ppm.
    pub shift_ppm: f64,
    /// The legal limit, ppm.
    pub legal_ppm: Option<f64>,
    /// The guide value, ppm.
    pub guide_ppm: Option<f64>,
    /// The limit for a quarter of an hour, ppm.
    pub short_ppm: Option<f64>,
    /// The lower explosive limit, ppm.
    pub lel_ppm: Option<f64>,
}

impl Sessions {
    /// Every substance of a session by itself.
    pub fn components(&self, session: &Session) -> Vec<Component> {
        let Some(room) = session.air.and_then(|air| air.room()) else {
            return Vec::new();
        };
        let mut names: Vec<&Vapour> = Vec::new();
        for (product, _) in &session.litres {
            if let Some((_, Ok(off))) = self.products.get(*product) {
                names.extend(
                    off.vapours
                        .iter()
                        .filter(|v| !names.iter().any(|n| n.name == v.name))
                        .collect::<Vec<_>>(),
                );
            }
        }
        names
            .into_iter()
            .filter_map(|vapour| self.component(session, vapour, &room))
            .collect()
    }

    fn component(&self, session: &Session, vapour: &Vapour, room: &Room) -> Option<Component> {
        let history = self.history_of(session, &vapour.name, room)?;
        let ppm = |mg: f64| ppm_from_mg(mg, vapour.molar, MolarVolume::Printed25);
        Some(Component {
            name: vapour.name.clone(),
            peak_ppm: ppm(history.peak().level)?,
            quarter_ppm: ppm(history.worst_mean(QUARTER_HOUR)?.level)?,
            shift_ppm: ppm(history.worst_mean(SHIFT)?.level)?,
            legal_ppm: vapour.legal.and_then(ppm),
            guide_ppm: vapour.guide.and_then(ppm),
            short_ppm: vapour.short.and_then(ppm),
            lel_ppm: vapour.lel.map(|lel| lel * 10_000.0),
        })
    }

    fn history_of(&self, session: &Session, name: &str, room: &Room) -> Option<History> {
        let mut list = Vec::new();
        for emission in &session.emissions {
            let Some((_, Ok(off))) = self.products.get(emission.product) else {
                continue;
            };
            for vapour in off.vapours.iter().filter(|v| v.name == name) {
                list.push(Release {
                    start: emission.start,
                    minutes: f64::from(emission.minutes.unwrap_or(0)),
                    mass: emission.litres * vapour.milligrams,
                    drying: vapour.drying,
                });
            }
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
            &releases(&session.emissions, &self.products, against),
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

    /// The exhaust, m³/h, with which the session's own vapour would have met a level: the peak for the explosive limit,
    /// the worst quarter of an hour for short-term limits, the worst eight hours for the others. `None` where no exhaust up to a thousand changes an hour would.
    pub fn exhaust_for(&self, session: &Session, against: Against, level: f64) -> Option<f64> {
        let air = session.air?;
        let list = releases(&session.emissions, &self.products, against);
        let reached = |exhaust: f64| {
            let history = History::new(&air.with(exhaust)?, &list)?;
            match against {
                Against::Lel => Some(history.peak().level),
                Against::Legal | Against::Guide => history.worst_mean(SHIFT).map(|m| m.level),
                Against::Short => history.worst_mean(QUARTER_HOUR).map(|m| m.level),
            }
        };
        if session.emissions.len() > MOST_SEARCHED {
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

/// Litres as an estimate in fl oz or mL, for a line of text.
pub fn litres_shown(litres: f64, symbol: &str) -> String {
    let (value, unit) = if symbol == "fl oz" {
        (litres / 0.029_573_529_562_5, "fl oz")
    } else {
        (litres * 1000.0, "mL")
    };
    Estimate::new(value, unit, 0.0).map_or_else(String::new, |e| {
        e.shown().trim_start_matches("about ").to_string()
    })
}

/// The air of a room in a line of text.
pub fn air_shown(air: &RoomAir) -> String {
    let exhaust = air.exhaust.map_or_else(
        || "exhaust not known, counted as none".to_string(),
        |q| format!("exhaust {:.0} m3/h ({:.0} cfm)", q, q / 1.699_010_795_52),
    );
    let changes = air.room().map_or(0.0, |room| room.changes_per_hour());
    format!(
        "room of {:.1} m3, {exhaust}, {THROUGH_CRACKS} changes an hour through cracks (assumed), divided by K = {}: {:.2} \
         changes an hour that count",
        air.volume, air.mixing, changes
    )
}

/// A whole number of what is shown, where it is one.
pub fn whole(value: f64) -> Option<i64> {
    format!("{value:.0}").parse().ok()
}
