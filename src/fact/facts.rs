//! All that a check is given: the book, the stock of the day, and one pack's classes. Always under one pack.

use super::hazard::Hazard;
use super::hazards::Hazards;
use super::known::{Evidence, Fact, Known};
use super::mixture::{mixture_boils, mixture_flash};
use super::soiling::heats;
use crate::pack::Pack;
use crate::quantity::{Amount, Day, Temperature, Volume};
use crate::record::{ContainerId, Location, PlaceId, RoomId, ShopTables};
use crate::stock::{ContainerState, Content, Stock};
use crate::text::{Span, the};
use crate::trade::ReferenceData;
use crate::vapour::class::{ClassNeeds, Flash, class_of};
use crate::vapour::session::Sessions;
use std::collections::{BTreeSet, HashMap};

/// What is known on a day, whatever the pack.
#[derive(Clone, Copy)]
pub struct ShopOnDay<'a> {
    pub tables: &'a ShopTables,
    pub stock: &'a Stock,
    /// What the craft knows.
    pub reference: &'a ReferenceData,
    /// The sessions of the last month.
    pub sessions: &'a Sessions,
    /// What each product is.
    pub hazards: &'a Hazards,
    /// The questions of the round that rules of the shop read.
    pub questions_read: &'a BTreeSet<&'a str>,
}

/// What is known on a day, as one pack sorts it.
pub struct Facts<'a> {
    shop: ShopOnDay<'a>,
    pub pack: &'a Pack,
    classes: Vec<Known<usize>>,
    /// Of containers that hold a mixture, which is not always of the class of its own product.
    mixed: HashMap<ContainerId, Known<usize>>,
    /// What is at each place and in each room, so that nothing is looked for place by place.
    here: Here,
}

/// Containers by place and by room, and places by room.
#[derive(Default)]
struct Here {
    at_place: HashMap<PlaceId, Vec<ContainerId>>,
    in_room: HashMap<Option<RoomId>, Vec<ContainerId>>,
    places: HashMap<RoomId, Vec<PlaceId>>,
}

impl Here {
    fn find(shop: &ShopOnDay<'_>) -> Here {
        let mut here = Here::default();
        for (at, contents) in ContainerId::each(&shop.stock.containers) {
            if !shop.stock.present(shop.tables, at) {
                continue;
            }
            let location = contents.location;
            here.in_room.entry(location.room).or_default().push(at);
            if let Some(place) = location.place {
                here.at_place.entry(place).or_default().push(at);
            }
        }
        for (at, place) in PlaceId::each(&shop.tables.places) {
            if let Some(room) = place.room {
                here.places.entry(room).or_default().push(at);
            }
        }
        here
    }
}

impl<'a> std::ops::Deref for Facts<'a> {
    type Target = ShopOnDay<'a>;

    fn deref(&self) -> &ShopOnDay<'a> {
        &self.shop
    }
}

