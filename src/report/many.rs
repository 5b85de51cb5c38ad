//! Many shops on one page: the worst first, what stands there by class, and what is common.

use super::table::styled;
use super::view::{Counts, View};
use super::wrap::fill;
use crate::finding::Verdict;
use crate::pack::Severity;
use crate::quantity::{Amount, Exact, Volume, natural};
use crate::text::clean;
use std::collections::BTreeMap;
use std::fmt::Write;
use tabled::builder::Builder;

/// So many shops, and so many rules, are shown one by one.
const MOST_SHOWN: usize = 40;

/// What is kept of one shop when its audit is done.
#[derive(Clone, Debug)]
pub struct ShopLine {
    /// Its folder, as it was given.
    pub folder: String,
    /// Its name.
    pub shop: String,
    /// Findings by verdict.
    pub counts: Counts,
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
    /// Of one audit.
    pub fn of(folder: &str, view: &View<'_>) -> ShopLine {
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
            counts: view.counts,
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
    let mut text = String::new();
    let all = view.shops.len() + view.unread.len();
    let head = format!(
        "{all} shops at the close of {}: {} with a breach of what must be, {} not audited",
        view.on,
        view.shops.iter().filter(|shop| shop.breaches > 0).count(),
        view.unread.len()
    );
    let _ = writeln!(text, "{}", fill(&head, columns, "", ""));
    let caution = "A screening aid, not a certificate: the authority having jurisdiction, the data sheets and a licensed \
                   practitioner come first. Each shop's own report says what to do there.";
    let _ = writeln!(text, "{}\n", fill(caution, columns, "", ""));
    let mut table = Builder::default();
    table.push_record(["shop", "breach", "rags", "unjudged", "first of all"]);
    for shop in view.shops.iter().take(MOST_SHOWN) {
        let first = shop.first.clone().unwrap_or_else(|| "-".into());
        let first: String = first.chars().take(44).collect();
        let name: String = clean(&shop.folder).chars().take(24).collect();
        table.push_record([
            name,
            shop.breaches.to_string(),
            shop.rags.to_string(),
            shop.unjudged.to_string(),
            clean(&first),
        ]);
    }
    text.push_str(&styled(table, columns));
    text.push('\n');
    if view.shops.len() > MOST_SHOWN {
        let _ = writeln!(
            text,
            "and {} shops with less",
            view.shops.len() - MOST_SHOWN
        );
    }
    let totals = view.totals();
    if !totals.is_empty() {
        let _ = writeln!(text, "\nLiquids in all shops, by class");
        for (class, litres) in totals {
            let shown = natural(Amount::Volume(Volume::of(litres)), view.us);
            let _ = writeln!(
                text,
                "{}",
                fill(&clean(&format!("{class}: {shown}")), columns, "  ", "    ")
            );
        }
    }
    let common = view.common();
    if !common.is_empty() {
        let _ = writeln!(text, "\nBreached in more than one shop");
        for (rule, title, shops) in common.into_iter().take(MOST_SHOWN) {
            let words = format!("{shops} shops: {title} [{rule}]");
            let _ = writeln!(text, "{}", fill(&clean(&words), columns, "  ", "    "));
        }
    }
    if !view.unread.is_empty() {
        let _ = writeln!(text, "\nNot audited");
        for (folder, why) in &view.unread {
            let words = format!("{folder}: {why}");
            let _ = writeln!(text, "{}", fill(&clean(&words), columns, "  ", "    "));
        }
    }
    text
}
