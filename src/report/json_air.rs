//! The `air` of the JSON: one row a session, worst first. Estimates are text with three figures and say that they are.

use super::air_plan::PlanView;
use super::air_view::{AirView, MOST_SESSIONS};
use super::json::{FORMAT, Value};
use crate::vapour::component::Component;
use crate::vapour::given_off::Vapour;
use crate::vapour::percent;
use crate::vapour::plan::{Need, governs};
use crate::vapour::session::{Against, Session};
use crate::vapour::shown::{
    QUARTER, after_work, changes_by_exhaust, figures, figures_against, minutes_near, stated,
};
use serde::Serialize;

/// An estimate.
#[derive(Serialize)]
pub(super) struct About {
    value: String,
    unit: &'static str,
    about: bool,
}

#[derive(Serialize)]
struct ProductOut<'a> {
    product: &'a str,
    amount: Value,
}

#[derive(Serialize)]
struct SessionOut<'a> {
    #[serde(rename = "began")]
    initial: Option<String>,
    minutes: Option<Value>,
    by: &'a [String],
    products: Vec<ProductOut<'a>>,
    minutes_missing: bool,
    exhaust_known: bool,
    unknown: Option<&'a str>,
}

#[derive(Serialize)]
struct LimitOut<'a> {
    kind: &'static str,
    ppm: About,
    source: Option<&'a str>,
    seen: Option<&'static str>,
}

#[derive(Serialize)]
struct ComponentOut<'a> {
    substance: String,
    peak_ppm: About,
    mean_15min_ppm: About,
    mean_8h_ppm: About,
    limits: Vec<LimitOut<'a>>,
}

/// A row.
#[derive(Serialize)]
pub(super) struct AirOut<'a> {
    room: &'a str,
    volume: Option<About>,
    air_changes_per_hour: Option<About>,
    air_changes_that_count: Option<About>,
    mixing: Option<About>,
    session: SessionOut<'a>,
    components: Vec<ComponentOut<'a>>,
    peak_share_of_lel: Option<About>,
    legal_sum_8h: Option<About>,
    guide_sum_8h: Option<About>,
    short_sum_15min: Option<About>,
    airflow_for_fire: Option<About>,
    airflow_for_health: Option<About>,
    minutes_to_clear: Option<About>,
}

#[derive(Serialize)]
struct NeedOut<'a> {
    name: &'static str,
    what: &'static str,
    airflow: Option<About>,
    working: &'a [String],
}

#[derive(Serialize)]
struct SpillOut {
    lel: About,
    share_of_lel: Option<About>,
    layer: Option<About>,
}

#[derive(Serialize)]
struct PlanOut<'a> {
    at_once: bool,
    needs: Vec<NeedOut<'a>>,
    governs: Option<&'static str>,
    share_of_it: Option<About>,
    spill: Option<SpillOut>,
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    on: String,
    shop: &'a str,
    air: Vec<AirOut<'a>>,
    air_left_out: usize,
    plan: Option<PlanOut<'a>>,
}

fn about(value: f64, unit: &'static str) -> About {
    About {
        value: figures(value),
        unit,
        about: true,
    }
}

/// As `about`, with as many more figures as keep it on its side of the limit.
fn against(value: f64, limit: f64, unit: &'static str) -> About {
    About {
        value: figures_against(value, limit),
        unit,
        about: true,
    }
}

/// The rows, worst first, and how many are left out.
pub(super) fn rows<'a>(air: &AirView<'a>, planned: bool) -> (Vec<AirOut<'a>>, usize) {
    let rows = air
        .worst(MOST_SESSIONS)
        .map(|session| row(air, session, planned))
        .collect();
    (rows, air.left_out(MOST_SESSIONS))
}

fn row<'a>(air: &AirView<'a>, session: &'a Session, planned: bool) -> AirOut<'a> {
    let all = air.sessions;
    let told = session.gap.is_none();
    let known = |value: Option<f64>| value.filter(|_| told);
    let room_air = session.air;
    let counted = room_air.and_then(|air| air.room());
    let exhaust = |what, level| known(all.exhaust_for(session, what, level));
    AirOut {
        room: air.room(session).map_or("", |room| room.id.as_str()),
        volume: room_air.map(|air| about(air.volume, "m3")),
        air_changes_per_hour: room_air
            .and_then(|air| changes_by_exhaust(&air))
            .map(|n| about(n, "/h")),
        air_changes_that_count: counted.map(|room| about(room.changes_per_hour(), "/h")),
        mixing: room_air.map(|air| about(air.mixing, "1")),
        session: session_out(air, session, planned),
        components: if told {
            let list = all.components(session);
            list.into_iter()
                .map(|part| component(air, session, part))
                .collect()
        } else {
            Vec::new()
        },
        peak_share_of_lel: known(session.peak_lel)
            .map(|share| against(percent(share), percent(QUARTER), "%")),
        legal_sum_8h: known(session.legal).map(|sum| against(sum, 1.0, "1")),
        guide_sum_8h: known(session.guide).map(|sum| against(sum, 1.0, "1")),
        short_sum_15min: known(session.short).map(|sum| against(sum, 1.0, "1")),
        airflow_for_fire: exhaust(Against::Lel, QUARTER).map(|flow| about(flow, "m3/h")),
        airflow_for_health: exhaust(Against::Legal, 1.0).map(|flow| about(flow, "m3/h")),
        minutes_to_clear: known(after_work(session)).map(|minutes| about(minutes, "min")),
    }
}

