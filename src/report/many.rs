//! Many shops on one page: the worst first, what is there by class, and what is common.

use super::screen::Screen;
use super::view::{Counts, View};
use super::words::{Rank, date, rank};
use crate::finding::{Detail, Finding, RagsAre, Verdict};
use crate::quantity::{Amount, Day, Exact, Volume, natural};
use crate::text::clean;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// So many shops, and so many rules, are shown one by one.
const MOST_SHOWN: usize = 40;

/// What is kept of one shop when its audit is done.
#[derive(Clone, Debug)]
pub struct ShopLine {
    /// Its folder, as it was given.
    pub folder: String,
    pub shop: String,
    /// The findings counted, as its own reports count them.
    pub counts: Counts,
    /// Things to do at once.
    pub now: usize,
    /// Findings about rags that are loose or missing.
    pub rags: usize,
    /// How dangerous the worst is of what is over a limit.
    worst: Option<Rank>,
    pub headline: String,
    /// The first thing to do.
    pub first: Option<String>,
    /// Litres by pack and class; `None` where they have too many digits to be added up.
    pub classes: Vec<(String, Option<Exact>)>,
    /// Rules breached, as `pack/rule`, with their titles, each once.
    pub broken: Vec<(String, String)>,
}

impl ShopLine {
    /// What there is to keep of one audit.
    pub fn new(folder: &str, view: &View<'_>) -> ShopLine {
        let open = || {
            view.findings
                .iter()
                .filter(|f| f.calls() && !f.is_accepted())
        };
        let mut broken: BTreeMap<String, String> = BTreeMap::new();
        for finding in open().filter(|f| f.verdict == Verdict::Breach) {
            let rule = format!("{}/{}", finding.rule.pack, finding.rule.id);
            broken
                .entry(rule)
                .or_insert_with(|| finding.rule.title.to_string());
        }
        let mut classes: BTreeMap<String, Option<Exact>> = BTreeMap::new();
        for row in &view.stock {
            let Some(Amount::Volume(volume)) = row.amount else {
                continue;
            };
            for (pack, class) in &row.class {
                let sum = classes.entry(format!("{pack}: {class}"));
                let sum = sum.or_insert(Some(Exact::ZERO));
                *sum = sum.and_then(|sum| sum.plus(volume.base()).ok());
            }
        }
        let parts = view.to_do.parts();
        let first = parts.iter().flat_map(|(_, lines)| lines.iter()).next();
        ShopLine {
            folder: folder.to_string(),
            shop: view.shop.clone(),
            counts: view.counts,
            now: view.to_do.now.len(),
            worst: open()
                .filter(|f| f.verdict == Verdict::Breach)
                .map(|f| rank(f, 0))
                .min(),
            rags: open().filter(|finding| is_loose_rag(finding)).count(),
            headline: view.to_do.headline.clone(),
            first: first.map(|line| line.text.clone()),
            classes: classes.into_iter().collect(),
            broken: broken.into_iter().collect(),
        }
    }

    /// How many of a verdict.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.counts.shown(verdict)
    }

    /// By danger and not by number: the worst that is over a limit, and only between equals how much there is. The smallest
    /// comes first.
    fn danger(&self) -> (bool, Option<Rank>, Reverse<[usize; 3]>) {
        let count = |verdict| self.count(verdict);
        (
            self.worst.is_none(),
            self.worst,
            Reverse([
                self.now,
                count(Verdict::Breach),
                count(Verdict::CannotJudge),
            ]),
        )
    }
}

/// Rags that can catch fire where they are, or that are missing.
fn is_loose_rag(finding: &Finding) -> bool {
    matches!(
        finding.detail,
        Detail::Rags {
            how: RagsAre::LooseSelfHeating,
            ..
        } | Detail::RagsMissing { .. }
    )
}

/// All shops of one run.
pub struct ManyView {
    pub on: Day,
    /// US units, as most of the shops have.
    pub us: bool,
    /// Those that could be audited, worst first.
    pub shops: Vec<ShopLine>,
    /// Those that could not, with the first line of why.
    pub unread: Vec<(String, String)>,
}

impl ManyView {
    /// The most dangerous first, then by folder.
    pub fn new(
        on: Day,
        us: bool,
        mut shops: Vec<ShopLine>,
        mut unread: Vec<(String, String)>,
    ) -> ManyView {
        shops.sort_by(|a, b| {
            a.danger()
                .cmp(&b.danger())
                .then_with(|| a.folder.cmp(&b.folder))
        });
        unread.sort();
        ManyView {
            on,
            us,
            shops,
            unread,
        }
    }

