//! The rooms from above, to scale: a picture with numbered marks, and a table that says the same in words.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::bar::px;
use super::plan_marks::{DrawnMark, PlanSheet, class_sign, mark_sign, sheet};
use crate::finding::{SubjectKind, Verdict};
use crate::quantity::{Exact, Length, in_unit, unit};
use crate::record::FixtureKind;
use crate::report::floor::{Floor, FloorMark, MarkKind, Ring};
use crate::report::html::{classed_table, name, nothing, prose, said, sign, wide};
use crate::report::view::View;
use crate::report::wrap::{capital, many};
use maud::{Markup, html};
use std::collections::{BTreeMap, HashMap};

/// How much larger a plan is shown where there is room for it.
const SHOWN: f64 = 1.5;

/// The part about rooms.
pub(super) fn plans(view: &View<'_>) -> Markup {
    if view.floors.is_empty() {
        return nothing(
            "No room has measures, and no place or fixture is written down, so there is nothing to draw.",
        );
    }
    let mut open: HashMap<&str, usize> = HashMap::new();
    let rooms = view.findings.iter();
    for finding in rooms.filter(|f| f.calls() && f.subject.kind == SubjectKind::Room) {
        *open.entry(finding.subject.id.as_str()).or_insert(0) += 1;
    }
    html! {
        p.faint {
            "Drawn to scale from the corner that the shop measures from. A ring is a distance that a rule asks for around a thing; \
             a broken one is the walk within which an extinguisher counts. Numbers lead to the table below each plan. What a plan \
             does not show, such as walls between, doors in the way or what stands beneath, it does not know."
        }
        @for (at, floor) in view.floors.iter().enumerate() {
                (room(view, at, floor, open.get(floor.room.as_str()).copied().unwrap_or(0)))
            }
    }
}

fn room(view: &View<'_>, at: usize, floor: &Floor, open: usize) -> Markup {
    let title = format!("room-{at}");
    let drawn = sheet(floor);
    let is_off = |number| !drawn.as_ref().is_some_and(|sheet| sheet.draws(number));
    let off: Vec<usize> = (1..=floor.marks.len()).filter(|n| is_off(*n)).collect();
    html! {
        section.room aria-labelledby=(title) {
            h3 id=(title) {
                (name(&floor.room)) " "
                span.faint {
                    @if let Some((length, width)) = floor.size {
                        (metres(view, length)) " by " (metres(view, width))
                    }
                    @if open > 0 { " · " (many(open, "open finding")) " about the room itself" }
                }
            }
            @match &drawn {
                Some(sheet) => (picture(view, floor, at, sheet)),
                None => (nothing("No plan: length and width of this room are not known. Give them in rooms.csv.")),
            }
            @if !floor.marks.is_empty() { (table(view, floor, &off)) }
        }
    }
}

fn metres(view: &View<'_>, length: Length) -> String {
    let symbol = if view.us { "ft" } else { "m" };
    unit::find(symbol).map_or(String::new(), |unit| in_unit(length.base(), unit))
}

