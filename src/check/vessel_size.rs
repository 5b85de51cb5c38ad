//! The largest container that a class of liquid may be in, by the packs' own rules on the size of containers.

use super::bind::bind;
use crate::pack::{Citation, Pack};
use crate::quantity::{Day, Measure};
use crate::record::Vessel;
use crate::text::Problems;

/// A size that one rule allows.
#[derive(Clone, Copy, Debug)]
pub struct VesselSize<'p> {
    pub rule: &'p str,
    /// The largest vessel.
    pub most: Measure,
    /// Where it is said.
    pub citation: &'p Citation,
}

/// What every rule of a pack on sizes allows for a class, by its position in the pack's scheme, in a kind of vessel.
pub fn vessel_sizes(pack: &Pack, on: Day, class: usize, vessel: Vessel) -> Vec<VesselSize<'_>> {
    let mut sizes = Vec::new();
    for rule in &pack.rules {
        // The problems of a rule were reported when the packs were opened.
        let Some(bound) = bind(rule, pack, &mut Problems::new()) else {
            continue;
        };
        let Some((check, citation)) = bound.on(on) else {
            continue;
        };
        let most = check.largest_container(class, vessel);
        sizes.extend(most.map(|most| VesselSize {
            rule: &rule.id,
            most,
            citation,
        }));
    }
    sizes
}
