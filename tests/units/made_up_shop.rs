//! A made-up shop for the tests of this layer.

use super::log_rows::ReadRows;
use super::replay::replay_with;
use super::stock_state::Stock;
use crate::pack::Document;
use crate::quantity::{Day, Moment};
use crate::record::{ShopTables, read_materials, read_shop, read_tables};
use crate::text::{Files, Problems};

const SHOP: &str = "name = \"Made up\"\nunits = \"metric\"\npacks = [\"trade\"]\n";
const ROOMS: &str = "room,use\nroom,finishing\n";
const PLACES: &str = "place,room,kind,rated\nbench,room,bench,\nshelf,room,shelf,\nyard,room,outdoors,\nwater,room,water-can,\n\
    can,room,oily-waste-can,\ncan 2,room,oily-waste-can,\njar,room,pad-jar,\nline,room,drying-line,yes\n\
    indoor line,room,drying-line,\n";
const PRODUCTS: &str = "product,kind,drying_oil\nalcohol,solvent,no\nflakes,flakes,no\nshellac,shellac,no\n\
    spent,waste,yes\noil,drying-oil,yes\ncloth,other,no\n";

/// The tables of the made-up shop with this inventory and this log, which are without a problem.
pub(super) fn tables(inventory: &str, log: &str) -> (Files, ShopTables) {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let named = [
        ("shop.toml", SHOP),
        ("rooms.csv", ROOMS),
        ("places.csv", PLACES),
        ("products.csv", PRODUCTS),
        ("inventory.csv", inventory),
        ("log.csv", log),
    ];
    let held = named.map(|(name, text)| (name, files.hold(name, text.as_bytes().to_vec())));
    let find = |name: &str| {
        let mut held = held.iter();
        held.find(|(there, _)| *there == name)
            .map(|(_, file)| *file)
    };
    let document = Document::parse(&files, find("shop.toml").unwrap(), &mut problems).unwrap();
    let shop = read_shop(&document, &mut problems).unwrap();
    let materials = files.hold("materials.csv", crate::pack::MATERIALS.as_bytes());
    let materials = read_materials(&files, materials, &mut problems);
    let tables = read_tables(&files, shop, materials, find, &mut problems);
    assert!(problems.none(), "{problems:?}");
    (files, tables)
}

/// The stock at the close of a day, and the problems of the log.
pub(super) fn stock(inventory: &str, log: &str, on: &str, read: ReadRows) -> (Stock, Problems) {
    let (files, tables) = tables(inventory, log);
    let mut problems = Problems::new();
    let close = Moment::close_of(Day::parse(on).unwrap());
    let stock = replay_with(&files, &tables, close, read, &mut problems);
    (stock, problems)
}

/// The codes of problems, in the order of the log.
pub(super) fn codes(problems: &Problems) -> Vec<&'static str> {
    let sorted = problems.sorted();
    sorted.iter().map(|problem| problem.fault.code()).collect()
}
