//! Where names and distances are written on the floor plan: beside what they name, and never over other words.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::plan_shapes::{PaperArea, PlanShape, Wall, broken, size};
use super::plan_sheet::{BADGE, LeadLine, PlanSheet, PlanText, PlanThing};
use crate::report::floor::Floor;

/// A name without spaces that is wider than this is written below the plan.
const WIDEST: f64 = 200.0;

impl<'f> PlanSheet<'f> {
    pub(super) fn distances(&mut self, floor: &'f Floor, taken: &mut Vec<PaperArea>) {
        for distance in &floor.distances {
            let (from, to) = (self.point(distance.from), self.point(distance.to));
            self.lines.push((from, to));
            let words = vec![distance.words.clone()];
            let (wide, high) = size(&words);
            // Beside a steep line the words have to keep away as far as it climbs over their length.
            let (across, down) = ((to.0 - from.0).abs(), (to.1 - from.1).abs());
            let rise = wide / 2.0 * down / across.max(1.0);
            let along = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8]
                .into_iter()
                .flat_map(|share| {
                    let (x, y) = (
                        from.0 + (to.0 - from.0) * share,
                        from.1 + (to.1 - from.1) * share,
                    );
                    let away = high / 2.0 * across / down.max(1.0) + wide / 2.0 + 6.0;
                    [
                        (x, y - high - 4.0),
                        (x, y + 6.0),
                        (x, y - high - 18.0),
                        (x, y + 20.0),
                        (x, y - high - 4.0 - rise),
                        (x, y + 6.0 + rise),
                        (x + away, y - high / 2.0),
                        (x - away, y - high / 2.0),
                    ]
                });
            let found = along
                .map(|(x, top)| {
                    (
                        x,
                        top,
                        PaperArea::new(x - wide / 2.0, top, x + wide / 2.0, top + high),
                    )
                })
                .find(|(_, _, area)| self.is_free(*area, taken) && self.is_within(*area))
                .map(|found| (found, None))
                .or_else(|| {
                    let middle = (f64::midpoint(from.0, to.0), f64::midpoint(from.1, to.1));
                    self.led(PaperArea::around(middle, 1.0), (wide, high), taken)
                });
            match found {
                Some(((middle, top, area), lead)) => {
                    taken.push(area);
                    self.leads.extend(lead);
                    self.texts.push(PlanText {
                        lines: words,
                        middle,
                        top,
                        class: "distance",
                    });
                }
                None => self.unwritten.push(&distance.words),
            }
        }
    }

    /// The name of each thing, beside it.
    pub(super) fn names(&mut self, taken: &mut Vec<PaperArea>) {
        let mut unnamed = Vec::new();
        let is_door = |thing: &PlanThing<'_>| matches!(thing.shape, PlanShape::Door(_));
        let mut things = self.things.clone();
        things.sort_by_key(|thing| !is_door(thing));
        let doors = things.iter().filter(|thing| is_door(thing)).count();
        for (at, thing) in things.iter().enumerate() {
            // A door may have its name where it swings, and nothing else may.
            if at == doors {
                taken.extend(self.swings());
            }
            let lines = broken(&thing.mark.id, self.most_letters);
            let (wide, high) = size(&lines);
            let area = self.with_badges(thing.area);
            let found = self
                .beside(thing, area, (wide, high))
                .into_iter()
                .map(|(middle, top)| (middle, top, written(middle, top, wide, high)))
                .find(|(_, _, area)| self.is_free(*area, taken))
                .map(|found| (found, None))
                .or_else(|| self.led(area, (wide, high), taken))
                .filter(|_| wide < WIDEST);
            match found {
                Some(((middle, top, area), lead)) => {
                    taken.push(area);
                    self.leads.extend(lead);
                    self.texts.push(PlanText {
                        lines,
                        middle,
                        top,
                        class: "name",
                    });
                }
                None => unnamed.push(thing.mark.id.as_str()),
            }
        }
        self.unnamed = unnamed;
    }

    /// Where doors swing, outside the room.
    fn swings(&self) -> Vec<PaperArea> {
        let swing = |thing: &PlanThing<'_>| {
            let area = thing.area;
            let leaf = (area.right - area.left).max(area.bottom - area.top);
            match thing.shape {
                PlanShape::Door(Wall::North) => Some(PaperArea {
                    top: area.top - leaf,
                    ..area
                }),
                PlanShape::Door(Wall::South) => Some(PaperArea {
                    bottom: area.bottom + leaf,
                    ..area
                }),
                PlanShape::Door(Wall::West) => Some(PaperArea {
                    left: area.left - leaf,
                    ..area
                }),
                PlanShape::Door(Wall::East) => Some(PaperArea {
                    right: area.right + leaf,
                    ..area
                }),
                PlanShape::Box
                | PlanShape::Can
                | PlanShape::Dot
                | PlanShape::Open
                | PlanShape::Window(_)
                | PlanShape::Fan(_) => None,
            }
        };
        self.things.iter().filter_map(swing).collect()
    }

    /// A free place farther away, with a line from the name to its thing. The nearest is best, and the paper gets higher
    /// rather than wider, since letters shrink with its width.
    fn led(
        &self,
        thing: PaperArea,
        (wide, high): (f64, f64),
        taken: &[PaperArea],
    ) -> Option<((f64, f64, PaperArea), Option<LeadLine>)> {
        const FARTHEST: i32 = 9;
        const STEP: f64 = 14.0;
        let (x, y) = thing.middle();
        let around = (-FARTHEST..=FARTHEST).flat_map(|across| {
            (-FARTHEST..=FARTHEST).map(move |down| {
                let (across, down) = (f64::from(across) * STEP, f64::from(down) * STEP);
                (x + across, y + down - high / 2.0)
            })
        });
        let places = around.filter_map(|(middle, top)| {
            let area = written(middle, top, wide, high);
            if !self.is_free(area, taken) {
                return None;
            }
            let lead = (area.nearest(thing.middle()), thing.nearest(area.middle()));
            if self
                .written_on()
                .any(|other| crosses(other, lead.0, lead.1))
            {
                return None;
            }
            let wider = (-area.left).max(area.right - self.wide).max(0.0);
            let away = (middle - x).hypot(area.middle().1 - y);
            Some((away + 6.0 * wider, (middle, top, area), lead))
        });
        let best = places.min_by(|a, b| a.0.total_cmp(&b.0));
        best.map(|(_, place, lead)| (place, Some(lead)))
    }

    /// Words and numbers, which no line may cross.
    fn written_on(&self) -> impl Iterator<Item = PaperArea> {
        let words = self.texts.iter().map(|text| {
            let (wide, high) = size(&text.lines);
            written(text.middle, text.top, wide, high)
        });
        let numbers = self.badges.iter();
        words.chain(numbers.map(|badge| PaperArea::around(badge.at, BADGE - 2.0)))
    }

    /// A thing and the numbers on it.
    fn with_badges(&self, area: PaperArea) -> PaperArea {
        let on = self.badges.iter().filter(|badge| area.holds(badge.at));
        on.fold(area, |area, badge| {
            area.joined(PaperArea::around(badge.at, BADGE))
        })
    }

    /// Where a name of this size can be, the best place first: the middle of its lines, and their top.
    fn beside(
        &self,
        thing: &PlanThing<'_>,
        area: PaperArea,
        (wide, high): (f64, f64),
    ) -> Vec<(f64, f64)> {
        const GAP: f64 = 3.0;
        let (x, y) = area.middle();
        let (right, left) = (area.right + GAP + wide / 2.0, area.left - GAP - wide / 2.0);
        let (below, above, level) = (area.bottom + GAP, area.top - GAP - high, y - high / 2.0);
        let shift = (wide / 2.0).min(30.0);
        let outside = match thing.shape {
            PlanShape::Door(Wall::East)
            | PlanShape::Window(Wall::East)
            | PlanShape::Fan(Wall::East) => (right, level),
            PlanShape::Door(Wall::West)
            | PlanShape::Window(Wall::West)
            | PlanShape::Fan(Wall::West) => (left, level),
            PlanShape::Door(Wall::South)
            | PlanShape::Window(Wall::South)
            | PlanShape::Fan(Wall::South) => (x, below),
            PlanShape::Door(Wall::North)
            | PlanShape::Window(Wall::North)
            | PlanShape::Fan(Wall::North) => (x, above),
            PlanShape::Box | PlanShape::Can | PlanShape::Dot | PlanShape::Open => (x, below),
        };
        let mut places = vec![
            outside,
            (x, below),
            (x, above),
            (right, level),
            (left, level),
        ];
        for dx in [-shift, shift] {
            places.extend([(x + dx, below), (x + dx, above)]);
        }
        for away in [12.0, 24.0] {
            places.extend([
                (x, below + away),
                (x, above - away),
                (right + away, level),
                (left - away, level),
            ]);
        }
        // What is inside the room has its name there, or above or below a wall, so that the plan stays narrow.
        if !matches!(
            thing.shape,
            PlanShape::Door(_) | PlanShape::Window(_) | PlanShape::Fan(_) | PlanShape::Open
        ) {
            places.sort_by_key(|(x, y)| {
                let area = PaperArea::new(x - wide / 2.0, *y, x + wide / 2.0, y + high);
                let between = area.left > 0.0 && area.right < self.wide;
                (
                    !between,
                    !self.is_within(area) && (*y - below).abs() > 1.0 && (*y - above).abs() > 1.0,
                )
            });
        }
        places
    }

    fn is_free(&self, area: PaperArea, taken: &[PaperArea]) -> bool {
        let clear = |(from, to): &((f64, f64), (f64, f64))| !crosses(area, *from, *to);
        let mut lines = self.lines.iter().chain(&self.leads);
        !taken.iter().any(|other| area.overlaps(*other)) && lines.all(clear)
    }

    fn is_within(&self, area: PaperArea) -> bool {
        area.left > 0.0 && area.right < self.wide && area.top > 0.0 && area.bottom < self.high
    }
}

/// The paper of words with this middle and top.
fn written(middle: f64, top: f64, wide: f64, high: f64) -> PaperArea {
    PaperArea::new(middle - wide / 2.0, top, middle + wide / 2.0, top + high)
}

/// Does a line run through a piece of paper?
fn crosses(area: PaperArea, from: (f64, f64), to: (f64, f64)) -> bool {
    (0..=40).any(|step| {
        let share = f64::from(step) / 40.0;
        area.holds((
            from.0 + (to.0 - from.0) * share,
            from.1 + (to.1 - from.1) * share,
        ))
    })
}
