//! The log loses nothing, in whatever order its lines stand, and corrections mend it.

use crate::few;
use crate::numbers::digits;
use crate::shop::{ON, opened, replayed};
use proptest::collection::vec;
use proptest::prelude::{
    Strategy, TestCaseError, any, prop_assert, prop_assert_eq, prop_oneof, proptest,
};
use proptest::sample::Index;
use sandarac::quantity::Exact;
use sandarac::record::ShopTables;
use sandarac::stock::Stock;
use sandarac::text::Files;

const LOG_SHOP: [(&str, &str); 4] = [
    (
        "shop.toml",
        "name = \"t\"\nunits = \"metric\"\npacks = [\"trade\"]\n",
    ),
    ("rooms.csv", "room,use\nroom,finishing\n"),
    (
        "products.csv",
        "product,kind,drying_oil\nalcohol,solvent,no\nflakes,flakes,no\nshellac,shellac,no\nspent,waste,yes\n\
         oil,drying-oil,yes\ncloth,other,no\n",
    ),
    (
        "places.csv",
        "place,room,kind\nbench,room,bench\ncan,room,oily-waste-can\nwater,room,water-can\nyard,room,outdoors\n",
    ),
];

/// The containers of the log: name, product, unit, amount on the first day.
pub(crate) const CONTAINERS: [(&str, &str, &str, u32); 7] = [
    ("A", "alcohol", "mL", 4_000),
    ("B", "alcohol", "mL", 250),
    ("F", "flakes", "g", 900),
    ("J", "shellac", "mL", 0),
    ("K", "shellac", "mL", 500),
    ("W", "spent", "mL", 100),
    ("T", "cloth", "pcs", 40),
];
/// Parts of a house unit that the model counts in: a gram of flakes adds 0.83454 mL, which is 83454 of them.
const PARTS: i128 = 100_000_000;
const RESIN: i128 = 83_454;

pub(crate) fn shop_with(inventory: String, log: String) -> Vec<(String, Vec<u8>)> {
    LOG_SHOP
        .into_iter()
        .map(|(name, text)| (name.to_string(), text.to_string()))
        .chain([
            ("inventory.csv".to_string(), inventory),
            ("log.csv".to_string(), log),
        ])
        .map(|(name, text)| (name, text.into_bytes()))
        .collect()
}

pub(crate) fn inventory() -> String {
    let row = |(name, product, unit, amount): (&str, &str, &str, u32)| {
        format!(
            "{name},{product},{},bench,2026-01-01,{amount} {unit},L-{name}\n",
            if unit == "g" { "bag" } else { "glass" }
        )
    };
    let rows: String = CONTAINERS.into_iter().map(row).collect();
    format!(
        "container,product,vessel,place,since,amount,lot\n{rows}R,cloth,rag,bench,2026-01-01,30 pcs,\n"
    )
}

/// What a model of the log, in whole numbers, says of one container.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Kept {
    initial: i128,
    received: i128,
    removed: i128,
    unexplained: i128,
    held: i128,
}

/// House units are litres, kilograms and pieces; the log writes millilitres, grams and pieces.
fn scale(container: usize) -> i128 {
    if CONTAINERS[container].2 == "pcs" {
        PARTS
    } else {
        PARTS / 1000
    }
}

/// One thing to do in a minute; `share` is of what is there, in 255ths.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Do {
    Receive(u32),
    Mix(u8),
    Decant(u8),
    Use(u8),
    Discard(Option<u8>),
    Count(u32),
}

impl Do {
    fn rank(self) -> u8 {
        match self {
            Do::Receive(_) => 0,
            Do::Mix(_) => 1,
            Do::Decant(_) => 2,
            Do::Use(_) | Do::Discard(_) => 3,
            Do::Count(_) => 4,
        }
    }
}

pub(crate) type Minute = Vec<(Do, Index, Index)>;

