//! The same shop written differently is the same shop; and more of what is there never makes anything better.

use crate::few;
use proptest::collection::vec;
use proptest::prelude::{
    Just, Strategy, TestCaseError, any, prop_assert, prop_assert_eq, prop_oneof, proptest,
};
use proptest::sample::{Index, select};
use sandarac::audit::Shop;
use sandarac::finding::{Finding, Verdict};
use sandarac::pack::{Pack, load_built_in};
use sandarac::quantity::Day;
use sandarac::text::{Files, Problems};
use std::collections::BTreeMap;
use std::sync::OnceLock;

const SETTINGS: &str = "name = \"t\"\nunits = \"us\"\npacks = []\nemployees = 3\nbusiness = true\n";
const ROOMS: &str = "room,use,length,width,height,level,sprinklered,exhaust,mixing\n\
    one,finishing,5 m,4 m,3 m,ground,no,200 m3/h,3\ntwo,finishing,6 m,5 m,3 m,basement,no,,\n";
const PLACES: &str = "place,room,kind,rated,capacity,x,y\nbench,one,bench,,,1 m,1 m\n\
    cabinet,one,cabinet,yes,30 gal,4 m,1 m\nshelf,two,shelf,,,1 m,2 m\nwindow,two,window,,,3 m,2 m\n";
const FIXTURES: &str = "fixture,room,kind,rating,x,y\nflame,one,flame,,2 m,2 m\n\
    ext,one,extinguisher,2A:10B:C,4 m,3 m\ndoor,two,exit,,5 m,1 m\n";
const PRODUCTS: [&str; 7] = [
    "acetone",
    "denatured alcohol",
    "mineral spirits",
    "boiled linseed oil",
    "shellac 2 lb cut",
    "household ammonia",
    "of unknown kind",
];

/// One container: product, vessel, place, and thousandths of a gallon.
#[derive(Clone, Debug)]
struct Can {
    product: &'static str,
    vessel: &'static str,
    place: &'static str,
    gallons: u32,
}

/// One use: which container, on which minute of October, hundredths of a fluid ounce, even minutes of work, and by whom.
#[derive(Clone, Debug)]
struct Used {
    can: Index,
    at: u32,
    ounces: u32,
    minutes: Option<u32>,
    by: &'static str,
}

#[derive(Clone, Debug)]
struct Made {
    cans: Vec<Can>,
    uses: Vec<Used>,
}

fn made() -> impl Strategy<Value = Made> {
    let can = (
        select(&PRODUCTS[..]),
        select(vec!["metal", "glass", "safety-can", "drum"]),
        select(vec!["bench", "cabinet", "shelf", "window", "one", ""]),
        prop_oneof![1_u32..2_000, 2_000_u32..70_000],
    );
    let can = can.prop_map(|(product, vessel, place, gallons)| Can {
        product,
        vessel,
        place,
        gallons,
    });
    let minutes = prop_oneof![
        1 => Just(None),
        3 => (1_u32..120).prop_map(|half| Some(2 * half)),
    ];
    let used = (any::<Index>(), 0_u32..3, 0_u32..1_000, 1_u32..400, minutes);
    let used = (used, select(vec!["", "Ann", "Bob"]));
    let used = used.prop_map(|((can, day, minute, ounces, minutes), by)| Used {
        can,
        at: (20 + day) * 1440 + 360 + minute,
        ounces: 2 * ounces,
        minutes,
        by,
    });
    (vec(can, 1..6), vec(used, 0..6)).prop_map(|(cans, uses)| {
        // Each use in a minute of its own.
        let mut uses: Vec<Used> = uses;
        uses.sort_by_key(|used| used.at);
        uses.dedup_by_key(|used| used.at);
        Made { cans, uses }
    })
}

/// A number of so many decimals.
fn decimal(number: u32, behind: usize) -> String {
    let tens = 10_u32.pow(u32::try_from(behind).unwrap());
    format!("{}.{:0behind$}", number / tens, number % tens)
}

