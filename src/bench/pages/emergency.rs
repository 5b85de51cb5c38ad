//! The emergency card: what burns, where, and whom to call. What to do in a fire is common practice, without a source.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::record::{Fixture, FixtureKind};
use crate::report::StockRow;
use crate::text::clean;
use crate::vapour::class::Flash;
use maud::{Markup, html};
use std::collections::BTreeMap;

pub fn emergency(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let settings = &now.shop.tables.shop;
    let main = html! {
        section.danger {
            p { strong { "Fire: get everyone out, close the door, and call the fire service from outside." } }
            p { "Do not go back for anything. Tell them what burns and where, from this page." }
        }
        h2 { "Whom to call" }
        ul.things {
            li { p { "Fire service and ambulance: the emergency number of your country (911, 112, 999 or another)." } }
            @if let Some(ask) = &settings.ask { li { p { "About the containers: " bdi { (clean(ask)) } } } }
            @if let Some(keeper) = &settings.keeper { li { p { "Records: " bdi { (clean(keeper)) } } } }
            @if let Some(authority) = &settings.authority { li { p { "Authority: " bdi { (clean(&authority.name)) } } } }
        }
        h2 { "What burns, and where" }
        (burns(&now))
        h2 { "Exits, extinguishers, eyewash" }
        (fixtures(&now))
        h2 { "Cautions for what is here" }
        @for caution in &now.cautions {
            details { summary { (clean(&caution.title)) } p { (clean(&caution.text)) } p.faint { "Source: " (clean(&caution.source)) } }
        }
    };
    Ok(Reply::page(page(call, &now, "Emergency", &main)))
}

/// What may burn, by place; what is unknown is taken to burn.
fn burns(now: &BenchNow) -> Markup {
    let mut places: BTreeMap<&str, Vec<&StockRow>> = BTreeMap::new();
    for row in now.rows.iter().filter(|row| may_burn(now, row)) {
        places.entry(row.place_or_room()).or_default().push(row);
    }
    html! {
        @if places.is_empty() { p { "No flammable product is on record. This page knows only what is in the records." } }
        @for (place, rows) in places {
            section {
                h3 { @if place.is_empty() { "Place not recorded" } @else { bdi { (clean(place)) } } }
                ul.things { @for row in rows { li { p {
                    bdi { (clean(&row.product)) } ", " (row.holds(now.us())) ", " bdi { (clean(&row.container)) }
                } } } }
            }
        }
    }
}

fn may_burn(now: &BenchNow, row: &StockRow) -> bool {
    let id = now.shop.tables.container(&row.container);
    let hazard = id.map(|id| now.hazards.of_container(&now.stock, id));
    let never = hazard.is_some_and(|hazard| matches!(hazard.flash.value(), Some(Flash::Never)));
    !never || row.cloth.is_some()
}

fn fixtures(now: &BenchNow) -> Markup {
    let tables = &now.shop.tables;
    let shown = |kind| {
        matches!(
            kind,
            FixtureKind::Exit | FixtureKind::Extinguisher | FixtureKind::Eyewash
        )
    };
    let list = tables.fixtures.iter().flatten();
    let list: Vec<&Fixture> = list.filter(|fixture| shown(fixture.kind)).collect();
    html! {
        @if list.is_empty() { p { "None is recorded in fixtures.csv." } }
        ul.things {
            @for fixture in list {
                li { p {
                    bdi { (clean(&fixture.id)) }
                    @if let Some(rating) = &fixture.rating { ", " (clean(rating)) }
                    @if let Some(room) = fixture.room.map(|at| &tables[at]) { ", " bdi { (clean(&room.id)) } }
                } }
            }
        }
    }
}
