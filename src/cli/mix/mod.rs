//! `sandarac mix`: what to weigh and pour for a cut of shellac, and whether the shelf has it.

pub mod args;
mod asked;
mod result;
mod shelf;
mod to_log;

use super::log::draft::Draft;
use super::open;
use super::{Ended, Failure, ahead, style};
use crate::audit::Shop;
use crate::quantity::{Amount, Ratio, natural};
use crate::record::ProductKind;
use crate::report::{MixView, Recipe, fill, kilograms, litres, mix_json, mix_screen};
use crate::text::clean;
use crate::trade::mixing::{Thinning, Unmixable, thinned, thinned_to_make, to_make, with_alcohol};
use crate::trade::{Flake, color_named, cut_named};
use args::MixArgs;
use asked::{Asked, Start, Wanted, flake_of, read};
use result::{classes, keeps, notes};
use shelf::{Shelf, too_fine};
use std::path::{Path, PathBuf};

const UNDONE: &str = "No mix was worked out.";
/// Cautions that every mixture carries; methanol's comes with it.
const CAUTIONS: [&str; 4] = [
    "screening-aid",
    "vapour-travels",
    "static",
    "ageing-figures",
];

/// What a run comes to, once the shop is read and let go of.
enum Outcome {
    /// To be printed.
    Shown(String, Ended),
    /// To be written into the log, with what must be said of it.
    Settled(Vec<Draft>, Vec<String>),
}

/// Says what to mix, or writes down that it was mixed.
pub fn run(args: &MixArgs) -> Result<Ended, Failure> {
    let folder = folder(args);
    // Whoever reads a shop keeps writers out, so that the reading ends before the writing begins.
    match outcome(args, folder.as_deref())? {
        Outcome::Shown(text, ended) => style::print(&text).map(|()| ended),
        Outcome::Settled(drafts, said) => {
            let mut text = to_log::written(folder.as_deref(), args, &drafts)?;
            for words in said {
                text.push_str(&fill(&clean(&words), style::columns(), "! ", "  "));
                text.push('\n');
            }
            style::print(&text).map_err(Failure::after_writing)?;
            Ok(Ended::Well)
        }
    }
}

fn outcome(args: &MixArgs, folder: Option<&Path>) -> Result<Outcome, Failure> {
    let opened = match folder {
        Some(folder) => open::shop(folder, &[])?,
        None => Shop::empty()?,
    };
    let asked = read(args, &opened)?;
    let stock = opened.stock(args.day())?;
    ahead::tell(args.on.is_some() || args.when.is_some(), &stock, None);
    let audit = opened.audit_of(stock)?;
    let cautions = open::cautions()?;
    let shelf = Shelf {
        opened: &opened,
        stock: &audit.stock,
        audit: &audit.checked,
        cautions: &cautions,
    };
    let mut view = view(&shelf, &asked, folder.is_some())?;
    if let Some(jar) = &args.log {
        to_log::may_be_now(args, &opened)?;
        let drafts = to_log::settled(&view, args, jar, &opened)?;
        return Ok(Outcome::Settled(drafts, view.untested()));
    }
    view.commands = to_log::commands(&view, args);
    let text = match &args.json {
        Some(_) => mix_json(&view).map_err(Failure::unprinted)?,
        None => mix_screen(&view, style::columns()).map_err(too_fine)?,
    };
    let ended = match view.is_short() {
        true => Ended::Findings,
        false => Ended::Well,
    };
    Ok(Outcome::Shown(text, ended))
}

/// The shop that is meant, if one is.
fn folder(args: &MixArgs) -> Option<PathBuf> {
    let here = Path::new("shop.toml").exists();
    args.shop
        .clone()
        .or_else(|| here.then(|| PathBuf::from(".")))
}

