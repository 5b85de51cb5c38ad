//! What every format shows: header, counts, findings in reading order, stock, use by month, cautions.

use super::against::{ActionRow, Against, actions};
use super::air_view::AirView;
use super::cautions::{Caution, meant};
use super::due::{Due, dues};
use super::earlier::{Looked, Tally};
use super::floor::{Floor, floors};
use super::groups::{ClassGroup, groups, totals};
use super::kept::{Kept, kept};
use super::kinds::Kinds;
use super::shelf::{MonthRow, StockRow, month_rows, stock_rows};
use super::year::{ProductYear, years};
use crate::check::Checked;
use crate::finding::{Finding, Verdict};
use crate::pack::{Binds, Pack, Severity};
use crate::quantity::Day;
use crate::record::ShopTables;
use crate::stock::Stock;
use crate::text::{Files, Span};
use crate::trade::Asked;
use foldhash::{HashMap, HashMapExt, HashSet, HashSetExt};

/// An audit, ready to be shown.
pub struct View<'a> {
    /// The day.
    pub on: Day,
    /// The shop's name.
    pub shop: String,
    /// US units?
    pub us: bool,
    /// Whom to ask, and what they said.
    pub authority: Option<String>,
    /// The packs.
    pub packs: Vec<PackView>,
    /// How many findings of each verdict.
    pub counts: Counts,
    /// All findings, most urgent first.
    pub findings: &'a [Finding],
    /// What stands where.
    pub stock: Vec<StockRow>,
    /// What became of each product, month by month.
    pub months: Vec<MonthRow>,
    /// What stands where, by place and class.
    pub groups: Vec<ClassGroup>,
    /// Findings about what stands together, by position.
    pub totals: Vec<usize>,
    /// What ages, by what runs out first.
    pub kept: Vec<Kept>,
    /// Each product over twelve months.
    pub years: Vec<ProductYear>,
    /// The plan of each room.
    pub floors: Vec<Floor>,
    /// The sessions of the last month, worst first.
    pub air: AirView<'a>,
    /// What falls due, by day.
    pub dues: Vec<Due>,
    /// The walk-round of this shop.
    pub round: &'a [Asked<'a>],
    /// This audit against an earlier one.
    pub against: Against,
    /// What somebody undertook to put right.
    pub actions: Vec<ActionRow<'a>>,
    /// The cautions that apply.
    pub cautions: Vec<&'a Caution>,
    /// What else a reader should know: exceptions that met nothing, and the like.
    pub remarks: Vec<String>,
    /// The documents that open findings rest on, each once.
    pub sources: Vec<String>,
    /// Every place that a finding rests on, by its position in `shown`.
    places: HashMap<Span, usize>,
    /// Those places as a reader sees them: `inventory.csv:14`.
    shown: Vec<String>,
}

/// A pack as a reader sees it.
pub struct PackView {
    /// Its name.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Where it is in force.
    pub jurisdiction: String,
    /// Whom it binds, and whether that is this shop.
    pub binds: String,
    /// Its rules are only advice here.
    pub advisory: bool,
    /// How many rules it has.
    pub rules: usize,
}

/// Findings counted.
#[derive(Clone, Copy, Debug, Default)]
pub struct Counts {
    /// By verdict, in the order of [`Verdict::WORDS`].
    pub by_verdict: [usize; 5],
    /// Accepted, and not lapsed.
    pub accepted: usize,
    /// Those of what is met that say only that nothing here is what the rule is about.
    pub about_nothing: usize,
}

impl Counts {
    /// How many of a verdict.
    pub fn of(&self, verdict: Verdict) -> usize {
        let at = Verdict::WORDS
            .iter()
            .position(|(_, v)| *v == verdict)
            .unwrap_or(0);
        self.by_verdict.get(at).copied().unwrap_or(0)
    }

    /// How many hold for something that is here.
    pub fn met(&self) -> usize {
        self.of(Verdict::Meets).saturating_sub(self.about_nothing)
    }

