//! Reads all tables of a shop: names resolved, identifiers unique, what contradicts itself a problem.

use super::accepted;
use super::action::{self, Action};
use super::answer;
use super::container::{self, Container};
use super::doubt::Doubt;
use super::entry::ounces_of_liquid;
use super::fault::RecordFault;
use super::fixture::{self, Fixture};
use super::ids::RoomId;
use super::material::Materials;
use super::names::Names;
use super::place::{self, Place};
use super::product::{self, Product, ProductKind};
use super::room::{self, Room};
use super::row::Fields;
use super::shop::ShopSettings;
use super::tables::{Location, ShopTables, TableNames};
use crate::text::{CellFault, FileId, Files, Problem, Problems, Shape, Span, Table, TableFault};
use foldhash::{HashMap, HashMapExt};

/// At most so many rows are read of a table that is held in memory.
const MOST_ROWS: usize = 100_000;

/// Reads one table after another.
struct Reader<'r, F> {
    files: &'r Files,
    /// Finds a file by its name.
    find: F,
    problems: &'r mut Problems,
}

impl<F: Fn(&str) -> Option<FileId>> Reader<'_, F> {
    /// Reads one table, if the shop has it, by one function for each row.
    fn table<T>(
        &mut self,
        shape: &'static Shape,
        mut read: impl FnMut(&mut Fields<'_, '_>) -> Option<T>,
    ) -> (Vec<T>, Doubt) {
        let (mut list, mut doubt) = (Vec::new(), Doubt::default());
        let Some(file) = (self.find)(shape.file) else {
            return (list, doubt);
        };
        let problems = &mut *self.problems;
        let Some(mut table) = Table::open(self.files, file, shape, problems) else {
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
}

/// Reads every table of a shop. `find` finds a file by its name.
pub fn read_tables(
    files: &Files,
    shop: ShopSettings,
    materials: Materials,
    find: impl Fn(&str) -> Option<FileId>,
    problems: &mut Problems,
) -> ShopTables {
    let log = find("log.csv");
    let fixtures_known = find(fixture::SHAPE.file).is_some();
    let mut reader = Reader {
        files,
        find,
        problems,
    };
    let (rooms, rooms_doubt) = reader.table(&room::SHAPE, room::read);
    let (places, places_doubt) = reader.table(&place::SHAPE, place::read);
    let (fixtures, _) = reader.table(&fixture::SHAPE, fixture::read);
    let (products, _) = reader.table(&product::SHAPE, product::read);
    let (containers, _) = reader.table(&container::INVENTORY, container::read);
    let (answer_rows, _) = reader.table(&answer::CHECKS, answer::read);
    let (accepted, _) = reader.table(&accepted::ACCEPTED, accepted::read);
    let (actions, _) = reader.table(&action::ACTIONS, action::read);
    let problems = reader.problems;
    let answers = answer::that_count(&answer_rows, problems);
    names_are_single(&actions, &fixtures, problems);
    let names = names_of(&rooms, &places, &products, &containers, problems);
    let known = KnownRooms {
        rooms: &rooms,
        names: &names.rooms,
        doubt: &rooms_doubt,
    };
    let places = known.of(places, |it, room| Place { room, ..it }, problems);
    let fixtures = known.of(fixtures, |it, room| Fixture { room, ..it }, problems);
    let mut tables = ShopTables {
        shop,
        rooms,
        places,
        fixtures: fixtures_known.then_some(fixtures),
        products,
        containers,
        location: Vec::new(),
        kinds: Vec::new(),
        answers,
        answer_rows,
        accepted,
        actions,
        materials,
        log,
        names,
    };
    tables.location = first_locations(&tables, &rooms_doubt.and(places_doubt), problems);
    targets_name_products(&tables, problems);
    let kinds = tables.containers.iter().map(|c| tables.kind_of(&c.product));
    tables.kinds = kinds.collect();
    no_liquid_by_ounces_of_weight(&tables, problems);
    tables
}

/// A liquid in ounces of weight is a slip for fluid ounces.
fn no_liquid_by_ounces_of_weight(tables: &ShopTables, problems: &mut Problems) {
    for (row, kind) in tables.containers.iter().zip(&tables.kinds) {
        let liquid = kind.is_some_and(ProductKind::is_liquid);
        if let Some((column, read, at)) = row.by_ounces.as_ref().filter(|_| liquid) {
            problems.add(Problem::new(
                ounces_of_liquid(column, read, &row.product),
                *at,
            ));
        }
    }
}

/// Two actions or two fixtures of one name are a problem; nothing is looked up by them.
fn names_are_single(
    actions: &[Action],
    fixtures: &[(Fixture, Option<String>, Span)],
    problems: &mut Problems,
) {
    let _: Names = index("action", actions.iter().map(|a| (&*a.id, a.at)), problems);
    let _: Names = index(
        "fixture",
        fixtures.iter().map(|(f, ..)| (&*f.id, f.at)),
        problems,
    );
}

/// What each name means. A name that appears twice is a problem.
fn names_of(
    rooms: &[Room],
    places: &[(Place, Option<String>, Span)],
    products: &[Product],
    containers: &[Container],
    problems: &mut Problems,
) -> TableNames {
    let room_names = rooms.iter().map(|r| (&*r.id, r.at));
    let place_names = places.iter().map(|(p, ..)| (&*p.id, p.at));
    let product_names = products.iter().map(|p| (&*p.id, p.at));
    let container_names = containers.iter().map(|c| (&*c.id, c.at));
    TableNames {
        rooms: index("room", room_names, problems),
        places: index("place", place_names, problems),
        products: with_lower_case(index("product", product_names, problems)),
        containers: index("container", container_names, problems),
    }
}

/// The rooms as far as they could be read.
struct KnownRooms<'t> {
    rooms: &'t [Room],
    names: &'t Names,
    doubt: &'t Doubt,
}

