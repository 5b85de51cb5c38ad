//! The shape of a worked case: small tables in the real columns, and the verdict they must give.

use super::document::{Document, WithSpan};
use crate::quantity::Day;
use crate::text::{CellFault, Problem, Problems};

/// The tables a case may give, as file names without their ending.
pub const TABLES: [&str; 8] = [
    "rooms",
    "places",
    "fixtures",
    "products",
    "inventory",
    "log",
    "checks",
    "accepted",
];

#[derive(Clone, Debug)]
pub struct Case {
    pub name: WithSpan<String>,
    pub on: Day,
    /// The worst verdict expected.
    pub expect: WithSpan<String>,
    /// The value observed, if the case says it.
    pub observed: Option<WithSpan<String>>,
    /// Extra lines of shop.toml.
    pub shop: String,
    /// Table name and text.
    pub tables: Vec<(&'static str, String)>,
}

/// Reads the cases of one rule.
pub fn read_cases(document: &Document<'_>, problems: &mut Problems) -> Vec<Case> {
    let top = document.top("the cases");
    let mut cases = Vec::new();
    for section in top.list("case", problems) {
        let (name, on) = (section.must("name", problems), section.must("on", problems));
        let expect = section.must("expect", problems);
        let observed = section.text("observed", problems);
        let shop = section
            .text("shop", problems)
            .map(|told| told.value)
            .unwrap_or_default();
        let mut tables = Vec::new();
        for table in TABLES {
            if let Some(told) = section.text(table, problems) {
                tables.push((table, format!("{}\n", told.value)));
            }
        }
        section.done(problems);
        let (Some(name), Some(on), Some(expect)) = (name, on, expect) else {
            continue;
        };
        match Day::parse(&on.value) {
            Ok(day) => cases.push(Case {
                name,
                on: day,
                expect,
                observed,
                shop,
                tables,
            }),
            Err(fault) => {
                let code = CellFault::DayWrong {
                    column: "on".into(),
                    read: on.value,
                    fault,
                    moment: false,
                };
                problems.add(Problem::new(code, on.at));
            }
        }
    }
    top.done(problems);
    cases
}
