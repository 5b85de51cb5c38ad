//! Large signs for the wall and the cans: one for each rag can, water can and cabinet of the shop, and one against smoking.

use super::html::LABELS_MARK;
use super::sheet::Paper;
use crate::record::{PlaceKind, ShopTables};
use crate::report::html::{HtmlHead, document};
use crate::text::clean;
use maud::{Markup, html};

/// Lines in CSS that labels share.
const STYLE: &str = include_str!("label.css");

/// What a sign says: large, and below it. "Flammable" and the words behind it are those of 29 CFR 1910.106(d)(3)(iii).
fn words(kind: PlaceKind) -> Option<(&'static str, &'static str)> {
    match kind {
        PlaceKind::OilyWasteCan => Some((
            "OILY RAGS HERE",
            "Put in every rag, pad and paper with oil or finish on it at once. Keep the lid shut. Empty it every day.",
        )),
        PlaceKind::WaterCan => Some((
            "RAGS UNDER WATER",
            "Keep oily rags fully under water with the lid on. A rag that dries can catch fire by itself.",
        )),
        PlaceKind::Cabinet => Some((
            "FLAMMABLE: KEEP FIRE AWAY",
            "Close both doors. No rags and no flame near this cabinet.",
        )),
        PlaceKind::StoreRoom
        | PlaceKind::Refrigerator
        | PlaceKind::Shelf
        | PlaceKind::Bench
        | PlaceKind::Floor
        | PlaceKind::Window
        | PlaceKind::Outdoors
        | PlaceKind::DryingLine
        | PlaceKind::PadJar => None,
    }
}

/// The page with the signs of a shop, two to a sheet.
pub fn sign_page(tables: &ShopTables, paper: Paper) -> String {
    let places = tables.places.iter();
    let signs = places.filter_map(|place| Some((place.id.as_str(), words(place.kind)?)));
    let page = format!(
        "@page{{size:{};margin:12mm}}@page notes{{size:{};margin:12mm}}",
        paper.word(),
        paper.word()
    );
    let body = html! {
        main {
            h1 style="position:absolute;clip-path:inset(50%)" { "Signs" }
            @for (place, (large, below)) in signs { (sign(place, large, below)) }
            (sign("every door", "NO SMOKING, NO FLAME", "No spark, no heater and no open flame in this room."))
        }
    };
    let head = HtmlHead {
        title: &format!("Signs of {}", tables.shop.name),
        style: &[STYLE, &page],
        scheme: "only light",
        mark: LABELS_MARK,
    };
    document(&head, &body).into_string()
}

fn sign(place: &str, large: &str, below: &str) -> Markup {
    html! {
        section.sign data-sign=(large) {
            h2 { (large) }
            p { (below) }
            p { small { "For " bdi { (clean(place)) } ". A screening aid: local codes and the authority having jurisdiction come first." } }
        }
    }
}
