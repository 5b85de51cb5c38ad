//! What a finding found, as a sentence about a named thing.

use super::Wording;
use super::name::join;
use super::when::{ago, every};
use crate::finding::{AirLimit, Compared, Detail, Finding, Quantity, SubjectKind, Verdict};
use crate::quantity::Day;
use crate::quantity::when::{date, short_date};
use crate::report::share::{share_of_limit, words_with_limit};
use crate::text::{capital, the};

impl Wording<'_> {
    /// What was found, about a thing with its product.
    pub(super) fn fact(&self, finding: &Finding) -> String {
        self.fact_about(finding, &self.thing(&finding.subject))
    }

    /// What was found, about a thing that the sentence before has named.
    pub(super) fn short_fact(&self, finding: &Finding) -> String {
        let total = matches!(finding.detail, Detail::Total);
        if total
            && finding.subject.kind == SubjectKind::Shop
            && finding.calls()
            && let Some((observed, limit)) = self.pair(finding)
        {
            return format!("The total is {observed}. The limit is {limit}.");
        }
        self.fact_about(finding, &self.short_thing(&finding.subject))
    }

    fn fact_about(&self, finding: &Finding, thing: &str) -> String {
        match finding.verdict {
            Verdict::CannotJudge => self.unknown(finding),
            Verdict::NotInForce => match finding.citation.in_force {
                Some(day) => format!("This rule takes effect on {}.", date(day)),
                None => "This rule is no longer in effect.".into(),
            },
            _ if finding.does_not_apply() => "This rule does not apply here.".into(),
            Verdict::Breach | Verdict::Near | Verdict::Meets => {
                let fact = self.seen(finding, thing);
                if finding.unconfirmed {
                    format!("{} (limit not confirmed).", fact.trim_end_matches('.'))
                } else {
                    fact
                }
            }
        }
    }

    /// What is unknown, as the task that makes it known.
    pub(super) fn unknown(&self, finding: &Finding) -> String {
        sentences(&finding.observed)
    }

    fn seen(&self, finding: &Finding, thing: &str) -> String {
        let holds = finding.verdict == Verdict::Meets;
        let is = |good: &str, bad: &str| {
            capital(&format!("{thing} {}.", if holds { good } else { bad }))
        };
        match &finding.detail {
            Detail::Rags { .. }
            | Detail::PastNights { .. }
            | Detail::RagsMissing { .. }
            | Detail::RagsDiscarded { .. } => self.rags(finding),
            Detail::Label => is("has a label", "has no label"),
            Detail::Listing => is("is listed", "is not listed"),
            Detail::Sprinklers => is("has sprinklers", "has no sprinklers"),
            Detail::Fixture(kinds) => {
                let kinds = kinds.join(" or ");
                is(
                    &format!("has {}", a(&kinds)),
                    &format!("has no {kinds} on record"),
                )
            }
            Detail::DataSheet(product) => {
                let is = if holds { "is" } else { "is missing:" };
                format!("The data sheet of {product} {is} {}.", finding.observed)
            }
            Detail::Answered { question, day } => {
                let answer = if holds { "yes" } else { "no" };
                let day = short_date(*day, self.on);
                format!(
                    "The answer to {} was {answer} on {day}.",
                    self.question(question)
                )
            }
            Detail::Unanswered { .. } => self.unknown(finding),
            Detail::LastDone { .. } | Detail::CanFilled => self.repeated(finding),
            Detail::Located(place) => {
                let is = match finding.subject.kind == SubjectKind::Rag {
                    true => "are",
                    false => "is",
                };
                capital(&format!("{thing} {is} {}.", self.at_place(place)))
            }
            Detail::Together { these, those } => {
                let place = self.at_place(&finding.subject.id);
                together(holds, these, those, &place)
            }
            Detail::Several(_) if holds => "There is no more than one.".to_string(),
            Detail::Several(list) => format!("{} are here. Only one is allowed.", join(list)),
            Detail::FailedTest { test, day } => capital(&format!(
                "{thing} failed the {test} test on {}.",
                short_date(*day, self.on)
            )),
            Detail::UseBy(_) | Detail::Shelf { .. } => self.aged(finding, thing),
            Detail::Session { .. } => self.session(finding),
            Detail::Numbers
            | Detail::DistanceTo(_)
            | Detail::AtMostFrom(_)
            | Detail::WalkTo(_)
            | Detail::TooNear(_)
            | Detail::Counted { .. }
            | Detail::Filled(_)
            | Detail::Size
            | Detail::Content
            | Detail::Total
            | Detail::Exhaust => self.measured(finding, thing),
        }
    }

    /// Something that is done again and again.
    fn repeated(&self, finding: &Finding) -> String {
        let Some(Compared::AtMost { observed, limit }) = &finding.compared else {
            return format!("{} is empty.", capital(&self.thing(&finding.subject)));
        };
        let (passed, allowed) = (whole(observed), whole(limit));
        let done = if let Detail::LastDone { day, .. } = &finding.detail {
            format!("Last done {} ({})", ago(passed), short_date(*day, self.on))
        } else {
            let can = the(&finding.subject.id);
            format!("The first rag went into {can} {}", ago(passed))
        };
        format!("{done}; due {}.", every(allowed))
    }

    fn aged(&self, finding: &Finding, thing: &str) -> String {
        let shown = |day: Day| short_date(day, self.on);
        let over = finding.verdict == Verdict::Breach;
        if let Detail::UseBy(day) = &finding.detail {
            let text = if over {
                format!("{thing} expired on {}.", shown(*day))
            } else {
                format!("The use-by date of {thing} is {}.", shown(*day))
            };
            return capital(&text);
        }
        let Detail::Shelf {
            test_from,
            good_until,
        } = &finding.detail
        else {
            return String::new();
        };
        if let (true, Some(day)) = (over, good_until) {
            return format!("The shelf life of {thing} ended on {}.", shown(*day));
        }
        if !finding.calls() {
            return capital(&format!("{thing} is within its shelf life."));
        }
        let due = test_from.filter(|day| *day <= self.on).map_or_else(
            || "The test is due.".to_string(),
            |day| format!("The test was due on {}.", shown(day)),
        );
        match good_until {
            Some(day) => format!("{due} If it passes, {thing} is good until {}.", shown(*day)),
            None => due,
        }
    }

    fn session(&self, finding: &Finding) -> String {
        let Detail::Session { air, when, .. } = &finding.detail else {
            return String::new();
        };
        let limit = match air {
            AirLimit::Explosive => "allowed share of the lower explosive limit (LEL)",
            AirLimit::Legal => "legal 8-hour limit",
            AirLimit::Recommended => "recommended 8-hour limit",
            AirLimit::ShortTerm => "short-term limit (15 min)",
            AirLimit::LegalShortTerm => "legal short-term limit (15 min)",
        };
        let share = share_of_limit(finding).map(|share| words_with_limit(share, limit));
        let share = share.unwrap_or_else(|| "an unknown share of the limit".into());
        let is_range = share.starts_with("over") || share.starts_with("under");
        let about = if is_range { "" } else { "about " };
        format!(
            "On {}, the air {} reached {about}{share}.",
            short_date(when.day(), self.on),
            self.at_place(&finding.subject.id)
        )
    }
}

/// Notes of earlier layers as sentences: "x is unknown; give it" becomes two.
fn sentences(text: &str) -> String {
    let text = text.replace('`', "");
    if text.ends_with('.') {
        return text;
    }
    let parts = text.split("; ").map(capital);
    format!("{}.", parts.collect::<Vec<_>>().join(". "))
}

fn whole(quantity: &Quantity) -> i64 {
    quantity.base.digits().parse().unwrap_or(0)
}

fn a(thing: &str) -> String {
    let vowel = thing.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {thing}", if vowel { "an" } else { "a" })
}

/// Products that must be kept apart, and whether they are.
fn together(holds: bool, these: &[String], those: &[String], place: &str) -> String {
    if holds {
        return format!("Nothing that must be kept apart is together {place}.");
    }
    if these == those {
        return format!("{} holds products that must be kept apart.", join(these));
    }
    format!(
        "{} and {} are stored together {place}.",
        join(these),
        join(those)
    )
}
