//! The round on paper: what should be where, the checks that are due, and room to write down what is found. One neutral
//! sheet; the formats are beside this file.

use super::due::often;
use super::sheet_rows::{Ask, Leg, RoundCheck, RoundCount, RoundLine, RoundSheet};
use super::sheet_weight::QuestionWeights;
use super::view::View;
use super::words::{date, moment};
use crate::quantity::when::short_date;
use crate::quantity::{Amount, Day, in_unit, natural, pieces_together, unit};
use crate::record::{
    Container, ContainerId, Fixture, FixtureKind, Location, PlaceId, Room, RoomId, ShopTables,
};
use crate::stock::{ContainerState, RagBatch, RagState, Stock};
use crate::trade::{About, Asked, Spot, way_round};

/// Where a row is, before the walk is laid out.
struct Stop {
    location: Location,
    /// A fixture, by position.
    fixture: Option<usize>,
    ask: Ask,
}

impl Stop {
    fn new(location: Location, fixture: Option<usize>, ask: Ask) -> Stop {
        Stop {
            location,
            fixture,
            ask,
        }
    }

    fn is_count(&self) -> bool {
        matches!(self.ask, Ask::Count(_))
    }

    /// A fixture, or a place; a stop at a fixture is not at a place.
    fn station(&self) -> Station {
        match self.fixture {
            Some(fixture) => Station::Fixture(fixture),
            None => self.location.place.map_or(Station::Room, Station::Place),
        }
    }
}

/// Where one is to look at something; the room as a whole comes at the end of the walk.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Station {
    Place(PlaceId),
    Fixture(usize),
    Room,
}

/// Lays out the sheet of a day.
pub fn sheet(tables: &ShopTables, stock: &Stock, view: &View<'_>) -> RoundSheet {
    let mut stops = counts(tables, stock, view);
    let asked = view.round.iter().filter(|asked| asked.belongs_on(view.on));
    let weights = QuestionWeights::new(view);
    stops.extend(asked.map(|asked| {
        let must = weights.is_required(asked.question);
        stop(tables, view.on, asked, must)
    }));
    let mut legs = Vec::new();
    for (id, room) in RoomId::each(&tables.rooms) {
        stops.push(exhaust(id, room, view.us));
        let mine = stops.extract_if(.., |stop| stop.location.room == Some(id));
        let mine: Vec<Stop> = mine.collect();
        legs.push(Leg {
            title: room.id.clone(),
            room: room.id.clone(),
            lines: lines(tables, mine),
        });
    }
    let (counted, others) = stops.into_iter().partition(Stop::is_count);
    for (title, mine) in [("Place not recorded", counted), ("Whole shop", others)] {
        legs.push(Leg {
            title: title.to_string(),
            room: String::new(),
            lines: lines(tables, mine),
        });
    }
    legs.retain(|leg| !leg.lines.is_empty());
    let mut rows = 0;
    for line in legs.iter_mut().flat_map(|leg| &mut leg.lines) {
        if !matches!(line.ask, Ask::Look { .. }) {
            rows += 1;
            line.number = Some(rows);
        }
    }
    let containers = ContainerId::each(&tables.containers);
    let empty = containers
        .filter(|(_, c)| c.since.is_none_or(|since| since <= view.on))
        .filter(|(at, _)| !stock.present(tables, *at))
        .map(|(_, c)| c.id.clone())
        .collect();
    RoundSheet {
        shop: view.shop.clone(),
        on: view.on,
        legs,
        empty,
        rows,
    }
}

/// Every container that is there, and rags that are not where they rest.
fn counts(tables: &ShopTables, stock: &Stock, view: &View<'_>) -> Vec<Stop> {
    let mut stops = Vec::new();
    let rows = ContainerId::each(&tables.containers);
    for (id, container) in rows.filter(|(id, _)| stock.present(tables, *id)) {
        let contents = &stock[id];
        let soiled = contents.cloth.iter();
        let soiled = soiled.filter(|batch| batch.state != RagState::Clean);
        stops.extend(
            soiled
                .map(|batch| Stop::new(batch.location, None, rags(&container.id, batch, view.us))),
        );
        let count = count(container, contents, view.us);
        stops.push(Stop::new(contents.location, None, Ask::Count(count)));
    }
    stops
}

fn count(container: &Container, contents: &ContainerState, us: bool) -> RoundCount {
    let expected = contents
        .amount
        .map_or_else(|| "unknown".to_string(), |amount| natural(amount, us));
    let shown = contents.amount.or(container.capacity);
    let unit = shown.map_or("", |amount| unit_of(amount, us));
    let mut remarks = Vec::new();
    if let Some(size) = container.capacity {
        remarks.push(format!("size {}", natural(size, us)));
    }
    if contents.counted_full && contents.entries == 0 {
        remarks.push("never counted, counts as full".to_string());
    }
    let clean = |batch: &&RagBatch| batch.state == RagState::Clean;
    if contents.cloth.iter().any(|batch| !clean(&batch)) {
        let here = contents.cloth.iter().filter(clean);
        let pieces = pieces_together(here.map(|batch| batch.pieces));
        remarks.push(format!(
            "{} clean; count all pieces of this row, wherever they are",
            pieces.digits()
        ));
    }
    RoundCount {
        container: container.id.clone(),
        product: container.product.clone(),
        expected,
        unit,
        remark: remarks.join("; "),
    }
}

/// The unit in which an amount is shown.
fn unit_of(amount: Amount, us: bool) -> &'static str {
    let shown = natural(amount, us);
    let symbol = shown.split_once(' ').map_or("", |(_, symbol)| symbol);
    unit::find(symbol).map_or("", |unit| unit.symbol)
}

