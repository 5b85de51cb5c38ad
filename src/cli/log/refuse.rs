//! What stands in the way of an entry, where, and the command that would work.

use super::draft::Draft;
use super::{LogNames, held};
use crate::audit::Shop;
use crate::cli::{Failure, style};
use crate::finding::Finding;
use crate::quantity::{Moment, natural};
use crate::record::{ProductKind, What};
use crate::report::fill;
use crate::stock::{Stock, StockFault, TrialResult};
use crate::text::{CellFault, Problem, Problems, clean, show_all_and};
use std::path::Path;

pub(super) const NO_WORD: &str = "error: what was done?\n = help: sandarac log use J-12 '6 fl oz' --minutes 40; `sandarac log --help` \
                                  lists the words. On a terminal it asks\nnothing was written";

/// How `log` may be told to write all the same; other commands have no such word.
pub(super) const ANYWAY: &str = ", or add --anyway";

/// A program that has a table open will save over what is written meanwhile. `or` is another way out, in words.
pub(in crate::cli) fn open_elsewhere(
    folder: &Path,
    files: [&str; 2],
    or: &str,
) -> Result<(), Failure> {
    for file in files {
        for sign in [format!(".~lock.{file}#"), format!("~${file}")] {
            if folder.join(&sign).exists() {
                return Err(Failure::Said(format!(
                    "error: {file} is open in another program, which would save over this entry ({sign} is there)\n = help: \
                     save and close it there, then try again; if it is closed, delete {sign}{or}\nnothing was written"
                )));
            }
        }
    }
    Ok(())
}

/// An entry of tomorrow is seen by no audit of today. `or` is another way out, in words.
pub(super) fn ahead_of_clock(when: Moment, now: Moment, or: &str) -> Result<(), Failure> {
    if when <= now {
        return Ok(());
    }
    Err(Failure::Said(format!(
        "error: {when} lies ahead: this computer's clock says {now}\n = help: give the moment it was with --when, set the clock \
         right{or}\nnothing was written"
    )))
}

/// A clock that went back (a flat battery sets it years back) would put an entry of now among old ones. An hour is given
/// back each autumn, and is no reason.
pub(super) fn behind_log(now: Moment, names: &LogNames, or: &str) -> Result<(), Failure> {
    match names.last {
        Some(last) if last.minutes_since(now) > 60 => Err(Failure::Said(format!(
            "error: this computer's clock says {now}, but log.csv goes on to {last}\n = help: set the clock right, give the \
             moment it was with --when, mend the day of that entry in log.csv{or}\nnothing was written"
        ))),
        Some(_) | None => Ok(()),
    }
}

/// Problems of the replay, and the command that would work.
pub(super) fn problems(
    after: &Shop,
    stock: &Stock,
    before: &Shop,
    problems: &Problems,
    draft: &Draft,
) -> Failure {
    let mut help = String::new();
    for problem in problems.sorted() {
        for line in remedies(before, stock, problem, draft) {
            if !help.contains(&line) {
                help.push_str(&format!("\ntry: {line}"));
            }
        }
    }
    let shown = show_all_and(problems, &after.files, "Nothing was written.");
    Failure::Said(format!("{}{help}", shown.trim_end()))
}

/// Commands that would work, for one problem.
fn remedies(before: &Shop, stock: &Stock, problem: &Problem, draft: &Draft) -> Vec<String> {
    if let Some(CellFault::NameUnknown { read, near, .. }) = problem.fault_of() {
        return for_unknown_name(read, near.as_deref(), draft);
    }
    match problem.fault_of() {
        Some(StockFault::TakesMore { container, .. }) => {
            for_too_much(before, stock, container, draft)
        }
        Some(StockFault::OtherProduct { .. }) => vec![changed(draft, |d| d.what = What::Mix)],
        Some(_) | None => Vec::new(),
    }
}

/// The command for a draft that is changed in one respect.
fn changed(draft: &Draft, change: impl FnOnce(&mut Draft)) -> String {
    let mut other = draft.clone();
    change(&mut other);
    other.command()
}

fn for_unknown_name(read: &str, near: Option<&str>, draft: &Draft) -> Vec<String> {
    let mut list = Vec::new();
    if let Some(near) = near {
        list.push(changed(draft, |d| {
            for cell in [&mut d.container, &mut d.into, &mut d.place] {
                if cell == read {
                    *cell = near.to_string();
                }
            }
        }));
    }
    let may_be_new = matches!(draft.what, What::Mix | What::Decant | What::Receive);
    if may_be_new && draft.new.is_none() && read == draft.new_container() {
        list.push(format!(
            "{} --product WHAT --vessel glass --capacity '1 qt' --place WHERE, if `{}` is new",
            draft.command(),
            clean(read)
        ));
    }
    list
}

