//! The pound cut, and the kinds of flake, as products are named by them.

use crate::text::words;

pub use crate::record::cut_named;

words! {
    /// Kinds of flake that age differently.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
    pub enum Flake {
        /// Bleached, blonde or white: ages fastest.
        Bleached = "bleached",
        /// Dewaxed, not bleached.
        Dewaxed = "dewaxed",
        /// With its wax: seedlac, button lac, waxy flakes.
        Waxy = "waxy",
    }
}

/// The kind of flake in a name; `None` where the name does not settle it.
pub fn flake_named(name: &str) -> Option<Flake> {
    let name = name.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    if has(&["bleached", "blonde", "blond", "white shellac", "platina"]) {
        Some(Flake::Bleached)
    } else if has(&["dewaxed", "wax-free", "wax free"]) {
        Some(Flake::Dewaxed)
    } else if has(&["waxy", "seedlac", "seed lac", "button"]) {
        Some(Flake::Waxy)
    } else {
        None
    }
}

/// Colors of flakes that are not bleached: with their wax or without it.
const UNBLEACHED: [&str; 6] = ["garnet", "orange", "ruby", "amber", "lemon", "seedlac"];

/// A color of flakes in a name that tells that they are not bleached.
pub fn color_named(name: &str) -> Option<&'static str> {
    let name = name.to_lowercase();
    UNBLEACHED.into_iter().find(|color| name.contains(color))
}

/// The kind of flake by which a product keeps: by its name; of a color that is not bleached the shorter-lived, without wax.
pub fn keeping_flake(name: &str) -> Option<Flake> {
    flake_named(name).or_else(|| color_named(name).map(|_| Flake::Dewaxed))
}

#[cfg(test)]
mod tests {
    use super::{Flake, cut_named, flake_named, keeping_flake};

    #[test]
    fn cuts_and_flakes_by_name() {
        let cut = |name: &str| cut_named(name).map(|c| c.digits());
        assert_eq!(cut("shellac 2 lb cut"), Some("2".into()));
        assert_eq!(cut("dewaxed garnet, 1 1/2 lb cut"), Some("1.5".into()));
        assert_eq!(cut("shellac 0.5-lb cut"), Some("0.5".into()));
        assert_eq!(cut("2-pound cut"), Some("2".into()));
        assert_eq!(cut("ready-mixed shellac"), None);
        assert_eq!(
            flake_named("super-blonde dewaxed flakes"),
            Some(Flake::Bleached)
        );
        assert_eq!(flake_named("garnet flakes"), None);
        assert_eq!(keeping_flake("garnet flakes"), Some(Flake::Dewaxed));
        assert_eq!(keeping_flake("bleached orange"), Some(Flake::Bleached));
        assert_eq!(keeping_flake("shellac 2 lb cut"), None);
    }
}
