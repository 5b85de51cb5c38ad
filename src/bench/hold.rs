//! Waiting: for a lock, for another program that writes while a shop is read, and so that another program gets its turn.

use super::problem::BenchProblem;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

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

/// A gap between two uses of the shop folder. Another program looks every few milliseconds whether the folder is free, and would
/// never find it so while many phones are busy.
#[derive(Default)]
pub struct WriterPause(Mutex<Option<(Instant, Duration)>>);

/// The folder is left alone for a quarter of the time that it was used, and for no less and no more than this.
const GAP: (Duration, Duration) = (Duration::from_millis(12), Duration::from_millis(250));

impl WriterPause {
    /// Does work that locks the folder, not too soon after the last.
    pub fn before<T>(&self, work: impl FnOnce() -> T) -> T {
        let last = *held(&self.0);
        let left =
            last.and_then(|(end, used)| (used / 4).clamp(GAP.0, GAP.1).checked_sub(end.elapsed()));
        if let Some(left) = left {
            std::thread::sleep(left);
        }
        let begin = Instant::now();
        let done = work();
        *held(&self.0) = Some((Instant::now(), begin.elapsed()));
        done
    }
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
