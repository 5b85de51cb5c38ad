//! What a chart of the air shows: curves over the hours of a day, as shares of a limit. It must not know how it is drawn.
#![allow(clippy::float_arithmetic, reason = "hours of a picture")]

use super::share::share_words;
use crate::quantity::when::short_date;
use crate::quantity::{Day, Period};
use std::fmt::Write;

/// A course over time: minutes, and a share of a limit.
pub struct Curve {
    pub name: String,
    /// Minutes and levels, in order of time.
    pub points: Vec<(f64, f64)>,
}

/// All that is drawn.
pub struct Chart {
    pub title: String,
    /// What else a reader needs.
    pub below: String,
    /// The courses; the worst are shown.
    pub curves: Vec<Curve>,
    /// The day of the first point; a plan has none, and its hours are counted.
    pub day: Option<Day>,
    /// Minutes from midnight to the first point.
    pub start: f64,
    /// Minutes from the first point to the end of the work.
    pub worked: f64,
    /// Clock times as in the United States.
    pub us: bool,
}

/// So many curves are shown, the worst first.
pub(super) const MOST_CURVES: usize = 3;
/// A course that is under this share everywhere, and the end of one that is, says nothing.
const LEAST: f64 = 0.02;
/// Hours from one mark of the clock to the next.
const STEPS: [f64; 6] = [0.5, 1.0, 2.0, 4.0, 6.0, 12.0];

/// A chart with its curves in order, the worst first, and in hours from the midnight before it.
pub(super) struct HourChart<'c> {
    pub(super) chart: &'c Chart,
    pub(super) curves: Vec<(String, Vec<(f64, f64)>)>,
    pub(super) first: f64,
    pub(super) last: f64,
    pub(super) end_of_work: f64,
    pub(super) top: f64,
}

impl<'c> HourChart<'c> {
    /// `None` where no curve has two points that are numbers.
    pub(super) fn new(chart: &'c Chart) -> Option<HourChart<'c>> {
        let is_number =
            |(minute, level): &(f64, f64)| minute.is_finite() && level.is_finite() && *level >= 0.0;
        let hour = |minute: f64| (chart.start + minute) / 60.0;
        let curves = chart
            .curves
            .iter()
            .map(|curve| {
                let points = curve.points.iter().filter(|point| is_number(point));
                let points = points.map(|(minute, level)| (hour(*minute), *level));
                (curve.name.clone(), points.collect())
            })
            .filter(|(_, points): &(String, Vec<(f64, f64)>)| points.len() > 1);
        let mut curves = joined(curves);
        curves.sort_by(|a, b| highest(&b.1).1.total_cmp(&highest(&a.1).1));
        let worst = curves.first().map(|(_, points)| highest(points).1)?;
        // A curve that lies on the axis is left out, but never the worst.
        curves.retain(|(_, points)| highest(points).1 >= LEAST.min(worst));
        curves.truncate(MOST_CURVES);
        let end_of_work = hour(chart.worked);
        let last = curves
            .iter()
            .filter_map(|(_, points)| points.iter().rfind(|(_, level)| *level >= LEAST))
            .fold(end_of_work + 1.0, |last, (hour, _)| last.max(*hour));
        for (_, points) in &mut curves {
            points.retain(|(hour, _)| *hour <= last);
        }
        Some(HourChart {
            chart,
            curves,
            first: hour(0.0),
            last,
            end_of_work,
            top: worst.max(1.0) * 1.15,
        })
    }

    /// The hours that are marked on the clock, at most so many.
    pub(super) fn marked_hours(&self, most: f64) -> Vec<f64> {
        let long = self.last - self.first;
        let fits = |step: &&f64| long / **step <= most;
        // Weeks of slow clearing: whole days.
        let days = || (long / 24.0 / most).ceil().max(1.0) * 24.0;
        let step = STEPS.iter().find(fits).copied().unwrap_or_else(days);
        let from = (self.first / step).ceil();
        let hours = (0..100_u32).map(|at| (from + f64::from(at)) * step);
        hours.take_while(|hour| *hour <= self.last).collect()
    }

    /// The midnights within the chart, each with the date that begins; the first date is at the left edge.
    pub(super) fn dates(&self) -> Vec<(f64, String)> {
        let days = (1..100_u32).map(|at| (f64::from(at) * 24.0, at));
        let after: Vec<(f64, u32)> = days.take_while(|(hour, _)| *hour < self.last).collect();
        let Some(day) = self.chart.day.filter(|_| !after.is_empty()) else {
            return Vec::new();
        };
        let all = std::iter::once((self.first, 0)).chain(after);
        let dated = all.map(|(hour, at)| (hour, short_date(day.plus(Period::Days(at)), day)));
        dated.collect()
    }

    /// `4 pm`, `4:30 pm`; in a metric shop `16:30`; in a plan `2 h`.
    pub(super) fn clock(&self, hours: f64) -> String {
        if self.chart.day.is_none() {
            let minutes = (hours * 60.0).round();
            return match minutes % 60.0 {
                0.0 => format!("{} h", minutes / 60.0),
                _ if minutes < 60.0 => format!("{minutes} min"),
                rest => format!("{}:{rest:02} h", (minutes / 60.0).floor()),
            };
        }
        let minutes = (hours * 60.0).round().rem_euclid(24.0 * 60.0);
        let (hour, minute) = ((minutes / 60.0).floor(), minutes % 60.0);
        if !self.chart.us {
            return format!("{hour}:{minute:02}");
        }
        let half = if hour < 12.0 { "am" } else { "pm" };
        let hour = if hour % 12.0 == 0.0 {
            12.0
        } else {
            hour % 12.0
        };
        match minute > 0.0 {
            true => format!("{hour}:{minute:02} {half}"),
            false => format!("{hour} {half}"),
        }
    }

    /// `at 4 pm`; in a plan `after 2 h`.
    fn when(&self, hours: f64) -> String {
        let word = if self.chart.day.is_some() {
            "at"
        } else {
            "after"
        };
        format!("{word} {}", self.clock(hours))
    }

    /// What a chart shows, for those who hear it.
    pub(super) fn in_words(&self) -> String {
        let mut words = String::new();
        let dated = |hour: f64| match (hour / 24.0).floor() {
            days if days > 0.0 => {
                let mut dates = self.dates().into_iter().rev();
                let date = dates.find(|(midnight, _)| *midnight <= hour);
                date.map_or(String::new(), |(_, date)| format!(" on {date}"))
            }
            _ => String::new(),
        };
        for (name, points) in &self.curves {
            let (hour, level) = highest(points);
            let mut letters = name.chars();
            let first = letters.next().map(|c| c.to_uppercase().to_string());
            let name = format!("{}{}", first.unwrap_or_default(), letters.as_str());
            let _ = write!(
                words,
                "{name}: at most about {}, {}{}. ",
                share_words(level),
                self.when(hour),
                dated(hour)
            );
        }
        let _ = write!(
            words,
            "A line marks the limit; the work ended {}{}.",
            self.when(self.end_of_work),
            dated(self.end_of_work)
        );
        words
    }
}

/// Curves that lie on each other are one, with both names.
fn joined(
    curves: impl Iterator<Item = (String, Vec<(f64, f64)>)>,
) -> Vec<(String, Vec<(f64, f64)>)> {
    let mut all: Vec<(String, Vec<(f64, f64)>)> = Vec::new();
    for (name, points) in curves {
        let same = |other: &&mut (String, Vec<(f64, f64)>)| {
            let mut pairs = other.1.iter().zip(&points);
            other.1.len() == points.len() && pairs.all(|(a, b)| (a.1 - b.1).abs() <= LEAST * a.1)
        };
        match all.iter_mut().find(same) {
            Some((other, _)) => other.push_str(&format!(" and {name}")),
            None => all.push((name, points)),
        }
    }
    all
}

/// The highest point of a curve.
pub(super) fn highest(points: &[(f64, f64)]) -> (f64, f64) {
    let highest = points.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
    highest.unwrap_or((0.0, 0.0))
}

#[cfg(test)]
mod tests {
    use super::{Chart, Curve, HourChart};
    use crate::quantity::Day;

