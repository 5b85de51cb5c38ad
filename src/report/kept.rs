//! How long each finish keeps: from which day, when it is to be tested, when it is discarded.

use crate::finding::{Compared, Concern, Finding};
use crate::quantity::{Day, Exact, Period};
use crate::record::ShopTables;

/// One container of a thing that ages.
pub struct AgingRow<'f> {
    /// The finding it comes from.
    pub finding: &'f Finding,
    pub product: String,
    /// Its days, where the time is counted in days.
    pub days: Option<KeptDays>,
}

/// The days of its time line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KeptDays {
    /// Made, opened or arrived.
    pub from: Day,
    /// To be tested from here on.
    pub test: Day,
    /// Discarded after that, if it is discarded by age.
    pub until: Option<Day>,
}

/// Everything that ages, by what runs out first; what has no days comes last.
pub(super) fn aging<'f>(
    tables: &ShopTables,
    findings: &'f [Finding],
    on: Day,
) -> Vec<AgingRow<'f>> {
    let aging = findings
        .iter()
        .filter(|f| f.rule.concern == Concern::ShelfLife);
    let rows = aging.filter_map(|finding| {
        let container = tables.container(&finding.subject.id)?;
        let product = tables[container].product.clone();
        let days = finding.compared.as_ref().and_then(|c| days(c, on));
        Some(AgingRow {
            finding,
            product,
            days,
        })
    });
    let mut list: Vec<AgingRow<'f>> = rows.collect();
    list.sort_by_key(|row| {
        let last = row.days.map(|days| days.until.unwrap_or(days.test));
        (last.is_none(), last)
    });
    list
}

/// An age in days, back from the day of the audit.
fn days(compared: &Compared, on: Day) -> Option<KeptDays> {
    let Compared::Staged {
        observed,
        warn,
        limit,
    } = compared
    else {
        return None;
    };
    let count = |number: Exact| number.digits().parse::<u32>().ok();
    let from = on.back(count(observed.base)?);
    let after = |number| Some(from.plus(Period::Days(count(number)?)));
    Some(KeptDays {
        from,
        test: after(warn.base)?,
        until: match limit {
            Some(limit) => Some(after(limit.base)?),
            None => None,
        },
    })
}
