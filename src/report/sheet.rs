//! The round on paper: what should be where, the checks that are due, and room to write down what is found. One neutral
//! sheet; the formats are beside this file.

use super::due::every;
use super::view::View;
use crate::quantity::{Amount, Day, Dimension, Exact, in_unit, natural, unit};
use crate::record::{Book, Container, FixtureKind, Stands};
use crate::stock::{ClothState, Holding, Parcel, Stock};
use crate::trade::{About, Asked, Spot, way_round};

/// The sheet of one round.
pub struct Sheet {
    /// The shop's name.
    pub shop: String,
    /// The day it is printed for.
    pub on: Day,
    /// Room by room, then the shop as a whole.
    pub legs: Vec<Leg>,
    /// Containers that are empty by the book.
    pub empty: Vec<String>,
    /// How many rows bear a number.
    pub rows: usize,
}

/// A room, or what belongs to none.
pub struct Leg {
    /// Its heading.
    pub title: String,
    /// Its name in the tables; empty for what belongs to no room.
    pub room: String,
    /// In walking order.
    pub lines: Vec<Line>,
}

/// One row.
pub struct Line {
    /// Its number; rows without one are looked at, and what is found is written elsewhere.
    pub number: Option<usize>,
    /// The place or fixture; empty for the room as a whole.
    pub place: String,
    /// What it asks.
    pub ask: Ask,
}

/// What a row asks.
pub enum Ask {
    /// Count what a container holds.
    Count(Count),
    /// Answer a question.
    Check(Check),
    /// Look, and write what is found where the words say.
    Look {
        /// What at.
        what: String,
        /// How it should be.
        should: String,
    },
}

/// A container to count.
pub struct Count {
    /// The container.
    pub container: String,
    /// Its product.
    pub product: String,
    /// What the book says it holds; "not known" if it says nothing.
    pub expected: String,
    /// The unit in which a bare number is read; empty where none can be told.
    pub unit: &'static str,
    /// What else to mind.
    pub remark: String,
}

/// A question to answer.
pub struct Check {
    /// Its word.
    pub check: String,
    /// What it is about, as `checks.csv` writes it.
    pub about: String,
    /// The question.
    pub question: String,
    /// What a yes means.
    pub pass: String,
    /// Who says so.
    pub source: String,
    /// Must it be?
    pub must: bool,
    /// "Not present" is a good answer.
    pub may_be_absent: bool,
    /// When it is due.
    pub due: String,
}

/// Where a row stands, before the walk is laid out.
struct Stop {
    stands: Stands,
    /// A fixture, by position.
    fixture: Option<usize>,
    ask: Ask,
}

