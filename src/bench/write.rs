//! The one way in: what was sent goes through the store, as an entry of the command line does.

use super::hold::steadily;
use super::problem::BenchProblem;
use super::sent::{Sent, Written};
use super::state::Bench;
use crate::audit::Shop;
use crate::finding::Finding;
use crate::quantity::Moment;
use crate::record::{CHECKS, INVENTORY, LOG, What};
use crate::report::words::Wording;
use crate::report::words::date;
use crate::stock::{Stock, UnclearWhy, failed_test};
use crate::store::{Access, Clock, NotWritten, Plan, Store};
use crate::text::clean;
use std::sync::Arc;

/// What an entry would do, or did.
pub struct Planned {
    /// The shop before it.
    pub store: Store,
    /// The shop after it.
    pub plan: Plan,
}

/// What would become of the shop; nothing is written.
pub fn look(bench: &Arc<Bench>, sent: &Sent) -> Result<Planned, BenchProblem> {
    let (own, sent) = (Arc::clone(bench), sent.clone());
    bench.heavy.run(move || steadily(|| looked(&own, &sent)))?
}

fn looked(bench: &Bench, sent: &Sent) -> Result<Planned, BenchProblem> {
    let store = opened(bench, Access::Look)?;
    let plan = plan(&store, bench, sent)?;
    Ok(Planned { store, plan })
}

/// Writes it, all of it or nothing. What was sent before is not written again.
pub fn write(bench: &Arc<Bench>, sent: &Sent) -> Result<Written, BenchProblem> {
    let work = |list: &[&Sent]| {
        let own = Arc::clone(bench);
        let all: Vec<Sent> = list.iter().map(|sent| (*sent).clone()).collect();
        let write = move || each(&own, &all.iter().collect::<Vec<_>>());
        let done = bench.gap.before(|| bench.heavy.run(write));
        done.unwrap_or_else(|problem| list.iter().map(|_| Err(problem.clone())).collect())
    };
    bench.queue.write(sent, work)
}

/// All of them at once, or in two halves where one of them stands in the way of the others.
fn each(bench: &Bench, list: &[&Sent]) -> Vec<Result<Written, BenchProblem>> {
    match list {
        [] => return Vec::new(),
        [one] => return vec![steadily(|| written(bench, one))],
        [_, _, ..] => {}
    }
    match steadily(|| together(bench, list)) {
        Ok(Some(done)) => done.into_iter().map(Ok).collect(),
        Err(problem) if !problem.is_of_the_entry() => {
            list.iter().map(|_| Err(problem.clone())).collect()
        }
        Ok(None) | Err(_) => {
            let (first, rest) = list.split_at(list.len() / 2);
            let mut outcomes = each(bench, first);
            outcomes.extend(each(bench, rest));
            outcomes
        }
    }
}

/// The shop, to look or to write. What the page has worked out of the very same files is taken over.
pub fn opened(bench: &Bench, access: Access) -> Result<Store, NotWritten> {
    let mut store = Store::open(bench.folder(), &[&LOG, &CHECKS, &INVENTORY], access)?;
    let standing = bench.standing();
    if store.shop.steady().is_ok() {
        standing.into_iter().for_each(|known| store.know(known));
    }
    Ok(store)
}

/// Writes several at once; `None` where one of them has to be looked at by itself.
fn together(bench: &Bench, list: &[&Sent]) -> Result<Option<Vec<Written>>, BenchProblem> {
    // A test or a correction changes what others may do.
    let plain = |sent: &&&Sent| !matches!(sent.what, Some(What::Test | What::Correct));
    if list.iter().filter(plain).count() < list.len() {
        return Ok(None);
    }
    let store = opened(bench, Access::Write)?;
    let clock = Clock {
        now: bench.clock().now(),
        by_clock: list.iter().any(|sent| sent.by_clock),
        anyway: false,
    };
    let all: Vec<_> = list.iter().map(|sent| sent.submission(sent.when)).collect();
    let plan = store.plan(&all, &clock)?;
    let stands = |sent: &&Sent| against(&store.shop, &plan, sent).is_some();
    if list.iter().any(stands) {
        return Ok(None);
    }
    store.write(&plan)?;
    Ok(Some(plan.outcomes.iter().map(Written::of).collect()))
}

fn written(bench: &Bench, sent: &Sent) -> Result<Written, BenchProblem> {
    let store = opened(bench, Access::Write)?;
    let plan = plan(&store, bench, sent)?;
    let done = plan.outcomes.first().map(Written::of).unwrap_or_default();
    if done.already {
        return Ok(done);
    }
    if let Some(problem) = against(&store.shop, &plan, sent).filter(|_| !sent.anyway) {
        return Err(problem);
    }
    store.write(&plan)?;
    Ok(done)
}

/// What would become of the shop with one entry.
pub fn plan(store: &Store, bench: &Bench, sent: &Sent) -> Result<Plan, NotWritten> {
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
        let row = clean(&plan.shop.tables[entry.container].id);
        match entry.why {
            UnclearWhy::UsedAgain => format!(
                "{row} has fewer unused rags than that. Choose the wet ones that were used again, or log first how many came."
            ),
            UnclearWhy::TooEarly => format!(
                "{row} were spread today. Oil takes days to dry, so they still count as wet. Test them on another day."
            ),
            UnclearWhy::WhichRags => format!(
                "It is not clear which rags of {row} are meant. There are {} groups.",
                entry.could_be.len()
            ),
        }
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
