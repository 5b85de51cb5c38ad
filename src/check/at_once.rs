//! Several rules at once: none of them knows of another, and a large shop has many containers to hold against each.

use super::bind::Bound;
use super::one_rule::findings_of_rule;
use crate::fact::Facts;
use crate::finding::Finding;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::Builder;

/// From so many containers on, several rules are held against the facts at once.
const SIDE_BY_SIDE: usize = 256;
/// More threads than this would wait for memory.
const MOST_THREADS: usize = 4;

/// What each rule finds, in the order of the rules. In a large shop several rules are held against the facts at once.
pub(super) fn each_rule(work: &[(&Facts<'_>, &Bound<'_>)]) -> Vec<Vec<Finding>> {
    let one = |(facts, rule): &(&Facts<'_>, &Bound<'_>)| findings_of_rule(rule, facts);
    let large = work
        .first()
        .is_some_and(|(facts, _)| facts.tables.containers.len() >= SIDE_BY_SIDE);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    if !large || threads < 2 {
        return work.iter().map(one).collect();
    }
    let next = AtomicUsize::new(0);
    let mut found: Vec<(usize, Vec<Finding>)> = std::thread::scope(|scope| {
        let own = || {
            let mut own = Vec::new();
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                let Some(item) = work.get(at) else {
                    return own;
                };
                own.push((at, one(item)));
            }
        };
        let others: Vec<_> = (1..threads.min(MOST_THREADS))
            .map_while(|_| Builder::new().spawn_scoped(scope, own).ok())
            .collect();
        let mut all = own();
        for other in others {
            all.extend(
                other
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            );
        }
        all
    });
    found.sort_unstable_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, findings)| findings).collect()
}
