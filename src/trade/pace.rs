//! How fast a shop uses a finish, and how much of it will be used by a day.

use crate::quantity::{Amount, Day, Ratio, TooFine, month_of};
use crate::stock::Stock;

/// So many months back, with the one that runs, tell how fast a thing is used.
const MONTHS: i32 = 3;

/// What was used in the last months.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pace {
    /// Litres used, or mixed into something else.
    pub used: Ratio,
    /// From this day …
    pub from: Day,
    /// … in so many days.
    pub days: i64,
}

/// The use of all products that `counts` names, over the last three months or as long as the log has been kept.
pub fn pace(stock: &Stock, counts: impl Fn(&str) -> bool) -> Result<Option<Pace>, TooFine> {
    let months = || stock.used.iter().flatten().map(|month| month.month);
    let Some(first) = months().min() else {
        return Ok(None);
    };
    let from = first.max(stock.on.month_key() - (MONTHS - 1));
    let Ok(from_day) = Day::parse(&format!("{}-01", month_of(from))) else {
        return Ok(None);
    };
    let mut used = Ratio::ZERO;
    for (product, months) in stock.products.iter().zip(&stock.used) {
        if !counts(product) {
            continue;
        }
        for month in months.iter().filter(|month| month.month >= from) {
            if matches!(month.kind, Amount::Volume(_)) {
                used = used
                    .plus(Ratio::from_exact(month.used))?
                    .plus(Ratio::from_exact(month.mixed))?;
            }
        }
    }
    Ok(Some(Pace {
        used,
        from: from_day,
        days: stock.on.since(from_day) + 1,
    }))
}

impl Pace {
    /// Litres that will be used in so many days to come, at this pace.
    pub fn ahead(self, days: i64) -> Result<Ratio, TooFine> {
        self.used
            .times(Ratio::whole(days.max(0)))?
            .by(Ratio::whole(self.days.max(1)))
    }
}

#[cfg(test)]
mod tests {
    use super::Pace;
    use crate::quantity::{Day, Ratio};

    #[test]
    fn twice_as_long_twice_as_much() {
        let day = |text| Day::parse(text).unwrap();
        let pace = Pace {
            used: Ratio::whole(3),
            from: day("2026-08-01"),
            days: 92,
        };
        assert_eq!(pace.ahead(92), Ok(Ratio::whole(3)));
        assert_eq!(pace.ahead(184), Ok(Ratio::whole(6)));
        assert_eq!(pace.ahead(-5), Ok(Ratio::ZERO));
    }
}
