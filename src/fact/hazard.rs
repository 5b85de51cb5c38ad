//! What each product is: its kind, whether and where it flashes, whether rags wet with it can self-heat.
//!
//! The shop's own products.csv comes first, then the generic materials. A blend without a flash point of its own is
//! taken as its most hazardous part, and says so.

use super::known::{Evidence, Fact, Known};
use crate::quantity::{Temperature, temperature};
use crate::record::{
    HeatingClaim, Material, Part, Product, ProductKind, ShopTables, Stated, Vessel,
};
use crate::text::Span;
use crate::vapour::blend_flash::{blend_flash, flash_said};
use crate::vapour::class::Flash;
use crate::vapour::flash_bound::highest_flash;

/// What is known of one product.
#[derive(Clone, Debug)]
pub struct Hazard {
    /// What sort of thing it is.
    pub kind: Known<ProductKind>,
    /// Whether and where it flashes.
    pub flash: Known<Flash>,
    /// Where it begins to boil, if that is known.
    pub boils: Option<Fact<Temperature>>,
    /// Whether rags wet with it can self-heat; not known counts as yes.
    pub heats: Fact<bool>,
    /// The names it goes by: its own, the material's, and those of its parts.
    pub names: Vec<String>,
    /// Its flash point is higher than what it is made of allows.
    pub contradiction: Option<FlashContradiction>,
}

/// A flash point in products.csv that what the product is made of contradicts.
#[derive(Clone, Debug)]
pub struct FlashContradiction {
    /// What is written, in words.
    pub written: String,
    /// What the parts come to, in words.
    pub by_parts: String,
    /// The day of the data sheet is given, and so the data sheet decides.
    pub dated: bool,
    /// Where the flash point is.
    pub at: Span,
    highest: Temperature,
}

/// What is known of a product by its name.
pub(super) fn hazard(tables: &ShopTables, name: &str) -> Hazard {
    let kind = kind(tables, name);
    let contradiction = contradiction(tables, name);
    Hazard {
        flash: flash(tables, name, kind.value().copied(), contradiction.as_ref()),
        boils: boils(tables, name),
        heats: heats(tables, name),
        names: names(tables, name),
        contradiction,
        kind,
    }
}

fn inventory_row(tables: &ShopTables, name: &str) -> Vec<Span> {
    tables
        .containers
        .iter()
        .find(|c| c.product == name)
        .map(|c| c.product_at)
        .into_iter()
        .collect()
}

fn stated(evidence: &Stated, what: &str) -> Evidence {
    Evidence {
        places: vec![evidence.at],
        seen: evidence.seen,
        said: vec![format!("{what}: {} ({})", evidence.value, evidence.source).into()],
    }
}

fn kind(tables: &ShopTables, name: &str) -> Known<ProductKind> {
    if let Some(product) = tables.product(name)
        && let Some(kind) = product.kind
    {
        return Known::at(kind, product.at);
    }
    match tables
        .materials
        .find(name)
        .and_then(|m| Some((m.kind()?, m.first("kind")?)))
    {
        Some((kind, stated)) => Known::at(kind, stated.at),
        None => Known::gap(
            format!("Record the kind of {name} in products.csv. It is unknown."),
            inventory_row(tables, name),
        ),
    }
}

/// Does the product's own flash point lie above what its parts allow?
fn contradiction(tables: &ShopTables, name: &str) -> Option<FlashContradiction> {
    let product = tables.product(name)?;
    let written = product.flash_point?;
    let highest = highest_flash(tables, &product.made_of)?;
    if written.is_some_and(|written| written <= highest) {
        return None;
    }
    let shown = |at: Temperature| temperature(at, tables.shop.us);
    let written = written.map_or_else(|| "none".to_string(), shown);
    Some(FlashContradiction {
        written: format!("The flash point of {name} in products.csv is {written}."),
        by_parts: format!("By its parts, it is at most about {}.", shown(highest)),
        dated: product.sheet_dated.is_some(),
        at: product.flash_at,
        highest,
    })
}

