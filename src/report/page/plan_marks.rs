//! Where marks stand on the sheet of a plan, and their signs. A mark has a shape by what it is; colour says nothing alone.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::bar::px;
use crate::finding::Verdict;
use crate::record::{FixtureKind, PlaceKind};
use crate::report::floor::{Floor, FloorMark, MarkKind};
use maud::{Markup, html};

/// The longer side of a room on paper, and of one under 20 ft.
const LONG: f64 = 440.0;
const LONG_SMALL: f64 = 270.0;
const SMALL: f64 = 6.096;
/// Half a mark.
const HALF: f64 = 9.0;
/// Paper around the walls.
const RIM: f64 = 20.0;
/// As a share of the longer side, how far out of the walls a mark may lie and still be drawn.
const OUT: f64 = 0.4;

/// A plan ready to be drawn, in pixels from the corner of the room.
pub(super) struct PlanSheet<'f> {
    /// Pixels in a metre.
    pub(super) scale: f64,
    /// The room.
    pub(super) wide: f64,
    pub(super) high: f64,
    /// The paper: its left and upper end, its right and lower end.
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
    /// The marks that are drawn.
    pub(super) spots: Vec<DrawnMark<'f>>,
    /// Words at rings.
    pub(super) ring_words: Vec<(f64, f64, String)>,
    /// Signs of classes: where, which, how many.
    pub(super) classes: Vec<(f64, f64, usize, usize)>,
}

/// A mark on the sheet.
pub(super) struct DrawnMark<'f> {
    pub(super) mark: &'f FloorMark,
    /// Its number in the table, from 1.
    pub(super) number: usize,
    /// Where the thing is.
    pub(super) at: (f64, f64),
    /// Where its sign is drawn.
    pub(super) shown: (f64, f64),
    /// The sign had to make room.
    pub(super) moved: bool,
}

/// A taken piece of paper: left, top, right, bottom.
type Box4 = (f64, f64, f64, f64);

/// Lays a floor out; `None` where its measures are not known.
pub(super) fn sheet(floor: &Floor) -> Option<PlanSheet<'_>> {
    let (length, width) = floor.size?;
    let (length, width) = (length.base().estimate(), width.base().estimate());
    let longer = length.max(width);
    if !(length > 0.0 && width > 0.0 && longer.is_finite()) {
        return None;
    }
    let long = if longer < SMALL { LONG_SMALL } else { LONG };
    let scale = long / longer;
    let mut sheet = PlanSheet {
        scale,
        wide: length * scale,
        high: width * scale,
        left: -RIM,
        top: -RIM,
        right: length * scale + RIM,
        bottom: width * scale + RIM + 14.0,
        spots: Vec::new(),
        ring_words: Vec::new(),
        classes: Vec::new(),
    };
    sheet.spots(floor);
    sheet.grow();
    let mut taken: Vec<Box4> = sheet
        .spots
        .iter()
        .map(|spot| around(spot.shown, HALF))
        .collect();
    sheet.classes = sheet.free_classes(&mut taken);
    sheet.ring_words = sheet.free_ring_words(&mut taken);
    Some(sheet)
}

impl<'f> PlanSheet<'f> {
    /// The `viewBox`.
    pub(super) fn view(&self) -> String {
        let (wide, high) = (self.right - self.left, self.bottom - self.top);
        format!(
            "{} {} {} {}",
            px(self.left),
            px(self.top),
            px(wide),
            px(high)
        )
    }

    /// Is the mark of this number drawn?
    pub(super) fn draws(&self, number: usize) -> bool {
        self.spots.iter().any(|spot| spot.number == number)
    }

    fn spots(&mut self, floor: &'f Floor) {
        let out = OUT * self.wide.max(self.high);
        for (number, mark) in (1..).zip(&floor.marks) {
            let Some((x, y)) = mark.xy else { continue };
            let at = (
                x.base().estimate() * self.scale,
                y.base().estimate() * self.scale,
            );
            let near =
                at.0 > -out && at.0 < self.wide + out && at.1 > -out && at.1 < self.high + out;
            if near {
                let shown = self.free(at);
                self.spots.push(DrawnMark {
                    mark,
                    number,
                    at,
                    shown,
                    moved: shown != at,
                });
            }
        }
    }

