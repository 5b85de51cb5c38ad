//! What to do, from the findings: one entry for each thing, in the list of its most urgent finding.

use crate::finding::{Detail, Finding, Subject, SubjectKind, Verdict};
use crate::pack::Severity;
use crate::quantity::Day;
use crate::record::ShopTables;
use crate::stock::Stock;

/// Topics whose legal breaches are a danger right now. (A judgment, no
/// source.)
const DANGERS: [&str; 2] = ["rags", "ignition"];

/// What to do, the most dangerous first in each list. A thing is in one list only.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToDo {
    /// At once: rags that can set themselves on fire, and sources of ignition.
    pub now: Vec<Thing>,
    /// Before the day is over: whatever else breaks a law, and what is due today or is overdue.
    pub today: Vec<Thing>,
    /// Within seven days: what is close to a limit, or not good practice.
    pub this_week: Vec<Thing>,
    /// Facts that are unknown.
    pub find_out: Vec<Thing>,
}

/// One thing that needs action, however many rules it breaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thing {
    pub subject: Subject,
    /// The product in it, where it is a container or rags.
    pub product: String,
    /// The place or room it is at, where it is a container or rags.
    pub place: String,
    /// What to do about the worst of its findings.
    pub action: String,
    /// The first day on which one of its findings turns, where days are counted.
    pub due: Option<Day>,
    /// Its findings, by their position among all, the most urgent first.
    pub findings: Vec<usize>,
}

/// The lists, the most urgent first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Urgency {
    Now,
    Today,
    ThisWeek,
    FindOut,
}

/// Sorts findings, themselves in the order of their urgency, into what to do.
pub(super) fn to_do(findings: &[Finding], tables: &ShopTables, stock: &Stock) -> ToDo {
    let mut things: Vec<(Urgency, Thing)> = Vec::new();
    for (at, finding) in findings.iter().enumerate() {
        if !finding.calls() || finding.is_accepted() {
            continue;
        }
        let due = due(finding, stock.on);
        let urgency = urgency(finding, due, stock.on);
        let known = things
            .iter_mut()
            .find(|(_, thing)| thing.subject == finding.subject);
        match known {
            Some((most, thing)) => {
                if urgency < *most {
                    thing.action = finding.action.to_string();
                }
                *most = urgency.min(*most);
                thing.due = match (thing.due, due) {
                    (Some(a), Some(b)) => Some(a.min(b)),
                    (a, b) => a.or(b),
                };
                thing.findings.push(at);
            }
            None => things.push((urgency, thing(finding, at, due, tables, stock))),
        }
    }
    let mut lists = ToDo::default();
    for (urgency, thing) in things {
        match urgency {
            Urgency::Now => lists.now.push(thing),
            Urgency::Today => lists.today.push(thing),
            Urgency::ThisWeek => lists.this_week.push(thing),
            Urgency::FindOut => lists.find_out.push(thing),
        }
    }
    for list in [&mut lists.now, &mut lists.today] {
        // Stable: among others the order of the findings stays.
        list.sort_by_key(|thing| thing.subject.kind != SubjectKind::Rag);
    }
    lists
}

fn urgency(finding: &Finding, due: Option<Day>, on: Day) -> Urgency {
    match finding.verdict {
        // Rags of which it is unclear where they are may be loose.
        Verdict::CannotJudge if finding.subject.kind == SubjectKind::Rag => Urgency::Now,
        Verdict::CannotJudge => Urgency::FindOut,
        Verdict::Breach if finding.severity == Severity::Must => {
            // A night that is over is to be cleared up today; it is no danger at this moment.
            let is_past = matches!(finding.detail, Detail::PastNights { .. });
            if DANGERS.contains(&finding.rule.topic) && !is_past {
                Urgency::Now
            } else {
                Urgency::Today
            }
        }
        Verdict::Breach | Verdict::Near if due.is_some_and(|due| due <= on) => Urgency::Today,
        Verdict::Breach | Verdict::Near | Verdict::Meets | Verdict::NotInForce => Urgency::ThisWeek,
    }
}

