//! A plan on the screen: the same figures for work not yet done, the air it needs, and all of it on the floor.

use super::air::{blind, course, notes, of_lel, room_words, sum};
use super::air_view::AirView;
use super::screen::Screen;
use crate::text::clean;
use crate::vapour::against::{Against, QUARTER};
use crate::vapour::component::Component;
use crate::vapour::percent;
use crate::vapour::plan::{Need, Spilled, governs};
use crate::vapour::session::Session;
use crate::vapour::shown::{
    after_work, air_shown, figures, figures_against, flow_shown, given, height_shown, minutes_up,
};

/// What is known of a plan beside its one session.
pub struct PlanView {
    /// The airflows it needs.
    pub needs: Vec<Need>,
    /// All of it on the floor.
    pub spilled: Option<Spilled>,
    /// Everything evaporates as it is put on.
    pub at_once: bool,
    /// The exhaust was given for the plan, and is not that of rooms.csv.
    pub exhaust_given: bool,
}

/// The plan on the screen.
pub fn air_plan(air: &AirView<'_>, plan: &PlanView, columns: usize) -> String {
    let mut screen = Screen::new(columns);
    let Some(session) = air.worst(1).next() else {
        return screen.done();
    };
    head(&mut screen, air, plan, session);
    figures_of(&mut screen, air, session);
    parts(&mut screen, &air.sessions.components(session));
    needed(&mut screen, air, plan, session);
    spilled(&mut screen, air, plan.spilled);
    screen.heading("VENTILATION OF THE ROOM");
    if let Some(room) = air.room(session) {
        if plan.exhaust_given {
            screen.line("The exhaust is the one in this plan, not the one in rooms.csv.");
            let us = air.tables.shop.us;
            let words = session.air;
            let words = words.map_or_else(String::new, |air| air_shown(&air, us));
            screen.indented(0, 2, format!("{}: {words}", room.id));
        } else {
            screen.indented(0, 2, room_words(room, session.air, air.tables.shop.us));
        }
    }
    blind(&mut screen);
    screen.done()
}

fn head(screen: &mut Screen, air: &AirView<'_>, plan: &PlanView, session: &Session) {
    let room = air.room(session).map_or("", |room| room.id.as_str());
    let minutes = given(session.worked);
    screen.line(format!(
        "Plan: {} in {minutes} minutes, {room}",
        air.used(session)
    ));
    let how = if plan.at_once {
        "The plan assumes that everything evaporates at once."
    } else {
        "Films go on drying after the work. With --at-once, everything evaporates at once."
    };
    screen.line(format!(
        "All figures are estimates for well-mixed air. {how}"
    ));
    screen.gap();
}

fn figures_of(screen: &mut Screen, air: &AirView<'_>, session: &Session) {
    let mut say = |what: &str, figure: Option<String>, without: &str| {
        let figure = figure.as_deref().unwrap_or(without);
        screen.indented(2, 6, format!("{what}: {figure}"));
    };
    say(
        "Lower explosive limit (LEL), highest share (25 % counts as hazardous)",
        of_lel(session),
        "unknown",
    );
    say(
        "8-hour exposure against legal limits",
        sum(session.all.legal),
        "no known legal limit",
    );
    say(
        "8-hour exposure against guide values (not law)",
        sum(session.all.guide),
        "no known guide value",
    );
    say(
        "15-minute exposure against legal short-term limits and ceilings",
        sum(session.all.short_legal),
        "no known legal short-term limit",
    );
    say(
        "15-minute exposure against all short-term limits",
        sum(session.all.short),
        "no known short-term limit",
    );
    let fan = after_work(session).and_then(minutes_up);
    say(
        "Fan after the work, until the air is below a tenth of every limit",
        fan.map(|minutes| format!("about {minutes} minutes")),
        "the air never clears that far",
    );
    let exhaust = |against, level| {
        let flow = air.sessions.exhaust_for(session, against, level)?;
        Some(flow_shown(flow, air.tables.shop.us))
    };
    say(
        "Exhaust in this room that keeps the peak below a quarter of the LEL",
        exhaust(Against::Lel, QUARTER),
        "unknown, or no exhaust is enough",
    );
    say(
        "Exhaust in this room that keeps the worst eight hours within the legal limits",
        exhaust(Against::Legal, 1.0),
        "unknown, or no exhaust is enough",
    );
    let said = match air.sessions.products.first() {
        Some((_, off)) => off.said.as_slice(),
        None => &[],
    };
    let notes = notes(air, session);
    let course = course(air, session, false);
    for words in notes.iter().chain(said).chain(&course) {
        screen.indented(2, 6, words);
    }
}

