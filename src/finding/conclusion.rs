//! A finding: one constructor, so that a verdict from an unconfirmed figure can never be a breach.

use super::concern::Concern;
use super::detail::Detail;
use super::subject::Subject;
use super::verdict::{Compared, ShownVerdict, Stage, Verdict, judge};
use crate::fact::{Evidence, Known, Working};
use crate::pack::{Citation, Rule, Seen, Severity};
use crate::quantity::when::date;
use crate::quantity::{Day, in_metric};
use crate::text::Span;
use std::sync::Arc;

/// The acceptance of a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// Why.
    pub why: String,
    pub by: String,
    /// The last day on which it holds.
    pub until: Day,
    /// That day is past.
    pub lapsed: bool,
}

/// The citation that a finding carries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cited {
    /// Document.
    pub document: String,
    /// Edition.
    pub edition: String,
    /// Clause.
    pub clause: String,
    /// In force since, where it is in force or will be.
    pub in_force: Option<Day>,
    /// How it was seen.
    pub seen: Seen,
    /// What is unsure about it.
    pub note: Option<String>,
}

impl Cited {
    /// In the units of a metric shop. The document and clause stay as they are printed.
    pub fn metric(mut self) -> Cited {
        self.note = self.note.as_deref().map(in_metric);
        self
    }

    /// Of a pack's citation.
    pub fn from_citation(citation: &Citation, in_force: Option<Day>) -> Cited {
        Cited {
            document: citation.document.clone(),
            edition: citation.edition.clone(),
            clause: citation.clause.clone(),
            in_force,
            seen: citation.seen,
            note: citation.note.clone(),
        }
    }
}

#[derive(Clone, Debug)]
#[allow(
    clippy::manual_non_exhaustive,
    reason = "closed to this crate too: only `Finding::conclude` makes one"
)]
pub struct Finding {
    pub rule: Arc<RuleText>,
    /// What the finding is about.
    pub subject: Subject,
    /// How much it weighs here.
    pub severity: Severity,
    /// The pack does not bind this shop: its rules are advice.
    pub advisory: bool,
    /// What it comes to.
    pub verdict: Verdict,
    pub observed: String,
    pub limit: String,
    /// What is left, or over.
    pub margin: Option<String>,
    /// What was seen besides the numbers, for sentences.
    pub detail: Detail,
    /// The numbers behind it, for ordering and for JSON.
    pub compared: Option<Compared>,
    /// Why it cannot be judged, or what else a reader must be told.
    pub said: Vec<Arc<str>>,
    pub working: Vec<String>,
    /// Where the limit comes from.
    pub citation: Arc<Cited>,
    pub action: Arc<str>,
    /// Rows it rests on.
    pub evidence: Vec<Span>,
    /// It would be a breach, were the figure confirmed.
    pub unconfirmed: bool,
    /// The limit is the local authority's own word.
    pub local: bool,
    /// Of several packs on one subject, this is the tightest.
    pub tightest: bool,
    /// Its acceptance, if there is one.
    pub accepted: Option<Box<Accepted>>,
    _made: (),
}

/// A rule in the units of the shop, which all its findings share.
#[derive(Clone, Debug)]
pub struct RuleText {
    pub id: Arc<str>,
    pub pack: Arc<str>,
    /// What it is called.
    pub title: Arc<str>,
    pub topic: &'static str,
    /// What it is concerned with.
    pub concern: Concern,
    /// Why the rule is there.
    pub why: Arc<str>,
    /// What to do, where a finding does not say it more exactly.
    pub action: Arc<str>,
    /// The question of the round that it rests on.
    pub asks: Option<Arc<str>>,
}

/// A rule of which findings are made.
#[derive(Clone)]
pub struct Ruled<'a> {
    pub rule: &'a Rule,
    text: Arc<RuleText>,
    replaces: Option<Arc<str>>,
}

impl<'a> Ruled<'a> {
    /// In the units of a metric shop.
    pub fn metric(mut self) -> Ruled<'a> {
        let text = Arc::make_mut(&mut self.text);
        for words in [&mut text.title, &mut text.why, &mut text.action] {
            *words = in_metric(words).into();
        }
        self
    }

    /// With the limit of another pack that this rule replaces, in words.
    pub fn replacing(mut self, other: Option<String>) -> Ruled<'a> {
        self.replaces = other.map(Into::into);
        self
    }

    /// Of a rule, the name of its pack, what it is concerned with and the question of the round that it rests on.
    pub fn new(rule: &'a Rule, pack: &str, concern: Concern, asks: Option<&str>) -> Ruled<'a> {
        let text = Arc::new(RuleText {
            id: rule.id.as_str().into(),
            pack: pack.into(),
            title: rule.title.as_str().into(),
            topic: rule.topic,
            concern,
            why: rule.why.as_str().into(),
            action: rule.action.as_str().into(),
            asks: asks.map(Into::into),
        });
        Ruled {
            rule,
            text,
            replaces: None,
        }
    }
}

