//! `sandarac log accept RULE SUBJECT`: a finding that the owner or the authority accepts until a day, and its withdrawal.

use super::args::{AcceptArgs, WithArgs};
use super::edit;
use super::moment::due_day;
use crate::audit::Audit;
use crate::cli::open::WRITTEN;
use crate::cli::{Ended, Failure, writing};
use crate::files::TableEdit;
use crate::finding::{Finding, NEVER_ACCEPTED};
use crate::quantity::when::date;
use crate::quantity::{Day, Moment};
use crate::record::ACCEPTED;
use crate::store::{Access, Store};
use crate::text::{clean, nearest, shell_word};
use crate::typing::DayOrder;
use std::path::Path;

/// Writes the acceptance, or takes it away.
pub(super) fn run(
    folder: &Path,
    (subject, accepted): (&str, &AcceptArgs),
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let access = match with.dry_run {
        true => Access::Look,
        false => Access::Write,
    };
    let store = writing::store(folder, &[&ACCEPTED], access, "")?;
    let about = (accepted.what.as_str(), subject);
    if accepted.withdraw {
        return withdraw(&store, about, with, now);
    }
    let (rule, subject) = {
        let audit = store.shop.audit(now.day())?;
        let found = found(&audit, about)?;
        (found.rule_name(), found.subject.id.clone())
    };
    let order = DayOrder::of_shop(&store.shop.tables.shop);
    let terms = Terms::given(accepted, with, (now, order), |more| {
        let (rule, subject) = (shell_word(&rule), shell_word(&subject));
        format!("sandarac log accept {rule} {subject} {more}")
    })?;
    let until = date(terms.until);
    let mut edit = TableEdit::new(&ACCEPTED);
    let last = terms.until.to_string();
    let new = [("why", terms.why), ("by", terms.by), ("until", last)];
    match rows_of(&store, &rule, &subject).first() {
        Some(at) => edit.set.push((*at, new.to_vec())),
        None => {
            let names = [("rule", rule.clone()), ("subject", subject.clone())];
            edit.add.push(names.into_iter().chain(new).collect());
        }
    }
    let (did, told) = edit::write(&store, edit, with, now)?;
    let (rule, subject) = (clean(&rule), clean(&subject));
    super::printed(
        &format!(
            "{did} into accepted.csv: {rule} for {subject}, until {until}. The finding stays in each report, as accepted.\n{told}"
        ),
        with,
    )
}

/// Until when a finding is accepted, why, and by whom.
struct Terms {
    until: Day,
    why: String,
    by: String,
}

impl Terms {
    /// What was typed; `command` is the whole command with other options.
    fn given(
        accepted: &AcceptArgs,
        with: &WithArgs,
        (now, order): (Moment, DayOrder),
        command: impl Fn(&str) -> String,
    ) -> Result<Terms, Failure> {
        let Some(until) = accepted.until.as_deref() else {
            return refused(
                "The last day of the acceptance is missing.".to_string(),
                format!(
                    "Say until when: {}",
                    command("--until 2026-12-15 --note WHY")
                ),
            );
        };
        let until = due_day(until, now, order)?;
        let why = with.note.as_deref().map(str::trim).unwrap_or_default();
        let by = with.person();
        if why.is_empty() || by.is_empty() {
            return refused(
                "An acceptance needs a reason and a name.".to_string(),
                format!(
                    "Say why, and who accepts it: {}",
                    command(&format!("--until {until} --note WHY --by NAME"))
                ),
            );
        }
        let why = why.to_string();
        Ok(Terms { until, why, by })
    }
}

fn withdraw(
    store: &Store,
    (rule, subject): (&str, &str),
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let rows = rows_of(store, rule, subject);
    if rows.is_empty() {
        let accepted = store.shop.tables.accepted.iter();
        let known: Vec<String> = accepted
            .map(|it| format!("{} for {}", clean(&it.rule), clean(&it.subject)))
            .collect();
        let fix = match known.is_empty() {
            true => "accepted.csv has no acceptance.".to_string(),
            false => format!("These are accepted: {}.", known.join("; ")),
        };
        let (rule, subject) = (clean(rule), clean(subject));
        return refused(format!("{rule} is not accepted for {subject}."), fix);
    }
    let mut edit = TableEdit::new(&ACCEPTED);
    edit.remove = rows;
    let (did, told) = edit::write(store, edit, with, now)?;
    let did = if did == "Wrote" {
        "Withdrew"
    } else {
        "Would withdraw"
    };
    let (rule, subject) = (clean(rule), clean(subject));
    super::printed(
        &format!("{did} the acceptance of {rule} for {subject} from accepted.csv.\n{told}"),
        with,
    )
}

/// The rows of accepted.csv about a rule and a subject. The pack of the rule may be left out.
fn rows_of(store: &Store, rule: &str, subject: &str) -> Vec<usize> {
    let bare = |name: &str| match name.split_once('/') {
        Some((_, rule)) => rule.to_string(),
        None => name.to_string(),
    };
    let same = |one: &str| {
        one == rule || !(one.contains('/') && rule.contains('/')) && bare(one) == bare(rule)
    };
    let accepted = store.shop.tables.accepted.iter().enumerate();
    accepted
        .filter(|(_, it)| same(&it.rule) && it.subject.eq_ignore_ascii_case(subject))
        .map(|(at, _)| at)
        .collect()
}

/// The open finding that is meant.
fn found<'f>(audit: &'f Audit<'_>, (rule, subject): (&str, &str)) -> Result<&'f Finding, Failure> {
    let open = || audit.findings().iter().filter(|finding| finding.calls());
    let of_rule: Vec<&Finding> = open().filter(|it| it.is_named(rule)).collect();
    let about = |it: &&&Finding| it.subject.id.eq_ignore_ascii_case(subject);
    if let Some(finding) = of_rule.iter().find(about) {
        if finding.rule.topic == NEVER_ACCEPTED {
            return refused(
                "A finding about oily rags cannot be accepted.".to_string(),
                "Put the rags under water or lay them flat outdoors.".to_string(),
            );
        }
        return Ok(finding);
    }
    if of_rule.is_empty() {
        let rules: Vec<String> = open().map(Finding::rule_name).collect();
        let bare = rules
            .iter()
            .filter_map(|rule| Some(rule.split_once('/')?.1));
        let names = rules.iter().map(String::as_str).chain(bare);
        let fix = match nearest(rule, names) {
            Some(near) => format!("Did you mean \"{near}\"?"),
            None => "`sandarac audit --full` names the rule of each finding.".to_string(),
        };
        return refused(
            format!("No open finding has the rule \"{}\".", clean(rule)),
            fix,
        );
    }
    let mut subjects: Vec<String> = of_rule.iter().map(|it| clean(&it.subject.id)).collect();
    subjects.sort();
    subjects.dedup();
    refused(
        format!(
            "{} has no open finding about \"{}\".",
            clean(rule),
            clean(subject)
        ),
        format!("It has one about: {}.", subjects.join(", ")),
    )
}

fn refused<T>(wrong: String, fix: String) -> Result<T, Failure> {
    Err(Failure::refused(wrong, fix, WRITTEN))
}
