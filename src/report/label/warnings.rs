//! What whoever prints must look at: labels that go on over several, and sizes below the least for their pack.

use super::content::Label;
use super::fit::{Laid, side as side_of};
use super::sheet::{LabelSize, micrometres, mm};
use crate::quantity::{Amount, Length, natural};
use crate::trade::LeastSize;

/// Warnings of one wording, with every label they are about.
#[derive(Debug)]
pub(super) struct Warnings<'s> {
    us: bool,
    size: &'s LabelSize,
    list: Vec<(String, Vec<String>)>,
}

impl<'s> Warnings<'s> {
    pub(super) fn new(us: bool, size: &'s LabelSize) -> Warnings<'s> {
        Warnings {
            us,
            size,
            list: Vec::new(),
        }
    }

    fn add(&mut self, words: String, label: String) {
        match self.list.iter_mut().find(|(there, _)| *there == words) {
            Some((_, labels)) => labels.push(label),
            None => self.list.push((words, vec![label])),
        }
    }

    /// Looks at one label.
    pub(super) fn look(&mut self, label: &Label, least: Option<&LeastSize>, laid: &Laid) {
        if laid.is_full && !laid.card.is_empty() {
            let words = "Not every sentence fits, so the others are on a card";
            self.add(words.into(), label.id.clone());
        }
        if !label.gaps.is_empty() {
            let words = "Some hazards are unknown, and the label says so: look in the data sheet";
            self.add(words.into(), label.id.clone());
        }
        if label.pictograms.is_empty() && label.gaps.is_empty() {
            return;
        }
        let (Some(least), Some(capacity)) = (least, label.capacity) else {
            let words =
                "The capacity by volume is unknown, so the least size of the label is unknown too";
            self.add(words.into(), label.id.clone());
            return;
        };
        let held = format!(
            "{} ({})",
            label.id,
            natural(Amount::Volume(capacity), self.us)
        );
        self.sizes(label, least, laid, &held);
    }

    fn sizes(&mut self, label: &Label, least: &LeastSize, laid: &Laid, held: &str) {
        let side = |length: Length| micrometres(length).unwrap_or(0);
        let (width, height) = (self.size.width, self.size.height);
        let (short, long) = (width.min(height), width.max(height));
        let pack = least.up_to.map_or_else(
            || "a pack of more".to_string(),
            |up_to| format!("a pack of up to {}", natural(Amount::Volume(up_to), false)),
        );
        if short < side(least.short) || long < side(least.long) {
            let better = side(least.better) > side(least.pictogram);
            let words = format!(
                "A label of {} is below the {} x {} mm that the EU asks for on {pack}{}",
                self.size.shown,
                mm(side(least.short)),
                mm(side(least.long)),
                if better { " if possible" } else { "" }
            );
            self.add(words, held.to_string());
        }
        let shown = side_of(laid.square);
        if laid.is_full && !label.pictograms.is_empty() && shown < side(least.pictogram) {
            let words = format!(
                "Pictograms of {} mm are below the {} mm that the EU asks for on {pack}",
                mm(shown),
                mm(side(least.pictogram))
            );
            self.add(words, held.to_string());
        }
    }

    /// Each wording once, with its labels.
    pub(super) fn in_words(self) -> Vec<String> {
        let list = self.list.into_iter();
        list.map(|(words, labels)| format!("{words}: {}.", labels.join(", ")))
            .collect()
    }
}