/// Rags that touched something: where the book has them, and where they should be.
fn rags(container: &str, batch: &RagBatch, us: bool) -> Ask {
    let pieces = batch.pieces.digits();
    let since = batch
        .since
        .map_or_else(|| "an unknown time".to_string(), |since| moment(since, us));
    let words = batch.state.words();
    Ask::Look {
        what: format!(
            "{container}: {pieces} pcs, {} by the log, since {since}",
            words.state
        ),
        should: words.should_be.to_string(),
    }
}

/// A question, at the thing it is about where that can be walked to.
fn stop(tables: &ShopTables, on: Day, asked: &Asked<'_>, must: bool) -> Stop {
    let question = asked.question;
    let named = tables.location(&asked.about).unwrap_or_default();
    let fixtures = || tables.fixtures.iter().flatten();
    let (mut location, mut fixture) = (
        named,
        fixtures().position(|f| f.id == asked.about && !asked.about.is_empty()),
    );
    let in_room = |room: Option<RoomId>| named.room.is_none() || room == named.room;
    if location.place.is_none() && fixture.is_none() {
        match question.about {
            About::Sites(kind) => {
                let mut places = PlaceId::each(&tables.places);
                let found = places.find(|(_, place)| place.kind == kind && in_room(place.room));
                location.place = found.map(|(id, _)| id);
                location.room = found.and_then(|(_, place)| place.room).or(named.room);
            }
            About::Fixtures(kind) => {
                fixture = fixtures().position(|f| f.kind == kind && in_room(f.room));
            }
            About::Shop | About::Rooms | About::RoomsFor(_) | About::Basements => {}
        }
    }
    if let Some(found) = fixture.and_then(|at| fixtures().nth(at)) {
        location.room = found.room;
    }
    let ask = Ask::Check(RoundCheck {
        check: question.check.clone(),
        about: asked.about.clone(),
        question: question.question.clone(),
        pass: question.pass.clone(),
        must,
        may_be_absent: question.may_be_absent,
        due: due(on, asked),
        answered: asked.last.is_some(),
    });
    Stop::new(location, fixture, ask)
}

fn due(on: Day, asked: &Asked<'_>) -> String {
    let often = often(asked.every);
    match asked.last {
        None => format!("never answered; {often}"),
        Some((day, Some(false))) => format!("no on {}; {often}", short_date(day, on)),
        Some((day, _)) if asked.due <= on => format!(
            "due since {}; last on {}",
            short_date(asked.due, on),
            short_date(day, on)
        ),
        Some((day, _)) => format!(
            "by {}; last on {}",
            short_date(asked.due, on),
            short_date(day, on)
        ),
    }
}

/// What the fan moves, and when that was measured.
fn exhaust(id: RoomId, room: &Room, us: bool) -> Stop {
    let symbol = if us { "cfm" } else { "m3/h" };
    let moved = room.exhaust.zip(unit::find(symbol)).map_or_else(
        || "unknown".to_string(),
        |(flow, unit)| in_unit(flow.base(), unit),
    );
    let measured = room.exhaust_measured.map_or_else(
        || "date of measurement not recorded".to_string(),
        |day| format!("measured on {}", date(day)),
    );
    let location = Location {
        place: None,
        room: Some(id),
    };
    let ask = Ask::Look {
        what: format!("If you measure the exhaust: airflow ({symbol}) and date, for rooms.csv"),
        should: format!("{moved}; {measured}"),
    };
    Stop::new(location, None, ask)
}

/// The rows of some stops, in the order of the walk.
fn lines(tables: &ShopTables, stops: Vec<Stop>) -> Vec<RoundLine> {
    let fixtures: Vec<&Fixture> = tables.fixtures.iter().flatten().collect();
    let order = walk(tables, &fixtures, &stops);
    let place_in_order = |stop: &Stop| {
        let at = order.iter().position(|station| *station == stop.station());
        (at.unwrap_or(usize::MAX), !stop.is_count())
    };
    let name = |stop: &Stop| match stop.station() {
        Station::Fixture(at) => fixtures.get(at).map_or(String::new(), |fixture| {
            let rating = fixture.rating.as_ref().map(|rating| format!(" ({rating})"));
            format!("{}{}", fixture.id, rating.unwrap_or_default())
        }),
        Station::Place(id) => tables[id].id.clone(),
        Station::Room => String::new(),
    };
    let mut stops = stops;
    stops.sort_by_key(place_in_order);
    let rows = stops.into_iter().map(|stop| RoundLine {
        number: None,
        place: name(&stop),
        ask: stop.ask,
    });
    rows.collect()
}

/// The places and fixtures that some stops are at, in the order of the walk.
fn walk(tables: &ShopTables, fixtures: &[&Fixture], stops: &[Stop]) -> Vec<Station> {
    let places = PlaceId::each(&tables.places).map(|(id, _)| Station::Place(id));
    let all = places.chain((0..fixtures.len()).map(Station::Fixture));
    let mut stations: Vec<Station> = all.collect();
    stations.retain(|station| stops.iter().any(|stop| stop.station() == *station));
    let fixture = |station: &Station| match station {
        Station::Fixture(at) => fixtures.get(*at),
        Station::Place(_) | Station::Room => None,
    };
    let spots: Vec<Spot> = stations
        .iter()
        .map(|station| match station {
            Station::Place(id) => tables[*id].xy,
            Station::Fixture(_) | Station::Room => fixture(station)?.xy,
        })
        .collect();
    let is_exit = |station: &Station| fixture(station).is_some_and(|f| f.kind == FixtureKind::Exit);
    let door = stations.iter().position(is_exit);
    let order = way_round(&spots, door).into_iter();
    order
        .filter_map(|at| stations.get(at).copied())
        .chain([Station::Room])
        .collect()
}
