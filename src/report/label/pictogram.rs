//! The pictograms, drawn here after the open standard: a black symbol on white in a red square that stands on its corner.
//!
//! Each is drawn once on the page, in a square of 100 by 100, and used by its name.

use crate::trade::Pictogram;
use maud::{Markup, html};

/// What a reader who does not see it is told.
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

/// Every symbol, to stand once on the page.
pub(super) fn symbols() -> Markup {
    html! {
        svg.symbols width="0" height="0" aria-hidden="true" {
            @for (_, pictogram) in Pictogram::WORDS {
                symbol id=(name(pictogram)) viewBox="0 0 100 100" {
                    path d="M50 0 100 50 50 100 0 50Z" fill="#e30613" {}
                    path d="M50 9 91 50 50 91 9 50Z" fill="#fff" {}
                    (drawing(pictogram))
                }
            }
        }
    }
}

fn drawing(pictogram: Pictogram) -> Markup {
    match pictogram {
        Pictogram::Flame => flame(),
        Pictogram::Skull => skull(),
        Pictogram::Corrosion => corrosion(),
        Pictogram::Health => health(),
        Pictogram::Exclamation => exclamation(),
        Pictogram::Environment => environment(),
    }
}

fn flame() -> Markup {
    html! {
        g transform="translate(7.5 2) scale(.85)" {
            path d="M51 20C53 31 64 36 65 49 66 44 65 40 63 36 71 43 74 54 68 63 65 68 60 70 55 70 60 66 61 61 58 56 57 60 55 \
                    62 53 62 56 54 52 48 48 44 49 53 41 54 42 62 42 66 44 69 47 70 38 70 30 63 31 53 32 45 38 41 38 33 41 36 \
                    42 39 42 43 47 37 52 31 51 20Z" {}
            path d="M29 73H71V78H29Z" {}
        }
    }
}

fn exclamation() -> Markup {
    html! {
        path d="M50 20C56 20 58.5 24 58 30L54.5 58H45.5L42 30C41.5 24 44 20 50 20Z" {}
        circle cx="50" cy="69" r="6.5" {}
    }
}

fn health() -> Markup {
    html! {
        circle cx="50" cy="30" r="9" {}
        path d="M50 41.5C42 41.5 35 42.5 32 46 29 50 28 56 27 62L50 84 73 62C72 56 71 50 68 46 65 42.5 58 41.5 50 41.5Z" {}
        path fill="#fff" d="M50.0 47.0 52.1 55.9 59.9 51.1 55.1 58.9 64.0 61.0 55.1 63.1 59.9 70.9 52.1 66.1 50.0 75.0 47.9 66.1 40.1 70.9 44.9 63.1 36.0 61.0 44.9 58.9 40.1 51.1 47.9 55.9Z" {}
    }
}

fn corrosion() -> Markup {
    html! {
        // Two glasses that pour, one over a slab, one over a hand.
        path stroke="#000" stroke-width="6.5" stroke-linecap="round" d="M31 41 45 33M69 41 55 33" {}
        path stroke="#000" stroke-width="3" stroke-linecap="round" d="M26.5 39 31 46M73.5 39 69 46" {}
        path d="M29.5 47C31.5 50 32.5 52.5 29.5 54 26.5 52.5 27.5 50 29.5 47ZM35.5 44C37.5 47 38.5 49.5 35.5 \
                51 32.5 49.5 33.5 47 35.5 44Z" {}
        path d="M70.5 47C72.5 50 73.5 52.5 70.5 54 67.5 52.5 68.5 50 70.5 47ZM64.5 44C66.5 47 67.5 49.5 \
                64.5 51 61.5 49.5 62.5 47 64.5 44Z" {}
        path d="M24 57H27L30 61 33 58 36 62 39 57H48V65H28Z" {}
        path d="M52 61C55 58 60 56.5 63 57L65 61 68 58 70 62 72 58C75 58 77 60 75.5 62L70 66.5C67 69 64 70 60 70H52Z" {}
    }
}

fn environment() -> Markup {
    html! {
        // A bare tree on a bank, and a fish on its back.
        g transform="translate(8 6) scale(.82)" {
            path d="M36 62V48L28 39 30 37 37 44 40 25 43 26 42 40 50 31 52 33 43 44.5V62C52 61 57 63 60 66H22C26 63 31 62 36 \
                    62Z" {}
            path d="M46 73C51 65 62 64 70 68L77 63 75 70 78 76 70 73C62 78 52 79 46 73Z" {}
            path d="M56 65 61 59 65 66Z" {}
            circle cx="52.5" cy="71.5" r="1.5" fill="#fff" {}
        }
    }
}

fn skull() -> Markup {
    html! {
        g transform="translate(10 5) scale(.8)" {
            path d="M28 61 32 57 50 67 68 57 72 61 56 70 72 79 68 83 50 73 32 83 28 79 44 70Z" {}
            path d="M50 18C38 18 31 26 32 36 32.5 42 35 45 39 47L40 55C46 58 54 58 60 55L61 47C65 45 67.5 42 68 36 69 26 62 18 50 \
                    18Z" {}
            circle cx="42.5" cy="36" r="4.8" fill="#fff" {}
            circle cx="57.5" cy="36" r="4.8" fill="#fff" {}
            path fill="#fff" d="M50 41 53 47H47Z" {}
            path stroke="#fff" stroke-width="1.2" d="M46 50V55M50 50.5V55.5M54 50V55" {}
        }
    }
}
