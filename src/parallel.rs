//! Work on several things at once.

use std::panic::resume_unwind;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{Builder, scope};

/// How many threads are worth while here.
pub fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// What comes of the work on each thing, in their order.
pub fn on_each<T: Sync, R: Send>(
    list: &[T],
    threads: usize,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let mut done = Vec::with_capacity(list.len());
    take_each(list, threads, work, |at, result| done.push((at, result)));
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

/// Hands over what comes of the work on each thing, as soon as it is there. Each thread takes the next thing in turn.
pub fn take_each<T: Sync, R: Send>(
    list: &[T],
    threads: usize,
    work: impl Fn(&T) -> R + Sync,
    take: impl FnMut(usize, R) + Send,
) {
    let (next, take) = (AtomicUsize::new(0), Mutex::new(take));
    let take_turns = || {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(thing) = list.get(at) else { return };
            let result = work(thing);
            if let Ok(mut take) = take.lock() {
                take(at, result);
            }
        }
    };
    scope(|scope| {
        for _ in 1..threads.min(list.len()) {
            // Where no thread can be started, this one does all the work.
            if Builder::new().spawn_scoped(scope, take_turns).is_err() {
                break;
            }
        }
        take_turns();
    });
}

/// What comes of both pieces of work. Where no thread can be started, one is done after the other.
pub fn both<A: Send, B>(
    on_a_thread: impl Fn() -> A + Sync + Send,
    here: impl FnOnce() -> B,
) -> (A, B) {
    scope(|scope| {
        let started = Builder::new().spawn_scoped(scope, &on_a_thread);
        let second = here();
        let first = match started {
            Ok(thread) => thread.join().unwrap_or_else(|panic| resume_unwind(panic)),
            Err(_) => on_a_thread(),
        };
        (first, second)
    })
}

#[cfg(test)]
mod tests {
    use super::{both, on_each};

    #[test]
    fn each_once_and_in_order() {
        let list: Vec<u32> = (0..100).collect();
        for threads in [0, 1, 3, 200] {
            assert_eq!(on_each(&list, threads, |n| n * 2).len(), 100);
            assert!(on_each(&list, threads, |n| n * 2).is_sorted());
        }
        assert!(on_each(&[0; 0], 4, |n| *n).is_empty());
    }

    #[test]
    fn each_result_has_its_place() {
        assert_eq!(both(|| 1, || "two"), (1, "two"));
    }
}
