//! Waiting for a lock that another program holds.

use std::fs::TryLockError;
use std::time::{Duration, Instant};

/// How long another program is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// Tries to lock until that works or patience ends. Where the system knows no locks, nothing is waited for.
pub(super) fn lock(attempt: impl FnMut() -> Result<(), TryLockError>) -> Result<(), TryLockError> {
    let start = Instant::now();
    let pause = || std::thread::sleep(Duration::from_millis(5));
    lock_by(attempt, || start.elapsed(), pause)
}

fn lock_by(
    mut attempt: impl FnMut() -> Result<(), TryLockError>,
    waited: impl Fn() -> Duration,
    pause: impl Fn(),
) -> Result<(), TryLockError> {
    loop {
        match attempt() {
            Err(TryLockError::WouldBlock) if waited() < PATIENCE => pause(),
            done => return done,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::lock_by;
    use std::cell::Cell;
    use std::fs::TryLockError;
    use std::time::Duration;

    /// By a clock that goes on by one millisecond with each pause.
    fn held_for(millis: u64) -> Result<(), TryLockError> {
        let clock = Cell::new(Duration::ZERO);
        let attempt = || match clock.get() < Duration::from_millis(millis) {
            true => Err(TryLockError::WouldBlock),
            false => Ok(()),
        };
        let pause = || clock.set(clock.get() + Duration::from_millis(1));
        lock_by(attempt, || clock.get(), pause)
    }

    #[test]
    fn another_program_is_waited_for_ten_seconds() {
        assert!(held_for(0).is_ok());
        assert!(held_for(10_000).is_ok());
        assert!(matches!(held_for(10_001), Err(TryLockError::WouldBlock)));
    }

    #[test]
    fn where_there_are_no_locks_nothing_is_waited_for() {
        let none = || Err(TryLockError::Error(std::io::Error::other("no locks")));
        let never = || panic!("paused");
        assert!(matches!(
            lock_by(none, || Duration::ZERO, never),
            Err(TryLockError::Error(_))
        ));
    }
}
