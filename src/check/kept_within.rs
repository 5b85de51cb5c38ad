//! A finish is tested in time and discarded in time. Age makes it "test it"; a failed test makes it "discard it".

use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::SelectorSection;
use crate::fact::{ContainerFilter, Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Quantity, Stage, Subject, SubjectKind};
use crate::quantity::when::date;
use crate::quantity::{Day, Exact, unit};
use crate::record::{Container, ContainerId};
use crate::stock::{ContainerState, Trial, TrialResult};
use crate::trade::{ShelfClock, ShelfLife};

pub(super) const KIND: CheckKind = CheckKind {
    name: "kept-within",
    concern: Concern::ShelfLife,
    asks: "Is every finish within its shelf life, or did it pass a test since?",
    selectors: &[(SelectorSection::Where, ContainerFilter::KEYS)],
    unknown: "when the first day of the shelf life is unknown; products with no published shelf life are left out",
    source: "trade magazines and finishers' notes, each figure with its grade in data/keeping.csv; the user's own figures \
             in products.csv come first",
    parse: |rule| {
        let select = rule.containers(SelectorSection::Where)?;
        Ok(Box::new(KeptWithin { select }))
    },
    ..CheckKind::PLAIN
};

struct KeptWithin {
    select: ContainerFilter,
}

impl RuleCheck for KeptWithin {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        facts
            .containers()
            .filter(|container| self.select.meets(facts, *container) != Match::No)
            .filter_map(|container| keeping(facts, container))
            .collect()
    }
}

fn keeping(facts: &Facts<'_>, container: ContainerId) -> Option<Judged> {
    let (row, contents) = (&facts.tables[container], facts.contents(container));
    if row.vessel.is_some_and(|vessel| vessel.is_cloth()) {
        return None;
    }
    let kind = facts.hazard(container).kind.value().copied();
    let times = ShelfLife::find(facts.tables, facts.reference, row, contents, kind);
    let mut working = Working::new(facts.tables.shop.us);
    let subject = Subject::new(SubjectKind::Container, row.id.clone());
    let (outcome, advice, detail) = match (failed(contents), &times) {
        (Some((outcome, detail)), _) => (
            outcome,
            Some(format!("Discard {} as waste, and log it.", row.id)),
            detail,
        ),
        (None, Some(times)) => {
            let evidence = facts.evidence(container);
            let outcome = age(facts, (row, contents), times, evidence, &mut working)?;
            let advice = advice(row, times, &outcome);
            (outcome, advice, shelf(row, contents, times))
        }
        (None, None) if row.best_before.is_none() && kind.is_none() => {
            (kind_lacking(facts, container)?, None, Detail::default())
        }
        (None, None) => {
            let last = row.best_before?;
            let outcome = maker(facts, row, last, &mut working);
            (outcome, None, Detail::UseBy(last))
        }
    };
    let mut judged = Judged::new(subject, outcome, working).seeing(detail);
    judged.advice = advice;
    judged.source = times.map(|times| (times.says, format!("grade {}", times.grade)));
    Some(judged)
}

/// Without a kind no shelf life can be looked up, but there may be one.
fn kind_lacking(facts: &Facts<'_>, container: ContainerId) -> Option<Known<Compared>> {
    match &facts.hazard(container).kind {
        Known::Yes(_) => None,
        Known::No(gap) => Some(Known::No(gap.clone())),
    }
}

fn advice(row: &Container, times: &ShelfLife, outcome: &Known<Compared>) -> Option<String> {
    let tests = times.test.replace('+', ", ");
    let past = matches!(outcome, Known::Yes(Fact { value: Compared::Staged { observed, limit: Some(limit), .. }, .. }) if observed.base > limit.base);
    Some(if past {
        format!(
            "Discard {} as waste, or test it ({tests}). Keep it off all work until it passes.",
            row.id
        )
    } else {
        format!(
            "Test {} ({tests}) before use. If it fails, discard it as waste.",
            row.id
        )
    })
}

