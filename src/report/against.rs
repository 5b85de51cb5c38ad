//! Month against month: what is new, what is still open and since when, what is cleared, the counts, and the open actions.

use super::earlier::{Earlier, Key, Looked, Tally};
use super::words::date;
use crate::finding::{Finding, Verdict};
use crate::quantity::Day;
use crate::record::{Action, ShopTables};
use crate::text::capital;
use std::collections::{BTreeMap, BTreeSet};

/// Most audits that are remembered in the counts, this one among them.
const REMEMBERED: usize = 13;

/// This audit held against an earlier one. Without one, everything that is open stands since today.
#[derive(Clone, Debug, Default)]
pub struct Comparison {
    /// The earlier audit: its file and day.
    pub earlier: Option<(String, Day)>,
    /// Files in `reports/` that are no audits of this shop, and why.
    pub passed_over: Vec<(String, String)>,
    /// Packs that only one of the two was held against, and that are left out.
    pub left_out: Vec<String>,
    /// Open now, and not then.
    pub new: Vec<FindingChange>,
    /// Open then and now.
    pub standing: Vec<FindingChange>,
    /// Open then, and not now.
    pub cleared: Vec<FindingChange>,
    /// Counts by day, oldest first, this audit last.
    pub trend: Vec<Tally>,
    since: BTreeMap<Key, Day>,
}

/// One finding, then and now.
#[derive(Clone, Debug)]
pub struct FindingChange {
    pub key: Key,
    pub title: String,
    /// What it came to then.
    pub was: Option<Verdict>,
    /// What it comes to now; `None` if there is no such finding any more.
    pub is: Option<Verdict>,
    /// Open since.
    pub since: Day,
}

impl Comparison {
    /// Since when a finding is open; `None` if it is not.
    pub fn since(&self, finding: &Finding) -> Option<Day> {
        self.since.get(&Key::new(finding)).copied()
    }

    /// Compares an audit of a day, held against these packs, with an earlier one.
    pub(super) fn new(
        looked: Looked,
        packs: &BTreeSet<&str>,
        findings: &[Finding],
        (on, now): (Day, Tally),
    ) -> Comparison {
        let mut against = Comparison {
            passed_over: looked.passed_over,
            ..Comparison::default()
        };
        let Some(earlier) = looked.earlier else {
            let open = findings.iter().filter(|finding| finding.calls());
            against.since = open.map(|finding| (Key::new(finding), on)).collect();
            against.trend = vec![now];
            return against;
        };
        let all = most_urgent(findings);
        let open: BTreeMap<&Key, &(Verdict, &str)> = all
            .iter()
            .filter(|(_, (verdict, _))| verdict.calls())
            .collect();
        let both = |pack: &str| packs.contains(pack) && earlier.packs.contains(pack);
        for (key, (verdict, title)) in &open {
            let past = earlier.open.get(*key);
            let since = past.map_or(on, |past| past.since);
            against.since.insert((*key).clone(), since);
            if !both(&key.pack) {
                continue;
            }
            let change = FindingChange {
                key: (*key).clone(),
                title: (*title).to_string(),
                was: past.map(|past| past.verdict),
                is: Some(*verdict),
                since,
            };
            match past {
                Some(_) => against.standing.push(change),
                None => against.new.push(change),
            }
        }
        for (key, past) in earlier.open.iter().filter(|(key, _)| both(&key.pack)) {
            if !open.contains_key(key) {
                against.cleared.push(FindingChange {
                    key: key.clone(),
                    title: past.title.clone(),
                    was: Some(past.verdict),
                    is: all.get(key).map(|(verdict, _)| *verdict),
                    since: past.since,
                });
            }
        }
        against.finish(earlier, packs, now);
        against
    }

    fn finish(&mut self, earlier: Earlier, packs: &BTreeSet<&str>, now: Tally) {
        self.new.sort_by(|a, b| (a.is, &a.key).cmp(&(b.is, &b.key)));
        self.standing
            .sort_by(|a, b| (a.is, a.since, &a.key).cmp(&(b.is, b.since, &b.key)));
        self.cleared
            .sort_by(|a, b| (a.was, &a.key).cmp(&(b.was, &b.key)));
        let then: BTreeSet<&str> = earlier.packs.iter().map(String::as_str).collect();
        let odd = then.symmetric_difference(packs);
        self.left_out = odd.map(|pack| (*pack).to_string()).collect();
        self.trend = earlier.trend;
        self.trend.push(now);
        let surplus = self.trend.len().saturating_sub(REMEMBERED);
        self.trend.drain(..surplus);
        self.earlier = Some((earlier.file, earlier.on));
    }
}

