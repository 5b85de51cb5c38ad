//! Where a blend of generic materials would flash: by Raoult where its parts mix nearly ideally, else only a warning.

use super::flash::{Antoine, Family, FlashPart, IDEAL_ERROR, MixtureFlash, flash_point};
use crate::quantity::{Dimension, Exact, ShareBasis, Temperature};
use crate::record::{Material, Part, ShopTables};

/// The words of the family column.
const FAMILIES: [(&str, Family); 8] = [
    ("alcohol", Family::Alcohol),
    ("aliphatic", Family::Aliphatic),
    ("aromatic", Family::Aromatic),
    ("ketone", Family::Ketone),
    ("ester", Family::Ester),
    ("glycol-ether", Family::GlycolEther),
    ("chlorinated", Family::Chlorinated),
    ("watery", Family::Watery),
];

/// What can be said of the flash point of a blend of these parts, high ends taken where a share is a range; `None`
/// where a part is unknown well enough, or does not evaporate alone.
///
/// Formula: as `flash::flash_point`, mole fractions from the shares
/// Units:   °C
/// Range:   parts with family, flash point and molar mass; for an estimate also Antoine coefficients
/// Error:   3 °C where an estimate is offered
/// Source:  as `flash::flash_point`
pub fn blend_flash(tables: &ShopTables, parts: &[Part]) -> Option<MixtureFlash> {
    let shares = parts.iter().map(|part| part.high.percent.estimate());
    blended(tables, parts, &shares.collect::<Vec<_>>())
}

/// The lowest temperature at which a blend of these parts may flash, the error taken off; `None` where no estimate is
/// offered. Of shares that are ranges the lowest flashing part takes its high end first.
///
/// Formula, units, range, source: as `blend_flash`
/// Error:   taken off
pub fn lowest_flash(tables: &ShopTables, parts: &[Part]) -> Option<Temperature> {
    let flash = |part: &&Part| Some(tables.materials.find(&part.name)?.lowest("flash_point")?.0);
    let mut order: Vec<&Part> = parts.iter().collect();
    order.sort_by_key(|part| flash(part));
    let mut room: f64 = 100.0 - parts.iter().map(|p| p.low.percent.estimate()).sum::<f64>();
    let mut shares = Vec::new();
    for part in &order {
        let (low, high) = (part.low.percent.estimate(), part.high.percent.estimate());
        let more = (high - low).min(room.max(0.0));
        room -= more;
        shares.push(low + more);
    }
    let parts: Vec<Part> = order.into_iter().cloned().collect();
    match blended(tables, &parts, &shares)? {
        MixtureFlash::About(celsius) => fahrenheit(celsius - IDEAL_ERROR),
        MixtureFlash::NoHigherThan { .. } => None,
    }
}

/// Whole degrees Fahrenheit, rounded down.
fn fahrenheit(celsius: f64) -> Option<Temperature> {
    let whole = super::whole((celsius * 1.8 + 32.0).floor())?;
    Some(Temperature::from_base(Exact::whole(whole)))
}

fn blended(tables: &ShopTables, parts: &[Part], shares: &[f64]) -> Option<MixtureFlash> {
    let mut list = Vec::new();
    for (part, share) in parts.iter().zip(shares) {
        list.push(flash_part(tables, part, *share)?);
    }
    let all: f64 = list.iter().map(|part| part.moles).sum();
    if all <= 0.0 {
        return None;
    }
    for part in &mut list {
        part.moles /= all;
    }
    list.retain(|part| part.moles > 0.0);
    flash_point(&list)
}

/// A part with its moles for so much of it, not yet a fraction.
fn flash_part(tables: &ShopTables, part: &Part, share: f64) -> Option<FlashPart> {
    let material = tables.materials.find(&part.name)?;
    let stated = material.first("family")?;
    let mut families = FAMILIES.iter();
    let (_, family) = families.find(|(word, _)| *word == stated.value)?;
    Some(FlashPart {
        moles: moles(material, part, share)?,
        flash: flash_celsius(material)?,
        pressure: antoine(material).unwrap_or(UNFITTED),
        family: *family,
    })
}

/// The moles in so much of a part.
pub(super) fn moles(material: &Material, part: &Part, share: f64) -> Option<f64> {
    let molar = material.estimate("molar_mass", Dimension::MolarMass)?;
    let density = match part.basis() {
        ShareBasis::Volume => material.estimate("density", Dimension::Density)?,
        ShareBasis::Mass | ShareBasis::NotSaid => 1.0,
    };
    Some(share * density / molar)
}

/// The flash point that counts for a material, °C.
pub(super) fn flash_celsius(material: &Material) -> Option<f64> {
    let (at, _) = material.lowest("flash_point")?;
    Some((at.base().estimate() - 32.0) / 1.8)
}

/// A curve with no range, so that nothing is estimated from it; the warning needs none.
const UNFITTED: Antoine = Antoine {
    a: 0.0,
    b: 0.0,
    c: 0.0,
    coldest: 0.0,
    warmest: 0.0,
};

pub(super) fn antoine(material: &Material) -> Option<Antoine> {
    let stated = material.first("antoine")?;
    let mut coefficients = stated.value.split_whitespace().map(str::parse::<f64>);
    let mut next = || coefficients.next()?.ok();
    let (a, b, c) = (next()?, next()?, next()?);
    let (coldest, warmest) = stated.note.split_once(['-', '–'])?;
    let digits = |text: &str| {
        text.trim()
            .trim_end_matches(|c: char| !c.is_ascii_digit())
            .rsplit(' ')
            .next()?
            .parse()
            .ok()
    };
    Some(Antoine {
        a,
        b,
        c,
        coldest: digits(coldest)?,
        warmest: digits(warmest.split_whitespace().next()?)?,
    })
}

/// What is said of it beside the class, in a sentence.
pub fn flash_said(product: &str, flash: &MixtureFlash, us: bool) -> String {
    let degrees = |celsius: f64, zero: f64| match us {
        true => format!("{:.0} °F", celsius * 1.8 + zero),
        false => format!("{celsius:.0} °C"),
    };
    match flash {
        MixtureFlash::About(celsius) => format!(
            "If its parts mix ideally, {product} flashes at about {}. Its class still follows its most hazardous part.",
            degrees(*celsius, 32.0)
        ),
        MixtureFlash::NoHigherThan { lower_by, .. } => format!(
            "The parts of {product} do not mix ideally. It may flash up to about {} below its most hazardous part.",
            degrees(*lower_by, 0.0)
        ),
    }
}