fn parts(screen: &mut Screen, list: &[Component]) {
    screen.heading("WHAT IS IN THE AIR, ppm");
    let wide = screen.columns().saturating_sub(67).clamp(10, 24);
    let mut row = |name: &str, cells: [String; 7]| {
        let kept: String = name.chars().take(wide).collect();
        let figures = cells.map(|cell| format!("{cell:>8}"));
        screen.row(&format!("{kept:<wide$} {}", figures.join(" ")));
    };
    let heads = ["peak", "15 min", "8 h", "legal", "guide", "short", "LEL"];
    row("", heads.map(str::to_string));
    for part in list {
        let limit = |limit: Option<f64>| limit.map_or_else(|| "-".to_string(), figures);
        let cells = [
            figures(part.peak_ppm),
            figures(part.quarter_ppm),
            figures(part.shift_ppm),
            limit(part.limits_ppm.legal),
            limit(part.limits_ppm.guide),
            limit(part.limits_ppm.short),
            limit(part.limits_ppm.lel),
        ];
        row(&clean(&part.name), cells);
    }
}

fn needed(screen: &mut Screen, air: &AirView<'_>, plan: &PlanView, session: &Session) {
    let us = air.tables.shop.us;
    screen.heading("AIR IT NEEDS");
    screen.line("By the printed formulas, if all of it evaporates evenly during the work:");
    for need in &plan.needs {
        let flow = need.flow.map(|flow| flow_shown(flow, us));
        let flow = flow.as_deref().unwrap_or("unknown");
        screen.indented(2, 6, format!("{}: {flow}", need.what));
        for step in &need.working {
            screen.indented(6, 8, step);
        }
    }
    let exhaust = session.air.and_then(|air| air.exhaust);
    if let Some((need, share)) = governs(&plan.needs, exhaust) {
        let has = match (exhaust, share) {
            (Some(exhaust), Some(share)) => format!(
                "The room has {}, which is {} % of that",
                flow_shown(exhaust, us),
                figures_against(percent(share), 100.0)
            ),
            _ => "The exhaust of the room is unknown. Measure it, and record it in rooms.csv"
                .to_string(),
        };
        screen.indented(
            2,
            6,
            format!("The most air is needed for this: {}. {has}.", need.what),
        );
    }
    screen.indented(
        2,
        2,
        "The first two follow the dilution formula of 29 CFR 1910.94(c)(6)(ii), with 4 for a quarter and 10 for a tenth. The \
         third follows the 403 formula with K. Six changes are required in storage rooms. The last figure is for rooms \
         where flammable liquid is poured.",
    );
}

fn spilled(screen: &mut Screen, air: &AirView<'_>, spilled: Option<Spilled>) {
    screen.heading("ALL OF IT SPILLED ON THE FLOOR");
    let Some(spilled) = spilled else {
        screen.indented(2, 2, "Nothing in it has a known lower explosive limit.");
        return;
    };
    let us = air.tables.shop.us;
    let mixed = match spilled.share {
        Some(share) => format!(
            "Mixed through the whole room, its vapor is about {} % of the lower explosive limit ({} % by volume)",
            figures_against(percent(share), 100.0),
            figures(spilled.lel)
        ),
        None => "Its vapor is more than the room holds".to_string(),
    };
    screen.indented(2, 6, mixed);
    if let Some(layer) = spilled.layer {
        screen.indented(
            2,
            6,
            format!(
                "On the floor, at that limit, the vapor is about {} deep (ceiling {})",
                height_shown(layer, us),
                height_shown(spilled.ceiling, us)
            ),
        );
    }
    screen.indented(
        2,
        6,
        "Vapor stays low at first. Near the spill it can burn at any of these figures.",
    );
}
