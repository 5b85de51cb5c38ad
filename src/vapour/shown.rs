//! The figures of a session as they are shown: to three figures, in the shop's units, worst first, and as a small course.

use super::against::{Against, PerLimit, QUARTER};
use super::conversion::{LITRES_PER_CUBIC_FOOT, LITRES_PER_GALLON, MolarVolume, mg_from_ppm};
use super::estimate::{Estimate, Side};
use super::given_off::Vapour;
use super::session::{RoomAir, SESSION_ERROR, Session, THROUGH_CRACKS};
use super::whole;
use crate::quantity::{Dimension, Measure};
use crate::record::{ShopTables, Stated};

/// m³/h in a cubic foot a minute, exact.
pub const CUBIC_METRES_PER_CFM: f64 = 1.699_010_795_52;
/// How many steps a course on the screen has.
const EIGHTHS: [f64; 8] = [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875];

/// Less than this of anything is shown as this much: a millionth of a limit, a ppm or a per cent means nothing.
const LEAST_SHOWN: f64 = 1.0e-6;

/// Three significant figures, without the word "about".
pub fn figures(value: f64) -> String {
    bare(value, |estimate| estimate.shown())
}

/// As `figures`, on the same side of the limit as the value.
pub fn figures_against(value: f64, limit: f64) -> String {
    bare(value, |estimate| estimate.shown_against(limit))
}

fn bare(value: f64, shown: impl Fn(&Estimate) -> String) -> String {
    if value > 0.0 && value < LEAST_SHOWN {
        return "0.000001".to_string();
    }
    Estimate::new(value, "", 0.0).map_or_else(
        || "?".to_string(),
        |estimate| shown(&estimate).trim_start_matches("about ").to_string(),
    )
}

/// A number that was given, without the zeros at its end: `2`, `1.5`.
pub fn given(value: f64) -> String {
    let shown = figures(value);
    if !shown.contains('.') {
        return shown;
    }
    shown
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_string()
}

/// An airflow in the shop's unit, from m³/h: "about 250 cfm".
pub fn flow_shown(flow: f64, us: bool) -> String {
    let (value, unit) = if us {
        (flow / CUBIC_METRES_PER_CFM, "cfm")
    } else {
        (flow, "m³/h")
    };
    format!("about {} {unit}", figures(value))
}

/// A volume of air in the shop's unit, from m³.
pub fn volume_shown(volume: f64, us: bool) -> String {
    if us {
        format!("{} ft³", figures(volume * 1000.0 / LITRES_PER_CUBIC_FOOT))
    } else {
        format!("{} m³", figures(volume))
    }
}

/// A height in the shop's unit, from metres.
pub fn height_shown(metres: f64, us: bool) -> String {
    if us {
        format!("{} ft", figures(metres / 0.3048))
    } else {
        format!("{} m", figures(metres))
    }
}

/// Litres in the unit in which a shop pours so much.
pub fn poured(litres: f64, us: bool) -> String {
    let gallons = litres / LITRES_PER_GALLON;
    let (number, unit) = match us {
        // A little less, because a quart may come out of its litres a hair short.
        true if gallons > 0.999_999 => (gallons, "gal"),
        true if gallons > 0.249_999 => (gallons * 4.0, "qt"),
        true => (gallons * 128.0, "fl oz"),
        false if litres >= 1.0 => (litres, "L"),
        false => (litres * 1000.0, "mL"),
    };
    format!("{} {unit}", given(number))
}

/// Litres used, in fl oz or mL.
pub fn litres_shown(litres: f64, us: bool) -> String {
    match us {
        true => format!("{} fl oz", figures(litres / LITRES_PER_GALLON * 128.0)),
        false => format!("{} mL", figures(litres * 1000.0)),
    }
}

/// The air of a room in a line of text, in the shop's units.
pub fn air_shown(air: &RoomAir, us: bool) -> String {
    let exhaust = air.exhaust.map_or_else(
        || "unknown exhaust (counted as none)".to_string(),
        |flow| {
            format!(
                "exhaust {}",
                flow_shown(flow, us).trim_start_matches("about ")
            )
        },
    );
    let changes = air.room().map_or(0.0, |room| room.changes_per_hour());
    format!(
        "room of {}, {exhaust}, {THROUGH_CRACKS} air changes per hour through cracks (assumed), divided by K = {}: {} \
         effective air changes per hour",
        volume_shown(air.volume, us),
        given(air.mixing),
        figures(changes)
    )
}

/// Air changes an hour by the exhaust alone, if it is known.
pub fn changes_by_exhaust(air: &RoomAir) -> Option<f64> {
    super::finite(air.exhaust? / air.volume)
}

/// Minutes from the end of the work until a tenth of every limit is no longer passed.
pub fn after_work(session: &Session) -> Option<f64> {
    session
        .clear_after
        .map(|minutes| (minutes - session.worked).max(0.0))
}

