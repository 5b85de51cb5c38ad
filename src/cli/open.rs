//! From a folder (or the built-in demo) to everything an audit needs. All problems of a stage are shown at once.

use super::packs_of::{ALWAYS, load_packs};
use super::{Failure, files, style};
use crate::check::{Audit, audit, bind_all};
use crate::fact::{Hazard, hazards};
use crate::pack::{self, Document, Pack};
use crate::quantity::Day;
use crate::record::{ShopTables, read_materials, read_shop, read_tables};
use crate::report::{Caution, KeptRecord, View, build, read_cautions, read_records};
use crate::stock::{Stock, replay};
use crate::text::{
    Addition, FileId, Files, Journal, Problems, clean, hold_for_reading, is_unfinished,
    show_all_and,
};
use crate::trade::{Ghs, ReferenceData, read_built_in_ghs, read_reference_data};
use std::path::{Path, PathBuf};

/// What is not done when the files have problems.
const AUDITED: &str = "Nothing was audited.";
pub(super) const WRITTEN: &str = "Nothing was written.";
const LISTED: &str = "Nothing was listed.";

/// The tables of a shop folder.
const TABLES: [&str; 9] = [
    "rooms.csv",
    "inventory.csv",
    "places.csv",
    "fixtures.csv",
    "products.csv",
    "log.csv",
    "checks.csv",
    "accepted.csv",
    "actions.csv",
];

/// The names of all files that a shop folder can have.
pub fn files_of_a_shop() -> impl Iterator<Item = &'static str> {
    std::iter::once("shop.toml").chain(TABLES)
}

