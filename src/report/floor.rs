//! The floor plan of each room: which place is where, which open findings belong to it, and the distances that are too short
//! or nearly so. In metres from the north-west corner of the room; drawing is left to the page.

use crate::check::{RequiredDistance, required_distances};
use crate::finding::{Compared, Finding, SubjectKind};
use crate::pack::Pack;
use crate::quantity::{Dimension, Exact, Length};
use crate::record::{ContainerId, Fixture, FixtureKind, PlaceId, PlaceKind, RoomId, ShopTables};
use crate::stock::{RagBatch, RagState, Stock};
use crate::text::Span;
use std::collections::HashMap;

pub struct Floor {
    pub room: String,
    /// Length and width, if both are known.
    pub size: Option<(Length, Length)>,
    pub marks: Vec<FloorMark>,
    /// Distances that are open findings.
    pub distances: Vec<FloorDistance>,
    /// The walk within which each extinguisher counts, where reaching one is an open finding.
    pub reach: Vec<(FloorPoint, Exact)>,
}

/// A point of a room: along its length, and along its width.
pub type FloorPoint = (Length, Length);

/// A place or a fixture.
pub struct FloorMark {
    pub id: String,
    pub what: MarkKind,
    /// Where it is; `None` for a thing without x and y.
    pub xy: Option<FloorPoint>,
    /// Open findings about it or about what is stored there, by position.
    pub findings: Vec<usize>,
}

/// What a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A place where things are stored or used.
    Place(PlaceKind),
    Fixture(FixtureKind),
}

/// A distance between two marks that an open finding is about.
pub struct FloorDistance {
    pub from: FloorPoint,
    pub to: FloorPoint,
    /// `21.1 ft; at least 20 ft`.
    pub words: String,
}

impl Floor {
    /// Is there a room to draw, with something at a known position in it?
    pub fn is_drawable(&self) -> bool {
        self.size.is_some() && self.marks.iter().any(|mark| mark.xy.is_some())
    }
}

/// The plan of every room that has measures, places or fixtures.
pub(super) fn floors(
    tables: &ShopTables,
    stock: &Stock,
    packs: &[&Pack],
    findings: &[Finding],
) -> Vec<Floor> {
    let by_place = FindingsByPlace::new(tables, stock, findings);
    let reach_is_open = findings.iter().any(is_reach);
    let required = match reach_is_open {
        true => required_distances(tables, packs, stock.on),
        false => Vec::new(),
    };
    let apart: Vec<&Finding> = findings.iter().filter(|it| is_distance(it)).collect();
    let rooms = RoomId::each(&tables.rooms);
    let floors = rooms.map(|(at, room)| {
        let marks = marks_in(at, tables, &by_place);
        let open = |mark: &FloorMark| {
            let mut open = mark.findings.iter().filter_map(|at| findings.get(*at));
            open.any(is_reach)
        };
        let reach = match marks.iter().any(|(mark, _)| open(mark)) {
            true => reach_in(at, tables, &required),
            false => Vec::new(),
        };
        Floor {
            room: room.id.clone(),
            size: room.length.zip(room.width),
            distances: distances(&apart, &marks),
            reach,
            marks: marks.into_iter().map(|(mark, _)| mark).collect(),
        }
    });
    floors
        .filter(|floor| floor.size.is_some() || !floor.marks.is_empty())
        .collect()
}

/// The places and fixtures of a room, each with its row.
fn marks_in(
    room: RoomId,
    tables: &ShopTables,
    by_place: &FindingsByPlace<'_>,
) -> Vec<(FloorMark, Span)> {
    let places = PlaceId::each(&tables.places).filter(|(_, row)| row.room == Some(room));
    let places = places.map(|(place, row)| {
        let mark = FloorMark {
            id: row.id.clone(),
            what: MarkKind::Place(row.kind),
            xy: row.xy,
            findings: by_place.at(&row.id, Some(place)),
        };
        (mark, row.at)
    });
    let fixtures = fixtures_in(room, tables).map(|row| {
        let mark = FloorMark {
            id: row.id.clone(),
            what: MarkKind::Fixture(row.kind),
            xy: row.xy,
            findings: by_place.at(&row.id, None),
        };
        (mark, row.at)
    });
    places.chain(fixtures).collect()
}

fn fixtures_in(room: RoomId, tables: &ShopTables) -> impl Iterator<Item = &Fixture> {
    let all = tables.fixtures.iter().flatten();
    all.filter(move |row| row.room == Some(room))
}

