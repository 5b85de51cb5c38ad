//! The page: one file that needs no network and runs nothing. Every text is escaped by the template; sizes are set in
//! millimeters, to be printed at 100 %.

use super::super::code::code_svg;
use super::super::html::{HtmlHead, document};
use super::content::Label;
use super::fit::{FOOT as STRIP, GAP, PAD, SQUARE};
use super::pictogram::{SYMBOLS, name, said};
use super::placed::{LabelSheet, Placed};
use super::sheet::{FOOT, MARGIN, mm};
use crate::quantity::when::date;
use crate::text::clean;
use maud::{Markup, PreEscaped, html};

/// In the head of each sheet of labels: by this the program knows it again.
pub const LABELS_MARK: &str = "<meta name=\"sandarac-labels\" content=\"1\">";

/// Lines in CSS that do not depend on the sheet.
const STYLE: &str = include_str!("label.css");

/// The page with every sheet, the cards, and the notes behind them.
pub fn label_page(sheet: &LabelSheet) -> String {
    let sheets: Vec<&[Placed]> = sheet.placed.chunks(sheet.grid.each()).collect();
    let body = html! {
        (PreEscaped(SYMBOLS))
        @for (number, slots) in sheets.iter().enumerate() {
            (one_sheet(sheet, slots, number + 1, sheets.len()))
        }
        (cards(sheet))
        (notes(sheet))
    };
    let head = HtmlHead {
        title: &format!("Labels of {}, {}", sheet.shop, date(sheet.on)),
        style: &[STYLE, &style(sheet)],
        scheme: "only light",
        mark: LABELS_MARK,
    };
    document(&head, &body).into_string()
}

fn style(sheet: &LabelSheet) -> String {
    let (width, height) = sheet.grid.paper;
    let (width, height) = (mm(width), mm(height));
    format!(
        "@page{{size:{width}mm {height}mm;margin:0}}\n@page notes{{size:{width}mm {height}mm;margin:15mm}}\n\
         .sheet{{width:{width}mm;height:{height}mm}}\n.label{{width:{}mm;height:{}mm;padding:{}mm}}\n\
         .strip{{height:{}mm}}\n.square{{width:{}mm;height:{}mm}}\n.middle{{gap:{}mm}}\n",
        mm(sheet.size.width),
        mm(sheet.size.height),
        mm(PAD),
        mm(STRIP),
        mm(SQUARE),
        mm(SQUARE),
        mm(2 * GAP),
    )
}

fn one_sheet(sheet: &LabelSheet, slots: &[Placed], number: usize, of: usize) -> Markup {
    let ruler = 50_000;
    html! {
        section.sheet aria-label=(format!("Sheet {number} of {of}")) {
            @if !sheet.grid.is_cut { (cut_marks(sheet)) }
            @for (at, placed) in slots.iter().enumerate() {
                (one_label(sheet, placed, at))
            }
            div.foot style=(format!("left:{}mm;right:{}mm;height:{}mm", mm(MARGIN), mm(MARGIN), mm(FOOT - 6_000))) {
                div.ruler style=(format!("width:{}mm", mm(ruler))) { "50 mm when printed at 100 %" }
                p {
                    "Screening aid: the maker's label and the data sheet come first. Never label a food or drink container. "
                    "Labels of " (sheet.size.shown) ", sheet " (number) " of " (of) ", "
                    bdi { (clean(&sheet.shop)) } ", " (date(sheet.on))
                }
            }
        }
    }
}

/// Short lines in the margins, at every edge of a label; none runs through a label.
fn cut_marks(sheet: &LabelSheet) -> Markup {
    let (from, paper) = (sheet.grid.from, sheet.grid.paper);
    let to = (
        from.0 + sheet.grid.across * sheet.size.width,
        from.1 + sheet.grid.down * sheet.size.height,
    );
    let columns = (0..=sheet.grid.across).map(|column| {
        let x = mm(from.0 + column * sheet.size.width);
        let [a, b, c, d] = ends(from.1, to.1);
        format!("M{x} {a}V{b}M{x} {c}V{d}")
    });
    let rows = (0..=sheet.grid.down).map(|row| {
        let y = mm(from.1 + row * sheet.size.height);
        let [a, b, c, d] = ends(from.0, to.0);
        format!("M{a} {y}H{b}M{c} {y}H{d}")
    });
    let path: String = columns.chain(rows).collect();
    html! {
        svg.marks aria-hidden="true" width=(format!("{}mm", mm(paper.0))) height=(format!("{}mm", mm(paper.1)))
            viewBox=(format!("0 0 {} {}", mm(paper.0), mm(paper.1))) {
            path d=(path) stroke="#000" stroke-width="0.2" fill="none" {}
        }
    }
}

