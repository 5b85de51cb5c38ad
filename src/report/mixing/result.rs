//! What is said of a mixture: how long it keeps, its classes with the vessels that go with them, and notes.

use super::asked::{MixAsked, Start};
use super::shelf::Shelf;
use crate::audit::Shop;
use crate::check::vessel_sizes;
use crate::fact::Known;
use crate::quantity::{Day, Ratio};
use crate::record::{ProductKind, Vessel};
use crate::report::{Keeps, MixClass};
use crate::stock::Stock;
use crate::trade::{Flake, KeepState, KeepingQuery, keeping_flake};
use crate::vapour::class::{ClassNeeds, class_of};

/// How long the result keeps: from today, or from the day its thick cut was mixed.
pub(super) fn keeps<'a>(
    opened: &'a Shop,
    stock: &Stock,
    asked: &MixAsked,
    kind: Option<Flake>,
    product: &str,
) -> Option<Keeps<'a>> {
    let from = match asked.start {
        Start::Flakes => Some(stock.on),
        Start::Cut(_) => None,
        Start::Jar(at, _) => stock[at].made,
    };
    let day = |span| from.map(|from: Day| from.plus(span));
    let own = opened
        .tables
        .product(product)
        .and_then(|product| product.keeps_opened);
    if let Some(span) = own {
        return Some(Keeps {
            from,
            test_from: None,
            discard_after: day(span),
            test: "glass",
            says: "your own figure, keeps_opened in products.csv".into(),
        });
    }
    let (cut, shellac) = (Some(asked.cut.pounds()), Some(ProductKind::Shellac));
    let keeping = &opened.reference.keeping;
    let kind = kind.or_else(|| keeping_flake(product));
    let row = keeping.find(&KeepingQuery {
        name: product,
        kind: shellac,
        cut,
        flake: kind,
        state: KeepState::Mixed,
    })?;
    let shortest = match kind.is_none() && row.flake.is_some() {
        true => "; the kind of flakes is not named, so the shortest time is taken",
        false => "",
    };
    Some(Keeps {
        from,
        test_from: row.test_from.and_then(day),
        discard_after: row.discard_after.and_then(day),
        test: &row.test,
        says: format!(
            "{}: {}; grade {}{shortest}",
            row.item, row.source, row.grade
        ),
    })
}

/// The classes by the flash point of the alcohol, and the vessels that go with them.
pub(super) fn classes<'a>(
    opened: &'a Shop,
    asked: &MixAsked,
    made: Ratio,
    on: Day,
) -> Vec<MixClass<'a>> {
    let hazard = &asked.alcohol.hazard;
    let boils = hazard.boils.as_ref().map(|fact| fact.value);
    let mut list = Vec::new();
    for pack in opened.packs() {
        let Some(scheme) = &pack.scheme else {
            continue;
        };
        let class = match &hazard.flash {
            Known::Yes(flash) => {
                class_of(scheme, flash.value, boils).map_err(|needs| match needs {
                    ClassNeeds::BoilingPoint => {
                        "the boiling point of the alcohol is unknown".to_string()
                    }
                    ClassNeeds::Scheme => "the pack has no class for it".to_string(),
                })
            }
            Known::No(gap) => Err(gap.because.clone()),
        };
        let sizes = class.as_ref().map_or_else(
            |_| Vec::new(),
            |class| vessel_sizes(pack, on, *class, Vessel::Glass),
        );
        let sizes = sizes.into_iter().map(|size| {
            let jars = made.by(Ratio::from_exact(size.most.base)).ok();
            (size, jars.and_then(Ratio::whole_up))
        });
        list.push(MixClass {
            pack: &pack.id,
            sizes: sizes.collect(),
            class: class.map(|at| scheme.classes.get(at).map_or("", |c| c.title.as_str())),
        });
    }
    list
}

/// What else there is to say of a mixture.
pub(super) fn notes(shelf: &Shelf<'_>, asked: &MixAsked) -> Vec<String> {
    let mut notes = Vec::new();
    if let Start::Jar(at, _) = asked.start {
        let product = &shelf.opened.tables[at].product;
        notes.push(format!(
            "The cut comes from the name of the product, `{product}`. A jar left open has lost alcohol and holds a thicker cut. \
             A thinned cut is as old as its thick cut."
        ));
    }
    if let Start::Flakes = asked.start {
        notes.push(
            "Weigh the flakes. Measured by volume, one maker's 2 lb cut turned out to be about 3/4 lb (common practice, no \
             source)."
                .into(),
        );
    }
    notes.push(match &asked.alcohol.methanol {
        Some(most) => format!("{} may hold up to {most} methanol.", asked.alcohol.name),
        None if asked.alcohol.parts_known => {
            format!("No methanol is on record for {}.", asked.alcohol.name)
        }
        None => format!(
            "The share of methanol in {} is unknown.",
            asked.alcohol.name
        ),
    });
    notes
}
