//! A small plot as SVG: the one place where a chart is drawn. It must not know what the curves are about.
//!
//! Time runs along a clock, levels along a linear axis. Each curve has its own color and dash, and its name at its end. Text
//! stays text, and a description is there for those who cannot see the picture.
#![allow(
    clippy::float_arithmetic,
    reason = "places on paper, rounded to a pixel"
)]

use super::share::share_words;
use super::wrap::fill;
use crate::text::clean;
use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::Shift;
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::types::RangedCoordf64;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{DashedPathElement, PathElement};
use plotters::prelude::{
    Color, DrawingBackend, IntoFont, RGBColor, SVGBackend, ShapeStyle, TextStyle,
};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use std::fmt::Write;

/// A course over time: minutes, and a share of a limit.
pub struct Curve {
    /// The limit.
    pub name: String,
    /// Minutes and levels, in order of time.
    pub points: Vec<(f64, f64)>,
}

/// All that is drawn.
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// What else a reader needs.
    pub below: String,
    /// The courses: at most as many as there are styles.
    pub curves: Vec<Curve>,
    /// Minutes from midnight to the first point.
    pub start: f64,
    /// Minutes from the first point to the end of the work.
    pub worked: f64,
}

/// A chart as part of a page: its inner elements, and its words apart from it.
pub struct PlottedCourse {
    /// The `viewBox` it is drawn in.
    pub view: String,
    /// SVG elements.
    pub inner: String,
    /// What it shows.
    pub title: String,
    /// What else a reader needs.
    pub below: String,
    /// The picture in words.
    pub told: String,
}

/// Width and height of the axes with their labels.
const WIDE: u32 = 760;
const HIGH: u32 = 430;
/// To the right of the axes, for the names of the curves.
const RIGHT: u32 = 190;
/// Letters on a line of the title, and the height of a line.
const LETTERS: usize = 66;
const LINE: i32 = 26;
/// Letters on a line at the end of a curve.
const NAME: usize = 17;
const BLACK: RGBColor = RGBColor(0, 0, 0);
const PALE: RGBColor = RGBColor(214, 214, 214);
/// Dark blue, vermilion and green of a palette for the color-blind, the worst in vermilion.
const COLORS: [RGBColor; 3] = [
    RGBColor(187, 85, 0),
    RGBColor(0, 68, 136),
    RGBColor(0, 110, 80),
];
/// Dash and gap of each curve, in pixels; no gap is a full line.
const DASHES: [(u32, u32); 3] = [(1, 0), (14, 7), (4, 6)];
/// A course that is under this share everywhere, and the end of one that is, says nothing.
const LEAST: f64 = 0.02;

type PlotArea<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Axes<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type PlotFault<'b> = DrawingAreaErrorKind<<SVGBackend<'b> as DrawingBackend>::ErrorType>;

/// The chart as the text of an SVG file; `None` where no curve has two points that are numbers.
pub fn svg(chart: &Chart) -> Option<String> {
    let drawing = Drawing::new(chart, true)?;
    let text = drawing.text()?;
    let words = format!("{} {}", drawing.in_words(), chart.below);
    let extra = format!(
        "<title id=\"air-title\">{}</title>\n<desc id=\"air-desc\">{}</desc>\n",
        escaped(&chart.title),
        escaped(&words)
    );
    let (open, rest) = text.split_once(">\n")?;
    Some(format!(
        "{open} role=\"img\" aria-labelledby=\"air-title air-desc\">\n{extra}{rest}"
    ))
}

/// The chart for a page that says its words itself.
pub fn course(chart: &Chart) -> Option<PlottedCourse> {
    let drawing = Drawing::new(chart, false)?;
    let text = drawing.text()?;
    let (_, inner) = text.split_once(">\n")?;
    Some(PlottedCourse {
        view: format!("0 0 {WIDE} {}", drawing.high()),
        inner: inner.trim_end().trim_end_matches("</svg>").to_string(),
        title: chart.title.clone(),
        below: chart.below.clone(),
        told: drawing.in_words(),
    })
}

/// A chart with its curves in order, the worst first, and in hours of the day.
struct Drawing<'c> {
    curves: Vec<(&'c str, Vec<(f64, f64)>)>,
    above: Vec<String>,
    below: Vec<String>,
    first: f64,
    last: f64,
    end_of_work: f64,
    top: f64,
}

