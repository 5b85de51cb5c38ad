//! All tables of a shop together, and the things in them by name.

use super::accepted::Acceptance;
use super::action::Action;
use super::answer::{Answer, AnswerRow, that_count};
use super::container::Container;
use super::fixture::Fixture;
use super::ids::{ContainerId, PlaceId, RoomId};
use super::material::Materials;
use super::names::Names;
use super::place::Place;
use super::product::{Part, Product, ProductKind};
use super::room::Room;
use super::shop::ShopSettings;
use crate::quantity::{Day, Moment};
use crate::text::{FileId, Problems};
use foldhash::HashMap;
use std::ops::Index;

/// Where a container is: a place, or only a room, or it is unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Location {
    pub place: Option<PlaceId>,
    pub room: Option<RoomId>,
}

impl Location {
    /// What an entry of the log says; `None` if it names neither.
    pub fn named(place: Option<PlaceId>, room: Option<RoomId>) -> Option<Location> {
        let named = place.is_some() || room.is_some();
        named.then_some(Location { place, room })
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
    /// The answers of checks.csv that count.
    pub answers: Vec<Answer>,
    /// All of its rows.
    pub(super) answer_rows: Vec<AnswerRow>,
    /// accepted.csv.
    pub accepted: Vec<Acceptance>,
    /// actions.csv.
    pub actions: Vec<Action>,
    pub materials: Materials,
    /// log.csv, if there is one.
    pub log: Option<FileId>,
    pub(super) names: TableNames,
}

/// The position of each thing by its name.
#[derive(Debug)]
pub(super) struct TableNames {
    pub containers: Names,
    pub places: Names,
    pub rooms: Names,
    /// In the capitals of the table, and in small letters.
    pub products: HashMap<String, usize>,
}

impl ShopTables {
    /// How many containers begin after a day, and the last day on which one does.
    pub fn containers_after(&self, day: Day) -> Option<(usize, Day)> {
        let since = self.containers.iter().filter_map(|row| row.since);
        let after: Vec<Day> = since.filter(|since| *since > day).collect();
        Some((after.len(), *after.iter().max()?))
    }

    /// Leaves out all rows of checks.csv that are later than this moment; gives how many there are, and the last of them.
    pub fn leave_out_answers_after(&mut self, now: Moment) -> Option<(usize, Moment)> {
        let moments = self.answer_rows.iter().map(|row| row.when());
        let late: Vec<Moment> = moments.filter(|when| *when > now).collect();
        let last = late.iter().max()?;
        self.answer_rows.retain(|row| row.when() <= now);
        // What a row takes back is not later than it is, so no new problem can arise.
        self.answers = that_count(&self.answer_rows, &mut Problems::new());
        Some((late.len(), *last))
    }

    /// The name of the place, or else of the room, where something is.
    pub fn location_name(&self, location: Location) -> Option<String> {
        let place = location.place.map(|place| self[place].id.clone());
        place.or_else(|| location.room.map(|room| self[room].id.clone()))
    }

    /// A container by its name.
    pub fn container(&self, id: &str) -> Option<ContainerId> {
        self.names.containers.get(id).map(ContainerId::at)
    }

    /// A place by its name.
    pub fn place(&self, id: &str) -> Option<PlaceId> {
        self.names.places.get(id).map(PlaceId::at)
    }

    /// A room by its name.
    pub fn room(&self, id: &str) -> Option<RoomId> {
        self.names.rooms.get(id).map(RoomId::at)
    }

    /// A described product by its name, without regard to case.
    pub fn product(&self, id: &str) -> Option<&Product> {
        let at = self
            .names
            .products
            .get(id)
            .or_else(|| self.names.products.get(&id.to_lowercase()))?;
        self.products.get(*at)
    }

    /// The kind of what a container holds, if the shop or the generic materials say it.
    pub fn kind(&self, container: ContainerId) -> Option<ProductKind> {
        self.kinds[container.index()]
    }

    /// The kind of a product by its name.
    pub fn kind_of(&self, product: &str) -> Option<ProductKind> {
        let described = self.product(product).and_then(|p| p.kind);
        described.or_else(|| self.materials.find(product).and_then(super::Material::kind))
    }

    /// What a product is made of, by its own row or else as a generic material; empty where that is unknown.
    pub fn parts_of(&self, product: &str) -> Vec<Part> {
        let own = self.product(product).map(|row| row.made_of.clone());
        own.filter(|parts| !parts.is_empty())
            .or_else(|| self.materials.find(product)?.made_of())
            .unwrap_or_default()
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
                room: self[place].room,
            });
        }
        self.room(name).map(|room| Location {
            place: None,
            room: Some(room),
        })
    }
}

/// An id that is not in its table is a mistake of the program, and no default may hide it.
impl Index<ContainerId> for ShopTables {
    type Output = Container;

    fn index(&self, id: ContainerId) -> &Container {
        &self.containers[id.index()]
    }
}

impl Index<PlaceId> for ShopTables {
    type Output = Place;

    fn index(&self, id: PlaceId) -> &Place {
        &self.places[id.index()]
    }
}

impl Index<RoomId> for ShopTables {
    type Output = Room;

    fn index(&self, id: RoomId) -> &Room {
        &self.rooms[id.index()]
    }
}