/// Minutes with at most one entry of each rank: those of the same rank go line by line, so that their order would matter.
pub(crate) fn minutes() -> impl Strategy<Value = Vec<Minute>> {
    let thing = prop_oneof![
        (0_u32..3_000).prop_map(Do::Receive),
        any::<u8>().prop_map(Do::Mix),
        any::<u8>().prop_map(Do::Decant),
        any::<u8>().prop_map(Do::Use),
        proptest::option::of(any::<u8>()).prop_map(Do::Discard),
        (0_u32..3_000).prop_map(Do::Count),
    ];
    let minute = vec((thing, any::<Index>(), any::<Index>()), 1..5).prop_map(|mut list| {
        list.sort_by_key(|(thing, _, _)| thing.rank());
        list.dedup_by_key(|(thing, _, _)| thing.rank());
        list
    });
    vec(minute, 0..14)
}

/// A line of the log without its own number: moment, what, container, amount, into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) when: String,
    what: &'static str,
    pub(crate) container: String,
    pub(crate) amount: String,
    pub(crate) into: String,
}

impl Line {
    pub(crate) fn text(&self, id: &str) -> String {
        format!(
            "{id},{},{},{},{},{}\n",
            self.when, self.what, self.container, self.amount, self.into
        )
    }
}

pub(crate) const LOG_HEAD: &str = "entry,when,what,container,amount,into\n";

pub(crate) fn log_of(lines: &[Line]) -> String {
    let rows: Vec<String> = lines
        .iter()
        .enumerate()
        .map(|(at, line)| line.text(&format!("e{at}")))
        .collect();
    format!("{LOG_HEAD}{}", rows.concat())
}

/// A log with a column for notes, and at its end an entry that takes another back.
pub(crate) fn taken_back(log: &str, entry: &str) -> String {
    let rows = log.lines().skip(1).map(|row| format!("{row},\n"));
    let head = LOG_HEAD.trim_end();
    let void = format!("mend,2026-11-01T10:00,correct,,,{entry},void\n");
    format!("{head},note\n{}{void}", rows.collect::<String>())
}

/// Writes a valid log and keeps the books beside it.
pub(crate) fn written(minutes: &[Minute]) -> (Vec<Line>, Vec<Kept>) {
    let mut lines = Vec::new();
    let mut books: Vec<Kept> = (0..CONTAINERS.len())
        .map(|at| i128::from(CONTAINERS[at].3) * scale(at))
        .map(|held| Kept {
            initial: held,
            held,
            ..Kept::default()
        })
        .collect();
    for (nth, minute) in minutes.iter().enumerate() {
        let when = format!(
            "2026-0{}-{:02}T{:02}:{:02}",
            1 + nth / 8,
            2 + 3 * (nth % 8),
            6 + nth,
            59 - nth
        );
        for (thing, from, into) in minute {
            lines.extend(one(*thing, *from, *into, &when, &mut books));
        }
    }
    (lines, books)
}

fn one(thing: Do, from: Index, into: Index, when: &str, books: &mut [Kept]) -> Option<Line> {
    let from = from.index(CONTAINERS.len());
    let (name, product, unit, _) = CONTAINERS[from];
    let part = |share: u8| books[from].held / scale(from) * i128::from(share) / 255;
    let (what, whole, target) = match thing {
        Do::Receive(amount) => ("receive", Some(i128::from(amount)), None),
        Do::Count(amount) => ("count", Some(i128::from(amount)), None),
        Do::Use(share) => ("use", Some(part(share)), None),
        Do::Discard(share) => ("discard", share.map(part), None),
        Do::Mix(share) | Do::Decant(share) => {
            let decant = matches!(thing, Do::Decant(_));
            let fits = |to: &usize| {
                let (_, other, measured, _) = CONTAINERS[*to];
                let alike = measured == unit || unit == "g" && measured == "mL";
                *to != from && alike && (!decant || other == product || other == "spent")
            };
            let fitting: Vec<usize> = (0..CONTAINERS.len()).filter(fits).collect();
            if fitting.is_empty() {
                return None;
            }
            (
                if decant { "decant" } else { "mix" },
                Some(part(share)),
                Some(fitting[into.index(fitting.len())]),
            )
        }
    };
    let moved = whole.map_or(books[from].held, |whole| whole * scale(from));
    let tables = &mut books[from];
    match what {
        "receive" => {
            tables.received += moved;
            tables.held += moved;
        }
        "count" => {
            tables.unexplained += moved - tables.held;
            tables.held = moved;
        }
        _ => {
            tables.removed += moved;
            tables.held -= moved;
        }
    }
    if let Some(target) = target {
        let dissolved = unit == "g" && CONTAINERS[target].2 == "mL";
        let arrives = if dissolved {
            whole.unwrap_or(0) * RESIN
        } else {
            moved
        };
        books[target].received += arrives;
        books[target].held += arrives;
    }
    Some(Line {
        when: when.to_string(),
        what,
        container: name.to_string(),
        amount: whole.map_or_else(String::new, |whole| format!("{whole} {unit}")),
        into: target.map_or_else(String::new, |target| CONTAINERS[target].0.to_string()),
    })
}

