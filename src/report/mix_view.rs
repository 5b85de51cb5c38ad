//! What is to be mixed, and all that is known of it, as every format shows it.

use crate::check::{Fit, Standing, VesselSize};
use crate::fact::ShellacAlcohol;
use crate::quantity::{Amount, Day, Exact, Mass, Ratio, TooFine, Volume, natural_down};
use crate::trade::mixing::{Cut, Mixture, Thinning, as_decimals};

use super::cautions::Caution;

/// A mixture that is asked for.
pub struct MixView<'a> {
    pub on: Day,
    /// The shop, if there is one.
    pub shop: Option<&'a str>,
    /// US measures come first.
    pub us: bool,
    /// What the jar is to be called.
    pub product: String,
    /// The kind of flakes is settled.
    pub kind_known: bool,
    /// The flakes, as the screen names them.
    pub flakes: String,
    pub alcohol: &'a ShellacAlcohol,
    /// From flakes, or from a thick cut.
    pub recipe: Recipe<'a>,
    /// What the packs say of the result.
    pub classes: Vec<MixClass<'a>>,
    /// How long it keeps; `None` where no time is in print.
    pub keeps: Option<Keeps<'a>>,
    /// What is needed of what is on the shelf.
    pub needs: Vec<MixNeed<'a>>,
    /// How much of it the shop uses.
    pub batch: Option<MixBatch>,
    /// The commands that log it, where what is taken is settled.
    pub commands: Vec<String>,
    /// What else a reader must be told.
    pub notes: Vec<String>,
    /// Cautions for what is in it.
    pub cautions: Vec<&'a Caution>,
}

/// How it is mixed.
pub enum Recipe<'a> {
    /// From flakes; and what the charts, which count by the alcohol, would make of as much alcohol as is wanted in all.
    Fresh {
        /// To weigh and to pour.
        mixture: Mixture,
        /// By the charts.
        chart: Mixture,
    },
    /// From a thick cut.
    Thinned {
        /// To pour.
        thinning: Thinning,
        /// The jar of the thick cut, if it is one of the shop's.
        jar: Option<&'a str>,
    },
}

/// A pack's class for it, and the vessels that it may stand in.
pub struct MixClass<'a> {
    pub pack: &'a str,
    /// The class, or why it is unknown.
    pub class: Result<&'a str, String>,
    /// What the pack's rules allow for glass and plastic, and how many of the largest the mixture takes.
    pub sizes: Vec<(VesselSize<'a>, Option<i64>)>,
}

/// How long it keeps.
pub struct Keeps<'a> {
    /// From which day it ages; not known where the thick cut's is not.
    pub from: Option<Day>,
    /// To be tested from this day on.
    pub test_from: Option<Day>,
    /// To be discarded after this day.
    pub discard_after: Option<Day>,
    pub test: &'a str,
    /// Who says so, and how well it is supported.
    pub says: String,
}

/// A thing that is needed, and what of it is there.
pub struct MixNeed<'a> {
    /// `flakes`, `alcohol` or `stock`.
    pub what: &'static str,
    pub wanted: Amount,
    /// From where, oldest first, with how much is taken of each.
    pub takes: Vec<(Standing<'a>, Option<Amount>)>,
    /// How much is not there.
    pub short: Option<Amount>,
    /// More than one product would do, and none was named.
    pub open: bool,
}

/// How much will be used before it must be tested.
pub struct MixBatch {
    /// Used, or mixed into something else.
    pub used: Amount,
    /// From this day …
    pub from: Day,
    /// … in so many days.
    pub days: i64,
    /// The day of the test.
    pub until: Day,
    /// What will be used by then at that pace.
    pub ahead: Amount,
    /// What is there of the same already, fit for use.
    pub there: Amount,
    /// The most to mix.
    pub most: Amount,
    /// More is asked for than that.
    pub over: bool,
}

/// An entry to be logged: so much of one container into the new jar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pour {
    /// From which container.
    pub container: String,
    /// How much, as it is weighed or measured: exact in itself, so the book holds what was written.
    pub amount: String,
    /// Into which.
    pub into: String,
}

impl MixView<'_> {
    /// Is there less on the shelf than it takes?
    pub fn is_short(&self) -> bool {
        self.needs
            .iter()
            .any(|need| need.short.is_some() && !need.open)
    }

    /// Lots of the flakes that are taken.
    pub fn lots(&self) -> Vec<&str> {
        let from = self.needs.iter().filter(|need| need.what != "alcohol");
        let taken = from
            .flat_map(|need| &need.takes)
            .filter(|(_, taken)| taken.is_some());
        let lots = taken.flat_map(|(standing, _)| standing.lots);
        lots.map(String::as_str).collect()
    }

    /// What is taken although a test is due first, and why.
    pub fn untested(&self) -> Vec<String> {
        let takes = self.needs.iter().flat_map(|need| &need.takes);
        let taken = takes.filter(|(_, amount)| amount.is_some());
        taken
            .filter_map(|(standing, _)| match &standing.fit {
                Fit::TestFirst(why) => {
                    Some(format!("`{}` is to be tested first, {why}", standing.id))
                }
                Fit::Good | Fit::Unfit(_) => None,
            })
            .collect()
    }

    /// What it comes to, L.
    pub fn made(&self) -> Ratio {
        match &self.recipe {
            Recipe::Fresh { mixture, .. } => mixture.made,
            Recipe::Thinned { thinning, .. } => thinning.made,
        }
    }

    /// The cut it is in the end.
    pub fn cut(&self) -> Cut {
        match &self.recipe {
            Recipe::Fresh { mixture, .. } => mixture.cut,
            Recipe::Thinned { thinning, .. } => thinning.to,
        }
    }

    /// The entries that doing it makes in the log: alcohol before flakes, as it is poured, and the thick cut before
    /// alcohol. None where it is not settled what is taken.
    pub fn pours(&self, into: &str) -> Vec<Pour> {
        if self
            .needs
            .iter()
            .any(|need| need.open || need.short.is_some())
        {
            return Vec::new();
        }
        let mut needs: Vec<&MixNeed<'_>> = self.needs.iter().collect();
        needs.sort_by_key(|need| {
            ["stock", "alcohol", "flakes"]
                .iter()
                .position(|w| *w == need.what)
        });
        let taken = needs.into_iter().flat_map(|need| &need.takes);
        taken
            .filter_map(|(standing, amount)| {
                Some(Pour {
                    container: standing.id.to_string(),
                    // Never more than it comes to: what is poured must fit the jar, and the shelf.
                    amount: natural_down((*amount)?, self.us),
                    into: into.to_string(),
                })
            })
            .collect()
    }
}

/// Litres as an amount.
pub fn litres(ratio: Ratio) -> Result<Amount, TooFine> {
    as_decimals(ratio).map(|base| Amount::Volume(Volume::from_base(base)))
}

/// Kilograms as an amount.
pub fn kilograms(ratio: Ratio) -> Result<Amount, TooFine> {
    as_decimals(ratio).map(|base| Amount::Mass(Mass::from_base(base)))
}

/// Is it more than nothing?
pub(super) fn some(amount: Amount) -> bool {
    amount.base() > Exact::ZERO
}
