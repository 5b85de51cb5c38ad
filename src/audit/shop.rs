//! A shop with its tables and rule packs, and an audit of it on a day.

use super::NotAudited;
use super::data_sheets::look_for_sheets;
use super::folder::may_enter;
use super::lost::look_for_lost;
use super::packs::{ALWAYS, built_in_materials, load_packs, reference_with};
use super::texts::{Texts, find};
use super::to_do::{ToDo, to_do};
use crate::check::{
    Bound, Checked, Closing, Objections, bind_all, check_rules, closing, objections,
};
use crate::fact::{Hazards, Kept, hazards, kept};
use crate::files::{Change, Note, Reading};
use crate::finding::{Finding, Verdict};
use crate::pack::{self, Document, Pack, Severity};
use crate::quantity::{Day, Moment};
use crate::record::{ShopTables, read_shop, read_tables};
use crate::stock::{Stock, replay, replay_until};
use crate::text::{FileId, Files, Problems};
use crate::trade::{Ghs, ReferenceData, read_built_in_ghs};
use crate::vapour::session::Sessions;
use std::io::Read;
use std::path::{Path, PathBuf};

/// A shop whose files read cleanly, as of one moment.
pub struct Shop {
    pub files: Files,
    pub tables: ShopTables,
    /// What the trade knows: shelf lives, the questions of the round.
    pub reference: ReferenceData,
    /// What was finished or set aside on opening the folder, for a person to read.
    pub notes: Vec<Note>,
    /// How many rows of checks.csv were left out because they are later than now, and the last of them.
    pub answers_ahead: Option<(usize, Moment)>,
    packs: Vec<Pack>,
    /// The packs that are wanted; empty for all that the shop names.
    only: Vec<String>,
    named: Vec<(&'static str, FileId)>,
    pub(super) folder: Option<PathBuf>,
    /// Lost rows and other copies of a table are no reason to stop.
    pub(super) bears_lost: bool,
    /// Those that were found on opening it.
    pub(super) borne: Problems,
    /// Keeps writers out: a large log is read again and again.
    reading: Option<Reading>,
}

/// All that is known of a shop on a day.
pub struct Audit<'s> {
    pub shop: &'s Shop,
    /// What is in every container, and every rag.
    pub stock: Stock,
    /// What the rules conclude, with the classes, hazards, sessions and questions that they rest on.
    pub checked: Checked<'s>,
}

/// Which rule packs a shop is held against.
enum PacksWanted<'a> {
    /// None: only the tables are of interest.
    None,
    /// Those that shop.toml names, relative to its folder; a list that is not empty narrows them.
    Named {
        folder: &'a Path,
        only: &'a [String],
    },
    /// These, whatever shop.toml names.
    These(Vec<Pack>),
}

impl Shop {
    /// Opens a shop folder; `only` names the packs to use, and none uses all that the shop names. An entry that was cut
    /// short while it was written is finished first, and [`Shop::notes`] says so.
    pub fn open(folder: &Path, only: &[String]) -> Result<Shop, NotAudited> {
        // No writer is at work once that is held; anything unfinished then was cut short, and half of it may be there.
        let (reading, notes) =
            Reading::settled(folder).map_err(|refused| NotAudited::Unfinished {
                why: Some(refused.words()),
            })?;
        let mut shop = Shop::open_with(folder, only, &[])?;
        (shop.reading, shop.notes) = (reading, notes);
        Ok(shop)
    }

    /// Opens the tables of a shop folder and no rule pack, and never writes: an entry that was cut short is an error.
    pub fn open_tables(folder: &Path) -> Result<Shop, NotAudited> {
        let reading = Reading::hold(folder);
        if reading.as_ref().is_some_and(Reading::is_unfinished) {
            return Err(NotAudited::Unfinished { why: None });
        }
        may_enter(folder)?;
        let mut shop = Shop::understand(Texts::of_folder(folder, &[]), PacksWanted::None)?;
        shop.reading = reading;
        Ok(shop)
    }

    /// Opens a shop folder as it would be after some changes. Its caller holds the journal.
    pub fn open_with(
        folder: &Path,
        only: &[String],
        changes: &[Change],
    ) -> Result<Shop, NotAudited> {
        Shop::open_bearing(folder, only, changes, false)
    }

    pub(super) fn open_bearing(
        folder: &Path,
        only: &[String],
        changes: &[Change],
        bears_lost: bool,
    ) -> Result<Shop, NotAudited> {
        may_enter(folder)?;
        let mut texts = Texts::of_folder(folder, changes);
        texts.bears_lost = bears_lost;
        Shop::understand(texts, PacksWanted::Named { folder, only })
    }

    /// A shop made of texts by their file names, such as `("shop.toml", "name = …")`, with the packs that it names.
    pub fn from_texts(texts: &[(&str, &str)]) -> Result<Shop, NotAudited> {
        let wanted = PacksWanted::Named {
            folder: Path::new("."),
            only: &[],
        };
        Shop::understand(Texts::held(texts.iter().copied()), wanted)
    }

