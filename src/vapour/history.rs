//! The level in a well-mixed room through any number of overlapping releases, carried forward exactly.
//!
//! c' = G/V − n c in the air, f' = m/d − f/τ in the film while it is put on, G = Σ f/τ. Between two events the answer
//! is closed (`stretch`), so N releases with a handful of drying times cost a sort and one pass. It must not know
//! substances: a mass may as well be a weighted sum, such as mg over the limit in mg/m³, and the level a sum of C/L.

use super::stretch::{Film, Stretch};
use super::well_mixed::{Release, WEEK, WellMixedRoom};

/// A highest value and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Highest {
    /// mg/m³, or whatever unit the masses were in, per m³.
    pub level: f64,
    /// For a peak the minute of it, for a mean the minute at which its window begins. In a room without air the
    /// level only approaches it; the minute is then one after which nothing visible changes.
    pub minute: f64,
}

/// The whole course of one room. Times in minutes on the clock of the releases.
#[derive(Clone, Debug)]
pub struct History {
    pub(super) changes: f64,
    pub(super) begun: Vec<f64>,
    level: Vec<f64>,
    straight: Vec<f64>,
    pub(super) area: Vec<f64>,
    films: Vec<Film>,
    pub(super) kinds: usize,
    slowest: f64,
}

/// Something starts or stops. `kind` is the place of the drying time, `None` for straight into the air.
struct Event {
    at: f64,
    kind: Option<usize>,
    feed: f64,
    put: f64,
    running: i64,
}

impl History {
    /// Carries all releases forward through the room.
    ///
    /// Formula: c' = G/V − n c, f' = m/d − f/τ, G = Σ f/τ; solved exactly from event to event
    /// Units:   mg, m³, minutes; level in mg/m³
    /// Range:   as `WellMixedRoom::new` and `Release::holds`; `None` outside it and with no release at all
    /// Error:   rounding only (1e-9); the well-mixed room itself may be off by the whole mixing factor
    /// Source:  the mass balance; checked against a general solver of differential equations
    pub fn new(room: &WellMixedRoom, releases: &[Release]) -> Option<History> {
        if releases.is_empty() || !releases.iter().all(Release::holds) {
            return None;
        }
        let mut drying: Vec<f64> = releases
            .iter()
            .map(|release| release.drying)
            .filter(|d| *d > 0.0)
            .collect();
        drying.sort_by(f64::total_cmp);
        drying.dedup();
        let mut events = events(room, releases, &drying);
        events.sort_by(|a, b| a.at.total_cmp(&b.at));
        let first = events.first()?.at;
        let mut history = History {
            changes: room.changes_per_minute(),
            begun: vec![first - 2.0 * WEEK],
            level: vec![0.0],
            straight: vec![0.0],
            area: vec![0.0],
            films: drying
                .iter()
                .map(|d| Film {
                    rate: d.recip(),
                    held: 0.0,
                    fed: 0.0,
                })
                .collect(),
            kinds: drying.len(),
            slowest: drying.last().copied().unwrap_or(0.0),
        };
        history.carry(&events);
        Some(history)
    }

    /// The level at a moment.
    ///
    /// Formula: c(t) of `new`; 0 before the first release
    /// Units:   `minute` on the clock of the releases; mg/m³
    /// Range:   ±1e12 minutes; outside it, `None`
    /// Error, source: as `new`
    pub fn level_at(&self, minute: f64) -> Option<f64> {
        known(minute).then(|| {
            let (piece, t) = self.place(minute);
            self.stretch(piece).level_at(t)
        })
    }

    /// The mean over a stated window.
    ///
    /// Formula: ∫ c dt / W, the integral in closed form; at W = 480 the E = Σ C T / 8 of a shift
    /// Units:   `from` and W `minutes` in minutes; mg/m³
    /// Range:   W above 0 to a week, `from` ±1e12; outside it, `None`
    /// Error:   as `new`
    /// Source:  29 CFR 1910.1000(d)(1)(i) (text) for the shift of 8 hours, whatever part of it was worked
    pub fn mean(&self, from: f64, minutes: f64) -> Option<f64> {
        let holds = known(from) && minutes > 0.0 && minutes <= WEEK;
        holds.then(|| (self.area_until(from + minutes) - self.area_until(from)).max(0.0) / minutes)
    }

