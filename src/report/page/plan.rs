//! The floor plan: where the numbers of the list are, to scale, with the distances that are findings.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::lists::DoLists;
use super::plan_shapes::{LINE, PlanShape, Wall, px};
use super::plan_sheet::{BADGE, PlanSheet, PlanThing, PlanWidth, plan_sheet};
use crate::report::floor::Floor;
use crate::report::html::{name, prose};
use crate::report::view::View;
use crate::text::clean;
use maud::{Markup, html};

/// Rooms that have something at a known position, the one with the most numbers first.
pub(super) fn rooms<'v>(view: &'v View<'_>, lists: &DoLists) -> Vec<&'v Floor> {
    let mut floors: Vec<&Floor> = view
        .floors
        .iter()
        .filter(|floor| floor.is_drawable())
        .collect();
    let of_floor = |floor: &Floor| -> usize {
        floor
            .marks
            .iter()
            .map(|mark| lists.numbers(&mark.findings).len())
            .sum()
    };
    floors.sort_by_key(|floor| std::cmp::Reverse(of_floor(floor)));
    floors
}

/// The plan of one room for a screen: one for a phone, and one for all else and for paper.
pub(super) fn plan(view: &View<'_>, floor: &Floor, lists: &DoLists) -> Markup {
    html! {
        (drawn(view, floor, lists, PlanWidth::Wide))
        (drawn(view, floor, lists, PlanWidth::Phone))
    }
}

/// The plan of one room.
pub(super) fn drawn(view: &View<'_>, floor: &Floor, lists: &DoLists, width: PlanWidth) -> Markup {
    let Some(sheet) = plan_sheet(floor, width, |mark| lists.numbers(&mark.findings)) else {
        return html! {};
    };
    let about = format!(
        "Floor plan of {}, north up. {}",
        clean(&floor.room),
        in_words(floor, lists)
    );
    html! {
        figure.floor.phone[width == PlanWidth::Phone] {
            svg.plan role="img" aria-label=(about) viewBox=(sheet.view()) width=(px((sheet.paper.right - sheet.paper.left) * 1.4)) {
                rect.wall x="0" y="0" width=(px(sheet.wide)) height=(px(sheet.high)) {}
                @for (at, reach) in &floor.reach { (walk(&sheet, sheet.point(*at), reach.estimate())) }
                @for thing in &sheet.things { (thing_drawn(&sheet, thing)) }
                @for ((x1, y1), (x2, y2)) in &sheet.lines {
                    path.measured d={ "M" (px(*x1)) " " (px(*y1)) "L" (px(*x2)) " " (px(*y2)) } {}
                }
                @for ((x1, y1), (x2, y2)) in &sheet.leads {
                    path.lead d={ "M" (px(*x1)) " " (px(*y1)) "L" (px(*x2)) " " (px(*y2)) } {}
                }
                @for text in &sheet.texts {
                    @for (line, words) in (1..).zip(&text.lines) {
                        text.(text.class) x=(px(text.middle)) y=(px(text.top + f64::from(line) * LINE - 3.0)) text-anchor="middle" { (words) }
                    }
                }
                @for badge in &sheet.badges {
                    @let (class, later) = look_of(lists, badge.number);
                    g.later[later] {
                        circle.badge.(class) cx=(px(badge.at.0)) cy=(px(badge.at.1)) r=(px(BADGE)) {}
                        text.count x=(px(badge.at.0)) y=(px(badge.at.1 + 4.0)) text-anchor="middle" { (badge.number) }
                    }
                }
                (scale_and_north(view, &sheet))
            }
            @if !sheet.unnamed.is_empty() || !sheet.unwritten.is_empty() {
                figcaption {
                    @if !sheet.unnamed.is_empty() { "No room for the names of: " (clean(&sheet.unnamed.join(", "))) ". " }
                    @if !sheet.unwritten.is_empty() { "Measured: " (clean(&sheet.unwritten.join(", "))) "." }
                }
            }
        }
    }
}

/// Where each number is, in words.
fn in_words(floor: &Floor, lists: &DoLists) -> String {
    let marks = floor
        .marks
        .iter()
        .map(|mark| (mark, lists.numbers(&mark.findings)));
    let there = marks.filter(|(_, numbers)| !numbers.is_empty());
    let words: Vec<String> = there
        .map(|(mark, numbers)| {
            let numbers: Vec<String> = numbers.iter().map(usize::to_string).collect();
            format!("{}: {}", clean(&mark.id), numbers.join(", "))
        })
        .collect();
    match words.is_empty() {
        true => "No item of the list is in this room.".to_string(),
        false => words.join("; "),
    }
}

/// How a number is marked, and whether its line is not on the first sheet.
fn look_of(lists: &DoLists, number: usize) -> (&'static str, bool) {
    let mut lines = lists.iter().flat_map(|list| &list.lines);
    let line = lines.find(|line| line.number == number);
    line.map_or(("", false), |line| (line.state.class(), !line.on_sheet))
}