/// The flash point in products.csv; while what the product is made of contradicts it and no day of its data sheet is given,
/// the lower value counts.
fn own_or_lower(
    tables: &ShopTables,
    name: &str,
    product: &Product,
    contradiction: Option<&FlashContradiction>,
) -> Option<Known<Flash>> {
    let written = product.flash_point?.map_or(Flash::Never, Flash::At);
    let mut evidence = Evidence::at(product.flash_at);
    let Some(contradiction) = contradiction else {
        return Some(Known::Yes(Fact {
            value: written,
            evidence,
        }));
    };
    let lower = match worst_part(tables, name, &product.made_of, Evidence::at(product.at)) {
        Known::Yes(fact) => match fact.value {
            Flash::At(at) => at.min(contradiction.highest),
            Flash::Never | Flash::NotALiquid => contradiction.highest,
        },
        Known::No(_) => contradiction.highest,
    };
    let counts = if contradiction.dated {
        "The dated data sheet decides."
    } else {
        "The lower value counts until sheet_dated has the day of the data sheet."
    };
    evidence.said.push(
        format!(
            "{} {} {counts}",
            contradiction.written, contradiction.by_parts
        )
        .into(),
    );
    let value = if contradiction.dated {
        written
    } else {
        Flash::At(lower)
    };
    Some(Known::Yes(Fact { value, evidence }))
}

fn flash(
    tables: &ShopTables,
    name: &str,
    kind: Option<ProductKind>,
    contradiction: Option<&FlashContradiction>,
) -> Known<Flash> {
    if let Some(product) = tables.product(name) {
        if let Some(own) = own_or_lower(tables, name, product, contradiction) {
            return own;
        }
        if !product.made_of.is_empty() {
            return worst_part(tables, name, &product.made_of, Evidence::at(product.at));
        }
    }
    if matches!(kind, Some(ProductKind::Flakes | ProductKind::Abrasive)) {
        return Known::Yes(Fact {
            value: Flash::NotALiquid,
            evidence: Evidence::none(),
        });
    }
    if let Some(material) = tables.materials.find(name) {
        if let Some(own) = own_flash(material, name, tables.shop.us) {
            return own;
        }
        if let Some(parts) = material.first("made_of")
            && let Some(list) = crate::record::parse_parts(&parts.value)
        {
            return worst_part(
                tables,
                name,
                &list,
                stated(parts, &format!("{name} is made of")),
            );
        }
    }
    let cloth = tables
        .containers
        .iter()
        .filter(|c| c.product == name)
        .all(|c| c.vessel.is_some_and(Vessel::is_cloth));
    if cloth {
        return Known::Yes(Fact {
            value: Flash::NotALiquid,
            evidence: Evidence::none(),
        });
    }
    Known::gap(
        format!("Record the flash point of {name} in products.csv. It is unknown."),
        inventory_row(tables, name),
    )
}

/// What the generic material states of itself: the lowest value governs.
fn own_flash(material: &Material, name: &str, us: bool) -> Option<Known<Flash>> {
    if let Some((at, row)) = material.lowest("flash_point") {
        let taken = if material.name.eq_ignore_ascii_case(name) {
            String::new()
        } else {
            format!(" as {}", material.name)
        };
        let evidence = Evidence {
            places: vec![row.at],
            seen: row.seen,
            said: vec![
                format!(
                    "The flash point of {name} is {}, by the built-in list{taken} ({}).",
                    temperature(at, us),
                    row.source
                )
                .into(),
            ],
        };
        return Some(Known::Yes(Fact {
            value: Flash::At(at),
            evidence,
        }));
    }
    let row = material.does_not_flash()?;
    let evidence = stated(row, &format!("{name} does not flash, by the built-in list"));
    Some(Known::Yes(Fact {
        value: Flash::Never,
        evidence,
    }))
}

