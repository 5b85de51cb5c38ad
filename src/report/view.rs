//! What every format shows: header, counts, findings in reading order, stock, use by month, cautions.

use super::against::{ActionRow, Comparison, actions};
use super::air_view::AirView;
use super::cautions::{Caution, meant};
use super::due::{DueItem, due_items};
use super::earlier::{Looked, Tally};
use super::finding_rooms::FindingRooms;
use super::floor::{Floor, floors};
use super::groups::{ClassGroup, groups};
use super::kept::{AgingRow, aging};
use super::shelf::{MonthRow, StockRow, month_rows, stock_rows};
use super::words::{ActionList, FindingWords, Wording, action_list, date};
use super::year::{ProductYear, years};
use crate::audit::Audit;
use crate::finding::{Finding, Subject, Verdict};
use crate::pack::{Binds, Pack};
use crate::parallel::both;
use crate::quantity::{Day, Period};
use crate::record::ShopTables;
use crate::text::{Files, Span, shell_word};
use crate::trade::Asked;
use foldhash::{HashMap, HashMapExt, HashSet, HashSetExt};

/// How far ahead reports list due dates. The calendar has the rest.
const AHEAD: Period = Period::Months(3);
/// The most due dates in a report.
const MOST_DUE: usize = 30;

/// An audit, ready to be shown.
pub struct View<'a> {
    pub on: Day,
    pub shop: String,
    /// US units?
    pub us: bool,
    /// Whom to ask, and what they said.
    pub authority: Option<String>,
    pub packs: Vec<PackView>,
    /// How many findings of each verdict.
    pub counts: Counts,
    /// All findings, most urgent first.
    pub findings: &'a [Finding],
    /// What to do, in sentences, the most dangerous first.
    pub to_do: ActionList,
    /// Puts findings into sentences.
    wording: Wording<'a>,
    /// The page is to be printed as a whole, and not only its first sheet.
    pub full: bool,
    /// What is stored where.
    pub stock: Vec<StockRow>,
    /// What became of each product, month by month.
    pub months: Vec<MonthRow>,
    /// What is stored where, by place and class.
    pub groups: Vec<ClassGroup>,
    /// What ages, by what runs out first.
    pub kept: Vec<AgingRow<'a>>,
    /// Each product over twelve months.
    pub years: Vec<ProductYear>,
    /// The plan of each room.
    pub floors: Vec<Floor>,
    /// The rooms of each finding.
    rooms: FindingRooms,
    /// The sessions of the last month, worst first.
    pub air: AirView<'a>,
    /// What is due, by day.
    pub dues: Vec<DueItem>,
    /// The round of this shop.
    pub round: &'a [Asked<'a>],
    /// This audit against an earlier one.
    pub against: Comparison,
    /// Corrective actions.
    pub actions: Vec<ActionRow<'a>>,
    /// The cautions that apply.
    pub cautions: Vec<&'a Caution>,
    /// The data sheets on file: each product with the path of its sheet in the shop folder.
    pub sheets: Vec<(String, String)>,
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
    pub id: String,
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
    /// Findings within the limit whose rule does not apply to anything in the shop.
    pub about_nothing: usize,
}

impl Counts {
    /// How many of a verdict.
    pub fn count(&self, verdict: Verdict) -> usize {
        let counts = Verdict::WORDS.iter().zip(self.by_verdict);
        counts
            .filter(|((_, own), _)| *own == verdict)
            .map(|(_, count)| count)
            .sum()
    }

    /// The count that people see: a rule that does not apply is not counted as within the limit.
    pub fn shown(&self, verdict: Verdict) -> usize {
        let about_nothing = match verdict {
            Verdict::Meets => self.about_nothing,
            Verdict::Breach | Verdict::CannotJudge | Verdict::Near | Verdict::NotInForce => 0,
        };
        self.count(verdict).saturating_sub(about_nothing)
    }

    /// How many of each verdict, by its word.
    pub fn words(&self) -> impl Iterator<Item = (&'static str, usize)> {
        let words = Verdict::WORDS.iter().zip(self.by_verdict);
        words.map(|((word, _), count)| (*word, count))
    }

