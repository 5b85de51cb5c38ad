//! The one way in: what was sent goes through the store, as an entry of the command line does.

use super::entry::Sent;
use super::hold::steadily;
use super::problem::BenchProblem;
use super::state::Bench;
use crate::audit::Shop;
use crate::finding::Finding;
use crate::quantity::Moment;
use crate::record::{CHECKS, INVENTORY, LOG, What};
use crate::report::words::Wording;
use crate::report::words::date;
use crate::stock::{Stock, failed_test};
use crate::store::{Access, Clock, NotWritten, Outcome, Plan, Store};
use crate::text::clean;

/// What an entry would do, or did.
pub struct Planned {
    /// The shop before it.
    pub store: Store,
    /// The shop after it.
    pub plan: Plan,
}

/// What became of an entry that was written.
pub struct Written {
    /// The numbers of its rows in the log; none for an answer of the round.
    pub numbers: Vec<String>,
    /// It was written before.
    pub already: bool,
}

/// What would become of the shop; nothing is written.
pub fn look(bench: &Bench, sent: &Sent) -> Result<Planned, BenchProblem> {
    steadily(|| looked(bench, sent))
}

fn looked(bench: &Bench, sent: &Sent) -> Result<Planned, BenchProblem> {
    let store = Store::open(bench.folder(), &[&LOG, &CHECKS, &INVENTORY], Access::Look)?;
    let plan = plan(&store, bench, sent)?;
    Ok(Planned { store, plan })
}

/// Writes it, all of it or nothing. What was sent before is not written again.
pub fn write(bench: &Bench, sent: &Sent) -> Result<Written, BenchProblem> {
    steadily(|| written(bench, sent))
}

fn written(bench: &Bench, sent: &Sent) -> Result<Written, BenchProblem> {
    let store = Store::open(bench.folder(), &[&LOG, &CHECKS, &INVENTORY], Access::Write)?;
    let plan = plan(&store, bench, sent)?;
    let (numbers, already) = match plan.outcomes.first() {
        Some(Outcome::New(numbers)) => (numbers.clone(), false),
        Some(Outcome::Already(rows)) => (numbers(rows), true),
        None => (Vec::new(), false),
    };
    if already {
        return Ok(Written { numbers, already });
    }
    if let Some(problem) = against(&store.shop, &plan, sent).filter(|_| !sent.anyway) {
        return Err(problem);
    }
    store.write(&plan)?;
    Ok(Written { numbers, already })
}

fn numbers(rows: &[crate::files::NamedCells]) -> Vec<String> {
    let cells = rows.iter().flatten();
    let entries = cells.filter(|(column, _)| *column == "entry");
    entries.map(|(_, number)| number.clone()).collect()
}

fn plan(store: &Store, bench: &Bench, sent: &Sent) -> Result<Plan, NotWritten> {
    let clock = Clock {
        now: bench.clock().now(),
        by_clock: sent.by_clock,
        anyway: false,
    };
    let at = |when: Moment| store.plan(&[sent.submission(when)], &clock);
    match at(sent.when) {
        // Sent again, it was longer under way: the moment that was written first counts, and all else must be the same.
        Err(NotWritten::OtherContent { id, there }) => {
            let cells = there.iter().flatten();
            let when = cells.filter(|(column, _)| *column == "when");
            let first = when.filter_map(|(_, text)| Moment::parse(text).ok()).next();
            match first {
                Some(first) if first != sent.when => at(first),
                Some(_) | None => Err(NotWritten::OtherContent { id, there }),
            }
        }
        planned => planned,
    }
}

/// What stands against an entry, unless it has happened already.
pub fn against(before: &Shop, plan: &Plan, sent: &Sent) -> Option<BenchProblem> {
    let failed = sent
        .what
        .and_then(|what| failed(before, &plan.before, what, sent));
    let unclear = plan.unclear.iter().map(|entry| {
        let row = &plan.shop.tables[entry.container];
        format!(
            "It is not clear which rags of {} are meant. There are {} groups.",
            clean(&row.id),
            entry.could_be.len()
        )
    });
    // What was seen on a round is a true record, whatever it breaks.
    let breaks = plan.against.iter().filter(|_| sent.what.is_some());
    let more: Vec<String> = failed
        .into_iter()
        .chain(unclear)
        .chain(breaks.map(|finding| broken(plan, finding)))
        .collect();
    let first = more.first()?.clone();
    Some(BenchProblem {
        more: more.into_iter().skip(1).collect(),
        may_be_logged: true,
        ..BenchProblem::unfit(first, "If this has already happened, log it anyway.")
    })
}

fn failed(before: &Shop, stock: &Stock, what: What, sent: &Sent) -> Option<String> {
    let container = sent.cell("container");
    let trial = failed_test(&before.tables, stock, what, container, sent.cell("into"))?;
    Some(format!(
        "{} failed the {} test on {}. Do not use it on any work.",
        clean(container),
        trial.test,
        date(trial.day)
    ))
}

/// A new breach in sentences.
pub fn broken(plan: &Plan, finding: &Finding) -> String {
    let words = Wording::of_shop(&plan.shop, plan.after.on).finding(finding);
    clean(&format!("{} {} {}.", words.fact, words.task, words.law))
}
