//! What is sent of a round: an answer that waits in it, the round as a whole, and taking it back. The store decides what may be
//! written; the round only waits.

use super::round::is_fresh;
use crate::bench::call::{Call, Reply};
use crate::bench::entry::sent;
use crate::bench::hold::steadily;
use crate::bench::photo::{Photo, photo as picture};
use crate::bench::problem::BenchProblem;
use crate::bench::round_draft::{DraftLine, RoundDraft};
use crate::bench::secret::entry_id;
use crate::bench::sent::Sent;
use crate::bench::state::Bench;
use crate::bench::write::{opened, plan};
use crate::files::{Journal, MOST_PHOTO_BYTES, drop_photo, keep_photo, photo_of};
use crate::record::{CHECKS, What};
use crate::store::{Access, Clock, NotWritten, Outcome, Submission};
use crate::text::clean;

/// The note of an entry that voids a count of a round.
const VOID: &str = "void: the round was taken back at the bench";

/// An answer or a count, with a photo if one was sent. When this answers, it is on the disk of the shop's computer.
pub fn answer(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let entry = sent(call, &now)?;
    let line = DraftLine::of(&entry).filter(|_| matches!(entry.what, None | Some(What::Count)));
    let line = line.ok_or_else(|| {
        BenchProblem::unfit("A round holds answers and counts.", "Use the page Log.")
    })?;
    let photo = photo(call, &line)?;
    let keep = || keep(&call.bench, &entry, &line, photo.as_ref());
    call.bench.queue.alone(|| steadily(keep))?;
    let place = call.back();
    Ok(match call.plain {
        true => Reply::lines(format!(
            "written\n{}\n{place}\nKept in the round.",
            entry.id
        )),
        false => Reply::see(place),
    })
}

/// The picture that was sent along.
fn photo(call: &Call, line: &DraftLine) -> Result<Option<Photo>, BenchProblem> {
    let Some(bytes) = &call.file else {
        return Ok(None);
    };
    let most = usize::try_from(MOST_PHOTO_BYTES).unwrap_or(usize::MAX);
    let unfit = |wrong: &str| {
        Err(BenchProblem::unfit(
            wrong,
            "Choose another photo, or answer without one.",
        ))
    };
    if line.file != CHECKS.file {
        return unfit("A count has no photo.");
    }
    if bytes.len() > most {
        return unfit("The photo is larger than 8 MB.");
    }
    match picture(bytes) {
        Some(photo) => Ok(Some(photo)),
        None => unfit("The file is no whole JPEG or PNG picture."),
    }
}

/// Keeps a line in the round. The store looks at it now, so that whatever is wrong with it is said to whoever is standing there.
fn keep(
    bench: &Bench,
    entry: &Sent,
    line: &DraftLine,
    photo: Option<&Photo>,
) -> Result<(), BenchProblem> {
    let shop = bench.folder();
    let store = opened(bench, Access::WriteAnyway)?;
    let mut round = RoundDraft::read(shop)?;
    let there = round.lines.iter().position(|own| own.id == line.id);
    match there.and_then(|at| round.lines.get(at)) {
        Some(own) if own.cells == line.cells => return Ok(()),
        // Sent from the same form with another answer: nothing is saved yet, so it takes the place.
        Some(_) => round.lines.retain(|own| own.id != line.id),
        None => {
            let planned = plan(&store, bench, entry)?;
            if let Some(Outcome::Already(_)) = planned.outcomes.first() {
                return Ok(());
            }
        }
    }
    if let Some(photo) = photo {
        keep_photo(shop, &line.id, photo.ending, &photo.bytes).map_err(|fault| unkept(&fault))?;
    }
    let old = round.put(line.clone())?;
    round.keep(shop)?;
    // A photo that stays behind does no harm.
    let _gone = old.map(|old| drop_photo(shop, &old.id));
    Ok(())
}

fn unkept(fault: &std::io::Error) -> BenchProblem {
    BenchProblem::fault(format!(
        "The photo cannot be kept: {}.",
        clean(&fault.to_string())
    ))
}

/// The right to change the round, which is that to write into the folder.
fn held(bench: &Bench) -> Result<Journal, BenchProblem> {
    let (journal, _) = Journal::hold(bench.folder()).map_err(NotWritten::Folder)?;
    Ok(journal)
}

/// Takes one answer out again.
pub fn out(call: &Call) -> Result<Reply, BenchProblem> {
    let (shop, id) = (call.bench.folder(), call.text("line"));
    call.bench.queue.alone(|| {
        let _journal = held(&call.bench)?;
        let mut round = RoundDraft::read(shop)?;
        let before = round.lines.len();
        round.lines.retain(|line| line.id != id);
        if round.lines.len() < before {
            round.keep(shop)?;
            let _gone = drop_photo(shop, id);
        }
        Ok(Reply::see("/round"))
    })
}

/// Writes all of it or nothing. What was seen is a true record, whatever it breaks, so that nothing stands in the way.
pub fn save(call: &Call) -> Result<Reply, BenchProblem> {
    let (bench, shop) = (&call.bench, call.bench.folder());
    let save = || {
        let store = opened(bench, Access::Write)?;
        let round = RoundDraft::read(shop)?;
        // Another person saved it, or this was sent twice.
        if round.lines.is_empty() {
            return Ok(());
        }
        let all: Vec<Submission> = round.lines.iter().map(DraftLine::submission).collect();
        let now = bench.clock().now();
        let plan = store.plan(&all, &Clock::typed(now))?;
        store.write(&plan)?;
        round.keep_saved(shop, now)
    };
    bench.queue.alone(|| steadily(save))?;
    Ok(Reply::see("/round"))
}

/// Takes the round back that was saved just now: it waits again, as if it had not been saved.
pub fn undo(call: &Call) -> Result<Reply, BenchProblem> {
    let (bench, shop) = (&call.bench, call.bench.folder());
    let by = call
        .caller
        .as_ref()
        .map_or("", |caller| caller.person.as_str());
    let undo = || {
        let store = opened(bench, Access::Write)?;
        let saved = RoundDraft::last_saved(shop)?;
        let now = bench.clock().now();
        if !is_fresh(&saved, now) {
            return Err(BenchProblem::unfit(
                "No round was saved in the last ten minutes.",
                "Answer the questions again where something changed: the last answer counts.",
            ));
        }
        let ids: Vec<&str> = saved.lines.iter().map(|line| line.id.as_str()).collect();
        if let Some(plan) = store.plan_without(&ids, (by, VOID), &Clock::typed(now))? {
            store.write(&plan)?;
        }
        let mut round = RoundDraft::read(shop)?;
        for mut line in saved.lines {
            // The count stays in the log with the entry that voids it, and its id with it.
            if line.file != CHECKS.file {
                line.id = entry_id();
            }
            round.put(line)?;
        }
        round.keep(shop)?;
        RoundDraft::forget_saved(shop)
    };
    bench.queue.alone(|| steadily(undo))?;
    Ok(Reply::see("/round"))
}

/// The photo of an answer.
pub fn photo_file(call: &Call) -> Result<Reply, BenchProblem> {
    let id = call.name.split('.').next().unwrap_or_default();
    let missing = || BenchProblem::missing("There is no such photo.");
    let found = photo_of(call.bench.folder(), id).filter(|(name, _)| *name == call.name);
    let (name, path) = found.ok_or_else(missing)?;
    let bytes = std::fs::read(path).map_err(|_| missing())?;
    let kind = match name.ends_with(".png") {
        true => "image/png",
        false => "image/jpeg",
    };
    Ok(Reply::bytes(kind, bytes))
}
