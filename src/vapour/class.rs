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
/// Units:  temperatures exact, in the base unit
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
    let classes = scheme.classes.iter().enumerate();
    let taking: Vec<_> = classes
        .filter(|(_, class)| class.flash.is_some_and(|band| band.takes(at)))
        .collect();
    match (taking.as_slice(), boils) {
        ([(only, class)], _) if class.boiling.takes_all() => Ok(*only),
        ([], None) => Err(ClassNeeds::Scheme),
        (_, None) => Err(ClassNeeds::BoilingPoint),
        (candidates, Some(boils)) => candidates
            .iter()
            .find(|(_, class)| class.boiling.takes(boils))
            .map(|(at, _)| *at)
            .ok_or(ClassNeeds::Scheme),
    }
}
