//! The summary over many shops, for programs.

use super::many::ManyView;
use serde::Serialize;

#[derive(Serialize)]
struct Many<'a> {
    format: u32,
    on: &'a str,
    shops: Vec<Shop<'a>>,
    totals: Vec<Total<'a>>,
    common: Vec<Common<'a>>,
    unread: Vec<Unread<'a>>,
}

#[derive(Serialize)]
struct Shop<'a> {
    folder: &'a str,
    shop: &'a str,
    breaches: usize,
    rags: usize,
    unjudged: usize,
    first: Option<&'a str>,
    broken: Vec<&'a str>,
}

#[derive(Serialize)]
struct Total<'a> {
    class: &'a str,
    value: String,
    unit: &'static str,
}

#[derive(Serialize)]
struct Common<'a> {
    rule: &'a str,
    title: &'a str,
    shops: usize,
}

#[derive(Serialize)]
struct Unread<'a> {
    folder: &'a str,
    why: &'a str,
}

/// One object: `format`, `on`, `shops[]` worst first, `totals[]`, `common[]`, `unread[]`.
pub fn many_json(view: &ManyView) -> serde_json::Result<String> {
    let shops = view.shops.iter().map(|shop| Shop {
        folder: &shop.folder,
        shop: &shop.shop,
        breaches: shop.breaches,
        rags: shop.rags,
        unjudged: shop.unjudged,
        first: shop.first.as_deref(),
        broken: shop.broken.iter().map(|(rule, _)| rule.as_str()).collect(),
    });
    let totals = view.totals().into_iter().map(|(class, litres)| Total {
        class,
        value: litres.digits(),
        unit: "L",
    });
    let common = view
        .common()
        .into_iter()
        .map(|(rule, title, shops)| Common { rule, title, shops });
    let unread = view
        .unread
        .iter()
        .map(|(folder, why)| Unread { folder, why });
    let many = Many {
        format: 1,
        on: &view.on,
        shops: shops.collect(),
        totals: totals.collect(),
        common: common.collect(),
        unread: unread.collect(),
    };
    serde_json::to_string_pretty(&many).map(|text| text + "\n")
}