    fn new(findings: &[Finding]) -> Counts {
        let count = |wanted: &dyn Fn(&Finding) -> bool| {
            findings.iter().filter(|finding| wanted(finding)).count()
        };
        Counts {
            by_verdict: Verdict::WORDS.map(|(_, verdict)| count(&|f| f.verdict == verdict)),
            accepted: count(&Finding::is_accepted),
            about_nothing: count(&Finding::does_not_apply),
        }
    }
}

impl<'a> View<'a> {
    /// Of an audit, compared with no earlier one.
    pub fn new(audit: &'a Audit<'a>, cautions: &'a [Caution]) -> View<'a> {
        // Finding the lines of a large log takes as long as all the rest.
        let find = || places(audit.findings(), &audit.shop.files);
        let ((places, shown), mut view) = both(find, || without_places(audit, cautions));
        (view.places, view.shown) = (places, shown);
        view.hold_against(Looked::default());
        view
    }
}

impl View<'_> {
    /// Holds this audit against an earlier one.
    pub fn hold_against(&mut self, looked: Looked) {
        let packs = self.packs.iter().map(|pack| pack.id.as_str()).collect();
        let now = Tally {
            on: self.on.to_string(),
            counts: {
                let words = self.counts.words();
                words
                    .map(|(word, count)| (word.to_string(), count))
                    .collect()
            },
        };
        self.against = Comparison::new(looked, &packs, self.findings, (self.on, now));
    }

    /// A finding in sentences.
    pub fn words(&self, finding: &Finding) -> FindingWords {
        self.wording.finding(finding)
    }

    /// What was found and the limit, in the unit of the shop.
    pub fn pair(&self, finding: &Finding) -> Option<(String, String)> {
        self.wording.pair(finding)
    }

    /// The rooms that some findings about these things belong to, each once.
    pub fn rooms_of(&self, subjects: &[&Subject], findings: &[usize]) -> Vec<String> {
        self.rooms.of(subjects, findings)
    }

    /// What is overdue or due within three months, by day.
    pub fn due_soon(&self) -> &[DueItem] {
        let until = self.on.plus(AHEAD);
        let soon = self.dues.partition_point(|due| due.day <= until);
        self.dues.get(..soon.min(MOST_DUE)).unwrap_or_default()
    }

    /// The findings of a topic that call for something.
    pub fn open_of(&self, topic: &str) -> impl Iterator<Item = &Finding> {
        let mine = self.findings.iter();
        mine.filter(move |finding| finding.rule.topic == topic && finding.calls())
    }

    /// The rows a finding rests on, each once.
    pub fn places(&self, finding: &Finding) -> Vec<&str> {
        let rows = finding.evidence.iter();
        let mut rows: Vec<usize> = rows.filter_map(|p| self.places.get(p).copied()).collect();
        if rows.len() > 1 {
            let mut seen = HashSet::new();
            rows.retain(|row| seen.insert(*row));
        }
        let shown = rows.iter().filter_map(|row| self.shown.get(*row));
        shown.map(String::as_str).collect()
    }

    /// The number of the document a finding rests on.
    pub fn source(&self, finding: &Finding) -> Option<usize> {
        let name = source(finding);
        self.sources
            .iter()
            .position(|s| *s == name)
            .map(|at| at + 1)
    }
}

