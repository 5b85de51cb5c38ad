//! The page: one file that needs no network and runs nothing. Every text is escaped by the template; sizes are set in
//! millimetres, to be printed at 100 %.

use super::super::html::{Head, document};
use super::content::{LabelLine, LabelPart};
use super::fit::{BESIDE, GAP, HEADING, LaidPage, PAD, PITCH, square};
use super::pictogram::{SYMBOLS, name, said};
use super::placed::{LabelSheet, Placed};
use super::sheet::{FOOT, MARGIN, mm};
use crate::text::clean;
use maud::{Markup, PreEscaped, html};

/// In the head of each sheet of labels: by this the program knows it again.
pub const LABELS_MARK: &str = "<meta name=\"sandarac-labels\" content=\"1\">";

/// Lines in CSS that do not depend on the sheet.
const STYLE: &str = include_str!("label.css");

/// The page with every sheet, and the notes behind them.
pub fn label_page(sheet: &LabelSheet) -> String {
    let slots: Vec<(&Placed, usize)> = sheet
        .placed
        .iter()
        .flat_map(|placed| (0..placed.laid.pages.len()).map(move |page| (placed, page)))
        .collect();
    let sheets: Vec<&[(&Placed, usize)]> = slots.chunks(sheet.grid.each()).collect();
    let body = html! {
        (PreEscaped(SYMBOLS))
        @for (number, slots) in sheets.iter().enumerate() {
            (one_sheet(sheet, slots, number + 1, sheets.len()))
        }
        (notes(sheet))
    };
    let head = Head {
        title: &format!("Labels of {}, {}", sheet.shop, sheet.on),
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
         .label p{{margin:0 0 {}mm;line-height:{}%}}\n.label h2{{font-size:{}%;line-height:{}%;margin:0 0 {}mm}}\n",
        mm(sheet.size.width),
        mm(sheet.size.height),
        mm(PAD),
        mm(GAP),
        PITCH,
        HEADING,
        PITCH,
        mm(GAP),
    )
}

fn one_sheet(sheet: &LabelSheet, slots: &[(&Placed, usize)], number: usize, of: usize) -> Markup {
    let ruler = 50_000;
    html! {
        section.sheet aria-label=(format!("Sheet {number} of {of}")) {
            (cut_marks(sheet))
            @for (at, (placed, page)) in slots.iter().enumerate() {
                (one_label(sheet, placed, *page, at))
            }
            div.foot style=(format!("left:{}mm;right:{}mm;height:{}mm", mm(MARGIN), mm(MARGIN), mm(FOOT - 6_000))) {
                div.ruler style=(format!("width:{}mm", mm(ruler))) { "50 mm when printed at 100 %" }
                p {
                    "Screening aid: the maker's label and the data sheet come first. Never label a food or drink container. "
                    "Labels of " (sheet.size.shown) ", sheet " (number) " of " (of) ", "
                    bdi { (clean(&sheet.shop)) } ", " (sheet.on.to_string())
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

fn one_label(sheet: &LabelSheet, placed: &Placed, number: usize, at: usize) -> Markup {
    let (x, y) = sheet.grid.corner(at, &sheet.size);
    let laid = &placed.laid;
    let of = laid.pages.len();
    let empty = LaidPage::default();
    let page = laid.pages.get(number).unwrap_or(&empty);
    let place = format!(
        "left:{}mm;top:{}mm;font-size:{}mm",
        mm(x),
        mm(y),
        mm(laid.font)
    );
    html! {
        article.label style=(place) data-of=(placed.label.id) {
            h2 {
                bdi { (laid.heading) }
                @if of > 1 { " (" (number + 1) " of " (of) ")" }
            }
            @if number == 0 && !placed.label.pictograms.is_empty() {
                (pictograms(placed, &page.beside))
            }
            @for line in &page.below { (paragraph(line)) }
        }
    }
}

/// The pictograms, and what stands beside them.
fn pictograms(placed: &Placed, beside: &[LabelLine]) -> Markup {
    let laid = &placed.laid;
    let square = square(laid.side);
    let width = mm(square * laid.per_row);
    html! {
        div.band style=(format!("margin-bottom:{}mm", mm(GAP))) {
            div.signs style=(format!("width:{width}mm")) {
                @for pictogram in &placed.label.pictograms {
                    svg role="img" aria-label=(said(*pictogram)) style=(format!("width:{0}mm;height:{0}mm", mm(square))) {
                        title { (said(*pictogram)) }
                        use href=(format!("#{}", name(*pictogram))) {}
                    }
                }
            }
            @if !beside.is_empty() {
                div.beside style=(format!("margin-left:{}mm", mm(BESIDE))) {
                    @for line in beside { (paragraph(line)) }
                }
            }
        }
    }
}

fn paragraph(line: &LabelLine) -> Markup {
    let class = match line.kind {
        LabelPart::Signal => "signal",
        LabelPart::Band => "heading",
        LabelPart::Hazard => "hazard",
        LabelPart::Caution => "caution",
        LabelPart::Fact => "fact",
        LabelPart::Precaution => "precaution",
    };
    html! {
        p class=(class) {
            @if let Some(lead) = &line.lead { b { (lead) ":" } " " }
            bdi { (line.text) }
            @if line.memory { " †" }
        }
    }
}

fn notes(sheet: &LabelSheet) -> Markup {
    html! {
        section.notes {
            h1 { "Notes to the labels of " bdi { (clean(&sheet.shop)) } ", " (sheet.on.to_string()) }
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
