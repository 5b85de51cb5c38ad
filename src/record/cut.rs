//! The pound cut in the name of a product: `shellac 2 lb cut`, `1 1/2 lb cut`, `2-lb`.

use crate::quantity::{Exact, Measure};

/// The cut in a name, pounds of flakes to a US gallon of alcohol.
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
    let measure = Measure::parse(&format!("{} lb", text.join(" "))).ok()?;
    Some(measure.written)
}

/// The cut of what is named as one: a weight of flakes or of stone dust is none.
pub(super) fn named_as_cut(name: &str) -> Option<Exact> {
    let lower = name.to_lowercase();
    let shellac = lower.contains("shellac") && !lower.contains("flake");
    let says_so = lower.contains("cut") || shellac;
    cut_named(name).filter(|_| says_so)
}
