//! Many shops on one page: the worst first, what stands there by class, and what is common.

use super::screen::Screen;
use super::view::View;
use crate::finding::Verdict;
use crate::pack::Severity;
use crate::quantity::{Amount, Exact, Volume, natural};
use crate::text::clean;
use std::collections::BTreeMap;

/// So many shops, and so many rules, are shown one by one.
const MOST_SHOWN: usize = 40;

/// What is kept of one shop when its audit is done.
#[derive(Clone, Debug)]
pub struct ShopLine {
    /// Its folder, as it was given.
    pub folder: String,
    /// Its name.
    pub shop: String,
    /// Open breaches of what must be.
    pub breaches: usize,
    /// What must be and cannot be judged.
    pub unjudged: usize,
    /// Open findings about rags.
    pub rags: usize,
    /// The first thing to do.
    pub first: Option<String>,
    /// Litres by pack and class.
    pub classes: Vec<(String, Exact)>,
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
        let must = |verdict| {
            let all = open().filter(|f| f.severity == Severity::Must && f.verdict == verdict);
            all.count()
        };
        let mut broken: BTreeMap<String, String> = BTreeMap::new();
        for finding in open().filter(|f| f.verdict == Verdict::Breach) {
            let rule = format!("{}/{}", finding.pack, finding.rule);
            broken
                .entry(rule)
                .or_insert_with(|| finding.title.to_string());
        }
        let mut classes: BTreeMap<String, Exact> = BTreeMap::new();
        for row in &view.stock {
            let Some(Amount::Volume(volume)) = row.amount else {
                continue;
            };
            for (pack, class) in &row.class {
                let sum = classes.entry(format!("{pack}: {class}")).or_default();
                *sum = sum.plus(volume.base()).unwrap_or(*sum);
            }
        }
        ShopLine {
            folder: folder.to_string(),
            shop: view.shop.clone(),
            breaches: must(Verdict::Breach),
            unjudged: must(Verdict::CannotJudge),
            rags: open().filter(|f| f.topic == "rags").count(),
            first: view
                .first(1)
                .list
                .first()
                .map(|(action, ..)| (*action).to_string()),
            classes: classes.into_iter().collect(),
            broken: broken.into_iter().collect(),
        }
    }

    /// Worst first: breaches, then rags, then what nobody knows.
    fn badness(&self) -> (usize, usize, usize) {
        (self.breaches, self.rags, self.unjudged)
    }
}

/// All shops of one run.
pub struct ManyView {
    /// The day.
    pub on: String,
    /// US units, as most of the shops have.
    pub us: bool,
    /// Those that could be audited, worst first.
    pub shops: Vec<ShopLine>,
    /// Those that could not, with the first line of why.
    pub unread: Vec<(String, String)>,
}

impl ManyView {
    /// In the order of badness, then of folder.
    pub fn new(
        on: String,
        us: bool,
        mut shops: Vec<ShopLine>,
        mut unread: Vec<(String, String)>,
    ) -> ManyView {
        shops.sort_by(|a, b| {
            b.badness()
                .cmp(&a.badness())
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

    /// Litres by pack and class over all shops.
    pub fn totals(&self) -> Vec<(&str, Exact)> {
        let mut all: BTreeMap<&str, Exact> = BTreeMap::new();
        for (class, litres) in self.shops.iter().flat_map(|shop| &shop.classes) {
            let sum = all.entry(class).or_default();
            *sum = sum.plus(*litres).unwrap_or(*sum);
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
        "{} shops at the end of {}: {} break a required rule, {} not audited",
        view.shops.len() + view.unread.len(),
        view.on,
        view.shops.iter().filter(|shop| shop.breaches > 0).count(),
        view.unread.len()
    ));
    screen.line(
        "This is a screening aid, not a certificate. Local codes, data sheets and a licensed professional come first. The \
         report of each shop says what to do.",
    );
    screen.gap();
    let head = ["shop", "over", "rags", "unknown", "do first"];
    let shown = view.shops.iter().take(MOST_SHOWN);
    screen.table(&head, &shown.map(cells).collect::<Vec<_>>());
    if view.shops.len() > MOST_SHOWN {
        let more = view.shops.len() - MOST_SHOWN;
        screen.whole(&format!("and {more} shops with fewer problems"));
    }
    let totals = view.totals().into_iter().map(|(class, litres)| {
        let sum = Amount::Volume(Volume::of(litres));
        format!("{class}: {}", natural(sum, view.us))
    });
    part(&mut screen, "Liquids in all shops, by class", totals);
    let common = view.common().into_iter().take(MOST_SHOWN);
    let common = common.map(|(rule, title, shops)| format!("{shops} shops: {title} [{rule}]"));
    part(&mut screen, "Rules broken in more than one shop", common);
    let unread = view.unread.iter();
    let unread = unread.map(|(folder, why)| format!("{folder}: {why}"));
    part(&mut screen, "Not audited", unread);
    screen.done()
}

/// A shop in the table.
fn cells(shop: &ShopLine) -> Vec<String> {
    let first = shop.first.as_deref().unwrap_or("-");
    vec![
        clean(&shop.folder).chars().take(24).collect(),
        shop.breaches.to_string(),
        shop.rags.to_string(),
        shop.unjudged.to_string(),
        first.chars().take(44).collect(),
    ]
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
