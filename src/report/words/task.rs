//! What to do about a finding: a verb, the thing, where it is.

use super::Wording;
use super::name::join;
use super::rags::the_rags;
use crate::finding::{AirLimit, Detail, Finding, SubjectKind, Verdict};
use crate::quantity::when::short_date;
use crate::text::{capital, the};

/// Questions of the round whose task has a verb of its own; `{}` is the thing. Any other question is answered again.
const REPEATED: [(&str, &str); 5] = [
    ("extinguisher-look", "Check {}"),
    ("extinguisher-service", "Have {} serviced"),
    ("eyewash-flush", "Flush {}"),
    ("respirator-cartridges", "Fit new respirator cartridges"),
    (
        "labels-renewed",
        "Compare labels and training with the revised hazard rule",
    ),
];

impl Wording<'_> {
    /// What to do about a finding.
    pub(super) fn task(&self, finding: &Finding) -> String {
        let thing = self.thing(&finding.subject);
        let over = finding.verdict == Verdict::Breach || finding.unconfirmed;
        match &finding.detail {
            _ if !finding.calls() => String::new(),
            _ if finding.verdict == Verdict::CannotJudge => self.unknown(finding),
            Detail::Rags { .. } => self.rag_task(&[finding]),
            Detail::PastNights { in_can: true, .. } => {
                "Empty the rag can every day before closing, and log it.".into()
            }
            Detail::PastNights { until, .. } => format!(
                "Find out why rags stayed out before {}, and agree who puts rags away at closing time.",
                short_date(until.day(), self.on)
            ),
            Detail::RagsMissing { pieces, place, .. } => format!(
                "Find {} from {} now. Look in every trash can.",
                the_rags(*pieces, "soiled"),
                the(place)
            ),
            Detail::RagsDiscarded { pieces, .. } => {
                let rags = the_rags(*pieces, "oily");
                let it = if rags == "the oily rag" { "it" } else { "them" };
                format!(
                    "Take {rags} out of the trash now. Put {it} under water or lay {it} flat outdoors."
                )
            }
            Detail::Label => format!("Label {thing}."),
            Detail::LastDone { question, .. } => repeated(question, std::slice::from_ref(&thing)),
            Detail::CanFilled => format!(
                "Empty {} and take the rags out of the building.",
                the(&finding.subject.id)
            ),
            Detail::Located(place) if finding.rule.topic == "rags" => format!(
                "Put {thing} {} into the listed can, or under water.",
                self.at_place(place)
            ),
            Detail::Located(place) => {
                format!("Move {thing} away from {}.", the(place))
            }
            Detail::Together { these, those } if these == those => format!(
                "Do not use {}. Close it, keep it outdoors, and ask how to dispose of it.",
                join(these)
            ),
            Detail::Together { these, those } => {
                format!("Keep {} apart from {}.", join(these), join(those))
            }
            Detail::FailedTest { .. } => format!("Discard {thing} as waste."),
            Detail::UseBy(_) | Detail::Shelf { .. } if over => {
                format!("Discard {thing} as waste, or test it before use.")
            }
            Detail::UseBy(_) | Detail::Shelf { .. } => format!("Test {thing} before use."),
            Detail::Counted { is_short: true, .. } => {
                format!("Check {thing} for a loose lid, a missing log entry, or theft.")
            }
            Detail::Counted { .. } => format!("Check the log of {thing} for a missing entry."),
            Detail::Filled(_) => format!("Check the log of {thing}. An entry is missing or wrong."),
            Detail::Size | Detail::Content if over => {
                format!("Pour {thing} into smaller containers or a safety can.")
            }
            Detail::Total => self.total_task(finding, &thing, over),
            Detail::Exhaust if over => match self.pair(finding) {
                Some((_, limit)) => format!("Raise the exhaust of {thing} to at least {limit}."),
                None => finding.action.to_string(),
            },
            Detail::DistanceTo(other) | Detail::AtMostFrom(other) if over => {
                format!("Move {thing} farther from {}.", the(other))
            }
            Detail::DistanceTo(other) | Detail::AtMostFrom(other) => {
                format!("Keep {thing} clear of {}.", the(other))
            }
            Detail::Session { .. } => self.session_task(finding),
            Detail::Numbers
            | Detail::Listing
            | Detail::Fixture(_)
            | Detail::Sprinklers
            | Detail::DataSheet(_)
            | Detail::Answered { .. }
            | Detail::Several(_)
            | Detail::Unanswered { .. }
            | Detail::WalkTo(_)
            | Detail::TooNear(_)
            | Detail::Size
            | Detail::Content
            | Detail::Exhaust => finding.action.to_string(),
        }
    }

    fn total_task(&self, finding: &Finding, thing: &str, over: bool) -> String {
        let difference = self.difference(finding).unwrap_or_default();
        // Several rules add up what is in a shop or on a floor, so the rule names the sum.
        if finding.subject.kind == SubjectKind::Shop {
            let title = finding.rule.title.trim_end_matches('.');
            return match over {
                true => format!("{title}: remove at least {difference}."),
                false => format!("{title}: bring in at most {difference} more."),
            };
        }
        match over {
            true => format!("Take at least {difference} out of {thing}."),
            false => format!("Add at most {difference} to {thing}."),
        }
    }

    fn session_task(&self, finding: &Finding) -> String {
        let Detail::Session {
            air,
            exhaust,
            share,
            when,
        } = &finding.detail
        else {
            return finding.action.to_string();
        };
        let what = match air {
            AirLimit::Explosive => "vapor",
            AirLimit::Legal
            | AirLimit::Recommended
            | AirLimit::ShortTerm
            | AirLimit::LegalShortTerm => "exposure",
        };
        let place = self.at_place(&finding.subject.id);
        match (share, exhaust) {
            (Some(share), Some(exhaust)) => format!(
                "Use at most {share}% of the amount used {place} on {}, or raise the exhaust to {exhaust}.",
                short_date(when.day(), self.on)
            ),
            (Some(share), None) => format!(
                "Use at most {share}% of the amount used {place} on {}, or another product.",
                short_date(when.day(), self.on)
            ),
            (None, _) => format!("Keep the {what} {place} low. Use less, or move more air."),
        }
    }
}

/// "Check the extinguisher by the door and the extinguisher by the stairs."
pub(super) fn repeated(question: &str, things: &[String]) -> String {
    let known = REPEATED.iter().find(|(name, _)| *name == question);
    match known {
        Some((_, task)) => format!("{}.", task.replace("{}", &join(things))),
        None => capital(&format!(
            "do the check {question} again for {}.",
            join(things)
        )),
    }
}
