//! The words of `mix`, read: everything that is wrong with them is reported at once.

use crate::audit::Shop;
use crate::fact::{ShellacAlcohol, shellac_alcohol};
use crate::quantity::{Dimension, Measure, MeasureFault, NumberFault, Ratio};
use crate::record::{ContainerId, ProductKind, ShopTables};
use crate::report::not_audited::Refusal;
use crate::report::typed::TypedWords;
use crate::text::{CellFault, nearest};
use crate::trade::mixing::{Cut, CutFault, THICKEST};
use crate::trade::{Flake, cut_named, flake_named};

/// The words of a mixture as they were typed; the options of `mix` have the same names.
#[derive(Clone, Copy, Debug, Default)]
pub struct MixRequest<'a> {
    /// The cut to mix from flakes.
    pub cut: Option<&'a str>,
    /// The thick cut to thin: a jar, or a cut.
    pub from: Option<&'a str>,
    /// The cut to thin it to.
    pub to_cut: Option<&'a str>,
    /// The amount to make.
    pub make: Option<&'a str>,
    pub flake: Option<&'a str>,
    pub alcohol: &'a str,
}

/// What to thin or dissolve.
pub(super) enum Start {
    /// Flakes.
    Flakes,
    /// A cut that is no jar of the shop's.
    Cut(Cut),
    /// A jar of the shop's, by its position, and the cut that its name tells.
    Jar(ContainerId, Cut),
}

/// Which flakes are meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum FlakesWanted {
    /// Not stated.
    Any,
    /// All of a kind.
    Kind(Flake),
    Product(String, Option<Flake>),
}

/// A mixture that is asked for.
pub struct MixAsked {
    pub(super) start: Start,
    /// The cut in the end.
    pub(super) cut: Cut,
    /// What it is to come to, L.
    pub(super) make: Option<Ratio>,
    /// The amount is given in US measures.
    pub(super) us: bool,
    pub(super) flakes: FlakesWanted,
    pub(super) alcohol: ShellacAlcohol,
}

impl FlakesWanted {
    /// The kind, where it is settled.
    pub fn kind(&self) -> Option<Flake> {
        match self {
            FlakesWanted::Any => None,
            FlakesWanted::Kind(kind) => Some(*kind),
            FlakesWanted::Product(_, kind) => *kind,
        }
    }
}

/// The kind of flake of a product: by its name, else by the generic material's that it is.
pub(super) fn flake_of(tables: &ShopTables, product: &str) -> Option<Flake> {
    flake_named(product).or_else(|| flake_named(&tables.materials.find(product)?.name))
}

/// Reads what is asked.
pub fn mix_asked(args: &MixRequest<'_>, opened: &Shop) -> Result<MixAsked, Refusal> {
    let tables = &opened.tables;
    let mut wrong = TypedWords::new(tables.shop.locale);
    let cut = match (args.cut, args.to_cut) {
        (Some(text), _) => cut("--cut", text, &mut wrong),
        (None, Some(text)) => cut("--to-cut", text, &mut wrong),
        (None, None) => None,
    };
    let start = match args.from {
        None => Some(Start::Flakes),
        Some(text) => from(text, tables, &mut wrong),
    };
    let make = args.make.and_then(|text| make(text, &mut wrong));
    let flakes = match args.flake {
        None => Some(FlakesWanted::Any),
        Some(text) => flakes(text, tables, &mut wrong),
    };
    let alcohol = alcohol(args.alcohol, tables, &mut wrong);
    if let (Some(Start::Cut(_)), None) = (&start, args.make) {
        wrong.refuse(
            "--make",
            "The amount is missing. `--from` names a cut and not a jar of the shop.",
            "Write how much to make, such as `--make '1 pt'`.",
        );
    }
    if let (Some(Start::Cut(from) | Start::Jar(_, from)), Some(to)) = (&start, cut)
        && to >= *from
    {
        let (from, to) = (from.words(), to.words());
        wrong.refuse(
            "--to-cut",
            format!("Alcohol only thins. It cannot turn a {from} cut into a {to} cut."),
            "Write a thinner cut, or mix flakes to a thicker one with `--cut`.",
        );
    }
    match (start, cut, flakes, alcohol) {
        (Some(start), Some(cut), Some(flakes), Some(alcohol)) if wrong.problems.none() => {
            Ok(MixAsked {
                start,
                cut,
                us: make.as_ref().is_none_or(in_us_measures),
                make: make.map(|measure| Ratio::from_exact(measure.base)),
                flakes,
                alcohol,
            })
        }
        _ => Err(wrong.refusal()),
    }
}

fn in_us_measures(measure: &Measure) -> bool {
    !matches!(measure.unit.symbol, "L" | "mL" | "cL" | "m3")
}

