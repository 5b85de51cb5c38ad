//! Entries that arrive while one is being written are written together after it: one audit and one sync for all of them.

use super::hold::held;
use super::problem::BenchProblem;
use super::sent::{Sent, Written};
use std::sync::Mutex;
use std::sync::mpsc::{SyncSender, TryRecvError, sync_channel};

/// At most so many are written together.
const MOST_TOGETHER: usize = 64;

/// What became of an entry.
type Done = Result<Written, BenchProblem>;

/// Entries that wait, and the turn to write.
#[derive(Default)]
pub struct WriteQueue {
    waiting: Mutex<Vec<(Sent, SyncSender<Done>)>>,
    turn: Mutex<()>,
}

impl WriteQueue {
    /// Waits for the turn, then lets `work` write this entry and those that wait with it, in the order of their arrival.
    pub fn write(&self, sent: &Sent, work: impl Fn(&[&Sent]) -> Vec<Done>) -> Done {
        let (answer, told) = sync_channel(1);
        held(&self.waiting).push((sent.clone(), answer));
        let _turn = held(&self.turn);
        loop {
            // Whoever had the turn before may have written it along with the others.
            match told.try_recv() {
                Ok(done) => return done,
                Err(TryRecvError::Empty) => self.write_waiting(&work),
                Err(TryRecvError::Disconnected) => {
                    let wrong = "It is not known whether this was logged.";
                    return Err(BenchProblem::fault(wrong));
                }
            }
        }
    }

    /// Runs other work that writes while this program writes nothing else.
    pub fn alone<T>(&self, work: impl FnOnce() -> T) -> T {
        let _turn = held(&self.turn);
        work()
    }

    fn write_waiting(&self, work: &impl Fn(&[&Sent]) -> Vec<Done>) {
        let batch: Vec<(Sent, SyncSender<Done>)> = {
            let mut waiting = held(&self.waiting);
            let count = waiting.len().min(MOST_TOGETHER);
            waiting.drain(..count).collect()
        };
        let list: Vec<&Sent> = batch.iter().map(|(sent, _)| sent).collect();
        for (done, (_, answer)) in work(&list).into_iter().zip(&batch) {
            // If the request was dropped, no one reads the answer. What is written stays written.
            let _told = answer.send(done);
        }
    }
}