impl KnownRooms<'_> {
    /// What stands in rooms, each with the room that its row names.
    fn of<T>(
        &self,
        rows: Vec<(T, Option<String>, Span)>,
        put: impl Fn(T, Option<RoomId>) -> T,
        problems: &mut Problems,
    ) -> Vec<T> {
        let placed = rows
            .into_iter()
            .map(|(thing, name, at)| put(thing, self.named(name, at, problems)));
        placed.collect()
    }

    /// The room that a row names; an unknown one is a problem.
    fn named(&self, name: Option<String>, at: Span, problems: &mut Problems) -> Option<RoomId> {
        let name = name?;
        let found = self.names.get(&name).map(RoomId::at);
        if found.is_none() && self.doubt.none_about(&name) {
            let near = problems.near(&name, self.rooms.iter().map(|r| r.id.as_str()));
            let fault = CellFault::NameUnknown {
                kind: "room",
                read: name,
                near,
            };
            problems.add(Problem::new(fault, at));
        }
        found
    }
}

/// Indexes names; a name that appears twice is a problem that shows both places.
fn index<'t, T: FromIterator<(String, usize)>>(
    kind: &'static str,
    names: impl Iterator<Item = (&'t str, Span)>,
    problems: &mut Problems,
) -> T {
    // By the name in lower case, since readers would confuse two names that differ only in capitals.
    let mut map: HashMap<String, (String, usize, Span)> = HashMap::new();
    for (position, (name, at)) in names.enumerate() {
        let small = name.to_lowercase();
        let Some((other, _, first)) = map.get(&small) else {
            map.insert(small, (name.to_string(), position, at));
            continue;
        };
        let id = name.to_string();
        let fault = if *other == id {
            RecordFault::DuplicateName { kind, id }
        } else {
            let other = other.clone();
            RecordFault::OtherCapitals { kind, id, other }
        };
        problems.add(Problem::between(fault, at, *first));
    }
    map.into_values()
        .map(|(name, position, _)| (name, position))
        .collect()
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

fn first_locations(tables: &ShopTables, doubt: &Doubt, problems: &mut Problems) -> Vec<Location> {
    let only_room = (tables.rooms.len() == 1).then_some(RoomId::at(0));
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
