//! Sessions: the uses of one room that overlap, or follow before the room is clear, and what they did to its air.
//!
//! The room is taken as well mixed, with its air divided by the mixing factor K. What the model cannot know: the air at
//! the bench and at the face, dead corners, vapour lying along the floor, doors and windows that stood open.

use super::given_off::{GivenOff, Vapour, given_off_mixed};
use super::history::History;
use super::release::{MolarVolume, mg_from_ppm};
use super::well_mixed::{Release, Room};
use crate::quantity::Moment;
use crate::record::ShopTables;
use crate::stock::{LiquidUse, Stock};
use crate::text::Span;
use std::collections::HashMap;

/// The mixing factor K where rooms.csv gives none: the middle of the 3 to 10 used in practice (a judgement).
pub const USUAL_MIXING: f64 = 5.0;
/// Air that finds its way through the cracks, changes an hour, beside the exhaust (a judgement: a tight old room).
pub const THROUGH_CRACKS: f64 = 0.25;
/// A session ends when nothing is used for the time in which the room loses 95 %: three time constants, a day at most.
const TIME_CONSTANTS: f64 = 3.0;
const MOST_GAP: f64 = 24.0 * 60.0;
/// How far the estimates may be off: what evaporates, how fast, and the limits' own conversion. K comes on top.
pub const SESSION_ERROR: f64 = 0.25;
/// Minutes of a shift, and of what is short-term.
pub(super) const SHIFT: f64 = 480.0;
pub(super) const QUARTER_HOUR: f64 = 15.0;
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
    /// The entry.
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
    /// From rooms.csv; `None` while a measure of the room is not known.
    pub fn of(room: &crate::record::Room) -> Option<RoomAir> {
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
            mixing: room
                .mixing
                .map_or(USUAL_MIXING, |k| k.estimate().clamp(1.0, 10.0)),
            cracks: THROUGH_CRACKS * volume,
        })
    }

    pub(super) fn with(&self, exhaust: f64) -> Option<Room> {
        Room::new(self.volume, exhaust + self.cracks, self.mixing)
    }

    /// The room as it is; without a known exhaust, only what comes through cracks.
    pub fn room(&self) -> Option<Room> {
        self.with(self.exhaust.unwrap_or(0.0))
    }
}

/// One session.
#[derive(Clone, Debug)]
pub struct Session {
    /// The room, by position in the book; not known where what was used stood nowhere.
    pub room: Option<usize>,
    /// The room's air, if its measures are known.
    pub air: Option<RoomAir>,
    /// When it began.
    pub initial: Moment,
    /// Minutes from its beginning to the end of its last work.
    pub worked: f64,
    /// What went into the air.
    pub emissions: Vec<Emission>,
    /// Who worked, as logged.
    pub by: Vec<String>,
    /// Why nothing can be told, if so.
    pub gap: Option<String>,
    /// Something was used for which no minutes are logged.
    pub minutes_missing: bool,
    /// The highest share of the lower explosive limit, 1 for all of it.
    pub peak_lel: Option<f64>,
    /// The worst eight-hour sum of C over legal limits.
    pub legal: Option<f64>,
    /// The worst eight-hour sum of C over guide values.
    pub guide: Option<f64>,
    /// The worst quarter of an hour of the sum of C over short-term limits.
    pub short: Option<f64>,
    /// Minutes from its beginning until a tenth of every limit is no longer passed.
    pub clear_after: Option<f64>,
    /// Products, by position, with litres used.
    pub litres: Vec<(usize, f64)>,
}

impl Session {
    /// One in which nothing is used yet.
    pub(super) fn new(room: Option<usize>, air: Option<RoomAir>, initial: Moment) -> Session {
        Session {
            room,
            air,
            initial,
            worked: 0.0,
            emissions: Vec::new(),
            by: Vec::new(),
            gap: None,
            minutes_missing: false,
            peak_lel: None,
            legal: None,
            guide: None,
            short: None,
            clear_after: None,
            litres: Vec::new(),
        }
    }

    /// Its room in the book.
    pub fn room_in<'a>(&self, tables: &'a ShopTables) -> Option<&'a crate::record::Room> {
        self.room.and_then(|room| tables.rooms.get(room))
    }
}

