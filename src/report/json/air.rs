//! The `air` of the JSON: one row a session, worst first. Estimates are text with three figures and say that they are.

use super::super::air_plan::PlanView;
use super::super::air_view::{AirView, MOST_SESSIONS};
use super::super::earlier::FORMAT;
use super::object::{about, about_against, list, object, to_text, value};
use crate::vapour::against::{Against, QUARTER};
use crate::vapour::component::Component;
use crate::vapour::given_off::Vapour;
use crate::vapour::percent;
use crate::vapour::plan::{Need, governs};
use crate::vapour::session::Session;
use crate::vapour::shown::{after_work, changes_by_exhaust, figures, minutes_near, stated};
use serde::Serialize;

/// The rows, worst first.
pub(super) fn sessions<'a>(air: &'a AirView<'a>, planned: bool) -> impl Serialize {
    list(move || {
        let worst = air.worst(MOST_SESSIONS);
        worst.map(move |session| row(air, session, planned))
    })
}

fn row<'a>(air: &'a AirView<'a>, session: &'a Session, planned: bool) -> impl Serialize {
    let told = session.gap.is_none();
    let room_air = session.air;
    let counted = room_air.and_then(|air| air.room());
    let sum = |against| {
        let known = session.told(against);
        known.map(|sum| about_against(sum, 1.0, "1"))
    };
    let exhaust = |what, level| {
        let flow = air.sessions.exhaust_for(session, what, level);
        flow.filter(|_| told).map(|flow| about(flow, "m3/h"))
    };
    let peak = session.told(Against::Lel);
    let parts = move || {
        let known = told.then(|| air.sessions.components(session));
        let parts = known.into_iter().flatten();
        parts.map(|part| component(air, session, part))
    };
    object(
        "room",
        air.room(session).map_or("", |room| room.id.as_str()),
    )
    .and("volume", room_air.map(|air| about(air.volume, "m3")))
    .and(
        "air_changes_per_hour",
        room_air
            .and_then(|air| changes_by_exhaust(&air))
            .map(|n| about(n, "/h")),
    )
    .and(
        "air_changes_that_count",
        counted.map(|room| about(room.changes_per_hour(), "/h")),
    )
    .and("mixing", room_air.map(|air| about(air.mixing, "1")))
    .and("session", session_object(air, session, planned))
    .and("components", list(parts))
    .and(
        "peak_share_of_lel",
        peak.map(|share| about_against(percent(share), percent(QUARTER), "%")),
    )
    .and("legal_sum_8h", sum(Against::Legal))
    .and("guide_sum_8h", sum(Against::Guide))
    .and("short_sum_15min", sum(Against::Short))
    .and("legal_short_sum_15min", sum(Against::ShortLegal))
    .and("airflow_for_fire", exhaust(Against::Lel, QUARTER))
    .and("airflow_for_health", exhaust(Against::Legal, 1.0))
    .and(
        "minutes_to_clear",
        after_work(session)
            .filter(|_| told)
            .map(|minutes| about(minutes, "min")),
    )
}

fn session_object<'a>(air: &'a AirView<'a>, session: &'a Session, planned: bool) -> impl Serialize {
    let minutes = minutes_near(session.worked).filter(|m| *m > 0 || !session.minutes_missing);
    let products = move || {
        let used = air.sessions.used(session).into_iter();
        used.map(|(product, litres)| {
            object("product", product).and("amount", value(figures(litres), "L"))
        })
    };
    object("began", (!planned).then(|| session.began.to_string()))
        .and("minutes", minutes.map(|it| value(it.to_string(), "min")))
        .and("by", &session.by)
        .and("products", list(products))
        .and("minutes_missing", session.minutes_missing)
        .and(
            "exhaust_known",
            session.air.is_some_and(|air| air.exhaust.is_some()),
        )
        .and("unknown", session.gap.as_deref())
}

fn component<'a>(
    air: &'a AirView<'a>,
    session: &Session,
    part: Component,
) -> impl Serialize + use<'a> {
    let vapour = vapour(air, session, &part.name);
    let limits = [
        ("legal", Against::Legal),
        ("guide", Against::Guide),
        ("short", Against::Short),
        ("legal-short", Against::ShortLegal),
        ("lel", Against::Lel),
    ];
    let limits = limits.into_iter().filter_map(|(kind, what)| {
        let stated = vapour.and_then(|vapour| stated(air.tables, vapour, what));
        let limit = object("kind", kind)
            .and("ppm", about(part.limits_ppm.get(what)?, "ppm"))
            .and("source", stated.map(|stated| stated.source.as_str()))
            .and("seen", stated.map(|stated| stated.seen.word()));
        Some(limit)
    });
    object("substance", part.name)
        .and("peak_ppm", about(part.peak_ppm, "ppm"))
        .and("mean_15min_ppm", about(part.quarter_ppm, "ppm"))
        .and("mean_8h_ppm", about(part.shift_ppm, "ppm"))
        .and("limits", limits.collect::<Vec<_>>())
}

fn vapour<'a>(air: &AirView<'a>, session: &Session, name: &str) -> Option<&'a Vapour> {
    session.litres.iter().find_map(|(product, _)| {
        let (_, off) = air.sessions.products.get(*product)?;
        off.vapours.iter().find(|vapour| vapour.name == name)
    })
}

/// The rows by themselves as JSON text, one object, ending with a line break.
pub fn air_json(air: &AirView<'_>, plan: Option<&PlanView>) -> Result<String, serde_json::Error> {
    let report = object("format", FORMAT)
        .and("on", air.on.to_string())
        .and("shop", &air.tables.shop.name)
        .and("air", sessions(air, plan.is_some()))
        .and("air_left_out", air.left_out(MOST_SESSIONS))
        .and("plan", plan.map(|plan| plan_object(air, plan)));
    to_text(&report)
}

fn plan_object<'a>(air: &AirView<'_>, plan: &'a PlanView) -> impl Serialize + use<'a> {
    let exhaust = air.worst(1).next().and_then(|s| s.air?.exhaust);
    let governing = governs(&plan.needs, exhaust);
    let share = |share: Option<f64>| share.map(|it| about_against(percent(it), 100.0, "%"));
    let need = |need: &'a Need| {
        object("name", need.name)
            .and("what", need.what)
            .and("airflow", need.flow.map(|flow| about(flow, "m3/h")))
            .and("working", &need.working)
    };
    let spill = plan.spilled.map(|spilled| {
        object("lel", about(spilled.lel, "%"))
            .and("share_of_lel", share(spilled.share))
            .and("layer", spilled.layer.map(|layer| about(layer, "m")))
    });
    object("at_once", plan.at_once)
        .and("needs", list(move || plan.needs.iter().map(need)))
        .and("governs", governing.map(|(need, _)| need.name))
        .and("share_of_it", share(governing.and_then(|(_, share)| share)))
        .and("spill", spill)
}
