//! All that a check is given: the book, the stock of the day, and one pack's classes. Always under one pack.

use super::hazard::Hazard;
use super::known::{Evidence, Fact, Gap, Known};
use super::mixture::{mixture_boils, mixture_flash};
use super::soiling::heats;
use crate::pack::Pack;
use crate::quantity::{Amount, Day, Temperature, Volume};
use crate::record::{Location, ShopTables};
use crate::stock::{ContainerState, Content, Stock};
use crate::text::{Span, the};
use crate::trade::ReferenceData;
use crate::vapour::class::{ClassNeeds, Flash, class_of};
use crate::vapour::session::Sessions;
use std::collections::HashMap;

/// What is known on a day, whatever the pack.
#[derive(Clone, Copy)]
pub struct ShopOnDay<'a> {
    /// The tables.
    pub tables: &'a ShopTables,
    /// The stock.
    pub stock: &'a Stock,
    /// What the craft knows.
    pub reference: &'a ReferenceData,
    /// The sessions of the last month.
    pub sessions: &'a Sessions,
    /// What each product is.
    pub hazards: &'a [Hazard],
}

/// What is known on a day, as one pack sorts it.
pub struct Facts<'a> {
    shop: ShopOnDay<'a>,
    /// The pack.
    pub pack: &'a Pack,
    classes: Vec<Known<usize>>,
    /// Of containers that hold a mixture, which is not always of the class of its own product.
    mixed: HashMap<usize, Known<usize>>,
    /// What is at each place and in each room, so that nothing is looked for place by place.
    here: Here,
}

/// Containers by place and by room, and places by room.
#[derive(Default)]
struct Here {
    at_place: HashMap<usize, Vec<usize>>,
    in_room: HashMap<Option<usize>, Vec<usize>>,
    places: HashMap<usize, Vec<usize>>,
}