fn for_too_much(before: &Shop, stock: &Stock, container: &str, draft: &Draft) -> Vec<String> {
    let us = before.tables.shop.us;
    let all = held(before, stock, container).map(|amount| natural(amount, us));
    let mut list: Vec<String> = all
        .filter(|_| container == draft.container)
        .map(|all| changed(draft, |d| d.amount = all))
        .into_iter()
        .collect();
    let count = Draft {
        container: container.to_string(),
        amount: "AMOUNT".into(),
        ..Draft::new(What::Count)
    };
    list.push(format!(
        "{}, if more is there than the book says",
        count.command()
    ));
    list
}

/// What failed its test goes on no work.
pub(super) fn failed_jar(
    before: &Shop,
    stock: &Stock,
    draft: &Draft,
    anyway: bool,
) -> Result<(), Failure> {
    if anyway || !matches!(draft.what, What::Use | What::Mix | What::Decant) {
        return Ok(());
    }
    let kind = |name: &str| {
        let at = before.tables.container(name)?;
        before.tables.kinds.get(at).copied().flatten()
    };
    let trial = before
        .tables
        .container(&draft.container)
        .and_then(|at| stock.containers.get(at))
        .and_then(|contents| contents.trial)
        .filter(|trial| trial.result == TrialResult::Fail);
    let (Some(trial), false) = (trial, kind(&draft.into) == Some(ProductKind::Waste)) else {
        return Ok(());
    };
    let place = before.files.locate(trial.at);
    let at = place
        .line
        .map_or(place.name.clone(), |line| format!("{}:{line}", place.name));
    let discard = Draft {
        container: draft.container.clone(),
        ..Draft::new(What::Discard)
    };
    Err(Failure::Said(format!(
        "error: `{}` failed the {} test on {}, and goes on no work\n --> {at}\n = try: {}\n = help: if it has happened, \
         write it down all the same with --anyway\nnothing was written",
        clean(&draft.container),
        trial.test,
        trial.day,
        discard.command()
    )))
}

/// Breaches that the entry would bring.
pub(super) fn objections(after: &Shop, against: &[&Finding], draft: &Draft) -> Failure {
    let mut text = String::new();
    for finding in against {
        let limit = if finding.limit.is_empty() {
            String::new()
        } else {
            format!("; limit {}", finding.limit)
        };
        text.push_str(&format!(
            "error: {}: {}: {}{limit}\n",
            clean(&finding.title),
            clean(&finding.subject.id),
            clean(&finding.observed)
        ));
        text.push_str(&format!(
            " --> {}/{}, {}\n",
            finding.pack,
            finding.rule,
            clean(&finding.citation.clause)
        ));
        let places: Vec<String> = finding
            .evidence
            .iter()
            .take(3)
            .map(|place| after.files.locate(*place))
            .map(|at| {
                at.line
                    .map_or(at.name.clone(), |line| format!("{}:{line}", at.name))
            })
            .collect();
        if !places.is_empty() {
            text.push_str(&format!(" = see: {}\n", places.join(", ")));
        }
        for (lead, words) in [(" = why: ", &*finding.why), (" = do: ", &finding.action)] {
            text.push_str(&fill(&clean(words), style::columns(), lead, "   "));
            text.push('\n');
        }
    }
    text.push_str(&format!(
        " = help: if it has happened, write it down all the same: {} --anyway\nnothing was written",
        draft.command()
    ));
    Failure::Said(text)
}

/// The entry that takes another back: the last that is neither a correction nor taken back already.
pub(super) fn undo(before: &Shop, named: Option<&str>) -> Result<Draft, Failure> {
    let (mut entries, mut mended): (Vec<(String, String)>, Vec<String>) = (Vec::new(), Vec::new());
    before.each_entry(|cells| {
        if cells[2] == "correct" {
            mended.push(cells[5].to_string());
        } else {
            entries.push((cells[0].to_string(), cells[1].to_string()));
            // The last few are enough, unless one is named.
            if named.is_none() && entries.len() > 200 {
                entries.drain(..100);
            }
        }
    });
    let found = match named {
        Some(name) => entries.iter().find(|(id, _)| id == name),
        None => entries.iter().rev().find(|(id, _)| !mended.contains(id)),
    };
    let say = |what: String| {
        Failure::Said(format!(
            "error: {what}\n = help: name the entry, as log.csv names it: sandarac log undo 207\nnothing was written"
        ))
    };
    match (found, named) {
        (Some((id, _)), _) if mended.contains(id) => Err(say(format!(
            "entry {} is mended or taken back already",
            clean(id)
        ))),
        (Some((id, _)), _) => Ok(Draft {
            into: id.clone(),
            says: "void".into(),
            ..Draft::new(What::Correct)
        }),
        (None, Some(name)) => Err(say(format!("there is no entry `{}`", clean(name)))),
        (None, None) => Err(say("there is no entry to take back".into())),
    }
}
