//! What stands in the way of an entry, where, and the command that would work.

use super::draft::Draft;
use super::held;
use crate::audit::Shop;
use crate::cli::open::WRITTEN;
use crate::cli::{Failure, style};
use crate::finding::Finding;
use crate::quantity::natural;
use crate::record::What;
use crate::report::fill;
use crate::stock::{Stock, StockFault, failed_test};
use crate::store::{Misfit, each_entry};
use crate::text::{CellFault, Problem, Span, clean};

pub(super) fn no_word() -> Failure {
    Failure::refused(
        "The command does not say what was done.",
        "For example: sandarac log use J-12 '6 fl oz' --minutes 40. `sandarac log --help` lists the words. On a terminal, \
         `sandarac log` asks.",
        WRITTEN,
    )
}

/// Problems of the replay, and the command that would work.
pub(super) fn problems(misfit: &Misfit, before: &Shop, draft: &Draft) -> Failure {
    let mut help = String::new();
    for problem in misfit.problems.sorted() {
        for line in remedies(before, &misfit.stock, problem, draft) {
            if !help.contains(&line) {
                help.push_str(&format!("\ntry: {line}"));
            }
        }
    }
    let shown = misfit.shown.text(WRITTEN);
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
    let trial = failed_test(
        &before.tables,
        stock,
        draft.what,
        &draft.container,
        &draft.into,
    );
    let Some(trial) = trial.filter(|_| !anyway) else {
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
    Err(Failure::refused(
        format!(
            "{} failed the {} test on {} ({at}). It must not go on any work.",
            clean(&draft.container),
            trial.test,
            trial.day
        ),
        format!(
            "Throw it out: {}. If it was used, log that with --anyway.",
            discard.command()
        ),
        WRITTEN,
    ))
}

/// Breaches that the entry would bring.
pub(super) fn objections(after: &Shop, against: &[Finding], draft: &Draft) -> Failure {
    let mut text = String::new();
    for finding in against {
        let limit = match finding.limit.as_str() {
            "" => String::new(),
            limit => format!("; limit {limit}"),
        };
        let locate = |at: &Span| {
            let at = after.files.locate(*at);
            at.line
                .map_or(at.name.clone(), |line| format!("{}:{line}", at.name))
        };
        let places: Vec<String> = finding.evidence.iter().take(3).map(locate).collect();
        let see = match places.is_empty() {
            true => String::new(),
            false => format!(" See also {}.", places.join(", ")),
        };
        let rule = format!(
            "Rule {}/{}, {}.{see}",
            finding.pack, finding.rule, finding.citation.clause
        );
        text.push_str(&clean(&format!(
            "{}: {}: {}{limit}",
            finding.title, finding.subject.id, finding.observed
        )));
        text.push('\n');
        for words in [&rule, &*finding.why, &finding.action] {
            text.push_str(&fill(&clean(words), style::columns(), "  ", "  "));
            text.push('\n');
        }
    }
    let wrong = text.trim_end();
    let fix = format!(
        "If it has happened, log it all the same: {} --anyway",
        draft.command()
    );
    Failure::refused(wrong, fix, WRITTEN)
}

/// The entry that takes another back: the last that is neither a correction nor taken back already.
pub(super) fn undo(before: &Shop, named: Option<&str>) -> Result<Draft, Failure> {
    let (mut entries, mut mended): (Vec<(String, String)>, Vec<String>) = (Vec::new(), Vec::new());
    each_entry(before, |row| {
        let [name, when, what, _, _, into]: [&str; 6] = row.texts();
        if what == "correct" {
            mended.push(into.to_string());
        } else {
            entries.push((name.to_string(), when.to_string()));
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
        let fix = "Name the entry as log.csv does, for example: sandarac log undo 207.";
        Failure::refused(what, fix, WRITTEN)
    };
    match (found, named) {
        (Some((id, _)), _) if mended.contains(id) => Err(say(format!(
            "Entry {} is corrected or taken back already.",
            clean(id)
        ))),
        (Some((id, _)), _) => Ok(Draft {
            into: id.clone(),
            says: "void".into(),
            ..Draft::new(What::Correct)
        }),
        (None, Some(name)) => Err(say(format!("There is no entry \"{}\".", clean(name)))),
        (None, None) => Err(say("There is no entry to take back.".into())),
    }
}
