//! The workbook: written for a download, looked at when it comes back, and its changes written all together.

use crate::audit::Shop;
use crate::bench::call::{Call, Reply};
use crate::bench::device::{home, secretly};
use crate::bench::frame::page;
use crate::bench::hold::steadily;
use crate::bench::problem::BenchProblem;
use crate::bench::secret::sha256;
use crate::bench::write::broken;
use crate::record::shapes;
use crate::store::{Access, Store};
use crate::text::clean;
use crate::workbook::{
    Difference, Merged, NotMade, Workbook, WorkbookQuestion, difference_words, kept_words, merge,
    plan, question_words, unread_words, write,
};
use axum::http::StatusCode;
use maud::html;
use std::path::PathBuf;

/// What a spreadsheet calls its own kind of file.
const KIND: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
/// The name that a download gets.
const NAME: &str = "shop.xlsx";
/// An OpenDocument file says so near its begin.
const OPEN_DOCUMENT: &[u8] = b"mimetypeapplication/vnd.oasis.opendocument";

/// The workbook of the shop as it is.
pub fn download(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let failed = |NotMade(why): NotMade| {
        BenchProblem::fault(format!("The workbook cannot be made: {}.", clean(&why)))
    };
    let bytes = write(&now.shop, call.bench.clock().now()).map_err(failed)?;
    now.shop.steady()?;
    Ok(Reply {
        name: Some(NAME),
        ..Reply::bytes(KIND, bytes)
    })
}

/// Where a workbook waits that was sent. There is one at a time.
fn waiting(call: &Call, ending: &str) -> PathBuf {
    home(call.bench.folder()).join(format!("upload.{ending}"))
}

/// A workbook arrives: it is kept, and its changes are shown. Nothing is written into the tables.
pub fn upload(call: &Call) -> Result<Reply, BenchProblem> {
    let Some(bytes) = &call.file else {
        return Err(BenchProblem::unfit(
            "No workbook was chosen.",
            "Go back and choose the file.",
        ));
    };
    let head = bytes.get(..200).unwrap_or(bytes);
    let is_open = head
        .windows(OPEN_DOCUMENT.len())
        .any(|part| part == OPEN_DOCUMENT);
    let (ending, other) = if is_open {
        ("ods", "xlsx")
    } else {
        ("xlsx", "ods")
    };
    let kept = std::fs::create_dir_all(home(call.bench.folder()))
        .and_then(|()| secretly(&waiting(call, ending), bytes));
    kept.map_err(|fault| BenchProblem::fault(format!("The workbook cannot be kept: {fault}.")))?;
    let _gone = std::fs::remove_file(waiting(call, other));
    steadily(|| shown(call))
}

fn read(call: &Call) -> Result<Workbook, BenchProblem> {
    let paths = ["xlsx", "ods"].map(|ending| waiting(call, ending));
    let Some(path) = paths.iter().find(|path| path.is_file()) else {
        return Err(BenchProblem::missing("No workbook waits."));
    };
    Workbook::read(path).map_err(|not| {
        let (wrong, fix) = unread_words("The workbook", &not);
        BenchProblem::unfit(wrong, fix)
    })
}

/// What a workbook changes, as a person was shown it: another state of the shop or the workbook gives another text.
fn seen(merged: &Merged) -> String {
    let differences = merged.differences.iter().map(difference_words);
    let lines: Vec<String> = differences
        .chain(merged.questions.iter().map(question_words))
        .collect();
    sha256(lines.join("\n").as_bytes())
}

fn compared(shop: &Shop, book: &Workbook) -> Result<Merged, BenchProblem> {
    // What is wrong with a workbook is wrong with what was sent.
    merge(shop, book).map_err(|not| BenchProblem {
        status: StatusCode::UNPROCESSABLE_ENTITY,
        ..not.into()
    })
}

/// The changes, row by row, with the questions that only a person can decide.
fn shown(call: &Call) -> Result<Reply, BenchProblem> {
    let book = read(call)?;
    let now = call.bench.now()?;
    let store = Store::open(call.bench.folder(), &shapes(), Access::Look)?;
    let merged = compared(&store.shop, &book)?;
    let planned = plan(&store, &merged.differences, call.bench.clock().now())?;
    let (changes, questions) = (&merged.differences, &merged.questions);
    let main = html! {
        @for line in kept_words(&merged) { p.warning { (line) } }
        @if changes.is_empty() && questions.is_empty() { p { "The workbook changes nothing." } }
        @if !changes.is_empty() {
            h2 { "Changes" }
            ul.things { @for change in changes { li { p { (difference_words(change)) } } } }
        }
        @for finding in planned.against.iter().chain(&planned.told) { p.warning { "This breaks a rule: " (broken(&planned, finding)) } }
        @if !changes.is_empty() || !questions.is_empty() {
            form.entry method="post" action="/office/take" {
                input type="hidden" name="seen" value=(seen(&merged));
                @for (at, question) in questions.iter().enumerate() {
                    fieldset {
                        legend { (question_words(question)) }
                        label { input type="radio" name={ "q" (at) } value="no" checked; span { "No, the shop stays as it is" } }
                        label { input type="radio" name={ "q" (at) } value="yes"; span { "Yes" } }
                    }
                }
                button type="submit" { "Write all of it" }
            }
        }
        p { a.act.quiet href="/office" { "Write nothing" } }
    };
    Ok(Reply::page(page(
        call,
        &now,
        "Changes in the workbook",
        &main,
    )))
}

/// Writes what was shown, all of it or nothing.
pub fn take(call: &Call) -> Result<Reply, BenchProblem> {
    let book = read(call)?;
    let take = || {
        let store = Store::open(call.bench.folder(), &shapes(), Access::Write)?;
        let merged = compared(&store.shop, &book)?;
        if seen(&merged) != call.text("seen") {
            return Err(BenchProblem::new(
                StatusCode::CONFLICT,
                "The shop or the workbook changed since the changes were shown.",
                "Send the workbook again and look at its changes.",
            ));
        }
        let wanted = |(at, _): &(usize, &WorkbookQuestion)| call.text(&format!("q{at}")) == "yes";
        let asked = merged.questions.iter().enumerate().filter(wanted);
        let mut changes: Vec<Difference> = asked
            .map(|(_, question)| question.difference.clone())
            .collect();
        changes.extend(merged.differences.iter().cloned());
        let planned = plan(&store, &changes, call.bench.clock().now())?;
        store.write(&planned)?;
        Ok(changes.len())
    };
    let count = call.bench.queue.alone(|| steadily(take))?;
    for ending in ["xlsx", "ods"] {
        let _gone = std::fs::remove_file(waiting(call, ending));
    }
    Ok(Reply::see(format!("/office?written={count}")))
}