    /// How many of each verdict, by its word.
    pub fn words(&self) -> impl Iterator<Item = (&'static str, usize)> {
        Verdict::WORDS
            .iter()
            .map(|(word, verdict)| (*word, self.of(*verdict)))
    }

    fn count(findings: &[Finding]) -> Counts {
        let mut counts = Counts::default();
        for finding in findings {
            let at = Verdict::WORDS
                .iter()
                .position(|(_, v)| *v == finding.verdict)
                .unwrap_or(0);
            if let Some(count) = counts.by_verdict.get_mut(at) {
                *count += 1;
            }
            counts.accepted += usize::from(finding.is_accepted());
            counts.about_nothing += usize::from(finding.is_about_nothing());
        }
        counts
    }
}

impl View<'_> {
    /// Holds this audit against an earlier one.
    pub fn hold_against(&mut self, looked: Looked) {
        let packs = self.packs.iter().map(|pack| pack.id.as_str()).collect();
        let now = Tally {
            on: self.on.to_string(),
            counts: self
                .counts
                .words()
                .map(|(word, n)| (word.to_string(), n))
                .collect(),
        };
        self.against = Against::of(looked, self.on, &packs, self.findings, now);
    }

    /// `inventory.csv:14`, or the name alone where the file as a whole is meant.
    pub fn place(&self, place: Span) -> &str {
        let at = self.places.get(&place).and_then(|at| self.shown.get(*at));
        at.map_or("", String::as_str)
    }

    /// The rows a finding rests on, each once.
    pub fn places(&self, finding: &Finding) -> Vec<&str> {
        let mut seen = HashSet::new();
        let at = finding.evidence.iter().filter_map(|p| self.places.get(p));
        at.filter(|at| seen.insert(**at))
            .filter_map(|at| self.shown.get(*at))
            .map(String::as_str)
            .collect()
    }

    /// The number of the document a finding rests on.
    pub fn source(&self, finding: &Finding) -> Option<usize> {
        let name = source(finding);
        self.sources
            .iter()
            .position(|s| *s == name)
            .map(|at| at + 1)
    }

    /// Does anything of this weight, not accepted, break a rule or escape judgement?
    pub fn fails_on(&self, severity: Severity) -> bool {
        self.findings.iter().any(|f| {
            f.severity <= severity
                && !f.is_accepted()
                && matches!(f.verdict, Verdict::Breach | Verdict::CannotJudge)
        })
    }
}

/// Makes the view.
pub fn build<'a>(
    tables: &'a ShopTables,
    stock: &Stock,
    audit: &'a Checked<'_>,
    packs: &[&Pack],
    cautions: &'a [Caution],
    files: &'a Files,
) -> View<'a> {
    let mut remarks: Vec<String> = audit
        .idle
        .iter()
        .map(|a| {
            format!(
                "the acceptance of `{}` for `{}` met no finding; take it out of accepted.csv",
                a.rule, a.subject
            )
        })
        .collect();
    if tables.shop.employees.is_none() {
        remarks.push("shop.toml does not say how many people are employed; rules for employers are held to bind".into());
    }
    if tables
        .containers
        .iter()
        .all(|c| c.since.is_some_and(|since| since > stock.on))
        && !tables.containers.is_empty()
    {
        remarks.push(
            "nothing is on record yet on this day: every row of inventory.csv begins later".into(),
        );
    }
    if tables.log.is_none() {
        remarks
            .push("there is no log.csv; the inventory is taken to stand as it was written".into());
    }
    // Finding the lines of a large log takes as long as all the rest.
    std::thread::scope(|scope| {
        let places = scope.spawn(|| places(&audit.findings, files));
        let mut view = without_places(tables, stock, audit, packs, cautions);
        view.remarks = remarks;
        (view.places, view.shown) = places
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        view.hold_against(Looked::default());
        view
    })
}