    /// The tables of a shop made of texts, each with the name that messages show, and no rule pack.
    pub fn tables_of(texts: Vec<(&'static str, String, Vec<u8>)>) -> Result<Shop, NotAudited> {
        let mut files = Files::default();
        let mut hold = |(name, shown, text): (_, String, Vec<u8>)| (name, files.hold(shown, text));
        let named = texts.into_iter().map(&mut hold).collect();
        let problems = Problems::new();
        let texts = Texts {
            problems,
            ..Texts::of_files(files, named)
        };
        Shop::understand(texts, PacksWanted::None)
    }

    /// A shop made of texts, held against these packs alone.
    pub fn from_texts_with(texts: &[(&str, &[u8])], packs: Vec<Pack>) -> Result<Shop, NotAudited> {
        Shop::understand(
            Texts::held(texts.iter().copied()),
            PacksWanted::These(packs),
        )
    }

    /// The shop that is built in, made up from end to end.
    pub fn demo() -> Result<Shop, NotAudited> {
        Shop::from_texts(&pack::demo())
    }

    /// No shop at all: nothing but the materials and packs that are built in.
    pub fn empty() -> Result<Shop, NotAudited> {
        Shop::from_texts(&[
            (
                "shop.toml",
                "name = \"no shop\"\nunits = \"us\"\npacks = [\"us-workplace\", \"us-fire-code\"]\n",
            ),
            ("rooms.csv", "room,use\n"),
            ("inventory.csv", "container,product\n"),
        ])
    }

    fn understand(texts: Texts, wanted: PacksWanted<'_>) -> Result<Shop, NotAudited> {
        let Texts {
            folder,
            mut files,
            mut problems,
            other_copies: mut borne,
            named,
            bears_lost,
        } = texts;
        if !bears_lost {
            problems.take(std::mem::take(&mut borne));
        }
        NotAudited::unless_none(&problems, &files)?;
        let find = |name: &str| find(&named, name);
        let settings = find("shop.toml")
            .and_then(|file| Document::parse(&files, file, &mut problems))
            .and_then(|document| read_shop(&document, &mut problems));
        let Some(settings) = settings else {
            return Err(NotAudited::problems(&problems, &files));
        };
        for (_, file) in &named {
            files.set_locale(*file, settings.locale);
        }
        let (packs, only) = match wanted {
            PacksWanted::None => (Vec::new(), Vec::new()),
            PacksWanted::Named { folder, only } => (
                load_packs(&settings, folder, only, &mut files, &mut problems)?,
                only.to_vec(),
            ),
            PacksWanted::These(packs) => (packs, Vec::new()),
        };
        let materials = built_in_materials(&mut files, &mut problems);
        let reference = reference_with(&packs, settings.us, &mut files, &mut problems);
        let mut tables = read_tables(&files, settings, materials, find, &mut problems);
        if let Some(folder) = &folder {
            look_for_sheets(folder, &mut tables.products);
        }
        let checks = find("checks.csv");
        let lost = if bears_lost {
            &mut borne
        } else {
            &mut problems
        };
        look_for_lost(folder.as_deref(), "checks.csv", &files, checks, lost);
        NotAudited::unless_none(&problems, &files)?;
        Ok(Shop {
            folder,
            files,
            tables,
            reference,
            notes: Vec::new(),
            answers_ahead: None,
            packs,
            only,
            named,
            bears_lost,
            borne,
            reading: None,
        })
    }

    /// Lets writers in: for a caller that keeps the shop for long and asks [`Shop::steady`] before each use.
    pub fn let_writers_in(&mut self) {
        self.reading = None;
    }

    /// The packs that the shop is held against.
    pub fn packs(&self) -> impl Iterator<Item = &Pack> {
        let only = &self.only;
        let wanted =
            move |pack: &&Pack| only.is_empty() || pack.id == ALWAYS || only.contains(&pack.id);
        self.packs.iter().filter(wanted)
    }

    /// The files of the shop, by name.
    pub fn table_files(&self) -> &[(&'static str, FileId)] {
        &self.named
    }

    /// The bytes of a table.
    pub fn bytes(&self, name: &str) -> std::io::Result<Vec<u8>> {
        let missing = || std::io::Error::from(std::io::ErrorKind::NotFound);
        let mut bytes = Vec::new();
        let mut reader = self
            .files
            .reader(find(&self.named, name).ok_or_else(missing)?)?;
        reader.read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    /// Are rows that were written into the log or the answers in another order, or spelled in another way, than before?
    pub fn was_rearranged(&self) -> bool {
        let watched = |name: &str| find(&self.named, name);
        let files = ["log.csv", "checks.csv"].into_iter().filter_map(watched);
        files.into_iter().any(|file| self.files.lacks_rows(file))
    }

    /// Are the files on the disk still as they were read? Asked again before anything is made of them.
    pub fn steady(&self) -> Result<(), NotAudited> {
        match self.files.changed() {
            Some(path) => Err(NotAudited::Changed(path.to_path_buf())),
            None => Ok(()),
        }
    }

    /// What is in every container at the close of a day.
    pub fn stock(&self, on: Day) -> Result<Stock, NotAudited> {
        let (stock, problems) = self.replayed(on);
        self.trusted(&problems)?;
        Ok(stock)
    }

    /// What is in every container just after a moment.
    pub fn stock_at(&self, at: Moment) -> Result<Stock, NotAudited> {
        let mut problems = Problems::new();
        let stock = replay_until(&self.files, &self.tables, at.next(), &mut problems);
        self.look_for_lost(&mut problems);
        self.trusted(&problems)?;
        Ok(stock)
    }

    /// As [`Shop::stock`], with the problems of the log; if there are any, the stock means nothing.
    pub fn replayed(&self, on: Day) -> (Stock, Problems) {
        let mut problems = Problems::new();
        let stock = replay(&self.files, &self.tables, on, &mut problems);
        self.look_for_lost(&mut problems);
        (stock, problems)
    }

    fn look_for_lost(&self, problems: &mut Problems) {
        if !self.bears_lost {
            self.add_lost(problems);
        }
    }

    /// Holds every rule against the stock of a day.
    pub fn audit(&self, on: Day) -> Result<Audit<'_>, NotAudited> {
        self.audit_of(self.stock(on)?)
    }

    /// Holds every rule against this stock.
    pub fn audit_of(&self, stock: Stock) -> Result<Audit<'_>, NotAudited> {
        let checked = check_rules(&self.tables, &stock, &self.bound()?, &self.reference);
        Ok(Audit {
            shop: self,
            stock,
            checked,
        })
    }

    /// The rules of the packs, understood.
    pub fn bound(&self) -> Result<Vec<(&Pack, Vec<Bound<'_>>)>, NotAudited> {
        let mut problems = Problems::new();
        let wanted = |pack: &Pack| self.packs().any(|kept| kept.id == pack.id);
        let bound = bind_all(
            &self.packs,
            wanted,
            &self.tables,
            &self.reference,
            &mut problems,
        );
        NotAudited::unless_none(&problems, &self.files)?;
        Ok(bound)
    }

    /// Closing time: every rag, can, bench and question at a moment, from the tables alone.
    pub fn closing(&self, at: Moment) -> Result<(Closing, Stock), NotAudited> {
        let stock = self.stock_at(at)?;
        let hazards = self.hazards(&stock);
        let list = closing(&self.tables, &stock, &self.reference, &hazards, at);
        Ok((list, stock))
    }

    /// What each product in stock is.
    pub fn hazards(&self, stock: &Stock) -> Hazards {
        hazards(&self.tables, &stock.products)
    }

    /// How long each container is good.
    pub fn shelf_lives(&self, stock: &Stock) -> Vec<Kept> {
        kept(&self.tables, stock, &self.reference, &self.hazards(stock))
    }

    /// The tables that labels are made from; nothing else needs them.
    pub fn ghs(&self) -> Result<Ghs, NotAudited> {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let ghs = read_built_in_ghs(&mut files, &mut problems);
        NotAudited::unless_none(&problems, &files)?;
        Ok(ghs)
    }

    /// Ends with the problems of another reading of the files, if there are any. Half a table has problems of its own that are
    /// not in the file, so a change is reported first.
    pub fn trusted(&self, problems: &Problems) -> Result<(), NotAudited> {
        self.steady()?;
        NotAudited::unless_none(problems, &self.files)
    }
}

impl Audit<'_> {
    /// Findings, the most urgent first.
    pub fn findings(&self) -> &[Finding] {
        &self.checked.findings
    }

    /// Is anything of this weight, or a heavier one, broken or not known, that the shop did not accept?
    pub fn fails_on(&self, severity: Severity) -> bool {
        self.findings().iter().any(|finding| {
            finding.severity <= severity
                && !finding.is_accepted()
                && matches!(finding.verdict, Verdict::Breach | Verdict::CannotJudge)
        })
    }

    /// New breaches against the findings of an earlier audit of the shop: those that stand in the way of an entry, and others.
    pub fn objections(&self, before: &[Finding]) -> Objections<'_> {
        objections(before, &self.checked)
    }

    /// The sessions of the last month, and what they did to the air.
    pub fn air(&self) -> &Sessions {
        &self.checked.sessions
    }

    /// What to do now, today and this week, and what to find out.
    pub fn to_do(&self) -> ToDo {
        to_do(&self.checked.findings, &self.shop.tables, &self.stock)
    }
}
