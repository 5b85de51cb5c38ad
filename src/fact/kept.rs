//! How long each container is good: the days of `trade::ShelfLife`, what a test did to them, and what a reader must be told.
//! The rule `kept-within` and the tables of `stock` say the same of a container, since both ask here or there.

use super::hazards::Hazards;
use crate::quantity::when::date;
use crate::quantity::{Day, Exact};
use crate::record::{Container, ContainerId, ProductKind, ShopTables};
use crate::stock::{ContainerState, Stock, Trial, TrialResult};
use crate::text::Span;
use crate::trade::{ReferenceData, ShelfClock, ShelfLife};
use std::collections::HashMap;

/// A maker's day is near from so many days before it, as `kept-within` has it.
const MAKERS_WARNING_DAYS: u32 = 29;

/// The state of a container with its time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Age {
    /// It failed a test: out with it, whatever its age.
    Failed,
    /// Past its last day.
    Past,
    /// To be tested before it goes on any work.
    TestDue,
    /// Within its time.
    Good,
    /// Its first day is unknown.
    NotKnown,
    /// Goods of this kind have no keeping time in print.
    NoTime,
}

/// A container and its days.
#[derive(Clone, Debug)]
pub struct Kept {
    /// The container.
    pub container: ContainerId,
    /// The state of it.
    pub age: Age,
    /// Test it from this day on.
    pub test_from: Option<Day>,
    /// Use it by this day.
    pub use_by: Option<Day>,
    /// Opened, or mixed here: to be used before what is sealed.
    pub opened: bool,
    /// The day it was made, opened or got here, whichever is known first.
    pub born: Option<Day>,
    /// The rule behind the days, and its figures.
    pub rule: Option<String>,
    /// Where that figure is.
    pub at: Option<Span>,
    /// What a reader must be told of this container alone.
    pub said: Vec<String>,
}

/// Every container that is there and no rag, as it is kept.
pub fn kept(
    tables: &ShopTables,
    stock: &Stock,
    reference: &ReferenceData,
    hazards: &Hazards,
) -> Vec<Kept> {
    let there = ContainerId::each(&tables.containers)
        .filter(|(container, _)| stock.present(tables, *container));
    let bags = bags_of_flakes(tables);
    there
        .filter_map(|(container, row)| {
            let contents = &stock[container];
            let cloth = row.vessel.is_some_and(|vessel| vessel.is_cloth());
            let kind = hazards.of_container(stock, container).kind.value().copied();
            (!cloth).then(|| {
                let mut kept = one(tables, stock, reference, container, kind);
                if kind == Some(ProductKind::Shellac) && row.best_before.is_none() {
                    let lots = contents.lots.iter();
                    let told = lots.map(|lot| of_lot(tables, stock, reference, &bags, lot));
                    kept.said.splice(0..0, told);
                }
                kept
            })
        })
        .collect()
}

/// The first bag of flakes of each lot.
fn bags_of_flakes(tables: &ShopTables) -> HashMap<&str, ContainerId> {
    let mut bags = HashMap::new();
    for (id, bag) in ContainerId::each(&tables.containers) {
        if let Some(lot) = &bag.lot
            && tables.kind(id) == Some(ProductKind::Flakes)
        {
            bags.entry(lot.as_str()).or_insert(id);
        }
    }
    bags
}

fn one(
    tables: &ShopTables,
    stock: &Stock,
    reference: &ReferenceData,
    container: ContainerId,
    kind: Option<ProductKind>,
) -> Kept {
    let (row, contents) = (&tables[container], &stock[container]);
    let times = ShelfLife::find(tables, reference, row, contents, kind);
    let mut kept = Kept {
        container,
        age: Age::NoTime,
        test_from: None,
        use_by: None,
        opened: contents.opened.is_some()
            || contents.removed > Exact::ZERO
            || contents.made.is_some(),
        born: contents.made.or(contents.opened).or(row.since),
        rule: None,
        at: None,
        said: Vec::new(),
    };
    if let Some(last) = row.best_before {
        kept.use_by = Some(last);
        kept.test_from = Some(last.back(MAKERS_WARNING_DAYS));
        kept.rule = Some(format!("best before {}, in inventory.csv", date(last)));
        kept.at = Some(row.at);
        kept.age = aged(stock.on, kept.test_from, kept.use_by);
    } else if let Some(times) = &times {
        by_times(&mut kept, times, row, contents, stock.on);
    }
    if let Some(trial) = contents.trial {
        tested(&mut kept, trial);
    }
    kept
}

