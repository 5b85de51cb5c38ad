//! What to weigh and pour for a cut of shellac, whether the shelf has it, and how long the result keeps.

mod asked;
mod result;
mod shelf;

pub use asked::{MixAsked, MixRequest, mix_asked};

use super::not_audited::Refusal;
use super::{Caution, MixNeed, MixView, Recipe, kilograms, litres};
use crate::audit::Audit;
use crate::quantity::{Amount, Ratio, TooFine, natural};
use crate::record::{ContainerId, ProductKind};
use crate::text::Words;
use crate::trade::mixing::{Thinning, Unmixable, thinned, thinned_to_make, to_make, with_alcohol};
use crate::trade::{Flake, color_named, cut_named};
use asked::{FlakesWanted, Start, flake_of};
use result::{classes, keeps, notes};
use shelf::{Shelf, too_fine};

/// Cautions that every mixture carries; methanol's comes with it.
const CAUTIONS: [&str; 4] = [
    "screening-aid",
    "vapour-travels",
    "static",
    "ageing-figures",
];

/// What is wrong, and what to do instead.
fn refused(wrong: impl Into<String>, fix: impl Into<String>) -> Refusal {
    Refusal::Words(Words::new(wrong, fix))
}

/// Works a mixture out. `has_shop` says that there is a shelf to take from.
pub fn mix_view<'a>(
    audit: &'a Audit<'a>,
    cautions: &'a [Caution],
    asked: &'a MixAsked,
    has_shop: bool,
) -> Result<MixView<'a>, Refusal> {
    let shelf = Shelf {
        opened: audit.shop,
        stock: &audit.stock,
        audit: &audit.checked,
        cautions,
    };
    view(&shelf, asked, has_shop)
}

/// Digits that cannot be kept, as a refusal.
pub fn mix_too_fine(fault: TooFine) -> Refusal {
    too_fine(fault)
}

fn view<'a>(
    shelf: &Shelf<'a>,
    asked: &'a MixAsked,
    has_shop: bool,
) -> Result<MixView<'a>, Refusal> {
    let tables = &shelf.opened.tables;
    let jar = match asked.start {
        Start::Jar(at, _) => Some(&tables[at]),
        Start::Flakes | Start::Cut(_) => None,
    };
    let kind = match jar {
        Some(row) => flake_of(tables, &row.product),
        None => asked.flakes.kind(),
    };
    let (recipe, mut needs) = recipe(shelf, asked, has_shop)?;
    let made = match &recipe {
        Recipe::Fresh { mixture, .. } => mixture.made,
        Recipe::Thinned { thinning, .. } => thinning.made,
    };
    if has_shop {
        let alcohol = match &recipe {
            Recipe::Fresh { mixture, .. } => mixture.alcohol,
            Recipe::Thinned { thinning, .. } => thinning.alcohol,
        };
        needs.push(shelf.alcohol(&asked.alcohol.name, litres(alcohol).map_err(too_fine)?)?);
    }
    let color = jar.and_then(|row| color_named(&row.product));
    let product = product(shelf, asked, kind, color);
    let keeps = keeps(shelf.opened, shelf.stock, asked, kind, &product);
    let batch = match has_shop {
        true => shelf
            .batch(asked, kind, keeps.as_ref(), made)
            .map_err(too_fine)?,
        false => None,
    };
    let mut names = CAUTIONS.to_vec();
    if asked.alcohol.methanol.is_some() || !asked.alcohol.parts_known {
        names.insert(1, "methanol");
    }
    Ok(MixView {
        on: shelf.stock.on,
        shop: has_shop.then_some(tables.shop.name.as_str()),
        us: if has_shop { tables.shop.us } else { asked.us },
        kind_known: kind.is_some(),
        flakes: flakes(&asked.flakes),
        alcohol: &asked.alcohol,
        classes: classes(shelf.opened, asked, made, shelf.stock.on),
        keeps,
        needs,
        batch,
        commands: Vec::new(),
        notes: notes(shelf, asked),
        cautions: shelf.cautions_named(&names),
        product,
        recipe,
    })
}

fn flakes(wanted: &FlakesWanted) -> String {
    match wanted {
        FlakesWanted::Any => "shellac flakes".to_string(),
        FlakesWanted::Kind(kind) => format!("{} shellac flakes", kind.word()),
        FlakesWanted::Product(name, _) => name.clone(),
    }
}