/// All sessions of the last month, and what each product gives off.
#[derive(Clone, Debug, Default)]
pub struct Sessions {
    /// In order of time.
    pub list: Vec<Session>,
    /// Product names, and what a litre gives off or why that is not known.
    pub products: Vec<(String, Result<GivenOff, String>)>,
}

/// How a substance counts in a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// Over its lower explosive limit.
    Lel,
    /// Over its legal limit for eight hours.
    Legal,
    /// Over its guide value.
    Guide,
    /// Over its limit for a quarter of an hour. An estimate cannot be instantaneous: a ceiling counts as such a limit, as
    /// 29 CFR 1910.1000(a)(1) takes it where nobody measures at once.
    Short,
}

impl Against {
    fn weight(self, vapour: &Vapour) -> Option<f64> {
        match self {
            Against::Lel => {
                mg_from_ppm(vapour.lel? * 10_000.0, vapour.molar, MolarVolume::Printed25)
            }
            Against::Legal => vapour.legal,
            Against::Guide => vapour.guide,
            Against::Short => vapour.short,
        }
    }
}

/// Works out every session of the stock's last month.
pub fn sessions(tables: &ShopTables, stock: &Stock) -> Sessions {
    let mut all = Sessions::default();
    let mut known: HashMap<(usize, &[usize]), usize> = HashMap::new();
    let mut by_room: HashMap<Option<usize>, Vec<(&LiquidUse, Emission)>> = HashMap::new();
    let zero = stock.uses.first().map(|u| u.when);
    for used in &stock.uses {
        let Some(zero) = zero else {
            continue;
        };
        let Some(named) = stock.product_of.get(used.container) else {
            continue;
        };
        let also = stock
            .containers
            .get(used.container)
            .map_or(&[][..], |h| &h.also);
        let product = *known.entry((*named, also)).or_insert_with(|| {
            let name = |product: usize| stock.products.get(product).map_or("", String::as_str);
            let also: Vec<&str> = also.iter().map(|product| name(*product)).collect();
            let off = given_off_mixed(tables, name(*named), &also);
            all.products.push((name(*named).to_string(), off));
            all.products.len() - 1
        });
        if matches!(all.products.get(product), Some((_, Ok(off))) if off.vapours.is_empty()) {
            continue;
        }
        let start = minutes_between(zero, used.when);
        let litres = used.litres.base().estimate();
        let emission = Emission {
            start,
            minutes: used.minutes,
            litres,
            product,
            at: used.at,
        };
        by_room
            .entry(used.location.room)
            .or_default()
            .push((used, emission));
    }
    let mut rooms: Vec<Option<usize>> = by_room.keys().copied().collect();
    rooms.sort_unstable();
    for room in rooms {
        let emissions = by_room.remove(&room).unwrap_or_default();
        let air = room
            .and_then(|at| tables.rooms.get(at))
            .and_then(RoomAir::of);
        let list = split(room, air, emissions, stock);
        all.list.extend(judge_room(list, air, &all.products));
    }
    all.list.sort_by_key(|session| session.initial);
    all
}

fn minutes_between(from: Moment, to: Moment) -> f64 {
    i32::try_from(to.minutes_since(from)).map_or(0.0, f64::from)
}

fn end(emission: &Emission) -> f64 {
    emission.start + f64::from(emission.minutes.unwrap_or(0))
}

/// Cuts the uses of a room where it had time to clear.
fn split(
    room: Option<usize>,
    air: Option<RoomAir>,
    emissions: Vec<(&LiquidUse, Emission)>,
    stock: &Stock,
) -> Vec<Session> {
    let changes = air
        .and_then(|air| air.room())
        .map_or(0.0, |room| room.changes_per_hour());
    let gap = if changes > 0.0 {
        (TIME_CONSTANTS * 60.0 / changes).min(MOST_GAP)
    } else {
        MOST_GAP
    };
    let mut list: Vec<Session> = Vec::new();
    let mut until = f64::NEG_INFINITY;
    for (used, emission) in emissions {
        if emission.start > until + gap || list.is_empty() {
            list.push(Session::new(room, air, used.when));
            until = f64::NEG_INFINITY;
        }
        let Some(session) = list.last_mut() else {
            continue;
        };
        until = until.max(end(&emission));
        let name = used.by.and_then(|by| stock.people.get(by));
        if let Some(name) = name.filter(|name| !session.by.contains(name)) {
            session.by.push(name.clone());
        }
        session.minutes_missing |= emission.minutes.is_none();
        match session
            .litres
            .iter_mut()
            .find(|(product, _)| *product == emission.product)
        {
            Some((_, litres)) => *litres += emission.litres,
            None => session.litres.push((emission.product, emission.litres)),
        }
        session.emissions.push(emission);
        let first = session.emissions.first().map_or(0.0, |p| p.start);
        session.worked = until - first;
    }
    list
}

