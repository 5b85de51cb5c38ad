//! The sheet that writes the arithmetic down is the thing that does the arithmetic.

use crate::quantity::{Amount, Exact, TooFine, natural, natural_sum};

/// Numbered steps that a person can redo on paper.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Working {
    steps: Vec<String>,
    us: bool,
}

/// A sum with more parts than this names the largest and counts the rest.
const MOST_PARTS: usize = 60;

impl Working {
    /// An empty sheet, in US or metric units.
    pub fn new(us: bool) -> Working {
        Working {
            steps: Vec::new(),
            us,
        }
    }

    /// Writes a step that is not arithmetic.
    pub fn say(&mut self, step: impl Into<String>) {
        self.steps.push(step.into());
    }

    /// Adds amounts of one kind, and writes the sum out.
    pub fn sum(
        &mut self,
        label: &str,
        parts: &[(String, Amount)],
        zero: Amount,
    ) -> Result<Exact, TooFine> {
        let mut total = Exact::ZERO;
        for (_, amount) in parts {
            total = total.plus(amount.base())?;
        }
        let shown: Vec<String> = parts
            .iter()
            .take(MOST_PARTS)
            .map(|(name, amount)| format!("{name} {}", natural(*amount, self.us)))
            .collect();
        let more = match parts.len().saturating_sub(MOST_PARTS) {
            0 => String::new(),
            more => format!(" + {more} more"),
        };
        let total_shown = natural_sum(zero.with(total), self.us);
        self.steps.push(match parts.len() {
            0 => format!("{label}: nothing"),
            1 => format!("{label}: {}", shown.join("")),
            _ => format!("{label}: {}{more} = {total_shown}", shown.join(" + ")),
        });
        Ok(total)
    }

    /// The steps, for good.
    pub fn into_steps(self) -> Vec<String> {
        self.steps
    }

    /// US units?
    pub fn us(&self) -> bool {
        self.us
    }
}
