//! A table for the screen, within its width: the door to tabled.

use crate::text::clean;
use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::peaker::Priority;
use tabled::settings::{Alignment, Style, Width};

/// Rows under a head; words are wrapped so that no line is wider than the screen.
pub(super) fn table(head: &[&str], rows: &[Vec<String>], columns: usize) -> String {
    let mut builder = Builder::default();
    builder.push_record(head.iter().copied());
    for row in rows {
        builder.push_record(row.iter().map(|cell| clean(cell)));
    }
    let mut table = builder.build();
    table
        .with(Style::psql())
        .modify(Columns::new(..), Alignment::left())
        .with(
            Width::wrap(columns)
                .keep_words(true)
                .priority(Priority::max(true)),
        );
    let text = table.to_string();
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    lines.join("\n")
}
