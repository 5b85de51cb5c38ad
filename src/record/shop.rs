//! `shop.toml`: the shop, its packs, and what the local authority said.

use super::row::name_fault;
use crate::pack::document::word;
use crate::pack::{Document, Section, WithSpan};
use crate::quantity::{Amount, Day, Dimension, Exact, Measure, MeasureFault, Moment};
use crate::record::RecordFault;
use crate::text::{CellFault, DateOrder, DecimalMark, Locale, Problem, Problems, Span};

#[derive(Clone, Debug)]
pub struct ShopSettings {
    pub name: String,
    /// US customary units, or metric.
    pub us: bool,
    /// How its spreadsheets write dates and decimals.
    pub locale: Locale,
    /// The packs it is held against: names of built-in ones, or folders.
    pub packs: Vec<WithSpan<String>>,
    /// How many people it employs, if it says.
    pub employees: Option<u32>,
    /// Whether it is a business, if it says.
    pub business: Option<bool>,
    /// Whom to ask about a container, as its label says it.
    pub ask: Option<String>,
    /// Who keeps the shop's records, and where: the binder says it.
    pub keeper: Option<String>,
    /// Where the shop is.
    pub address: Option<String>,
    /// Under which number it is reached.
    pub telephone: Option<String>,
    /// Whether `oz` of a liquid means fluid ounces, if it says.
    pub fluid_ounces: Option<bool>,
    /// What the authority said.
    pub authority: Option<Authority>,
    /// Local limits.
    pub limits: Vec<LocalLimit>,
    /// How much of a product the shop means to have at hand.
    pub targets: Vec<Target>,
    /// What the bench page should know.
    pub bench: BenchSettings,
    pub at: Span,
}

/// What shop.toml says about the bench page.
#[derive(Clone, Debug, Default)]
pub struct BenchSettings {
    /// Its fixed address, which labels carry as a code.
    pub address: Option<String>,
    /// When the shop closes, as a time of the day: minutes after midnight.
    pub closes: Option<u32>,
}

/// How much of a product the shop means to have at hand.
#[derive(Clone, Debug)]
pub struct Target {
    /// The product, as the inventory or products.csv names it.
    pub product: WithSpan<String>,
    /// The least there should be.
    pub amount: Amount,
}

/// Whom the shop asks.
#[derive(Clone, Debug)]
pub struct Authority {
    pub name: String,
    /// The day it was asked.
    pub asked: Option<Day>,
    /// What it said, in short.
    pub says: Option<String>,
}

/// A limit that the local authority gave: it stands beside the one it replaces.
#[derive(Clone, Debug)]
pub struct LocalLimit {
    pub rule: WithSpan<String>,
    pub value: Measure,
    pub by: String,
    /// The day from which it holds.
    pub on: Day,
    pub at: Span,
}

pub fn read_shop(document: &Document<'_>, problems: &mut Problems) -> Option<ShopSettings> {
    let top = document.top("shop.toml");
    let (name, units) = (top.must("name", problems), top.must("units", problems));
    let name = name.filter(|told| well_named(told, problems));
    let us =
        units.and_then(|told| word(&told, "units", &[("us", true), ("metric", false)], problems));
    let locale = read_locale(&top, problems);
    if !top.has("packs") {
        top.missing("packs", problems);
    }
    let packs = top.words("packs", problems);
    let employees = top.number("employees", problems).map(|told| told.value);
    let business = top.truth("business", problems).map(|told| told.value);
    let ounces = top.text("ounces", problems);
    let fluid_ounces = ounces.and_then(|told| {
        let words = [("fluid", true), ("weight", false)];
        crate::pack::document::word(&told, "ounces", &words, problems)
    });
    let mut said = |key| {
        let told = top.text(key, problems).map(|told| told.value);
        told.filter(|text| !text.is_empty())
    };
    let (ask, keeper) = (said("ask"), said("keeper"));
    let (address, telephone) = (said("address"), said("telephone"));
    let authority = top
        .section("authority", problems)
        .and_then(|section| read_authority(section, problems));
    let mut limits = Vec::new();
    for section in top.list("limit", problems) {
        limits.extend(read_limit(section, problems));
    }
    let mut targets: Vec<Target> = Vec::new();
    for section in top.list("target", problems) {
        targets.extend(read_target(section, &targets, problems));
    }
    let bench = top
        .section("bench", problems)
        .map(|section| read_bench(section, problems))
        .unwrap_or_default();
    let at = top.at();
    top.done(problems);
    Some(ShopSettings {
        name: name?.value,
        us: us?,
        locale,
        packs,
        employees,
        business,
        ask,
        keeper,
        address,
        telephone,
        fluid_ounces,
        authority,
        limits,
        targets,
        bench,
        at,
    })
}

/// The columns of a shop's tables that hold days or moments. `by` is a day in actions.csv and a person elsewhere, who is never
/// called like a date.
const DAYS: &[&str] = &[
    "when",
    "written",
    "since",
    "opened",
    "made",
    "best_before",
    "exhaust_measured",
    "sheet_dated",
    "until",
    "by",
    "closed",
    "due",
];
/// The columns that hold numbers.
const NUMBERS: &[&str] = &[
    "amount",
    "capacity",
    "x",
    "y",
    "length",
    "width",
    "height",
    "exhaust",
    "mixing",
    "warmest",
    "made_of",
    "flash_point",
    "boiling_point",
    "density",
    "solids",
    "voc",
    "keeps_sealed",
    "keeps_opened",
    "minutes",
    "expected",
    "found",
];