fn view<'a>(shelf: &Shelf<'a>, asked: &'a Asked, has_shop: bool) -> Result<MixView<'a>, Failure> {
    let tables = &shelf.opened.tables;
    let jar = match asked.start {
        Start::Jar(at, _) => tables.containers.get(at),
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
        needs.push(shelf.alcohol(&asked.spirit.name, litres(alcohol).map_err(too_fine)?)?);
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
    if asked.spirit.methanol.is_some() || !asked.spirit.parts_known {
        names.insert(1, "methanol");
    }
    Ok(MixView {
        on: shelf.stock.on,
        shop: has_shop.then_some(tables.shop.name.as_str()),
        us: if has_shop { tables.shop.us } else { asked.us },
        kind_known: kind.is_some(),
        flakes: flakes(&asked.flakes),
        spirit: &asked.spirit,
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

fn flakes(wanted: &Wanted) -> String {
    match wanted {
        Wanted::Any => "shellac flakes".to_string(),
        Wanted::Kind(kind) => format!("{} shellac flakes", word(*kind)),
        Wanted::Product(name, _) => name.clone(),
    }
}

fn word(kind: Flake) -> &'static str {
    let found = Flake::WORDS.iter().find(|(_, own)| *own == kind);
    found.map_or("", |(word, _)| word)
}

fn recipe<'a>(
    shelf: &Shelf<'a>,
    asked: &Asked,
    has_shop: bool,
) -> Result<(Recipe<'a>, Vec<crate::report::MixNeed<'a>>), Failure> {
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
            Ok((
                Recipe::Thinned {
                    thinning,
                    jar: None,
                },
                Vec::new(),
            ))
        }
        Start::Jar(at, from) => {
            let held = shelf
                .stock
                .containers
                .get(at)
                .and_then(|contents| contents.amount);
            let id = tables.containers.get(at).map_or("", |row| row.id.as_str());
            let us = tables.shop.us;
            let held = match held {
                Some(Amount::Volume(volume)) if !volume.base().is_zero() => {
                    Ratio::of(volume.base())
                }
                Some(amount) => {
                    return Err(Failure::refused(
                        format!(
                            "{id} holds {} at the end of {}, so there is nothing to thin.",
                            natural(amount, us),
                            shelf.stock.on
                        ),
                        format!(
                            "Name another jar with `--from`. `sandarac stock --why {id}` lists the entries of this one."
                        ),
                        UNDONE,
                    ));
                }
                None => {
                    return Err(Failure::refused(
                        format!("The amount in {id} is unknown."),
                        "Count it and log the count, or give its amount in inventory.csv.",
                        UNDONE,
                    ));
                }
            };
            let thinning = match made {
                Some(made) => thinned_to_make(from, asked.cut, made),
                None => thinned(from, asked.cut, held),
            };
            let thinning = thinning.map_err(unmixable)?;
            enough(id, &thinning, held, us)?;
            let wanted = litres(thinning.stock).map_err(too_fine)?;
            let jar = Some(id);
            Ok((
                Recipe::Thinned { thinning, jar },
                vec![shelf.jar(at, wanted)?],
            ))
        }
    }
}

/// A jar that holds less than is wanted of it is refused, with what all of it would come to.
fn enough(id: &str, thinning: &Thinning, held: Ratio, us: bool) -> Result<(), Failure> {
    if thinning.stock <= held {
        return Ok(());
    }
    let all = thinned(thinning.from, thinning.to, held).map_err(unmixable)?;
    let shown = |ratio| {
        litres(ratio)
            .map(|amount| natural(amount, us))
            .map_err(too_fine)
    };
    Err(Failure::refused(
        format!(
            "This takes {} of the thick cut, but {id} holds {}.",
            shown(thinning.stock)?,
            shown(held)?
        ),
        format!(
            "All of it makes {}. Write no more than that, or leave out `--make`.",
            shown(all.made)?
        ),
        UNDONE,
    ))
}

fn unmixable(why: Unmixable) -> Failure {
    match why {
        Unmixable::TooFine => too_fine(crate::quantity::TooFine),
        Unmixable::NotThinner => Failure::refused(
            "Alcohol cannot make a cut thicker.",
            "Write a thinner cut after `--to-cut`.",
            UNDONE,
        ),
    }
}

/// The name the shop has for such a jar already, else one of its kind.
fn product(
    shelf: &Shelf<'_>,
    asked: &Asked,
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
            let kind = kind.map(word).or(color);
            let kind = kind.map_or_else(String::new, |kind| format!(", {kind}"));
            format!("shellac {} cut{kind}", asked.cut.words())
        },
        str::to_string,
    )
}
