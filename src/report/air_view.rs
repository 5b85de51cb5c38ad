//! The sessions as every format shows them, worst first, and the plot of one of them.

use super::plot::{Chart, Course, Curve, LimitLine, course, svg};
use crate::quantity::Day;
use crate::record::{Room, ShopTables};
use crate::vapour::session::{Against, Session, Sessions};
use crate::vapour::shown::{QUARTER, figures, passes_a_limit, poured, worst_first};

/// Most sessions shown; the others are counted.
pub const MOST_SESSIONS: usize = 40;
/// Points of a curve in the plot.
pub(super) const POINTS: u32 = 240;

/// Sessions, worst first.
pub struct AirView<'a> {
    /// The tables.
    pub tables: &'a ShopTables,
    /// The sessions.
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

    /// Is any session over a limit, of law or of advice, or can one not be told? Or anybody over all rooms together?
    pub fn calls(&self) -> bool {
        let list = &self.sessions.list;
        list.iter()
            .any(|session| passes_a_limit(session) || session.gap.is_some())
            || self.sessions.people.iter().any(|shift| shift.level > 1.0)
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
    charted(air, planned, svg)
}

/// The same of the month's worst session, for a page.
pub(super) fn air_course(air: &AirView<'_>) -> Option<Course> {
    charted(air, false, course)
}

fn charted<T>(
    air: &AirView<'_>,
    planned: bool,
    draw: impl FnOnce(&Chart<'_>) -> Option<T>,
) -> Option<T> {
    let session = air
        .worst(usize::MAX)
        .find(|session| session.gap.is_none() && session.peak_lel.or(session.legal).is_some())?;
    let room = air.room(session).map_or("", |room| room.id.as_str());
    let what = if planned {
        format!("Plan for {room}: {}", air.used(session))
    } else {
        format!("{room}, {}: {}", session.initial, air.used(session))
    };
    let curve = |name, against| Curve {
        name,
        points: air.sessions.course(session, against, POINTS),
    };
    let curves = [
        curve("sum over legal limits", Against::Legal),
        curve("sum over guide values", Against::Guide),
        curve("share of lower explosive limit", Against::Lel),
    ];
    let lines = [
        LimitLine {
            name: "each limit (legal limits and guide values hold for the mean of 8 hours)",
            label: &["100 %: each limit (legal", "and guide: mean of 8 h)"],
            level: 1.0,
        },
        LimitLine {
            name: "a quarter of the lower explosive limit",
            label: &["25 %: a quarter of the", "lower explosive limit"],
            level: QUARTER,
        },
    ];
    let parts: Vec<String> = air
        .sessions
        .components(session)
        .iter()
        .map(|part| format!("{} at most about {} ppm", part.name, figures(part.peak_ppm)))
        .collect();
    let below = format!("An estimate for well-mixed air. {}.", parts.join(", "));
    draw(&Chart {
        title: &what,
        below: &below,
        curves: &curves,
        lines: &lines,
    })
}