/// Where the two marks of an edge begin and end, before the first label and behind the last.
fn ends(from: i64, to: i64) -> [String; 4] {
    [from - 5_000, from - 1_000, to + 1_000, to + 5_000].map(mm)
}

fn one_label(sheet: &LabelSheet, placed: &Placed, at: usize) -> Markup {
    let (x, y) = sheet.grid.corner(at);
    let Placed { label, laid } = placed;
    html! {
        article.label.small[!laid.is_full] style=(format!("left:{}mm;top:{}mm", mm(x), mm(y))) data-of=(label.id) {
            div.top {
                h2 style=(font(laid.name_font)) { @for (at, line) in laid.name.iter().enumerate() { @if at > 0 { br; } bdi { (line) } } }
                p.id style=(font(laid.id_font)) { bdi { (laid.id) } }
            }
            @if laid.is_full {
                div.middle {
                    (pictograms(placed))
                    div.says {
                        @if !label.signal.is_empty() { p.signal style=(font(laid.signal_font)) { (label.signal) } }
                        p style=(font(laid.font)) { bdi { (laid.sentences.join(" ")) } }
                    }
                }
                (strip(label, laid.until_font))
            } @else {
                div.bottom {
                    p.signal style=(font(laid.signal_font)) { (label.signal) }
                    p.until { small { (label.before) } b style=(font(laid.until_font)) { bdi { (label.until) } } }
                }
            }
        }
    }
}

fn font(size: i64) -> String {
    format!("font-size:{}mm", mm(size))
}

fn pictograms(placed: &Placed) -> Markup {
    let laid = &placed.laid;
    html! {
        @if laid.across > 0 {
            div.signs style=(format!("width:{}mm", mm(laid.square * laid.across))) {
                @for pictogram in &placed.label.pictograms {
                    svg role="img" aria-label=(said(*pictogram)) style=(format!("width:{0}mm;height:{0}mm", mm(laid.square))) {
                        title { (said(*pictogram)) }
                        use href=(format!("#{}", name(*pictogram))) {}
                    }
                }
            }
        }
    }
}

/// The large date, two lines to write on, and a square with the code for a phone, or free for one.
fn strip(label: &Label, until: i64) -> Markup {
    html! {
        div.strip {
            p.until { small { @if !label.made.is_empty() { bdi { (label.made) } "; " } (label.before) } b style=(font(until)) { bdi { (label.until) } } }
            div.write { @for line in label.lines { p { (line) span {} } } }
            @match label.code.as_deref().and_then(code_svg) {
                Some(code) => div.square.code role="img" aria-label={ "Code for a phone: " (label.id) } { (PreEscaped(code)) },
                None => div.square {},
            }
        }
    }
}

/// What a label has no room for: one card for all labels that say the same.
fn cards(sheet: &LabelSheet) -> Markup {
    let mut cards: Vec<(&Placed, Vec<&str>)> = Vec::new();
    for placed in sheet
        .placed
        .iter()
        .filter(|placed| !placed.laid.card.is_empty())
    {
        let same = |(other, _): &&mut (&Placed, Vec<&str>)| {
            (&other.label.name, &other.laid.card) == (&placed.label.name, &placed.laid.card)
        };
        match cards.iter_mut().find(same) {
            Some((_, ids)) => ids.push(&placed.label.id),
            None => cards.push((placed, vec![&placed.label.id])),
        }
    }
    html! {
        @if !cards.is_empty() {
            section.notes.cards {
                h1 { "Cards: keep each one with its containers or in the data sheet folder" }
                @for (placed, ids) in &cards {
                    article.card {
                        h2 { bdi { (ids.join(", ")) } ": " bdi { (placed.label.name) } }
                        @if !placed.laid.is_full && !placed.label.signal.is_empty() { p { b { (placed.label.signal) } } }
                        p { bdi { (placed.laid.card.join(" ")) } }
                    }
                }
            }
        }
    }
}

fn notes(sheet: &LabelSheet) -> Markup {
    html! {
        section.notes {
            h1 { "Notes to the labels of " bdi { (clean(&sheet.shop)) } ", " (date(sheet.on)) }
            @if !sheet.warnings.is_empty() {
                h2 { "Look at these first" }
                ul { @for warning in &sheet.warnings { li { bdi { (warning) } } } }
            }
            @for (heading, paragraphs) in &sheet.notes {
                h2 { (heading) }
                @if paragraphs.len() > 3 {
                    ul { @for text in paragraphs { li { bdi { (text) } } } }
                } @else {
                    @for text in paragraphs { p { bdi { (text) } } }
                }
            }
        }
    }
}
