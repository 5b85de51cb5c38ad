//! Closing time: flammable liquid left on the bench beyond a day's supply.

use super::closing_list::{Account, ClosingLine, ClosingTopic, Evening, command};
use crate::quantity::{Amount, Exact, Temperature, Volume, natural};
use crate::record::{ContainerId, Place, PlaceId, PlaceKind, ProductId};
use crate::text::{Span, the};
use crate::vapour::class::Flash;
use std::collections::BTreeMap;

/// A liquid that flashes at or below this is flammable: 29 CFR 1910.106(a)(19), 199.4 °F (93 °C). One whose flash point
/// an unknown amount counts too.
const FLAMMABLE_UP_TO: Temperature = Temperature::from_base(Exact::constant(1994, 1));

/// Who says that only a day's supply stays out, in the rule for spraying and in insurers' advice for every bench.
pub const BENCH_SOURCE: &str =
    "an insurer of wood-products makers; 29 CFR 1910.107(e)(2) for spraying";

/// What of one product is on benches.
#[derive(Default)]
struct Out {
    litres: Option<Exact>,
    names: Vec<String>,
    places: Vec<String>,
    evidence: Vec<Span>,
    unknown: bool,
    since_used: Option<crate::quantity::Moment>,
    /// The size of its largest vessel.
    largest: Exact,
}

pub(super) fn bench(evening: &Evening<'_>) -> Vec<ClosingLine> {
    let mut out: BTreeMap<ProductId, Out> = BTreeMap::new();
    for (container, row) in ContainerId::each(&evening.tables.containers) {
        let contents = &evening.stock[container];
        let cloth = row.vessel.is_some_and(|vessel| vessel.is_cloth());
        if cloth
            || !evening.stock.present(evening.tables, container)
            || !flammable(evening, container)
        {
            continue;
        }
        let kind = evening.kind(contents.location);
        if !matches!(
            kind,
            None | Some(PlaceKind::Bench | PlaceKind::Floor | PlaceKind::Window)
        ) {
            continue;
        }
        let slot = out.entry(evening.stock.product(container)).or_default();
        slot.names.push(row.id.clone());
        slot.evidence.push(row.at);
        if let Some(Amount::Volume(size)) = row.capacity {
            slot.largest = slot.largest.max(size.base());
        }
        let place = evening.named(contents.location);
        if !slot.places.contains(&place) {
            slot.places.push(place);
        }
        match contents.amount {
            Some(Amount::Volume(litres)) => {
                let sum = slot.litres.unwrap_or(Exact::ZERO);
                // Too many digits to add up: what stands out is then more than this, and not known.
                let more = sum.plus(litres.base());
                slot.unknown |= more.is_err();
                slot.litres = Some(more.unwrap_or(sum));
            }
            Some(Amount::Mass(_) | Amount::Pieces(_)) | None => slot.unknown = true,
        }
        let used = evening.stock.uses.iter().rev();
        let last = used.into_iter().find(|one| one.container == container);
        slot.since_used = slot.since_used.max(last.map(|one| one.when));
    }
    let mut stores = stores(evening);
    out.into_iter()
        .map(|(product, out)| line(evening, product, out, &mut stores))
        .collect()
}

/// A cabinet or store-room, and how much it still takes; `None` where its capacity is not given.
struct PutAway<'e> {
    name: &'e str,
    capacity: Option<Exact>,
    room_left: Option<Exact>,
}

/// Where liquids are put away: cabinets that are built for it, then any cabinet, then store-rooms.
fn stores<'e>(evening: &Evening<'e>) -> Vec<PutAway<'e>> {
    let order = |place: &Place| match (place.kind, place.listed) {
        (PlaceKind::Cabinet, Some(true)) => Some(0),
        (PlaceKind::Cabinet, Some(false) | None) => Some(1),
        (PlaceKind::StoreRoom, _) => Some(2),
        (
            PlaceKind::Shelf
            | PlaceKind::Bench
            | PlaceKind::Floor
            | PlaceKind::Window
            | PlaceKind::Refrigerator
            | PlaceKind::Outdoors
            | PlaceKind::OilyWasteCan
            | PlaceKind::WaterCan
            | PlaceKind::DryingLine
            | PlaceKind::PadJar,
            _,
        ) => None,
    };
    let places = PlaceId::each(&evening.tables.places);
    let mut list: Vec<(i32, PlaceId, &Place)> = places
        .filter_map(|(at, place)| Some((order(place)?, at, place)))
        .collect();
    list.sort_by_key(|(order, at, _)| (*order, *at));
    list.into_iter()
        .map(|(_, at, place)| PutAway {
            name: &place.id,
            capacity: place.capacity.map(Volume::base),
            room_left: place
                .capacity
                .map(|capacity| room_left(evening, at, capacity)),
        })
        .collect()
}

