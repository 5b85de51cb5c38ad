//! The air of the month on the screen: every session with its figures and a small course, then the room's own air.

use super::air_view::{AirView, MOST_SESSIONS, POINTS};
use super::columns::NONE;
use super::screen::Screen;
use super::share::share_words;
use super::words::{clock, date};
use super::wrap::width;
use crate::quantity::when::short_moment;
use crate::quantity::{Moment, Period};
use crate::record::{Room, RoomId};
use crate::vapour::against::{Against, QUARTER};
use crate::vapour::percent;
use crate::vapour::session::{RoomAir, Session, THROUGH_CRACKS};
use crate::vapour::shown::{
    air_shown, changes_by_exhaust, eighths, figures, figures_against, given, highest, is_close,
    minutes_near, minutes_up, volume_shown,
};

/// Columns that a course on the screen has.
const STEPS: u32 = 31;
/// People shown of those who worked in several rooms.
const MOST_PEOPLE: usize = 20;
/// What the model cannot know.
const BLIND: [&str; 5] = [
    "The air at the bench and at your face, which is worse than the average of the room.",
    "Dead corners, and vapor along the floor, which can reach a flame in the next room.",
    "Open doors and windows; anything sprayed, spilled or left open without a log entry; anything used by weight, such as \
     paste wax.",
    "How much vapor the air can hold. Beyond saturation, the liquid only stays liquid longer.",
    "How fast a film really dries. The time is a judgment from published evaporation rates.",
];

/// The moment that lies so many minutes after the beginning of a session.
fn moment(began: Moment, minutes: f64) -> Option<Moment> {
    let day = began.day();
    let all = began.minutes_since(Moment::start_of(day)) + minutes_up(minutes)?;
    let days = u32::try_from(all.div_euclid(24 * 60)).ok()?;
    let rest = all.rem_euclid(24 * 60);
    let day = day.plus(Period::Days(days));
    Moment::parse(&format!("{day}T{:02}:{:02}", rest / 60, rest % 60)).ok()
}

/// `2:20 pm`, `16 Oct, 2:10 am` on the next day, `in 3 days`, or that no limit was ever passed by a tenth.
pub(super) fn clear_by(session: &Session, us: bool) -> Option<String> {
    let after = session.clear_after?;
    if after <= 0.0 {
        return Some("always clear".to_string());
    }
    let (day, clear) = (session.began.day(), moment(session.began, after)?);
    Some(match clear.day().since(day) {
        0 => clock(clear, us),
        1 => short_moment(clear, day, us),
        days => format!("in {days} days"),
    })
}

/// `12.3 %` of the lower explosive limit.
pub(super) fn of_lel(session: &Session) -> Option<String> {
    let share = session.told(Against::Lel)?;
    let seen = percent(share);
    // A quarter counts as hazardous, and no rounding may cross it.
    Some(match seen < 1.0 {
        true => share_words(share),
        false => format!("{} %", figures_against(seen, percent(QUARTER))),
    })
}

/// A sum of exposure over its limits, as every share of a limit is written.
pub(super) fn sum(sum: Option<f64>) -> Option<String> {
    sum.map(share_words)
}

/// The sum over short-term limits in a table; most of what a finisher uses has none.
pub(super) fn short_term(session: &Session) -> String {
    match (&session.gap, sum(session.told(Against::Short))) {
        (_, Some(sum)) => sum,
        (Some(_), None) => "unknown".into(),
        (None, None) => NONE.into(),
    }
}

/// What a session's figures say, in a few words.
pub(super) fn says(air: &AirView<'_>, session: &Session) -> String {
    let mut words = match over(session).as_slice() {
        [] if is_close(session) => {
            "within the limits in this estimate, but close to one".to_string()
        }
        [] => "within the limits in this estimate".to_string(),
        over => format!("over {}", over.join(" and ")),
    };
    let without = without_limit(air, session);
    if !without.is_empty() {
        words.push_str(&format!(
            "; {} has no known legal limit",
            without.join(", ")
        ));
    }
    words
}

fn over_words(against: Against, confirmed: bool) -> &'static str {
    match (against, confirmed) {
        (Against::Lel, true) => "a quarter of the lower explosive limit",
        (Against::Lel, false) => "a quarter of the lower explosive limit (limit not confirmed)",
        (Against::Legal, true) => "the legal limits",
        (Against::Legal, false) => "the legal limits (limit not confirmed)",
        (Against::Guide, true) => "the guide values",
        (Against::Guide, false) => "the guide values (limit not confirmed)",
        (Against::ShortLegal, true) => "the legal short-term limits",
        (Against::ShortLegal, false) => "the legal short-term limits (limit not confirmed)",
        (Against::Short, true) => "the short-term limits",
        (Against::Short, false) => "the short-term limits (limit not confirmed)",
    }
}

