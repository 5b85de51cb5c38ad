//! A plan on the screen: the same figures for work not yet done, the air it needs, and all of it on the floor.

use super::air::{blind, course, heading, line, notes, of_lel, room_words, sum};
use super::air_view::AirView;
use super::wrap::width;
use crate::text::clean;
use crate::vapour::component::Component;
use crate::vapour::percent;
use crate::vapour::plan::{Need, Spilled, governs};
use crate::vapour::session::{Against, Session};
use crate::vapour::shown::{
    QUARTER, after_work, figures, flow_shown, given, height_shown, minutes_up,
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
    let mut text = String::new();
    let Some(session) = air.worst(1).next() else {
        return text;
    };
    head(&mut text, air, plan, session, columns);
    parts(&mut text, &air.sessions.components(session), columns);
    needed(&mut text, air, plan, session, columns);
    floor(&mut text, air, plan, columns);
    heading(&mut text, "THE ROOM'S OWN AIR", columns);
    if let Some(room) = air.room(session) {
        if plan.exhaust_given {
            let words = "The exhaust is the one given for this plan, not that of rooms.csv.";
            line(&mut text, words, columns, "", "");
            let given = crate::vapour::component::air_shown;
            let words = session.air.map_or_else(String::new, |air| given(&air));
            line(
                &mut text,
                &format!("{}: {words}", room.id),
                columns,
                "",
                "  ",
            );
        } else {
            let words = room_words(room, session.air, air.tables.shop.us);
            line(&mut text, &words, columns, "", "  ");
        }
    }
    blind(&mut text, columns);
    text
}

fn head(text: &mut String, air: &AirView<'_>, plan: &PlanView, session: &Session, columns: usize) {
    let room = air.room(session).map_or("", |room| room.id.as_str());
    let words = format!(
        "Plan: {} in {} minutes, {room}",
        air.used(session),
        given(session.worked)
    );
    line(text, &words, columns, "", "");
    let how = if plan.at_once {
        "Everything is taken to evaporate as it is put on."
    } else {
        "Films dry on after the work; `--at-once` takes everything to evaporate as it is put on."
    };
    let words =
        format!("Every figure is an estimate for air that is stirred through the room. {how}");
    line(text, &words, columns, "", "");
    text.push('\n');
    let none = || "not known".to_string();
    let mut say = |what: &str, figure: String| {
        line(text, &format!("{what}: {figure}"), columns, "  ", "      ");
    };
    say(
        "highest share of the lower explosive limit (LEL), of which a quarter counts as hazardous",
        of_lel(session).unwrap_or_else(none),
    );
    say(
        "worst eight hours, sum over legal limits (1 is the limit)",
        sum(session.legal).unwrap_or_else(|| "no legal limit is known".into()),
    );
    say(
        "worst eight hours, sum over guide values (no law)",
        sum(session.guide).unwrap_or_else(|| "no guide value is known".into()),
    );
    say(
        "worst quarter of an hour, sum over short-term limits",
        sum(session.short).unwrap_or_else(|| "no short-term limit is known".into()),
    );
    let fan = after_work(session).and_then(minutes_up);
    say(
        "run the fan after the work until a tenth of every limit",
        fan.map_or_else(
            || "the air never gets there".into(),
            |minutes| format!("about {minutes} minutes"),
        ),
    );
    let us = air.tables.shop.us;
    for (what, against, level) in [
        ("a quarter of the LEL at the peak", Against::Lel, QUARTER),
        (
            "the legal limits over the worst eight hours",
            Against::Legal,
            1.0,
        ),
    ] {
        let flow = air.sessions.exhaust_for(session, against, level);
        let shown = flow.map_or_else(
            || "not known, or there is none that would".to_string(),
            |flow| flow_shown(flow, us),
        );
        say(&format!("exhaust in this room that keeps {what}"), shown);
    }
    for note in notes(air, session) {
        line(text, &note, columns, "  ", "      ");
    }
    for said in said(air) {
        line(text, said, columns, "  ", "      ");
    }
    if let Some(course) = course(air, session, false) {
        line(text, &course, columns, "  ", "      ");
    }
}

fn said<'a>(air: &AirView<'a>) -> &'a [String] {
    match air.sessions.products.first() {
        Some((_, Ok(off))) => &off.said,
        _ => &[],
    }
}