impl Here {
    fn of(shop: &ShopOnDay<'_>) -> Here {
        let mut here = Here::default();
        for (at, contents) in shop.stock.containers.iter().enumerate() {
            if !shop.stock.present(shop.tables, at) {
                continue;
            }
            let location = contents.location;
            here.in_room.entry(location.room).or_default().push(at);
            if let Some(place) = location.place {
                here.at_place.entry(place).or_default().push(at);
            }
        }
        for (at, place) in shop.tables.places.iter().enumerate() {
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
        let products = shop.stock.products.iter().zip(shop.hazards);
        let classes = products
            .map(|(name, hazard)| classify(pack, name, &hazard.flash, hazard.boils.as_ref()))
            .collect();
        let mixtures = shop.stock.containers.iter().enumerate();
        let mixed = mixtures
            .filter_map(|(at, contents)| Some((at, contents.content.as_ref()?)))
            .map(|(at, content)| (at, classify_mixture(&shop, pack, at, content)))
            .collect();
        Facts {
            shop,
            pack,
            classes,
            mixed,
            here: Here::of(&shop),
        }
    }

    /// The day.
    pub fn on(&self) -> Day {
        self.stock.on
    }

    /// Every container that is there on the day, by position.
    pub fn containers(&self) -> impl Iterator<Item = usize> {
        (0..self.tables.containers.len()).filter(|c| self.stock.present(self.tables, *c))
    }

    /// The containers that are at a place on the day.
    pub fn containers_at(&self, place: usize) -> &[usize] {
        self.here.at_place.get(&place).map_or(&[], Vec::as_slice)
    }

    /// The containers that are in a room on the day, and those whose room is unknown.
    pub fn containers_in(&self, room: Option<usize>) -> &[usize] {
        self.here.in_room.get(&room).map_or(&[], Vec::as_slice)
    }

    /// The places of a room, by position.
    pub fn places_in(&self, room: usize) -> &[usize] {
        self.here.places.get(&room).map_or(&[], Vec::as_slice)
    }

    /// What a container holds.
    pub fn contents(&self, container: usize) -> Option<&ContainerState> {
        self.stock.containers.get(container)
    }

    /// Where a container is.
    pub fn location(&self, container: usize) -> Location {
        self.contents(container)
            .map(|h| h.location)
            .unwrap_or_default()
    }

    /// What is known of its product.
    pub fn hazard(&self, container: usize) -> &Hazard {
        static NOTHING: std::sync::LazyLock<Hazard> = std::sync::LazyLock::new(|| Hazard {
            kind: Known::gap("no such container", Vec::new()),
            flash: Known::gap("no such container", Vec::new()),
            boils: None,
            heats: Fact {
                value: true,
                evidence: Evidence::none(),
            },
            names: Vec::new(),
            contradiction: None,
        });
        let at = self.stock.product_of.get(container);
        at.and_then(|at| self.hazards.get(*at)).unwrap_or(&NOTHING)
    }

    /// Can it self-heat? For rags and pads, whatever is on any of them counts; of what is poured together, any part.
    pub fn heats(&self, container: usize) -> bool {
        heats(self.stock, self.hazards, container)
    }

    /// Does it contain one of these, by its own names or those of what was poured in?
    pub fn contains(&self, container: usize, names: &[String]) -> bool {
        let also = self
            .contents(container)
            .map(|h| h.also.as_slice())
            .unwrap_or_default();
        let also = also.iter().filter_map(|product| self.hazards.get(*product));
        std::iter::once(self.hazard(container))
            .chain(also)
            .any(|h| names.iter().any(|name| h.names.contains(name)))
    }

    /// Its class in this pack.
    pub fn class(&self, container: usize) -> &Known<usize> {
        static NOTHING: Known<usize> = Known::No(Gap {
            because: String::new(),
            look: Vec::new(),
        });
        if let Some(class) = self.mixed.get(&container) {
            return class;
        }
        let at = self.stock.product_of.get(container);
        at.and_then(|at| self.classes.get(*at)).unwrap_or(&NOTHING)
    }

    /// What readers call its class, if it is known.
    pub fn class_title(&self, container: usize) -> Option<&str> {
        let at = *self.class(container).value()?;
        self.pack
            .scheme
            .as_ref()?
            .classes
            .get(at)
            .map(|class| class.title.as_str())
    }

    /// Its name.
    pub fn id(&self, container: usize) -> &str {
        self.tables
            .containers
            .get(container)
            .map_or("", |c| c.id.as_str())
    }

    /// The volume of liquid in it; `Ok(None)` for what is no liquid by volume.
    pub fn volume(&self, container: usize) -> Known<Option<Volume>> {
        let Some(row) = self.tables.containers.get(container) else {
            return Known::gap("no such container", Vec::new());
        };
        let evidence = self.evidence(container);
        match self.contents(container).and_then(|h| h.amount) {
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
    pub fn evidence(&self, container: usize) -> Evidence {
        let mut evidence = Evidence::none();
        evidence
            .places
            .extend(self.tables.containers.get(container).map(|c| c.at));
        if let Some(contents) = self.contents(container) {
            evidence
                .places
                .extend(contents.touched.iter().flatten().copied());
            if contents.counted_full && contents.entries == 0 {
                evidence.said.push(format!(
                    "`{}` has no amount and is counted as full",
                    self.id(container)
                ));
            }
        }
        evidence
    }

    /// The name of a place or room, for readers.
    pub fn where_stands(&self, location: Location) -> String {
        let place = location
            .place
            .and_then(|s| self.tables.places.get(s))
            .map(|s| s.id.clone());
        let room = location
            .room
            .and_then(|r| self.tables.rooms.get(r))
            .map(|r| r.id.clone());
        place.or(room).unwrap_or_else(|| "somewhere".to_string())
    }

    /// A place or room in a sentence: "on the bench", "in the rag can", "at an unknown place".
    pub fn at_place(&self, location: Location) -> String {
        let place = location.place.and_then(|at| self.tables.places.get(at));
        match (place, location.room) {
            (Some(place), _) => format!("{} {}", place.kind.preposition(), the(&place.id)),
            (None, Some(_)) => format!("in {}", the(&self.where_stands(location))),
            (None, None) => "at an unknown place".to_string(),
        }
    }

    /// The span of the row of a container.
    pub fn row(&self, container: usize) -> Option<Span> {
        self.tables.containers.get(container).map(|c| c.at)
    }
}

/// The class of what a container holds. Of the boiling points of its products the lowest counts.
fn classify_mixture(
    shop: &ShopOnDay<'_>,
    pack: &Pack,
    container: usize,
    content: &Content,
) -> Known<usize> {
    let (products, hazards) = (&shop.stock.products, shop.hazards);
    let flash = mixture_flash(shop.tables, products, hazards, content);
    let boils = mixture_boils(hazards, content);
    let row = shop.tables.containers.get(container);
    let name = row.map_or("", |row| row.product.as_str());
    classify(pack, name, &flash, boils)
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