fn read_locale(top: &Section<'_>, problems: &mut Problems) -> Locale {
    let dates = top.text("dates", problems);
    let decimals = top.text("decimals", problems);
    Locale {
        dates: dates.and_then(|told| word(&told, "dates", &DateOrder::WORDS, problems)),
        decimals: decimals.and_then(|told| word(&told, "decimals", &DecimalMark::WORDS, problems)),
        days: DAYS,
        numbers: NUMBERS,
    }
}

fn read_bench(section: Section<'_>, problems: &mut Problems) -> BenchSettings {
    let address = section.text("address", problems);
    let closes = section.text("closes", problems);
    section.done(problems);
    let mut unfit = |key: &str, told: &WithSpan<String>, wanted: &str| {
        let code = CellFault::Unfit {
            column: key.into(),
            read: told.value.clone(),
            wanted: wanted.into(),
        };
        problems.add(Problem::new(code, told.at));
    };
    let plain = |address: &str| {
        let start = address.starts_with("https://") || address.starts_with("http://");
        start && address.len() < 100 && address.chars().all(|c| c.is_ascii_graphic())
    };
    let address = address.and_then(|told| {
        let fine = plain(&told.value);
        if !fine {
            unfit(
                "address",
                &told,
                "the address of the bench page, such as https://192.168.1.20:8137/",
            );
        }
        fine.then(|| told.value.trim_end_matches('/').to_string())
    });
    let closes = closes.and_then(|told| {
        let minute = Moment::parse(&format!("2000-01-01T{}", told.value)).ok();
        if minute.is_none() {
            unfit("closes", &told, "a time of the day, such as 17:30");
        }
        let midnight = Moment::start_of(minute?.day());
        u32::try_from(minute?.minutes_since(midnight)).ok()
    });
    BenchSettings { address, closes }
}

fn read_target(section: Section<'_>, before: &[Target], problems: &mut Problems) -> Option<Target> {
    let product = section.must("product", problems);
    let told = section.must("amount", problems);
    section.done(problems);
    let (product, told) = (product?, told?);
    let wanted = [Dimension::Volume, Dimension::Mass, Dimension::Pieces];
    let read = Measure::parse(&told.value).and_then(|measure| {
        measure
            .amount()
            .ok_or(MeasureFault::UnitWrong(measure.unit))
    });
    let code = match read {
        Ok(amount) if amount.base() > Exact::ZERO => {
            let first = before.iter().find(|t| t.product.value == product.value);
            let Some(first) = first else {
                return Some(Target { product, amount });
            };
            let code = RecordFault::DuplicateName {
                kind: "target",
                id: product.value,
            };
            problems.add(Problem::between(code, product.at, first.product.at));
            return None;
        }
        Ok(_) => CellFault::NotPositive {
            column: "amount".into(),
            read: told.value,
        },
        Err(fault) => CellFault::Quantity {
            column: "amount".into(),
            read: told.value,
            fault,
            wanted: wanted.to_vec(),
        },
    };
    problems.add(Problem::new(code, told.at));
    None
}

/// A shop's name appears in every report: short, and with nothing in it that cannot be seen.
fn well_named(told: &WithSpan<String>, problems: &mut Problems) -> bool {
    let Some(fault) = name_fault(&told.value) else {
        return true;
    };
    let code = CellFault::NameOdd {
        column: "name".into(),
        read: told.value.clone(),
        fault,
    };
    problems.add(Problem::new(code, told.at));
    false
}

fn read_authority(section: Section<'_>, problems: &mut Problems) -> Option<Authority> {
    let name = section.must("name", problems);
    let asked = section
        .text("asked", problems)
        .and_then(|told| day("asked", &told, problems));
    let says = section.text("says", problems).map(|told| told.value);
    section.done(problems);
    Some(Authority {
        name: name?.value,
        asked,
        says,
    })
}

fn read_limit(section: Section<'_>, problems: &mut Problems) -> Option<LocalLimit> {
    let (rule, value) = (
        section.must("rule", problems),
        section.must("value", problems),
    );
    let (by, on) = (section.must("by", problems), section.must("on", problems));
    let value = value.and_then(|told| match Measure::parse(&told.value) {
        Ok(measure) => Some(measure),
        Err(fault) => {
            let code = CellFault::Quantity {
                column: "value".into(),
                read: told.value,
                fault,
                wanted: Vec::new(),
            };
            problems.add(Problem::new(code, told.at));
            None
        }
    });
    let on = on.and_then(|told| day("on", &told, problems));
    let at = section.at();
    section.done(problems);
    Some(LocalLimit {
        rule: rule?,
        value: value?,
        by: by?.value,
        on: on?,
        at,
    })
}

fn day(key: &str, told: &WithSpan<String>, problems: &mut Problems) -> Option<Day> {
    match Day::parse(&told.value) {
        Ok(day) => Some(day),
        Err(fault) => {
            let code = CellFault::DayWrong {
                column: key.into(),
                read: told.value.clone(),
                fault,
                moment: false,
            };
            problems.add(Problem::new(code, told.at));
            None
        }
    }
}