fn picture(view: &View<'_>, floor: &Floor, at: usize, sheet: &PlanSheet<'_>) -> Markup {
    let (told, clip) = (format!("room-{at}-told"), format!("room-{at}-walls"));
    let marks = sheet.spots.len();
    html! {
        figure { (wide(&format!("Plan of {}", floor.room), html! {
            svg.plan.big[sheet.wide.max(sheet.high) > 300.0] role="img" aria-labelledby=(told) width=(px((sheet.right - sheet.left) * SHOWN)) viewBox=(sheet.view()) {
                title id=(told) {
                    "Plan of " (crate::text::clean(&floor.room)) " with " (many(marks, "numbered mark")) "; the table below says what they are"
                }
                defs {
                    clipPath id=(clip) {
                        rect x="0" y="0" width=(px(sheet.wide)) height=(px(sheet.high)) {}
                    }
                }
                rect.wall x="0" y="0" width=(px(sheet.wide)) height=(px(sheet.high)) {}
                g clip-path={ "url(#" (clip) ")" } {
                    @for spot in &sheet.spots {
                        @for ring in &spot.mark.rings { (ring_drawn(sheet, spot, ring)) }
                    }
                }
                @for (x, y, words) in &sheet.ring_words {
                    text.ring-words x=(px(*x)) y=(px(*y)) text-anchor="middle" { (words) }
                }
                @for spot in &sheet.spots {
                    @if spot.moved {
                        path.lead d={ "M" (px(spot.at.0)) " " (px(spot.at.1)) "L" (px(spot.shown.0)) " " (px(spot.shown.1)) } {}
                        circle.true-spot cx=(px(spot.at.0)) cy=(px(spot.at.1)) r="2" {}
                    }
                    (mark_sign(spot.mark.what, worst(view, spot.mark), spot.shown))
                    text.mark-number x=(px(spot.shown.0)) y=(px(spot.shown.1 + 3.6)) text-anchor="middle" { (spot.number) }
                }
                @for (x, y, rank, count) in &sheet.classes {
                    (class_sign(*rank, *x, *y))
                    text.class-count x=(px(x + 7.0)) y=(px(y + 3.6)) { (count) }
                }
                (scale_bar(view, sheet))
            }
            }))
            figcaption { (key(floor)) }
        }
    }
}

/// The distance around a thing: a circle, or for a walk along the walls a square on its corner.
fn ring_drawn(sheet: &PlanSheet<'_>, spot: &DrawnMark<'_>, ring: &Ring) -> Markup {
    let (x, y) = spot.at;
    let radius = ring.radius.estimate() * sheet.scale;
    html! {
        @if ring.walk {
            path.ring.walk d={ "M" (px(x)) " " (px(y - radius)) "L" (px(x + radius)) " " (px(y)) "L" (px(x)) " " (px(y + radius))
                "L" (px(x - radius)) " " (px(y)) "Z" } {}
        } @else {
            circle.ring.igniting[spot.mark.what.ignites()] cx=(px(x)) cy=(px(y)) r=(px(radius)) {}
        }
    }
}

/// The worst verdict that is open about a mark.
fn worst(view: &View<'_>, mark: &FloorMark) -> Option<Verdict> {
    let open = mark.findings.iter().filter_map(|at| view.findings.get(*at));
    open.map(|finding| finding.verdict).min()
}

fn scale_bar(view: &View<'_>, sheet: &PlanSheet<'_>) -> Markup {
    let (length, words) = if view.us {
        (1.524 * sheet.scale, "5 ft")
    } else {
        (2.0 * sheet.scale, "2 m")
    };
    let (x, y) = (sheet.left + 6.0, sheet.bottom - 6.0);
    html! {
        path.scale d={ "M" (px(x)) " " (px(y - 4.0)) "V" (px(y)) "H" (px(x + length)) "V" (px(y - 4.0)) } {}
        text.ring-words x=(px(x + length + 5.0)) y=(px(y)) { (words) }
    }
}

/// Signs of the classes that are there.
fn key(floor: &Floor) -> Markup {
    let mut there: BTreeMap<usize, &str> = BTreeMap::new();
    for vessels in floor.marks.iter().flat_map(|mark| &mark.holds) {
        there.insert(vessels.rank, &vessels.class);
    }
    html! {
        ul.key {
            @for (rank, class) in &there {
                li {
                    svg width="16" height="14" viewBox="-8 -7 16 14" aria-hidden="true" focusable="false" { (class_sign(*rank, 0.0, 0.0)) }
                    " " (prose(class))
                }
            }
            @if !there.is_empty() { li.faint {
                "signs with the number of containers"
                @if let Some(pack) = &floor.classes_of { ", classes as in " (name(pack)) }
            } }
            @for (class, words) in [("breach", "breach"), ("near", "near, or cannot be judged")] {
                li {
                    svg width="20" height="14" viewBox="-10 -7 20 14" aria-hidden="true" focusable="false" {
                        path.flag.(class) d="M-3 5V-5L5 -2L-3 1" {}
                    }
                    " " (words)
                }
            }
        }
    }
}

