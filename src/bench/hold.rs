//! Locks.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock whose holder failed still guards what it guards: nothing behind these is ever half changed.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
