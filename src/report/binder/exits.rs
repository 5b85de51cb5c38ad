//! Tab 3: exits, extinguishers, eyewashes and other fixtures, and the answers of the round about them.

use super::checks::{checks, latest};
use super::context::Binder;
use super::found::open_here;
use super::parts::room;
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::{Fixture, FixtureKind};
use crate::report::columns::{Listing, TableCell};
use crate::report::html::nothing;
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
    let table = Listing::<&Fixture>::new(label)
        .column("Fixture", |fixture| TableCell::Name(&fixture.id))
        .column("Kind", |fixture| fixture.kind.word())
        .column("Room", |fixture| {
            TableCell::Name(room(binder.tables, fixture.room))
        })
        .column("Plate", |fixture| {
            let rating = fixture.rating.as_deref();
            match fixture.kind == FixtureKind::Extinguisher {
                true => TableCell::recorded(rating),
                false => TableCell::optional(rating),
            }
        })
        .column("Remark", |fixture| {
            TableCell::optional(fixture.note.as_deref())
        })
        .rows(|fixture| fixture.at);
    binder.table(&table, &list)
}