type Rows = Vec<Vec<String>>;

fn inventory(made: &Made) -> Rows {
    let head = "container,product,vessel,capacity,place,since,amount,opened,labelled";
    let mut rows: Rows = vec![head.split(',').map(str::to_string).collect()];
    for (at, can) in made.cans.iter().enumerate() {
        let gallons = format!("{} gal", decimal(can.gallons, 3));
        rows.push(vec![
            format!("C-{at}"),
            can.product.into(),
            can.vessel.into(),
            "80 gal".into(),
            can.place.into(),
            "2026-10-01".into(),
            gallons,
            "2026-10-02".into(),
            "yes".into(),
        ]);
    }
    rows
}

fn when(minute: u32) -> String {
    let (day, rest) = (minute / 1440, minute % 1440);
    format!("2026-10-{day:02}T{:02}:{:02}", rest / 60, rest % 60)
}

fn log(made: &Made) -> Rows {
    let head = "entry,when,what,container,amount,minutes,by";
    let mut rows: Rows = vec![head.split(',').map(str::to_string).collect()];
    for (at, used) in made.uses.iter().enumerate() {
        let can = used.can.index(made.cans.len());
        // A can with less than half a gallon might not hold what is taken.
        if made.cans[can].gallons < 500 {
            continue;
        }
        rows.push(vec![
            format!("{at}"),
            when(used.at),
            "use".into(),
            format!("C-{can}"),
            format!("{} fl oz", decimal(used.ounces, 2)),
            used.minutes.map_or_else(String::new, |m| m.to_string()),
            used.by.into(),
        ]);
    }
    rows
}

fn text(rows: &Rows) -> String {
    rows.iter().map(|row| row.join(",") + "\n").collect()
}

fn packs() -> Vec<Pack> {
    static PACKS: OnceLock<Vec<Pack>> = OnceLock::new();
    let loaded = PACKS.get_or_init(|| {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        ["us-workplace", "us-fire-code", "trade"]
            .into_iter()
            .map(|id| load_built_in(id, &mut files, &mut problems).unwrap())
            .collect()
    });
    loaded.clone()
}

/// The findings of a shop: pack, rule, subject, verdict, what was observed, topic.
type Found = Vec<(String, String, String, Verdict, String, String)>;

fn found(inventory: &Rows, log: &Rows) -> Result<Found, TestCaseError> {
    found_in(&[
        ("rooms.csv", ROOMS.to_string()),
        ("places.csv", PLACES.to_string()),
        ("fixtures.csv", FIXTURES.to_string()),
        ("inventory.csv", text(inventory)),
        ("log.csv", text(log)),
    ])
}

fn found_in(tables: &[(&str, String)]) -> Result<Found, TestCaseError> {
    let mut texts: Vec<(&str, &[u8])> = vec![("shop.toml", SETTINGS.as_bytes())];
    texts.extend(tables.iter().map(|(name, text)| (*name, text.as_bytes())));
    let refused = |not| TestCaseError::fail(format!("{not:?}\n{tables:?}"));
    let shop = Shop::from_texts_with(&texts, packs()).map_err(refused)?;
    let audit = shop
        .audit(Day::parse("2026-10-31").unwrap())
        .map_err(refused)?;
    let row = |f: &Finding| {
        (
            f.rule.pack.to_string(),
            f.rule.id.to_string(),
            format!("{} {}", f.subject.kind.word(), f.subject.id),
            f.verdict,
            f.observed.clone(),
            f.rule.topic.to_string(),
        )
    };
    let mut list: Found = audit.findings().iter().map(row).collect();
    list.sort();
    Ok(list)
}

