//! What all requests share: the shop as its files are now, the one writer, the clock, and who may come in.

use super::heavy::Heavy;
use super::hold::{WriterPause, held, steadily};
use super::hosts::HostRule;
use super::pairing::Pairing;
use super::problem::BenchProblem;
use super::queue::WriteQueue;
use super::recent::{LogLine, recent};
use super::role::{Caller, Role};
use crate::audit::{NotAudited, Shop};
use crate::check::Closing;
use crate::fact::{Hazards, Kept};
use crate::finding::Finding;
use crate::pack;
use crate::parallel::both;
use crate::quantity::Moment;
use crate::record::ContainerId;
use crate::report::words::ActionList;
use crate::report::{Caution, DueItem, RoundSheet, StockRow, View, read_cautions, sheet};
use crate::stock::Stock;
use crate::store::KnownShop;
use crate::text::{Files, Problems};
use axum::http::HeaderMap;
use std::collections::{HashSet, VecDeque};
use std::ops::Deref;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use tokio::sync::Semaphore;

/// So many requests are answered at once; what comes beyond them is asked to come again.
const MOST_AT_ONCE: usize = 128;
/// So many requests that write wait on a thread; the others wait without one, so that pages always find a thread.
const WRITERS: usize = 48;
/// So many photos and workbooks are received at once: each is held in memory until it is whole.
const UPLOADS: usize = 2;

/// The clock: the minute so many minutes ago.
pub struct BenchClock(Box<dyn Fn(u32) -> Moment + Send + Sync>);

impl BenchClock {
    /// A clock that is asked for the minute so many minutes ago.
    pub fn new(ago: impl Fn(u32) -> Moment + Send + Sync + 'static) -> BenchClock {
        BenchClock(Box::new(ago))
    }

    /// This minute.
    pub fn now(&self) -> Moment {
        self.ago(0)
    }

    /// The minute so many minutes ago.
    pub fn ago(&self, minutes: u32) -> Moment {
        (self.0)(minutes)
    }
}

/// Who may come in.
pub enum DeviceAccess {
    /// Whoever sits at this computer, under this name.
    Here(String),
    /// Paired devices.
    Paired(Pairing),
}

pub struct Bench {
    folder: PathBuf,
    clock: BenchClock,
    access: DeviceAccess,
    hosts: Arc<HostRule>,
    address: String,
    /// The connection is encrypted.
    pub encrypted: bool,
    /// Requests under way: no more than these at once.
    pub places: Semaphore,
    /// Requests that write.
    pub writers: Arc<Semaphore>,
    /// Requests that bring a file.
    pub uploads: Semaphore,
    /// Entries that wait to be written together.
    pub queue: WriteQueue,
    /// Work that takes much memory.
    pub heavy: Heavy,
    /// Other programs get their turn.
    pub gap: WriterPause,
    /// The turn to read the shop. Its holder waits for the folder, which a writer may hold.
    reading: Mutex<()>,
    /// The last reading, locked only to look at it or to put in another: a writer asks for it while it holds the folder.
    now: Mutex<Option<Arc<BenchNow>>>,
}

/// The shop as its files are at one minute, understood.
pub struct BenchNow {
    /// The minute.
    pub at: Moment,
    /// What is open at this minute: rags, cans, bench, questions.
    pub closing: Closing,
    day: Arc<BenchDay>,
}

/// What is the same for all of a day, as long as no file changes.
pub struct BenchDay {
    pub shop: Shop,
    /// What is in every container.
    pub stock: Arc<Stock>,
    /// What the rules conclude, the most urgent first.
    pub findings: Arc<Vec<Finding>>,
    pub to_do: ActionList,
    pub rows: Vec<StockRow>,
    pub dues: Vec<DueItem>,
    /// The cautions for what is here.
    pub cautions: Vec<Caution>,
    /// How long each container is good.
    pub kept: Vec<Kept>,
    /// What each product is.
    pub hazards: Hazards,
    pub round: RoundSheet,
    /// The last entries of the log, the oldest first.
    pub recent: VecDeque<LogLine>,
    /// Containers that were counted today.
    pub counted: HashSet<String>,
}

impl Deref for BenchNow {
    type Target = BenchDay;

    fn deref(&self) -> &BenchDay {
        &self.day
    }
}

impl Bench {
    /// The site of a shop folder.
    pub fn new(
        folder: PathBuf,
        clock: BenchClock,
        access: DeviceAccess,
        hosts: HostRule,
        address: String,
    ) -> Bench {
        Bench {
            folder,
            clock,
            access,
            hosts: Arc::new(hosts),
            encrypted: address.starts_with("https:"),
            address,
            places: Semaphore::new(MOST_AT_ONCE),
            writers: Arc::new(Semaphore::new(WRITERS)),
            uploads: Semaphore::new(UPLOADS),
            queue: WriteQueue::default(),
            gap: WriterPause::default(),
            heavy: Heavy::default(),
            reading: Mutex::default(),
            now: Mutex::default(),
        }
    }

    pub fn folder(&self) -> &std::path::Path {
        &self.folder
    }

    pub fn clock(&self) -> &BenchClock {
        &self.clock
    }

    /// The address of the site, as devices are reported it.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// The hosts that are ours.
    pub fn hosts(&self) -> &Arc<HostRule> {
        &self.hosts
    }

    /// The pairing of devices, where there is one.
    pub fn pairing(&self) -> Option<&Pairing> {
        match &self.access {
            DeviceAccess::Here(_) => None,
            DeviceAccess::Paired(pairing) => Some(pairing),
        }
    }