fn recipe<'a>(
    shelf: &Shelf<'a>,
    asked: &MixAsked,
    has_shop: bool,
) -> Result<(Recipe<'a>, Vec<MixNeed<'a>>), Refusal> {
    let tables = &shelf.opened.tables;
    let made = asked.make;
    match asked.start {
        Start::Flakes => {
            let made = made.unwrap_or(Ratio::ZERO);
            let mixture = to_make(asked.cut, made).map_err(too_fine)?;
            let chart = with_alcohol(asked.cut, made).map_err(too_fine)?;
            let needs = match has_shop {
                true => vec![shelf.flakes(asked, kilograms(mixture.flakes).map_err(too_fine)?)?],
                false => Vec::new(),
            };
            Ok((Recipe::Fresh { mixture, chart }, needs))
        }
        Start::Cut(from) => {
            let thinning = thinned_to_make(from, asked.cut, made.unwrap_or(Ratio::ZERO));
            let thinning = thinning.map_err(unmixable)?;
            let jar = None;
            Ok((Recipe::Thinned { thinning, jar }, Vec::new()))
        }
        Start::Jar(at, from) => {
            let held = held_in(shelf, at)?;
            let thinning = match made {
                Some(made) => thinned_to_make(from, asked.cut, made),
                None => thinned(from, asked.cut, held),
            };
            let thinning = thinning.map_err(unmixable)?;
            let id = tables[at].id.as_str();
            enough(id, &thinning, held, tables.shop.us)?;
            let wanted = litres(thinning.stock).map_err(too_fine)?;
            let jar = Some(id);
            Ok((
                Recipe::Thinned { thinning, jar },
                vec![shelf.jar(at, wanted)?],
            ))
        }
    }
}

/// What a jar to be thinned holds.
fn held_in(shelf: &Shelf<'_>, jar: ContainerId) -> Result<Ratio, Refusal> {
    let tables = &shelf.opened.tables;
    let id = tables[jar].id.as_str();
    match shelf.stock[jar].amount {
        Some(Amount::Volume(volume)) if !volume.base().is_zero() => {
            Ok(Ratio::from_exact(volume.base()))
        }
        Some(amount) => Err(refused(
            format!(
                "{id} holds {} at the end of {}, so there is nothing to thin.",
                natural(amount, tables.shop.us),
                shelf.stock.on
            ),
            format!(
                "Name another jar with `--from`. `sandarac stock --why {id}` lists the entries of this one."
            ),
        )),
        None => Err(refused(
            format!("The amount in {id} is unknown."),
            "Count it and log the count, or give its amount in inventory.csv.",
        )),
    }
}

/// A jar that holds less than is wanted of it is refused, with what all of it would come to.
fn enough(id: &str, thinning: &Thinning, held: Ratio, us: bool) -> Result<(), Refusal> {
    if thinning.stock <= held {
        return Ok(());
    }
    let all = thinned(thinning.from, thinning.to, held).map_err(unmixable)?;
    let shown = |ratio| {
        litres(ratio)
            .map(|amount| natural(amount, us))
            .map_err(too_fine)
    };
    Err(refused(
        format!(
            "This takes {} of the thick cut, but {id} holds {}.",
            shown(thinning.stock)?,
            shown(held)?
        ),
        format!(
            "All of it makes {}. Write no more than that, or leave out `--make`.",
            shown(all.made)?
        ),
    ))
}

fn unmixable(why: Unmixable) -> Refusal {
    match why {
        Unmixable::TooFine => too_fine(crate::quantity::TooFine),
        Unmixable::NotThinner => refused(
            "Alcohol cannot make a cut thicker.",
            "Write a thinner cut after `--to-cut`.",
        ),
    }
}

/// The name the shop has for such a jar already, else one of its kind.
fn product(
    shelf: &Shelf<'_>,
    asked: &MixAsked,
    kind: Option<Flake>,
    color: Option<&'static str>,
) -> String {
    let tables = &shelf.opened.tables;
    let own = tables.products.iter().map(|product| product.id.as_str());
    let location = tables.containers.iter().map(|row| row.product.as_str());
    let known = own.chain(location).find(|name| {
        tables.kind_of(name) == Some(ProductKind::Shellac)
            && cut_named(name) == Some(asked.cut.pounds())
            && kind.is_some()
            && flake_of(tables, name) == kind
    });
    known.map_or_else(
        || {
            let kind = kind.map(Flake::word).or(color);
            let kind = kind.map_or_else(String::new, |kind| format!(", {kind}"));
            format!("shellac {} cut{kind}", asked.cut.words())
        },
        str::to_string,
    )
}
