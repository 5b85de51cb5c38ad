//! Two pieces of work at the same time.

use std::panic::resume_unwind;
use std::thread::{Builder, scope};

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
    use super::both;

    #[test]
    fn each_result_has_its_place() {
        assert_eq!(both(|| 1, || "two"), (1, "two"));
    }
}