/// How much a place still takes; nothing where it is unknown how much stands in it.
fn room_left(evening: &Evening<'_>, place: PlaceId, capacity: Volume) -> Exact {
    let containers = ContainerId::each(&evening.stock.containers);
    let here = containers.filter(|(at, contents)| {
        contents.location.place == Some(place) && evening.stock.present(evening.tables, *at)
    });
    let left = here
        .into_iter()
        .try_fold(capacity.base(), |left, (_, contents)| {
            match contents.amount {
                Some(Amount::Volume(held)) => left.minus(held.base()).ok(),
                Some(Amount::Pieces(_)) => Some(left),
                Some(Amount::Mass(_)) | None => None,
            }
        });
    left.filter(|left| !left.is_negative())
        .unwrap_or(Exact::ZERO)
}

impl PutAway<'_> {
    fn takes(&self, out: &Out) -> bool {
        let litres = out.litres.filter(|_| !out.unknown);
        let room = self
            .room_left
            .is_none_or(|left| litres.is_some_and(|litres| litres <= left));
        room && self.capacity.is_none_or(|capacity| out.largest <= capacity)
    }
}

fn flammable(evening: &Evening<'_>, container: ContainerId) -> bool {
    let own = evening.stock.product(container);
    let mut products = [&own].into_iter().chain(&evening.stock[container].also);
    products.any(|product| match evening.hazards[*product].flash.value() {
        Some(Flash::At(at)) => *at <= FLAMMABLE_UP_TO,
        Some(Flash::Never | Flash::NotALiquid) => false,
        None => true,
    })
}

/// The most of a product that was used in one day of the last month: what a day's supply can be at most.
fn supply(evening: &Evening<'_>, product: ProductId) -> Option<Exact> {
    let mut days: BTreeMap<crate::quantity::Day, Exact> = BTreeMap::new();
    for one in &evening.stock.uses {
        if let Amount::Volume(litres) = one.amount
            && evening.stock.product(one.container) == product
        {
            let day = days.entry(one.when.day()).or_insert(Exact::ZERO);
            // Too many digits to add up: a supply that is too small leaves more to put away.
            *day = day.plus(litres.base()).unwrap_or(*day);
        }
    }
    days.into_values().max()
}

fn line(
    evening: &Evening<'_>,
    product: ProductId,
    out: Out,
    stores: &mut [PutAway<'_>],
) -> ClosingLine {
    let us = evening.tables.shop.us;
    let shown = |litres| natural(Amount::Volume(Volume::from_base(litres)), us);
    let supply = supply(evening, product);
    let places: Vec<String> = out.places.iter().map(|place| the(place)).collect();
    let (names, places) = (out.names.join(", "), places.join(", "));
    let held = match out.litres {
        Some(litres) if out.unknown => format!("more than {}", shown(litres)),
        Some(litres) => shown(litres),
        None => "an unknown amount".into(),
    };
    let day = supply.map_or_else(
        || "No use is on record in the last month, so a day's supply is unknown.".to_string(),
        |supply| {
            format!(
                "The most used in one day of the last month is {}.",
                shown(supply)
            )
        },
    );
    let fits = match (out.litres, supply) {
        (Some(litres), Some(supply)) => !out.unknown && litres <= supply,
        _ => false,
    };
    let (standing, action, commands) = if fits {
        (Account::Accounted, "Put the lids on.".into(), Vec::new())
    } else {
        let (action, commands) = put_away(&out, stores);
        (Account::Open, action, commands)
    };
    ClosingLine {
        standing,
        about: ClosingTopic::Bench,
        subject: evening.stock.product_name(product).to_string(),
        observed: format!("{held} out at {places} in {names}. {day}"),
        place: places,
        amount: out
            .litres
            .map(|litres| Amount::Volume(Volume::from_base(litres))),
        since: out.since_used,
        action,
        commands,
        evidence: out.evidence,
    }
}

/// Where more than a day's supply goes for the night, and the commands that log it. What is put away takes its room there.
fn put_away(out: &Out, stores: &mut [PutAway<'_>]) -> (String, Vec<String>) {
    let have = if stores.is_empty() {
        "places.csv has no cabinet and no store-room."
    } else {
        "No cabinet or store-room in places.csv has room for it."
    };
    let Some(store) = stores.iter_mut().find(|store| store.takes(out)) else {
        let action =
            format!("Put away what tomorrow's work does not need, with the lids on. {have}");
        return (action, Vec::new());
    };
    let left = store.room_left.zip(out.litres);
    let left = left.and_then(|(left, litres)| left.minus(litres).ok());
    store.room_left = left.or(store.room_left);
    let action = format!(
        "Put what tomorrow's work does not need into {}, with the lids on.",
        the(store.name)
    );
    let moves = out.names.iter();
    let moves = moves.map(|name| command(&["move", name, store.name]));
    (action, moves.collect())
}
