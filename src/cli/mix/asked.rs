//! The words of `mix`, read: everything that is wrong with them is told at once.

use super::args::MixArgs;
use crate::audit::Shop;
use crate::cli::{Failure, air};
use crate::fact::{Spirit, spirit};
use crate::quantity::{Dimension, Measure, MeasureFault, NumberFault, Ratio};
use crate::record::{ProductKind, ShopTables};
use crate::text::{CellFault, FileId, Files, Problem, Problems, Span, nearest, show_one};
use crate::trade::mixing::{Cut, CutFault, THICKEST};
use crate::trade::{Flake, cut_named, flake_named};

/// What is wrong with the words so far, in two kinds: what any table could say, and what only `mix` says.
struct Wrong {
    files: Files,
    line: FileId,
    problems: Problems,
    refused: Vec<String>,
}

impl Wrong {
    fn refuse(&mut self, what: String, help: &str) {
        self.refused
            .push(format!("error: {what}\n = help: {help}\n"));
    }

    fn none(&self) -> bool {
        self.problems.none() && self.refused.is_empty()
    }

    fn told(&self) -> Failure {
        let problems = self.problems.sorted().into_iter();
        let mut told: Vec<String> = problems.map(|p| show_one(p, &self.files)).collect();
        told.extend(self.refused.iter().cloned());
        Failure::Said(told.join("\n"))
    }
}

/// What is to be let down or dissolved.
pub(super) enum Start {
    /// Flakes.
    Flakes,
    /// A cut that is no jar of the shop's.
    Cut(Cut),
    /// A jar of the shop's, by its position, and the cut that its name tells.
    Jar(usize, Cut),
}

/// Which flakes are meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Wanted {
    /// It is not said.
    Any,
    /// All of a kind.
    Kind(Flake),
    /// One product.
    Product(String, Option<Flake>),
}

/// A mixture that is asked for.
pub(super) struct Asked {
    pub start: Start,
    /// The cut in the end.
    pub cut: Cut,
    /// What it is to come to, L.
    pub make: Option<Ratio>,
    /// The amount is given in US measures.
    pub us: bool,
    pub flakes: Wanted,
    pub spirit: Spirit,
}

impl Wanted {
    /// The kind, where it is settled.
    pub fn kind(&self) -> Option<Flake> {
        match self {
            Wanted::Any => None,
            Wanted::Kind(kind) => Some(*kind),
            Wanted::Product(_, kind) => *kind,
        }
    }
}

/// The kind of flake of a product: by its name, else by the generic material's that it is.
pub(super) fn flake_of(tables: &ShopTables, product: &str) -> Option<Flake> {
    flake_named(product).or_else(|| flake_named(&tables.materials.find(product)?.name))
}

/// Reads what is asked.
pub(super) fn read(args: &MixArgs, opened: &Shop) -> Result<Asked, Failure> {
    let mut files = Files::default();
    let mut wrong = Wrong {
        line: files.hold("command line", Vec::new()),
        files,
        problems: Problems::new(),
        refused: Vec::new(),
    };
    let tables = &opened.tables;
    let cut = match (&args.cut, &args.to_cut) {
        (Some(text), _) => cut("--cut", text, &mut wrong),
        (None, Some(text)) => cut("--to-cut", text, &mut wrong),
        (None, None) => None,
    };
    let start = match &args.from {
        None => Some(Start::Flakes),
        Some(text) => from(text, tables, &mut wrong),
    };
    let make = args.make.as_deref().and_then(|text| make(text, &mut wrong));
    let flakes = match &args.flake {
        None => Some(Wanted::Any),
        Some(text) => flakes(text, tables, &mut wrong),
    };
    let spirit = alcohol(&args.alcohol, tables, &mut wrong);
    if let (Some(Start::Cut(_)), None) = (&start, &args.make) {
        wrong.refuse(
            "how much there is of a cut that is no jar of the shop is not known".into(),
            "say what it is to come to, such as `--make '1 pt'`",
        );
    }
    if let (Some(Start::Cut(from) | Start::Jar(_, from)), Some(to)) = (&start, cut)
        && to >= *from
    {
        let (from, to) = (from.words(), to.words());
        wrong.refuse(
            format!("alcohol does not make a {to} cut of a {from} cut: it only thins"),
            "write a thinner cut after `--to-cut`; or mix flakes to a thicker one with `--cut`",
        );
    }
    match (start, cut, flakes, spirit) {
        (Some(start), Some(cut), Some(flakes), Some(spirit)) if wrong.none() => Ok(Asked {
            start,
            cut,
            us: make.as_ref().is_none_or(in_us_measures),
            make: make.map(|measure| Ratio::of(measure.base)),
            flakes,
            spirit,
        }),
        _ => Err(wrong.told()),
    }
}

fn in_us_measures(measure: &Measure) -> bool {
    !matches!(measure.unit.symbol, "L" | "mL" | "cL" | "m3")
}