fn parts(text: &mut String, list: &[Component], columns: usize) {
    heading(text, "WHAT IS IN THE AIR, ppm", columns);
    let wide = columns.saturating_sub(67).clamp(10, 24);
    let row = |cells: [String; 8]| {
        let [name, rest @ ..] = cells;
        let kept: String = name.chars().take(wide).collect();
        let figures: Vec<String> = rest.iter().map(|cell| format!("{cell:>8}")).collect();
        format!("{kept:<wide$} {}", figures.join(" "))
    };
    let names = [
        "", "peak", "15 min", "8 h", "legal", "guide", "short", "LEL",
    ];
    let mut put = |made: String| {
        let made = made.trim_end();
        if width(made) <= columns {
            text.push_str(made);
            text.push('\n');
        } else {
            line(text, made, columns, "", "    ");
        }
    };
    put(row(names.map(str::to_string)));
    for part in list {
        let limit = |limit: Option<f64>| limit.map_or_else(|| "-".to_string(), figures);
        let cells = [
            clean(&part.name),
            figures(part.peak_ppm),
            figures(part.quarter_ppm),
            figures(part.shift_ppm),
            limit(part.legal_ppm),
            limit(part.guide_ppm),
            limit(part.short_ppm),
            limit(part.lel_ppm),
        ];
        put(row(cells));
    }
}

fn needed(
    text: &mut String,
    air: &AirView<'_>,
    plan: &PlanView,
    session: &Session,
    columns: usize,
) {
    let us = air.tables.shop.us;
    heading(text, "AIR IT NEEDS", columns);
    let words = "By the printed formulas, if all of it evaporates evenly during the work:";
    line(text, words, columns, "", "");
    for need in &plan.needs {
        let flow = need
            .flow
            .map_or_else(|| "not known".to_string(), |flow| flow_shown(flow, us));
        line(
            text,
            &format!("{}: {flow}", need.what),
            columns,
            "  ",
            "      ",
        );
        for step in &need.working {
            line(text, step, columns, "      ", "        ");
        }
    }
    let exhaust = session.air.and_then(|air| air.exhaust);
    if let Some((need, share)) = governs(&plan.needs, exhaust) {
        let has = match (exhaust, share) {
            (Some(exhaust), Some(share)) => format!(
                "the room has {}, {} % of that",
                flow_shown(exhaust, us),
                crate::vapour::shown::figures_against(percent(share), 100.0)
            ),
            _ => "what the room has is not known; measure it and give it in rooms.csv".to_string(),
        };
        let words = format!("Governs: {}; {has}.", need.what);
        line(text, &words, columns, "  ", "      ");
    }
    let words = "The first two by the dilution formula of 29 CFR 1910.94(c)(6)(ii), with 4 for a quarter and 10 for a \
                 tenth; the third by the 403 formula with K; six changes are asked of storage rooms, the last of rooms \
                 where flammable liquid is poured.";
    line(text, words, columns, "  ", "  ");
}

fn floor(text: &mut String, air: &AirView<'_>, plan: &PlanView, columns: usize) {
    heading(text, "ALL OF IT SPILLED ON THE FLOOR", columns);
    let Some(spilled) = &plan.spilled else {
        line(
            text,
            "Nothing in it has a known lower explosive limit.",
            columns,
            "  ",
            "  ",
        );
        return;
    };
    let us = air.tables.shop.us;
    let mixed = match spilled.share {
        Some(share) => format!(
            "stirred through the whole room its vapour is about {} % of the lower explosive limit ({} % by volume)",
            crate::vapour::shown::figures_against(percent(share), 100.0),
            figures(spilled.lel)
        ),
        None => "its vapour is more than the room holds".to_string(),
    };
    line(text, &mixed, columns, "  ", "      ");
    if let Some(layer) = spilled.layer {
        let words = format!(
            "lying on the floor at just that limit it stands about {} high (ceiling {})",
            height_shown(layer, us),
            height_shown(spilled.ceiling, us)
        );
        line(text, &words, columns, "  ", "      ");
    }
    let words = "Vapour lies low at first: near the spill it can burn at any of these figures.";
    line(text, words, columns, "  ", "      ");
}
