//! What is in the way of an entry, where, and the command that would work.

use super::draft::{Draft, TypedOptions};
use super::repair::{repaired, soils};
use super::together::Together;
use crate::audit::Shop;
use crate::cli::open::WRITTEN;
use crate::cli::{Failure, style};
use crate::finding::{Concern, Finding};
use crate::quantity::Measure;
use crate::record::{HAZARDOUS_WASTE, What};
use crate::report::fill;
use crate::report::words::{Wording, date, moment};
use crate::stock::{RagBatch, Stock, StockFault, UnclearEntry, UnclearWhy, failed_test};
use crate::store::{Misfit, Plan, Store};
use crate::text::{CellFault, Problem, clean, the};

pub(super) fn no_word() -> Failure {
    Failure::refused(
        "The command does not name what was done.",
        "For example: sandarac log use J-12 '6 fl oz' --minutes 40. `sandarac log --help` lists the words. On a terminal, \
         `sandarac log` asks.",
        WRITTEN,
    )
}

/// An undo without a name, where the last action may be among the rows that are lost.
pub(super) fn last_unknown() -> Failure {
    Failure::refused(
        "Rows of the log are missing or another copy of it is there, so the last action is unknown.",
        "Run `sandarac log restore` first, or name the entry: sandarac log undo 207 --anyway",
        WRITTEN,
    )
}

/// Problems of the replay, and the command that would work.
pub(super) fn problems(
    misfit: &Misfit,
    store: &Store,
    draft: &Draft,
    with: &Together<'_>,
) -> Failure {
    let mut others: Vec<String> = Vec::new();
    for problem in misfit.problems.sorted() {
        if let Some(other) = alternatives(&problem, draft, store.shop.tables.shop.us)
            && !others.contains(&other)
        {
            others.push(other);
        }
    }
    let mut help = repaired(misfit, store, draft, with).words();
    for other in others {
        help.push_str(&format!("\n{other}"));
    }
    let shown = misfit.shown.text(WRITTEN);
    Failure::Said(format!("{}{help}", shown.trim_end()))
}

/// The size of a jar, as an example.
pub fn usual_size(us: bool) -> &'static str {
    if us { "1 qt" } else { "1 L" }
}

/// The command for a draft that is changed in one respect.
fn changed(draft: &Draft, change: impl FnOnce(&mut Draft)) -> String {
    let mut other = draft.clone();
    change(&mut other);
    other.whole_command()
}

/// Other commands that may be meant.
fn alternatives(problem: &Problem, draft: &Draft, us: bool) -> Option<String> {
    if let Some(CellFault::NameUnknown { read, .. }) = problem.fault_of() {
        let may_be_new = matches!(draft.what, What::Mix | What::Decant | What::Receive)
            && draft.new.is_none()
            && read == draft.new_container();
        return may_be_new.then(|| {
            let new = Draft {
                new: Some(super::new_container::NewContainer {
                    product: Some("PRODUCT".into()),
                    vessel: Some("glass".into()),
                    capacity: Some(usual_size(us).into()),
                    place: Some("PLACE".into()),
                    ..super::new_container::NewContainer::default()
                }),
                ..draft.clone()
            };
            format!("If {} is new: {}", clean(read), new.whole_command())
        });
    }
    let container = match problem.fault_of() {
        Some(StockFault::RagsFew { container, .. }) if soils(draft.what) => {
            let receive = received(draft, container);
            return Some(format!(
                "If they are other rags, log first how many came: {receive}"
            ));
        }
        Some(StockFault::TakesMore { container, .. }) => container,
        Some(_) | None => return None,
    };
    // What is there is counted before the entry that takes it.
    let count = Draft {
        container: container.clone(),
        amount: "AMOUNT".into(),
        typed: TypedOptions {
            when: draft.typed.when.as_ref().map(|_| "EARLIER".to_string()),
            note: None,
            ..draft.typed.clone()
        },
        ..Draft::new(What::Count)
    };
    Some(format!(
        "If there is more than the log says, count it first: {}",
        count.whole_command()
    ))
}

/// A jar that failed its test must not be used.
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
    let at = before.files.row_name(trial.at);
    let discard = Draft {
        container: draft.container.clone(),
        typed: TypedOptions {
            note: None,
            ..draft.typed.clone()
        },
        ..Draft::new(What::Discard)
    };
    Err(Failure::refused(
        format!(
            "{} failed the {} test on {} ({at}). Do not use it on any work.",
            clean(&draft.container),
            trial.test,
            date(trial.day)
        ),
        format!(
            "Discard it: {}. If it was used, log that with --anyway.",
            discard.whole_command()
        ),
        WRITTEN,
    ))
}

