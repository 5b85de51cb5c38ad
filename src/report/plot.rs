//! A small plot as SVG: the one place where a chart is drawn. It must not know what the curves are about.
//!
//! Time runs along a clock, levels along a linear axis. Each curve has its own color and dash, and its name at its end. Text
//! stays text, and a description is there for those who cannot see the picture.
#![allow(
    clippy::float_arithmetic,
    reason = "places on paper, rounded to a pixel"
)]

use super::chart::{Chart, HourChart, MOST_CURVES, highest};
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

/// A chart as part of a page: its inner elements for two widths of screen, and its words apart from them.
pub struct PlottedCourse {
    /// For a wide screen, and for paper.
    pub wide: PlottedView,
    /// For a phone.
    pub phone: PlottedView,
    pub title: String,
    /// What else a reader needs.
    pub below: String,
    /// The picture in words.
    pub told: String,
}

/// One drawing of a chart.
pub struct PlottedView {
    /// The `viewBox` it is drawn in.
    pub view: String,
    /// SVG elements.
    pub inner: String,
}

/// Sizes of a drawing, in its own units. Letters keep their size on a phone, so the axes get smaller there.
struct PlotSize {
    wide: u32,
    high: u32,
    /// Size of the letters, and from one line to the next.
    letters: i32,
    line: i32,
    /// To the left of the axes for the levels, and to the right for the names of the curves.
    left: u32,
    right: u32,
    /// Most marks of the clock.
    hours: f64,
    /// Letters on a line at the end of a curve.
    name: usize,
}

const WIDE: PlotSize = PlotSize {
    wide: 760,
    high: 430,
    letters: 20,
    line: 22,
    left: 92,
    right: 204,
    hours: 6.0,
    name: 17,
};
const PHONE: PlotSize = PlotSize {
    wide: 390,
    high: 330,
    letters: 16,
    line: 18,
    left: 62,
    right: 134,
    hours: 3.0,
    name: 16,
};
/// Letters on a line of the title, and the height of a line.
const TITLE: usize = 66;
const TITLE_LINE: i32 = 26;
const BLACK: RGBColor = RGBColor(0, 0, 0);
const PALE: RGBColor = RGBColor(214, 214, 214);
/// Vermilion, dark blue and green of a palette for the color-blind, the worst in vermilion.
const COLORS: [RGBColor; MOST_CURVES] = [
    RGBColor(187, 85, 0),
    RGBColor(0, 68, 136),
    RGBColor(0, 110, 80),
];
/// Beyond so many times the limit, an axis counts times and not percent.
const MANY_TIMES: f64 = 5.0;
/// From the end of a curve to its name.
const LEAD: i32 = 20;
/// Dash and gap of each curve, in pixels; no gap is a full line.
const DASHES: [(u32, u32); MOST_CURVES] = [(1, 0), (14, 7), (4, 6)];

type PlotArea<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Axes<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type PlotFault<'b> = DrawingAreaErrorKind<<SVGBackend<'b> as DrawingBackend>::ErrorType>;

/// The chart as the text of an SVG file; `None` where no curve has two points that are numbers.
pub fn svg(chart: &Chart) -> Option<String> {
    let hours = HourChart::new(chart)?;
    let drawing = Drawing::new(&hours, &WIDE, true);
    let text = drawing.text()?;
    let words = format!("{} {}", hours.in_words(), chart.below);
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
    let hours = HourChart::new(chart)?;
    let view = |size: &PlotSize| -> Option<PlottedView> {
        let drawing = Drawing::new(&hours, size, false);
        let text = drawing.text()?;
        let (_, inner) = text.split_once(">\n")?;
        Some(PlottedView {
            view: format!("0 0 {} {}", size.wide, drawing.high()),
            inner: inner.trim_end().trim_end_matches("</svg>").to_string(),
        })
    };
    Some(PlottedCourse {
        wide: view(&WIDE)?,
        phone: view(&PHONE)?,
        title: chart.title.clone(),
        below: chart.below.clone(),
        told: hours.in_words(),
    })
}

/// A chart that is drawn in a size, with its words above and below or without them.
struct Drawing<'c> {
    hours: &'c HourChart<'c>,
    size: &'c PlotSize,
    above: Vec<String>,
    below: Vec<String>,
    dates: Vec<(f64, String)>,
}

