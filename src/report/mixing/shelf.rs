//! What `mix` takes from the shelf: oldest first, nothing that failed its test, and how much of it is used up in time.

use super::asked::{FlakesWanted, MixAsked, flake_of};
use super::refused;
use crate::audit::Shop;
use crate::check::{Checked, Fit, Standing, standing};
use crate::quantity::{Amount, Day, Ratio, TooFine};
use crate::record::{ContainerId, ProductKind, ShopTables};
use crate::report::not_audited::Refusal;
use crate::report::{Caution, Keeps, MixBatch, MixNeed, litres};
use crate::stock::Stock;
use crate::trade::{Flake, cut_named, pace};

/// The shop on the day.
pub(super) struct Shelf<'a> {
    pub opened: &'a Shop,
    pub stock: &'a Stock,
    pub audit: &'a Checked<'a>,
    pub cautions: &'a [Caution],
}

impl<'a> Shelf<'a> {
    /// The cautions of these names, in this order.
    pub fn cautions_named(&self, names: &[&str]) -> Vec<&'a Caution> {
        let find = |name: &&str| self.cautions.iter().find(|c| c.name == **name);
        names.iter().filter_map(find).collect()
    }
}

pub(super) fn too_fine(_: TooFine) -> Refusal {
    refused(
        "The amounts have more digits than can be kept exactly.",
        "Write fewer decimals.",
    )
}

/// Takes what is wanted, oldest first, from what is fit.
fn take<'a>(
    what: &'static str,
    wanted: Amount,
    standing: Vec<Standing<'a>>,
) -> Result<MixNeed<'a>, TooFine> {
    let mut left = Ratio::from_exact(wanted.base());
    let mut takes = Vec::new();
    for one in standing {
        let held = one.held.filter(|held| held.same_kind(wanted));
        let usable = held.filter(|_| !matches!(one.fit, Fit::Unfit(_)));
        let taken = match usable {
            Some(held) if !left.is_zero() => {
                let taken = Ratio::from_exact(held.base()).min(left);
                left = left.minus(taken)?;
                Some(wanted.with(crate::trade::mixing::as_decimals(taken)?))
            }
            Some(_) | None => None,
        };
        takes.push((one, taken));
    }
    let short = crate::trade::mixing::as_decimals(left)?;
    Ok(MixNeed {
        what,
        wanted,
        takes,
        short: (!short.is_zero()).then(|| wanted.with(short)),
        open: false,
    })
}

fn same_product(tables: &ShopTables, a: &str, b: &str) -> bool {
    let material = |name: &str| tables.materials.find(name).map(|m| m.name.as_str());
    a.eq_ignore_ascii_case(b)
        || tables.product(a).is_none()
            && tables.product(b).is_none()
            && material(a).is_some()
            && material(a) == material(b)
}

impl<'a> Shelf<'a> {
    fn standing(&self, picks: impl Fn(&str) -> bool) -> Vec<Standing<'a>> {
        let tables = &self.opened.tables;
        standing(tables, self.stock, self.audit, |at| {
            picks(&tables[at].product)
        })
    }

    /// Alcohol.
    pub fn alcohol(&self, name: &str, wanted: Amount) -> Result<MixNeed<'a>, Refusal> {
        let tables = &self.opened.tables;
        let there = self.standing(|product| same_product(tables, product, name));
        take("alcohol", wanted, there).map_err(too_fine)
    }

    /// Flakes. What there is of them and may not be mixed is in the way of all.
    pub fn flakes(&self, asked: &MixAsked, wanted: Amount) -> Result<MixNeed<'a>, Refusal> {
        let tables = &self.opened.tables;
        let of = |product: &str| tables.kind_of(product) == Some(ProductKind::Flakes);
        let there = match &asked.flakes {
            FlakesWanted::Any => self.standing(of),
            FlakesWanted::Kind(kind) => {
                self.standing(|p| of(p) && flake_of(tables, p) == Some(*kind))
            }
            FlakesWanted::Product(name, _) => {
                self.standing(|p| of(p) && same_product(tables, p, name))
            }
        };
        let unfit = |one: &Standing<'_>| match &one.fit {
            Fit::Unfit(why) => Some(format!("{} {why}", one.id)),
            Fit::Good | Fit::TestFirst(_) => None,
        };
        if !there.is_empty() && there.iter().all(|one| unfit(one).is_some()) {
            let whys: Vec<String> = there.iter().filter_map(unfit).collect();
            return Err(refused(
                format!(
                    "No such flakes on the shelf are fit to mix: {}.",
                    whys.join("; ")
                ),
                "Discard them and log it, then log the fresh flakes you receive. Or name other flakes with `--flake`.",
            ));
        }
        let mut kinds: Vec<&str> = there.iter().map(|one| one.product).collect();
        kinds.sort_unstable();
        kinds.dedup();
        if asked.flakes == FlakesWanted::Any && kinds.len() > 1 {
            return Ok(MixNeed {
                what: "flakes",
                wanted,
                takes: there.into_iter().map(|one| (one, None)).collect(),
                short: None,
                open: true,
            });
        }
        take("flakes", wanted, there).map_err(too_fine)
    }

    /// The thick cut in a jar. One that is unfit, or holds too little, is refused.
    pub fn jar(&self, at: ContainerId, wanted: Amount) -> Result<MixNeed<'a>, Refusal> {
        let tables = &self.opened.tables;
        let there = standing(tables, self.stock, self.audit, |container| container == at);
        if let Some((id, why)) = there.iter().find_map(|one| match &one.fit {
            Fit::Unfit(why) => Some((one.id, why)),
            Fit::Good | Fit::TestFirst(_) => None,
        }) {
            return Err(refused(
                format!("{id} is not fit to thin: {why}."),
                "Name another jar with `--from`. Or test this one, and log a passed test before you use it.",
            ));
        }
        take("stock", wanted, there).map_err(too_fine)
    }

    /// How much of the cut and kind will be used before it must be tested.
    pub fn batch(
        &self,
        asked: &MixAsked,
        kind: Option<Flake>,
        keeps: Option<&Keeps<'_>>,
        made: Ratio,
    ) -> Result<Option<MixBatch>, TooFine> {
        let tables = &self.opened.tables;
        let alike = |product: &str| {
            tables.kind_of(product) == Some(ProductKind::Shellac)
                && cut_named(product) == Some(asked.cut.pounds())
                && (kind.is_none() || flake_of(tables, product) == kind)
        };
        let until = keeps.and_then(|keeps| keeps.test_from.or(keeps.discard_after));
        let (Some(pace), Some(until)) = (pace(self.stock, alike)?, until) else {
            return Ok(None);
        };
        let there = self.there(alike)?;
        let ahead = pace.ahead(until.since(self.on()))?;
        let most = ahead.minus(there)?.max(Ratio::ZERO);
        Ok(Some(MixBatch {
            used: litres(pace.used)?,
            from: pace.from,
            days: pace.days,
            until,
            ahead: litres(ahead)?,
            there: litres(there)?,
            most: litres(most)?,
            over: made > most,
        }))
    }

    fn on(&self) -> Day {
        self.stock.on
    }

    /// What is there already and is fit for use.
    fn there(&self, alike: impl Fn(&str) -> bool) -> Result<Ratio, TooFine> {
        let mut sum = Ratio::ZERO;
        for one in self.standing(alike) {
            if let (Some(Amount::Volume(held)), Fit::Good | Fit::TestFirst(_)) =
                (one.held, &one.fit)
            {
                sum = sum.plus(Ratio::from_exact(held.base()))?;
            }
        }
        Ok(sum)
    }
}