/// A failed test condemns whatever its age.
fn failed(contents: &ContainerState) -> Option<(Known<Compared>, Detail)> {
    let trial = contents
        .trial
        .filter(|trial| trial.result == TrialResult::Fail)?;
    let minutes = trial
        .minutes
        .map_or_else(String::new, |m| format!(", {m} min"));
    let observed = format!(
        "failed the {} test on {}{minutes}",
        trial.test,
        date(trial.day)
    );
    let value = Compared::plain(observed, "a passed test", Stage::Broken);
    let detail = Detail::FailedTest {
        test: trial.test,
        day: trial.day,
    };
    Some((Known::yes(value, Evidence::at(trial.at)), detail))
}

/// The days of a shelf life, as far as they are known.
fn shelf(row: &Container, contents: &ContainerState, times: &ShelfLife) -> Detail {
    if let Some(last) = row.best_before {
        return Detail::UseBy(last);
    }
    let days = times
        .from(row, contents)
        .map(|from| times.days(from, contents));
    Detail::Shelf {
        test_from: days.as_ref().and_then(|days| days.test_from),
        good_until: days.as_ref().and_then(|days| days.discard_after),
    }
}

fn age(
    facts: &Facts<'_>,
    (row, contents): (&Container, &ContainerState),
    times: &ShelfLife,
    mut evidence: Evidence,
    working: &mut Working,
) -> Option<Known<Compared>> {
    if let Some(last) = row.best_before {
        return Some(maker(facts, row, last, working));
    }
    if times.clock == ShelfClock::Inspected || times.clock == ShelfClock::BestBefore {
        return None;
    }
    let Some(from) = times.from(row, contents) else {
        let word = times.from_word();
        let why = format!(
            "Test {}, and record in inventory.csv when it was {word}. The day is unknown.",
            row.id
        );
        return Some(Known::gap(why, vec![row.at]));
    };
    say_days(times, from, facts.on(), working);
    evidence.add(times.at);
    evidence.said.extend(times.said.iter().cloned());
    if !contents.lots.is_empty() {
        let lots = contents.lots.join(", ");
        evidence
            .said
            .push(format!("mixed from flakes of lot {lots}"));
    }
    let days = times.days(from, contents);
    if let Some((trial, good)) = contents.trial.zip(days.passed) {
        working.say(format!(
            "passed the {} test on {}: good until {}",
            trial.test,
            date(trial.day),
            date(good)
        ));
        evidence.add(trial.at);
    }
    let mut warn = days.test_from;
    let slow = |t: Trial| t.result == TrialResult::Retest && t.day >= from;
    if contents.trial.is_some_and(slow) {
        let said = "The last test was slow. Use it only for jigs and sealing, and test it again.";
        evidence.said.push(said.into());
        warn = Some(from);
    }
    let unit = unit::find("day")?;
    let quantity = |day: Day| Quantity {
        base: Exact::whole(day.since(from)),
        unit,
    };
    let value = Compared::Staged {
        observed: quantity(facts.on()),
        warn: quantity(warn.or(days.discard_after)?),
        limit: days.discard_after.map(quantity),
    };
    Some(Known::yes(value, evidence))
}

fn say_days(times: &ShelfLife, from: Day, on: Day, working: &mut Working) {
    let word = times.from_word();
    let age = on.since(from);
    working.say(format!(
        "{word} on {}; {age} days old on {}",
        date(from),
        date(on)
    ));
    for (what, span) in [
        ("test from", times.test_from),
        ("discard after", times.discard_after),
    ] {
        if let Some(span) = span {
            working.say(format!("{what} {}", date(from.plus(span))));
        }
    }
}

/// The maker's own last day.
fn maker(facts: &Facts<'_>, row: &Container, last: Day, working: &mut Working) -> Known<Compared> {
    let Some(days) = unit::find("day") else {
        return Known::gap("no unit", vec![row.at]);
    };
    working.say(format!("best before {}", date(last)));
    let past = facts.on().since(last);
    let stage = if past > 0 {
        Stage::Broken
    } else if past > -30 {
        Stage::Warn
    } else {
        Stage::Holds
    };
    let text = format!(
        "{} {} {}",
        past.abs(),
        days.symbol,
        if past > 0 {
            "past the date"
        } else {
            "to the date"
        }
    );
    let value = Compared::plain(text, format!("by {}", date(last)), stage);
    Known::yes(value, Evidence::at(row.at))
}