/// The next day on which a finding turns, or the last one that is past.
fn due(finding: &Finding, on: Day) -> Option<Day> {
    let turns = finding.turns(on)?;
    let ahead = turns.warn.filter(|warn| *warn >= on);
    ahead.or(turns.limit).or(turns.warn)
}

fn thing(
    finding: &Finding,
    at: usize,
    due: Option<Day>,
    tables: &ShopTables,
    stock: &Stock,
) -> Thing {
    let container = match finding.subject.kind {
        SubjectKind::Rag | SubjectKind::Container => tables.container(&finding.subject.id),
        SubjectKind::Place
        | SubjectKind::Room
        | SubjectKind::Person
        | SubjectKind::Check
        | SubjectKind::Shop => None,
    };
    let row = container.map(|id| &tables[id]);
    let location = container.map(|id| stock[id].location);
    Thing {
        subject: finding.subject.clone(),
        product: row.map_or_else(String::new, |row| row.product.clone()),
        place: location
            .and_then(|location| tables.location_name(location))
            .unwrap_or_default(),
        action: finding.action.to_string(),
        due,
        findings: vec![at],
    }
}

#[cfg(test)]
mod tests {
    use crate::audit::Shop;
    use crate::finding::{SubjectKind, Verdict};
    use crate::quantity::Day;

    const SHOP: [(&str, &str); 5] = [
        (
            "shop.toml",
            "name = \"Made up\"\nunits = \"us\"\npacks = [\"us-workplace\"]\nemployees = 1\n",
        ),
        ("rooms.csv", "room,use\nfinishing,finishing\n"),
        ("places.csv", "place,room,kind\nbench,finishing,bench\n"),
        (
            "inventory.csv",
            "container,product,vessel,capacity,place,since,amount,labelled\n\
             O-1,boiled linseed oil,metal,1 qt,bench,2026-11-01,1 qt,no\n\
             R-1,cotton rag,rag,,bench,2026-11-01,2 pcs,\n",
        ),
        (
            "log.csv",
            "entry,when,what,container,amount,into\n1,2026-11-23T10:00,soil,R-1,1 pcs,O-1\n",
        ),
    ];

    #[test]
    fn each_thing_is_in_one_list_and_rags_come_first() {
        let shop = Shop::from_texts(&SHOP).unwrap();
        let audit = shop.audit(Day::parse("2026-11-24").unwrap()).unwrap();
        let to_do = audit.to_do();
        let first = to_do.now.first().unwrap();
        assert_eq!(first.subject.kind, SubjectKind::Rag);
        assert_eq!((&*first.subject.id, &*first.place), ("R-1", "bench"));
        let label = to_do.today.iter().find(|thing| thing.subject.id == "O-1");
        assert_eq!(label.unwrap().product, "boiled linseed oil");
        let lists = [&to_do.now, &to_do.today, &to_do.this_week, &to_do.find_out];
        let mut subjects: Vec<_> = lists
            .iter()
            .flat_map(|l| l.iter().map(|t| &t.subject))
            .collect();
        let all = subjects.len();
        subjects.sort();
        subjects.dedup();
        assert_eq!(subjects.len(), all, "a thing in two lists");
        // Every finding that calls is behind exactly one thing.
        let calling = audit.findings().iter().filter(|f| f.calls()).count();
        let behind: usize = lists
            .iter()
            .flat_map(|l| l.iter())
            .map(|t| t.findings.len())
            .sum();
        assert_eq!(behind, calling);
        let unknown = |at: &usize| audit.findings()[*at].verdict == Verdict::CannotJudge;
        assert!(
            to_do
                .find_out
                .iter()
                .all(|t| t.findings.iter().all(unknown))
        );
    }
}
