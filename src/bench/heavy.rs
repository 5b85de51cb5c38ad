//! A few threads for the work that takes much memory: reading and auditing the whole shop. What a thread has freed stays with it for
//! its next work, so that many threads with such work would hold on to many shops.

use super::hold::held;
use super::problem::BenchProblem;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel, sync_channel};
use std::sync::{Arc, Mutex};
use std::thread::Builder;

/// One reads, one writes, and one shows what an entry would do.
const THREADS: usize = 3;

type Job = Box<dyn FnOnce() + Send>;

/// The threads. They end when this goes.
pub struct Heavy {
    jobs: Mutex<Sender<Job>>,
    count: usize,
}

impl Default for Heavy {
    fn default() -> Heavy {
        let (jobs, waiting) = channel::<Job>();
        let waiting = Arc::new(Mutex::new(waiting));
        let begin = |_: &usize| {
            let waiting = Arc::clone(&waiting);
            Builder::new().spawn(move || work(&waiting)).is_ok()
        };
        let count = (0..THREADS).filter(begin).count();
        Heavy {
            jobs: Mutex::new(jobs),
            count,
        }
    }
}

fn work(waiting: &Mutex<Receiver<Job>>) {
    loop {
        let job = held(waiting).recv();
        match job {
            Ok(job) => job(),
            Err(_) => return,
        }
    }
}

impl Heavy {
    /// Does some work on one of the threads, and waits for it. A system without threads does it here.
    pub fn run<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, BenchProblem> {
        if self.count == 0 {
            return Ok(work());
        }
        let (done, told) = sync_channel(1);
        let job = move || {
            // Work that fails takes its thread along otherwise.
            if let Ok(result) = catch_unwind(AssertUnwindSafe(work)) {
                let _told = done.send(result);
            }
        };
        let failed = || BenchProblem::fault("The shop could not be worked out.");
        held(&self.jobs).send(Box::new(job)).map_err(|_| failed())?;
        told.recv().map_err(|_| failed())
    }
}

#[cfg(test)]
mod tests {
    use super::Heavy;

    #[test]
    fn work_that_fails_leaves_the_threads_for_the_next() {
        let heavy = Heavy::default();
        for _ in 0..9 {
            let failed: Result<(), _> = heavy.run(|| panic!("made to fail"));
            assert!(failed.is_err());
        }
        assert_eq!(heavy.run(|| 2 + 2).unwrap(), 4);
    }
}