/// What it is to come to: a volume, and more than nothing.
fn make(text: &str, wrong: &mut Wrong) -> Option<Measure> {
    let negative = MeasureFault::Number(NumberFault::Negative);
    let nothing = match Measure::parse_as(text, Dimension::Volume) {
        Ok(measure) => measure.base.is_zero(),
        Err(fault) => fault == negative,
    };
    if nothing {
        wrong.refuse(
            format!("`--make {text}` is nothing to mix"),
            "write what it is to come to, such as `--make '1 qt'`",
        );
        return None;
    }
    let Wrong { line, problems, .. } = wrong;
    air::measure("--make", text, Dimension::Volume, *line, problems)
}

fn cut(flag: &str, text: &str, wrong: &mut Wrong) -> Option<Cut> {
    let what = match Cut::read(text) {
        Ok(cut) => return Some(cut),
        Err(CutFault::NotPositive) => format!("`{flag} {text}` has no flakes in it"),
        Err(CutFault::TooThick) => format!(
            "`{flag} {text}` is thicker than any cut that is listed: {} lb (ASTM D360-89)",
            THICKEST.digits()
        ),
        Err(CutFault::Unit(_) | CutFault::Number(_)) => format!("`{flag} {text}` is no cut"),
    };
    let help = "a cut is pounds of flakes to a US gallon of alcohol, more than 0 and at most 8: write `2`, `1 1/2`, `0.5 lb`";
    wrong.refuse(what, help);
    None
}

/// A jar of the shop by its name; else a cut with its unit.
fn from(text: &str, tables: &ShopTables, wrong: &mut Wrong) -> Option<Start> {
    if let Some(at) = tables.container(text) {
        return jar(text, at, tables, wrong);
    }
    if text.contains("lb") || text.contains("pound") {
        return cut("--from", text, wrong).map(Start::Cut);
    }
    if Cut::read(text).is_ok() {
        wrong.refuse(
            format!("there is no container `{text}`"),
            &format!("if a cut is meant, write its unit: `--from '{text} lb'`"),
        );
        return None;
    }
    if tables.containers.is_empty() {
        wrong.refuse(
            format!("there is no shop here that could have a container `{text}`"),
            "name its folder with `--shop FOLDER`; or write the cut itself: `--from '3 lb'`",
        );
        return None;
    }
    let near = tables.near_container(text, &wrong.problems);
    air::unknown(
        "container",
        text,
        near.as_deref(),
        wrong.line,
        &mut wrong.problems,
    );
    None
}

fn jar(id: &str, at: usize, tables: &ShopTables, wrong: &mut Wrong) -> Option<Start> {
    let product = tables
        .containers
        .get(at)
        .map_or("", |row| row.product.as_str());
    let kind = tables.kind_of(product);
    let read = cut_named(product).and_then(|pounds| Cut::of(pounds).ok());
    match (kind, read) {
        (Some(ProductKind::Shellac), Some(cut)) => return Some(Start::Jar(at, cut)),
        (Some(ProductKind::Shellac), None) => wrong.refuse(
            format!("the cut of `{id}` is not known: it holds `{product}`, which names none"),
            "name the product in inventory.csv by its cut, such as `shellac 3 lb cut, dewaxed`; or write the cut itself: \
             `--from '3 lb'`",
        ),
        (Some(_) | None, _) => wrong.refuse(
            format!("`{id}` holds `{product}`, which is no shellac to let down"),
            "name a jar of shellac after `--from`",
        ),
    }
    None
}

fn flakes(text: &str, tables: &ShopTables, wrong: &mut Wrong) -> Option<Wanted> {
    let word = text.to_lowercase();
    if let Some((_, kind)) = Flake::WORDS.iter().find(|(name, _)| *name == word) {
        return Some(Wanted::Kind(*kind));
    }
    match tables.kind_of(text) {
        Some(ProductKind::Flakes) => {
            return Some(Wanted::Product(text.to_string(), flake_of(tables, text)));
        }
        Some(_) => wrong.refuse(
            format!("`--flake {text}` is no kind of flakes"),
            "write `bleached`, `dewaxed` or `waxy`, or the product that stands on the shelf",
        ),
        None if flake_named(text).is_some() => return flake_named(text).map(Wanted::Kind),
        None => {
            let kinds = Flake::WORDS.iter().map(|(name, _)| *name);
            let own = tables.containers.iter().map(|row| row.product.as_str());
            let own = own.filter(|product| tables.kind_of(product) == Some(ProductKind::Flakes));
            let code = CellFault::WordUnknown {
                column: "--flake".into(),
                read: text.into(),
                near: nearest(text, kinds.chain(own)).map(str::to_string),
                known: "bleached, dewaxed, waxy; and flakes by their product".into(),
            };
            wrong
                .problems
                .add(Problem::new(code, Span::whole(wrong.line)));
        }
    }
    None
}

fn alcohol(text: &str, tables: &ShopTables, wrong: &mut Wrong) -> Option<Spirit> {
    let Wrong { line, problems, .. } = wrong;
    let before = problems.count();
    air::known_product(text, tables, *line, problems);
    if problems.count() > before {
        return None;
    }
    let found = spirit(tables, text);
    if found.is_none() {
        wrong.refuse(
            format!("`{text}` is no alcohol that is known, and shellac is dissolved in alcohol"),
            "write `denatured alcohol`, `ethanol`, or a product whose made_of in products.csv names an alcohol",
        );
    }
    found
}
