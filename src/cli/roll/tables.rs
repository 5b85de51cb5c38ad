//! The tables of a closed period and of the one that begins, written beside the old ones before they count.

use super::super::Failure;
use super::super::open::Opened;
use super::refused;
use crate::cli::writing;
use crate::quantity::{Day, to_keep};
use crate::record::{FORWARD, INVENTORY, LOG, forward_from};
use crate::stock::{Carrying, ContainerState, Stock, place_name};
use crate::text::{
    Ends, Extent, FileId, Journal, Problems, Replacement, Span, Table, Written, rewrite, split,
};
use std::cell::RefCell;
use std::collections::{HashMap, HashSet};
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

/// What the tables of the closed period are called.
#[derive(Debug)]
pub struct Names {
    /// Its log.
    pub log: String,
    /// The inventory with which it began.
    pub inventory: String,
    /// What the period before it handed on, if one was closed.
    pub forward: Option<String>,
}

/// What was staged.
#[derive(Debug)]
pub struct Done {
    /// Entries that go to the closed period.
    pub set_aside: u64,
    /// Entries that stay.
    pub kept: u64,
    /// Containers of the inventory that are written anew.
    pub containers: usize,
}

impl Names {
    /// `log-2026.csv`, or where that is taken `log-2026-06-30.csv`.
    pub fn of(folder: &Path, to: Day) -> Result<Names, Failure> {
        let (day, year) = (to.to_string(), to.month());
        let year = year.get(..4).unwrap_or(&day).to_string();
        let taken = |end: &str| {
            let names = ["log", "inventory", "forward"].map(|name| format!("{name}-{end}.csv"));
            names.into_iter().find(|name| folder.join(name).exists())
        };
        let end = match (taken(&year), taken(&day)) {
            (None, _) => year,
            (Some(_), None) => day,
            (Some(_), Some(there)) => {
                return Err(refused(
                    &format!("{there} is there already"),
                    "it may be a period that was closed before; move it out of the folder only if you know what it is",
                ));
            }
        };
        let forward = folder.join(FORWARD.file).exists();
        Ok(Names {
            log: format!("log-{end}.csv"),
            inventory: format!("inventory-{end}.csv"),
            forward: forward.then(|| format!("forward-{end}.csv")),
        })
    }

    /// All files that change, what is set aside first, with what stands in their places now.
    pub fn replacements(&self, journal: &Journal) -> Vec<Replacement> {
        let aside = [
            Some(&self.log),
            Some(&self.inventory),
            self.forward.as_ref(),
        ];
        let aside = aside.into_iter().flatten().map(String::as_str);
        aside
            .chain([INVENTORY.file, FORWARD.file, LOG.file])
            .map(|file| Replacement {
                file: file.to_string(),
                seen: journal.seen(file),
            })
            .collect()
    }

    /// The staged tables, by the names under which they will be read.
    pub fn instead(&self, journal: &Journal) -> Vec<(&'static str, PathBuf)> {
        [INVENTORY.file, FORWARD.file, LOG.file]
            .map(|file| (file, journal.staged(file)))
            .to_vec()
    }
}

/// Writes every table of both periods beside the old ones.
pub fn stage(
    journal: &Journal,
    opened: &Opened,
    stock: &Stock,
    names: &Names,
) -> Result<Done, Failure> {
    let Some(log) = opened.tables.log else {
        return Err(Failure::Said("error: there is no log.csv".into()));
    };
    let highest = opened.log_names().highest();
    // Asked once for what the rows rest on, and again when it is known on which lines that will stand.
    let rests: RefCell<Vec<Span>> = RefCell::default();
    let carrying = |from: &dyn Fn(Span) -> String| {
        let carrying = Carrying {
            tables: &opened.tables,
            stock,
            log: &names.log,
            highest,
            from,
        };
        carrying.rows()
    };
    carrying(&|place| {
        rests.borrow_mut().push(place);
        String::new()
    });
    let rests: HashSet<u64> = rests
        .into_inner()
        .into_iter()
        .filter(|place| place.file == log)
        .filter_map(|place| byte(place.row()))
        .collect();
    let mut problems = Problems::new();
    let outs = (writer(journal, &names.log)?, writer(journal, LOG.file)?);
    let day = stock.on.to_string();
    let early = |row: &crate::text::Row<'_>| row.text(1).get(..10).unwrap_or("") <= day.as_str();
    let parted = split(
        &opened.files,
        (log, &LOG),
        &rests,
        early,
        outs,
        &mut problems,
    );
    let parted = parted.map_err(|fault| cannot_write(LOG.file, &fault))?;
    opened.trust(&problems)?;
    let Some(parted) = parted else {
        return Err(Failure::Said("error: log.csv could not be read".into()));
    };
    let earlier = earlier(opened);
    let from = |place: Span| {
        let place = place.row();
        if place.file == log {
            let line = byte(place).and_then(|byte| parted.lines.get(&byte));
            return line.map_or_else(String::new, |line| format!("{}:{line}", names.log));
        }
        earlier.get(&place).cloned().unwrap_or_default()
    };
    let rows = carrying(&from);
    let text = Ends::of(&journal.staged("none"), &FORWARD)
        .map_err(|fault| cannot_write(FORWARD.file, &fault))?
        .rows(&rows)
        .map_err(|column| Failure::Said(format!("error: forward.csv has no column `{column}`")))?;
    put(journal, FORWARD.file, INVENTORY.file, &text)?;
    for (name, copy) in [
        (Some(&names.inventory), INVENTORY.file),
        (names.forward.as_ref(), FORWARD.file),
    ] {
        if let Some(name) = name {
            let bytes = opened
                .bytes(copy)
                .map_err(|fault| cannot_write(name, &fault))?;
            put(journal, name, copy, &bytes)?;
        }
    }
    let (inventory, containers) = inventory(opened, stock)?;
    put(journal, INVENTORY.file, INVENTORY.file, &inventory)?;
    Ok(Done {
        set_aside: parted.first,
        kept: parted.second,
        containers,
    })
}