    /// A total as it is shown.
    pub fn volume(&self, litres: Option<Exact>) -> String {
        let shown = |litres| natural(Amount::Volume(Volume::from_base(litres)), self.us);
        litres.map_or_else(|| "unknown".to_string(), shown)
    }

    /// Litres by pack and class over all shops; `None` where they have too many digits to be added up.
    pub fn totals(&self) -> Vec<(&str, Option<Exact>)> {
        let mut all: BTreeMap<&str, Option<Exact>> = BTreeMap::new();
        for (class, litres) in self.shops.iter().flat_map(|shop| &shop.classes) {
            let sum = all.entry(class).or_insert(Some(Exact::ZERO));
            *sum = sum.zip(*litres).and_then(|(sum, more)| sum.plus(more).ok());
        }
        all.into_iter().collect()
    }

    /// Rules breached in more than one shop, the commonest first: rule, title, shops.
    pub fn common(&self) -> Vec<(&str, &str, usize)> {
        let mut all: BTreeMap<&str, (&str, usize)> = BTreeMap::new();
        for (rule, title) in self.shops.iter().flat_map(|shop| &shop.broken) {
            all.entry(rule).or_insert((title, 0)).1 += 1;
        }
        let mut list: Vec<_> = all
            .into_iter()
            .filter(|(_, (_, shops))| *shops > 1)
            .map(|(rule, (title, shops))| (rule, title, shops))
            .collect();
        list.sort_by(|a, b| b.2.cmp(&a.2).then_with(|| a.0.cmp(b.0)));
        list
    }
}

/// The summary on the screen.
pub fn many(view: &ManyView, columns: usize) -> String {
    let mut screen = Screen::new(columns);
    screen.line(format!(
        "{} shops at the end of {}: {} over a limit, {} not audited",
        view.shops.len() + view.unread.len(),
        view.shown_day(),
        view.shops
            .iter()
            .filter(|shop| shop.count(Verdict::Breach) > 0)
            .count(),
        view.unread.len()
    ));
    screen.line(
        "This is a screening aid, not a certificate. Local codes, data sheets and a licensed professional come first. The \
         report of each shop says what to do.",
    );
    screen.gap();
    let head = ["shop", "now", "over", "unknown", "close"];
    let shown = view.shops.iter().take(MOST_SHOWN);
    screen.table(&head, &shown.map(cells).collect::<Vec<_>>());
    if view.shops.len() > MOST_SHOWN {
        let more = view.shops.len() - MOST_SHOWN;
        screen.whole(&format!("and {more} shops that are less dangerous"));
    }
    let first = view.shops.iter().take(MOST_SHOWN);
    let first = first.filter_map(|shop| Some(format!("{}: {}", shop.folder, shop.first.as_ref()?)));
    part(&mut screen, "What to do first", first);
    let totals = view.totals().into_iter();
    let totals = totals.map(|(class, litres)| format!("{class}: {}", view.volume(litres)));
    part(&mut screen, "Liquids in all shops, by class", totals);
    let common = view.common().into_iter().take(MOST_SHOWN);
    let common = common.map(|(rule, title, shops)| format!("{shops} shops: {title} [{rule}]"));
    part(&mut screen, "Over the limit in more than one shop", common);
    let unread = view.unread.iter();
    let unread = unread.map(|(folder, why)| format!("{folder}: {why}"));
    part(&mut screen, "Not audited", unread);
    screen.done()
}

/// A shop in the table.
fn cells(shop: &ShopLine) -> Vec<String> {
    vec![
        clean(&shop.folder).chars().take(24).collect(),
        shop.now.to_string(),
        shop.count(Verdict::Breach).to_string(),
        shop.count(Verdict::CannotJudge).to_string(),
        shop.count(Verdict::Near).to_string(),
    ]
}

impl ManyView {
    /// The day for people.
    pub(super) fn shown_day(&self) -> String {
        date(self.on)
    }
}

/// A heading and its lines, where there are any.
fn part(screen: &mut Screen, heading: &str, lines: impl Iterator<Item = String>) {
    for (at, line) in lines.enumerate() {
        if at == 0 {
            screen.whole(&format!("\n{heading}"));
        }
        screen.indented(2, 4, line);
    }
}
