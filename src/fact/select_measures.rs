//! The selectors of a rule whose words are measures: spans of time, and sizes.

use crate::pack::{PackFault, Select};
use crate::quantity::{Dimension, Measure, Period};
use crate::text::{Problem, Problems};

/// The spans of time that a key names.
pub(super) fn spans(select: &Select, key: &str, problems: &mut Problems) -> Vec<Period> {
    let mut list = Vec::new();
    for told in select.words(key) {
        let measure = Measure::parse_as(&told.value, Dimension::Period).ok();
        match measure.and_then(|measure| measure.period()) {
            Some(span) => list.push(span),
            None => {
                let wanted = "a span of whole days or months as text, such as \"30 days\"".into();
                let key = key.to_string();
                problems.add(Problem::new(PackFault::ValueWrong { key, wanted }, told.at));
            }
        }
    }
    list
}

/// The sizes that a key names: volumes and weights.
pub(super) fn sizes(select: &Select, key: &str, problems: &mut Problems) -> Vec<Measure> {
    let mut list = Vec::new();
    for told in select.words(key) {
        let measure = Measure::parse(&told.value).ok();
        let is_size = |measure: &Measure| {
            matches!(measure.unit.dimension, Dimension::Volume | Dimension::Mass)
        };
        let again = |size: &Measure| {
            let mut before = list.iter();
            before.any(|other: &Measure| other.unit.dimension == size.unit.dimension)
        };
        match measure.filter(|measure| is_size(measure) && !again(measure)) {
            Some(size) => list.push(size),
            None => {
                let wanted =
                    "one volume and one weight at most, each as text such as \"0.5 gal\"".into();
                let key = key.to_string();
                problems.add(Problem::new(PackFault::ValueWrong { key, wanted }, told.at));
            }
        }
    }
    list
}
