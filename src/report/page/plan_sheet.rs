//! Where everything goes on the floor plan: shapes on their walls, numbers on their shapes, and names where nothing else is
//! written. It must not know HTML.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::plan_shapes::{PaperArea, PlanShape, Wall, count, px, shape_of, usual_size};
use crate::report::floor::{Floor, FloorMark, FloorPoint, MarkKind};

/// A room whose longer side is under 20 ft is drawn smaller than a large one.
const SMALL: f64 = 6.096;
/// Paper around the walls.
const RIM: f64 = 14.0;
/// Half the size of a number, and from one number to the next.
pub(super) const BADGE: f64 = 9.0;
const STEP: f64 = 20.0;
/// As a share of the longer side of a large room, how far outside the walls a place may be and still be drawn.
const OUTSIDE: f64 = 0.4;

/// For which screen a plan is drawn: letters have the same size on each, so a phone gets a smaller room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PlanWidth {
    Wide,
    Phone,
}

impl PlanWidth {
    /// The longer side of a large room.
    fn long(self) -> f64 {
        match self {
            PlanWidth::Wide => 400.0,
            PlanWidth::Phone => 185.0,
        }
    }

    /// The longer side of a small room, as a share of `long`.
    fn small(self) -> f64 {
        match self {
            PlanWidth::Wide => 0.6,
            PlanWidth::Phone => 0.85,
        }
    }

    /// Names longer than this are broken.
    fn letters(self) -> usize {
        match self {
            PlanWidth::Wide => 15,
            PlanWidth::Phone => 11,
        }
    }
}

/// A plan ready to be drawn, in units from the north-west corner of the room.
pub(super) struct PlanSheet<'f> {
    /// Units in a meter.
    pub(super) scale: f64,
    /// The longer side of a large room.
    long: f64,
    pub(super) wide: f64,
    pub(super) high: f64,
    pub(super) paper: PaperArea,
    pub(super) things: Vec<PlanThing<'f>>,
    pub(super) badges: Vec<Badge>,
    pub(super) lines: Vec<LeadLine>,
    pub(super) texts: Vec<PlanText>,
    /// Names longer than this are broken.
    pub(super) most_letters: usize,
    /// From names that are farther away to their things.
    pub(super) leads: Vec<LeadLine>,
    /// Names for which there was no room.
    pub(super) unnamed: Vec<&'f str>,
    /// Distances for which there was no room.
    pub(super) unwritten: Vec<&'f str>,
}

#[derive(Clone)]
pub(super) struct PlanThing<'f> {
    pub(super) mark: &'f FloorMark,
    pub(super) shape: PlanShape,
    pub(super) area: PaperArea,
}

/// A thin line from one point to another.
pub(super) type LeadLine = ((f64, f64), (f64, f64));

/// A number of the list.
pub(super) struct Badge {
    pub(super) at: (f64, f64),
    pub(super) number: usize,
}

/// Words in the middle of a piece of paper.
pub(super) struct PlanText {
    pub(super) lines: Vec<String>,
    pub(super) middle: f64,
    pub(super) top: f64,
    pub(super) class: &'static str,
}

/// Lays a floor out; `numbers` says which numbers of the list belong to a mark.
pub(super) fn plan_sheet<'f>(
    floor: &'f Floor,
    width: PlanWidth,
    numbers: impl Fn(&FloorMark) -> Vec<usize>,
) -> Option<PlanSheet<'f>> {
    let (length, depth) = floor.size.filter(|_| floor.is_drawable())?;
    let (length, depth) = (length.base().estimate(), depth.base().estimate());
    let longer = length.max(depth);
    if !(length > 0.0 && depth > 0.0 && longer.is_finite()) {
        return None;
    }
    let long = width.long();
    let share = if longer < SMALL { width.small() } else { 1.0 };
    let scale = long * share / longer;
    let (wide, high) = (length * scale, depth * scale);
    let mut sheet = PlanSheet {
        scale,
        long,
        wide,
        high,
        paper: PaperArea::new(-RIM, -RIM, wide + RIM, high + RIM),
        things: Vec::new(),
        badges: Vec::new(),
        lines: Vec::new(),
        texts: Vec::new(),
        most_letters: width.letters(),
        leads: Vec::new(),
        unnamed: Vec::new(),
        unwritten: Vec::new(),
    };
    sheet.things = floor
        .marks
        .iter()
        .filter_map(|mark| sheet.thing(mark))
        .collect();
    // The largest are drawn first, so that a jar on a bench is seen.
    sheet
        .things
        .sort_by(|a, b| b.area.size().total_cmp(&a.area.size()));
    let mut taken: Vec<PaperArea> = sheet.things.iter().map(|thing| thing.area).collect();
    taken.extend(sheet.walls());
    sheet.badges = sheet.numbered(numbers);
    taken.extend(
        sheet
            .badges
            .iter()
            .map(|badge| PaperArea::around(badge.at, BADGE + 1.0)),
    );
    sheet.distances(floor, &mut taken);
    sheet.names(&mut taken);
    sheet.grow(&taken);
    Some(sheet)
}