/// All of a view but for remarks and places.
fn without_places<'a>(
    tables: &'a ShopTables,
    stock: &Stock,
    audit: &'a Checked<'_>,
    packs: &[&Pack],
    cautions: &'a [Caution],
) -> View<'a> {
    let kinds = Kinds::of_packs(packs);
    let shelf = stock_rows(tables, stock, audit);
    let actions = actions(tables, stock.on, &audit.findings);
    let dues = dues(
        tables,
        stock.on,
        &audit.findings,
        &shelf,
        &audit.round,
        &actions,
    );
    View {
        on: stock.on,
        shop: tables.shop.name.clone(),
        us: tables.shop.us,
        authority: authority(tables),
        packs: packs.iter().map(|pack| pack_view(pack, tables)).collect(),
        counts: Counts::count(&audit.findings),
        findings: &audit.findings,
        groups: groups(&shelf),
        totals: totals(&audit.findings, &kinds),
        kept: kept(tables, &audit.findings, &kinds, stock.on),
        years: years(tables, stock),
        floors: floors(tables, stock, packs, &shelf, &audit.findings),
        stock: shelf,
        dues,
        round: &audit.round,
        against: Against::default(),
        actions,
        months: month_rows(tables, stock),
        air: AirView::of(tables, &audit.sessions, stock.on),
        cautions: meant(cautions, tables, stock, &audit.hazards),
        remarks: Vec::new(),
        sources: sources(&audit.findings),
        places: HashMap::new(),
        shown: Vec::new(),
    }
}

/// A finding's document and edition, as the list of sources names it.
fn source(finding: &Finding) -> String {
    let cited = &finding.citation;
    format!("{}, {}", cited.document, cited.edition)
}

fn sources(findings: &[Finding]) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for finding in findings.iter().filter(|f| f.calls()) {
        let name = source(finding);
        if !list.contains(&name) {
            list.push(name);
        }
    }
    list
}

/// Every place that a finding rests on, and how it is shown: two cells of one line are shown alike.
fn places(findings: &[Finding], files: &Files) -> (HashMap<Span, usize>, Vec<String>) {
    let each: HashSet<Span> = findings
        .iter()
        .flat_map(|f| f.evidence.iter().copied())
        .collect();
    let mut list: Vec<Span> = each.into_iter().collect();
    list.sort_unstable();
    let lines = files.lines(&list);
    let mut shown: Vec<String> = Vec::new();
    let mut places = HashMap::with_capacity(list.len());
    let mut known = HashMap::new();
    for (place, line) in list.iter().zip(lines) {
        let at = *known.entry((place.file, line)).or_insert_with(|| {
            let name = files.name(place.file);
            shown.push(line.map_or_else(|| name.to_string(), |line| format!("{name}:{line}")));
            shown.len() - 1
        });
        places.insert(*place, at);
    }
    (places, shown)
}

fn authority(tables: &ShopTables) -> Option<String> {
    let authority = tables.shop.authority.as_ref()?;
    let asked = authority.asked.map_or_else(
        || ", not yet asked".to_string(),
        |day| format!(", asked on {day}"),
    );
    let says = authority
        .says
        .as_ref()
        .map_or_else(String::new, |says| format!(": {says}"));
    Some(format!("{}{asked}{says}", authority.name))
}

fn pack_view(pack: &Pack, tables: &ShopTables) -> PackView {
    let (binds, advisory) = match (
        pack.about.binds,
        tables.shop.employees,
        tables.shop.business,
    ) {
        (Binds::Everyone, _, _) => ("binds everyone", false),
        (Binds::Employers, Some(0), _) => (
            "binds employers; this shop has no employees, so it is advice here",
            true,
        ),
        (Binds::Employers, Some(_), _) => ("binds employers, and so this shop", false),
        (Binds::Employers, None, _) => (
            "binds employers; whether this shop is one is not known",
            false,
        ),
        (Binds::Businesses, _, Some(false)) => {
            ("binds businesses; this is none, so it is advice here", true)
        }
        (Binds::Businesses, _, Some(true)) => ("binds businesses, and so this shop", false),
        (Binds::Businesses, _, None) => {
            ("binds businesses; whether this is one is not known", false)
        }
    };
    PackView {
        id: pack.id.clone(),
        title: pack.about.title.clone(),
        jurisdiction: pack.about.jurisdiction.clone(),
        binds: binds.to_string(),
        advisory,
        rules: pack.rules.len(),
    }
}