    /// The highest level of all.
    ///
    /// Formula: the largest c at an event or where c' = 0; with one drying time t = −ln(1 − qδ)/δ, q = −c'/bend and
    ///          δ = 1/τ − n at the beginning of a stretch; with more, by halving between the zeros of (c' e^(nt))'
    /// Units:   mg/m³, minute
    /// Range:   every history; in a closed room it is the level that is approached
    /// Error, source: as `new`
    pub fn peak(&self) -> Highest {
        let (last, end) = (self.last(), self.settled());
        let peak = self.highest_between(self.first(), end);
        if self.changes == 0.0 {
            let films: f64 = self.stretch(last).films.iter().map(|film| film.held).sum();
            return Highest {
                level: self.stretch(last).level + films,
                minute: end,
            };
        }
        peak
    }

    /// The highest level from one moment to another.
    ///
    /// Formula, units, error, source: as `peak`
    /// Range:   `from` at or before `to`, both ±1e12; outside it, `None`
    pub fn peak_between(&self, from: f64, to: f64) -> Option<Highest> {
        (known(from) && known(to) && from <= to).then(|| self.highest_between(from, to))
    }

    /// The moment from which the level stays at or under `level`; the first event, if it never is above it.
    ///
    /// Formula: the last t with c(t) = L and c falling
    /// Units:   L `level` in mg/m³; a minute on the clock of the releases
    /// Range:   L above 0; `None` at 0 or less, and when the room never clears
    /// Error:   as `new`; a real room takes up to 10 times as long, as far as its mixing factor does not say so already
    /// Source:  as `new`; MMWR 43 (RR-13), 1994, table S3-1, is its simplest case (see the tests)
    pub fn clear_from(&self, level: f64) -> Option<f64> {
        if !(level > 0.0 && level.is_finite()) {
            return None;
        }
        let last = self.last();
        if self.changes == 0.0 && self.peak().level > level {
            return None;
        }
        for piece in (0..=last).rev() {
            let stretch = self.stretch(piece);
            let length = if piece == last {
                self.end_above(level)?
            } else {
                self.length(piece)
            };
            if let Some(falls) = last_fall(&stretch, level, length) {
                return Some(self.begun[piece] + falls);
            }
        }
        Some(self.first())
    }

    /// The moment of the first event.
    pub fn first(&self) -> f64 {
        self.begun.get(1).copied().unwrap_or(self.begun[0])
    }

    /// The moment of the last event: from here on nothing is put on.
    pub fn last_event(&self) -> f64 {
        self.begun[self.last()]
    }

    fn carry(&mut self, events: &[Event]) {
        let mut running = vec![0_i64; self.kinds + 1];
        let mut next = events.iter().peekable();
        while let Some(event) = next.peek() {
            let at = event.at;
            let piece = self.last();
            let gone = at - self.begun[piece];
            let stretch = self.stretch(piece);
            let (mut level, area) = stretch.after(gone);
            let mut straight = stretch.straight;
            let place = self.films.len();
            for film in place - self.kinds..place {
                self.films.push(after(&self.films[film], gone));
            }
            while let Some(event) = next.next_if(|event| event.at == at) {
                let still = &mut running[event.kind.unwrap_or(self.kinds)];
                *still += event.running;
                let none = *still == 0;
                match event.kind.and_then(|kind| self.films.get_mut(place + kind)) {
                    Some(film) => {
                        film.held += event.put;
                        film.fed = if none { 0.0 } else { film.fed + event.feed };
                    }
                    None => {
                        level += event.put;
                        straight = if none { 0.0 } else { straight + event.feed };
                    }
                }
            }
            self.area.push(self.area[piece] + area);
            self.begun.push(at);
            self.level.push(level);
            self.straight.push(straight);
        }
    }

    pub(super) fn last(&self) -> usize {
        self.begun.len() - 1
    }