/// Every mark in words.
fn table(view: &View<'_>, floor: &Floor, off: &[usize]) -> Markup {
    let label = format!("What stands in {}", floor.room);
    let heads = [
        "#No.",
        "What",
        "Holds",
        "Distances that rules ask for",
        "Open findings",
    ];
    html! {
        (classed_table(&label, "marks", &heads, &html! { tbody {
            @for (number, mark) in (1..).zip(&floor.marks) {
                tr {
                    td.number { (number) }
                    th scope="row" {
                        (name(&mark.id)) " " span.faint { (mark.what.word()) }
                        @if let Some(rating) = &mark.rating { " " (name(rating)) }
                        @if off.contains(&number) { " " em { (why_off(mark)) } }
                    }
                    td { (holds(mark)) }
                    td { (distances(view, floor, mark)) }
                    td { (links(view, mark)) }
                }
            }
        } }))
        @if !off.is_empty() {
            p.faint { "Not on the plan: " (off.len()) " of " (floor.marks.len()) ". They are marked so in the table." }
        }
    }
}

fn why_off(mark: &FloorMark) -> &'static str {
    match mark.xy {
        Some(_) => "not on the plan: it lies too far out, or the room has no measures",
        None => "not on the plan: no x and y",
    }
}

fn holds(mark: &FloorMark) -> Markup {
    html! {
        @for vessels in &mark.holds {
            p.line { (prose(&vessels.class)) ": " strong { (vessels.count) } " " span.faint { "(" (vessels.vessels) ")" } }
        }
        @for cloth in &mark.cloth { p.line { strong { (prose(cloth)) } } }
    }
}

fn distances(view: &View<'_>, floor: &Floor, mark: &FloorMark) -> Markup {
    let no_reach = mark.what == MarkKind::Fixture(FixtureKind::Extinguisher)
        && !mark.rings.iter().any(|r| r.walk);
    html! {
        @for ring in &mark.rings {
            p.line {
                strong { (ring.shown) } @if ring.walk { " of walk" } @else { " clear" }
                @if covers(floor, mark, ring) { @if ring.walk { ", which reaches all of this room" } @else { ", which takes in all of this room" } }
                ": " span.faint { @for (at, rule) in ring.rules.iter().enumerate() { @if at > 0 { "; " } (prose(rule)) } }
            }
        }
        @if no_reach && view.floors.iter().flat_map(|f| &f.marks).any(|m| !m.rings.is_empty()) {
            p.line { "no reach: its plate does not say that it is for burning liquids" }
        }
    }
}

/// Is every corner of the room within it? Then the plan shows no ring.
fn covers(floor: &Floor, mark: &FloorMark, ring: &Ring) -> bool {
    let (Some((length, width)), Some((x, y))) = (floor.size, mark.xy) else {
        return false;
    };
    let far = |at: Length, whole: Length| {
        let rest = whole.base().minus(at.base()).unwrap_or(Exact::ZERO);
        rest.size().max(at.base().size())
    };
    let (along, across) = (far(x, length), far(y, width));
    if ring.walk {
        let most = along.plus(across);
        return most.is_ok_and(|most| most <= ring.radius);
    }
    along.estimate().hypot(across.estimate()) <= ring.radius.estimate()
}

/// Links to the findings about a mark and what stands there.
fn links(view: &View<'_>, mark: &FloorMark) -> Markup {
    const MOST: usize = 8;
    let list = mark
        .findings
        .iter()
        .filter_map(|at| Some((*at, view.findings.get(*at)?)));
    html! {
        @for (at, finding) in list.take(MOST) {
            p.line {
                a href={ "#f" (at) } { (sign(finding.verdict)) " " (said(finding.verdict)) ": " (name(&finding.subject.id)) ", " (capital(finding.topic)) }
            }
        }
        @if mark.findings.len() > MOST { p.line.faint { "and " (mark.findings.len() - MOST) " more" } }
    }
}
