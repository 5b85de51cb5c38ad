//! The plan of each room: what stands where by places.csv and fixtures.csv, how far a rule wants things apart, what has
//! findings. In metres from the corner that the shop measures from; drawing is left to the format.

use super::shelf::StockRow;
use crate::check::{RequiredDistance, required_distances};
use crate::finding::{Finding, SubjectKind};
use crate::pack::Pack;
use crate::quantity::{Exact, Length};
use crate::record::{FixtureKind, PlaceKind, ShopTables};
use crate::stock::{RagState, Stock};
use std::collections::{BTreeMap, HashMap};

/// One room.
pub struct Floor {
    /// Its name.
    pub room: String,
    /// The pack whose classes sort the containers, if any sorts them.
    pub classes_of: Option<String>,
    /// Length and width, if both are known.
    pub size: Option<(Length, Length)>,
    pub marks: Vec<FloorMark>,
}

/// A place or a fixture.
pub struct FloorMark {
    /// Its name.
    pub id: String,
    pub what: MarkKind,
    /// Where it is; not known for a thing without x and y.
    pub xy: Option<(Length, Length)>,
    /// What its plate says.
    pub rating: Option<String>,
    /// The clearances and the reach that rules ask for.
    pub rings: Vec<Ring>,
    /// Containers there, by class: the class that lights soonest first.
    pub holds: Vec<Vessels>,
    /// Rags and pads there that are not clean, in words.
    pub cloth: Vec<String>,
    /// Open findings about it or about what stands there, by position.
    pub findings: Vec<usize>,
}

/// What a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A place where things stand.
    Place(PlaceKind),
    /// A fixture.
    Fixture(FixtureKind),
}

impl MarkKind {
    /// Its word in the files, with spaces.
    pub fn word(self) -> String {
        let word = match self {
            MarkKind::Place(kind) => kind.word(),
            MarkKind::Fixture(kind) => kind.word(),
        };
        word.replace('-', " ")
    }

    /// Does it burn or glow?
    pub fn ignites(self) -> bool {
        matches!(
            self,
            MarkKind::Fixture(FixtureKind::Flame | FixtureKind::Heater)
        )
    }
}

/// A distance that a rule asks for, around a mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ring {
    /// Metres.
    pub radius: Exact,
    /// As written: `20 ft`.
    pub shown: String,
    /// A walk along the walls, and not a straight line.
    pub walk: bool,
    /// The rules that ask for it.
    pub rules: Vec<String>,
}

/// Containers of one class.
pub struct Vessels {
    /// The class, or that it is not known.
    pub class: String,
    /// Its position among the classes of its pack; past the last where it is not known.
    pub rank: usize,
    /// How many.
    pub count: usize,
    /// How many of each vessel, in words: `3 glass, 2 metal`.
    pub vessels: String,
}

/// The plan of every room that has a place or a fixture, or measures.
pub(super) fn floors(
    tables: &ShopTables,
    stock: &Stock,
    packs: &[&Pack],
    rows: &[StockRow],
    findings: &[Finding],
) -> Vec<Floor> {
    let required = required_distances(tables, packs, stock.on);
    let about = AtPlaces::new(tables, stock, findings);
    let mut floors: Vec<Floor> = tables
        .rooms
        .iter()
        .map(|room| Floor {
            room: room.id.clone(),
            classes_of: classing(packs).map(|pack| pack.id.clone()),
            size: room.length.zip(room.width),
            marks: Vec::new(),
        })
        .collect();
    let vessels = vessels(tables, packs, rows);
    for (at, place) in tables.places.iter().enumerate() {
        let what = MarkKind::Place(place.kind);
        let mark = FloorMark {
            id: place.id.clone(),
            what,
            xy: place.xy,
            rating: None,
            rings: rings(&required, |distance| {
                distance.reach.around_place(place.kind)
            }),
            holds: vessels_at(&vessels, &place.id),
            cloth: about.cloth.get(&at).cloned().unwrap_or_default(),
            findings: about.of_place(&place.id, Some(at)),
        };
        if let Some(floor) = place.room.and_then(|room| floors.get_mut(room)) {
            floor.marks.push(mark);
        }
    }
    for fixture in tables.fixtures.iter().flatten() {
        let mark = FloorMark {
            id: fixture.id.clone(),
            what: MarkKind::Fixture(fixture.kind),
            xy: fixture.xy,
            rating: fixture.rating.clone(),
            rings: rings(&required, |distance| distance.reach.around(fixture)),
            holds: Vec::new(),
            cloth: Vec::new(),
            findings: about.of_place(&fixture.id, None),
        };
        if let Some(floor) = fixture.room.and_then(|room| floors.get_mut(room)) {
            floor.marks.push(mark);
        }
    }
    floors.retain(|floor| floor.size.is_some() || !floor.marks.is_empty());
    floors
}

/// The distances around one thing, each once, the widest last.
fn rings(
    required: &[RequiredDistance],
    radius: impl Fn(&RequiredDistance) -> Option<Exact>,
) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    for distance in required {
        let Some(radius) = radius(distance) else {
            continue;
        };
        let (measure, walk) = (&distance.reach.measure, distance.reach.walk.is_some());
        let shown = if radius == measure.base {
            measure.text()
        } else {
            crate::quantity::in_unit(radius, measure.unit)
        };
        match rings
            .iter_mut()
            .find(|r| r.radius == radius && r.walk == walk)
        {
            Some(ring) => ring.rules.push(distance.says.clone()),
            None => rings.push(Ring {
                radius,
                shown,
                walk,
                rules: vec![distance.says.clone()],
            }),
        }
    }
    rings.sort_by_key(|ring| ring.radius);
    rings
}

