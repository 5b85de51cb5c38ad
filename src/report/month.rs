//! The words of month against month, and of the actions: one wording for the screen, Markdown and the sheet.

use super::against::{ActionRow, Comparison, FindingChange};
use super::view::View;
use super::words::{date, verdict_words};
use crate::finding::Verdict;
use crate::text::capital;

/// A heading and its lines.
pub(super) struct MonthPart {
    pub title: String,
    pub lines: Vec<String>,
}

/// What there is to say of an earlier audit and of actions; at most so many lines of each sort of change.
pub(super) fn parts(view: &View<'_>, most: usize) -> Vec<MonthPart> {
    let mut parts = Vec::new();
    parts.extend(against(&view.against, most));
    if !view.actions.is_empty() {
        parts.push(MonthPart {
            title: "Actions".into(),
            lines: view.actions.iter().map(ActionRow::words).collect(),
        });
    }
    parts
}

fn against(against: &Comparison, most: usize) -> Option<MonthPart> {
    let mut lines = Vec::new();
    let title = match &against.earlier {
        Some((file, on)) => {
            lines.push(format!(
                "Since {}: {} new, {} still open, {} cleared ({file}).",
                date(*on),
                against.new.len(),
                against.standing.len(),
                against.cleared.len()
            ));
            format!("Changes since {}", date(*on))
        }
        None if against.passed_over.is_empty() => return None,
        None => "Changes since an earlier audit".to_string(),
    };
    several(&mut lines, &against.new, most, "new", |c| {
        format!("New: {}. {}.", named(c), is(c))
    });
    several(&mut lines, &against.cleared, most, "cleared", |c| {
        let gone = if c.is.is_none() {
            " The finding is gone."
        } else {
            ""
        };
        let was = c.was.map_or("", verdict_words);
        format!(
            "Cleared: {}. It was {was} from {}.{gone}",
            named(c),
            date(c.since)
        )
    });
    several(&mut lines, &against.standing, most, "still open", |c| {
        let was = c.was.filter(|was| Some(*was) != c.is);
        let was = was.map_or_else(String::new, |was| {
            format!(", before {}", verdict_words(was))
        });
        format!(
            "Open since {}: {}. {}{was}.",
            date(c.since),
            named(c),
            is(c)
        )
    });
    lines.extend(trend(against));
    if !against.left_out.is_empty() {
        lines.push(format!(
            "Not compared: {}. Only one of the two audits used this pack.",
            against.left_out.join(", ")
        ));
    }
    for (file, why) in &against.passed_over {
        lines.push(format!("reports/{file} was skipped: {why}."));
    }
    Some(MonthPart { title, lines })
}

fn several(
    lines: &mut Vec<String>,
    changes: &[FindingChange],
    most: usize,
    word: &str,
    told: impl Fn(&FindingChange) -> String,
) {
    lines.extend(changes.iter().take(most).map(told));
    let more = changes.len().saturating_sub(most);
    if more > 0 {
        lines.push(format!("And {more} more {word}."));
    }
}

fn is(change: &FindingChange) -> String {
    change
        .is
        .map_or_else(String::new, |is| capital(verdict_words(is)))
}

fn named(change: &FindingChange) -> String {
    let key = &change.key;
    format!(
        "{}: {} [{}/{}]",
        key.subject, change.title, key.pack, key.rule
    )
}

/// The counts of each audit, the oldest first.
fn trend(against: &Comparison) -> Option<String> {
    if against.trend.len() < 2 {
        return None;
    }
    let row = |verdict: Verdict| {
        let (word, words) = (verdict.word(), verdict_words(verdict));
        let numbers = against.trend.iter().map(|tally| {
            let count = tally.counts.get(word);
            count.map_or_else(|| "?".to_string(), usize::to_string)
        });
        format!("{} {}", words, numbers.collect::<Vec<_>>().join(", "))
    };
    let days: Vec<&str> = against
        .trend
        .iter()
        .map(|tally| tally.on.as_str())
        .collect();
    let rows = [Verdict::Breach, Verdict::CannotJudge, Verdict::Near].map(row);
    Some(format!(
        "Counts on {}: {}.",
        days.join(", "),
        rows.join("; ")
    ))
}