fn session_out<'a>(air: &AirView<'a>, session: &'a Session, planned: bool) -> SessionOut<'a> {
    let minutes = minutes_near(session.worked).filter(|m| *m > 0 || !session.minutes_missing);
    let products = session.litres.iter().map(|(product, litres)| ProductOut {
        product: air.product(*product),
        amount: Value {
            value: figures(*litres),
            unit: "L",
        },
    });
    SessionOut {
        initial: (!planned).then(|| session.initial.to_string()),
        minutes: minutes.map(|minutes| Value {
            value: minutes.to_string(),
            unit: "min",
        }),
        by: &session.by,
        products: products.collect(),
        minutes_missing: session.minutes_missing,
        exhaust_known: session.air.is_some_and(|air| air.exhaust.is_some()),
        unknown: session.gap.as_deref(),
    }
}

fn component<'a>(air: &AirView<'a>, session: &Session, part: Component) -> ComponentOut<'a> {
    let vapour = vapour(air, session, &part.name);
    let limits = [
        ("legal", part.legal_ppm, Against::Legal),
        ("guide", part.guide_ppm, Against::Guide),
        ("short", part.short_ppm, Against::Short),
        ("lel", part.lel_ppm, Against::Lel),
    ];
    let limits = limits.into_iter().filter_map(|(kind, ppm, what)| {
        let stated = vapour.and_then(|vapour| stated(air.tables, vapour, what));
        Some(LimitOut {
            kind,
            ppm: about(ppm?, "ppm"),
            source: stated.map(|stated| stated.source.as_str()),
            seen: stated.map(|stated| stated.seen.word()),
        })
    });
    let limits = limits.collect();
    ComponentOut {
        peak_ppm: about(part.peak_ppm, "ppm"),
        mean_15min_ppm: about(part.quarter_ppm, "ppm"),
        mean_8h_ppm: about(part.shift_ppm, "ppm"),
        limits,
        substance: part.name,
    }
}

fn vapour<'a>(air: &AirView<'a>, session: &Session, name: &str) -> Option<&'a Vapour> {
    session.litres.iter().find_map(|(product, _)| {
        let (_, off) = air.sessions.products.get(*product)?;
        let off = off.as_ref().ok()?;
        off.vapours.iter().find(|vapour| vapour.name == name)
    })
}

/// The rows by themselves as JSON text, one object, ending with a line break.
pub fn air_json(air: &AirView<'_>, plan: Option<&PlanView>) -> Result<String, serde_json::Error> {
    let (rows, left_out) = rows(air, plan.is_some());
    let report = Report {
        format: FORMAT,
        on: air.on.to_string(),
        shop: &air.tables.shop.name,
        air: rows,
        air_left_out: left_out,
        plan: plan.map(|plan| plan_out(air, plan)),
    };
    serde_json::to_string_pretty(&report).map(super::json::inert)
}

fn plan_out<'a>(air: &AirView<'_>, plan: &'a PlanView) -> PlanOut<'a> {
    let exhaust = air.worst(1).next().and_then(|s| s.air?.exhaust);
    let governing = governs(&plan.needs, exhaust);
    let need = |need: &'a Need| NeedOut {
        name: need.name,
        what: need.what,
        airflow: need.flow.map(|flow| about(flow, "m3/h")),
        working: &need.working,
    };
    PlanOut {
        at_once: plan.at_once,
        needs: plan.needs.iter().map(need).collect(),
        governs: governing.map(|(need, _)| need.name),
        share_of_it: governing
            .and_then(|(_, share)| share)
            .map(|share| against(percent(share), 100.0, "%")),
        spill: plan.spilled.map(|spilled| SpillOut {
            lel: about(spilled.lel, "%"),
            share_of_lel: spilled
                .share
                .map(|share| against(percent(share), 100.0, "%")),
            layer: spilled.layer.map(|layer| about(layer, "m")),
        }),
    }
}
