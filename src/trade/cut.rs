//! The pound cut, and the kinds of flake, as products are named by them.

use crate::quantity::Exact;

/// Kinds of flake that age differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Flake {
    /// Bleached, blonde or white: ages fastest.
    Bleached,
    /// Dewaxed, not bleached.
    Dewaxed,
    /// With its wax: seedlac, button lac, waxy flakes.
    Waxy,
}

impl Flake {
    /// The words of the files.
    pub const WORDS: [(&'static str, Flake); 3] = [
        ("bleached", Flake::Bleached),
        ("dewaxed", Flake::Dewaxed),
        ("waxy", Flake::Waxy),
    ];
}

/// The cut in a name, pounds of flakes to a US gallon of alcohol: `shellac 2 lb cut`, `1 1/2 lb cut`, `2-lb`.
pub fn cut_named(name: &str) -> Option<Exact> {
    let name = name.to_lowercase();
    let (before, _) = name.split_once("lb").or_else(|| name.split_once("pound"))?;
    let number: Vec<&str> = before
        .trim_end_matches([' ', '-'])
        .rsplit(|c: char| c.is_whitespace() || c == '-')
        .take_while(|part| {
            !part.is_empty()
                && part
                    .chars()
                    .all(|c| c.is_ascii_digit() || c == '.' || c == '/')
        })
        .collect();
    let text: Vec<&str> = number.into_iter().rev().collect();
    let measure = crate::quantity::Measure::parse(&format!("{} lb", text.join(" "))).ok()?;
    Some(measure.written)
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

#[cfg(test)]
mod tests {
    use super::{Flake, cut_named, flake_named};

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
    }
}
