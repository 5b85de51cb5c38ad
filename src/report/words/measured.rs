//! Facts with two numbers: what was found and its limit, in the unit of the shop.

use super::Wording;
use super::name::vessel_words;
use crate::finding::{Compared, Detail, Finding, SubjectKind, Verdict};
use crate::quantity::when::short_date;
use crate::quantity::{
    Amount, Dimension, Volume, natural, sensible_beside, sensible_down, sensible_up, unit_of_shop,
};
use crate::text::{capital, the};

impl Wording<'_> {
    /// Two numbers in the unit of the shop.
    pub fn pair(&self, finding: &Finding) -> Option<(String, String)> {
        let (observed, limit) = match finding.compared.as_ref()? {
            Compared::AtMost { observed, limit } | Compared::AtLeast { observed, limit } => {
                (observed, limit)
            }
            Compared::Staged {
                observed,
                warn,
                limit,
            } => (observed, limit.as_ref().unwrap_or(warn)),
            Compared::Estimated { .. } | Compared::Plain { .. } => return None,
        };
        let larger = limit.base.max(observed.base);
        let unit = unit_of_shop(larger, limit.unit, self.us());
        let (shown, shown_limit) = sensible_beside(observed.base, limit.base, unit);
        // Well within a limit, an amount is read in the unit that fits it.
        let is_volume = limit.unit.dimension == Dimension::Volume;
        let natural = natural(Amount::Volume(Volume::from_base(observed.base)), self.us());
        let unit_of = |shown: &str| shown.rsplit(' ').next().map(str::to_string);
        let fits_better = is_volume && unit_of(&natural) != unit_of(&shown);
        let shown = match finding.verdict == Verdict::Meets && fits_better {
            true => natural,
            false => shown,
        };
        Some((spelled(&shown), spelled(&shown_limit)))
    }

    pub(super) fn measured(&self, finding: &Finding, thing: &str) -> String {
        let Some((observed, limit)) = self.pair(finding) else {
            return self.plain(finding, thing);
        };
        let text = match &finding.detail {
            Detail::AtMostFrom(other) => format!(
                "{thing} is at most {observed} from {}. The minimum is {limit}.",
                the(other)
            ),
            Detail::DistanceTo(other) => format!(
                "{thing} is {observed} from {}. The minimum is {limit}.",
                the(other)
            ),
            Detail::WalkTo(fixture) => format!(
                "The walk from {thing} to {} is {observed}. The limit is {limit}.",
                the(fixture)
            ),
            Detail::TooNear(fixture) => format!(
                "{} hangs {observed} from {thing}. The minimum is {limit}.",
                the(fixture)
            ),
            Detail::Counted { is_short, .. } => {
                let side = if *is_short { "short by" } else { "over by" };
                format!("{thing} is {side} {observed}. A difference of up to {limit} is normal.")
            }
            Detail::Filled(day) => format!(
                "{thing} holds up to {limit}, but {observed} were recorded on {}.",
                short_date(*day, self.on)
            ),
            Detail::Size => {
                let vessel = self
                    .container(&finding.subject.id)
                    .and_then(|row| row.vessel);
                let vessel = vessel.map_or("container", vessel_words);
                format!("{thing} is a {observed} {vessel}. The limit is {limit}.")
            }
            Detail::Content => format!("{thing} holds {observed}. The limit is {limit}."),
            Detail::Total => self.total(finding, thing, (&observed, &limit)),
            Detail::Exhaust => {
                format!("The exhaust of {thing} moves {observed}. The minimum is {limit}.")
            }
            Detail::Numbers
            | Detail::Rags { .. }
            | Detail::PastNights { .. }
            | Detail::RagsMissing { .. }
            | Detail::RagsDiscarded { .. }
            | Detail::Label
            | Detail::Listing
            | Detail::Fixture(_)
            | Detail::Sprinklers
            | Detail::DataSheet(_)
            | Detail::Answered { .. }
            | Detail::Unanswered { .. }
            | Detail::LastDone { .. }
            | Detail::CanFilled
            | Detail::Located(_)
            | Detail::Together { .. }
            | Detail::Several(_)
            | Detail::FailedTest { .. }
            | Detail::UseBy(_)
            | Detail::Shelf { .. }
            | Detail::Session { .. } => {
                let at_least = matches!(finding.compared, Some(Compared::AtLeast { .. }));
                let bound = if at_least { "minimum" } else { "limit" };
                format!("{thing}: {observed}. The {bound} is {limit}.")
            }
        };
        capital(&text)
    }

    /// What is stored together. A total of the whole shop is named by its rule, since several rules add up there.
    fn total(&self, finding: &Finding, thing: &str, (observed, limit): (&str, &str)) -> String {
        if finding.subject.kind == SubjectKind::Shop {
            let title = finding.rule.title.trim_end_matches('.');
            return format!("{title}: {observed}. The limit is {limit}.");
        }
        format!("{thing} holds {observed}. The limit is {limit}.")
    }

    fn plain(&self, finding: &Finding, thing: &str) -> String {
        // Some checks say it in sentences of their own.
        if finding.observed.ends_with('.') {
            return finding.observed.clone();
        }
        capital(&format!("{thing}: {}.", finding.observed))
    }

    /// How much is over the limit, rounded up, or what is left to it, rounded down; in the unit of the shop.
    pub(super) fn difference(&self, finding: &Finding) -> Option<String> {
        let (observed, limit) = match finding.compared.as_ref()? {
            Compared::AtMost { observed, limit } | Compared::AtLeast { observed, limit } => {
                (observed, limit)
            }
            Compared::Staged { .. } | Compared::Estimated { .. } | Compared::Plain { .. } => {
                return None;
            }
        };
        let difference = observed.base.minus(limit.base).ok()?;
        let (size, unit) = (
            difference.size(),
            unit_of_shop(limit.base, limit.unit, self.us()),
        );
        Some(spelled(&if difference.is_negative() {
            sensible_down(size, unit)
        } else {
            sensible_up(size, unit)
        }))
    }
}

/// Units as people write them.
fn spelled(amount: &str) -> String {
    let amount = amount.replace("m3/h", "m³/h").replace("ft2", "ft²");
    match amount.strip_suffix(" /h") {
        Some(number) => format!("{number} air changes per hour"),
        None => amount,
    }
}