impl<'f> PlanSheet<'f> {
    /// The `viewBox`, with a strip below for the scale and the north arrow.
    pub(super) fn view(&self) -> String {
        let paper = self.paper;
        format!(
            "{} {} {} {}",
            px(paper.left),
            px(paper.top),
            px(paper.right - paper.left),
            px(paper.bottom - paper.top + 30.0)
        )
    }

    pub(super) fn point(&self, (x, y): FloorPoint) -> (f64, f64) {
        (
            x.base().estimate() * self.scale,
            y.base().estimate() * self.scale,
        )
    }

    fn thing(&self, mark: &'f FloorMark) -> Option<PlanThing<'f>> {
        let at = self.point(mark.xy?);
        let out = OUTSIDE * self.long;
        let near = |at: f64, end: f64| at > -out && at < end + out;
        if !(near(at.0, self.wide) && near(at.1, self.high)) {
            return None;
        }
        let (wall, _) = self.nearest_wall(at);
        let shape = shape_of(mark.what, wall);
        let area = match shape {
            PlanShape::Door(_) | PlanShape::Window(_) | PlanShape::Fan(_) => {
                self.on_wall(at, shape, wall)
            }
            PlanShape::Box | PlanShape::Can | PlanShape::Dot => self.inside(at, mark.what, wall),
            PlanShape::Open => PaperArea::around(at, 12.0),
        };
        Some(PlanThing { mark, shape, area })
    }

    fn nearest_wall(&self, (x, y): (f64, f64)) -> (Wall, f64) {
        let walls = [
            (Wall::North, y.abs()),
            (Wall::South, (self.high - y).abs()),
            (Wall::West, x.abs()),
            (Wall::East, (self.wide - x).abs()),
        ];
        let nearest = walls.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
        nearest.unwrap_or((Wall::North, 0.0))
    }

    /// A door, window or fan: a piece of its wall.
    fn on_wall(&self, (x, y): (f64, f64), shape: PlanShape, wall: Wall) -> PaperArea {
        let meters = match shape {
            PlanShape::Fan(_) => 0.6,
            PlanShape::Window(_) => 1.2,
            PlanShape::Door(_)
            | PlanShape::Box
            | PlanShape::Can
            | PlanShape::Dot
            | PlanShape::Open => 0.9,
        };
        let half = (meters * self.scale / 2.0).max(8.0);
        let along = |at: f64, end: f64| at.clamp(half.min(end / 2.0), (end - half).max(end / 2.0));
        match wall {
            Wall::North | Wall::South => {
                let (x, y) = (
                    along(x, self.wide),
                    if wall == Wall::North { 0.0 } else { self.high },
                );
                PaperArea::new(x - half, y - 3.0, x + half, y + 3.0)
            }
            Wall::West | Wall::East => {
                let (x, y) = (
                    if wall == Wall::West { 0.0 } else { self.wide },
                    along(y, self.high),
                );
                PaperArea::new(x - 3.0, y - half, x + 3.0, y + half)
            }
        }
    }

    /// A thing of the usual size of its kind, inside the walls and along the nearest one.
    fn inside(&self, (x, y): (f64, f64), what: MarkKind, wall: Wall) -> PaperArea {
        let (long, deep) = usual_size(what);
        let upright = matches!(wall, Wall::West | Wall::East);
        let (long, deep) = if upright { (deep, long) } else { (long, deep) };
        let half =
            |meters: f64, end: f64| (meters * self.scale / 2.0).max(5.0).min(end / 2.0 - 3.0);
        let (half_x, half_y) = (half(long, self.wide), half(deep, self.high));
        let within =
            |at: f64, half: f64, end: f64| at.clamp(half + 3.0, (end - half - 3.0).max(half + 3.0));
        let (x, y) = (within(x, half_x, self.wide), within(y, half_y, self.high));
        PaperArea::new(x - half_x, y - half_y, x + half_x, y + half_y)
    }

    /// The walls, which no name may cross.
    pub(super) fn walls(&self) -> [PaperArea; 4] {
        let (wide, high) = (self.wide, self.high);
        [
            PaperArea::new(-2.0, -2.0, wide + 2.0, 2.0),
            PaperArea::new(-2.0, high - 2.0, wide + 2.0, high + 2.0),
            PaperArea::new(-2.0, -2.0, 2.0, high + 2.0),
            PaperArea::new(wide - 2.0, -2.0, wide + 2.0, high + 2.0),
        ]
    }

    /// The numbers of the list on each thing, in rows of four.
    fn numbered(&self, numbers: impl Fn(&FloorMark) -> Vec<usize>) -> Vec<Badge> {
        const ROW: usize = 4;
        let mut badges: Vec<Badge> = Vec::new();
        for thing in &self.things {
            let numbers = numbers(thing.mark);
            let middle = self.place_for(thing);
            let rows = numbers.chunks(ROW).count();
            for (row, list) in numbers.chunks(ROW).enumerate() {
                for (at, number) in list.iter().enumerate() {
                    let across = (count(at) - count(list.len() - 1) / 2.0) * STEP;
                    let down = (count(row) - count(rows - 1) / 2.0) * STEP;
                    let wanted = (middle.0 + across, middle.1 + down);
                    badges.push(Badge {
                        at: free(wanted, &badges),
                        number: *number,
                    });
                }
            }
        }
        badges
    }

    /// The middle of a thing; of a piece of wall, a little inside the room.
    fn place_for(&self, thing: &PlanThing<'_>) -> (f64, f64) {
        const INSET: f64 = 15.0;
        let (x, y) = thing.area.middle();
        match thing.shape {
            PlanShape::Door(wall) | PlanShape::Window(wall) | PlanShape::Fan(wall) => match wall {
                Wall::North => (x, INSET),
                Wall::South => (x, self.high - INSET),
                Wall::West => (INSET, y),
                Wall::East => (self.wide - INSET, y),
            },
            PlanShape::Box | PlanShape::Can | PlanShape::Dot | PlanShape::Open => (x, y),
        }
    }

    /// The paper reaches around everything.
    fn grow(&mut self, taken: &[PaperArea]) {
        self.paper = taken.iter().fold(self.paper, |paper, area| {
            paper.joined(PaperArea::new(
                area.left - 4.0,
                area.top - 4.0,
                area.right + 4.0,
                area.bottom + 4.0,
            ))
        });
        // The scale and the north arrow are side by side below the room.
        let scale_and_north = self.paper.left.max(0.0) + 2.0 * self.scale + 110.0;
        self.paper.right = self.paper.right.max(scale_and_north);
        let doors = self
            .things
            .iter()
            .filter(|thing| matches!(thing.shape, PlanShape::Door(_)));
        self.paper = doors.fold(self.paper, |paper, door| {
            let (x, y) = door.area.middle();
            paper.joined(PaperArea::around((x, y), 0.9 * self.scale + 4.0))
        });
    }
}

/// The nearest place beside the numbers that are there already.
fn free(wanted: (f64, f64), badges: &[Badge]) -> (f64, f64) {
    let is_free = |at: &(f64, f64)| {
        let mut apart = badges
            .iter()
            .map(|badge| (badge.at.0 - at.0).hypot(badge.at.1 - at.1));
        apart.all(|apart| apart >= 2.0 * BADGE)
    };
    let around = (0..5).flat_map(|ring| {
        let away = f64::from(ring) * 10.0;
        (0..8).map(move |turn| {
            let turn = f64::from(turn) * std::f64::consts::FRAC_PI_4;
            (wanted.0 + away * turn.cos(), wanted.1 + away * turn.sin())
        })
    });
    around.into_iter().find(is_free).unwrap_or(wanted)
}