fn by_times(
    kept: &mut Kept,
    times: &ShelfLife,
    row: &Container,
    contents: &ContainerState,
    on: Day,
) {
    if matches!(times.clock, ShelfClock::Inspected | ShelfClock::BestBefore) {
        return;
    }
    kept.rule = Some(rule(times));
    kept.at = Some(times.at);
    kept.said.extend(
        times
            .said
            .iter()
            .filter(|said| !said.starts_with("in print"))
            .cloned(),
    );
    let Some(from) = times.from(row, contents) else {
        kept.age = Age::NotKnown;
        kept.said.push(format!(
            "the day it {} is unknown. Test it, and record the day in inventory.csv",
            happened(times)
        ));
        return;
    };
    let days = times.days(from, contents);
    (kept.test_from, kept.use_by) = (days.test_from, days.discard_after);
    let slow = contents
        .trial
        .is_some_and(|t| t.result == TrialResult::Retest && t.day >= from);
    let warn = if slow { Some(on) } else { days.test_from };
    kept.age = aged(on, warn.or(days.discard_after), days.discard_after);
    if let Some(good) = days.passed {
        kept.said
            .push(format!("a passed test extends it to {}", date(good)));
    }
}

fn aged(on: Day, test_from: Option<Day>, use_by: Option<Day>) -> Age {
    if use_by.is_some_and(|day| on > day) {
        Age::Past
    } else if test_from.is_some_and(|day| on >= day) {
        Age::TestDue
    } else {
        Age::Good
    }
}

/// The rule in a line: its name, its figures, from which day they run, who says so.
fn rule(times: &ShelfLife) -> String {
    let mut parts = Vec::new();
    if let Some(span) = times.test_from {
        parts.push(format!("test from {span}"));
    }
    if let Some(span) = times.discard_after {
        parts.push(format!("discard after {span}"));
    }
    if let Some(span) = times.extends {
        parts.push(format!("a passed test is good for {span}"));
    }
    format!(
        "{} (grade {}): {}, from the day it {}",
        times.says,
        times.grade,
        parts.join(", "),
        happened(times)
    )
}

fn happened(times: &ShelfLife) -> String {
    format!("was {}", times.from_word())
}

/// What the last test did.
fn tested(kept: &mut Kept, trial: Trial) {
    let minutes = trial
        .minutes
        .map_or_else(String::new, |m| format!(", {m} min"));
    let told = format!("{} test on {}{minutes}", trial.test, date(trial.day));
    match trial.result {
        TrialResult::Pass => kept.said.push(format!("passed the {told}")),
        TrialResult::Retest => kept.said.push(format!(
            "slow at the {told}. Use it only for sealing and jigs, and test it again"
        )),
        TrialResult::Fail => {
            kept.said.push(format!("failed the {told}"));
            kept.age = Age::Failed;
            (kept.test_from, kept.use_by) = (None, None);
        }
    }
}

/// The shelf life of a mixture does not depend on the age of its flakes. Their lots and ages are named all the same.
fn of_lot(
    tables: &ShopTables,
    stock: &Stock,
    reference: &ReferenceData,
    bags: &HashMap<&str, ContainerId>,
    lot: &str,
) -> String {
    let Some(id) = bags.get(lot) else {
        return format!("mixed from flakes of lot {lot}, whose age is not on record");
    };
    let (bag, held) = (&tables[*id], &stock[*id]);
    let due = ShelfLife::find(tables, reference, bag, held, Some(ProductKind::Flakes))
        .and_then(|times| times.days(times.from(bag, held)?, held).test_from)
        .filter(|day| *day <= stock.on)
        .map_or_else(String::new, |day| {
            format!("; these flakes are due for a test since {}", date(day))
        });
    let since = held.made.or(bag.since).map_or_else(
        || ", whose age is not on record".into(),
        |day| format!(", received by {}", date(day)),
    );
    format!("mixed from flakes of lot {lot} ({}){since}{due}", bag.id)
}
