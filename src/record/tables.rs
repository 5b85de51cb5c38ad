//! All tables together: names resolved, identifiers unique, what contradicts itself named.

use super::accepted::{self, Acceptance};
use super::action::{self, Action};
use super::answer::{self, Answer};
use super::container::{self, Container};
use super::doubt::Doubt;
use super::fixture::{self, Fixture};
use super::ids::{PlaceId, RoomId};
use super::material::Materials;
use super::names::Names;
use super::place::{self, Place};
use super::product::{self, Product, ProductKind};
use super::room::{self, Room};
use super::row::Fields;
use super::shop::ShopSettings;
use crate::record::RecordFault;
use crate::text::{CellFault, FileId, Files, Problem, Problems, Shape, Span, Table, TableFault};
use foldhash::{HashMap, HashMapExt};

/// Where a container stands: a place, or only a room, or it is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Location {
    /// The place, by position.
    pub place: Option<usize>,
    /// The room, by position.
    pub room: Option<usize>,
}

impl Location {
    /// What an entry of the log says; `None` if it names neither.
    pub fn named(place: Option<PlaceId>, room: Option<RoomId>) -> Option<Location> {
        let named = place.is_some() || room.is_some();
        named.then(|| Location {
            place: place.map(PlaceId::index),
            room: room.map(RoomId::index),
        })
    }

    /// The place, if it is known.
    pub fn place_id(self) -> Option<PlaceId> {
        self.place.map(PlaceId::at)
    }

    /// The room, if it is known.
    pub fn room_id(self) -> Option<RoomId> {
        self.room.map(RoomId::at)
    }
}

/// Everything the shop folder says, but for the log.
#[derive(Debug)]
pub struct ShopTables {
    /// shop.toml.
    pub shop: ShopSettings,
    /// rooms.csv.
    pub rooms: Vec<Room>,
    /// places.csv.
    pub places: Vec<Place>,
    /// fixtures.csv; `None` if there is no such file, so that nothing is known of fixtures.
    pub fixtures: Option<Vec<Fixture>>,
    /// products.csv.
    pub products: Vec<Product>,
    /// inventory.csv.
    pub containers: Vec<Container>,
    /// Where each container stood at first.
    pub location: Vec<Location>,
    /// The kind of what each container holds, if the shop or the generic materials say it.
    pub kinds: Vec<Option<ProductKind>>,
    /// checks.csv.
    pub answers: Vec<Answer>,
    /// accepted.csv.
    pub accepted: Vec<Acceptance>,
    /// actions.csv.
    pub actions: Vec<Action>,
    /// The generic materials.
    pub materials: Materials,
    /// log.csv, if there is one.
    pub log: Option<FileId>,
    container_index: Names,
    site_index: Names,
    room_index: Names,
    product_index: HashMap<String, usize>,
}

impl ShopTables {
    /// The name of the place, or else of the room, where something is.
    pub fn location_name(&self, location: Location) -> Option<String> {
        let place = location.place.and_then(|at| self.places.get(at));
        let room = location.room.and_then(|at| self.rooms.get(at));
        place
            .map(|place| place.id.clone())
            .or_else(|| room.map(|room| room.id.clone()))
    }

    /// A container by its name.
    pub fn container(&self, id: &str) -> Option<usize> {
        self.container_index.get(id)
    }

    /// A place by its name.
    pub fn place(&self, id: &str) -> Option<usize> {
        self.site_index.get(id)
    }

    /// A room by its name.
    pub fn room(&self, id: &str) -> Option<usize> {
        self.room_index.get(id)
    }

    /// A described product by its name, without regard to case.
    pub fn product(&self, id: &str) -> Option<&Product> {
        let at = self
            .product_index
            .get(id)
            .or_else(|| self.product_index.get(&id.to_lowercase()))?;
        self.products.get(*at)
    }

    /// The kind of a product by its name.
    pub fn kind_of(&self, product: &str) -> Option<ProductKind> {
        let described = self.product(product).and_then(|p| p.kind);
        described.or_else(|| self.materials.find(product).and_then(super::Material::kind))
    }

    /// The container whose name is nearest to a mistyped one.
    pub fn near_container(&self, id: &str, problems: &Problems) -> Option<String> {
        problems.near(id, self.containers.iter().map(|c| c.id.as_str()))
    }