    pub(super) fn stretch(&self, piece: usize) -> Stretch<'_> {
        let films = &self.films[piece * self.kinds..(piece + 1) * self.kinds];
        Stretch {
            changes: self.changes,
            level: self.level[piece],
            straight: self.straight[piece],
            films,
        }
    }

    pub(super) fn length(&self, piece: usize) -> f64 {
        self.begun
            .get(piece + 1)
            .map_or(f64::INFINITY, |next| next - self.begun[piece])
    }

    /// The stretch a moment falls in, and the minutes since it began.
    pub(super) fn place(&self, minute: f64) -> (usize, f64) {
        let piece = self
            .begun
            .partition_point(|begun| *begun <= minute)
            .saturating_sub(1);
        (piece, (minute - self.begun[piece]).max(0.0))
    }

    pub(super) fn area_until(&self, minute: f64) -> f64 {
        let (piece, t) = self.place(minute);
        self.area[piece] + self.stretch(piece).area_to(t)
    }

    /// A moment after the last event by which the level falls for good, or changes no more.
    fn settled(&self) -> f64 {
        let last = self.stretch(self.last());
        let turn = if self.changes == 0.0 {
            40.0 * self.slowest
        } else {
            last.turns(f64::INFINITY).last().copied().unwrap_or(0.0)
        };
        self.last_event() + turn
    }

    /// Minutes into the last stretch by which the level is under `level` and falling.
    fn end_above(&self, level: f64) -> Option<f64> {
        let last = self.stretch(self.last());
        let falls = self.settled() - self.last_event();
        if self.changes == 0.0 {
            return Some(falls);
        }
        let mut more = 1.0;
        while last.level_at(falls + more) > level {
            more *= 2.0;
            if more > 1.0e15 {
                return None;
            }
        }
        Some(falls + more)
    }

    /// Levels only jump upwards, so the beginnings of the stretches, their turns and the two ends are all there is.
    fn highest_between(&self, from: f64, to: f64) -> Highest {
        let (first, last) = (self.place(from), self.place(to));
        let mut highest = Highest {
            level: 0.0,
            minute: from,
        };
        let mut meet = |level: f64, minute: f64| {
            if level > highest.level {
                highest = Highest { level, minute };
            }
            highest.level
        };
        meet(self.stretch(first.0).level_at(first.1), from);
        meet(self.stretch(last.0).level_at(last.1), to);
        for piece in first.0..=last.0 {
            let stretch = self.stretch(piece);
            let begin = if piece == first.0 { first.1 } else { 0.0 };
            let end = if piece == last.0 {
                last.1
            } else {
                self.length(piece)
            };
            let best = if begin == 0.0 {
                meet(stretch.level, self.begun[piece])
            } else {
                meet(0.0, from)
            };
            if stretch.level + stretch.most_gained(end) <= best {
                continue;
            }
            for turn in stretch.turns(end).into_iter().filter(|turn| *turn >= begin) {
                meet(stretch.level_at(turn), self.begun[piece] + turn);
            }
        }
        highest
    }
}

/// A moment within some two million years of the clock's beginning, past which squares of it lose their meaning.
pub(super) fn known(minute: f64) -> bool {
    minute.abs() <= 1.0e12
}

/// A film so many minutes later.
pub(super) fn after(film: &Film, t: f64) -> Film {
    let held = film.held * (-film.rate * t).exp() + film.fed * super::decay::settling(film.rate, t);
    Film { held, ..*film }
}

/// The last moment in the stretch at which the level comes down through `level`; its end, if it jumps down there.
fn last_fall(stretch: &Stretch<'_>, level: f64, length: f64) -> Option<f64> {
    stretch
        .crossings(level, length)
        .into_iter()
        .rfind(|t| stretch.level_at(*t) <= level)
}

/// Two events a release that takes time, one for a release all at once. Beginnings stand before ends: a log gives its
/// uses in order, and a list that is in order but for its second half is sorted quickly.
fn events(room: &WellMixedRoom, releases: &[Release], drying: &[f64]) -> Vec<Event> {
    let mut events = Vec::with_capacity(2 * releases.len());
    let mut ends = Vec::with_capacity(releases.len());
    for release in releases {
        let kind = drying
            .binary_search_by(|d| d.total_cmp(&release.drying))
            .ok();
        let load = release.mass / room.volume();
        let end = release.start + release.minutes;
        let event = |at, feed, put, running| Event {
            at,
            kind,
            feed,
            put,
            running,
        };
        if end > release.start {
            let feed = load / (end - release.start);
            events.push(event(release.start, feed, 0.0, 1));
            ends.push(event(end, -feed, 0.0, -1));
        } else {
            events.push(event(release.start, 0.0, load, 0));
        }
    }
    events.append(&mut ends);
    events
}
