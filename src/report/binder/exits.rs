//! Tab 3: what hangs on the walls and stands by the way out, and every look at it.

use super::checks::{checks, latest};
use super::context::Binder;
use super::found::open_here;
use super::parts::room;
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::{Fixture, FixtureKind};
use crate::report::html::{name, nothing, table};
use maud::{Markup, html};

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let part = html! {
        (open_here(binder, Tab::Exits))
        h3 { "Fixtures" }
        (fixtures(binder, "Fixtures", |kind| kind != FixtureKind::Fan, "no exit, extinguisher, eyewash, flame, heater, switch, panel or sign"))
        (checks(binder, Tab::Exits))
    };
    (latest(binder, Tab::Exits), part)
}

/// Fixtures of some kinds.
pub(super) fn fixtures(
    binder: &Binder<'_>,
    label: &str,
    wanted: impl Fn(FixtureKind) -> bool,
    none: &str,
) -> Markup {
    let Some(all) = &binder.tables.fixtures else {
        return nothing("The shop has no fixtures.csv, so its fixtures are unknown.");
    };
    let list: Vec<&Fixture> = all.iter().filter(|fixture| wanted(fixture.kind)).collect();
    if list.is_empty() {
        return nothing(&format!("fixtures.csv has {none}."));
    }
    table(
        label,
        &["Fixture", "Kind", "Room", "Plate", "Remark", "Row"],
        &html! { tbody {
            @for fixture in &list {
                tr {
                    th scope="row" { (name(&fixture.id)) }
                    td { (fixture.kind.word()) }
                    td { (name(room(binder.tables, fixture.room))) }
                    td {
                        @match &fixture.rating {
                            Some(rating) => (name(rating)),
                            None => @if fixture.kind == FixtureKind::Extinguisher { "not recorded" },
                        }
                    }
                    td { @if let Some(note) = &fixture.note { (name(note)) } }
                    td.rows { (binder.row(fixture.at)) }
                }
            }
        } },
    )
}
