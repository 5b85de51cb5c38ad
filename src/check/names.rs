//! Every name that a shop writes beside a rule (in local limits, acceptances and answers) is one that there is.

use super::{Bound, bind};
use crate::check::CheckFault;
use crate::finding::NEVER_ACCEPTED;
use crate::pack::{Pack, Rule};
use crate::record::ShopTables;
use crate::text::{CellFault, Problem, Problems};
use crate::trade::ReferenceData;

/// Binds every rule of the packs that are wanted, and sees that local limits and acceptances name rules that there are.
pub fn bind_all<'r>(
    packs: &'r [Pack],
    only: impl Fn(&Pack) -> bool,
    tables: &ShopTables,
    reference: &ReferenceData,
    problems: &mut Problems,
) -> Vec<(&'r Pack, Vec<Bound<'r>>)> {
    let bound = packs
        .iter()
        .filter(|pack| only(pack))
        .map(|pack| {
            (
                pack,
                pack.rules
                    .iter()
                    .filter_map(|rule| bind(rule, pack, problems))
                    .collect(),
            )
        })
        .collect();
    let names: Vec<String> = packs
        .iter()
        .flat_map(|p| {
            p.rules
                .iter()
                .flat_map(|r| [r.id.clone(), format!("{}/{}", p.id, r.id)])
        })
        .collect();
    let mut known = |name: &str, at| {
        if !names.iter().any(|n| n == name) {
            let near = problems.near(name, names.iter().map(String::as_str));
            problems.add(Problem::new(
                CellFault::NameUnknown {
                    kind: "rule",
                    read: name.to_string(),
                    near,
                },
                at,
            ));
        }
    };
    for limit in &tables.shop.limits {
        known(&limit.rule.value, limit.rule.at);
    }
    for acceptance in &tables.accepted {
        known(&acceptance.rule, acceptance.rule_at);
    }
    for action in &tables.actions {
        if let Some(rule) = &action.rule {
            known(rule, action.rule_at);
        }
    }
    for acceptance in &tables.accepted {
        let named =
            |r: &Rule| acceptance.rule == r.id || acceptance.rule.ends_with(&format!("/{}", r.id));
        let rags = packs
            .iter()
            .flat_map(|p| &p.rules)
            .any(|r| named(r) && r.topic == NEVER_ACCEPTED);
        if rags {
            let code = CheckFault::NotAcceptable {
                rule: acceptance.rule.clone(),
            };
            problems.add(Problem::new(code, acceptance.rule_at));
        }
    }
    answers(packs, tables, reference, problems);
    bound
}

/// An answer names a question that there is, and a thing that there is: a slip would leave an older yes standing.
fn answers(
    packs: &[Pack],
    tables: &ShopTables,
    reference: &ReferenceData,
    problems: &mut Problems,
) {
    let asked = packs
        .iter()
        .flat_map(|p| &p.rules)
        .filter_map(|r| r.options.get("answer"))
        .map(|t| t.value.as_str());
    let mut checks: Vec<&str> = reference
        .round
        .questions
        .iter()
        .map(|q| q.check.as_str())
        .chain(asked)
        .collect();
    let fixtures = tables.fixtures.iter().flatten().map(|f| f.id.as_str());
    let places = tables
        .places
        .iter()
        .map(|s| s.id.as_str())
        .chain(tables.rooms.iter().map(|r| r.id.as_str()));
    let mut places: Vec<&str> = places
        .chain(fixtures)
        .chain(tables.containers.iter().map(|c| c.id.as_str()))
        .collect();
    places.sort_unstable();
    checks.sort_unstable();
    let mut known = |kind, name: &str, list: &[&str], at| {
        if list.binary_search(&name).is_err() {
            let near = problems.near(name, list.iter().copied());
            problems.add(Problem::new(
                CellFault::NameUnknown {
                    kind,
                    read: name.to_string(),
                    near,
                },
                at,
            ));
        }
    };
    for answer in &tables.answers {
        known("check", &answer.check, &checks, answer.check_at);
        if !answer.place.is_empty() {
            known(
                "place, room or fixture",
                &answer.place,
                &places,
                answer.place_at,
            );
        }
    }
}