/// An entry that could mean one batch of rags or another, with a command for each.
pub(super) fn unclear(plan: &Plan, entry: &UnclearEntry, draft: &Draft) -> Failure {
    let batches = entry.could_be.iter();
    let lines = batches.filter_map(|batch| batch_line(plan, entry, batch, draft));
    let mut lines: Vec<String> = lines.collect();
    lines.dedup();
    match entry.why {
        UnclearWhy::WhichRags => {}
        UnclearWhy::UsedAgain => return wet_again(plan, entry, draft, &lines),
        UnclearWhy::TooEarly => {
            return Failure::refused(
                format!(
                    "{} were spread today. Oil takes days to dry, so no test can find them hard and dry yet.",
                    clean(&draft.container)
                ),
                "Test them on another day. With --anyway the test is logged, and they still count as wet.",
                WRITTEN,
            );
        }
    }
    let wrong = format!(
        "It is not clear which rags of {} are meant.{}",
        clean(&draft.container),
        match lines.len() {
            0 | 1 => String::new(),
            many => format!(" There are {many} groups."),
        }
    );
    let fix = format!(
        "Name the place they are taken from:\n  {}",
        lines.join("\n  ")
    );
    Failure::refused(wrong, fix, WRITTEN)
}

/// A batch that could be meant, with the command that names it.
fn batch_line(
    plan: &Plan,
    entry: &UnclearEntry,
    batch: &RagBatch,
    draft: &Draft,
) -> Option<String> {
    let tables = &plan.shop.tables;
    let what = entry.clear_kind();
    let rags = (entry.container, batch);
    let from = plan.before.source_word(tables, rags, what)?;
    let place = tables.location_name(batch.location);
    let since = batch
        .since
        .map_or_else(|| "an unknown time".into(), |at| moment(at, tables.shop.us));
    let digits = batch.pieces.digits();
    Some(format!(
        "{digits} {} {} since {since}, {}: {}",
        if digits == "1" { "rag" } else { "rags" },
        place.map_or_else(
            || "at an unknown place".into(),
            |place| format!("at {}", the(&place))
        ),
        batch.state.words().state,
        changed(draft, |draft| {
            (draft.what, draft.from) = (what, from);
            let asked = Measure::parse(&draft.amount).ok();
            if asked.is_some_and(|asked| asked.base > batch.pieces) {
                draft.amount = format!("{digits} pcs");
            }
        })
    ))
}

/// The command for rags that came before an entry.
fn received(draft: &Draft, container: &str) -> String {
    let received = Draft {
        container: container.into(),
        amount: "PIECES".into(),
        typed: TypedOptions {
            when: draft.typed.when.as_ref().map(|_| "EARLIER".to_string()),
            note: None,
            ..draft.typed.clone()
        },
        ..Draft::new(What::Receive)
    };
    received.whole_command()
}

/// More rags are soiled than there are unused: a command for each batch that may have been used again.
fn wet_again(plan: &Plan, entry: &UnclearEntry, draft: &Draft, lines: &[String]) -> Failure {
    let unused = plan.before.unused_rags(entry.container);
    let wrong = format!(
        "{} has {} left, so it is not clear which rags these are.",
        clean(&draft.container),
        match unused.as_str() {
            "0" => "no unused rag".to_string(),
            "1" => "only 1 unused rag".to_string(),
            unused => format!("only {unused} unused rags"),
        }
    );
    let received = received(draft, &draft.container);
    let mut fix = String::new();
    if unused != "0" {
        let first = changed(draft, |draft| draft.amount = format!("{unused} pcs"));
        fix = format!("Log the unused ones first: {first}\n  ");
    }
    fix.push_str(&format!(
        "If a wet rag was used again, name it:\n  {}\n  If they are other rags, log first how many came: {received}\n  \
         Or add --anyway: until you know, they count as more rags.",
        lines.join("\n  ")
    ));
    Failure::refused(wrong, fix, WRITTEN)
}

/// Breaches that the entry would bring.
pub(super) fn objections(plan: &Plan, draft: &Draft) -> Failure {
    let (after, against) = (&plan.shop, &plan.against);
    let wording = Wording::of_shop(after, plan.after.on);
    let mut text = String::new();
    for finding in against {
        let told = wording.finding(finding);
        let rows = finding.evidence.iter().take(3);
        let places: Vec<String> = rows.map(|at| after.files.row_name(*at)).collect();
        let see = match places.is_empty() {
            true => String::new(),
            false => format!(" See also {}.", places.join(", ")),
        };
        let rule = format!(
            "{} ({}/{}).{see}",
            told.law, finding.rule.pack, finding.rule.id
        );
        text.push_str(&clean(&told.fact));
        text.push('\n');
        for words in [&rule, &*finding.rule.why, &finding.action] {
            text.push_str(&fill(&clean(words), style::columns(), "  ", "  "));
            text.push('\n');
        }
    }
    let wrong = text.trim_end();
    let mut fix = format!(
        "If this has already happened, log it anyway: {} --anyway",
        draft.whole_command()
    );
    let wet = |finding: &Finding| finding.rule.concern == Concern::ThrownOut;
    if against.iter().any(wet) {
        let waste = changed(draft, |draft| draft.into = HAZARDOUS_WASTE.into());
        fix = format!("If they leave the building as hazardous waste: {waste}\n  {fix}");
    }
    Failure::refused(wrong, fix, WRITTEN)
}
