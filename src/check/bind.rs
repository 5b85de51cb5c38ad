//! A rule and its kind to a bound rule, or problems at the rule's own lines.

use super::{CheckKind, KINDS};
use crate::check::CheckFault;
use crate::fact::{Filter, filter};
use crate::pack::{LimitValue, OPTIONS, Pack, Rule, Select, WithSpan};
use crate::quantity::{Dimension, Measure, MeasureFault};
use crate::record::{FixtureKind, words_of};
use crate::text::{CellFault, Problem, Problems, nearest};

/// A rule whose words are understood.
pub struct Bound<'r> {
    /// The rule.
    pub rule: &'r Rule,
    /// The kind.
    pub kind: &'static CheckKind,
    /// `[where]`.
    pub select: Filter,
    /// `[with]`.
    pub with: Filter,
    /// `[never]`.
    pub never: Filter,
    /// `fixture`.
    pub fixture: Vec<FixtureKind>,
}

impl Bound<'_> {
    /// The word of an option, or nothing.
    pub fn option(&self, key: &str) -> &str {
        self.rule
            .options
            .get(key)
            .map_or("", |told| told.value.as_str())
    }
}

/// Binds a rule of a pack.
pub fn bind<'r>(rule: &'r Rule, pack: &'r Pack, problems: &mut Problems) -> Option<Bound<'r>> {
    let before = problems.count();
    let Some(kind) = KINDS.iter().find(|kind| kind.name == rule.check.value) else {
        let names = || KINDS.iter().map(|kind| kind.name);
        let code = CellFault::WordUnknown {
            column: "check".into(),
            read: rule.check.value.clone(),
            near: nearest(&rule.check.value, names()).map(str::to_string),
            known: names().collect::<Vec<_>>().join(", "),
        };
        problems.add(Problem::new(code, rule.check.at));
        return None;
    };
    options(rule, kind, problems);
    sections(rule, kind, problems);
    limits(rule, kind, pack, problems);
    let empty = Select::default();
    let scheme = pack.scheme.as_ref();
    let mut make = |select: Option<&Select>| filter(select.unwrap_or(&empty), scheme, problems);
    let bound = Bound {
        rule,
        kind,
        select: make(Some(&rule.select)),
        with: make(rule.with.as_ref()),
        never: make(rule.never.as_ref()),
        fixture: fixtures(&rule.fixture, problems),
    };
    (problems.count() == before).then_some(bound)
}

fn fixtures(words: &[WithSpan<String>], problems: &mut Problems) -> Vec<FixtureKind> {
    let mut list = Vec::new();
    for told in words {
        match FixtureKind::WORDS
            .iter()
            .find(|(name, _)| *name == told.value)
        {
            Some((_, kind)) => list.push(*kind),
            None => {
                let code = CellFault::WordUnknown {
                    column: "fixture".into(),
                    read: told.value.clone(),
                    near: nearest(&told.value, FixtureKind::WORDS.iter().map(|(n, _)| *n))
                        .map(str::to_string),
                    known: words_of(&FixtureKind::WORDS),
                };
                problems.add(Problem::new(code, told.at));
            }
        }
    }
    list
}

fn options(rule: &Rule, kind: &CheckKind, problems: &mut Problems) {
    for key in OPTIONS {
        let wanted = kind.options.iter().find(|option| option.key == key);
        match (wanted, rule.options.get(key)) {
            (None, Some(told)) => {
                let code = CheckFault::KeyUnused {
                    key: key.to_string(),
                    kind: kind.name.to_string(),
                };
                problems.add(Problem::new(code, told.at));
            }
            (Some(option), None) if option.must => {
                let needs = format!("`{key}`");
                problems.add(Problem::new(
                    CheckFault::Demand {
                        kind: kind.name.to_string(),
                        needs,
                    },
                    rule.at,
                ));
            }
            (Some(option), Some(told))
                if !option.words.is_empty() && !option.words.contains(&told.value.as_str()) =>
            {
                let code = CellFault::WordUnknown {
                    column: key.to_string(),
                    read: told.value.clone(),
                    near: nearest(&told.value, option.words.iter().copied()).map(str::to_string),
                    known: option.words.join(", "),
                };
                problems.add(Problem::new(code, told.at));
            }
            (Some(_) | None, _) => {}
        }
    }
}