/// The lowest flash point of the parts; unknown as soon as one part is.
fn worst_part(
    tables: &ShopTables,
    name: &str,
    parts: &[Part],
    mut evidence: Evidence,
) -> Known<Flash> {
    if let Some(total) = crate::record::short_of_whole(parts) {
        let why = format!(
            "Record the rest of what {name} is made of in products.csv, or its flash point. The parts come to {total} % only."
        );
        return Known::gap(why, evidence.places);
    }
    let mut worst: Option<(Temperature, &str)> = None;
    for part in parts {
        let known = flash_of_part(tables, &part.name);
        let Known::Yes(fact) = known else {
            return Known::gap(
                format!(
                    "Record the flash point of {name} in products.csv. It is unknown, as is that of its part {}.",
                    part.name
                ),
                evidence.places,
            );
        };
        if let Flash::At(at) = fact.value
            && worst.is_none_or(|(lowest, _)| at < lowest)
        {
            worst = Some((at, &part.name));
            evidence.seen = evidence.seen.max(fact.evidence.seen);
            evidence.join(&Evidence {
                said: Vec::new(),
                ..fact.evidence
            });
        }
    }
    let Some((at, part)) = worst else {
        evidence
            .said
            .push(format!("No part of {name} has a flash point.").into());
        return Known::Yes(Fact {
            value: Flash::Never,
            evidence,
        });
    };
    let shown = temperature(at, tables.shop.us);
    evidence.said.push(format!(
        "{name} has no flash point of its own on record. The flash point of its most hazardous part is used: {part}, {shown}."
    ).into());
    if let Some(blend) = blend_flash(tables, parts) {
        evidence
            .said
            .push(flash_said(name, &blend, tables.shop.us).into());
    }
    Known::Yes(Fact {
        value: Flash::At(at),
        evidence,
    })
}

fn flash_of_part(tables: &ShopTables, part: &str) -> Known<Flash> {
    if let Some(product) = tables.product(part)
        && let Some(flash) = product.flash_point
    {
        return Known::at(flash.map_or(Flash::Never, Flash::At), product.flash_at);
    }
    let Some(material) = tables.materials.find(part) else {
        return Known::gap("no such material", Vec::new());
    };
    if matches!(
        material.kind(),
        Some(ProductKind::Flakes | ProductKind::Abrasive)
    ) {
        return Known::Yes(Fact {
            value: Flash::NotALiquid,
            evidence: Evidence::none(),
        });
    }
    own_flash(material, part, tables.shop.us)
        .unwrap_or_else(|| Known::gap("no flash point", Vec::new()))
}

fn boils(tables: &ShopTables, name: &str) -> Option<Fact<Temperature>> {
    if let Some(product) = tables.product(name)
        && let Some(at) = product.boiling_point
    {
        return Some(Fact {
            value: at,
            evidence: Evidence::at(product.at),
        });
    }
    let own = |name: &str| {
        let (at, row) = tables.materials.find(name)?.lowest("boiling_point")?;
        Some(Fact {
            value: at,
            evidence: Evidence {
                said: Vec::new(),
                ..stated(row, name)
            },
        })
    };
    own(name).or_else(|| {
        let parts = tables.parts_of(name);
        parts
            .iter()
            .filter_map(|part| own(&part.name))
            .min_by_key(|fact| fact.value)
    })
}

fn names(tables: &ShopTables, name: &str) -> Vec<String> {
    let (mut list, mut open) = (Vec::new(), vec![name.to_string()]);
    // Parts have parts of their own; a name that is there already was looked into.
    while let Some(name) = open.pop() {
        let lower = name.to_lowercase();
        if !list.contains(&lower) {
            open.extend(tables.materials.find(&name).map(|m| m.name.clone()));
            open.extend(tables.parts_of(&name).into_iter().map(|part| part.name));
            list.push(lower);
        }
    }
    list
}

/// Whether rags wet with it can self-heat. Where the tables contradict each other, the dangerous one counts.
fn heats(tables: &ShopTables, name: &str) -> Fact<bool> {
    let claims = tables.heating_claims(name);
    let value = tables.self_heating(name);
    let decides = claims.iter().find(|claim| Some(claim.heats) == value);
    let evidence = match decides {
        Some(HeatingClaim {
            stated: Some(row), ..
        }) => stated(row, &format!("{name} is self-heating on rags")),
        Some(claim) => Evidence::at(claim.at),
        None => Evidence {
            said: vec![format!(
                "Whether {name} is self-heating on rags is unknown, so it counts as a drying oil."
            ).into()],
            ..Evidence::none()
        },
    };
    Fact {
        value: value.unwrap_or(true),
        evidence,
    }
}