impl<'c> Drawing<'c> {
    fn new(hours: &'c HourChart<'c>, size: &'c PlotSize, with_words: bool) -> Drawing<'c> {
        let lines = |text: &str| -> Vec<String> {
            let filled = fill(&clean(text), TITLE, "", "");
            let lines = filled.lines().filter(|_| with_words);
            lines.map(str::to_string).collect()
        };
        Drawing {
            hours,
            size,
            above: lines(&hours.chart.title),
            below: lines(&hours.chart.below),
            dates: hours.dates(),
        }
    }

    fn high(&self) -> u32 {
        let lines = self.above.len() + self.below.len();
        self.size.high + u32::try_from(lines).unwrap_or(0) * TITLE_LINE.unsigned_abs()
    }

    fn text(&self) -> Option<String> {
        let mut text = String::new();
        {
            let size = (self.size.wide, self.high());
            let area = SVGBackend::with_string(&mut text, size).into_drawing_area();
            self.draw(&area).ok()?;
            area.present().ok()?;
        }
        Some(text)
    }

    /// Letters that begin at their place, or have it in their middle.
    fn letters<'f>(&self, color: &RGBColor, across: HPos) -> TextStyle<'f> {
        let font = ("sans-serif", self.size.letters).into_font().color(color);
        font.pos(Pos::new(across, VPos::Top))
    }

    /// The words above and below the axes.
    fn words<'b>(&self, area: &PlotArea<'b>, head: i32, foot: i32) -> Result<(), PlotFault<'b>> {
        if head + foot > 0 {
            area.fill(&RGBColor(255, 255, 255))?;
        }
        let font = self.letters(&BLACK, HPos::Left);
        for (at, line) in (0..).zip(&self.above) {
            area.draw_text(line, &font, (16, 8 + TITLE_LINE * at))?;
        }
        let high = i32::try_from(self.high()).unwrap_or(i32::MAX);
        for (at, line) in (0..).zip(&self.below) {
            area.draw_text(line, &font, (16, high - foot - 6 + TITLE_LINE * at))?;
        }
        Ok(())
    }

    fn draw<'b>(&self, area: &PlotArea<'b>) -> Result<(), PlotFault<'b>> {
        let (hours, size) = (self.hours, self.size);
        let head = TITLE_LINE * whole(self.above.len());
        let foot = TITLE_LINE * whole(self.below.len());
        self.words(area, head, foot)?;
        // A second row below the clock has the dates.
        let rows = if self.dates.is_empty() { 1 } else { 2 };
        let mut axes = ChartBuilder::on(area)
            .margin_left(8)
            .margin_right(size.right)
            .margin_top(head + size.line + 10)
            .margin_bottom(foot + 6)
            .x_label_area_size(8 + rows * size.line)
            .y_label_area_size(size.left)
            .build_cartesian_2d(hours.first..hours.last, 0.0..hours.top)?;
        axes.configure_mesh()
            .disable_x_mesh()
            .bold_line_style(PALE)
            .light_line_style(RGBColor(255, 255, 255).mix(0.0))
            .axis_style(BLACK)
            .x_labels(0)
            .y_labels(6)
            .y_label_formatter(&|level| level_words(*level, hours.top))
            .label_style(("sans-serif", size.letters).into_font().color(&BLACK))
            .draw()?;
        self.clock(area, &mut axes)?;
        self.limit_and_end(area, &mut axes, head)?;
        for (at, (_, points)) in hours.curves.iter().enumerate() {
            let (style, dash, gap) = style(at);
            match gap {
                0 => axes.draw_series([PathElement::new(points.clone(), style)])?,
                _ => {
                    axes.draw_series([DashedPathElement::new(points.clone(), dash, gap, style)])?
                }
            };
        }
        self.names(area, &axes, head)
    }

    /// The marks of the clock, and below them each date where it begins.
    fn clock<'b>(&self, area: &PlotArea<'b>, axes: &mut Axes<'_, 'b>) -> Result<(), PlotFault<'b>> {
        let (hours, size) = (self.hours, self.size);
        for hour in hours.marked_hours(size.hours) {
            let upright = vec![(hour, 0.0), (hour, hours.top)];
            axes.draw_series([PathElement::new(upright, PALE)])?;
            let (x, y) = axes.backend_coord(&(hour, 0.0));
            let font = self.letters(&BLACK, HPos::Center);
            area.draw_text(&hours.clock(hour), &font, (x, y + 6))?;
        }
        let (right, _) = axes.backend_coord(&(hours.last, 0.0));
        let wide = size.letters * 4;
        let mut next = 0;
        for (at, (hour, date)) in self.dates.iter().enumerate() {
            let (x, y) = axes.backend_coord(&(*hour, 0.0));
            // The first date gives way to the next one, which has a place of its own.
            let after = self.dates.get(at + 1).map(|(hour, _)| *hour);
            let after = after.map(|hour| axes.backend_coord(&(hour, 0.0)).0);
            let covered = at == 0 && after.is_some_and(|after| after < x + wide);
            if x < next || x + wide > right + wide / 2 || covered {
                continue;
            }
            let font = self.letters(&BLACK, HPos::Left);
            area.draw_text(date, &font, (x, y + 6 + size.line))?;
            next = x + wide;
        }
        Ok(())
    }

    /// The limit across, and the end of the work upright.
    fn limit_and_end<'b>(
        &self,
        area: &PlotArea<'b>,
        axes: &mut Axes<'_, 'b>,
        head: i32,
    ) -> Result<(), PlotFault<'b>> {
        let hours = self.hours;
        let strong = ShapeStyle::from(&BLACK).stroke_width(2);
        axes.draw_series([PathElement::new(
            vec![(hours.first, 1.0), (hours.last, 1.0)],
            strong,
        )])?;
        let end = hours.end_of_work;
        if end > hours.first {
            let thin = ShapeStyle::from(&BLACK).stroke_width(1);
            let upright = vec![(end, 0.0), (end, hours.top)];
            axes.draw_series([DashedPathElement::new(upright, 3, 5, thin)])?;
            let (x, _) = axes.backend_coord(&(end, hours.top));
            let words = format!("end of work: {}", hours.clock(end));
            let half = whole(words.chars().count()) * self.size.letters / 4;
            let font = self.letters(&BLACK, HPos::Center);
            area.draw_text(&words, &font, (x.max(half + 8), head + 4))?;
        }
        Ok(())
    }

    /// The names at the ends of the curves and of the limit, pushed apart where they would overlap, and above the clock.
    fn names<'b>(
        &self,
        area: &PlotArea<'b>,
        axes: &Axes<'_, 'b>,
        head: i32,
    ) -> Result<(), PlotFault<'b>> {
        let (hours, size) = (self.hours, self.size);
        let (right, limit) = axes.backend_coord(&(hours.last, 1.0));
        let mut names: Vec<(i32, Vec<String>, RGBColor)> =
            vec![(limit, vec!["limit: 100 %".to_string()], BLACK)];
        for (at, (name, points)) in hours.curves.iter().enumerate() {
            let end = points.last().map_or(0.0, |(_, level)| *level);
            let (_, y) = axes.backend_coord(&(hours.last, end));
            let words = format!("{name}: {} at most", share_words(highest(points).1));
            let lines = fill(&words, size.name, "", "");
            let lines = lines.lines().map(str::to_string).collect();
            names.push((y, lines, COLORS.get(at).copied().unwrap_or(BLACK)));
        }
        names.sort_by_key(|(y, ..)| *y);
        let (_, floor) = axes.backend_coord(&(hours.last, 0.0));
        let height = |lines: &[String]| size.line * whole(lines.len()) + 6;
        let mut left: i32 = names.iter().map(|(_, lines, _)| height(lines)).sum();
        // Below the words at the end of the work, and no lower than the axis.
        let mut next = head + size.line + 6;
        for (y, lines, color) in &names {
            let high = height(lines);
            // As near to its curve as the names above and below allow.
            let lowest = (floor - left).max(next);
            let top = (y - high / 2).clamp(next, lowest);
            left -= high;
            let middle = top + (high - 6) / 2;
            let lead = [(right + 2, *y), (right + LEAD - 4, middle)];
            area.draw(&PathElement::new(lead, ShapeStyle::from(color)))?;
            for (row, line) in (0..).zip(lines) {
                let font = self.letters(color, HPos::Left);
                area.draw_text(line, &font, (right + LEAD, top + size.line * row))?;
            }
            next = top + high;
        }
        Ok(())
    }
}

/// A level on the axis: in percent, or where the limit is far below, as many times the limit.
fn level_words(level: f64, top: f64) -> String {
    if top > MANY_TIMES {
        return format!("{level:.0} times");
    }
    format!("{:.0} %", level * 100.0)
}

fn style(at: usize) -> (ShapeStyle, u32, u32) {
    let color = COLORS.get(at).copied().unwrap_or(BLACK);
    let (dash, gap) = DASHES.get(at).copied().unwrap_or((1, 0));
    (ShapeStyle::from(&color).stroke_width(3), dash, gap)
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