/// The same without what is worded by the order of the rows.
fn verdicts(found: &Found) -> Vec<(String, String, String, Verdict)> {
    let mut list: Vec<_> = found
        .iter()
        .map(|(pack, rule, subject, verdict, ..)| {
            (pack.clone(), rule.clone(), subject.clone(), *verdict)
        })
        .collect();
    list.sort();
    list
}

/// How bad each rule is at its worst; of some topics only, if any are named.
fn worst(found: &Found, topics: &[&str]) -> BTreeMap<(String, String), u8> {
    let mut worst = BTreeMap::new();
    for (pack, rule, _, verdict, _, topic) in found {
        if !topics.is_empty() && !topics.contains(&topic.as_str()) {
            continue;
        }
        let badness = match verdict {
            Verdict::Breach => 3,
            Verdict::CannotJudge => 2,
            Verdict::Near => 1,
            Verdict::Meets | Verdict::NotInForce => 0,
        };
        let known: &mut u8 = worst.entry((pack.clone(), rule.clone())).or_insert(0);
        *known = (*known).max(badness);
    }
    worst
}

fn no_better(before: &Found, after: &Found, topics: &[&str]) -> Result<(), TestCaseError> {
    let (before, after) = (worst(before, topics), worst(after, topics));
    for (rule, was) in before {
        let is = after.get(&rule).copied().unwrap_or(0);
        prop_assert!(is >= was, "{rule:?} went from {was} to {is}");
    }
    Ok(())
}

/// Rows in another order, the head first.
fn shuffled(rows: &Rows, keys: &[u32]) -> Rows {
    let mut order: Vec<usize> = (1..rows.len()).collect();
    order.sort_by_key(|at| keys.get(at % keys.len().max(1)).map(|key| (*key, *at)));
    let rest = order.into_iter().map(|at| rows[at].clone());
    std::iter::once(rows[0].clone()).chain(rest).collect()
}

/// Columns in another order.
fn turned(rows: &Rows, by: usize) -> Rows {
    let turn = |row: &Vec<String>| {
        let mut row = row.clone();
        let by = by % row.len();
        row.rotate_left(by);
        row
    };
    rows.iter().map(turn).collect()
}

/// The amounts of a column in another unit.
fn exchanged(rows: &Rows, column: &str, scale: u64, [from, to]: [&str; 2]) -> Rows {
    let at = rows[0].iter().position(|head| head == column).unwrap();
    let mut rows = rows.clone();
    for row in rows.iter_mut().skip(1) {
        let Some(number) = row[at].strip_suffix(from) else {
            continue;
        };
        let (whole, behind) = number.trim().split_once('.').unwrap();
        let tens = 10_u64.pow(u32::try_from(behind.len()).unwrap());
        let parts: u64 = format!("{whole}{behind}").parse::<u64>().unwrap() * scale;
        row[at] = format!(
            "{}.{:0width$} {to}",
            parts / tens,
            parts % tens,
            width = behind.len()
        );
    }
    rows
}