/// What it is to come to: a volume, and more than nothing.
fn make(text: &str, wrong: &mut TypedWords) -> Option<Measure> {
    let text = &*wrong.with_point(text)?;
    let negative = MeasureFault::Number(NumberFault::Negative);
    let nothing = match Measure::parse_as(text, Dimension::Volume) {
        Ok(measure) => measure.base.is_zero(),
        Err(fault) => fault == negative,
    };
    if nothing {
        wrong.refuse(
            "--make",
            format!("\"{text}\" leaves nothing to mix."),
            "Write how much to make, such as `--make '1 qt'`.",
        );
        return None;
    }
    wrong.measure("--make", text, Dimension::Volume)
}

fn cut(flag: &'static str, text: &str, wrong: &mut TypedWords) -> Option<Cut> {
    let text = &*wrong.with_point(text)?;
    let what = match Cut::read(text) {
        Ok(cut) => return Some(cut),
        Err(CutFault::NotPositive) => format!("A cut of \"{text}\" has no flakes in it."),
        Err(CutFault::TooThick) => format!(
            "\"{text}\" is thicker than the thickest listed cut, {} lb (ASTM D360-89).",
            THICKEST.digits()
        ),
        Err(CutFault::Unit(_) | CutFault::Number(_)) => format!("\"{text}\" is not a cut."),
    };
    let fix = "A cut is pounds of flakes per US gallon of alcohol, more than 0 and at most 8. Write 2, 1 1/2 or 0.5 lb.";
    wrong.refuse(flag, what, fix);
    None
}

/// A jar of the shop by its name; else a cut with its unit.
fn from(text: &str, tables: &ShopTables, wrong: &mut TypedWords) -> Option<Start> {
    if let Some(at) = tables.container(text) {
        return jar(text, at, tables, wrong);
    }
    if text.contains("lb") || text.contains("pound") {
        return cut("--from", text, wrong).map(Start::Cut);
    }
    if Cut::read(text).is_ok() {
        wrong.refuse(
            "--from",
            format!("There is no container \"{text}\"."),
            format!("If you mean a cut, write its unit: `--from '{text} lb'`."),
        );
        return None;
    }
    if tables.containers.is_empty() {
        wrong.refuse(
            "--from",
            format!("There is no shop here, so there is no container \"{text}\"."),
            "Name the shop folder with `--shop FOLDER`, or write the cut itself: `--from '3 lb'`.",
        );
        return None;
    }
    let near = tables.near_container(text, &wrong.problems);
    wrong.unknown("container", text, near.as_deref());
    None
}

fn jar(id: &str, at: ContainerId, tables: &ShopTables, wrong: &mut TypedWords) -> Option<Start> {
    let product = tables[at].product.as_str();
    let kind = tables.kind_of(product);
    let read = cut_named(product).and_then(|pounds| Cut::new(pounds).ok());
    match (kind, read) {
        (Some(ProductKind::Shellac), Some(cut)) => return Some(Start::Jar(at, cut)),
        (Some(ProductKind::Shellac), None) => wrong.refuse(
            "--from",
            format!("The cut of {id} is unknown. Its product, \"{product}\", names no cut."),
            "Name the product in inventory.csv by its cut, such as \"shellac 3 lb cut, dewaxed\". Or write the cut itself: \
             `--from '3 lb'`.",
        ),
        (Some(_) | None, _) => wrong.refuse(
            "--from",
            format!("{id} holds {product}, which is not shellac."),
            "Name a jar of shellac.",
        ),
    }
    None
}

fn flakes(text: &str, tables: &ShopTables, wrong: &mut TypedWords) -> Option<FlakesWanted> {
    let word = text.to_lowercase();
    if let Some(kind) = Flake::parse(&word) {
        return Some(FlakesWanted::Kind(kind));
    }
    match tables.kind_of(text) {
        Some(ProductKind::Flakes) => {
            return Some(FlakesWanted::Product(
                text.to_string(),
                flake_of(tables, text),
            ));
        }
        Some(_) => wrong.refuse(
            "--flake",
            format!("\"{text}\" is not a kind of flakes."),
            "Write bleached, dewaxed or waxy, or the product on the shelf.",
        ),
        None if flake_named(text).is_some() => return flake_named(text).map(FlakesWanted::Kind),
        None => {
            let kinds = Flake::WORDS.iter().map(|(name, _)| *name);
            let own = tables.containers.iter().map(|row| row.product.as_str());
            let own = own.filter(|product| tables.kind_of(product) == Some(ProductKind::Flakes));
            wrong.add(CellFault::WordUnknown {
                column: "--flake".into(),
                read: text.into(),
                near: nearest(text, kinds.chain(own)).map(str::to_string),
                known: "bleached, dewaxed, waxy, and flakes by their product".into(),
            });
        }
    }
    None
}

fn alcohol(text: &str, tables: &ShopTables, wrong: &mut TypedWords) -> Option<ShellacAlcohol> {
    if !wrong.knows_product(text, tables) {
        return None;
    }
    let found = shellac_alcohol(tables, text);
    if found.is_none() {
        wrong.refuse(
            "--alcohol",
            format!("\"{text}\" is not a known alcohol. Shellac dissolves in alcohol."),
            "Write denatured alcohol, ethanol, or a product whose made_of in products.csv names an alcohol.",
        );
    }
    found
}
