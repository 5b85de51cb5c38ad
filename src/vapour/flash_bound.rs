//! The highest temperature at which a product of known parts can flash, to hold the flash point of a data sheet against.
//!
//! It is a bound and no estimate: liquids that do not mix ideally give off more vapour than this, and flash lower.

use super::blend_flash::{antoine, flash_celsius, moles};
use super::conversion::ZERO_CELSIUS;
use super::flash::Antoine;
use super::given_off::stays;
use super::whole;
use crate::quantity::{Exact, Temperature};
use crate::record::{Material, Part, ShopTables};

/// How far a data sheet may lie above the bound: two test methods of one liquid differ by as much.
const TOLERANCE: f64 = 5.0;
/// How far a liquid may flash above a part that is half of it or more: dilution to half the vapour, and the width of the
/// grades of a petroleum cut. (A judgment, no source.)
const HALF_OF_IT: f64 = 25.0;
/// A liquid that flashes above this is no flammable liquid, and one said not to flash may be it.
const HIGHEST: f64 = 93.0;
/// Mixtures within mixtures are taken apart this deep.
const DEEPEST: usize = 3;

/// A volatile part: moles to go by, and where it flashes, if it does.
struct Volatile {
    moles: f64,
    flash: Option<(f64, Antoine)>,
}

/// The highest temperature at which a product of these parts can flash, tolerance included; `None` where its parts do not
/// settle that it flashes at all.
///
/// Formula: Σ x P(T) / P(Tflash) = 1 with activity coefficients of 1, water among the moles and what does not evaporate left
///          out; else 25 °C above a part that is at least half of it
/// Units:   a temperature
/// Range:   up to 93 °C
/// Error:   5 °C, added
/// Source:  as `flash::flash_point`; coefficients of 1 or more only lower it
pub fn highest_flash(tables: &ShopTables, parts: &[Part]) -> Option<Temperature> {
    let parts = apart(tables, parts, DEEPEST);
    let celsius = by_vapour(tables, &parts)
        .map(|celsius| celsius + TOLERANCE)
        .or_else(|| by_half(tables, &parts))?;
    if celsius > HIGHEST {
        return None;
    }
    Some(Temperature::from_base(Exact::whole(whole(
        (celsius * 1.8 + 32.0).ceil(),
    )?)))
}

/// Parts that are mixtures themselves, taken apart.
fn apart(tables: &ShopTables, parts: &[Part], deeper: usize) -> Vec<Part> {
    let mut list = Vec::new();
    for part in parts {
        let material = tables.materials.find(&part.name);
        let own = material.and_then(Material::made_of);
        let Some(own) = own.filter(|_| deeper > 0) else {
            list.push(part.clone());
            continue;
        };
        let scaled = own.into_iter().filter_map(|inner| {
            let scale =
                |outer: Exact, inner: Exact| outer.times(inner)?.times(Exact::constant(1, 2));
            let mut scaled = inner.clone();
            scaled.low.percent = scale(part.low.percent, inner.low.percent).ok()?;
            scaled.high.percent = scale(part.high.percent, inner.high.percent).ok()?;
            Some(scaled)
        });
        list.extend(apart(tables, &scaled.collect::<Vec<_>>(), deeper - 1));
    }
    list
}

fn volatile(material: &Material, part: &Part) -> Option<Volatile> {
    // Less of what burns and more of what does not makes it flash as late as it can.
    let (share, flash) = if material.does_not_flash().is_some() {
        (part.high.percent, None)
    } else {
        let flash = (flash_celsius(material)?, antoine(material)?);
        (part.low.percent, Some(flash))
    };
    Some(Volatile {
        moles: moles(material, part, share.estimate())?,
        flash,
    })
}

/// By the vapour of all parts, where each is known well enough. What suppresses a flame by itself settles nothing.
fn by_vapour(tables: &ShopTables, parts: &[Part]) -> Option<f64> {
    let mut list = Vec::new();
    for part in parts {
        let material = tables.materials.find(&part.name)?;
        if material.does_not_flash().is_some() && !matches!(&*material.name, "water") {
            if stays(material) {
                continue;
            }
            return None;
        }
        if !stays(material) {
            list.push(volatile(material, part)?);
        }
    }
    let all: f64 = list.iter().map(|part| part.moles).sum();
    let burns: Vec<(f64, f64, Antoine)> = list
        .iter()
        .filter_map(|part| part.flash.map(|(at, curve)| (part.moles / all, at, curve)))
        .collect();
    // Outside its range a fit is off by more, which the bound can bear.
    let pressure = |curve: &Antoine, celsius: f64| {
        10.0_f64.powf(curve.a - curve.b / (celsius + ZERO_CELSIUS + curve.c))
    };
    let sum = |celsius: f64| -> f64 {
        let shares = burns.iter();
        shares
            .map(|(x, at, curve)| x * pressure(curve, celsius) / pressure(curve, *at))
            .sum()
    };
    let lowest = burns.iter().map(|(_, at, _)| *at).min_by(f64::total_cmp)?;
    let (mut low, mut high) = (lowest - 1.0, HIGHEST + 1.0);
    let reached = all > 0.0 && sum(high) >= 1.0;
    if !reached {
        return None;
    }
    for _ in 0..60 {
        let middle = low + (high - low) / 2.0;
        if sum(middle) < 1.0 {
            low = middle
        } else {
            high = middle
        }
    }
    super::finite(high)
}

/// By a part that is at least half of it.
fn by_half(tables: &ShopTables, parts: &[Part]) -> Option<f64> {
    let half = Exact::whole(50);
    let most = parts.iter().filter(|part| part.low.percent >= half);
    let known = most.filter_map(|part| flash_celsius(tables.materials.find(&part.name)?));
    known.min_by(f64::total_cmp).map(|at| at + HALF_OF_IT)
}
