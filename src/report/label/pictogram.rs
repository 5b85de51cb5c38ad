//! The pictograms, drawn after the open standard: a black symbol on white in a red square that stands on its corner.

use crate::trade::Pictogram;

/// Every symbol, drawn once on the page in a square of 100 by 100 and used by its name.
pub(super) const SYMBOLS: &str = include_str!("pictograms.svg");

/// What a reader who does not see it is reported.
pub(super) fn said(pictogram: Pictogram) -> &'static str {
    match pictogram {
        Pictogram::Flame => "Flame: flammable",
        Pictogram::Skull => "Skull and crossbones: acutely toxic",
        Pictogram::Corrosion => "Corrosion: burns skin and eyes",
        Pictogram::Health => "Health hazard: lasting harm to health",
        Pictogram::Exclamation => "Exclamation mark: harmful or irritant",
        Pictogram::Environment => "Environment: harms water life",
    }
}

/// The name of the symbol on the page.
pub(super) fn name(pictogram: Pictogram) -> &'static str {
    match pictogram {
        Pictogram::Flame => "ghs-flame",
        Pictogram::Skull => "ghs-skull",
        Pictogram::Corrosion => "ghs-corrosion",
        Pictogram::Health => "ghs-health",
        Pictogram::Exclamation => "ghs-exclamation",
        Pictogram::Environment => "ghs-environment",
    }
}

#[cfg(test)]
mod tests {
    use super::{SYMBOLS, name};
    use crate::trade::Pictogram;

    #[test]
    fn every_pictogram_is_drawn_once() {
        for (_, pictogram) in Pictogram::WORDS {
            let symbol = format!("<symbol id=\"{}\"", name(pictogram));
            assert_eq!(SYMBOLS.matches(&symbol).count(), 1, "{symbol}");
        }
    }
}