impl<'c> Drawing<'c> {
    fn new(chart: &'c Chart, with_words: bool) -> Option<Drawing<'c>> {
        let is_number =
            |(minute, level): &(f64, f64)| minute.is_finite() && level.is_finite() && *level >= 0.0;
        let hour = |minute: f64| (chart.start + minute) / 60.0;
        let mut curves: Vec<(&str, Vec<(f64, f64)>)> = chart
            .curves
            .iter()
            .map(|curve| {
                let points = curve.points.iter().filter(|point| is_number(point));
                let points = points.map(|(minute, level)| (hour(*minute), *level));
                (curve.name.as_str(), points.collect())
            })
            .filter(|(_, points): &(&str, Vec<(f64, f64)>)| points.len() > 1)
            .collect();
        curves.sort_by(|a, b| highest(&b.1).1.total_cmp(&highest(&a.1).1));
        let worst = curves.first().map(|(_, points)| highest(points).1)?;
        // A curve that lies on the axis is left out, but never the worst.
        curves.retain(|(_, points)| highest(points).1 >= LEAST.min(worst));
        curves.truncate(COLORS.len());
        let end_of_work = hour(chart.worked);
        let said = |points: &[(f64, f64)]| {
            points
                .iter()
                .rev()
                .find(|(_, level)| *level >= LEAST)
                .map(|(hour, _)| *hour)
        };
        let last = curves
            .iter()
            .filter_map(|(_, points)| said(points))
            .fold(end_of_work + 1.0, f64::max);
        for (_, points) in &mut curves {
            points.retain(|(hour, _)| *hour <= last);
        }
        let lines = |text: &str| -> Vec<String> {
            if !with_words {
                return Vec::new();
            }
            fill(&clean(text), LETTERS, "", "")
                .lines()
                .map(str::to_string)
                .collect()
        };
        Some(Drawing {
            curves,
            above: lines(&chart.title),
            below: lines(&chart.below),
            first: hour(0.0),
            last,
            end_of_work,
            top: worst.max(1.0) * 1.15,
        })
    }

    fn high(&self) -> u32 {
        let lines = self.above.len() + self.below.len();
        HIGH + u32::try_from(lines).unwrap_or(0) * LINE.unsigned_abs()
    }

    fn text(&self) -> Option<String> {
        let mut text = String::new();
        {
            let area = SVGBackend::with_string(&mut text, (WIDE, self.high())).into_drawing_area();
            self.draw(&area).ok()?;
            area.present().ok()?;
        }
        Some(text)
    }

    fn draw<'b>(&self, area: &PlotArea<'b>) -> Result<(), PlotFault<'b>> {
        let font = || ("sans-serif", 20).into_font().color(&BLACK);
        let head = LINE * whole(self.above.len());
        let foot = LINE * whole(self.below.len());
        if head + foot > 0 {
            area.fill(&RGBColor(255, 255, 255))?;
        }
        for (at, line) in (0..).zip(&self.above) {
            area.draw_text(line, &font(), (16, 8 + LINE * at))?;
        }
        let high = i32::try_from(self.high()).unwrap_or(i32::MAX);
        for (at, line) in (0..).zip(&self.below) {
            area.draw_text(line, &font(), (16, high - foot - 6 + LINE * at))?;
        }
        let mut axes = ChartBuilder::on(area)
            .margin_left(8)
            .margin_right(RIGHT)
            .margin_top(head + 34)
            .margin_bottom(foot + 6)
            .x_label_area_size(36)
            .y_label_area_size(74)
            .build_cartesian_2d(self.first..self.last, 0.0..self.top)?;
        axes.configure_mesh()
            .bold_line_style(PALE)
            .light_line_style(RGBColor(255, 255, 255).mix(0.0))
            .axis_style(BLACK)
            .x_labels(6)
            .y_labels(6)
            .x_label_formatter(&|hour| clock(*hour))
            .y_label_formatter(&|level| format!("{:.0} %", level * 100.0))
            .label_style(font())
            .draw()?;
        self.limit_and_end(area, &mut axes)?;
        for (at, (_, points)) in self.curves.iter().enumerate() {
            let (style, dash, gap) = style(at);
            match gap {
                0 => axes.draw_series([PathElement::new(points.clone(), style)])?,
                _ => {
                    axes.draw_series([DashedPathElement::new(points.clone(), dash, gap, style)])?
                }
            };
        }
        self.names(area, &axes)
    }

    /// The limit across, and the end of the work upright.
    fn limit_and_end<'b>(
        &self,
        area: &PlotArea<'b>,
        axes: &mut Axes<'_, 'b>,
    ) -> Result<(), PlotFault<'b>> {
        let strong = ShapeStyle::from(&BLACK).stroke_width(2);
        axes.draw_series([PathElement::new(
            vec![(self.first, 1.0), (self.last, 1.0)],
            strong,
        )])?;
        let end = self.end_of_work;
        if end > self.first {
            let upright = vec![(end, 0.0), (end, self.top)];
            axes.draw_series([DashedPathElement::new(
                upright,
                3,
                5,
                ShapeStyle::from(&BLACK).stroke_width(1),
            )])?;
            let (x, y) = axes.backend_coord(&(end, self.top));
            let font = named(HPos::Center, VPos::Bottom);
            area.draw_text(
                &format!("end of work, {}", clock(end)),
                &font,
                (x.max(150), y - 6),
            )?;
        }
        Ok(())
    }

    /// The names at the ends of the curves and of the limit, pushed apart where they would overlap.
    fn names<'b>(&self, area: &PlotArea<'b>, axes: &Axes<'_, 'b>) -> Result<(), PlotFault<'b>> {
        let (right, limit) = axes.backend_coord(&(self.last, 1.0));
        let mut names: Vec<(i32, Vec<String>, RGBColor)> =
            vec![(limit, vec!["limit: 100 %".to_string()], BLACK)];
        for (at, (name, points)) in self.curves.iter().enumerate() {
            let end = points.last().map_or(0.0, |(_, level)| *level);
            let (_, y) = axes.backend_coord(&(self.last, end));
            let words = format!("{name}: {} at most", share_words(highest(points).1));
            let lines = fill(&words, NAME, "", "")
                .lines()
                .map(str::to_string)
                .collect();
            names.push((y, lines, COLORS.get(at).copied().unwrap_or(BLACK)));
        }
        names.sort_by_key(|(y, ..)| *y);
        let (_, floor) = axes.backend_coord(&(self.last, 0.0));
        let height = |lines: &[String]| 22 * whole(lines.len());
        let all: i32 = names.iter().map(|(_, lines, _)| height(lines) + 6).sum();
        let mut next = (floor + 30 - all).max(4);
        let mut left = all;
        for (y, lines, color) in &names {
            let high = height(lines);
            left -= high + 6;
            // As near to its curve as the names above and below allow.
            let top = (y - high / 2).clamp(
                next.min(floor + 30 - left - high),
                (floor + 30 - left - high).max(next),
            );
            let top = top.max(next);
            for (row, line) in (0..).zip(lines) {
                let font = ("sans-serif", 20).into_font().color(color);
                area.draw_text(line, &font, (right + 10, top + 22 * row))?;
            }
            next = top + high + 6;
        }
        Ok(())
    }

    /// What a chart shows, for those who hear it.
    fn in_words(&self) -> String {
        let mut words = String::new();
        for (name, points) in &self.curves {
            let (hour, level) = highest(points);
            let _ = write!(
                words,
                "{name}: at most about {} at {}. ",
                share_words(level),
                clock(hour)
            );
        }
        let _ = write!(
            words,
            "A line marks the limit; the work ended at {}.",
            clock(self.end_of_work)
        );
        words
    }
}

