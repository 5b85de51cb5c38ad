//! How long each container is good: the days of `trade::ShelfLife`, what a test did to them, and what a reader must be told.
//! The rule `kept-within` and the tables of `stock` say the same of a container, since both read `KeptTimes`.

use super::hazards::Hazards;
use crate::quantity::when::date;
use crate::quantity::{Day, Exact};
use crate::record::{Container, ContainerId, ProductKind, ShopTables};
use crate::stock::{ContainerState, Stock, Trial, TrialResult};
use crate::text::Span;
use crate::trade::{Days, ReferenceData, ShelfClock, ShelfLife};
use std::collections::HashMap;

/// A maker's day is near from so many days before it: on the thirtieth day, counted with that day itself. (A judgment, no source.)
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

/// The days that decide how long a container is good.
#[derive(Clone, Copy, Debug)]
pub enum KeptBy {
    /// The maker's own last day.
    Maker {
        /// Near from this day on.
        near: Day,
        last: Day,
    },
    Life {
        /// The first day of it.
        from: Day,
        /// What follows from that.
        days: Days,
        /// Something is due from this day on.
        due: Option<Day>,
        /// The last test was slow.
        is_slow: bool,
    },
    /// A shelf life whose first day is unknown.
    NoFirstDay,
    /// No day decides: nothing is in print, or only a look at it counts.
    NoDay,
}

/// How long a container is good, and by which figures.
#[derive(Clone, Debug)]
pub struct KeptTimes {
    /// The shelf life of such goods, if one is in print or the user's own.
    pub life: Option<ShelfLife>,
    /// The days that decide.
    pub by: KeptBy,
    /// The last test, if it was failed.
    pub failed: Option<Trial>,
}

impl KeptTimes {
    /// Of a container with goods of this kind.
    pub fn find(
        tables: &ShopTables,
        reference: &ReferenceData,
        (row, contents): (&Container, &ContainerState),
        kind: Option<ProductKind>,
    ) -> KeptTimes {
        let life = ShelfLife::find(tables, reference, row, contents, kind);
        let by_life = life.as_ref().map(|life| by_life(life, row, contents));
        let by = match row.best_before {
            Some(last) => KeptBy::Maker {
                near: last.back(MAKERS_WARNING_DAYS),
                last,
            },
            None => by_life.unwrap_or(KeptBy::NoDay),
        };
        let failed = contents.trial.filter(|t| t.result == TrialResult::Fail);
        KeptTimes { life, by, failed }
    }

    /// Its state on a day.
    pub fn age(&self, on: Day) -> Age {
        if self.failed.is_some() {
            return Age::Failed;
        }
        let (due, last) = match self.by {
            KeptBy::Maker { near, last } => (Some(near), Some(last)),
            KeptBy::Life { due, days, .. } => (due, days.discard_after),
            KeptBy::NoFirstDay => return Age::NotKnown,
            KeptBy::NoDay => return Age::NoTime,
        };
        if last.is_some_and(|day| on > day) {
            Age::Past
        } else if due.is_some_and(|day| on >= day) {
            Age::TestDue
        } else {
            Age::Good
        }
    }

    /// Test it from this day on, and use it by that day.
    pub fn test_and_use_by(&self) -> (Option<Day>, Option<Day>) {
        match self.by {
            KeptBy::Maker { near, last } => (Some(near), Some(last)),
            KeptBy::Life { days, .. } => (days.test_from, days.discard_after),
            KeptBy::NoFirstDay | KeptBy::NoDay => (None, None),
        }
    }
}

fn by_life(life: &ShelfLife, row: &Container, contents: &ContainerState) -> KeptBy {
    if matches!(life.clock, ShelfClock::Inspected | ShelfClock::BestBefore) {
        return KeptBy::NoDay;
    }
    let Some(from) = life.from(row, contents) else {
        return KeptBy::NoFirstDay;
    };
    let days = life.days(from, contents);
    let slow = |trial: Trial| trial.result == TrialResult::Retest && trial.day >= from;
    let is_slow = contents.trial.is_some_and(slow);
    let due = if is_slow { Some(from) } else { days.test_from };
    KeptBy::Life {
        from,
        days,
        due: due.or(days.discard_after),
        is_slow,
    }
}

/// A container and its days.
#[derive(Clone, Debug)]
pub struct Kept {
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
                let mut kept = one(tables, stock, reference, (container, row, contents), kind);
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
    (container, row, contents): (ContainerId, &Container, &ContainerState),
    kind: Option<ProductKind>,
) -> Kept {
    let times = KeptTimes::find(tables, reference, (row, contents), kind);
    let (test_from, use_by) = match times.failed {
        Some(_) => (None, None),
        None => times.test_and_use_by(),
    };
    let mut kept = Kept {
        container,
        age: times.age(stock.on),
        test_from,
        use_by,
        opened: contents.opened.is_some()
            || contents.removed > Exact::ZERO
            || contents.made.is_some(),
        born: contents.made.or(contents.opened).or(row.since),
        rule: None,
        at: None,
        said: Vec::new(),
    };
    match (times.by, &times.life) {
        (KeptBy::Maker { last, .. }, _) => {
            kept.rule = Some(format!("best before {}, in inventory.csv", date(last)));
            kept.at = Some(row.at);
        }
        (by @ (KeptBy::Life { .. } | KeptBy::NoFirstDay), Some(life)) => {
            explain(&mut kept, life, by);
        }
        (KeptBy::Life { .. } | KeptBy::NoFirstDay, None) | (KeptBy::NoDay, _) => {}
    }
    if let Some(trial) = contents.trial {
        kept.said.push(tested(trial));
    }
    kept
}

/// The figures behind the days, and what a reader must be told of them.
fn explain(kept: &mut Kept, life: &ShelfLife, by: KeptBy) {
    kept.rule = Some(rule(life));
    kept.at = Some(life.at);
    let said = life.said.iter();
    let said = said.filter(|said| !said.starts_with("in print"));
    kept.said.extend(said.cloned());
    match by {
        KeptBy::Life { days, .. } => kept.said.extend(
            days.passed
                .map(|good| format!("a passed test extends it to {}", date(good))),
        ),
        KeptBy::NoFirstDay => kept.said.push(format!(
            "the day it {} is unknown. Test it, and record the day in inventory.csv",
            happened(life)
        )),
        KeptBy::Maker { .. } | KeptBy::NoDay => {}
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
fn tested(trial: Trial) -> String {
    let minutes = trial
        .minutes
        .map_or_else(String::new, |m| format!(", {m} min"));
    let told = format!("{} test on {}{minutes}", trial.test, date(trial.day));
    match trial.result {
        TrialResult::Pass => format!("passed the {told}"),
        TrialResult::Retest => {
            format!("slow at the {told}. Use it only for sealing and jigs, and test it again")
        }
        TrialResult::Fail => format!("failed the {told}"),
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