/// The walk along the walls within which an extinguisher counts: a square on its corner.
fn walk(sheet: &PlanSheet<'_>, (x, y): (f64, f64), meters: f64) -> Markup {
    let far = meters * sheet.scale;
    html! {
        svg x="0" y="0" width=(px(sheet.wide)) height=(px(sheet.high)) {
            path.reach d={ "M" (px(x)) " " (px(y - far)) "L" (px(x + far)) " " (px(y)) "L" (px(x)) " " (px(y + far))
                "L" (px(x - far)) " " (px(y)) "Z" } {}
        }
    }
}

fn thing_drawn(sheet: &PlanSheet<'_>, thing: &PlanThing<'_>) -> Markup {
    let area = thing.area;
    let (x, y) = area.middle();
    let (wide, high) = (area.right - area.left, area.bottom - area.top);
    let rectangle = |class: &str| {
        html! { rect.(class) x=(px(area.left)) y=(px(area.top)) width=(px(wide)) height=(px(high)) {} }
    };
    match thing.shape {
        PlanShape::Box => rectangle("thing"),
        PlanShape::Can => {
            html! { circle.thing cx=(px(x)) cy=(px(y)) r=(px(wide.min(high) / 2.0)) {} }
        }
        PlanShape::Dot => html! { circle.thing.dot cx=(px(x)) cy=(px(y)) r="4" {} },
        PlanShape::Open => html! { circle.thing.open cx=(px(x)) cy=(px(y)) r=(px(wide / 2.0)) {} },
        PlanShape::Window(_) => html! {
            (rectangle("gap"))
            path.pane d={ "M" (px(area.left)) " " (px(area.top)) "H" (px(area.right)) "V" (px(area.bottom)) "H" (px(area.left)) "Z" } {}
        },
        PlanShape::Fan(_) => rectangle("thing"),
        PlanShape::Door(wall) => html! {
            (rectangle("gap"))
            path.swing d=(swing(wall, area.left.max(0.0), area.top.max(0.0), (wide, high), sheet)) {}
        },
    }
}

/// A door that stands open to the outside, and the quarter circle that it swings through.
fn swing(
    wall: Wall,
    left: f64,
    top: f64,
    (wide, high): (f64, f64),
    sheet: &PlanSheet<'_>,
) -> String {
    let (x, y, leaf) = match wall {
        Wall::North | Wall::South => (
            left,
            if wall == Wall::North { 0.0 } else { sheet.high },
            wide,
        ),
        Wall::West | Wall::East => (if wall == Wall::West { 0.0 } else { sheet.wide }, top, high),
    };
    let (x, y, leaf) = (px(x), px(y), px(leaf));
    match wall {
        Wall::North => format!("M{x} {y}v-{leaf}a{leaf} {leaf} 0 0 1 {leaf} {leaf}"),
        Wall::South => format!("M{x} {y}v{leaf}a{leaf} {leaf} 0 0 0 {leaf} -{leaf}"),
        Wall::West => format!("M{x} {y}h-{leaf}a{leaf} {leaf} 0 0 0 {leaf} {leaf}"),
        Wall::East => format!("M{x} {y}h{leaf}a{leaf} {leaf} 0 0 1 -{leaf} {leaf}"),
    }
}

fn scale_and_north(view: &View<'_>, sheet: &PlanSheet<'_>) -> Markup {
    let (meters, words) = if view.us {
        (1.524, "5 ft")
    } else {
        (2.0, "2 m")
    };
    let (x, y) = (sheet.paper.left.max(0.0), sheet.paper.bottom + 18.0);
    let end = x + meters * sheet.scale;
    let arrow = sheet.paper.right - 24.0;
    html! {
        path.scale d={ "M" (px(x)) " " (px(y - 5.0)) "V" (px(y)) "H" (px(end)) "V" (px(y - 5.0)) } {}
        text.name x=(px(end + 6.0)) y=(px(y)) { (words) }
        path.scale d={ "M" (px(arrow)) " " (px(y + 4.0)) "V" (px(y - 14.0)) "m-4 7l4 -8l4 8" } {}
        text.name x=(px(arrow - 9.0)) y=(px(y)) text-anchor="end" { "north" }
    }
}

/// Every room, for the binder and the fold of the page; rooms that cannot be drawn are named.
pub(crate) fn undrawn(view: &View<'_>) -> Markup {
    let missing: Vec<&str> = view
        .floors
        .iter()
        .filter(|floor| !floor.is_drawable() && !floor.marks.is_empty())
        .map(|floor| floor.room.as_str())
        .collect();
    html! {
        @if !missing.is_empty() {
            p.faint {
                "No plan of "
                @for (at, room) in missing.iter().enumerate() { @if at > 0 { ", " } (name(room)) }
                (prose(": give its length and width in rooms.csv and x and y of a place in places.csv."))
            }
        }
    }
}