    fn chart(us: bool, start: f64, points: &[(f64, f64)]) -> Chart {
        Chart {
            title: String::new(),
            below: String::new(),
            curves: vec![Curve {
                name: "8-hour limit".to_string(),
                points: points.to_vec(),
            }],
            day: Day::parse("2026-10-15").ok(),
            start,
            worked: 60.0,
            us,
        }
    }

    #[test]
    fn the_clock_goes_on_after_midnight_with_its_date() {
        let points = [(0.0, 0.1), (600.0, 1.2), (1200.0, 0.5)];
        let chart = chart(true, 900.0, &points);
        let hours = HourChart::new(&chart).unwrap();
        assert_eq!(hours.clock(16.0), "4 pm");
        assert_eq!(hours.clock(24.5), "12:30 am");
        let dates = [(15.0, "15 Oct".to_string()), (24.0, "16 Oct".to_string())];
        assert_eq!(hours.dates(), dates);
        let marked = [16.0, 20.0, 24.0, 28.0, 32.0];
        assert_eq!(hours.marked_hours(6.0), marked);
        assert_eq!(
            hours.in_words(),
            "8-hour limit: at most about 120 %, at 1 am on 16 Oct. A line marks the limit; the work ended at 4 pm."
        );
    }

    #[test]
    fn a_chart_of_one_day_has_no_date() {
        let points = [(0.0, 0.1), (100.0, 1.2)];
        let chart = chart(false, 900.0, &points);
        let hours = HourChart::new(&chart).unwrap();
        assert!(hours.dates().is_empty());
        assert_eq!(hours.clock(16.5), "16:30");
    }

    #[test]
    fn a_plan_counts_its_hours() {
        let points = [(0.0, 0.1), (1700.0, 1.2)];
        let chart = Chart {
            day: None,
            ..chart(true, 0.0, &points)
        };
        let hours = HourChart::new(&chart).unwrap();
        assert!(hours.dates().is_empty());
        let said = [0.75, 2.0, 25.5].map(|hour| hours.clock(hour));
        assert_eq!(said, ["45 min", "2 h", "25:30 h"]);
        assert!(hours.in_words().ends_with("the work ended after 1 h."));
    }

    #[test]
    fn weeks_are_marked_by_days() {
        let points = [(0.0, 0.1), (60.0 * 24.0 * 20.0, 1.2)];
        let chart = chart(true, 0.0, &points);
        let hours = HourChart::new(&chart).unwrap();
        let marked = hours.marked_hours(6.0);
        assert!(marked.len() <= 7 && marked.iter().all(|hour| hour % 24.0 == 0.0));
    }
}
