//! How much of a product may be bought: before a storage limit is passed, and before it would age out.

use super::supply::{Rate, Supply};
use crate::fact::may_contain;
use crate::finding::{Compared, Concern, Finding, SubjectKind, Verdict};
use crate::pack::Rule;
use crate::quantity::{Amount, Exact, Period, TooFine, Volume, at_most, shared};
use crate::record::{ContainerId, ProductId};
use crate::trade::{ShelfClock, ShelfLife};
use crate::vapour::class::Flash;

/// Days of a month, where a keeping time is in days: the longer, so that nothing outlasts its time.
const DAYS_A_MONTH: u32 = 31;

/// A bound on what may be bought.
pub(super) enum MayBuy {
    /// So much, and by which rule.
    Left(Amount, String),
    /// Nothing, and why.
    Nothing(String),
    /// Not known, and why.
    NotKnown(String),
    /// Nothing bounds it.
    Free,
}

/// The amount that storage limits leave for this product: the smallest margin of the totals that count it.
pub(super) fn storage(supply: &Supply<'_>, product: ProductId, held: Option<Amount>) -> MayBuy {
    match supply.audit.checked.hazards[product].flash.value() {
        Some(Flash::Never | Flash::NotALiquid) => return MayBuy::Free,
        Some(Flash::At(_)) => {}
        None => return MayBuy::NotKnown("its flash point is unknown".into()),
    }
    match held {
        Some(Amount::Volume(_)) | None => {}
        Some(Amount::Mass(_) | Amount::Pieces(_)) => {
            return MayBuy::NotKnown("it is not recorded by volume, as the limits are".into());
        }
    }
    match tightest(supply, product) {
        (Some((left, rule)), _) if left <= Exact::ZERO => {
            MayBuy::Nothing(format!("storage: {rule}: nothing is left"))
        }
        (_, Some(why)) => MayBuy::NotKnown(why),
        (Some((left, rule)), None) => {
            let left = Amount::Volume(Volume::from_base(left));
            let shown = at_most(left, supply.tables.shop.us);
            MayBuy::Left(left, format!("storage: {rule}: {shown} are left"))
        }
        // A limit that counts nothing in the shop does not count this product.
        (None, None) if held.is_some_and(|held| !held.base().is_zero()) => MayBuy::Free,
        (None, None) => MayBuy::NotKnown(
            "no limit was checked, because none is in stock or the amount is unknown".into(),
        ),
    }
}

/// The smallest margin of a total that counts this product, and a total whose margin is unknown.
fn tightest(supply: &Supply<'_>, product: ProductId) -> (Option<(Exact, String)>, Option<String>) {
    let rows: Vec<_> = supply.containers(product).map(|(row, _)| row.at).collect();
    let (mut least, mut unknown): (Option<(Exact, String)>, _) = (None, None);
    for finding in supply.audit.findings() {
        let Some(rule) = total(supply, finding) else {
            continue;
        };
        let judged = finding.verdict != Verdict::CannotJudge;
        // A finding that cannot be judged names only the rows that lack a fact. It may still count this product.
        let counts = finding.evidence.iter().any(|at| rows.contains(at))
            || !judged
                && may_mean(supply, product, rule, &finding.rule.pack)
                && stands_in(supply, product, finding);
        if !counts {
            continue;
        }
        let about = match finding.subject.kind {
            SubjectKind::Shop => "the whole shop",
            _ => finding.subject.id.as_str(),
        };
        let named = format!("{}/{}, {about}", finding.rule.pack, finding.rule.id);
        if !judged {
            unknown = Some(format!("{named} is unknown"));
        } else if let Some(Compared::AtMost { observed, limit }) = &finding.compared {
            match limit.base.minus(observed.base) {
                Ok(left) if least.as_ref().is_some_and(|(known, _)| *known <= left) => {}
                Ok(left) => least = Some((left, named)),
                Err(TooFine) => unknown = Some(format!("{named} is unknown")),
            }
        }
    }
    (least, unknown)
}

/// The rule of a finding about what is stored together.
fn total<'s>(supply: &'s Supply<'_>, finding: &Finding) -> Option<&'s Rule> {
    if finding.rule.concern != Concern::StoredTotal {
        return None;
    }
    let pack = supply
        .audit
        .shop
        .packs()
        .find(|pack| pack.id == *finding.rule.pack)?;
    pack.rules.iter().find(|rule| rule.id == *finding.rule.id)
}