fn byte(place: Span) -> Option<u64> {
    match place.spot {
        Extent::Row(byte) => Some(byte),
        Extent::Whole | Extent::At(_) | Extent::Cell(..) | Extent::Range(..) => None,
    }
}

/// On which entries the rows rest that an earlier period handed on.
fn earlier(opened: &Opened) -> HashMap<Span, String> {
    let mut found = HashMap::new();
    let Some(file) = opened.tables.forward else {
        return found;
    };
    let mut problems = Problems::new();
    let mut table = Table::open(&opened.files, file, &FORWARD, &mut problems);
    while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
        let from = forward_from(&row);
        if !from.is_empty() {
            found.insert(row.span(), from.to_string());
        }
    }
    found
}

/// The inventory as of the close of the day.
fn inventory(opened: &Opened, stock: &Stock) -> Result<(Vec<u8>, usize), Failure> {
    const COLUMNS: [&str; 5] = ["amount", "place", "opened", "made", "as_of"];
    let Some(file) = opened.table(INVENTORY.file) else {
        return Err(Failure::Said("error: there is no inventory.csv".into()));
    };
    let mut problems = Problems::new();
    let mut containers = 0;
    let cells = |row: &crate::text::Row<'_>| {
        let at = opened.tables.container(row.text(0));
        let contents = at.and_then(|at| Some((at, stock.containers.get(at)?)));
        let cells = contents.map_or_else(Vec::new, |(at, contents)| {
            cells(opened, stock, at, contents)
        });
        containers += usize::from(!cells.is_empty());
        cells
    };
    let shape: (FileId, &'static crate::text::Shape) = (file, &INVENTORY);
    let bytes = rewrite(&opened.files, shape, &COLUMNS, cells, &mut problems)
        .map_err(|fault| cannot_write(INVENTORY.file, &fault))?;
    opened.trust(&problems)?;
    let bytes =
        bytes.ok_or_else(|| Failure::Said("error: inventory.csv could not be read".into()))?;
    Ok((bytes, containers))
}

/// The cells of one container: only what is no longer what its row says.
fn cells(opened: &Opened, stock: &Stock, at: usize, contents: &ContainerState) -> Vec<Written> {
    let tables = &opened.tables;
    let Some(row) = tables.containers.get(at) else {
        return Vec::new();
    };
    if row.since.is_some_and(|since| since > stock.on) {
        return Vec::new();
    }
    let mut cells = vec![("as_of", stock.on.to_string())];
    // A vessel of which nobody wrote down how much it holds goes on counting as full.
    let untouched = contents.counted_full && contents.entries == 0;
    if contents.amount != row.amount && !untouched {
        let amount = contents
            .amount
            .map(|amount| to_keep(amount, tables.shop.us));
        cells.push(("amount", amount.unwrap_or_default()));
    }
    if tables.location.get(at) != Some(&contents.location) {
        cells.push(("place", place_name(tables, contents.location)));
    }
    let text = |day: Option<Day>| day.map_or_else(String::new, |day| day.to_string());
    if contents.opened != row.opened {
        cells.push(("opened", text(contents.opened)));
    }
    if contents.made != row.made {
        cells.push(("made", text(contents.made)));
    }
    cells
}

fn writer(journal: &Journal, file: &str) -> Result<BufWriter<std::fs::File>, Failure> {
    let file = journal
        .stage(file, LOG.file)
        .map_err(|fault| writing::refused(&fault))?;
    Ok(BufWriter::with_capacity(1 << 16, file))
}

fn put(journal: &Journal, file: &str, like: &str, bytes: &[u8]) -> Result<(), Failure> {
    let mut out = journal
        .stage(file, like)
        .map_err(|fault| writing::refused(&fault))?;
    out.write_all(bytes)
        .map_err(|fault| cannot_write(file, &fault))
}

fn cannot_write(file: &str, fault: &std::io::Error) -> Failure {
    refused(
        &format!("{file} cannot be written: {fault}"),
        "check that you may write there and that the disk has room",
    )
}
