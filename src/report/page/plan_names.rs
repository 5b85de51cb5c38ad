//! Where names and distances are written on the floor plan: beside what they name, and never over other words.
#![allow(clippy::float_arithmetic, reason = "places on paper")]

use super::plan_shapes::{PaperArea, PlanShape, Wall, broken, size};
use super::plan_sheet::{BADGE, PlanSheet, PlanText, PlanThing};
use crate::report::floor::Floor;

impl PlanSheet<'_> {
    pub(super) fn distances(&mut self, floor: &Floor, taken: &mut Vec<PaperArea>) {
        for distance in &floor.distances {
            let (from, to) = (self.point(distance.from), self.point(distance.to));
            self.lines.push((from, to));
            let words = vec![distance.words.clone()];
            let (wide, high) = size(&words);
            let along = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8]
                .into_iter()
                .flat_map(|share| {
                    let (x, y) = (
                        from.0 + (to.0 - from.0) * share,
                        from.1 + (to.1 - from.1) * share,
                    );
                    [y - high - 4.0, y + 6.0, y - high - 18.0, y + 20.0].map(|top| (x, top))
                });
            let found = along
                .map(|(x, top)| {
                    (
                        x,
                        top,
                        PaperArea::new(x - wide / 2.0, top, x + wide / 2.0, top + high),
                    )
                })
                .find(|(_, _, area)| self.is_free(*area, taken) && self.is_within(*area));
            if let Some((middle, top, area)) = found {
                taken.push(area);
                self.texts.push(PlanText {
                    lines: words,
                    middle,
                    top,
                    class: "distance",
                });
            }
        }
    }

    /// The name of each thing, beside it.
    pub(super) fn names(&mut self, taken: &mut Vec<PaperArea>) {
        let (mut texts, mut unnamed) = (Vec::new(), Vec::new());
        for thing in &self.things {
            let lines = broken(&thing.mark.id);
            let (wide, high) = size(&lines);
            let area = self.with_badges(thing.area);
            let found = self
                .beside(thing, area, (wide, high))
                .into_iter()
                .map(|(middle, top)| {
                    (
                        middle,
                        top,
                        PaperArea::new(middle - wide / 2.0, top, middle + wide / 2.0, top + high),
                    )
                })
                .find(|(_, _, area)| self.is_free(*area, taken));
            match found {
                Some((middle, top, area)) => {
                    taken.push(area);
                    texts.push(PlanText {
                        lines,
                        middle,
                        top,
                        class: "name",
                    });
                }
                None => unnamed.push(thing.mark.id.as_str()),
            }
        }
        self.texts.extend(texts);
        self.unnamed = unnamed;
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
        !taken.iter().any(|other| area.overlaps(*other)) && self.lines.iter().all(clear)
    }

    fn is_within(&self, area: PaperArea) -> bool {
        area.left > 0.0 && area.right < self.wide && area.top > 0.0 && area.bottom < self.high
    }
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
