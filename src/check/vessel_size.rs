//! The largest vessel that a class of liquid may stand in, by the packs' own rules on the size of containers.

use super::each_at_most;
use crate::pack::{Citation, InForce, LimitValue, Pack};
use crate::quantity::{Day, Measure};
use crate::record::Vessel;

/// A size that one rule allows.
#[derive(Clone, Copy, Debug)]
pub struct VesselSize<'p> {
    /// The rule.
    pub rule: &'p str,
    /// The largest vessel.
    pub most: &'p Measure,
    /// Where it is said.
    pub citation: &'p Citation,
}

/// What every rule of a pack on sizes allows for a class, by its position in the pack's scheme, in a kind of vessel.
pub fn vessel_sizes(pack: &Pack, on: Day, class: usize, vessel: Vessel) -> Vec<VesselSize<'_>> {
    let name = pack
        .scheme
        .as_ref()
        .and_then(|scheme| scheme.classes.get(class))
        .map(|class| class.name.as_str());
    let takes = |words: &[crate::pack::WithSpan<String>], word: &str| {
        words.is_empty() || words.iter().any(|told| told.value == word)
    };
    let mut sizes = Vec::new();
    for rule in &pack.rules {
        let of_size = rule.check.value == each_at_most::KIND.name
            && rule
                .options
                .get("measure")
                .is_some_and(|told| told.value == "capacity");
        let of_vessel = takes(rule.select.words("vessel"), vessel.word());
        let of_class = name.is_some_and(|name| takes(rule.select.words("class"), name));
        if !(of_size && of_vessel && of_class) {
            continue;
        }
        let InForce::Now(_, (value, citation)) = rule.limit.on(on) else {
            continue;
        };
        let most = match value {
            LimitValue::None => None,
            LimitValue::One(told) => Some(&told.value),
            LimitValue::ByClass(list) => list
                .iter()
                .find(|(class, _)| Some(class.value.as_str()) == name)
                .map(|(_, told)| &told.value),
        };
        sizes.extend(most.map(|most| VesselSize {
            rule: &rule.id,
            most,
            citation,
        }));
    }
    sizes
}
