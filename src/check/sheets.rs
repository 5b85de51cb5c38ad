//! The data sheet of each product: a path in products.csv, and its file in the shop folder.

use super::kind::Judged;
use super::sign::yes_or_no;
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Detail, Stage, Subject, SubjectKind};
use crate::record::{Container, Vessel};

/// Something for each product in a container that is meant, named by the first such container. A shop that names no data sheet
/// keeps them elsewhere, and a question of the round asks where.
pub(super) fn data_sheets(select: &ContainerFilter, facts: &Facts<'_>) -> Vec<Judged> {
    let products = &facts.tables.products;
    if products
        .iter()
        .all(|it| it.sheet.is_none() && !it.lacks_sheet)
    {
        return Vec::new();
    }
    let mut judged = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for container in facts.containers() {
        let row = &facts.tables[container];
        if row.vessel.is_some_and(Vessel::is_cloth) || seen.contains(&row.product.as_str()) {
            continue;
        }
        let outcome = match select.meets(facts, container) {
            Match::No => continue,
            Match::Unknown(why) => match on_file(row, facts) {
                known
                    if matches!(
                        known.value(),
                        Some(Compared::Plain {
                            stage: Stage::Holds,
                            ..
                        })
                    ) =>
                {
                    known
                }
                _ => Known::gap(why, vec![row.at]),
            },
            Match::Yes => on_file(row, facts),
        };
        seen.push(&row.product);
        let subject = Subject::new(SubjectKind::Container, row.id.clone());
        let working = Working::new(facts.tables.shop.us);
        let detail = Detail::DataSheet(row.product.clone());
        judged.push(Judged::new(subject, outcome, working).seeing(detail));
    }
    judged
}

fn on_file(row: &Container, facts: &Facts<'_>) -> Known<Compared> {
    let Some(product) = facts.tables.product(&row.product) else {
        return unknown(row);
    };
    let evidence = Evidence::at(product.sheet_at);
    match (&product.sheet, product.sheet_found) {
        (None, _) if product.lacks_sheet => yes_or_no("none to be had", false, evidence),
        (None, _) => unknown(row),
        (Some(path), Some(false)) => {
            yes_or_no(format!("{path} is not in the shop folder"), false, evidence)
        }
        (Some(path), Some(true) | None) => yes_or_no(path.clone(), true, evidence),
    }
}

fn unknown(row: &Container) -> Known<Compared> {
    let why = format!(
        "Record the path of the data sheet of {} in products.csv, column sheet. It is unknown.",
        row.product
    );
    Known::gap(why, vec![row.product_at])
}