/// Lays out the sheet of a day.
pub fn sheet(book: &Book, stock: &Stock, view: &View<'_>) -> Sheet {
    let mut stops = counts(book, stock, view);
    for asked in view.round.iter().filter(|asked| asked.belongs_on(view.on)) {
        stops.push(stop(book, view.on, asked));
    }
    stops.extend((0..book.rooms.len()).filter_map(|room| exhaust(book, room, view.us)));
    let mut legs: Vec<Leg> = (0..book.rooms.len())
        .map(|room| leg(book, room, &mut stops))
        .collect();
    let titles = [
        ("Where it stands is not written down", true),
        ("The shop as a whole", false),
    ];
    for (title, counted) in titles {
        let (mine, rest) = stops
            .into_iter()
            .partition(|stop| matches!(stop.ask, Ask::Count(_)) == counted);
        stops = rest;
        legs.push(Leg {
            title: title.to_string(),
            room: String::new(),
            lines: lines(book, mine),
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
    let containers = book.containers.iter().enumerate();
    let empty = containers
        .filter(|(_, c)| c.since.is_none_or(|since| since <= view.on))
        .filter(|(at, _)| !stock.present(book, *at))
        .map(|(_, c)| c.id.clone())
        .collect();
    Sheet {
        shop: view.shop.clone(),
        on: view.on,
        legs,
        empty,
        rows,
    }
}

/// Every container that is there, and rags that are not where they rest.
fn counts(book: &Book, stock: &Stock, view: &View<'_>) -> Vec<Stop> {
    let mut stops = Vec::new();
    for (at, container) in book.containers.iter().enumerate() {
        let Some(holding) = stock.holdings.get(at).filter(|_| stock.present(book, at)) else {
            continue;
        };
        let elsewhere = holding.cloth.iter();
        for parcel in elsewhere.filter(|parcel| parcel.state != ClothState::Clean) {
            stops.push(Stop {
                stands: parcel.stands,
                fixture: None,
                ask: rags(&container.id, parcel),
            });
        }
        stops.push(Stop {
            stands: holding.stands,
            fixture: None,
            ask: Ask::Count(count(container, holding, view.us)),
        });
    }
    stops
}

fn count(container: &Container, holding: &Holding, us: bool) -> Count {
    let expected = holding
        .amount
        .map_or_else(|| "not known".to_string(), |amount| natural(amount, us));
    let shown = holding.amount.or(container.capacity);
    let unit = shown.map_or("", |amount| unit_of(amount, us));
    let mut remarks = Vec::new();
    if let Some(size) = container.capacity {
        remarks.push(format!("vessel of {}", natural(size, us)));
    }
    if holding.counted_full && holding.entries == 0 {
        remarks.push("never counted, taken as full".to_string());
    }
    let clean = |parcel: &&Parcel| parcel.state == ClothState::Clean;
    if holding.cloth.iter().any(|parcel| !clean(&parcel)) {
        let here = holding.cloth.iter().filter(clean);
        let pieces = here.fold(Exact::ZERO, |sum, p| sum.plus(p.pieces).unwrap_or(sum));
        remarks.push(format!(
            "{} clean; count all of the row, wherever they are",
            pieces.digits()
        ));
    }
    Count {
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
fn rags(container: &str, parcel: &Parcel) -> Ask {
    let pieces = parcel.pieces.digits();
    let since = parcel.since.map_or_else(
        || "nobody knows when".to_string(),
        |since| since.to_string(),
    );
    let (state, should) = match parcel.state {
        ClothState::Wet => (
            "wet and loose here by the book",
            "none here: under water in a lidded metal can, or flat outdoors, now",
        ),
        ClothState::InCan => ("in the can", "lid shut; can emptied outdoors today"),
        ClothState::UnderWater => ("under water", "covered by water, lid tight"),
        ClothState::Flat => ("spread flat", "one layer, clear of the building"),
        ClothState::InJar => (
            "in the jar for pads",
            "lid tight; one that saw oil never dries in a heap",
        ),
        ClothState::Dry | ClothState::Clean => ("found hard and dry", "each one hard all through"),
    };
    Ask::Look {
        what: format!("{container}: {pieces} pcs, {state}, since {since}"),
        should: should.to_string(),
    }
}

/// A question, at the thing it is about where that can be walked to.
fn stop(book: &Book, on: Day, asked: &Asked<'_>) -> Stop {
    let question = asked.question;
    let named = book.stands(&asked.about).unwrap_or_default();
    let fixtures = || book.fixtures.iter().flatten();
    let (mut stands, mut fixture) = (
        named,
        fixtures().position(|f| f.id == asked.about && !asked.about.is_empty()),
    );
    let in_room = |room: Option<usize>| named.room.is_none() || room == named.room;
    if stands.site.is_none() && fixture.is_none() {
        match question.about {
            About::Sites(kind) => {
                let site = book
                    .sites
                    .iter()
                    .position(|s| s.kind == kind && in_room(s.room));
                stands.site = site;
                stands.room = site.and_then(|s| book.sites.get(s)?.room).or(named.room);
            }
            About::Fixtures(kind) => {
                fixture = fixtures().position(|f| f.kind == kind && in_room(f.room));
            }
            About::Shop | About::Rooms | About::RoomsFor(_) | About::Basements => {}
        }
    }
    if let Some(found) = fixture.and_then(|at| fixtures().nth(at)) {
        stands.room = found.room;
    }
    Stop {
        stands,
        fixture,
        ask: Ask::Check(Check {
            check: question.check.clone(),
            about: asked.about.clone(),
            question: question.question.clone(),
            pass: question.pass.clone(),
            source: question.source.clone(),
            must: question.severity == crate::pack::Severity::Must,
            may_be_absent: question.may_be_absent,
            due: due(on, asked),
        }),
    }
}

fn due(on: Day, asked: &Asked<'_>) -> String {
    let often = every(&asked.question.interval.to_string());
    match asked.last {
        None => format!("never answered; {often}"),
        Some((day, Some(false))) => format!("no on {day}; {often}"),
        Some((day, _)) if asked.due <= on => format!("due since {}; last on {day}", asked.due),
        Some((day, _)) => format!("by {}; last on {day}", asked.due),
    }
}

/// What the fan moves, and when that was measured.
fn exhaust(book: &Book, room: usize, us: bool) -> Option<Stop> {
    let row = book.rooms.get(room)?;
    let symbol = if us { "cfm" } else { "m3/h" };
    let moved = row.exhaust.zip(unit::find(symbol)).map_or_else(
        || "not known".to_string(),
        |(flow, unit)| in_unit(flow.house(), unit),
    );
    let measured = row.exhaust_measured.map_or_else(
        || "never measured, as far as is written".to_string(),
        |day| format!("measured on {day}"),
    );
    Some(Stop {
        stands: Stands {
            site: None,
            room: Some(room),
        },
        fixture: None,
        ask: Ask::Look {
            what: format!("Exhaust, if you measure it: airflow and day, into rooms.csv ({symbol})"),
            should: format!("{moved}; {measured}"),
        },
    })
}

/// Takes the stops of a room, and puts them in the order of the walk.
fn leg(book: &Book, room: usize, stops: &mut Vec<Stop>) -> Leg {
    let all = std::mem::take(stops);
    let (mine, rest) = all
        .into_iter()
        .partition(|stop: &Stop| stop.stands.room == Some(room));
    *stops = rest;
    let name = book.rooms.get(room).map_or("", |room| room.id.as_str());
    Leg {
        title: name.to_string(),
        room: name.to_string(),
        lines: lines(book, mine),
    }
}

/// The places and fixtures that these stops are at, in the order of the walk; `None` is the room as a whole, at the end.
fn lines(book: &Book, stops: Vec<Stop>) -> Vec<Line> {
    let mut stations: Vec<(Option<usize>, Option<usize>)> = Vec::new();
    for (at, _) in book.sites.iter().enumerate() {
        stations.push((Some(at), None));
    }
    let fixtures: Vec<_> = book.fixtures.iter().flatten().collect();
    stations.extend((0..fixtures.len()).map(|at| (None, Some(at))));
    stations.retain(|station| stops.iter().any(|stop| at_station(stop) == *station));
    let spots: Vec<Spot> = stations
        .iter()
        .map(|(site, fixture)| {
            let site = site.and_then(|at| book.sites.get(at)?.xy);
            site.or_else(|| fixture.and_then(|at| fixtures.get(at)?.xy))
        })
        .collect();
    let door = stations.iter().position(|(_, fixture)| {
        fixture.is_some_and(|at| {
            fixtures
                .get(at)
                .is_some_and(|f| f.kind == FixtureKind::Exit)
        })
    });
    let mut order: Vec<(Option<usize>, Option<usize>)> = way_round(&spots, door)
        .into_iter()
        .filter_map(|at| stations.get(at).copied())
        .collect();
    order.push((None, None));
    let mut placed: Vec<(usize, Stop)> = stops
        .into_iter()
        .map(|stop| {
            let at = order
                .iter()
                .position(|station| *station == at_station(&stop));
            (at.unwrap_or(usize::MAX), stop)
        })
        .collect();
    placed.sort_by_key(|(at, stop)| (*at, !matches!(stop.ask, Ask::Count(_))));
    let name = |stop: &Stop| {
        let site = stop
            .stands
            .site
            .and_then(|at| book.sites.get(at))
            .map(|s| s.id.clone());
        let fixture = stop.fixture.and_then(|at| fixtures.get(at));
        let rated = |rating: &Option<String>| {
            rating
                .as_ref()
                .map_or_else(String::new, |r| format!(" ({r})"))
        };
        fixture
            .map(|f| format!("{}{}", f.id, rated(&f.rating)))
            .or(site)
            .unwrap_or_default()
    };
    placed
        .into_iter()
        .map(|(_, stop)| Line {
            number: None,
            place: name(&stop),
            ask: stop.ask,
        })
        .collect()
}

/// A fixture, or a place; a stop at a fixture is not at a place.
fn at_station(stop: &Stop) -> (Option<usize>, Option<usize>) {
    match stop.fixture {
        Some(fixture) => (None, Some(fixture)),
        None => (stop.stands.site, None),
    }
}

impl Count {
    /// Of what sort a number found must be, by its unit.
    pub fn dimension(&self) -> Option<Dimension> {
        unit::find(self.unit).map(|unit| unit.dimension)
    }
}