    /// Who is behind a request.
    pub fn caller(&self, headers: &HeaderMap) -> Option<Caller> {
        match &self.access {
            DeviceAccess::Here(person) => Some(Caller {
                role: Role::Owner,
                person: person.clone(),
            }),
            DeviceAccess::Paired(pairing) => pairing.caller(headers, self.clock.now()),
        }
    }

    /// The shop as its files are at this minute. One reading serves all requests until a file or the minute changes.
    pub fn now(&self) -> Result<Arc<BenchNow>, BenchProblem> {
        let at = self.clock.now();
        let _turn = held(&self.reading);
        let kept = self.steady();
        if let Some(now) = kept.as_ref().filter(|now| now.at == at) {
            return Ok(Arc::clone(now));
        }
        // Only what is open depends on the minute.
        let day = kept.filter(|now| now.at.day() == at.day() && now.shop.answers_ahead.is_none());
        let folder = self.folder.clone();
        let read = move || match day.map(|now| BenchNow::of_day(Arc::clone(&now.day), at)) {
            Some(Ok(now)) => Ok(now),
            Some(Err(_)) | None => steadily(|| Ok(BenchNow::read(&folder, at)?)),
        };
        let now = Arc::new(self.gap.before(|| self.heavy.run(read))??);
        *held(&self.now) = Some(Arc::clone(&now));
        Ok(now)
    }

    /// The last reading, if the files are still as they were.
    fn steady(&self) -> Option<Arc<BenchNow>> {
        let now = held(&self.now).clone();
        now.filter(|now| now.shop.steady().is_ok())
    }

    /// How the shop stands, if that is known of the files as they are.
    pub fn standing(&self) -> Option<KnownShop> {
        let now = self.steady()?;
        Some(KnownShop {
            stock: Arc::clone(&now.stock),
            findings: Arc::clone(&now.findings),
        })
    }
}

impl BenchNow {
    fn read(folder: &std::path::Path, at: Moment) -> Result<BenchNow, NotAudited> {
        let mut shop = Shop::open(folder, &[])?;
        shop.leave_out_answers_after(at);
        let open_now = || Ok((shop.closing(at)?, recent(&shop, at.day())));
        let (open_now, audit) = both(open_now, || shop.audit(at.day()));
        let (((closing, _), (recent, counted)), audit) = (open_now?, audit?);
        let cautions = built_in_cautions();
        let view = View::new(&audit, &cautions);
        let round = sheet(&shop.tables, &audit.stock, &view);
        let (rows, dues, to_do) = (view.stock, view.dues, view.to_do);
        let cautions = view.cautions.into_iter().cloned().collect();
        let kept = shop.shelf_lives(&audit.stock);
        let (stock, checked) = (Arc::new(audit.stock), audit.checked);
        let (findings, hazards) = (Arc::new(checked.findings), checked.hazards);
        shop.steady()?;
        shop.let_writers_in();
        let day = BenchDay {
            stock,
            findings,
            to_do,
            rows,
            dues,
            cautions,
            kept,
            hazards,
            round,
            recent,
            counted,
            shop,
        };
        Ok(BenchNow {
            at,
            closing,
            day: Arc::new(day),
        })
    }

    /// The same day at another minute.
    fn of_day(day: Arc<BenchDay>, at: Moment) -> Result<BenchNow, NotAudited> {
        let (closing, _) = day.shop.closing(at)?;
        day.shop.steady()?;
        Ok(BenchNow { at, closing, day })
    }
}

impl BenchDay {
    /// The row of a container that holds something.
    pub fn row(&self, container: &str) -> Option<&StockRow> {
        self.rows.iter().find(|row| row.container == container)
    }

    /// The containers that liquid was used from last, the latest first; then the others.
    pub fn last_used(&self, most: usize) -> Vec<(&str, &str)> {
        let tables = &self.shop.tables;
        let mut order: Vec<ContainerId> = Vec::new();
        let used = self.stock.uses.iter().rev().map(|used| used.container);
        // A log has very many uses, and the last few name enough containers.
        for at in used {
            if order.len() == most {
                break;
            }
            if !order.contains(&at) && self.stock.present(tables, at) {
                order.push(at);
            }
        }
        // Where little was used yet, the others follow as the inventory lists them.
        for (at, row) in ContainerId::each(&tables.containers) {
            let cloth = row.vessel.is_some_and(crate::record::Vessel::is_cloth);
            if order.len() < most
                && !cloth
                && !order.contains(&at)
                && self.stock.present(tables, at)
            {
                order.push(at);
            }
        }
        let rows = order.into_iter().map(|at| &tables[at]);
        rows.take(most)
            .map(|row| (row.id.as_str(), row.product.as_str()))
            .collect()
    }

    /// An entry and those that were sent with it: they are one for whoever tapped.
    pub fn sent_together(&self, line: &LogLine) -> Vec<&LogLine> {
        let id = line.cell("id");
        let same = |other: &&LogLine| {
            let is_it = other.entry == line.entry;
            is_it || !id.is_empty() && other.cell("id") == id
        };
        self.recent.iter().filter(same).collect()
    }

    /// Are amounts shown in US units?
    pub fn us(&self) -> bool {
        self.shop.tables.shop.us
    }
}

fn built_in_cautions() -> Vec<Caution> {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("data/cautions.toml", pack::CAUTIONS.as_bytes());
    read_cautions(&files, file, &mut problems)
}
