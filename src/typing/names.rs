//! Names as people type them: without regard to capitals, spaces and hyphens, shortened, or by the product that a container holds.

use crate::quantity::natural;
use crate::record::{ContainerId, PlaceKind, ShopTables};
use crate::stock::Stock;
use crate::text::nearest;
use crate::trade::Round;

/// A name to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NameChoice {
    /// As the tables write it.
    pub name: String,
    /// What else there is to say of it.
    pub about: String,
}

/// What a typed name means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NameFound {
    One(String),
    Several(Vec<NameChoice>),
    /// Nothing that is in the tables.
    Unknown,
}

/// A container: by its name, or by its product where only one that is not empty holds it.
pub fn container(tables: &ShopTables, stock: &Stock, typed: &str) -> NameFound {
    let named: Vec<NameChoice> = tables
        .containers
        .iter()
        .zip(&stock.containers)
        .map(|(row, contents)| {
            let amount = contents.amount.map(|held| natural(held, tables.shop.us));
            let amount = amount.map_or_else(String::new, |held| format!(", {held} left"));
            NameChoice {
                name: row.id.clone(),
                about: format!("{}{amount}", row.product),
            }
        })
        .collect();
    match found(&named, typed) {
        NameFound::Unknown => {}
        known => return known,
    }
    let wanted = bare(typed);
    if wanted.len() < 3 {
        return NameFound::Unknown;
    }
    let rows = ContainerId::each(&tables.containers);
    let holds =
        rows.filter(|(at, row)| stock.present(tables, *at) && bare(&row.product).contains(&wanted));
    let holding: Vec<NameChoice> = holds
        .filter_map(|(at, _)| named.get(at.index()).cloned())
        .collect();
    let opened: Vec<NameChoice> = holding
        .iter()
        .filter(|choice| {
            let at = tables.container(&choice.name);
            let contents = at.map(|at| &stock[at]);
            contents.is_some_and(|contents| contents.opened.is_some())
        })
        .cloned()
        .collect();
    // The one that is open is the one in use.
    one_of(if opened.is_empty() { holding } else { opened })
}

/// A place or a room. Where only some kinds of place fit, the others are not looked at.
pub fn place(tables: &ShopTables, typed: &str, kinds: &[PlaceKind]) -> NameFound {
    let known = tables.location(typed);
    if let Some(name) = known.and_then(|known| tables.location_name(known)) {
        return NameFound::One(name);
    }
    let fits = |kind: PlaceKind| kinds.is_empty() || kinds.contains(&kind);
    let places = tables.places.iter().filter(|place| fits(place.kind));
    let places = places.map(|place| NameChoice {
        name: place.id.clone(),
        about: place.kind.word().to_string(),
    });
    let rooms = tables.rooms.iter().filter(|_| kinds.is_empty());
    let rooms = rooms.map(|room| NameChoice {
        name: room.id.clone(),
        about: "room".to_string(),
    });
    let all: Vec<NameChoice> = places.chain(rooms).collect();
    match found(&all, typed) {
        // "can" is the can where there is only one that fits.
        NameFound::Unknown if bare(typed) == "can" => one_of(all),
        known => known,
    }
}

/// A product as the shop or the built-in list writes it, however its name is typed; `None` if neither has it. Never by a part of
/// its name: a new product may be called like that.
pub fn product(tables: &ShopTables, typed: &str) -> Option<String> {
    let wanted = bare(typed);
    let names = || products(tables);
    let exact = names().find(|name| *name == typed);
    let found = exact.or_else(|| names().find(|name| !wanted.is_empty() && bare(name) == wanted));
    found.map(str::to_string)
}

/// The product whose name is nearest to one that neither the shop nor the built-in list has.
pub fn near_product(tables: &ShopTables, typed: &str) -> Option<String> {
    nearest(typed, products(tables)).map(str::to_string)
}

/// All names of products: those of the shop, then those that are built in.
fn products(tables: &ShopTables) -> impl Iterator<Item = &str> {
    let described = tables.products.iter().map(|product| product.id.as_str());
    let held = tables.containers.iter().map(|row| row.product.as_str());
    let built_in = tables.materials.all().iter().flat_map(|material| {
        let others = material.all("alias").map(|other| other.value.as_str());
        std::iter::once(material.name.as_str()).chain(others)
    });
    described.chain(held).chain(built_in)
}

