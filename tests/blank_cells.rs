//! An empty cell is unknown, and what is unknown is never a pass: no finding disappears because a cell is blank.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::Shop;
use sandarac::finding::{Finding, Verdict};
use sandarac::pack::Pack;
use sandarac::quantity::Day;
use std::collections::{BTreeMap, BTreeSet};

const DAY: &str = "2026-10-31";

/// A table as cells, with the comments that lead it.
struct Cells {
    lead: String,
    rows: Vec<Vec<String>>,
}

/// Takes a table apart; no cell of the demo has a line break in it.
fn cells(text: &str) -> Cells {
    let lead: String = text
        .lines()
        .take_while(|line| line.starts_with('#'))
        .map(|l| format!("{l}\n"))
        .collect();
    let rows = text[lead.len()..].lines().map(row).collect();
    Cells { lead, rows }
}

fn row(line: &str) -> Vec<String> {
    let (mut list, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => list.push(std::mem::take(&mut cell)),
            c => cell.push(c),
        }
    }
    list.push(cell);
    list
}

impl Cells {
    /// The table with one cell blank.
    fn without(&self, line: usize, column: usize) -> String {
        let mut text = self.lead.clone();
        for (at, row) in self.rows.iter().enumerate() {
            let shown = row.iter().enumerate().map(|(cell, content)| {
                if at == line && cell == column {
                    String::new()
                } else if content.contains(',') {
                    format!("\"{content}\"")
                } else {
                    content.clone()
                }
            });
            text.push_str(&shown.collect::<Vec<_>>().join(","));
            text.push('\n');
        }
        text
    }
}

fn open(finding: &&Finding) -> bool {
    matches!(finding.verdict, Verdict::Breach | Verdict::CannotJudge)
}

type Key = (String, String, String);
type Rule = (String, String);

fn by_rule<'f>(findings: impl Iterator<Item = &'f Finding>) -> BTreeMap<Rule, usize> {
    let mut rules = BTreeMap::new();
    for finding in findings {
        let rule = (finding.rule.pack.to_string(), finding.rule.id.to_string());
        *rules.entry(rule).or_insert(0) += 1;
    }
    rules
}

fn key(finding: &Finding) -> Key {
    (
        finding.rule.pack.to_string(),
        finding.rule.id.to_string(),
        finding.subject.id.clone(),
    )
}

/// What calls for something in a shop: by subject, and how often by rule. `None` where the shop is refused.
fn looked(
    texts: &[(&str, &str)],
    packs: &[Pack],
) -> Option<(BTreeSet<Key>, BTreeMap<Rule, usize>)> {
    let texts: Vec<(&str, &[u8])> = texts
        .iter()
        .map(|(name, text)| (*name, text.as_bytes()))
        .collect();
    let shop = Shop::from_texts_with(&texts, packs.to_vec()).ok()?;
    let audit = shop.audit(Day::parse(DAY).unwrap()).ok()?;
    let calls = || audit.findings().iter().filter(|f| f.calls());
    Some((calls().map(key).collect(), by_rule(calls())))
}

/// An entry about rags without an amount means all of those that it takes, as the README says: an empty amount says something.
const ALL_WITHOUT_AMOUNT: [&str; 6] = ["move", "discard", "spread", "soak", "bin", "test"];

/// May this cell be blank without a loss, for it says nothing or a blank says something else?
fn is_left_out(table: &str, heads: &[String], row: &[String], column: usize) -> bool {
    let cell = |name: &str| {
        let at = heads.iter().position(|head| head == name);
        at.and_then(|at| row.get(at)).map_or("", String::as_str)
    };
    match (table, heads[column].as_str()) {
        ("log.csv", "note") => !matches!(cell("what"), "test" | "correct"),
        ("log.csv", "amount") => {
            cell("container").starts_with("R-") && ALL_WITHOUT_AMOUNT.contains(&cell("what"))
        }
        (_, "note") => true,
        _ => false,
    }
}

/// Every so many cells of the log are drawn; `SANDARAC_CELLS=all` takes all of them.
const DRAWN: usize = 12;