/// Does the rule count the class of this product, as far as anyone knows?
fn may_mean(supply: &Supply<'_>, product: ProductId, rule: &Rule, pack: &str) -> bool {
    let contains = rule.select.words("contains");
    let (tables, name) = (supply.tables, supply.stock.product_name(product));
    let hazard = &supply.audit.checked.hazards[product];
    if !contains.is_empty() && !may_contain(tables, name, hazard, contains) {
        return false;
    }
    let words = rule.select.keys.iter().find(|(key, _)| *key == "class");
    let Some((_, words)) = words else { return true };
    let mut packs = supply.audit.shop.packs();
    let scheme = packs.find(|p| p.id == pack).and_then(|p| p.scheme.as_ref());
    let titles = supply
        .audit
        .checked
        .classes
        .iter()
        .find(|(id, _)| id == pack);
    let (Some(scheme), Some((_, titles))) = (scheme, titles) else {
        return true;
    };
    let mut rows = ContainerId::each(titles);
    let is_meant = |id: ContainerId| supply.stock.product(id) == product;
    rows.any(|(id, title)| {
        if !is_meant(id) {
            return false;
        }
        let Some(title) = title else { return true };
        let class = scheme.classes.iter().find(|class| class.title == *title);
        class.is_none_or(|class| words.iter().any(|word| word.value == class.name))
    })
}

/// Is the finding about the whole shop, or about a place or room where this product is stored?
fn stands_in(supply: &Supply<'_>, product: ProductId, finding: &Finding) -> bool {
    let about = finding.subject.id.as_str();
    let tables = supply.tables;
    let mut containers = supply.containers(product);
    finding.subject.kind == SubjectKind::Shop
        || containers.any(|(_, contents)| {
            let place = contents.location.place.map(|s| &tables[s]);
            let room = contents.location.room.map(|r| &tables[r]);
            place.is_some_and(|place| place.id == about) || room.is_none_or(|room| room.id == about)
        })
}

/// How much would be used before new stock ages out: rate × keeping time − what is here.
pub(super) fn keeping(
    supply: &Supply<'_>,
    product: ProductId,
    held: Option<Amount>,
    rate: Option<Rate>,
) -> MayBuy {
    let Some((row, contents)) = supply.containers(product).next() else {
        return MayBuy::NotKnown("no such container".into());
    };
    // As it would be bought or mixed: not opened, not tested.
    let mut new = contents.clone();
    (new.opened, new.made, new.trial, new.removed) = (None, None, None, Exact::ZERO);
    let kind = supply.tables.kind_of(&row.product);
    let times = ShelfLife::find(supply.tables, &supply.audit.shop.reference, row, &new, kind);
    let Some((span, says)) = times.and_then(|times| {
        // A product with inspections or with a date of its own has no shelf life to multiply.
        if matches!(times.clock, ShelfClock::Inspected | ShelfClock::BestBefore) {
            return None;
        }
        let span = times.discard_after.or(times.test_from)?;
        Some((
            span,
            times.says.split(": ").next().unwrap_or("").to_string(),
        ))
    }) else {
        return MayBuy::Free;
    };
    let months = match span {
        Period::Months(months) => months,
        Period::Days(days) => days / DAYS_A_MONTH,
        Period::Hours(_) | Period::Minutes(_) => 0,
    };
    let (Some(held), Some(rate)) = (held, rate) else {
        return MayBuy::NotKnown(format!("{span}, and the rate of use is unknown"));
    };
    let whole = rate
        .used()
        .base()
        .times(Exact::whole(i64::from(months)))
        .and_then(|all| Ok((all, held.base().times(rate.months())?)))
        .and_then(|(all, here)| all.minus(here));
    let why = format!("shelf life: {span}, sealed or newly mixed ({says})");
    match whole {
        Ok(left) if left > Exact::ZERO => shared(held.with(left), rate.months()).map_or_else(
            || MayBuy::NotKnown(why.clone()),
            |left| MayBuy::Left(left, why.clone()),
        ),
        Ok(_) => MayBuy::Nothing(why),
        Err(_) => MayBuy::NotKnown(why),
    }
}