impl<'a> Facts<'a> {
    /// Sorts every product by the pack's classes.
    pub fn new(shop: ShopOnDay<'a>, pack: &'a Pack) -> Facts<'a> {
        let products = shop.stock.products.iter().zip(shop.hazards.all());
        let classes = products
            .map(|(name, hazard)| classify(pack, name, &hazard.flash, hazard.boils.as_ref()))
            .collect();
        let mixtures = ContainerId::each(&shop.stock.containers);
        let mixed = mixtures
            .filter_map(|(at, contents)| Some((at, contents.content.as_ref()?)))
            .map(|(at, content)| (at, classify_mixture(&shop, pack, at, content)))
            .collect();
        Facts {
            shop,
            pack,
            classes,
            mixed,
            here: Here::find(&shop),
        }
    }

    pub fn on(&self) -> Day {
        self.stock.on
    }

    /// Every container that is there on the day.
    pub fn containers(&self) -> impl Iterator<Item = ContainerId> {
        let all = ContainerId::each(&self.tables.containers).map(|(container, _)| container);
        all.filter(|container| self.stock.present(self.tables, *container))
    }

    /// The containers that are at a place on the day.
    pub fn containers_at(&self, place: PlaceId) -> &[ContainerId] {
        self.here.at_place.get(&place).map_or(&[], Vec::as_slice)
    }

    /// The containers that are in a room on the day, and those whose room is unknown.
    pub fn containers_in(&self, room: Option<RoomId>) -> &[ContainerId] {
        self.here.in_room.get(&room).map_or(&[], Vec::as_slice)
    }

    /// The places of a room.
    pub fn places_in(&self, room: RoomId) -> &[PlaceId] {
        self.here.places.get(&room).map_or(&[], Vec::as_slice)
    }

    /// What a container holds.
    pub fn contents(&self, container: ContainerId) -> &ContainerState {
        &self.stock[container]
    }

    /// Where a container is.
    pub fn location(&self, container: ContainerId) -> Location {
        self.contents(container).location
    }

    /// What is known of its product.
    pub fn hazard(&self, container: ContainerId) -> &Hazard {
        self.hazards.of_container(self.stock, container)
    }

    /// Can it self-heat? For rags and pads, whatever is on any of them counts; of what is poured together, any part.
    pub fn heats(&self, container: ContainerId) -> bool {
        heats(self.stock, self.hazards, container)
    }

    /// Is it known that it can self-heat? Of rags and pads it counts as known.
    pub fn heats_for_sure(&self, container: ContainerId) -> bool {
        let contents = self.contents(container);
        let own = self.stock.product(container);
        let mut products = std::iter::once(&own).chain(&contents.also);
        let heats = |name: &str| self.tables.self_heating(name) == Some(true);
        !contents.cloth.is_empty()
            || products.any(|product| heats(self.stock.product_name(*product)))
    }

    /// Its class in this pack.
    pub fn class(&self, container: ContainerId) -> &Known<usize> {
        self.mixed
            .get(&container)
            .unwrap_or_else(|| &self.classes[self.stock.product(container).index()])
    }

    /// What readers call its class, if it is known.
    pub fn class_title(&self, container: ContainerId) -> Option<&str> {
        let at = *self.class(container).value()?;
        self.pack
            .scheme
            .as_ref()?
            .classes
            .get(at)
            .map(|class| class.title.as_str())
    }

    pub fn id(&self, container: ContainerId) -> &str {
        &self.tables[container].id
    }

    /// The volume of liquid in it; `Ok(None)` for what is no liquid by volume.
    pub fn volume(&self, container: ContainerId) -> Known<Option<Volume>> {
        let row = &self.tables[container];
        let evidence = self.evidence(container);
        match self.contents(container).amount {
            Some(Amount::Volume(volume)) => Known::Yes(Fact {
                value: Some(volume),
                evidence,
            }),
            Some(Amount::Pieces(_)) => Known::Yes(Fact {
                value: None,
                evidence,
            }),
            Some(Amount::Mass(_)) => Known::gap(
                format!(
                    "Record the amount in {} by volume in inventory.csv. It is recorded by weight.",
                    row.id
                ),
                vec![row.amount_at],
            ),
            None => Known::gap(
                format!(
                    "Record the amount or capacity of {} in inventory.csv. It is unknown.",
                    row.id
                ),
                vec![row.amount_at],
            ),
        }
    }

    /// The rows that say what is in a container: its own, and the last entries that touched it.
    pub fn evidence(&self, container: ContainerId) -> Evidence {
        let mut evidence = Evidence::at(self.row(container));
        let contents = self.contents(container);
        let touched = contents.touched.iter().flatten();
        evidence.places.extend(touched.copied());
        if contents.counted_full && contents.entries == 0 {
            evidence.said.push(
                format!(
                    "`{}` has no amount and is counted as full",
                    self.id(container)
                )
                .into(),
            );
        }
        evidence
    }

    /// The name of a place or room, for readers.
    pub fn place_name(&self, location: Location) -> String {
        let name = self.tables.location_name(location);
        name.unwrap_or_else(|| "somewhere".to_string())
    }

    /// A place or room in a sentence: "on the bench", "in the rag can", "at an unknown place".
    pub fn at_place(&self, location: Location) -> String {
        match (
            location.place.map(|place| &self.tables[place]),
            location.room,
        ) {
            (Some(place), _) => format!("{} {}", place.kind.preposition(), the(&place.id)),
            (None, Some(_)) => format!("in {}", the(&self.place_name(location))),
            (None, None) => "at an unknown place".to_string(),
        }
    }

    /// The span of the row of a container.
    pub fn row(&self, container: ContainerId) -> Span {
        self.tables[container].at
    }
}

/// The class of what a container holds. Of the boiling points of its products the lowest counts.
fn classify_mixture(
    shop: &ShopOnDay<'_>,
    pack: &Pack,
    container: ContainerId,
    content: &Content,
) -> Known<usize> {
    let flash = mixture_flash(shop.tables, shop.stock, shop.hazards, content);
    let boils = mixture_boils(shop.hazards, content);
    classify(pack, &shop.tables[container].product, &flash, boils)
}

fn classify(
    pack: &Pack,
    name: &str,
    flash: &Known<Flash>,
    boils: Option<&Fact<Temperature>>,
) -> Known<usize> {
    let Some(scheme) = &pack.scheme else {
        return Known::gap(
            "Ask the writer of the rule pack. It sorts no liquids into classes.",
            Vec::new(),
        );
    };
    let fact = match flash {
        Known::Yes(fact) => fact,
        Known::No(gap) => return Known::No(gap.clone()),
    };
    match class_of(scheme, fact.value, boils.map(|b| b.value)) {
        Ok(class) => {
            let mut evidence = fact.evidence.clone();
            if let Some(boils) = boils.filter(|_| matters(scheme, class)) {
                evidence.join(&boils.evidence);
            }
            Known::Yes(Fact {
                value: class,
                evidence,
            })
        }
        Err(ClassNeeds::BoilingPoint) => Known::gap(
            format!(
                "Record the boiling point of {name} in products.csv. It is unknown, and it decides the class."
            ),
            fact.evidence.places.clone(),
        ),
        Err(ClassNeeds::Scheme) => Known::gap(
            format!("Ask the writer of the rule pack. No class of it takes {name}."),
            Vec::new(),
        ),
    }
}

/// Does the boiling point decide on this class?
fn matters(scheme: &crate::pack::Scheme, class: usize) -> bool {
    scheme
        .classes
        .get(class)
        .is_some_and(|c| !c.boiling.takes_all())
}