proptest! {
    #![proptest_config(few(24))]

    /// Entries of different minutes may stand in any order, and so may containers.
    #[test]
    fn the_order_of_rows_says_nothing(made in made(), keys in vec(any::<u32>(), 1..9)) {
        let (inventory, log) = (inventory(&made), log(&made));
        let as_written = found(&inventory, &log)?;
        prop_assert_eq!(&as_written, &found(&inventory, &shuffled(&log, &keys))?);
        let moved = found(&shuffled(&inventory, &keys), &log)?;
        prop_assert_eq!(verdicts(&as_written), verdicts(&moved));
    }

    /// Columns go by their names.
    #[test]
    fn the_order_of_columns_says_nothing(made in made(), by in 1_usize..9) {
        let (inventory, log) = (inventory(&made), log(&made));
        let as_written = found(&inventory, &log)?;
        prop_assert_eq!(&as_written, &found(&turned(&inventory, by), &turned(&log, by))?);
    }

    /// A box of sandpaper changes nothing of what else is there.
    #[test]
    fn what_is_harmless_changes_nothing(made in made()) {
        let (inventory, log) = (inventory(&made), log(&made));
        let mut with = inventory.clone();
        let row = "P-1,abrasive paper,box,100 pcs,bench,2026-10-01,50 pcs,2026-10-02,yes";
        with.push(row.split(',').map(str::to_string).collect());
        let others = |found: Found| -> Found {
            found.into_iter().filter(|row| !row.2.contains("P-1")).collect()
        };
        let (before, after) = (others(found(&inventory, &log)?), others(found(&with, &log)?));
        prop_assert_eq!(verdicts(&before), verdicts(&after));
    }

    /// A gallon is four quarts, and a fluid ounce is two tablespoons.
    #[test]
    fn units_may_be_exchanged(made in made()) {
        let (inventory, log) = (inventory(&made), log(&made));
        let quarts = exchanged(&inventory, "amount", 4, ["gal", "qt"]);
        let spoons = exchanged(&log, "amount", 2, ["fl oz", "tbsp"]);
        prop_assert_eq!(found(&inventory, &log)?, found(&quarts, &spoons)?);
    }

    /// A use is the same as its two halves, one after the other.
    #[test]
    fn a_use_may_be_split_into_halves(made in made()) {
        let (inventory, log) = (inventory(&made), log(&made));
        let mut halves: Rows = vec![log[0].clone()];
        for row in &log[1..] {
            let Ok(minutes) = row[5].parse::<u32>() else {
                halves.push(row.clone());
                continue;
            };
            let at = made.uses[row[0].parse::<usize>().unwrap()].at;
            let ounces = made.uses[row[0].parse::<usize>().unwrap()].ounces / 2;
            for half in 0..2 {
                let mut part = row.clone();
                part[0] = format!("{}-{half}", row[0]);
                part[1] = when(at + half * minutes / 2);
                part[4] = format!("{} fl oz", decimal(ounces, 2));
                part[5] = (minutes / 2).to_string();
                halves.push(part);
            }
        }
        let (whole, split) = (found(&inventory, &log)?, found(&inventory, &halves)?);
        let gaps = |found: &Found| -> Vec<_> {
            verdicts(found).into_iter().filter(|row| row.3 != Verdict::CannotJudge).collect()
        };
        prop_assert_eq!(gaps(&whole), gaps(&split));
    }

    /// More of a product in its container, or another container of it beside, never makes a rule better.
    #[test]
    fn more_of_the_same_never_improves(made in made(), which in any::<Index>(), more in 1_u32..5_000) {
        let before = found(&inventory(&made), &log(&made))?;
        let mut fuller = made.clone();
        let at = which.index(made.cans.len());
        fuller.cans[at].gallons += more;
        let log = log(&made);
        no_better(&before, &found(&inventory(&fuller), &log)?, &[])?;
        let mut another = made.clone();
        another.cans.push(Can { gallons: more, ..made.cans[at].clone() });
        no_better(&before, &found(&inventory(&another), &log)?, &[])?;
    }

    /// More used in the same minutes never makes the air better.
    #[test]
    fn more_used_never_clears_the_air(made in made(), which in any::<Index>(), times in 2_u32..40) {
        if made.uses.is_empty() {
            return Ok(());
        }
        let before = found(&inventory(&made), &log(&made))?;
        let mut more = made.clone();
        let at = which.index(made.uses.len());
        more.uses[at].ounces *= times;
        // Every can is large enough for it.
        let large = |made: &Made| {
            let mut made = made.clone();
            made.cans.iter_mut().for_each(|can| can.gallons = 70_000);
            made
        };
        let cans = inventory(&large(&made));
        let before = if log(&made).len() == log(&large(&made)).len() {
            before
        } else {
            found(&cans, &log(&large(&made)))?
        };
        no_better(&before, &found(&cans, &log(&large(&more)))?, &["air"])?;
    }
}