pub(crate) fn stock_of(log: &str, on: &str) -> Result<(ShopTables, Stock), String> {
    let mut files = Files::default();
    let tables = opened(&shop_with(inventory(), log.to_string()), false, &mut files)?;
    let stock = replayed(&mut files, &tables, on)?;
    Ok((tables, stock))
}

/// All that a stock says, without the lines that it stands on.
fn summary(stock: &Stock) -> String {
    let mut text = format!(
        "{:?} {:?} {:?}\n",
        stock.used, stock.last_entry, stock.entries
    );
    for held in &stock.containers {
        let gap = held.gap.map(|gap| (gap.day, gap.expected, gap.counted));
        text += &format!(
            "{:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?}\n",
            held.amount,
            held.removed,
            held.unexplained,
            held.location,
            held.opened,
            held.made,
            held.lots,
            held.last_used,
            gap,
            held.entries
        );
    }
    text
}

fn same_stock(a: &str, b: &str) -> Result<(), TestCaseError> {
    let stock = |log: &str| {
        let opened =
            stock_of(log, ON).map_err(|told| TestCaseError::fail(format!("{log}\n{told}")));
        opened.map(|(_, stock)| summary(&stock))
    };
    prop_assert_eq!(stock(a)?, stock(b)?, "\n{}\nbeside\n{}", a, b);
    Ok(())
}

/// Puts a list into another order, by chance.
fn shuffled<T: Clone>(list: &[T], chances: &[Index]) -> Vec<T> {
    let mut list = list.to_vec();
    for (at, chance) in (1..list.len()).zip(chances.iter().cycle()) {
        list.swap(at, chance.index(at + 1));
    }
    list
}

