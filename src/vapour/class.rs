//! A liquid's class under a scheme. Borders are exact, as printed; nothing here is an estimate.

use crate::pack::Scheme;
use crate::quantity::Temperature;

/// Whether, and where, a thing flashes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flash {
    /// Closed-cup flash point.
    At(Temperature),
    /// It was tested and does not flash.
    Never,
    /// A solid: flakes, powder, paper.
    NotALiquid,
}

/// What is needed to know the class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClassNeeds {
    /// The boiling point decides between two classes.
    BoilingPoint,
    /// The scheme has no class for it.
    Scheme,
}

/// The position of the class in the scheme.
///
/// Units:  temperatures exact, in the house unit
/// Range:  any; a scheme whose classes leave a gap is refused when it is read
/// Error:  none
/// Source: the pack's own citation for its scheme
pub fn class_of(
    scheme: &Scheme,
    flash: Flash,
    boils: Option<Temperature>,
) -> Result<usize, ClassNeeds> {
    let last = scheme
        .classes
        .len()
        .checked_sub(1)
        .ok_or(ClassNeeds::Scheme)?;
    let Flash::At(at) = flash else {
        return Ok(last);
    };
    let taking: Vec<usize> = (0..scheme.classes.len())
        .filter(|i| {
            scheme
                .classes
                .get(*i)
                .and_then(|c| c.flash)
                .is_some_and(|band| band.takes(at))
        })
        .collect();
    match (taking.as_slice(), boils) {
        ([only], _)
            if scheme
                .classes
                .get(*only)
                .is_some_and(|c| c.boiling.takes_all()) =>
        {
            Ok(*only)
        }
        (candidates, Some(boils)) => candidates
            .iter()
            .copied()
            .find(|i| {
                scheme
                    .classes
                    .get(*i)
                    .is_some_and(|c| c.boiling.takes(boils))
            })
            .ok_or(ClassNeeds::Scheme),
        ([], None) => Err(ClassNeeds::Scheme),
        (_, None) => Err(ClassNeeds::BoilingPoint),
    }
}