    /// The place or room whose name is nearest to a mistyped one.
    pub fn near_place(&self, id: &str, problems: &Problems) -> Option<String> {
        let names = self
            .places
            .iter()
            .map(|s| s.id.as_str())
            .chain(self.rooms.iter().map(|r| r.id.as_str()));
        problems.near(id, names)
    }

    /// Resolves the name of a place, or of a room.
    pub fn location(&self, name: &str) -> Option<Location> {
        if let Some(place) = self.place(name) {
            return Some(Location {
                place: Some(place),
                room: self.places.get(place).and_then(|s| s.room),
            });
        }
        self.room(name).map(|room| Location {
            place: None,
            room: Some(room),
        })
    }
}

/// At most so many rows are read of a table that is held in memory.
const MOST_ROWS: usize = 100_000;

/// Reads one table, if the shop has it, by one function for each row.
fn table<T>(
    files: &Files,
    file: Option<FileId>,
    shape: &'static Shape,
    problems: &mut Problems,
    mut read: impl FnMut(&mut Fields<'_, '_>) -> Option<T>,
) -> (Vec<T>, Doubt) {
    let (mut list, mut doubt) = (Vec::new(), Doubt::default());
    let Some(file) = file else {
        return (list, doubt);
    };
    let Some(mut table) = Table::open(files, file, shape, problems) else {
        doubt.torn = true;
        return (list, doubt);
    };
    let mut whole = problems.count();
    while let Some(row) = table.next(problems) {
        doubt.torn |= problems.count() > whole;
        if list.len() + doubt.refused.len() >= MOST_ROWS {
            let code = TableFault::TooLong { most: MOST_ROWS };
            problems.add(Problem::new(code, row.span()));
            doubt.torn = true;
            return (list, doubt);
        }
        match read(&mut Fields { row, problems }) {
            Some(read) => list.push(read),
            None => {
                doubt.refused.insert(row.text(0).to_string());
            }
        }
        whole = problems.count();
    }
    table.finish(problems);
    doubt.torn |= problems.count() > whole;
    (list, doubt)
}

/// Indexes names; a name that stands twice is a problem that shows both places.
fn index<'t, T: FromIterator<(String, usize)>>(
    kind: &'static str,
    names: impl Iterator<Item = (&'t str, Span)>,
    problems: &mut Problems,
) -> T {
    let mut map: HashMap<String, (usize, Span)> = HashMap::new();
    for (position, (name, at)) in names.enumerate() {
        if let Some((_, first)) = map.get(name) {
            problems.add(Problem::between(
                RecordFault::DuplicateName {
                    kind,
                    id: name.to_string(),
                },
                at,
                *first,
            ));
        } else {
            map.insert(name.to_string(), (position, at));
        }
    }
    map.into_iter()
        .map(|(name, (position, _))| (name, position))
        .collect()
}

