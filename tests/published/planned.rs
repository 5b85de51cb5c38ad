//! No source: work in one room through the real path, for what is printed about vapour in a room.

use crate::shop::{TODAY, shop};
use sandarac::audit::Shop;
use sandarac::quantity::{Day, Moment};
use sandarac::record::RoomId;
use sandarac::vapour::plan::{Work, plan, spilled};
use sandarac::vapour::session::Sessions;

/// A room of 1000 m³.
const ROOMS: &str =
    "room,use,length,width,height,level,exhaust\none,finishing,10 m,10 m,10 m,ground,1000 m3/h\n";
const CUBIC_METRES: f64 = 1000.0;

/// A shop with this room and these products.
pub(crate) fn with_products(rows: &str) -> Shop {
    let products = format!("product,kind,made_of,flash_point,density\n{rows}");
    shop(&[("rooms", ROOMS), ("products", &products)])
}

fn room(shop: &Shop) -> RoomId {
    shop.tables.room("one").unwrap()
}

/// One hour in which so much of a product goes straight into the air.
pub(crate) fn planned(shop: &Shop, product: &str, litres: f64) -> Sessions {
    let work = Work {
        room: room(shop),
        product,
        litres,
        minutes: 60,
        exhaust: None,
        at_once: true,
    };
    let today = Moment::start_of(Day::parse(TODAY).unwrap());
    plan(&shop.tables, &work, today).unwrap()
}

/// m³ of vapour at 70 °F that a litre of a solvent with this density in kg/L and this molar mass becomes.
pub(crate) fn vapour_of(density: f64, molar: f64) -> f64 {
    let shop = with_products("");
    let mut sessions = planned(&shop, "ethanol", 1.0);
    let vapour = &mut sessions.products[0].1.vapours[0];
    (vapour.milligrams, vapour.molar) = (density * 1.0e6, molar);
    let spilled = spilled(&sessions, &shop.tables[room(&shop)]).unwrap();
    spilled.share.unwrap() * spilled.lel / 100.0 * CUBIC_METRES
}