fn named<'f>(across: HPos, down: VPos) -> TextStyle<'f> {
    let font = ("sans-serif", 20).into_font().color(&BLACK);
    font.pos(Pos::new(across, down))
}

fn highest(points: &[(f64, f64)]) -> (f64, f64) {
    let highest = points.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
    highest.unwrap_or((0.0, 0.0))
}

fn style(at: usize) -> (ShapeStyle, u32, u32) {
    let color = COLORS.get(at).copied().unwrap_or(BLACK);
    let (dash, gap) = DASHES.get(at).copied().unwrap_or((1, 0));
    (ShapeStyle::from(&color).stroke_width(3), dash, gap)
}

/// `9:30`, and `1:15 +1 day` after midnight.
fn clock(hours: f64) -> String {
    let days = (hours / 24.0).floor();
    let minutes = ((hours - days * 24.0) * 60.0).round();
    let clock = format!("{}:{:02}", (minutes / 60.0).floor(), minutes % 60.0);
    if days > 0.0 {
        format!("{clock} +{days} d")
    } else {
        clock
    }
}

fn whole(count: usize) -> i32 {
    i32::try_from(count).unwrap_or(0)
}

fn escaped(text: &str) -> String {
    let text = clean(text).replace(char::is_control, " ");
    let pairs = [
        ('&', "&amp;"),
        ('<', "&lt;"),
        ('>', "&gt;"),
        ('"', "&quot;"),
    ];
    let escaped = pairs.iter();
    escaped.fold(text, |text, (sign, name)| text.replace(*sign, name))
}
