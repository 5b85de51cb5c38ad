//! Shapes, sizes and pieces of paper of the floor plan.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use crate::record::{FixtureKind, PlaceKind};
use crate::report::floor::MarkKind;

/// Height of a line of text, and the most that a letter is wide.
pub(super) const LINE: f64 = 13.0;
const LETTER: f64 = 7.0;
/// A piece of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PaperArea {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wall {
    North,
    East,
    South,
    West,
}

/// How a thing is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PlanShape {
    Box,
    /// A can or jar.
    Can,
    /// A fixture of a wall.
    Dot,
    /// A place outdoors.
    Open,
    Door(Wall),
    Window(Wall),
    Fan(Wall),
}

/// How a thing of a kind is drawn.
pub(super) fn shape_of(what: MarkKind, wall: Wall) -> PlanShape {
    match what {
        MarkKind::Place(PlaceKind::Window) => PlanShape::Window(wall),
        MarkKind::Place(PlaceKind::Outdoors | PlaceKind::DryingLine) => PlanShape::Open,
        MarkKind::Place(PlaceKind::OilyWasteCan | PlaceKind::WaterCan | PlaceKind::PadJar) => {
            PlanShape::Can
        }
        MarkKind::Place(
            PlaceKind::Cabinet
            | PlaceKind::StoreRoom
            | PlaceKind::Refrigerator
            | PlaceKind::Shelf
            | PlaceKind::Bench
            | PlaceKind::Floor,
        )
        | MarkKind::Fixture(FixtureKind::Heater | FixtureKind::Flame) => PlanShape::Box,
        MarkKind::Fixture(FixtureKind::Exit) => PlanShape::Door(wall),
        MarkKind::Fixture(FixtureKind::Fan) => PlanShape::Fan(wall),
        MarkKind::Fixture(
            FixtureKind::Extinguisher
            | FixtureKind::Eyewash
            | FixtureKind::Switch
            | FixtureKind::Panel
            | FixtureKind::Sign,
        ) => PlanShape::Dot,
    }
}

/// Meters along the wall and away from it. The real size is unknown, so this one only makes the shape recognizable.
pub(super) fn usual_size(what: MarkKind) -> (f64, f64) {
    match what {
        MarkKind::Place(PlaceKind::Bench | PlaceKind::StoreRoom) => (1.7, 0.6),
        MarkKind::Place(PlaceKind::Cabinet) => (1.1, 0.5),
        MarkKind::Place(PlaceKind::Shelf) => (1.0, 0.35),
        MarkKind::Place(PlaceKind::Refrigerator) => (0.6, 0.6),
        MarkKind::Place(PlaceKind::OilyWasteCan | PlaceKind::WaterCan) => (0.4, 0.4),
        MarkKind::Place(
            PlaceKind::PadJar
            | PlaceKind::Floor
            | PlaceKind::Window
            | PlaceKind::Outdoors
            | PlaceKind::DryingLine,
        ) => (0.3, 0.3),
        MarkKind::Fixture(FixtureKind::Heater | FixtureKind::Flame) => (0.6, 0.3),
        MarkKind::Fixture(
            FixtureKind::Exit
            | FixtureKind::Fan
            | FixtureKind::Extinguisher
            | FixtureKind::Eyewash
            | FixtureKind::Switch
            | FixtureKind::Panel
            | FixtureKind::Sign,
        ) => (0.25, 0.25),
    }
}

/// A name on one line of so many letters, or broken between words where it is longer: into two even lines, or three.
pub(super) fn broken(name: &str, most: usize) -> Vec<String> {
    let name = crate::text::clean(name);
    let letters = name.chars().count();
    if letters <= most {
        return vec![name];
    }
    let even = letters.div_ceil(letters.div_ceil(most).min(3));
    let mut lines: Vec<String> = Vec::new();
    for word in name.split(' ') {
        match lines.last_mut() {
            // A word joins the line where it ends nearer to the middle than it begins.
            Some(line) if line.chars().count() + word.chars().count() / 2 < even => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) | None => lines.push(word.to_string()),
        }
    }
    lines
}

/// The paper that lines of text take.
pub(super) fn size(lines: &[String]) -> (f64, f64) {
    let longest = lines
        .iter()
        .map(|line| crate::report::wrap::width(line))
        .max();
    (
        count(longest.unwrap_or(0)) * LETTER + 2.0,
        count(lines.len()) * LINE,
    )
}

impl PaperArea {
    pub(super) fn new(left: f64, top: f64, right: f64, bottom: f64) -> PaperArea {
        PaperArea {
            left,
            top,
            right,
            bottom,
        }
    }

    pub(super) fn around((x, y): (f64, f64), half: f64) -> PaperArea {
        PaperArea::new(x - half, y - half, x + half, y + half)
    }

    pub(super) fn middle(self) -> (f64, f64) {
        (
            f64::midpoint(self.left, self.right),
            f64::midpoint(self.top, self.bottom),
        )
    }

    pub(super) fn size(self) -> f64 {
        (self.right - self.left) * (self.bottom - self.top)
    }

    pub(super) fn holds(self, (x, y): (f64, f64)) -> bool {
        x >= self.left && x <= self.right && y >= self.top && y <= self.bottom
    }

    /// The point of this piece of paper that is nearest to another one.
    pub(super) fn nearest(self, (x, y): (f64, f64)) -> (f64, f64) {
        (
            x.clamp(self.left, self.right),
            y.clamp(self.top, self.bottom),
        )
    }

    pub(super) fn overlaps(self, other: PaperArea) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(super) fn joined(self, other: PaperArea) -> PaperArea {
        PaperArea::new(
            self.left.min(other.left),
            self.top.min(other.top),
            self.right.max(other.right),
            self.bottom.max(other.bottom),
        )
    }
}

/// A count as a length.
pub(super) fn count(count: usize) -> f64 {
    u32::try_from(count).map_or(0.0, f64::from)
}

/// A place on paper, to a tenth.
pub(super) fn px(place: f64) -> String {
    let text = format!("{place:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_string)
}

#[cfg(test)]
mod tests {
    use super::broken;

    #[test]
    fn names_break_between_words() {
        assert_eq!(broken("rag can", 15), ["rag can"]);
        let long = "extinguisher by the store-room";
        assert_eq!(broken(long, 15), ["extinguisher by", "the store-room"]);
        assert_eq!(broken(long, 11), ["extinguisher", "by the", "store-room"]);
        assert_eq!(broken("wwwwwwwwwwwwwwwwwwwwwwww", 10).len(), 1);
    }
}
