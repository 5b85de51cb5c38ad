//! One pack adopts another: it lists only its changes, and everything else of the other holds as its own.
//!
//! A file of `rules/` that has no `check` is a change of the adopted rule of its name. Its limits replace the adopted ones from
//! the day they took effect; before that day the adopted limit holds. A file with a `check` is a rule of its own, and no
//! adopted rule may have its name.

use super::about::SourceDocument;
use super::contents::Pack;
use super::document::{Document, word};
use super::rule::{Adopted, Replaced, Rule, Severity, read_limit};
use crate::text::{FileId, Problems, Span};
use std::collections::BTreeMap;

/// Reads a file that changes an adopted rule: new limits, and if need be other words or another weight.
pub(super) fn read_change(
    (pack, adopted): (&str, &Rule),
    file: FileId,
    document: &Document<'_>,
    sources: &BTreeMap<String, SourceDocument>,
    problems: &mut Problems,
) -> Option<Rule> {
    let top = document.top(&format!("the change of the rule `{}`", adopted.id));
    let mut or_adopted = |key, adopted: &str| {
        let own = top.text(key, problems);
        own.map_or_else(|| adopted.to_string(), |own| own.value)
    };
    let title = or_adopted("title", &adopted.title);
    let why = or_adopted("why", &adopted.why);
    let action = or_adopted("action", &adopted.action);
    let severity = match top.text("severity", problems) {
        Some(told) => word(&told, "severity", &Severity::WORDS, problems)?,
        None => adopted.severity,
    };
    let own = read_limit(&top, sources, problems);
    top.done(problems);
    let own = own?;
    let since = own.first()?;
    Some(Rule {
        at: Span::whole(file),
        title,
        why,
        action,
        severity,
        limit: adopted.limit.replaced_by(own, since),
        adopted: Some(Adopted {
            pack: pack.to_string(),
            replaced: Some(Replaced {
                since,
                limit: adopted.limit.clone(),
            }),
        }),
        ..adopted.clone()
    })
}

/// Adds everything of the adopted pack that the adopting one does not have itself.
pub(super) fn inherit(pack: &mut Pack, adopted: Pack) {
    for (key, document) in adopted.sources {
        pack.sources.entry(key).or_insert(document);
    }
    if pack.scheme.is_none() {
        pack.scheme = adopted.scheme;
    }
    for rule in adopted.rules {
        if pack.rules.iter().any(|own| own.id == rule.id) {
            continue;
        }
        let from = rule.adopted.as_ref().map_or(&adopted.id, |from| &from.pack);
        pack.rules.push(Rule {
            adopted: Some(Adopted {
                pack: from.clone(),
                replaced: None,
            }),
            ..rule
        });
    }
    pack.rules.sort_by(|a, b| a.id.cmp(&b.id));
    // Of two questions of one name the later one counts, which is the pack's own.
    pack.questions.splice(0..0, adopted.questions);
}
