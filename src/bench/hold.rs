//! Waiting: for a lock, and for another program that writes while a shop is read.

use super::problem::BenchProblem;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// A reading is begun so often.
const ATTEMPTS: usize = 20;
/// After so long each time.
const PAUSE: Duration = Duration::from_millis(25);

/// A lock whose holder failed still guards what it guards: nothing behind these is ever half changed.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Does work that reads the shop, again where a file changed meanwhile: another program writes for a moment only.
pub fn steadily<T>(mut work: impl FnMut() -> Result<T, BenchProblem>) -> Result<T, BenchProblem> {
    for _ in 1..ATTEMPTS {
        match work() {
            Err(problem) if problem.again => std::thread::sleep(PAUSE),
            done => return done,
        }
    }
    work()
}

#[cfg(test)]
mod tests {
    use super::{ATTEMPTS, steadily};
    use crate::bench::problem::BenchProblem;

    #[test]
    fn a_file_that_changes_is_read_again_and_nothing_else_is() {
        let changing = || BenchProblem {
            again: true,
            ..BenchProblem::fault("changed")
        };
        let mut tries = 0;
        let read = steadily(|| {
            tries += 1;
            if tries < 3 {
                Err(changing())
            } else {
                Ok(tries)
            }
        });
        assert_eq!(read.unwrap(), 3);
        let mut tries = 0;
        let never = steadily(|| -> Result<(), BenchProblem> {
            tries += 1;
            Err(changing())
        });
        assert!(never.is_err() && tries == ATTEMPTS);
        let mut tries = 0;
        let other = steadily(|| -> Result<(), BenchProblem> {
            tries += 1;
            Err(BenchProblem::missing("nothing"))
        });
        assert!(other.is_err() && tries == 1);
    }
}