/// All of a view but for places.
fn without_places<'a>(audit: &'a Audit<'a>, cautions: &'a [Caution]) -> View<'a> {
    let (tables, stock, checked) = (&audit.shop.tables, &audit.stock, &audit.checked);
    let findings = audit.findings();
    let packs: Vec<&Pack> = audit.shop.packs().collect();
    let lives = audit.shop.shelf_lives(stock);
    let shelf = stock_rows(tables, stock, checked, &lives);
    let actions = actions(tables, stock.on, findings);
    let floors = floors(tables, stock, &packs, findings);
    View {
        on: stock.on,
        shop: tables.shop.name.clone(),
        us: tables.shop.us,
        authority: authority(tables),
        packs: packs.iter().map(|pack| pack_view(pack, tables)).collect(),
        counts: Counts::new(findings),
        findings,
        to_do: action_list(audit),
        wording: Wording::of_audit(audit),
        full: false,
        groups: groups(&shelf),
        kept: aging(tables, findings, stock.on),
        years: years(tables, stock),
        rooms: FindingRooms::new(&floors, &shelf),
        floors,
        dues: due_items(audit, &actions),
        stock: shelf,
        round: &checked.round,
        against: Comparison::default(),
        actions,
        months: month_rows(tables, stock),
        air: AirView::new(tables, &checked.sessions, stock.on),
        cautions: meant(cautions, tables, stock, &checked.hazards),
        remarks: remarks(audit),
        sheets: sheets(audit),
        sources: sources(findings),
        places: HashMap::new(),
        shown: Vec::new(),
    }
}

fn sheets(audit: &Audit<'_>) -> Vec<(String, String)> {
    let products = audit.shop.tables.products.iter();
    let there = products.filter(|product| product.sheet_found != Some(false));
    there
        .filter_map(|product| Some((product.id.clone(), product.sheet.clone()?)))
        .collect()
}

fn remarks(audit: &Audit<'_>) -> Vec<String> {
    let (tables, on) = (&audit.shop.tables, audit.stock.on);
    let idle = audit.checked.idle.iter().map(|accepted| {
        format!(
            "The acceptance of {0} for {1} matches no finding. Withdraw it: `sandarac log accept {2} {3} --withdraw`.",
            accepted.rule,
            accepted.subject,
            shell_word(&accepted.rule),
            shell_word(&accepted.subject)
        )
    });
    let begins_later = tables
        .containers
        .iter()
        .all(|c| c.since.is_some_and(|since| since > on));
    let others = [
        (
            tables.shop.employees.is_none(),
            "Record how many people you employ: `sandarac log record shop employees 2`. Until then, rules for employers are taken as binding.",
        ),
        (
            begins_later && !tables.containers.is_empty(),
            "Nothing is on record yet for this day. Every row of inventory.csv begins later.",
        ),
        (
            tables.log.is_none(),
            "There is no log.csv, so the inventory is used as it was recorded.",
        ),
    ];
    let others = others.into_iter().filter(|(is, _)| *is);
    idle.chain(others.map(|(_, words)| words.to_string()))
        .collect()
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
            shown.push(files.row_with(place.file, line));
            shown.len() - 1
        });
        places.insert(*place, at);
    }
    (places, shown)
}

fn authority(tables: &ShopTables) -> Option<String> {
    let authority = tables.shop.authority.as_ref()?;
    let asked = match authority.asked {
        Some(day) => format!(", asked on {}", date(day)),
        None => ", not yet asked".to_string(),
    };
    let says = authority.says.as_ref().map(|says| format!(": {says}"));
    Some(format!(
        "{}{asked}{}",
        authority.name,
        says.unwrap_or_default()
    ))
}

fn pack_view(pack: &Pack, tables: &ShopTables) -> PackView {
    let shop = &tables.shop;
    let (binds, advisory) = match (pack.about.binds, shop.employees, shop.business) {
        (Binds::Everyone, _, _) => ("everyone", false),
        (Binds::Employers, Some(0), _) => (
            "employers. Your shop has no employees, so it is only advice",
            true,
        ),
        (Binds::Employers, Some(_), _) => ("employers, so your shop", false),
        (Binds::Employers, None, _) => (
            "employers. Whether your shop employs people is unknown",
            false,
        ),
        (Binds::Businesses, _, Some(false)) => (
            "businesses. Your shop is not one, so it is only advice",
            true,
        ),
        (Binds::Businesses, _, Some(true)) => ("businesses, so your shop", false),
        (Binds::Businesses, _, None) => ("businesses. Whether your shop is one is unknown", false),
    };
    PackView {
        id: pack.id.clone(),
        title: pack.about.title.clone(),
        jurisdiction: pack.about.jurisdiction.clone(),
        binds: format!("binds {binds}"),
        advisory,
        rules: pack.rules.len(),
    }
}