/// The most urgent of the findings that are one and the same, with its title.
fn most_urgent(findings: &[Finding]) -> BTreeMap<Key, (Verdict, &str)> {
    let mut all: BTreeMap<Key, (Verdict, &str)> = BTreeMap::new();
    for finding in findings {
        all.entry(Key::new(finding))
            .and_modify(|(verdict, _)| *verdict = (*verdict).min(finding.verdict))
            .or_insert((finding.verdict, &finding.rule.title));
    }
    all
}

/// The state of an action.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ActionState {
    /// Its day is past.
    Late,
    /// To be done.
    Open,
    /// Done, with a day and initials.
    Closed,
}

impl ActionState {
    /// The word of the JSON.
    pub fn word(self) -> &'static str {
        match self {
            ActionState::Late => "late",
            ActionState::Open => "open",
            ActionState::Closed => "closed",
        }
    }
}

/// An action as a reader sees it.
#[derive(Clone, Debug)]
pub struct ActionRow<'a> {
    /// As written.
    pub action: &'a Action,
    /// The state of it.
    pub state: ActionState,
    /// What does not fit together.
    pub remark: Option<&'static str>,
}

impl ActionRow<'_> {
    /// The action in one line.
    pub fn words(&self) -> String {
        let action = self.action;
        let who = action.who.as_deref().unwrap_or("person not recorded");
        let by = match action.by {
            Some(day) => format!("by {}", date(day)),
            None => "no date".to_string(),
        };
        let closed = action.closed.map(|day| format!(" on {}", date(day)));
        let state = match self.state {
            ActionState::Late => "OVERDUE".to_string(),
            ActionState::Open => "Open".to_string(),
            ActionState::Closed => format!(
                "Done{} ({})",
                closed.unwrap_or_default(),
                action.initials.as_deref().unwrap_or("")
            ),
        };
        let about = [action.rule.as_deref(), action.subject.as_deref()];
        let about = match about.into_iter().flatten().collect::<Vec<_>>().as_slice() {
            [] => String::new(),
            about => format!(" [{}]", about.join(", ")),
        };
        let more = [self.remark, action.note.as_deref()];
        let more = more.into_iter().flatten();
        let more = more.map(|text| format!(" {}.", capital(text.trim_end_matches('.'))));
        format!(
            "{state}: {}. {} ({who}, {by}){about}.{}",
            action.id,
            capital(&action.what),
            more.collect::<String>()
        )
    }
}

/// Days for which a closed action is still shown: from one monthly round to the next.
const SHOWN: i64 = 31;

/// Actions that are open on a day, the late ones first, and those closed in the month before.
pub(super) fn actions<'a>(
    tables: &'a ShopTables,
    on: Day,
    findings: &[Finding],
) -> Vec<ActionRow<'a>> {
    let mut rows: Vec<ActionRow<'a>> = Vec::new();
    for action in &tables.actions {
        let closed = action.closed.filter(|day| *day <= on);
        let done = closed.filter(|_| action.is_done(on));
        if done.is_some_and(|day| on.since(day) > SHOWN) {
            continue;
        }
        let state = match (done, action.by) {
            (Some(_), _) => ActionState::Closed,
            (None, Some(by)) if by < on => ActionState::Late,
            (None, _) => ActionState::Open,
        };
        rows.push(ActionRow {
            action,
            state,
            remark: remark(action, closed, done, findings),
        });
    }
    rows.sort_by_key(|row| (row.state, row.action.by.is_none(), row.action.by));
    rows
}

fn remark(
    action: &Action,
    closed: Option<Day>,
    done: Option<Day>,
    findings: &[Finding],
) -> Option<&'static str> {
    let location = action.rule.as_deref().map(|rule| {
        findings.iter().any(|finding| {
            let named = finding.is_named(rule);
            let subject = action.subject.as_ref();
            named && finding.calls() && subject.is_none_or(|subject| *subject == finding.subject.id)
        })
    });
    match (closed, done, location) {
        (Some(_), None, _) => Some("Closed without initials, so it is still open"),
        (None, None, _) if action.closed.is_none() && action.initials.is_some() => {
            Some("Initialed without a date, so it is still open")
        }
        (_, Some(_), Some(true)) => Some("Marked done, but its finding is still open"),
        (_, None, Some(false)) => Some("Its finding is gone. Close it with date and initials"),
        (None, None, _) if action.who.is_none() => Some("Name a person for it"),
        _ => None,
    }
}
