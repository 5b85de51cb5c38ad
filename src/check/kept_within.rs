//! A finish is tested in time and discarded in time. Age makes it "test it"; a failed test makes it "discard it".

use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::SelectorSection;
use crate::fact::{
    Age, ContainerFilter, Evidence, Facts, KeptBy, KeptTimes, Known, Match, Working,
};
use crate::finding::{Compared, Concern, Detail, Quantity, Stage, Subject, SubjectKind};
use crate::quantity::when::date;
use crate::quantity::{Day, Exact, unit};
use crate::record::{Container, ContainerId};
use crate::stock::Trial;
use crate::trade::ShelfLife;

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
    let times = KeptTimes::find(facts.tables, facts.reference, (row, contents), kind);
    let (life, age) = (times.life.as_ref(), times.age(facts.on()));
    let mut working = Working::new(facts.tables.shop.us);
    let (outcome, detail) = match (times.failed, times.by, life) {
        (Some(trial), ..) => failed(trial),
        (None, KeptBy::Maker { last, .. }, _) => (
            maker(facts, row, (last, age), &mut working),
            Detail::UseBy(last),
        ),
        (None, by @ (KeptBy::Life { .. } | KeptBy::NoFirstDay), Some(life)) => {
            let (test_from, good_until) = times.test_and_use_by();
            let detail = Detail::Shelf {
                test_from,
                good_until,
            };
            (aged(facts, container, (life, by), &mut working)?, detail)
        }
        (None, KeptBy::NoDay, None) if kind.is_none() => {
            (kind_lacking(facts, container)?, Detail::default())
        }
        (None, KeptBy::Life { .. } | KeptBy::NoFirstDay | KeptBy::NoDay, _) => return None,
    };
    let subject = Subject::new(SubjectKind::Container, row.id.clone());
    let mut judged = Judged::new(subject, outcome, working).seeing(detail);
    judged.advice = match age {
        Age::Failed => Some(format!("Discard {} as waste, and log it.", row.id)),
        Age::Past | Age::TestDue | Age::Good | Age::NotKnown | Age::NoTime => {
            life.map(|life| advice(row, life, age))
        }
    };
    judged.source = times
        .life
        .map(|life| (life.says, format!("grade {}", life.grade)));
    Some(judged)
}

/// Without a kind no shelf life can be looked up, but there may be one.
fn kind_lacking(facts: &Facts<'_>, container: ContainerId) -> Option<Known<Compared>> {
    match &facts.hazard(container).kind {
        Known::Yes(_) => None,
        Known::No(gap) => Some(Known::No(gap.clone())),
    }
}

fn advice(row: &Container, life: &ShelfLife, age: Age) -> String {
    let tests = life.test.replace('+', ", ");
    match age {
        Age::Past => format!(
            "Discard {} as waste, or test it ({tests}). Keep it off all work until it passes.",
            row.id
        ),
        Age::Failed | Age::TestDue | Age::Good | Age::NotKnown | Age::NoTime => format!(
            "Test {} ({tests}) before use. If it fails, discard it as waste.",
            row.id
        ),
    }
}

/// After a failed test its age does not matter.
fn failed(trial: Trial) -> (Known<Compared>, Detail) {
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
    (Known::yes(value, Evidence::at(trial.at)), detail)
}

fn aged(
    facts: &Facts<'_>,
    container: ContainerId,
    (life, by): (&ShelfLife, KeptBy),
    working: &mut Working,
) -> Option<Known<Compared>> {
    let (row, contents) = (&facts.tables[container], facts.contents(container));
    let KeptBy::Life {
        from,
        days,
        due,
        is_slow,
    } = by
    else {
        let word = life.from_word();
        let why = format!(
            "Test {}, and record in inventory.csv when it was {word}. The day is unknown.",
            row.id
        );
        return Some(Known::gap(why, vec![row.at]));
    };
    let mut evidence = facts.evidence(container);
    say_days(life, from, facts.on(), working);
    evidence.add(life.at);
    evidence
        .said
        .extend(life.said.iter().map(|said| said.as_str().into()));
    if !contents.lots.is_empty() {
        let lots = contents.lots.join(", ");
        evidence
            .said
            .push(format!("mixed from flakes of lot {lots}").into());
    }
    if let Some((trial, good)) = contents.trial.zip(days.passed) {
        working.say(format!(
            "passed the {} test on {}: good until {}",
            trial.test,
            date(trial.day),
            date(good)
        ));
        evidence.add(trial.at);
    }
    if is_slow {
        let said = "The last test was slow. Use it only for jigs and sealing, and test it again.";
        evidence.said.push(said.into());
    }
    let unit = unit::find("day")?;
    let quantity = |day: Day| Quantity {
        base: Exact::whole(day.since(from)),
        unit,
    };
    let value = Compared::Staged {
        observed: quantity(facts.on()),
        warn: quantity(due?),
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
fn maker(
    facts: &Facts<'_>,
    row: &Container,
    (last, age): (Day, Age),
    working: &mut Working,
) -> Known<Compared> {
    let Some(days) = unit::find("day") else {
        return Known::gap("no unit", vec![row.at]);
    };
    working.say(format!("best before {}", date(last)));
    let past = facts.on().since(last);
    let stage = match age {
        Age::Failed | Age::Past => Stage::Broken,
        Age::TestDue | Age::NotKnown => Stage::Warn,
        Age::Good | Age::NoTime => Stage::Holds,
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
