//! Whether and where a mixture in a vessel flashes: what it holds by product goes in, with the flash point of each.
//!
//! Where its parts mix nearly ideally the mixture is estimated, with the error taken off. Everywhere else its most hazardous
//! part counts, however little of it there is, but for traces.

use super::hazards::Hazards;
use super::known::{Evidence, Fact, Known};
use crate::quantity::{Exact, Share, ShareBasis, Temperature, temperature};
use crate::record::{Part, ShopTables};
use crate::stock::{Content, Portion, Stock};
use crate::vapour::blend_flash::lowest_flash;
use crate::vapour::class::Flash;

/// A product that is at most this share of a mixture does not count for its flash point: one part in ten thousand, at which
/// even alcohol in a hydrocarbon adds less than a hundredth of its own vapour. (A judgment, no source.)
const TRACE: Exact = Exact::constant(1, 4);

/// Whether and where what a vessel holds flashes.
pub fn mixture_flash(
    tables: &ShopTables,
    stock: &Stock,
    hazards: &Hazards,
    content: &Content,
) -> Known<Flash> {
    let counted: Vec<&Portion> = content
        .iter()
        .filter(|portion| portion.share.most() > TRACE)
        .collect();
    let mut worst: Option<(Temperature, &str)> = None;
    let mut evidence = Evidence::none();
    for portion in &counted {
        let name = stock.product_name(portion.product);
        match &hazards[portion.product].flash {
            Known::Yes(fact) => {
                evidence.join(&fact.evidence);
                if let Flash::At(at) = fact.value
                    && worst.is_none_or(|(lowest, _)| at < lowest)
                {
                    worst = Some((at, name));
                }
            }
            Known::No(gap) => return Known::No(gap.clone()),
        }
    }
    let Some((worst, part)) = worst else {
        let never = counted
            .iter()
            .any(|portion| hazards[portion.product].flash.value() == Some(&Flash::Never));
        let value = if never {
            Flash::Never
        } else {
            Flash::NotALiquid
        };
        return Known::Yes(Fact { value, evidence });
    };
    let parts = parts(tables, stock, &counted);
    let estimate = parts.and_then(|parts| lowest_flash(tables, &parts));
    let at = estimate.map_or(worst, |estimate| estimate.max(worst));
    let shown = temperature(at, tables.shop.us);
    evidence.said.push((if at > worst {
        format!(
            "The flash point of this mixture is estimated at {shown}, less the error of the estimate. Its parts mix nearly ideally."
        )
    } else {
        format!("The mixture counts as its most hazardous part: {part}, flash point {shown}.")
    }).into());
    Known::Yes(Fact {
        value: Flash::At(at),
        evidence,
    })
}

/// Where what a vessel holds begins to boil, at the lowest: not known where that of a product that flashes is not.
pub fn mixture_boils<'h>(hazards: &'h Hazards, content: &Content) -> Option<&'h Fact<Temperature>> {
    let counted = content.iter().filter(|p| p.share.most() > TRACE);
    let flashing = counted.map(|portion| &hazards[portion.product]);
    let flashing = flashing.filter(|hazard| matches!(hazard.flash.value(), Some(Flash::At(_))));
    let boils: Option<Vec<_>> = flashing.map(|hazard| hazard.boils.as_ref()).collect();
    boils?.into_iter().min_by_key(|fact| fact.value)
}

/// The mixture as parts by volume, each product taken apart, between the bounds of its share; `None` where a product is not
/// one material or a list of shares by volume.
fn parts(tables: &ShopTables, stock: &Stock, counted: &[&Portion]) -> Option<Vec<Part>> {
    let mut list = Vec::new();
    for portion in counted {
        let name = stock.product_name(portion.product);
        let share = |bound: Exact, percent: Exact| {
            let percent = bound.times(percent).ok()?;
            Some(Share {
                percent,
                basis: ShareBasis::Volume,
            })
        };
        let (least, most) = (portion.share.least(), portion.share.most());
        let own = tables.parts_of(name);
        if own.iter().any(|part| part.basis() != ShareBasis::Volume) {
            return None;
        }
        let whole = Exact::whole(100);
        if own.is_empty() {
            list.push(Part {
                name: name.to_string(),
                low: share(least, whole)?,
                high: share(most, whole)?,
            });
        }
        for part in own {
            list.push(Part {
                low: share(least, part.low.percent)?,
                high: share(most, part.high.percent)?,
                name: part.name,
            });
        }
    }
    Some(list)
}