/// Which open findings belong to which place, and which rags lie there.
struct AtPlaces<'f> {
    places: HashMap<&'f str, Vec<usize>>,
    at_site: HashMap<usize, Vec<usize>>,
    cloth: HashMap<usize, Vec<String>>,
}

impl<'f> AtPlaces<'f> {
    fn new(tables: &ShopTables, stock: &Stock, findings: &'f [Finding]) -> AtPlaces<'f> {
        let mut places: HashMap<&str, Vec<usize>> = HashMap::new();
        let mut about: HashMap<usize, Vec<usize>> = HashMap::new();
        for (at, finding) in findings.iter().enumerate().filter(|(_, f)| f.calls()) {
            let id = finding.subject.id.as_str();
            match finding.subject.kind {
                SubjectKind::Place => places.entry(id).or_default().push(at),
                SubjectKind::Container | SubjectKind::Rag => {
                    if let Some(container) = tables.container(id) {
                        about.entry(container).or_default().push(at);
                    }
                }
                SubjectKind::Room
                | SubjectKind::Person
                | SubjectKind::Check
                | SubjectKind::Shop => {}
            }
        }
        let mut at_site: HashMap<usize, Vec<usize>> = HashMap::new();
        let mut cloth: HashMap<usize, Vec<String>> = HashMap::new();
        for (container, contents) in stock.containers.iter().enumerate() {
            if !stock.present(tables, container) {
                continue;
            }
            let soiled = contents
                .cloth
                .iter()
                .filter(|p| !matches!(p.state, RagState::Clean | RagState::Dry));
            // What is open about rags is about those that lie loose, where any do.
            let loose = contents.cloth.iter().any(|p| p.state == RagState::Wet);
            let mut places = Vec::new();
            for batch in soiled {
                let Some(place) = batch.location.place else {
                    continue;
                };
                let id = tables
                    .containers
                    .get(container)
                    .map_or("", |c| c.id.as_str());
                let words = format!("{} of {id} {}", batch.pieces.digits(), state(batch.state));
                cloth.entry(place).or_default().push(words);
                if !loose || batch.state == RagState::Wet {
                    places.push(place);
                }
            }
            if places.is_empty() {
                places.extend(contents.location.place);
            }
            places.dedup();
            for found in about.get(&container).into_iter().flatten() {
                for place in &places {
                    at_site.entry(*place).or_default().push(*found);
                }
            }
        }
        AtPlaces {
            places,
            at_site,
            cloth,
        }
    }

    fn of_place(&self, id: &str, place: Option<usize>) -> Vec<usize> {
        let own = self.places.get(id).into_iter().flatten();
        let held = place.and_then(|place| self.at_site.get(&place));
        let mut list: Vec<usize> = own.chain(held.into_iter().flatten()).copied().collect();
        list.sort_unstable();
        list.dedup();
        list
    }
}

fn state(state: RagState) -> &'static str {
    match state {
        RagState::Wet => "wet and loose",
        RagState::Flat => "spread flat, still wet",
        RagState::UnderWater => "under water, still to be taken away",
        RagState::InCan => "in the can, still to be taken away",
        RagState::InJar => "in the jar for pads",
        RagState::Dry => "dry",
        RagState::Clean => "clean",
    }
}

/// Containers by place, then by class: position, title, and how many of which vessel.
type ByPlace<'r> = HashMap<&'r str, BTreeMap<(usize, &'r str), BTreeMap<&'static str, usize>>>;

/// The first pack that sorts liquids into classes.
fn classing<'p>(packs: &[&'p Pack]) -> Option<&'p Pack> {
    packs.iter().copied().find(|pack| pack.scheme.is_some())
}

fn vessels<'r>(tables: &ShopTables, packs: &[&Pack], rows: &'r [StockRow]) -> ByPlace<'r> {
    let pack = classing(packs);
    let classes = pack
        .and_then(|pack| pack.scheme.as_ref())
        .map_or(&[][..], |scheme| &scheme.classes);
    let mut found: ByPlace<'r> = HashMap::new();
    for row in rows.iter().filter(|row| row.cloth.is_none()) {
        let title = row
            .class
            .iter()
            .find(|(name, _)| pack.is_some_and(|pack| pack.id == *name))
            .map(|(_, title)| title.as_str());
        let rank = title.and_then(|title| classes.iter().position(|c| c.title == title));
        let key = match (title, rank) {
            (Some(title), Some(rank)) => (rank, title),
            _ => (classes.len(), super::groups::CLASS_NOT_KNOWN),
        };
        let vessel = tables
            .container(&row.container)
            .and_then(|c| tables.containers.get(c)?.vessel)
            .map_or("vessel not known", |vessel| vessel.word());
        let of_class = found.entry(row.place.as_str()).or_default();
        *of_class.entry(key).or_default().entry(vessel).or_default() += 1;
    }
    found
}

fn vessels_at(found: &ByPlace<'_>, place: &str) -> Vec<Vessels> {
    let classes = found.get(place).into_iter().flatten();
    classes
        .map(|((rank, class), kinds)| Vessels {
            class: (*class).to_string(),
            rank: *rank,
            count: kinds.values().sum(),
            vessels: kinds
                .iter()
                .map(|(vessel, count)| format!("{count} {vessel}"))
                .collect::<Vec<_>>()
                .join(", "),
        })
        .collect()
}