/// The longest walk that the rules allow to each extinguisher of a room.
fn reach_in(
    room: RoomId,
    tables: &ShopTables,
    required: &[RequiredDistance],
) -> Vec<(FloorPoint, Exact)> {
    let extinguishers =
        fixtures_in(room, tables).filter(|row| row.kind == FixtureKind::Extinguisher);
    let around = extinguishers.filter_map(|row| {
        let walks = required.iter().filter(|it| it.reach.walk.is_some());
        row.xy
            .zip(walks.filter_map(|it| it.reach.around(row)).max())
    });
    around.collect()
}

/// Is it an open finding about the walk to an extinguisher that is there?
fn is_reach(finding: &Finding) -> bool {
    let walk = |compared: &Compared| matches!(compared, Compared::AtMost { limit, .. } if limit.unit.dimension == Dimension::Length);
    finding.calls() && finding.compared.as_ref().is_some_and(walk)
}

/// Is it an open finding that asks for a distance?
fn is_distance(finding: &Finding) -> bool {
    let length = |compared: &Compared| matches!(compared, Compared::AtLeast { limit, .. } if limit.unit.dimension == Dimension::Length);
    finding.calls() && finding.compared.as_ref().is_some_and(length)
}

/// The distances that these findings ask for between two of these marks.
fn distances(apart: &[&Finding], marks: &[(FloorMark, Span)]) -> Vec<FloorDistance> {
    let mut list: Vec<FloorDistance> = Vec::new();
    for finding in apart {
        let on_both_ends = |(mark, row): &&(FloorMark, Span)| {
            mark.id == finding.subject.id || finding.evidence.contains(row)
        };
        let mut ends = marks.iter().filter(on_both_ends);
        let ends = ends.next().zip(ends.next());
        let points = ends.and_then(|((one, _), (other, _))| one.xy.zip(other.xy));
        if let Some((from, to)) = points {
            list.push(FloorDistance {
                from,
                to,
                words: format!("{}; at least {}", finding.observed, finding.limit),
            });
        }
    }
    list.dedup_by(|a, b| (a.from, a.to) == (b.from, b.to));
    list
}

/// Which open findings belong to which place.
struct FindingsByPlace<'f> {
    named: HashMap<&'f str, Vec<usize>>,
    stored: HashMap<PlaceId, Vec<usize>>,
}

impl<'f> FindingsByPlace<'f> {
    fn new(tables: &ShopTables, stock: &Stock, findings: &'f [Finding]) -> FindingsByPlace<'f> {
        let mut named: HashMap<&str, Vec<usize>> = HashMap::new();
        let mut stored: HashMap<PlaceId, Vec<usize>> = HashMap::new();
        for (at, finding) in findings.iter().enumerate().filter(|(_, f)| f.calls()) {
            let id = finding.subject.id.as_str();
            match finding.subject.kind {
                SubjectKind::Place => named.entry(id).or_default().push(at),
                SubjectKind::Container | SubjectKind::Rag => {
                    let container = tables.container(id);
                    for place in container.into_iter().flat_map(|at| places_of(stock, at)) {
                        stored.entry(place).or_default().push(at);
                    }
                }
                SubjectKind::Room
                | SubjectKind::Person
                | SubjectKind::Check
                | SubjectKind::Shop => {}
            }
        }
        FindingsByPlace { named, stored }
    }

    fn at(&self, id: &str, place: Option<PlaceId>) -> Vec<usize> {
        let own = self.named.get(id).into_iter().flatten();
        let held = place.and_then(|place| self.stored.get(&place));
        let mut list: Vec<usize> = own.chain(held.into_iter().flatten()).copied().collect();
        list.sort_unstable();
        list.dedup();
        list
    }
}

/// Where a container is; for rags, where those are that an open finding is about: the loose ones, if any are loose.
fn places_of(stock: &Stock, container: ContainerId) -> Vec<PlaceId> {
    let state = &stock[container];
    let loose = |batch: &&RagBatch| batch.state == RagState::Wet;
    let soiled = |batch: &&RagBatch| !matches!(batch.state, RagState::Clean | RagState::Dry);
    let of = |wanted: &dyn Fn(&&RagBatch) -> bool| -> Vec<PlaceId> {
        let batches = state.cloth.iter().filter(|batch| wanted(batch));
        batches.filter_map(|batch| batch.location.place).collect()
    };
    let mut places = of(&loose);
    if places.is_empty() {
        places = of(&soiled);
    }
    if places.is_empty() {
        places.extend(state.location.place);
    }
    places.sort_unstable();
    places.dedup();
    places
}
