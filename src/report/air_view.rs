//! The sessions as every format shows them, worst first, and the plot of one of them.
#![allow(clippy::float_arithmetic, reason = "means of estimates, for a picture")]

use super::chart::{Chart, Curve};
use super::plot::{PlottedCourse, course, svg};
use super::share::share_words;
use crate::quantity::when::short_moment;
use crate::quantity::{Day, Moment};
use crate::record::{Room, ShopTables};
use crate::vapour::against::{Against, QUARTER};
use crate::vapour::session::{Session, Sessions};
use crate::vapour::shown::{figures, passes_a_limit, poured, worst_first};

/// Most sessions shown; the others are counted.
pub const MOST_SESSIONS: usize = 40;
/// Points of a curve in the plot.
pub(super) const POINTS: u32 = 240;

/// Sessions, worst first.
pub struct AirView<'a> {
    pub tables: &'a ShopTables,
    pub sessions: &'a Sessions,
    /// The day up to which they go.
    pub on: Day,
    /// Their positions, worst first.
    order: Vec<usize>,
}

impl<'a> AirView<'a> {
    /// Puts the sessions in order.
    pub fn new(tables: &'a ShopTables, sessions: &'a Sessions, on: Day) -> AirView<'a> {
        let order = worst_first(&sessions.list);
        AirView {
            tables,
            sessions,
            on,
            order,
        }
    }

    /// Worst first, at most so many.
    pub fn worst(&self, most: usize) -> impl Iterator<Item = &'a Session> {
        let list = &self.sessions.list;
        self.order
            .iter()
            .take(most)
            .filter_map(move |at| list.get(*at))
    }

    /// How many are not among the first so many.
    pub fn left_out(&self, most: usize) -> usize {
        self.order.len().saturating_sub(most)
    }

    /// Is any session over a confirmed limit, of law or of advice, or is one unknown? Or anyone over all rooms together?
    pub fn calls(&self) -> bool {
        let list = &self.sessions.list;
        list.iter()
            .any(|session| passes_a_limit(session) || session.gap.is_some())
            || self
                .sessions
                .people
                .iter()
                .any(|shift| shift.confirmed > 1.0)
    }

    /// The room of a session.
    pub fn room(&self, session: &Session) -> Option<&'a Room> {
        session.room_in(self.tables)
    }

    /// What was used, in a line.
    pub fn used(&self, session: &Session) -> String {
        let us = self.tables.shop.us;
        let used = self.sessions.used(session).into_iter();
        let shown = used.map(|(product, litres)| format!("{} of {product}", poured(litres, us)));
        shown.collect::<Vec<_>>().join(", ")
    }
}

/// What the worst session or a plan did to the air over time, as SVG; `None` where there is no course to draw.
pub fn air_svg(air: &AirView<'_>, planned: bool) -> Option<String> {
    chart(air, planned).as_ref().and_then(svg)
}

/// The same of the month's worst session, for a page.
pub(super) fn air_course(air: &AirView<'_>) -> Option<PlottedCourse> {
    chart(air, false).as_ref().and_then(course)
}

/// The mean over the minutes that each limit is made for, as a share of it.
const MEANS: [(Against, f64, &str); 3] = [
    (Against::Short, 15.0, "short-term limit (15 min)"),
    (Against::Legal, 480.0, "8-hour limit"),
    (Against::Guide, 480.0, "8-hour guide value"),
];

fn chart(air: &AirView<'_>, planned: bool) -> Option<Chart> {
    let session = air
        .worst(usize::MAX)
        .find(|session| session.gap.is_none() && session.all.lel.or(session.all.legal).is_some())?;
    let room = air.room(session).map_or("", |room| room.id.as_str());
    let what = match planned {
        true => format!("Plan for {room}: {}.", air.used(session)),
        false => {
            let start = session.began;
            let when = short_moment(start, air.on, air.tables.shop.us);
            format!("{room}, {when}: {}.", air.used(session))
        }
    };
    let curves = MEANS.into_iter().filter_map(|(against, minutes, name)| {
        let points = means(&air.sessions.course(session, against, POINTS), minutes);
        (!points.is_empty()).then(|| Curve {
            name: name.to_string(),
            points,
        })
    });
    let parts: Vec<String> = air
        .sessions
        .components(session)
        .iter()
        .map(|part| format!("{} at most about {} ppm", part.name, figures(part.peak_ppm)))
        .collect();
    let lel = session.all.lel.map(|share| {
        format!(
            " The highest share of the lower explosive limit (LEL) is {}; {} counts as hazardous.",
            share_words(share),
            share_words(QUARTER)
        )
    });
    let since_midnight = session
        .began
        .minutes_since(Moment::start_of(session.began.day()));
    Some(Chart {
        title: what,
        below: format!(
            "An estimate for well-mixed air: {}.{} At the bench it is worse.",
            parts.join(", "),
            lel.unwrap_or_default()
        ),
        curves: curves.collect(),
        day: (!planned).then(|| session.began.day()),
        start: i32::try_from(since_midnight).map_or(0.0, f64::from),
        worked: session.worked,
        us: air.tables.shop.us,
    })
}

/// The mean of a course over the minutes before each of its points; the air was clear before it.
fn means(course: &[(f64, f64)], minutes: f64) -> Vec<(f64, f64)> {
    let mut areas: Vec<(f64, f64)> = Vec::with_capacity(course.len());
    let (mut area, mut last) = (0.0, None);
    for (minute, level) in course {
        if let Some((before, earlier)) = last {
            area += (minute - before) * f64::midpoint(*level, earlier);
        }
        areas.push((*minute, area));
        last = Some((*minute, *level));
    }
    let until = |minute: f64| {
        let at = areas.partition_point(|(there, _)| *there <= minute);
        let before = at.checked_sub(1).and_then(|at| areas.get(at));
        match (before, areas.get(at)) {
            (Some((from, area)), Some((to, more))) => {
                area + (more - area) * (minute - from) / (to - from)
            }
            (Some((_, area)), None) => *area,
            (None, _) => 0.0,
        }
    };
    let mean = |(minute, area): &(f64, f64)| (*minute, (area - until(minute - minutes)) / minutes);
    areas.iter().map(mean).collect()
}

#[cfg(test)]
mod tests {
    use super::means;

    #[test]
    fn a_mean_counts_what_came_before() {
        let course: Vec<(f64, f64)> = (0..=60).map(|minute| (f64::from(minute), 2.0)).collect();
        let means = means(&course, 15.0);
        let at = |minute: usize| means[minute].1;
        assert!((at(0) - 0.0).abs() < 1e-9);
        assert!((at(6) - 0.8).abs() < 1e-9, "six of fifteen minutes");
        assert!((at(40) - 2.0).abs() < 1e-9);
    }
}