/// Over a legal sum of 1, for eight hours or a quarter of one, or over a quarter of the lower explosive limit.
pub fn is_over(session: &Session) -> bool {
    let law = [Against::Legal, Against::ShortLegal, Against::Lel];
    law.into_iter()
        .any(|against| is_over_limit(&session.all, against))
}

fn is_over_limit(sums: &PerLimit, against: Against) -> bool {
    sums.get(against).is_some_and(|sum| sum > against.full())
}

/// Over any sum, of law or of advice, by confirmed limits alone: one from memory may warn and never fails.
pub fn passes_a_limit(session: &Session) -> bool {
    let mut all = Against::ALL.into_iter();
    all.any(|against| is_over_limit(&session.confirmed, against))
}

/// So close to a limit, of law or of advice, that the error of the estimate reaches it, or nearly.
pub fn is_close(session: &Session) -> bool {
    let close = |against: Against| {
        let level = session.all.get(against)?;
        let estimate = Estimate::new(level, "", SESSION_ERROR)?;
        Some(estimate.side_with(0.1, against.full()) != Side::Below)
    };
    let kinds = [Against::Lel, Against::Legal, Against::Guide, Against::Short];
    kinds.into_iter().filter_map(close).any(|is_close| is_close)
}

/// The nearest that a session comes to a value of advice, 1 for just at it.
fn nearest_advice(session: &Session) -> f64 {
    let (guide, short) = (
        session.all.guide.unwrap_or(0.0),
        session.all.short.unwrap_or(0.0),
    );
    guide.max(short)
}

/// Sorts sessions by what is worst: over a limit first, then what cannot be told, then by the nearest limit, of law or of
/// advice.
pub fn worst_first(list: &[Session]) -> Vec<usize> {
    let near = |session: &Session| {
        let fire = session.all.lel.unwrap_or(0.0) / QUARTER;
        let short_legal = session.all.short_legal.unwrap_or(0.0);
        let law = session.all.legal.unwrap_or(0.0).max(short_legal).max(fire);
        // What is over the law is reported apart by that alone.
        match is_over(session) {
            true => law,
            false => law.max(nearest_advice(session)),
        }
    };
    let stage = |session: &Session| match (is_over(session), session.gap.is_some()) {
        (true, _) => 0,
        (false, true) => 1,
        (false, false) => 2,
    };
    let mut keyed: Vec<(usize, (i32, f64, f64))> = list
        .iter()
        .enumerate()
        .map(|(at, s)| (at, (stage(s), near(s), s.all.guide.unwrap_or(0.0))))
        .collect();
    keyed.sort_by(|(_, a), (_, b)| {
        a.0.cmp(&b.0)
            .then(b.1.total_cmp(&a.1))
            .then(b.2.total_cmp(&a.2))
    });
    keyed.into_iter().map(|(at, _)| at).collect()
}

/// The highest level of a course.
pub fn highest(course: &[(f64, f64)]) -> Option<f64> {
    course
        .iter()
        .map(|(_, level)| *level)
        .filter(|level| level.is_finite())
        .max_by(f64::total_cmp)
}

/// The levels of a course in eighths of its highest, 0 for none at all.
pub fn eighths(course: &[(f64, f64)]) -> Vec<usize> {
    let top = highest(course).unwrap_or(0.0);
    course
        .iter()
        .map(|(_, level)| EIGHTHS.iter().filter(|step| *level > top * **step).count())
        .collect()
}

/// Whole minutes, rounded up.
pub fn minutes_up(minutes: f64) -> Option<i64> {
    whole(minutes.ceil())
}

/// Whole minutes, rounded.
pub fn minutes_near(minutes: f64) -> Option<i64> {
    whole(minutes.round())
}

/// Who states the limit that counts: the strictest, and of equals the first.
pub fn stated<'b>(tables: &'b ShopTables, vapour: &Vapour, against: Against) -> Option<&'b Stated> {
    let material = tables.materials.find(&vapour.name)?;
    let mut best: Option<(f64, &Stated)> = None;
    for stated in against
        .properties()
        .iter()
        .flat_map(|name| material.all(name))
    {
        let read = |dimension| {
            let measure = Measure::parse_as(&stated.value, dimension).ok()?;
            Some(measure.base.estimate())
        };
        let level = match against {
            Against::Lel => read(Dimension::Share),
            Against::Legal | Against::Guide | Against::Short | Against::ShortLegal => {
                read(Dimension::MassInAir).or_else(|| {
                    mg_from_ppm(read(Dimension::Ppm)?, vapour.molar, MolarVolume::Printed25)
                })
            }
        };
        if let Some(level) = level
            && best.is_none_or(|(least, _)| level < least)
        {
            best = Some((level, stated));
        }
    }
    best.map(|(_, stated)| stated)
}
