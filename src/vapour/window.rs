//! The worst mean over a sliding window, exact and not sampled.
//!
//! As a window slides, its sum grows by the level at its end less the level at its beginning. That difference is again
//! a stretch; its zeros are found, and between the candidates no window can be worse. The area under the level never
//! falls, so the areas at the events around a cell bound it without an exponential: a cell that cannot be worse than
//! the worst so far is dropped unlooked, and nearly all are. It must not know what is limited.

use super::history::{Highest, History, after, known};
use super::stretch::{Film, Stretch};
use super::well_mixed::WEEK;

/// Two places in the history, the begin and the end of a sliding window, until one of them meets an event.
struct WindowCell {
    tail: (usize, f64),
    head: (usize, f64),
    length: f64,
    from: f64,
}

/// A cell that may hold the worst window: the sum of its first, and what no window of it can exceed.
struct Hopeful {
    cell: WindowCell,
    sum: f64,
    bound: f64,
}

impl History {
    /// The worst mean over the windows that end from one moment to another: every window of a month belongs to one of
    /// the sessions that divide it, and all sessions together cost one pass.
    ///
    /// Formula: the largest ∫ c dt / W; candidates are all windows that begin or end at an event, and all inside the
    ///          cells between with c(s + W) = c(s)
    /// Units:   W `minutes`; mg/m³, and the minute the window begins
    /// Error, source: as `History::new`
    /// Range:   W above 0 to a week, `from` at or before `to`, both ±1e12; outside it, `None`
    pub fn worst_mean_ending(&self, minutes: f64, from: f64, to: f64) -> Option<Highest> {
        let holds = minutes > 0.0 && minutes <= WEEK && known(from) && known(to) && from <= to;
        if !holds {
            return None;
        }
        let from = from.max(self.first());
        let to = to.max(from);
        let mut worst = Highest {
            level: 0.0,
            minute: from - minutes,
        };
        let mut cells: Vec<Hopeful> = Vec::new();
        let whole = self.area_until(to);
        self.slide(minutes, from, to, |cell| {
            let around = self.area.get(cell.head.0 + 1).copied();
            if around.unwrap_or(whole).min(whole) - self.area[cell.tail.0] <= worst.level {
                return;
            }
            let before = self.area_at(cell.tail);
            let sum = self.area_at(cell.head) - before;
            let bound = self.area_at((cell.head.0, cell.head.1 + cell.length)) - before;
            if sum > worst.level {
                worst = Highest {
                    level: sum,
                    minute: cell.from,
                };
            }
            if bound > worst.level {
                cells.push(Hopeful { cell, sum, bound });
            }
        });
        let mut difference = Vec::with_capacity(self.kinds);
        for hopeful in cells {
            if hopeful.bound > worst.level {
                self.refine(&hopeful.cell, hopeful.sum, &mut difference, &mut worst);
            }
        }
        Some(Highest {
            level: worst.level / minutes,
            minute: worst.minute,
        })
    }

    /// Slides a window of so many minutes over all its cells, and hands each of them on; the last has no length.
    fn slide(&self, minutes: f64, from: f64, to: f64, mut each: impl FnMut(WindowCell)) {
        let (mut tail, mut head) = (self.place(from - minutes), self.place(from));
        let mut end = from;
        loop {
            let left = (
                self.length(tail.0) - tail.1,
                self.length(head.0) - head.1,
                to - end,
            );
            let length = left.0.min(left.1).min(left.2).max(0.0);
            each(WindowCell {
                tail,
                head,
                length,
                from: end - minutes,
            });
            tail.1 += length;
            head.1 += length;
            end += length;
            if left.2 <= left.0 && left.2 <= left.1 {
                each(WindowCell {
                    tail,
                    head,
                    length: 0.0,
                    from: end - minutes,
                });
                return;
            }
            if left.0 <= left.1 {
                tail = (tail.0 + 1, 0.0);
                end = self.begun[tail.0] + minutes;
            }
            if left.1 <= left.0 {
                head = (head.0 + 1, 0.0);
                end = self.begun[head.0];
            }
        }
    }

    fn area_at(&self, place: (usize, f64)) -> f64 {
        self.area[place.0] + self.stretch(place.0).area_to(place.1)
    }

    /// Looks inside a cell for windows worse than those at its ends.
    fn refine(&self, cell: &WindowCell, first: f64, films: &mut Vec<Film>, worst: &mut Highest) {
        let (head, tail) = (self.stretch(cell.head.0), self.stretch(cell.tail.0));
        films.clear();
        films.extend(head.films.iter().zip(tail.films).map(|(newer, older)| {
            let (newer, older) = (after(newer, cell.head.1), after(older, cell.tail.1));
            Film {
                rate: newer.rate,
                held: newer.held - older.held,
                fed: newer.fed - older.fed,
            }
        }));
        let gain = Stretch {
            changes: self.changes,
            level: head.level_at(cell.head.1) - tail.level_at(cell.tail.1),
            straight: head.straight - tail.straight,
            films,
        };
        for moment in gain.crossings(0.0, cell.length) {
            let sum = first + gain.area_to(moment);
            if sum > worst.level {
                *worst = Highest {
                    level: sum,
                    minute: cell.from + moment,
                };
            }
        }
    }
}
