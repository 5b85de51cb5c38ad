//! The summary over many shops, for programs.

use super::super::earlier::FORMAT;
use super::super::many::{ManyView, ShopLine};
use super::object::{list, object, to_text};
use crate::quantity::Exact;
use serde::Serialize;
use std::collections::BTreeMap;

/// One object: `format`, `on`, `shops[]` worst first, `totals[]`, `common[]`, `unread[]`.
pub fn many_json(view: &ManyView) -> serde_json::Result<String> {
    let (totals, common) = (view.totals(), view.common());
    let report = object("format", FORMAT)
        .and("on", &view.on)
        .and("shops", list(|| view.shops.iter().map(shop)))
        .and(
            "totals",
            list(|| {
                totals.iter().map(|(class, litres)| {
                    object("class", class)
                        .and("value", litres.map(Exact::digits))
                        .and("unit", "L")
                })
            }),
        )
        .and(
            "common",
            list(|| {
                common.iter().map(|(rule, title, shops)| {
                    object("rule", rule).and("title", title).and("shops", shops)
                })
            }),
        )
        .and(
            "unread",
            list(|| {
                let unread = view.unread.iter();
                unread.map(|(folder, why)| object("folder", folder).and("why", why))
            }),
        );
    to_text(&report)
}

fn shop(shop: &ShopLine) -> impl Serialize {
    object("folder", &shop.folder)
        .and("shop", &shop.shop)
        .and("counts", shop.counts.words().collect::<BTreeMap<_, _>>())
        .and("now", shop.now)
        .and("rags", shop.rags)
        .and("headline", &shop.headline)
        .and("first", &shop.first)
        .and("broken", list(|| shop.broken.iter().map(|(rule, _)| rule)))
}