    /// The nearest place where a sign covers no other.
    fn free(&self, at: (f64, f64)) -> (f64, f64) {
        let clear = |place: &(f64, f64)| {
            self.spots.iter().all(|spot| {
                (spot.shown.0 - place.0).hypot(spot.shown.1 - place.1) > 2.0 * HALF + 6.0
            })
        };
        let rings = (1..6).flat_map(|ring| {
            let away = f64::from(ring) * (2.0 * HALF + 7.0);
            (0..12).map(move |step| {
                let turn = f64::from(step) * std::f64::consts::TAU / 12.0;
                (at.0 + away * turn.cos(), at.1 + away * turn.sin())
            })
        });
        let inside = |(x, y): &(f64, f64)| {
            let within = |at: f64, end: f64| at >= 0.0 && at <= end;
            within(*x, self.wide) && within(*y, self.high)
        };
        let places: Vec<(f64, f64)> = std::iter::once(at).chain(rings).filter(clear).collect();
        // What lies within the walls keeps its sign there, if it can.
        let best = places
            .iter()
            .find(|place| inside(place) || !inside(&at) || **place == at);
        best.or(places.first()).copied().unwrap_or(at)
    }

    /// The paper reaches around every mark.
    fn grow(&mut self) {
        for spot in &self.spots {
            let (left, top, right, bottom) = around(spot.shown, HALF + 6.0);
            self.left = self.left.min(left);
            self.top = self.top.min(top);
            self.right = self.right.max(right + 4.0);
            self.bottom = self.bottom.max(bottom + 14.0);
        }
    }

    fn holds(&self, (left, top, right, bottom): Box4) -> bool {
        left >= self.left && top >= self.top && right <= self.right && bottom <= self.bottom - 16.0
    }

    fn fits(&self, place: Box4, taken: &[Box4]) -> bool {
        self.holds(place) && !taken.iter().any(|other| overlap(place, *other))
    }

    /// The signs of the classes beside each mark, where there is paper for them; the table has them all.
    fn free_classes(&self, taken: &mut Vec<Box4>) -> Vec<(f64, f64, usize, usize)> {
        // A sign, its number, and air.
        let each = |count: usize| {
            17.0 + 6.5 * u32::try_from(count.to_string().len()).map_or(0.0, f64::from)
        };
        let mut signs = Vec::new();
        for spot in self.spots.iter().filter(|spot| !spot.mark.holds.is_empty()) {
            let (at, holds) = (spot.shown, &spot.mark.holds);
            let long: f64 = holds.iter().map(|vessels| each(vessels.count)).sum();
            let places = [
                (at.0 + HALF + 2.0, at.1 - 7.0),
                (at.0 - HALF - 2.0 - long, at.1 - 7.0),
                (at.0 - long / 2.0, at.1 + HALF + 1.0),
                (at.0 - long / 2.0, at.1 - HALF - 15.0),
            ];
            let found = places
                .into_iter()
                .map(|(x, y)| (x, y, x + long, y + 14.0))
                .find(|place| self.fits(*place, taken));
            let Some(place) = found else { continue };
            taken.push(place);
            let mut x = place.0 + 6.0;
            for vessels in holds {
                signs.push((x, place.1 + 7.0, vessels.rank, vessels.count));
                x += each(vessels.count);
            }
        }
        signs
    }

    /// The words of each ring, on it and within the walls.
    fn free_ring_words(&self, taken: &mut Vec<Box4>) -> Vec<(f64, f64, String)> {
        let mut words = Vec::new();
        let spots = self.spots.iter();
        let rings = spots.flat_map(|spot| spot.mark.rings.iter().map(move |ring| (spot.at, ring)));
        for (at, ring) in rings {
            let radius = ring.radius.estimate() * self.scale;
            let half = 3.1 * u32::try_from(ring.shown.len()).map_or(4.0, f64::from);
            let found = (0..24).find_map(|step| {
                let turn =
                    f64::from(step) * std::f64::consts::TAU / 24.0 - std::f64::consts::FRAC_PI_2;
                let (dx, dy) = (turn.cos(), turn.sin());
                // On the square of a walk, |x| + |y| is the radius.
                let far = match ring.walk {
                    true => radius / (dx.abs() + dy.abs()),
                    false => radius,
                };
                let (x, y) = (at.0 + far * dx, at.1 + far * dy);
                let inside = x > half && x < self.wide - half && y > 9.0 && y < self.high - 4.0;
                let place = (x - half, y - 9.0, x + half, y + 3.0);
                (inside && self.fits(place, taken)).then_some((x, y, place))
            });
            if let Some((x, y, place)) = found {
                taken.push(place);
                words.push((x, y, ring.shown.clone()));
            }
        }
        words
    }
}