fn is_drawn(table: &str, nth: usize) -> bool {
    let all = std::env::var("SANDARAC_CELLS").is_ok_and(|word| word == "all");
    all || table != "log.csv" || nth.is_multiple_of(DRAWN)
}

/// Every cell of a table in turn; gives what disappeared.
fn disappeared(table: &str) -> Vec<String> {
    let texts: Vec<(&str, String)> = sandarac::pack::demo()
        .iter()
        .map(|(name, text)| (*name, text.to_string()))
        .collect();
    let shop_texts: Vec<(&str, &str)> = texts
        .iter()
        .map(|(name, text)| (*name, text.as_str()))
        .collect();
    let shop = Shop::from_texts(&shop_texts).unwrap_or_else(|not| panic!("{not:?}"));
    let audit = shop
        .audit(Day::parse(DAY).unwrap())
        .unwrap_or_else(|not| panic!("{not:?}"));
    let open: Vec<Key> = audit.findings().iter().filter(open).map(key).collect();
    let before = by_rule(audit.findings().iter().filter(|f| f.calls()));
    let cells = cells(&texts.iter().find(|(name, _)| *name == table).unwrap().1);
    let heads = &cells.rows[0];
    let packs: Vec<Pack> = shop.packs().cloned().collect();
    let (mut gone, mut audited, mut refused, mut nth) = (Vec::new(), 0, 0, 0);
    for (line, row) in cells.rows.iter().enumerate().skip(1) {
        for (column, content) in row.iter().enumerate() {
            if content.is_empty() || is_left_out(table, heads, row, column) {
                continue;
            }
            nth += 1;
            if !is_drawn(table, nth) {
                continue;
            }
            let blank = cells.without(line, column);
            let changed: Vec<(&str, &str)> = texts
                .iter()
                .map(|(name, text)| match *name == table {
                    true => (*name, blank.as_str()),
                    false => (*name, text.as_str()),
                })
                .collect();
            let Some((keys, rules)) = looked(&changed, &packs) else {
                refused += 1;
                continue;
            };
            audited += 1;
            for one in &open {
                let rule = (one.0.clone(), one.1.clone());
                // It may be about something else then, such as a container with an unknown place.
                let fewer = rules.get(&rule).unwrap_or(&0) < &before[&rule];
                if !keys.contains(one) && fewer {
                    gone.push(format!(
                        "{table} row {} `{}` {} = {content}: {}/{} of {}",
                        line + 1,
                        row[0],
                        heads[column],
                        one.0,
                        one.1,
                        one.2
                    ));
                }
            }
        }
    }
    // A refused table hides nothing, but most blanks must be read for this to show anything.
    let is_all_needed = table == "accepted.csv";
    assert!(
        is_all_needed || audited * 3 > refused,
        "{table}: {audited} audited, {refused} refused"
    );
    gone
}

#[test]
fn no_blank_cell_of_the_products_hides_a_finding() {
    assert_eq!(disappeared("products.csv"), Vec::<String>::new());
}

#[test]
fn no_blank_cell_of_the_inventory_hides_a_finding() {
    assert_eq!(disappeared("inventory.csv"), Vec::<String>::new());
}

#[test]
fn no_blank_cell_of_rooms_places_and_fixtures_hides_a_finding() {
    for table in ["rooms.csv", "places.csv", "fixtures.csv"] {
        assert_eq!(disappeared(table), Vec::<String>::new());
    }
}

#[test]
fn no_blank_cell_of_the_round_hides_a_finding() {
    assert_eq!(disappeared("checks.csv"), Vec::<String>::new());
}

#[test]
fn no_blank_cell_of_the_log_hides_a_finding() {
    assert_eq!(disappeared("log.csv"), Vec::<String>::new());
}

#[test]
fn no_blank_cell_of_acceptances_and_actions_hides_a_finding() {
    for table in ["accepted.csv", "actions.csv"] {
        assert_eq!(disappeared(table), Vec::<String>::new());
    }
}