fn sections(rule: &Rule, kind: &CheckKind, problems: &mut Problems) {
    let there = [
        ("[with]", rule.with.is_some()),
        ("[never]", rule.never.is_some()),
        ("fixture", !rule.fixture.is_empty()),
    ];
    for (name, given) in there {
        let needed = kind.needs.contains(&name);
        let may = name == "fixture" && kind.needs.contains(&"fixture?");
        if needed && !given {
            let code = CheckFault::Demand {
                kind: kind.name.to_string(),
                needs: format!("`{name}`"),
            };
            problems.add(Problem::new(code, rule.at));
        }
        if given && !needed && !may {
            problems.add(Problem::new(
                CheckFault::KeyUnused {
                    key: name.into(),
                    kind: kind.name.to_string(),
                },
                rule.at,
            ));
        }
    }
}

fn limits(rule: &Rule, kind: &CheckKind, pack: &Pack, problems: &mut Problems) {
    for (_, (value, citation)) in rule.limit.values() {
        match value {
            LimitValue::None if kind.limit.is_empty() => {}
            LimitValue::None => {
                let example = kind.limit.first().map_or("", |d| d.example());
                let code = CheckFault::Demand {
                    kind: kind.name.to_string(),
                    needs: format!("a value such as \"{example}\""),
                };
                problems.add(Problem::new(code, citation.at));
            }
            LimitValue::One(told) => measures(kind, told, problems),
            LimitValue::ByClass(list) => {
                if !kind.by_class {
                    let code = CheckFault::KeyUnused {
                        key: "a value for each class".into(),
                        kind: kind.name.to_string(),
                    };
                    problems.add(Problem::new(code, citation.at));
                }
                for (_, told) in list {
                    measures(kind, told, problems);
                }
                cover(rule, list, pack, problems);
            }
        }
    }
}

fn measures(kind: &CheckKind, told: &WithSpan<Measure>, problems: &mut Problems) {
    if kind.limit.is_empty() {
        let code = CheckFault::KeyUnused {
            key: "value".into(),
            kind: kind.name.to_string(),
        };
        problems.add(Problem::new(code, told.at));
    } else if !kind.limit.contains(&told.value.unit.dimension) {
        let code = CellFault::Quantity {
            column: "value".into(),
            read: told.value.text(),
            fault: MeasureFault::UnitWrong(told.value.unit),
            wanted: kind.limit.to_vec(),
        };
        problems.add(Problem::new(code, told.at));
    } else if told.value.unit.dimension == Dimension::Period && told.value.period().is_none() {
        let code = CellFault::PeriodBroken {
            column: "value".into(),
            read: told.value.text(),
        };
        problems.add(Problem::new(code, told.at));
    }
}

/// Every class that is selected has a value, and no other has one.
fn cover(
    rule: &Rule,
    list: &[(WithSpan<String>, WithSpan<Measure>)],
    pack: &Pack,
    problems: &mut Problems,
) {
    let selected = rule.select.words("class");
    for told in selected {
        if !list.iter().any(|(class, _)| class.value == told.value) {
            problems.add(Problem::new(
                CheckFault::ClassLeftOut {
                    class: told.value.clone(),
                },
                told.at,
            ));
        }
    }
    for (class, _) in list {
        let known = selected.iter().any(|told| told.value == class.value);
        let exists = pack
            .scheme
            .iter()
            .flat_map(|s| &s.classes)
            .any(|c| c.name == class.value);
        if !known || !exists {
            let names: Vec<&str> = selected.iter().map(|told| told.value.as_str()).collect();
            let code = CellFault::WordUnknown {
                column: "value".into(),
                read: class.value.clone(),
                near: None,
                known: names.join(", "),
            };
            problems.add(Problem::new(code, class.at));
        }
    }
}