proptest! {
    #![proptest_config(few(200))]

    /// What was taken, what counts found and what is held are those of a model in whole numbers, to the last digit. In the
    /// model they add up with what was there first and what was received. Nothing is below zero.
    #[test]
    fn nothing_is_lost(minutes in minutes()) {
        let (lines, books) = written(&minutes);
        let log = log_of(&lines);
        let (_, stock) = stock_of(&log, ON).map_err(TestCaseError::fail)?;
        for (tables, held) in books.iter().zip(&stock.containers) {
            let amount = held.amount.unwrap().base();
            let found = [held.removed, held.unexplained, amount].map(Exact::digits);
            let wanted = [tables.removed, tables.unexplained, tables.held].map(|n| digits(n, 8));
            prop_assert_eq!(found, wanted, "{}", log);
            let sum = tables.initial + tables.received - tables.removed + tables.unexplained;
            prop_assert_eq!(sum, tables.held);
            prop_assert!(!amount.is_negative());
        }
    }

    /// The order of lines does not matter, neither within a minute nor beyond.
    #[test]
    fn a_shuffled_log_gives_the_same_stock(minutes in minutes(), chances in vec(any::<Index>(), 40)) {
        let (lines, _) = written(&minutes);
        let named: Vec<String> = lines.iter().enumerate().map(|(at, line)| line.text(&format!("e{at}"))).collect();
        let mixed = shuffled(&named, &chances);
        same_stock(&log_of(&lines), &format!("{LOG_HEAD}{}", mixed.concat()))?;
        // Within each minute alone: the log still runs forward, and is read in one pass.
        let mut forward = mixed;
        forward.sort_by_key(|line| line.split(',').nth(1).unwrap().to_string());
        same_stock(&log_of(&lines), &format!("{LOG_HEAD}{}", forward.concat()))?;
    }

    /// A log with slips and their corrections gives the stock of the log written right in the first place.
    #[test]
    fn a_correction_mends(minutes in minutes(), slips in vec((any::<Index>(), 0_u32..9_000, any::<bool>()), 1..5)) {
        let (lines, _) = written(&minutes);
        let right = log_of(&lines);
        let mut wrong = lines.clone();
        let mut mends: Vec<(String, Line)> = Vec::new();
        let mut mended = std::collections::BTreeSet::new();
        for (at, amount, twice) in slips {
            if lines.is_empty() {
                continue;
            }
            let at = at.index(lines.len());
            if lines[at].amount.is_empty() || !mended.insert(at) {
                continue;
            }
            let unit = lines[at].amount.split_once(' ').unwrap().1;
            wrong[at].amount = format!("{amount} {unit}");
            let mut mend = |amount: &str, into: String| {
                let name = format!("c{}", mends.len());
                let line = Line {
                    when: format!("2026-11-01T10:{:02}", mends.len()),
                    what: "correct",
                    container: String::new(),
                    amount: amount.to_string(),
                    into,
                };
                mends.push((name.clone(), line));
                name
            };
            // A correction may itself be wrong, and be corrected.
            let first = mend(if twice { &wrong[at].amount } else { &lines[at].amount }, format!("e{at}"));
            if twice {
                mend(&lines[at].amount, first);
            }
        }
        let mends: String = mends.iter().map(|(name, line)| line.text(name)).collect();
        same_stock(&right, &format!("{}{mends}", log_of(&wrong)))?;
    }

    /// An entry that a correction voids was never there.
    #[test]
    fn a_void_entry_was_never_there(minutes in minutes(), at in any::<Index>(), amount in 0_u32..9_000) {
        let (lines, _) = written(&minutes);
        let right = log_of(&lines);
        let slip = format!("slip,2026-01-02T00:00,use,A,{amount} mL,\n");
        let rows: Vec<&str> = right.lines().skip(1).collect();
        let at = at.index(rows.len() + 1);
        let [before, after] = [&rows[..at], &rows[at..]].map(|part| part.iter().map(|row| format!("{row}\n")).collect::<String>());
        same_stock(&right, &taken_back(&format!("{LOG_HEAD}{before}{slip}{after}"), "slip"))?;
    }
}

/// A log of many batches, with minutes that reach over their borders, forward, backward and with corrections.
#[test]
fn a_long_log_is_one_log() {
    let row = |nth: u32| {
        let (what, amount) = if nth.is_multiple_of(3) {
            ("receive", 4)
        } else {
            ("use", 1)
        };
        let minute = nth / 3;
        let when = format!(
            "2026-02-{:02}T{:02}:{:02}",
            1 + minute / 1440,
            minute / 60 % 24,
            minute % 60
        );
        format!("e{nth},{when},{what},A,{amount} mL,\n")
    };
    let forward: Vec<String> = (0..9_000).map(row).collect();
    let backward: Vec<String> = forward.iter().rev().cloned().collect();
    let slip = |row: &String| row.replacen(",1 mL,", ",9000 mL,", 1);
    let slips: Vec<String> = forward
        .iter()
        .enumerate()
        .map(|(at, row)| if at == 5_000 { slip(row) } else { row.clone() })
        .collect();
    let mend = "c,2026-10-01T10:00,correct,,1 mL,e5000\n";
    // 3000 times 4 came and 6000 times 1 went, over the 4000 of the first day.
    for log in [forward.concat(), backward.concat(), slips.concat() + mend] {
        let (_, stock) = stock_of(&format!("{LOG_HEAD}{log}"), ON).unwrap();
        let held = &stock.containers[0];
        let found = [held.removed, held.amount.unwrap().base()].map(Exact::digits);
        assert_eq!(found, ["6", "10"]);
        assert_eq!(stock.used[0][0].received.digits(), "12");
        assert_eq!(stock.entries, 9_000);
    }
}
