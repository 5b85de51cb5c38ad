//! Sessions: the uses of one room that overlap, or follow before the room is clear, and what they did to its air.
//!
//! The room is taken as well mixed, with its air divided by the mixing factor K. What the model cannot know: the air at
//! the bench and at the face, dead corners, vapour lying along the floor, doors and windows that stood open.

use super::against::{Against, Limits, PerLimit};
use super::given_off::{GivenOff, Vapour};
use super::well_mixed::{Release, WellMixedRoom, air_changes};
use crate::quantity::Moment;
use crate::record::{RoomId, ShopTables};
use crate::text::Span;

/// The mixing factor K where rooms.csv gives none: the middle of the 3 to 10 used in practice (a judgment).
const USUAL_MIXING: f64 = 5.0;
/// Air that finds its way through the cracks, changes an hour, beside the exhaust (a judgment: a tight old room).
pub const THROUGH_CRACKS: f64 = 0.25;
/// Minutes of a day: the longest gap within a session, and the longest work that is taken at its word.
pub(super) const DAY: f64 = 24.0 * 60.0;
/// The most that a release may hold: a thousand tonnes over its limit, far over any limit in any room.
const MOST_RELEASED: f64 = 1.0e12;
/// How far the estimates may be off: what evaporates, how fast, and the limits' own conversion. K comes on top.
pub const SESSION_ERROR: f64 = 0.25;
/// Up to so many uses the airflow that would have met is searched; beyond, it is taken from proportion.
pub(super) const MOST_SEARCHED: usize = 400;

/// What came into the air of a room in one use.
#[derive(Clone, Debug)]
pub struct Emission {
    /// Minutes on the clock of the month.
    pub start: f64,
    /// Minutes of work; none given counts as all at once.
    pub minutes: Option<u32>,
    /// Litres.
    pub litres: f64,
    /// The product, by position in the list of what is given off.
    pub product: usize,
    /// Who, by position in the people of the stock.
    pub by: Option<usize>,
    pub at: Span,
}

/// The air of a room.
#[derive(Clone, Copy, Debug)]
pub struct RoomAir {
    /// m³.
    pub volume: f64,
    /// m³/h that the exhaust moves, if it is known.
    pub exhaust: Option<f64>,
    /// The mixing factor.
    pub mixing: f64,
    /// m³/h through cracks, an assumption.
    pub cracks: f64,
}

impl RoomAir {
    /// From rooms.csv; `None` while a measure of the room is unknown.
    pub fn new(room: &crate::record::Room) -> Option<RoomAir> {
        let volume = room
            .length?
            .by(room.width?)
            .ok()?
            .times_height(room.height?)
            .ok()?;
        let volume = volume.base().estimate() / 1000.0;
        Some(RoomAir {
            volume,
            exhaust: room.exhaust.map(|a| a.base().estimate()),
            mixing: room.mixing.map_or(USUAL_MIXING, |k| k.estimate()),
            cracks: THROUGH_CRACKS * volume,
        })
    }

    pub(super) fn with(&self, exhaust: f64) -> Option<WellMixedRoom> {
        WellMixedRoom::new(self.volume, exhaust + self.cracks, self.mixing)
    }

    /// The room as it is; without a known exhaust, only what comes through cracks.
    pub fn room(&self) -> Option<WellMixedRoom> {
        self.with(self.exhaust.unwrap_or(0.0))
    }

    /// Why there is no such room, although all its measures are known.
    pub(super) fn odd(&self) -> &'static str {
        match air_changes(0.0, self.volume) {
            None => {
                "the room is too large or too small for this estimate; check its size in rooms.csv"
            }
            Some(_) => {
                "the exhaust comes to more than 1,000 air changes per hour; check the exhaust and the size of the room in rooms.csv"
            }
        }
    }
}