/// Releases whose masses are divided by a limit, so that the level is a sum of C over limit.
pub(super) fn releases(
    emissions: &[Emission],
    products: &[(String, Result<GivenOff, String>)],
    against: Against,
) -> Vec<Release> {
    let mut list = Vec::new();
    for emission in emissions {
        let Some((_, Ok(off))) = products.get(emission.product) else {
            continue;
        };
        for vapour in &off.vapours {
            let Some(weight) = against.weight(vapour).filter(|w| *w > 0.0) else {
                continue;
            };
            list.push(Release {
                start: emission.start,
                minutes: f64::from(emission.minutes.unwrap_or(0)),
                mass: emission.litres * vapour.milligrams / weight,
                drying: vapour.drying,
            });
        }
    }
    list
}

/// The month of a room in one history for each sum; each session gets the worst of its own stretch of it.
pub(super) fn judge_room(
    mut list: Vec<Session>,
    air: Option<RoomAir>,
    products: &[(String, Result<GivenOff, String>)],
) -> Vec<Session> {
    let Some(room) = air.and_then(|air| air.room()) else {
        for session in &mut list {
            let why = match session.room {
                Some(_) => {
                    "the length, width or height of the room is not known; give it in rooms.csv"
                }
                None => {
                    "it is not known in which room it was used; give its place in inventory.csv or the log"
                }
            };
            session.gap = Some(why.into());
        }
        return list;
    };
    let all: Vec<Emission> = list
        .iter()
        .flat_map(|s| s.emissions.iter().cloned())
        .collect();
    let history = |against| History::new(&room, &releases(&all, products, against));
    let (lel, legal, guide, short) = (
        history(Against::Lel),
        history(Against::Legal),
        history(Against::Guide),
        history(Against::Short),
    );
    let starts: Vec<f64> = list
        .iter()
        .map(|s| s.emissions.first().map_or(0.0, |p| p.start))
        .collect();
    for (at, session) in list.iter_mut().enumerate() {
        let from = starts.get(at).copied().unwrap_or(0.0);
        let last = from + session.worked;
        let until = starts.get(at + 1).copied().unwrap_or(last + 2.0 * MOST_GAP);
        session.gap =
            session
                .emissions
                .iter()
                .find_map(|emission| match products.get(emission.product) {
                    Some((_, Err(why))) => Some(why.clone()),
                    _ => None,
                });
        let peak = |history: &Option<History>| {
            history
                .as_ref()
                .and_then(|h| h.peak_between(from, until))
                .map(|p| p.level)
        };
        let mean = |history: &Option<History>, minutes: f64| {
            history
                .as_ref()
                .and_then(|h| h.worst_mean_ending(minutes, from, until.min(last + 2.0 * SHIFT)))
                .map(|m| m.level)
        };
        session.peak_lel = peak(&lel);
        (session.legal, session.guide) = (mean(&legal, SHIFT), mean(&guide, SHIFT));
        session.short = mean(&short, QUARTER_HOUR);
        session.clear_after =
            alone(session, products, &room).map(|minute| (minute - from).max(0.0));
    }
    list
}

/// The minute at which the session's own vapour falls under a tenth of every limit.
fn alone(
    session: &Session,
    products: &[(String, Result<GivenOff, String>)],
    room: &Room,
) -> Option<f64> {
    if session.emissions.len() > MOST_SEARCHED {
        return None;
    }
    let mut latest: Option<f64> = None;
    for against in [Against::Legal, Against::Guide, Against::Lel] {
        let Some(history) = History::new(room, &releases(&session.emissions, products, against))
        else {
            continue;
        };
        let clear = history.clear_from(0.1)?;
        latest = Some(latest.map_or(clear, |minute| minute.max(clear)));
    }
    latest
}
