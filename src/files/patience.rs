//! Waiting for a lock that another program holds.

use std::fs::TryLockError;
use std::io::Error;
use std::time::{Duration, Instant};

/// How long another program is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// Why a lock was not had.
#[derive(Debug)]
pub(super) enum NotLocked {
    /// Another program held it all the time.
    Busy,
    /// The system knows no locks here, or refused.
    Fault(Error),
}

/// Tries to lock until that works or patience ends.
pub(super) fn lock(
    attempt: impl FnMut() -> Result<(), TryLockError>,
) -> std::result::Result<(), NotLocked> {
    let initial = Instant::now();
    let pause = || std::thread::sleep(Duration::from_millis(5));
    lock_by(attempt, || initial.elapsed(), pause)
}

fn lock_by(
    mut attempt: impl FnMut() -> Result<(), TryLockError>,
    waited: impl Fn() -> Duration,
    pause: impl Fn(),
) -> std::result::Result<(), NotLocked> {
    loop {
        match attempt() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) if waited() < PATIENCE => pause(),
            Err(TryLockError::WouldBlock) => return Err(NotLocked::Busy),
            Err(TryLockError::Error(fault)) => return Err(NotLocked::Fault(fault)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{NotLocked, lock_by};
    use std::cell::Cell;
    use std::fs::TryLockError;
    use std::time::Duration;

    /// By a clock that goes on by one millisecond with each pause.
    fn held_for(millis: u64) -> Result<(), NotLocked> {
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
        assert!(matches!(held_for(10_001), Err(NotLocked::Busy)));
    }

    #[test]
    fn where_there_are_no_locks_nothing_is_waited_for() {
        let none = || Err(TryLockError::Error(std::io::Error::other("no locks")));
        let never = || panic!("paused");
        assert!(matches!(
            lock_by(none, || Duration::ZERO, never),
            Err(NotLocked::Fault(_))
        ));
    }
}
