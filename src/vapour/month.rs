//! The month's sessions of a shop: the uses of each room, cut where it had time to clear, and what they did to its air.

use super::given_off::GivenOff;
use super::own_alcohol::given_off_mixed;
use super::people::person_shifts;
use super::room_month::judge_room;
use super::session::{DAY, Emission, RoomAir, Session, Sessions};
use crate::quantity::{Amount, Moment};
use crate::record::{ProductId, RoomId, ShopTables};
use crate::stock::{LiquidUse, Portion, Stock};
use std::collections::{BTreeMap, HashMap};

/// A session ends when nothing is used for the time in which the room loses 95 %: three time constants, a day at most.
const TIME_CONSTANTS: f64 = 3.0;

/// Works out every session of the stock's last month.
pub fn sessions(tables: &ShopTables, stock: &Stock) -> Sessions {
    let mut all = Sessions::default();
    let mut by_room: BTreeMap<Option<RoomId>, Vec<RoomUse<'_>>> = BTreeMap::new();
    let mut known: HashMap<(ProductId, Option<&[Portion]>), usize> = HashMap::new();
    let Some(zero) = stock.uses.first().map(|first| first.when) else {
        return all;
    };
    for used in stock.uses.iter().filter(|used| !used.outdoors) {
        let named = stock.product(used.container);
        let product = *known
            .entry((named, used.content.as_deref()))
            .or_insert_with(|| {
                let own = stock.product_name(named);
                let off = match used.content.as_deref() {
                    None => given_off_mixed(tables, own, &[(own, 1.0)]),
                    Some(portions) => {
                        let most = |p: &Portion| {
                            (stock.product_name(p.product), p.share.most().estimate())
                        };
                        let portions: Vec<_> = portions.iter().map(most).collect();
                        given_off_mixed(tables, own, &portions)
                    }
                };
                all.products.push((own.to_string(), off));
                all.products.len() - 1
            });
        let silent = |off: &GivenOff| off.vapours.is_empty() && off.gap.is_none();
        if silent(&all.products[product].1) {
            continue;
        }
        let litres = litres(used.amount, &all.products[product]);
        let emission = emission(used, product, litres.clone().unwrap_or(0.0), zero);
        let room = by_room.entry(used.location.room).or_default();
        room.push(RoomUse {
            used,
            emission,
            unmeasured: litres.err(),
        });
    }
    let mut courses = HashMap::new();
    for (room, uses) in by_room {
        let air = room.and_then(|room| RoomAir::new(&tables[room]));
        let list = split(room, air, uses, stock);
        let (list, course) = judge_room(list, air, &all.products);
        courses.extend(room.zip(course));
        all.list.extend(list);
    }
    all.people = person_shifts(&all.list, &courses, &stock.people);
    all.list.sort_by_key(|session| session.began);
    all
}

/// A use in a room, as what it lets into the air.
struct RoomUse<'u> {
    used: &'u LiquidUse,
    emission: Emission,
    /// Why it is unknown how much that is.
    unmeasured: Option<String>,
}

/// How many litres an amount is, or why that is unknown.
fn litres(amount: Amount, (product, off): &(String, GivenOff)) -> Result<f64, String> {
    match amount {
        Amount::Volume(litres) => Ok(litres.base().estimate()),
        Amount::Mass(mass) => match off.density.filter(|density| *density > 0.0) {
            Some(density) => Ok(mass.base().estimate() / density),
            None => Err(format!(
                "{product} was used by weight, and its density is unknown; record density in products.csv"
            )),
        },
        Amount::Pieces(_) => Err(format!(
            "{product} was used by the piece; write its amounts by volume or by weight in inventory.csv and log.csv"
        )),
    }
}

fn emission(used: &LiquidUse, product: usize, litres: f64, zero: Moment) -> Emission {
    let minutes = used.minutes.filter(|minutes| f64::from(*minutes) <= DAY);
    Emission {
        start: i32::try_from(used.when.minutes_since(zero)).map_or(0.0, f64::from),
        minutes,
        litres,
        product,
        by: used.by,
        at: used.at,
    }
}

/// Cuts the uses of a room where it had time to clear.
fn split(
    room: Option<RoomId>,
    air: Option<RoomAir>,
    uses: Vec<RoomUse<'_>>,
    stock: &Stock,
) -> Vec<Session> {
    let changes = air
        .and_then(|air| air.room())
        .map_or(0.0, |room| room.changes_per_hour());
    let gap = if changes > 0.0 {
        (TIME_CONSTANTS * 60.0 / changes).min(DAY)
    } else {
        DAY
    };
    let mut list: Vec<Session> = Vec::new();
    let mut until = f64::NEG_INFINITY;
    for RoomUse {
        used,
        emission,
        unmeasured,
    } in uses
    {
        if emission.start > until + gap || list.is_empty() {
            list.push(Session::new(room, air, used.when));
            until = f64::NEG_INFINITY;
        }
        let Some(session) = list.last_mut() else {
            continue;
        };
        until = until.max(emission.end());
        let name = used.by.and_then(|by| stock.people.get(by));
        if let Some(name) = name.filter(|name| !session.by.contains(name)) {
            session.by.push(name.clone());
        }
        session.minutes_missing |= emission.minutes.is_none();
        if let Some(minutes) = used.minutes.filter(|_| emission.minutes.is_none()) {
            session.gap.get_or_insert_with(|| too_long(used, minutes));
        }
        session.gap = session.gap.take().or(unmeasured);
        match session
            .litres
            .iter_mut()
            .find(|(product, _)| *product == emission.product)
        {
            Some((_, litres)) => *litres += emission.litres,
            None => session.litres.push((emission.product, emission.litres)),
        }
        session.emissions.push(emission);
        session.worked = until - session.start();
    }
    list
}

/// What is wrong with an entry whose work lasted longer than a day.
fn too_long(used: &LiquidUse, minutes: u32) -> String {
    format!(
        "the use of {} has {minutes} minutes of work, which is more than a day; correct the minutes in log.csv",
        used.when.to_string().replace('T', " at ")
    )
}
