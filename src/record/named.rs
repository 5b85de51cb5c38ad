//! Cells of an entry that name something: a container, a place or room, or which rags it takes.

use super::ids::ContainerId;
use super::row::Fields;
use super::tables::{Location, ShopTables};
use crate::text::{CellFault, Problem};

/// What `from` says of rags that were never soiled.
pub const CLEAN_RAGS: &str = "clean";
/// What `from` begins with where it names the entry that soiled the rags.
const ENTRY: &str = "entry ";

/// Which of several batches of rags an entry takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RagSource<Name> {
    /// Those at this place or in this room.
    Place(Location),
    /// Those that the entry of this name soiled.
    Soiled(Name),
    /// Those that were never soiled.
    Clean,
}

impl<Name> RagSource<Name> {
    /// The same, with the name of the entry in another form.
    pub fn map<Other>(self, form: impl FnOnce(Name) -> Other) -> RagSource<Other> {
        match self {
            RagSource::Place(location) => RagSource::Place(location),
            RagSource::Soiled(name) => RagSource::Soiled(form(name)),
            RagSource::Clean => RagSource::Clean,
        }
    }
}

/// Which rags the column `from` means.
pub(super) fn rag_source<'t>(
    fields: &mut Fields<'t, '_>,
    column: usize,
    text: &'t str,
    tables: &ShopTables,
) -> Option<RagSource<&'t str>> {
    if let Some(location) = tables.location(text) {
        return Some(RagSource::Place(location));
    }
    if text.eq_ignore_ascii_case(CLEAN_RAGS) {
        return Some(RagSource::Clean);
    }
    let prefix = text.get(..ENTRY.len()).unwrap_or_default();
    if prefix.eq_ignore_ascii_case(ENTRY) {
        let name = text.get(ENTRY.len()..).unwrap_or_default().trim();
        return Some(RagSource::Soiled(name));
    }
    find_location(fields, column, text, tables).map(RagSource::Place)
}

pub(super) fn find_location(
    fields: &mut Fields<'_, '_>,
    column: usize,
    name: &str,
    tables: &ShopTables,
) -> Option<Location> {
    let found = tables.location(name);
    if found.is_none() {
        let near = tables.near_place(name, fields.problems);
        let code = CellFault::NameUnknown {
            kind: "place or room",
            read: name.to_string(),
            near,
        };
        fields.problems.add(Problem::new(code, fields.span(column)));
    }
    found
}

pub(super) fn find_container(
    fields: &mut Fields<'_, '_>,
    column: usize,
    name: &str,
    tables: &ShopTables,
) -> Option<ContainerId> {
    let found = tables.container(name);
    if found.is_none() {
        let near = tables.near_container(name, fields.problems);
        let code = CellFault::NameUnknown {
            kind: "container",
            read: name.to_string(),
            near,
        };
        fields.problems.add(Problem::new(code, fields.span(column)));
    }
    found
}