/// A shop with its packs.
pub struct Opened {
    /// Every file read.
    pub files: Files,
    /// The tables.
    pub tables: ShopTables,
    /// The packs.
    pub packs: Vec<Pack>,
    /// The files of the shop, by name.
    pub table_files: Vec<(&'static str, FileId)>,
    only: Vec<String>,
    undone: &'static str,
    /// Keeps writers out: a large log is read again and again.
    reading: Option<std::fs::File>,
    reference: ReferenceData,
    cautions: Vec<Caution>,
}

/// The folder meant by a command: the one given, else this one if it holds a shop.
pub fn folder(given: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(folder) = given {
        return Ok(folder.to_path_buf());
    }
    if Path::new("shop.toml").exists() {
        return Ok(PathBuf::from("."));
    }
    Err(Failure::Said(
        "error: no shop folder was given, and this folder holds no shop.toml\n = help: name one, or write one to start \
         from with `sandarac new my-shop`"
            .into(),
    ))
}

/// Opens a shop folder. `only` names the packs to keep; none keeps all that the shop names.
pub fn shop(folder: &Path, only: &[String]) -> Result<Opened, Failure> {
    let mut reading = hold_for_reading(folder);
    // Whoever was writing is done once that is held; what is unfinished then was cut short, and half of it may be there.
    while is_unfinished(folder) {
        drop(reading);
        let (_, said) = Journal::hold(folder).map_err(|refused| {
            Failure::Said(format!(
                "error: an entry was cut short while it was written, and cannot be finished: {refused}\n{AUDITED}"
            ))
        })?;
        for note in said {
            style::complain(&format!("note: {}", clean(&note)));
        }
        reading = hold_for_reading(folder);
    }
    let mut opened = with(folder, only, &[], AUDITED)?;
    opened.reading = reading;
    Ok(opened)
}

/// Opens the tables of a shop folder and no rule pack, and never writes: an addition that was cut short is refused, not
/// finished.
pub fn table_files(folder: &Path) -> Result<Opened, Failure> {
    // Whoever is writing is done once this is held; what is still unfinished then was cut short.
    let reading = hold_for_reading(folder);
    if is_unfinished(folder) {
        return Err(Failure::Said(
            "error: an entry was cut short while it was written, so the log may be half changed\n = help: `sandarac stock` \
             finishes it or takes it back; then look again"
                .into(),
        ));
    }
    files::may_enter(folder, LISTED)?;
    let (files, problems, shop_file, named) = found(folder, &[]);
    let mut opened = finish(files, problems, shop_file, &named, (folder, None, LISTED))?;
    opened.reading = reading;
    Ok(opened)
}

/// Opens a shop folder as it would be if some rows stood at the end of its tables, to see whether they may be written.
pub fn shop_with(folder: &Path, only: &[String], more: &[Addition]) -> Result<Opened, Failure> {
    with(folder, only, more, WRITTEN)
}

fn with(
    folder: &Path,
    only: &[String],
    more: &[Addition],
    undone: &'static str,
) -> Result<Opened, Failure> {
    files::may_enter(folder, undone)?;
    let (files, problems, shop_file, named) = found(folder, more);
    finish(
        files,
        problems,
        shop_file,
        &named,
        (folder, Some(only), undone),
    )
}

type Found = (Files, Problems, Option<FileId>, Vec<(&'static str, FileId)>);

/// The files of a shop folder, some with more at their end.
fn found(folder: &Path, more: &[Addition]) -> Found {
    let mut files = Files::default();
    let mut problems = Problems::new();
    let mut named: Vec<(&'static str, FileId)> = Vec::new();
    let shop_file = files::read(folder, "shop.toml", &[], &mut files, &mut problems);
    for table in TABLES {
        let more = more.iter().find(|more| more.file == table);
        let more = more.map_or(&[][..], |more| &more.bytes);
        let file = files::read(folder, table, more, &mut files, &mut problems);
        named.extend(file.map(|file| (table, file)));
    }
    let inventory = named.iter().find(|(name, _)| *name == "inventory.csv");
    let inventory = inventory.map(|(_, file)| *file);
    files::no_closed_period(folder, inventory, &mut files, &mut problems);
    (files, problems, shop_file, named)
}

/// No shop at all: nothing but what is built in, under the packs that are.
pub fn nothing() -> Result<Opened, Failure> {
    let mut files = Files::default();
    let shop = "name = \"no shop\"\nunits = \"us\"\npacks = [\"us-workplace\", \"us-fire-code\"]\n";
    let table_files = [
        ("rooms.csv", "room,use\n"),
        ("inventory.csv", "container,product\n"),
    ];
    let shop = files.hold("shop.toml", shop.as_bytes());
    let named = table_files.map(|(name, text)| (name, files.hold(name, text.as_bytes())));
    let here = Path::new(".");
    let with = (here, Some(&[][..]), AUDITED);
    finish(files, Problems::new(), Some(shop), &named, with)
}

/// Opens the demo.
pub fn demo() -> Result<Opened, Failure> {
    let mut files = Files::default();
    let mut named: Vec<(&'static str, FileId)> = Vec::new();
    let mut shop_file = None;
    for (name, text) in pack::DEMO {
        let file = files.hold(*name, text.as_bytes());
        if *name == "shop.toml" {
            shop_file = Some(file);
        }
        named.extend(
            TABLES
                .iter()
                .find(|table| *table == name)
                .map(|table| (*table, file)),
        );
    }
    finish(
        files,
        Problems::new(),
        shop_file,
        &named,
        (Path::new("."), Some(&[]), AUDITED),
    )
}

pub(super) fn stop(problems: &Problems, files: &Files) -> Result<(), Failure> {
    stop_undone(problems, files, AUDITED)
}

fn stop_undone(problems: &Problems, files: &Files, undone: &str) -> Result<(), Failure> {
    if problems.none() {
        return Ok(());
    }
    // Half a table has problems of its own, which nobody could find in the file.
    files::steady(files, undone)?;
    Err(Failure::Said(show_all_and(problems, files, undone)))
}

fn finish(
    mut files: Files,
    mut problems: Problems,
    shop_file: Option<FileId>,
    named: &[(&'static str, FileId)],
    (folder, only, undone): (&Path, Option<&[String]>, &'static str),
) -> Result<Opened, Failure> {
    stop_undone(&problems, &files, undone)?;
    let shop = shop_file
        .and_then(|file| Document::parse(&files, file, &mut problems))
        .and_then(|document| read_shop(&document, &mut problems));
    let Some(shop) = shop else {
        stop_undone(&problems, &files, undone)?;
        return Err(Failure::Said("error: shop.toml could not be read".into()));
    };
    let packs = match only {
        Some(only) => load_packs(&shop, folder, only, &mut files, &mut problems)?,
        None => Vec::new(),
    };
    let (materials, reference, cautions) = built_in(&mut files, &mut problems);
    let find = |name: &str| {
        named
            .iter()
            .find(|(table, _)| *table == name)
            .map(|(_, file)| *file)
    };
    let tables = read_tables(&files, shop, materials, find, &mut problems);
    stop_undone(&problems, &files, undone)?;
    Ok(Opened {
        files,
        tables,
        packs,
        table_files: shop_file
            .map(|file| ("shop.toml", file))
            .into_iter()
            .chain(named.iter().copied())
            .collect(),
        only: only.unwrap_or_default().to_vec(),
        undone,
        reading: None,
        reference,
        cautions,
    })
}

fn built_in(
    files: &mut Files,
    problems: &mut Problems,
) -> (crate::record::Materials, ReferenceData, Vec<Caution>) {
    let materials = files.hold("data/materials.csv", pack::MATERIALS.as_bytes());
    let materials = read_materials(files, materials, problems);
    let reference = read_reference_data(files, problems);
    let cautions = files.hold("data/cautions.toml", pack::CAUTIONS.as_bytes());
    let cautions = read_cautions(files, cautions, problems);
    (materials, reference, cautions)
}

impl Opened {
    /// The cautions of these names, in this order.
    pub fn cautions(&self, names: &[&str]) -> Vec<&Caution> {
        let find = |name: &&str| self.cautions.iter().find(|c| c.name == **name);
        names.iter().filter_map(find).collect()
    }

    /// Is this pack wanted? `trade` always is.
    pub fn keeps(&self, pack: &Pack) -> bool {
        self.only.is_empty() || pack.id == ALWAYS || self.only.contains(&pack.id)
    }

    /// The questions of the walk-round.
    pub fn round(&self) -> &crate::trade::Round {
        &self.reference.round
    }

    /// Replays the log to a day.
    pub fn stock(&mut self, on: Day) -> Result<Stock, Failure> {
        let (stock, problems) = self.replayed(on);
        self.steady()?;
        stop_undone(&problems, &self.files, self.undone)?;
        Ok(stock)
    }

    /// Ends where a file was changed since it was opened; asked again before anything is written of it.
    pub fn steady(&self) -> Result<(), Failure> {
        files::steady(&self.files, self.undone)
    }

    /// Replays the log to a day; with problems, the stock means nothing.
    pub fn replayed(&mut self, on: Day) -> (Stock, Problems) {
        let mut problems = Problems::new();
        let rows = self.files.rows_read();
        let work = || replay(&mut self.files, &self.tables, on, &mut problems);
        let stock = style::while_waiting(&rows, work);
        (stock, problems)
    }

    /// The tables that labels are made from; no other command needs them.
    pub fn ghs(&mut self) -> Result<Ghs, Failure> {
        let mut problems = Problems::new();
        let ghs = read_built_in_ghs(&mut self.files, &mut problems);
        stop(&problems, &self.files)?;
        Ok(ghs)
    }

    /// Which records are kept, and for how long; only the binder needs it.
    pub fn records(&mut self) -> Result<Vec<KeptRecord>, Failure> {
        let mut problems = Problems::new();
        let file = self
            .files
            .hold("data/records.csv", pack::RECORDS.as_bytes());
        let records = read_records(&self.files, file, &mut problems);
        stop(&problems, &self.files)?;
        Ok(records)
    }

    /// What each product in stock is.
    pub fn hazards(&self, stock: &Stock) -> Vec<Hazard> {
        hazards(&self.tables, &stock.products)
    }

    /// What the craft knows.
    pub fn reference(&self) -> &ReferenceData {
        &self.reference
    }

    /// Ends with the problems, if there are any.
    pub fn trust(&self, problems: &Problems) -> Result<(), Failure> {
        stop_undone(problems, &self.files, self.undone)
    }

    /// Holds every rule against the stock.
    pub fn audit<'a>(&'a self, stock: &Stock) -> Result<Audit<'a>, Failure> {
        let mut problems = Problems::new();
        let bound = bind_all(
            &self.packs,
            |pack| self.keeps(pack),
            &self.tables,
            &self.reference,
            &mut problems,
        );
        stop(&problems, &self.files)?;
        Ok(audit(&self.tables, stock, &bound, &self.reference))
    }

    /// What every report shows.
    pub fn view<'a>(&'a self, stock: &Stock, audit: &'a Audit<'a>) -> View<'a> {
        let packs: Vec<&Pack> = self.packs.iter().filter(|pack| self.keeps(pack)).collect();
        build(
            &self.tables,
            stock,
            audit,
            &packs,
            &self.cautions,
            &self.files,
        )
    }
}
