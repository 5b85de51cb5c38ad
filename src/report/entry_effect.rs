//! What an entry would do, before it is logged: what is left in each container, where the rags are, and what to mind. It knows
//! neither a terminal nor a page.

use super::words::Wording;
use crate::audit::Shop;
use crate::quantity::{Amount, Exact, about_share, natural};
use crate::record::{ContainerId, Vessel, What};
use crate::stock::{PUT_AWAY, RagBatch, RagState, Stock};
use crate::store::Plan;
use crate::text::clean;

/// What an entry would do.
#[derive(Debug, Default)]
pub struct EntryEffect {
    /// What is left in each container of the entry.
    pub left: Vec<AmountLeft>,
    /// Each batch of soiled rags of these containers, in a sentence.
    pub rags: Vec<String>,
    /// What to mind, in sentences.
    pub warnings: Vec<String>,
}

/// What is left in a container.
#[derive(Debug)]
pub struct AmountLeft {
    /// The container, as a screen may show it.
    pub container: String,
    /// Its product, as a screen may show it.
    pub product: String,
    /// How much is left.
    pub now: String,
    /// How much was there, if that is known and was another amount.
    pub was: Option<String>,
    /// The share of its size that is left.
    pub full: Option<String>,
}

impl EntryEffect {
    /// Of entries with these cells.
    pub fn find(
        before: &Shop,
        plan: &Plan,
        what: Option<What>,
        entries: &[&[(&'static str, String)]],
    ) -> EntryEffect {
        let wording = Wording::of_shop(&plan.shop, plan.after.on);
        let mut effect = EntryEffect::default();
        let mut soils_rags = what == Some(What::Soil);
        for name in touched(what, entries) {
            let Some(at) = plan.shop.tables.container(name) else {
                continue;
            };
            effect.left.push(left(before, plan, at));
            let row = &plan.shop.tables[at];
            soils_rags |= what == Some(What::Use) && row.vessel.is_some_and(Vessel::is_cloth);
            let soiled = cloth(&plan.after, at).filter(|batch| batch.state != RagState::Clean);
            let rags = soiled.map(|batch| wording.rags_at_place(batch, row.vessel));
            effect.rags.extend(rags);
            if what == Some(What::Test) && is_passed(entries) && dries_none(before, plan, at) {
                let none = "This test dries none. Only rags that lie flat outdoors can be found hard and dry.";
                effect.warnings.push(none.into());
            }
        }
        if soils_rags {
            effect.warnings.push(format!(
                "A rag wet with drying oil can set itself on fire, and one is enough. As soon as you stop using it, {PUT_AWAY}"
            ));
        }
        effect
    }
}

/// The containers that the entries change, each once.
fn touched<'e>(what: Option<What>, entries: &[&'e [(&'static str, String)]]) -> Vec<&'e str> {
    let pours = matches!(what, Some(What::Mix | What::Decant));
    let mut names: Vec<&str> = Vec::new();
    for (column, name) in entries.iter().copied().flatten() {
        let is_meant = *column == "container" || *column == "into" && pours;
        if is_meant && !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    names
}

fn left(before: &Shop, plan: &Plan, at: ContainerId) -> AmountLeft {
    let (row, us) = (&plan.shop.tables[at], plan.shop.tables.shop.us);
    let now = plan.after[at].amount;
    let earlier = before.tables.container(&row.id);
    let was = earlier.and_then(|at| plan.before[at].amount);
    let shown = |amount: Amount| natural(amount, us);
    let full = now.zip(row.capacity);
    let full = full.filter(|(now, capacity)| now.same_kind(*capacity));
    AmountLeft {
        container: clean(&row.id),
        product: clean(&row.product),
        now: now.map_or_else(|| "an unknown amount".into(), shown),
        was: was.filter(|was| Some(*was) != now).map(shown),
        full: full.and_then(|(now, capacity)| about_share(now.base(), capacity.base())),
    }
}

fn cloth(stock: &Stock, at: ContainerId) -> impl Iterator<Item = &RagBatch> {
    stock[at].cloth.iter()
}

fn is_passed(entries: &[&[(&'static str, String)]]) -> bool {
    let mut cells = entries.iter().copied().flatten();
    cells.any(|(column, text)| *column == "note" && text.to_lowercase().starts_with("pass"))
}

/// Did a passed test of rags find none of them dry?
fn dries_none(before: &Shop, plan: &Plan, at: ContainerId) -> bool {
    let row = &plan.shop.tables[at];
    let dry = |stock: &Stock, at| {
        let dry = cloth(stock, at).filter(|batch| batch.state == RagState::Dry);
        let mut pieces = dry.map(|batch| batch.pieces);
        pieces.try_fold(Exact::ZERO, Exact::plus)
    };
    let Some(earlier) = before.tables.container(&row.id) else {
        return false;
    };
    row.vessel.is_some_and(Vessel::is_cloth)
        && plan.unclear.is_empty()
        && dry(&plan.before, earlier) == dry(&plan.after, at)
}
