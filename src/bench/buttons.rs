//! Buttons that pages share: links that show what an entry would do, what settles a line of the closing list, and answers.

use super::call::{Call, url};
use super::frame::what_words;
use super::secret::entry_id;
use super::settle::{Settling, settling};
use crate::check::ClosingLine;
use crate::record::What;
use crate::text::clean;
use maud::{Markup, html};

/// A link that shows what an entry would do; one tap more logs it.
pub fn entry_link(what: What, cells: &[(&str, &str)], back: &str, words: &Markup) -> Markup {
    let mut link = format!("/entry?what={}", what.word());
    for (column, text) in cells.iter().filter(|(_, text)| !text.is_empty()) {
        link.push_str(&format!("&{column}={}", url(text)));
    }
    link.push_str(&format!("&back={}", url(back)));
    html! { a.act href=(link) { span { (words) } } }
}

/// The buttons that settle a line of the closing list.
pub fn settle_links(call: &Call, line: &ClosingLine, back: &str) -> Markup {
    html! {
        @if call.may_log() {
            div.acts {
                (move_all(line, back))
                @for entries in line.commands.iter().filter_map(|command| settling(command)) {
                    @if let Some(first) = entries.first() {
                        (settle_link(first, entries.get(1), back))
                    }
                }
            }
        }
    }
}

/// One button for a line whose containers all go to one place.
fn move_all(line: &ClosingLine, back: &str) -> Markup {
    let entries = line.commands.iter().filter_map(|command| settling(command));
    let entries: Vec<Settling> = entries.flatten().collect();
    let Some(first) = entries.first() else {
        return html! {};
    };
    let place = first.cell("place");
    let same = |one: &Settling| one.what == What::Move && one.cell("place") == place;
    if entries.len() < 2 || !entries.iter().all(same) {
        return html! {};
    }
    let also = entries
        .iter()
        .skip(1)
        .map(|one| ("also", one.cell("container")));
    let own = first
        .cells
        .iter()
        .map(|(name, text)| (*name, text.as_str()));
    let cells: Vec<(&str, &str)> = own.chain(also).collect();
    let words = html! { "Move all " (entries.len()) " to " bdi { (clean(place)) } };
    entry_link(What::Move, &cells, back, &words)
}

fn settle_link(first: &Settling, then: Option<&Settling>, back: &str) -> Markup {
    let mut cells: Vec<(&str, &str)> = first
        .cells
        .iter()
        .map(|(name, text)| (*name, text.as_str()))
        .collect();
    let empties = then.is_some_and(|then| then.what == What::Empty);
    if empties {
        cells.push(("then", "empty"));
    }
    let place = clean(first.cell("place"));
    let container = clean(first.cell("container"));
    let words = match first.what {
        What::Soak => html! { "Put under water: " bdi { (place) } },
        What::Spread => html! { "Lay flat outdoors: " bdi { (place) } },
        What::Bin if empties => html! { "Into " bdi { (place) } ", and empty it outdoors now" },
        What::Bin => html! { "Into " bdi { (place) } },
        What::Empty => html! { "Emptied outdoors: " bdi { (place) } },
        What::Move => html! { "Move " bdi { (container) } " to " bdi { (place) } },
        What::Test => html! { "Found hard and dry" },
        What::Receive
        | What::Open
        | What::Mix
        | What::Decant
        | What::Use
        | What::Soil
        | What::Discard
        | What::Count
        | What::Correct => html! { (what_words(Some(first.what))) " " bdi { (container) } },
    };
    entry_link(first.what, &cells, back, &words)
}

/// Three buttons that answer a question of the round.
pub fn answer_buttons(
    call: &Call,
    check: &str,
    about: &str,
    may_be_absent: bool,
    back: &str,
) -> Markup {
    let answers = [("yes", "Yes"), ("no", "No"), ("not present", "Not present")];
    html! {
        @if call.may_log() {
            div.acts.answers {
                @for (answer, words) in answers.into_iter().filter(|(word, _)| may_be_absent || *word != "not present") {
                    form method="post" action="/answer" {
                        input type="hidden" name="id" value=(entry_id());
                        input type="hidden" name="check" value=(check);
                        input type="hidden" name="where" value=(about);
                        input type="hidden" name="answer" value=(answer);
                        input type="hidden" name="back" value=(back);
                        button type="submit" { (words) }
                    }
                }
            }
        }
    }
}