/// Reads every table of a shop. `file` finds a file by its name.
pub fn read_tables(
    files: &Files,
    shop: ShopSettings,
    materials: Materials,
    file: impl Fn(&str) -> Option<FileId>,
    problems: &mut Problems,
) -> ShopTables {
    let (rooms, doubt) = table(
        files,
        file(room::SHAPE.file),
        &room::SHAPE,
        problems,
        room::read,
    );
    let (places, sites_doubt) = table(
        files,
        file(place::SHAPE.file),
        &place::SHAPE,
        problems,
        place::read,
    );
    let fixture_file = file(fixture::SHAPE.file);
    let (fixtures, _) = table(
        files,
        fixture_file,
        &fixture::SHAPE,
        problems,
        fixture::read,
    );
    let (products, _) = table(
        files,
        file(product::SHAPE.file),
        &product::SHAPE,
        problems,
        product::read,
    );
    let (containers, _) = table(
        files,
        file(container::INVENTORY.file),
        &container::INVENTORY,
        problems,
        container::read,
    );
    let (answers, _) = table(
        files,
        file(answer::CHECKS.file),
        &answer::CHECKS,
        problems,
        answer::read,
    );
    let (accepted, _) = table(
        files,
        file(accepted::SHAPE.file),
        &accepted::SHAPE,
        problems,
        accepted::read,
    );
    let (actions, _) = table(
        files,
        file(action::SHAPE.file),
        &action::SHAPE,
        problems,
        action::read,
    );
    let _: Names = index(
        "action",
        actions.iter().map(|a| (a.id.as_str(), a.at)),
        problems,
    );
    let room_index: Names = index(
        "room",
        rooms.iter().map(|r| (r.id.as_str(), r.at)),
        problems,
    );
    let site_index = index(
        "place",
        places.iter().map(|(s, ..)| (s.id.as_str(), s.at)),
        problems,
    );
    let product_index = index(
        "product",
        products.iter().map(|p| (p.id.as_str(), p.at)),
        problems,
    );
    let product_index = with_lower_case(product_index);
    let _: Names = index(
        "fixture",
        fixtures.iter().map(|(f, ..)| (f.id.as_str(), f.at)),
        problems,
    );
    let container_index = index(
        "container",
        containers.iter().map(|c| (c.id.as_str(), c.at)),
        problems,
    );
    let mut in_room = |name: Option<String>, at: Span| {
        let name = name?;
        let found = room_index.get(&name);
        if found.is_none() && doubt.none_about(&name) {
            let near = problems.near(&name, rooms.iter().map(|r| r.id.as_str()));
            problems.add(Problem::new(
                CellFault::NameUnknown {
                    kind: "room",
                    read: name,
                    near,
                },
                at,
            ));
        }
        found
    };
    let places: Vec<Place> = places
        .into_iter()
        .map(|(s, room, at)| Place {
            room: in_room(room, at),
            ..s
        })
        .collect();
    let fixtures = fixtures
        .into_iter()
        .map(|(f, room, at)| Fixture {
            room: in_room(room, at),
            ..f
        })
        .collect();
    let mut tables = ShopTables {
        shop,
        rooms,
        places,
        fixtures: fixture_file.map(|_| fixtures),
        products,
        containers,
        location: Vec::new(),
        kinds: Vec::new(),
        answers,
        accepted,
        actions,
        materials,
        log: file("log.csv"),
        container_index,
        site_index,
        room_index,
        product_index,
    };
    tables.location = first_stands(&tables, &doubt.and(sites_doubt), problems);
    targets_name_products(&tables, problems);
    tables.kinds = tables
        .containers
        .iter()
        .map(|c| tables.kind_of(&c.product))
        .collect();
    tables
}

/// A target is of a product that the shop has, or has described.
fn targets_name_products(tables: &ShopTables, problems: &mut Problems) {
    // Tables that could not be read say nothing about their names.
    if tables.shop.targets.is_empty() || tables.containers.is_empty() && !problems.none() {
        return;
    }
    for target in &tables.shop.targets {
        let name = &target.product.value;
        let held = tables.containers.iter().any(|c| c.product == *name);
        if held || tables.product(name).is_some() {
            continue;
        }
        let names = tables.containers.iter().map(|c| c.product.as_str());
        let code = CellFault::NameUnknown {
            kind: "product",
            read: name.clone(),
            near: problems.near(name, names),
        };
        problems.add(Problem::new(code, target.product.at));
    }
}

fn with_lower_case(index: HashMap<String, usize>) -> HashMap<String, usize> {
    let lower: Vec<(String, usize)> = index
        .iter()
        .map(|(name, at)| (name.to_lowercase(), *at))
        .collect();
    let mut all = index;
    for (name, at) in lower {
        all.entry(name).or_insert(at);
    }
    all
}

fn first_stands(tables: &ShopTables, doubt: &Doubt, problems: &mut Problems) -> Vec<Location> {
    let only_room = (tables.rooms.len() == 1).then_some(0);
    let mut list = Vec::with_capacity(tables.containers.len());
    for container in &tables.containers {
        let location = match &container.place {
            None => Location {
                place: None,
                room: only_room,
            },
            Some(name) => tables.location(name).unwrap_or_else(|| {
                if !doubt.none_about(name) {
                    return Location::default();
                }
                let code = CellFault::NameUnknown {
                    kind: "place or room",
                    read: name.clone(),
                    near: tables.near_place(name, problems),
                };
                problems.add(Problem::new(code, container.place_at));
                Location::default()
            }),
        };
        list.push(location);
    }
    list
}