/// What a finding is made of.
pub struct Made<'a> {
    pub ruled: &'a Ruled<'a>,
    /// Whether the pack does not bind this shop.
    pub advisory: bool,
    /// Whether the limit is a local one.
    pub local: bool,
    /// What it is about.
    pub subject: Subject,
    /// What was seen besides the numbers.
    pub detail: Detail,
    /// What was compared, or why it could not be; `None`: the rule is not in force.
    pub outcome: Option<Known<Compared>>,
    pub working: Working,
    /// Where the limit comes from.
    pub citation: Arc<Cited>,
    /// What to do, more exact than the rule says.
    pub advice: Option<String>,
}

impl Finding {
    /// The only way to make one.
    pub fn conclude(made: Made<'_>) -> Finding {
        let ruled = made.ruled;
        let severity = if made.advisory {
            ruled.rule.severity.max(Severity::Should)
        } else {
            ruled.rule.severity
        };
        let (shown, compared, mut evidence) = shown_outcome(made.outcome, &made.citation);
        let weak = made.citation.seen.max(evidence.seen) == Seen::Memory;
        let unconfirmed = weak && shown.verdict == Verdict::Breach;
        let action = match shown.verdict {
            Verdict::CannotJudge => shown.observed.as_str().into(),
            Verdict::Breach | Verdict::Near | Verdict::Meets | Verdict::NotInForce => made
                .advice
                .map_or_else(|| ruled.text.action.clone(), Into::into),
        };
        let mut working = made.working.into_steps();
        let mut said = evidence.said;
        said.extend(ruled.replaces.clone());
        if unconfirmed {
            said.push("The limit is not confirmed, because a figure behind it is from memory. This is a warning only.".into());
        }
        // A large shop has some ten thousand findings, so what they do not need is given back.
        evidence.places.shrink_to_fit();
        working.shrink_to_fit();
        said.shrink_to_fit();
        Finding {
            rule: ruled.text.clone(),
            subject: made.subject,
            severity,
            advisory: made.advisory,
            verdict: if unconfirmed {
                Verdict::Near
            } else {
                shown.verdict
            },
            observed: shown.observed,
            limit: shown.limit,
            margin: shown.margin,
            detail: made.detail,
            compared,
            said,
            working,
            citation: made.citation,
            action,
            evidence: evidence.places,
            unconfirmed,
            local: made.local,
            tightest: false,
            accepted: None,
            _made: (),
        }
    }

    /// Its rule with its pack: `pack/rule`.
    pub fn rule_name(&self) -> String {
        format!("{}/{}", self.rule.pack, self.rule.id)
    }

    /// Is it of the rule of this name, `rule` or `pack/rule`?
    pub fn is_named(&self, name: &str) -> bool {
        match name.split_once('/') {
            Some((pack, rule)) => *self.rule.pack == *pack && *self.rule.id == *rule,
            None => *self.rule.id == *name,
        }
    }

    /// Does it call for something: a breach, a thing that cannot be judged, or one that is near?
    pub fn calls(&self) -> bool {
        self.verdict.calls()
    }

    /// Is it met only because nothing is here that the rule is about?
    pub fn does_not_apply(&self) -> bool {
        matches!(
            self.compared,
            Some(Compared::Plain {
                stage: Stage::Idle,
                ..
            })
        )
    }

    /// Is it accepted, and has that not lapsed?
    pub fn is_accepted(&self) -> bool {
        self.accepted
            .as_ref()
            .is_some_and(|accepted| !accepted.lapsed)
    }
}

/// What was compared, as a reader sees it, and what it rests on.
fn shown_outcome(
    outcome: Option<Known<Compared>>,
    citation: &Cited,
) -> (ShownVerdict, Option<Compared>, Evidence) {
    match outcome {
        None => (not_in_force(citation), None, Evidence::none()),
        Some(Known::Yes(fact)) => (judge(&fact.value), Some(fact.value), fact.evidence),
        Some(Known::No(gap)) => {
            let evidence = Evidence {
                places: gap.look,
                ..Evidence::none()
            };
            (cannot_judge(&gap.because), None, evidence)
        }
    }
}

fn not_in_force(citation: &Cited) -> ShownVerdict {
    let limit = citation.in_force.map_or_else(
        || "no longer in effect".into(),
        |day| format!("in effect from {}", date(day)),
    );
    ShownVerdict {
        verdict: Verdict::NotInForce,
        observed: String::new(),
        limit,
        margin: None,
    }
}

/// What is unknown is the thing to find out.
fn cannot_judge(because: &str) -> ShownVerdict {
    ShownVerdict {
        verdict: Verdict::CannotJudge,
        observed: because.to_string(),
        limit: String::new(),
        margin: None,
    }
}