/// What it is over.
fn over(session: &Session) -> Vec<&'static str> {
    let over = Against::ALL.into_iter().filter_map(|against| {
        let limit = against.full();
        let is_over = |sum: Option<f64>| sum.is_some_and(|sum| sum > limit);
        let (all, confirmed) = (session.all.get(against), session.confirmed.get(against));
        // The short-term limits hold the legal ones, so the stronger word is enough.
        let named = against == Against::Short
            && session
                .all
                .short_legal
                .is_some_and(|sum| sum > Against::ShortLegal.full());
        (is_over(all) && !named).then(|| over_words(against, is_over(confirmed)))
    });
    over.collect()
}

/// The month on the screen. `all` shows every session, not only the worst.
pub fn air_month(air: &AirView<'_>, columns: usize, all: bool) -> String {
    let most = if all { usize::MAX } else { MOST_SESSIONS };
    let mut screen = Screen::new(columns);
    let many = match air.sessions.list.len() {
        0 => "no session with vapor on record".to_string(),
        1 => "1 session".to_string(),
        n => format!("{n} sessions, worst first"),
    };
    let (shop, from) = (&air.tables.shop.name, air.on.back(30));
    screen.line(format!(
        "Air of {shop}, {} to {}: {many}",
        date(from),
        date(air.on)
    ));
    screen.line(
        "All figures are estimates for well-mixed air. Peak LEL is the highest share of the lower explosive limit (LEL); 25 % \
         counts as hazardous. Legal and guide are the exposure over 8 hours as a share of the limits, added up over all substances. Short-term limits \
         (15 min) are checked too. Clear by is when the air is below a tenth of every limit.",
    );
    if !air.sessions.list.is_empty() {
        screen.gap();
        let heads = ["", "when", "min", "peak LEL", "legal", "guide", "clear by"];
        screen.row(&row(heads.map(str::to_string)));
    }
    for (at, session) in air.worst(most).enumerate() {
        one(&mut screen, air, session, at + 1);
    }
    match air.left_out(most) {
        0 => {}
        left => screen.indented(
            4,
            4,
            format!("and {left} more sessions that are no worse: --month"),
        ),
    }
    people(&mut screen, air);
    rooms(&mut screen, air);
    blind(&mut screen);
    screen.done()
}

/// Columns of the table of sessions: their widths, and whether they are aligned right.
const WIDTHS: [(usize, bool); 7] = [
    (3, true),
    (16, false),
    (5, true),
    (10, true),
    (9, true),
    (9, true),
    (17, true),
];

fn row(cells: [String; 7]) -> String {
    let padded = cells.iter().zip(WIDTHS).map(|(cell, (wide, right))| {
        let pad = " ".repeat(wide.saturating_sub(width(cell)));
        if right {
            format!("{pad}{cell} ")
        } else {
            format!("{cell}{pad} ")
        }
    });
    padded.collect()
}

fn one(screen: &mut Screen, air: &AirView<'_>, session: &Session, number: usize) {
    let unknown = || "?".to_string();
    let figure = |shown: Option<String>| match (session.gap.is_some(), shown) {
        (_, Some(shown)) => shown,
        (true, None) => unknown(),
        (false, None) => "-".to_string(),
    };
    let minutes = match minutes_near(session.worked) {
        Some(0) | None => unknown(),
        Some(minutes) => minutes.to_string(),
    };
    let us = air.tables.shop.us;
    let clear = clear_by(session, us).filter(|_| session.gap.is_none());
    screen.row(&row([
        number.to_string(),
        short_moment(session.began, session.began.day(), us),
        minutes,
        figure(of_lel(session)),
        figure(sum(session.told(Against::Legal))),
        figure(sum(session.told(Against::Guide))),
        clear.unwrap_or_else(unknown),
    ]));
    let room = air.room(session);
    let room = room.map_or("room not recorded", |room| room.id.as_str());
    let by = if session.by.is_empty() {
        "person not recorded".to_string()
    } else {
        session.by.join(", ")
    };
    screen.indented(4, 4, format!("{room}, {by}: {}", air.used(session)));
    for note in notes(air, session) {
        screen.indented(4, 4, note);
    }
    if session.gap.is_none()
        && let Some(course) = course(air, session, true)
    {
        screen.indented(4, 4, course);
    }
}

/// What a reader must know of a session's figures.
pub(super) fn notes(air: &AirView<'_>, session: &Session) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(why) = &session.gap {
        notes.push(format!("UNKNOWN: {why}"));
    }
    let over = over(session);
    if !over.is_empty() {
        notes.push(format!("OVER {}", over.join(" and ")));
    }
    let mut worst = Vec::new();
    if session.air.is_some_and(|air| air.exhaust.is_none()) {
        worst.push("the exhaust is unknown and counts as none");
    }
    if session.minutes_missing {
        worst.push("minutes are missing in the log, so that part counts as used all at once");
    }
    if !worst.is_empty() && session.gap.is_none() {
        notes.push(format!("At worst: {}.", worst.join("; ")));
    }
    let without = without_limit(air, session);
    if !without.is_empty() {
        notes.push(format!(
            "{} has no known legal limit and does not count in that sum.",
            without.join(", ")
        ));
    }
    notes
}