/// A question of the round.
pub fn question(round: &Round, typed: &str) -> NameFound {
    let choices: Vec<NameChoice> = round
        .questions
        .iter()
        .map(|question| NameChoice {
            name: question.check.clone(),
            about: question.question.clone(),
        })
        .collect();
    found(&choices, typed)
}

/// The exact name, else the same without capitals, spaces and hyphens, else a beginning, else a part.
fn found(choices: &[NameChoice], typed: &str) -> NameFound {
    if let Some(exact) = choices.iter().find(|choice| choice.name == typed) {
        return NameFound::One(exact.name.clone());
    }
    let wanted = bare(typed);
    if wanted.is_empty() {
        return NameFound::Unknown;
    }
    let fits: [fn(&str, &str) -> bool; 3] = [
        |name, wanted| name == wanted,
        |name, wanted| name.starts_with(wanted),
        |name, wanted| name.contains(wanted),
    ];
    for fit in fits {
        let fitting = choices
            .iter()
            .filter(|choice| fit(&bare(&choice.name), &wanted))
            .filter(|choice| !cuts_a_number(&bare(&choice.name), &wanted));
        let fitting: Vec<NameChoice> = fitting.cloned().collect();
        if !fitting.is_empty() {
            return one_of(fitting);
        }
    }
    NameFound::Unknown
}

/// Does a name with a number, such as `j2`, only fit because the number of the other goes on, as in `j20`? A jar that the tables lack
/// must not be taken for another one.
fn cuts_a_number(name: &str, wanted: &str) -> bool {
    let is_numbered =
        wanted.ends_with(char::is_numeric) && wanted.contains(|c: char| !c.is_numeric());
    let goes_on = |at: usize| {
        let rest = name.get(at + wanted.len()..).unwrap_or_default();
        rest.starts_with(char::is_numeric)
    };
    is_numbered && name.match_indices(wanted).all(|(at, _)| goes_on(at))
}

fn one_of(mut choices: Vec<NameChoice>) -> NameFound {
    match choices.len() {
        0 => NameFound::Unknown,
        1 => choices
            .pop()
            .map_or(NameFound::Unknown, |choice| NameFound::One(choice.name)),
        _ => NameFound::Several(choices),
    }
}

/// A name in small letters and digits only.
fn bare(name: &str) -> String {
    let letters = name.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::{NameChoice, NameFound, found};

    fn choices(names: &[&str]) -> Vec<NameChoice> {
        let choice = |name: &&str| NameChoice {
            name: (*name).to_string(),
            about: String::new(),
        };
        names.iter().map(choice).collect()
    }

    #[test]
    fn a_name_is_found_however_it_is_typed() {
        let names = choices(&["J-1", "J-10", "J-2", "rag can", "water can", "Ölzeug"]);
        let one = |typed: &str| match found(&names, typed) {
            NameFound::One(name) => name,
            other => panic!("{typed}: {other:?}"),
        };
        for (typed, name) in [
            ("J-1", "J-1"),
            ("j1", "J-1"),
            ("J 10", "J-10"),
            ("j-2", "J-2"),
            ("RAG CAN", "rag can"),
            ("ragcan", "rag can"),
            ("rag", "rag can"),
            ("water", "water can"),
            ("ölzeug", "Ölzeug"),
        ] {
            assert_eq!(one(typed), name, "{typed}");
        }
        for typed in ["j", "can", "1"] {
            assert!(
                matches!(found(&names, typed), NameFound::Several(_)),
                "{typed}"
            );
        }
        let names = choices(&["J-20", "J-21 old", "bench 12"]);
        for typed in ["J-2", "j 2", "bench 1", "bench1"] {
            assert_eq!(found(&names, typed), NameFound::Unknown, "{typed}");
        }
        for (typed, name) in [("j21", "J-21 old"), ("20", "J-20"), ("bench", "bench 12")] {
            assert_eq!(found(&names, typed), NameFound::One(name.into()), "{typed}");
        }
        let names = choices(&["J-1", "J-10", "J-2", "rag can", "water can", "Ölzeug"]);
        for typed in ["x", "", "-", "j3"] {
            assert_eq!(found(&names, typed), NameFound::Unknown, "{typed}");
        }
    }
}