fn around((x, y): (f64, f64), half: f64) -> Box4 {
    (x - half, y - half, x + half, y + half)
}

fn overlap(a: Box4, b: Box4) -> bool {
    a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
}

/// The sign of a thing by what it is, with a flag where something about it is open.
pub(super) fn mark_sign(what: MarkKind, worst: Option<Verdict>, (x, y): (f64, f64)) -> Markup {
    let shape = match what {
        MarkKind::Place(PlaceKind::Cabinet | PlaceKind::StoreRoom | PlaceKind::Refrigerator) => {
            "M-9 -9H9V9H-9ZM-6.500 -6.500V6.500H6.500V-6.500Z"
        }
        MarkKind::Place(PlaceKind::Shelf | PlaceKind::Bench | PlaceKind::Floor) => "M-9 -8H9V8H-9Z",
        MarkKind::Place(PlaceKind::Window) => "M-11 -6.500H11V6.500H-11ZM-11 0H-7.500M7.500 0H11",
        MarkKind::Place(PlaceKind::OilyWasteCan | PlaceKind::WaterCan | PlaceKind::PadJar) => {
            "M-8 -6V6Q-8 9 -5 9H5Q8 9 8 6V-6ZM-10 -9H10V-6H-10Z"
        }
        MarkKind::Place(PlaceKind::Outdoors | PlaceKind::DryingLine) => {
            "M-10 0Q-10 -9 0 -9T10 0T0 9T-10 0Z"
        }
        MarkKind::Fixture(FixtureKind::Exit) => "M-10 -8H4L11 0L4 8H-10Z",
        MarkKind::Fixture(FixtureKind::Extinguisher) => {
            "M-7 9V-3Q-7 -7 0 -8Q7 -7 7 -3V9ZM-2 -8V-11H6"
        }
        MarkKind::Fixture(FixtureKind::Flame | FixtureKind::Heater) => {
            "M0 -12L3.500 -7L9.500 -8.500L8 -2.500L12.500 1L7.500 4L8 10L2.500 8.500L-1.500 12.500L-4 7.500L-10 8L-8.500 2.500L-12.500 -1.500L-7.500 -4L-7.500 -10L-2.500 -8Z"
        }
        MarkKind::Fixture(
            FixtureKind::Eyewash
            | FixtureKind::Fan
            | FixtureKind::Switch
            | FixtureKind::Panel
            | FixtureKind::Sign,
        ) => "M-10 0L-5 -8.500H5L10 0L5 8.500H-5Z",
    };
    let place = format!("translate({} {})", px(x), px(y));
    html! {
        g.mark.igniting[what.ignites()] transform=(place) {
            path.shape d=(shape) {}
            @if let Some(worst) = worst {
                path.flag.(worst.word()) d="M8 -7V-17L16 -14L8 -11" {}
            }
        }
    }
}

/// The sign of a class by its rank: what lights soonest is full and pointed, what does not flash is an open ring.
pub(super) fn class_sign(rank: usize, x: f64, y: f64) -> Markup {
    let (shape, full) = match rank {
        0 => ("M0 -5.500L5 4.500H-5Z", true),
        1 => ("M-4.500 -4.500H4.500V4.500H-4.500Z", true),
        2 => ("M0 -5.500L5.500 0L0 5.500L-5.500 0Z", true),
        3 => ("M0 -5.500L5 4.500H-5Z", false),
        4 => ("M-4.500 -4.500H4.500V4.500H-4.500Z", false),
        5 => ("M0 -5.500L5.500 0L0 5.500L-5.500 0Z", false),
        6 => (
            "M-4.500 0Q-4.500 -4.500 0 -4.500T4.500 0T0 4.500T-4.500 0Z",
            false,
        ),
        _ => (
            "M-4.500 -4.500L4.500 4.500M-4.500 4.500L4.500 -4.500",
            false,
        ),
    };
    html! { path.class-sign.full[full] d=(shape) transform={ "translate(" (px(x)) " " (px(y)) ")" } {} }
}