/// The sum over the evening as small bars, with its highest moment; `to_clock` adds the time at which they end.
pub(super) fn course(air: &AirView<'_>, session: &Session, to_clock: bool) -> Option<String> {
    const BARS: [char; 9] = ['·', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
    let sums = [
        (Against::Legal, "legal limits"),
        (Against::Guide, "guide values"),
        (Against::Lel, "LEL"),
    ];
    let (against, of) = sums
        .into_iter()
        .find(|(against, _)| !air.sessions.course(session, *against, 1).is_empty())?;
    let points = air.sessions.course(session, against, STEPS);
    let bars: String = eighths(&points)
        .into_iter()
        .map(|height| BARS.get(height).copied().unwrap_or('·'))
        .collect();
    let ends = match points.last().filter(|_| to_clock) {
        Some((last, _)) => {
            let end = moment(session.began, *last)?;
            format!("until {}, ", clock(end, air.tables.shop.us))
        }
        None => String::new(),
    };
    let fine = air.sessions.course(session, against, POINTS);
    let top = share_words(highest(&fine)?);
    let of_all = if top.ends_with("times") { "" } else { "of " };
    Some(format!("{bars} {ends}peak {top} {of_all}{of}"))
}

/// Substances of a session that have no legal limit, and so do not count in that sum.
fn without_limit(air: &AirView<'_>, session: &Session) -> Vec<String> {
    let used = session.litres.iter();
    let used = used.filter_map(|(product, _)| air.sessions.products.get(*product));
    let mut names: Vec<String> = Vec::new();
    for vapour in used.flat_map(|(_, off)| &off.vapours) {
        if vapour.limits.legal.is_none() && !names.contains(&vapour.name) {
            names.push(vapour.name.clone());
        }
    }
    names
}

/// The worst eight hours of people who worked in several rooms.
fn people(screen: &mut Screen, air: &AirView<'_>) {
    let shifts = &air.sessions.people;
    if shifts.is_empty() {
        return;
    }
    screen.heading("PEOPLE IN SEVERAL ROOMS");
    screen.line("A person's eight hours add up over all rooms, each counted as if that person stayed there.");
    for shift in shifts.iter().take(MOST_PEOPLE) {
        let name = shift.by.as_deref().unwrap_or("Person not recorded");
        let of = match shift.against {
            Against::Guide => "guide values",
            Against::Legal | Against::Lel | Against::Short | Against::ShortLegal => "legal limits",
        };
        let over = if shift.level > 1.0 { "OVER: " } else { "" };
        let when = short_moment(shift.from, air.on, air.tables.shop.us);
        let rooms = shift.rooms.len();
        screen.item(
            "- ",
            format!(
                "{over}{name}, from {when}: {} of the {of} in {rooms} rooms together",
                share_words(shift.level)
            ),
        );
    }
}

fn rooms(screen: &mut Screen, air: &AirView<'_>) {
    let mut met: Vec<RoomId> = air.sessions.list.iter().filter_map(|s| s.room).collect();
    met.sort_unstable();
    met.dedup();
    if met.is_empty() {
        return;
    }
    screen.heading("VENTILATION OF THE ROOM");
    for room in met.into_iter().map(|room| &air.tables[room]) {
        let words = room_words(room, RoomAir::new(room), air.tables.shop.us);
        screen.indented(0, 2, words);
    }
}

/// The room's own air in words: changes, K and where it comes from, the cracks.
pub(super) fn room_words(room: &Room, air: Option<RoomAir>, us: bool) -> String {
    let Some(air) = air else {
        return format!(
            "{}: record length, width and height in rooms.csv. They are unknown.",
            room.id
        );
    };
    let exhaust = match (changes_by_exhaust(&air), room.exhaust_measured) {
        (None, _) => {
            "its exhaust is unknown and counts as none. Measure it, and record it in rooms.csv"
                .to_string()
        }
        (Some(changes), Some(day)) => format!(
            "the exhaust (measured on {}) gives {} air changes per hour",
            date(day),
            figures(changes)
        ),
        (Some(changes), None) => format!(
            "the exhaust (date of measurement not recorded) gives {} air changes per hour",
            figures(changes)
        ),
    };
    let mixing = match room.mixing {
        Some(_) => "from rooms.csv".to_string(),
        None => "the middle of the usual range of 3 to 10, because rooms.csv has no mixing factor"
            .to_string(),
    };
    format!(
        "{} ({}): {exhaust}. K = {}, {mixing}: only one part in K of the air counts. Cracks are assumed to give \
         {THROUGH_CRACKS} air changes per hour. Result: {}.",
        room.id,
        volume_shown(air.volume, us),
        given(air.mixing),
        air_shown(&air, us)
    )
}

pub(super) fn blind(screen: &mut Screen) {
    screen.heading("WHAT THIS ESTIMATE LEAVES OUT");
    for words in BLIND {
        screen.item("- ", words);
    }
    screen.line(
        "This is a screening aid. It does not show that a room is safe. If a figure is close to its limit, have the air measured.",
    );
}