#[derive(Clone, Debug)]
pub struct Session {
    /// The room; not known where what was used stood nowhere.
    pub room: Option<RoomId>,
    /// The room's air, if its measures are known.
    pub air: Option<RoomAir>,
    /// When it began.
    pub began: Moment,
    /// Minutes from its beginning to the end of its last work.
    pub worked: f64,
    /// What went into the air.
    pub emissions: Vec<Emission>,
    /// Who worked, as logged.
    pub by: Vec<String>,
    /// What is unknown of it: its figures are then only a part, at least so much.
    pub gap: Option<String>,
    /// Something was used for which no minutes are logged.
    pub minutes_missing: bool,
    /// The peak over the lower explosive limit, and the worst mean of each sum of C over limit; 1 for just at it.
    pub all: PerLimit,
    /// The same sums over confirmed limits alone: only these can break a rule.
    pub confirmed: PerLimit,
    /// Minutes from its beginning until a tenth of every limit is no longer passed.
    pub clear_after: Option<f64>,
    /// Products, by position, with litres used.
    pub litres: Vec<(usize, f64)>,
}

impl Session {
    /// One in which nothing is used yet.
    pub(super) fn new(room: Option<RoomId>, air: Option<RoomAir>, began: Moment) -> Session {
        Session {
            room,
            air,
            began,
            worked: 0.0,
            emissions: Vec::new(),
            by: Vec::new(),
            gap: None,
            minutes_missing: false,
            all: PerLimit::default(),
            confirmed: PerLimit::default(),
            clear_after: None,
            litres: Vec::new(),
        }
    }

    /// The sum against one kind of limit where a reader may see it: all is known, or the known part is over the limit alone.
    pub fn told(&self, against: Against) -> Option<f64> {
        let limit = against.full();
        let level = self.all.get(against);
        level.filter(|level| self.gap.is_none() || *level > limit)
    }

    /// Its exhaust or the minutes of some work are unknown, and it is taken at worst.
    pub fn is_at_worst(&self) -> bool {
        self.air.is_some_and(|air| air.exhaust.is_none()) || self.minutes_missing
    }

    /// Its room in the book.
    pub fn room_in<'a>(&self, tables: &'a ShopTables) -> Option<&'a crate::record::Room> {
        self.room.map(|room| &tables[room])
    }
}

/// All sessions of the last month, and what each product gives off.
#[derive(Clone, Debug, Default)]
pub struct Sessions {
    /// In order of time.
    pub list: Vec<Session>,
    /// Product names, and what a litre gives off; the same product is listed again for each mixture of it.
    pub products: Vec<(String, GivenOff)>,
    /// The worst eight hours of people who worked in several rooms.
    pub people: Vec<PersonShift>,
}

/// The worst eight hours of a person who worked in several rooms, each counted as if that person stayed there.
#[derive(Clone, Debug)]
pub struct PersonShift {
    /// Who, as logged; `None` for all entries without a name, which count as one person.
    pub by: Option<String>,
    /// Which sum it is.
    pub against: Against,
    /// The sum over the rooms, 1 for just at the limit.
    pub level: f64,
    /// The same over confirmed limits alone.
    pub confirmed: f64,
    /// When these eight hours began.
    pub from: Moment,
    /// Each room with its part.
    pub rooms: Vec<(RoomId, f64)>,
    /// A part of it is taken at worst: an exhaust or the minutes of some work are unknown.
    pub at_worst: bool,
    pub at: Vec<Span>,
}

/// Releases whose masses are divided by a limit, so that the level is a sum of C over limit.
pub(super) fn releases<'e>(
    emissions: impl IntoIterator<Item = &'e Emission>,
    products: &[(String, GivenOff)],
    against: Against,
    limits: Limits,
) -> Vec<Release> {
    let mut list = Vec::new();
    for emission in emissions {
        let (_, off) = &products[emission.product];
        for vapour in &off.vapours {
            let weight = vapour.weight(against, limits).filter(|w| *w > 0.0);
            list.extend(weight.map(|weight| emission.release(vapour, weight)));
        }
    }
    list
}

impl Emission {
    /// What it lets into the air of one vapour, in units of `weight`. It always holds, so that no use is left out of a history:
    /// uses of the last month only are kept, no work counts as longer than a day, and the materials dry within a week.
    pub(super) fn release(&self, vapour: &Vapour, weight: f64) -> Release {
        let mass = self.litres * vapour.milligrams / weight;
        Release {
            start: self.start,
            minutes: f64::from(self.minutes.unwrap_or(0)),
            mass: mass.min(MOST_RELEASED),
            drying: vapour.drying,
        }
    }

    /// When the work ended.
    pub(super) fn end(&self) -> f64 {
        self.start + f64::from(self.minutes.unwrap_or(0))
    }
}
