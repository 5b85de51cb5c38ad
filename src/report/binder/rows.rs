//! Rows as evidence names them: `inventory.csv:14`, and several of one file as `log.csv:3, 9, 12`.

use super::sources::BinderSources;
use crate::report::listings::FEW;
use crate::text::{Span, clean};
use maud::{Markup, html};
use std::collections::{HashMap, HashSet};

/// Sessions in the table of them; the others are counted.
pub(super) const SESSIONS: usize = 40;

/// Every row that the binder can name, worked out at once: a large log is walked a single time.
pub(super) struct RowNames(HashMap<Span, String>);

impl RowNames {
    pub(super) fn new(sources: &BinderSources<'_>) -> RowNames {
        let mut list = places(sources);
        list.sort_unstable();
        list.dedup();
        let files = &sources.audit.shop.files;
        let lines = files.lines(&list);
        let rows = list.iter().zip(lines);
        let rows = rows.map(|(place, line)| (*place, files.row_with(place.file, line)));
        RowNames(rows.collect())
    }

    /// Those rows, each once.
    pub(super) fn of_each(&self, places: impl IntoIterator<Item = Span>) -> Vec<&str> {
        let mut seen = HashSet::new();
        let rows = places.into_iter().filter_map(|place| self.0.get(&place));
        rows.map(String::as_str)
            .filter(|row| seen.insert(*row))
            .collect()
    }
}

/// Everything that a tab may point at.
fn places(sources: &BinderSources<'_>) -> Vec<Span> {
    let (tables, stock) = (&sources.audit.shop.tables, &sources.audit.stock);
    let mut list: Vec<Span> = vec![tables.shop.at];
    list.extend(tables.shop.limits.iter().map(|limit| limit.at));
    list.extend(tables.rooms.iter().map(|room| room.at));
    list.extend(tables.places.iter().map(|place| place.at));
    list.extend(tables.fixtures.iter().flatten().map(|fixture| fixture.at));
    list.extend(tables.products.iter().map(|product| product.at));
    list.extend(tables.containers.iter().map(|container| container.at));
    list.extend(tables.answers.iter().map(|answer| answer.at));
    list.extend(tables.accepted.iter().map(|accepted| accepted.at));
    list.extend(tables.actions.iter().map(|action| action.at));
    list.extend(stock.all_emptied().map(|(_, at)| at));
    for contents in &stock.containers {
        list.extend(contents.touched.iter().flatten());
        list.extend(contents.cloth.iter().map(|batch| batch.at));
        list.extend(contents.trial.map(|trial| trial.at));
    }
    list.extend(stock.year_nights.list.iter().map(|night| night.batch.at));
    for session in sources.view.air.worst(SESSIONS) {
        let first = session.emissions.iter().take(FEW);
        list.extend(first.map(|emission| emission.at));
    }
    for line in sources.daybook.iter().flat_map(|tables| &tables.sorts) {
        for line in line.lines() {
            list.push(line.at);
            list.extend(line.mended.map(|mended| mended.at));
        }
    }
    list
}

/// Rows of one file after its name, once; at most so many of all.
pub(super) fn row_markup(rows: &[&str], most: usize) -> Markup {
    first_rows(rows.get(..most).unwrap_or(rows), rows.len())
}

/// As [`row_markup`], for the first rows of so many.
pub(super) fn first_rows(rows: &[&str], all: usize) -> Markup {
    let mut files: Vec<(&str, Vec<&str>)> = Vec::new();
    for row in rows {
        let (file, line) = row.rsplit_once(':').unwrap_or((row, ""));
        match files.iter_mut().find(|(name, _)| *name == file) {
            Some((_, lines)) => lines.push(line),
            None => files.push((file, vec![line])),
        }
    }
    let more = all.saturating_sub(rows.len());
    html! {
        @for (at, (file, lines)) in files.iter().enumerate() {
            @if at > 0 { "; " }
            code {
                (clean(file))
                @if lines.iter().any(|line| !line.is_empty()) { ":" (lines.join(", ")) }
            }
        }
        @if more > 0 { " and " (more) " more, in audit.json" }
    }
}

#[cfg(test)]
mod tests {
    use super::row_markup;

    #[test]
    fn rows_of_one_file_stand_together() {
        let text = row_markup(&["a.csv:3", "b.csv:1", "a.csv:9", "shop.toml"], 9).into_string();
        assert_eq!(
            text,
            "<code>a.csv:3, 9</code>; <code>b.csv:1</code>; <code>shop.toml</code>"
        );
        let text = row_markup(&["a.csv:3", "b.csv:1"], 1).into_string();
        assert_eq!(text, "<code>a.csv:3</code> and 1 more, in audit.json");
    }
}
