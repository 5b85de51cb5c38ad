//! A small plot as SVG: the one place where a chart is drawn. It must not know what the curves are about.
//!
//! Each curve has its own colour (told apart by the colour-blind), its own line style (told apart in black and white) and
//! its name at the side. Text stays text, and a title and a description are there for those who cannot see the picture.
#![allow(
    clippy::float_arithmetic,
    reason = "places on paper, rounded to a pixel"
)]

use super::corner::{At, LineSide, free_corner};
use crate::text::clean;
use crate::vapour::shown::figures;
use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::Shift;
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::combinators::{IntoLogRange, LogCoord};
use plotters::coord::types::RangedCoordf64;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{DashedPathElement, PathElement};
use plotters::prelude::{Color, DrawingBackend, IntoFont, RGBColor, SVGBackend, ShapeStyle};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use std::fmt::Write;

/// A course over time: minutes, and a level in shares of one.
pub struct Curve {
    /// What it is.
    pub name: &'static str,
    /// Minutes and levels, in order of time.
    pub points: Vec<(f64, f64)>,
}

/// A level drawn across.
pub struct LimitLine {
    /// What it is, in full.
    pub name: &'static str,
    /// The same in short lines, at the side.
    pub label: &'static [&'static str],
    /// A share of one.
    pub level: f64,
}

/// A chart as part of a page: its inner elements, and its words apart from it.
pub struct Course {
    /// The `viewBox` it is drawn in.
    pub view: String,
    /// SVG elements.
    pub inner: String,
    /// What it shows.
    pub title: String,
    /// A line beneath.
    pub below: String,
    /// The picture in words.
    pub told: String,
}

/// All that is drawn.
pub struct Chart<'c> {
    /// What it shows.
    pub title: &'c str,
    /// A line beneath.
    pub below: &'c str,
    /// The courses: at most as many as there are styles.
    pub curves: &'c [Curve],
    /// The limits.
    pub lines: &'c [LimitLine],
}

/// Where things stand on the sheet, in pixels.
struct Form {
    size: (u32, u32),
    /// Above, for the title, and beneath, for a line; none of either where the page around it has them.
    words: Option<(u32, u32)>,
    /// To the right of the axes; the words of a limit stand there, or over its line where there is no room.
    right: u32,
    beside: bool,
    labels: (u32, u32),
    minutes: usize,
}

/// A file by itself. Pixels are whole numbers: drawn at twice the size, shown at half of it.
const FILE: Form = Form {
    size: (1520, 980),
    words: Some((68, 60)),
    right: 310,
    beside: true,
    labels: (84, 136),
    minutes: 9,
};
/// In a page, where it has to be read on a telephone too.
const PAGE: Form = Form {
    size: (700, 620),
    words: None,
    right: 24,
    beside: false,
    labels: (76, 128),
    minutes: 5,
};
const SHOWN: &str = "width=\"760\" height=\"490\"";
const DRAWN: &str = "width=\"1520\" height=\"980\"";
const BLACK: RGBColor = RGBColor(0, 0, 0);
const PALE: RGBColor = RGBColor(214, 214, 214);
/// Dark blue, vermilion and green of a palette for the colour-blind; black for what is left.
const COLOURS: [RGBColor; 4] = [
    RGBColor(0, 68, 136),
    RGBColor(187, 85, 0),
    RGBColor(0, 110, 80),
    BLACK,
];
/// Dash and gap of each curve, in pixels; no gap is a full line.
const DASHES: [(u32, u32); 4] = [(1, 0), (18, 9), (4, 7), (30, 8)];
/// Most characters of the title on one line.
const TITLE: usize = 92;
/// Levels under a thousandth are not worth the paper.
const LOWEST: f64 = 1.0e-3;

/// A curve by its position, and its points that are numbers.
type Drawn<'c> = (usize, &'c Curve, Vec<(f64, f64)>);
type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Axes<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, LogCoord<f64>>>;
pub(super) type PlotFault<'b> = DrawingAreaErrorKind<<SVGBackend<'b> as DrawingBackend>::ErrorType>;

/// The chart as the text of an SVG file; `None` where no curve has two points that are numbers.
pub fn svg(chart: &Chart<'_>) -> Option<String> {
    drawn(chart, &FILE, |text, curves| told(&text, chart, curves))
}

/// The chart for a page that says its words itself.
pub fn course(chart: &Chart<'_>) -> Option<Course> {
    drawn(chart, &PAGE, |text, curves| Course {
        view: format!("0 0 {} {}", PAGE.size.0, PAGE.size.1),
        inner: inside(&text).to_string(),
        title: chart.title.to_string(),
        below: chart.below.to_string(),
        told: in_words(chart, curves),
    })
}

/// What stands between the outer tags of an SVG text, without the white sheet behind it.
pub(super) fn inside(text: &str) -> &str {
    let inner = text.split_once(">\n").map_or("", |(_, rest)| rest);
    inner.trim_end().trim_end_matches("</svg>")
}

fn drawn<T>(
    chart: &Chart<'_>,
    form: &Form,
    make: impl FnOnce(String, &[Drawn<'_>]) -> T,
) -> Option<T> {
    let holds = |(minute, level): &(f64, f64)| {
        minute.is_finite() && level.is_finite() && *minute >= 0.0 && *level >= 0.0
    };
    let curves = chart.curves.iter().enumerate().map(|(at, curve)| {
        let points: Vec<(f64, f64)> = curve.points.iter().copied().filter(holds).collect();
        (at, curve, points)
    });
    let mut curves: Vec<Drawn<'_>> = curves.collect();
    curves.retain(|(_, _, points)| points.len() > 1);
    let all = || curves.iter().flat_map(|(_, _, points)| points.iter());
    let last = all()
        .map(|p| p.0)
        .max_by(f64::total_cmp)
        .filter(|last| *last > 0.0)?;
    let top = all().map(|p| p.1).max_by(f64::total_cmp)?;
    let limits = chart.lines.iter().map(|line| line.level);
    let top = limits.fold(top, f64::max) * 2.0;
    let mut text = String::new();
    let sheet = Drawing {
        chart,
        form,
        last,
        top,
    };
    {
        let area = SVGBackend::with_string(&mut text, form.size).into_drawing_area();
        sheet.draw(&area, &curves).ok()?;
        area.present().ok()?;
    }
    Some(make(text, &curves))
}

struct Drawing<'c> {
    chart: &'c Chart<'c>,
    form: &'c Form,
    last: f64,
    top: f64,
}

impl Drawing<'_> {
    fn draw<'b>(&self, area: &Area<'b>, curves: &[Drawn<'_>]) -> Result<(), PlotFault<'b>> {
        let font = |size: i32| ("sans-serif", size).into_font().color(&BLACK);
        let mut body = area.clone();
        let mut top = 12;
        if let Some((above, beneath)) = self.form.words {
            let (_, high) = self.form.size;
            area.fill(&RGBColor(255, 255, 255))?;
            area.draw_text(&short(self.chart.title, TITLE), &font(30), (28, 24))?;
            area.draw_text(&short(self.chart.below, 118), &font(24), (28, 936))?;
            (_, body) = area.split_vertically(above);
            (body, _) = body.split_vertically(high - above - beneath);
        } else {
            top += 20;
        }
        let mut axes = ChartBuilder::on(&body)
            .margin_left(16)
            .margin_right(self.form.right)
            .margin_top(top + 34 * u32::try_from(curves.len()).unwrap_or(0))
            .x_label_area_size(self.form.labels.0)
            .y_label_area_size(self.form.labels.1)
            .build_cartesian_2d(0.0..self.last, (LOWEST..self.top).log_scale())?;
        axes.configure_mesh()
            .bold_line_style(PALE)
            .light_line_style(RGBColor(255, 255, 255).mix(0.0))
            .x_labels(self.form.minutes)
            .y_labels(6)
            .x_desc("minutes from the beginning of the work")
            .y_desc("share of the limit")
            .x_label_formatter(&|minute| format!("{minute:.0}"))
            .y_label_formatter(&|level| percent(*level))
            .label_style(font(24))
            .axis_desc_style(font(26))
            .draw()?;
        for (row, (at, curve, points)) in (0..).zip(curves) {
            self.curve(&mut axes, *at, points)?;
            self.key(area, row, *at, curve.name)?;
        }
        for line in self.chart.lines {
            self.limit(area, &mut axes, line, curves)?;
        }
        Ok(())
    }

    fn curve<'b>(
        &self,
        axes: &mut Axes<'_, 'b>,
        at: usize,
        points: &[(f64, f64)],
    ) -> Result<(), PlotFault<'b>> {
        let (style, dash, gap) = style(at);
        let shown = |(_, level): &(f64, f64)| *level >= LOWEST;
        let first = points.iter().position(shown).unwrap_or(0).saturating_sub(1);
        let last = points.iter().rposition(shown).unwrap_or(0) + 1;
        let points: Vec<(f64, f64)> = points
            .iter()
            .take(last)
            .skip(first)
            .map(|(minute, level)| (*minute, level.max(LOWEST)))
            .collect();
        if gap == 0 {
            axes.draw_series([PathElement::new(points, style)])?;
        } else {
            axes.draw_series([DashedPathElement::new(points, dash, gap, style)])?;
        }
        Ok(())
    }

    /// The key of a curve, over the axes: a piece of its line and its name.
    fn key<'b>(
        &self,
        area: &Area<'b>,
        row: i32,
        at: usize,
        name: &str,
    ) -> Result<(), PlotFault<'b>> {
        let (left, top) = match self.form.words {
            Some(_) => (156, 92),
            None => (28, 24),
        };
        let y = top + 34 * row;
        let (style, dash, gap) = style(at);
        let piece = vec![(left, y), (left + 92, y)];
        if gap == 0 {
            area.draw(&PathElement::new(piece, style))?;
        } else {
            area.draw(&DashedPathElement::new(piece, dash, gap, style))?;
        }
        let font = ("sans-serif", 24).into_font().color(&BLACK);
        area.draw_text(name, &font, (left + 108, y - 12))
    }

    fn limit<'b>(
        &self,
        area: &Area<'b>,
        axes: &mut Axes<'_, 'b>,
        line: &LimitLine,
        curves: &[Drawn<'_>],
    ) -> Result<(), PlotFault<'b>> {
        let thin = ShapeStyle::from(&BLACK).stroke_width(2);
        let points = vec![(0.0, line.level), (self.last, line.level)];
        axes.draw_series([PathElement::new(points, thin)])?;
        let (right, y) = axes.backend_coord(&(self.last, line.level));
        let font = ("sans-serif", 22).into_font().color(&BLACK);
        if !self.form.beside {
            let words = line.label.join(" ");
            let (left, _) = axes.backend_coord(&(0.0, line.level));
            let drawn = curves.iter().flat_map(|(_, _, points)| points);
            let drawn: Vec<(i32, i32)> = drawn.map(|at| axes.backend_coord(at)).collect();
            let (end, x, side, y) = match free_corner(&words, (left, right), y, &drawn) {
                (At::Right, LineSide::Over) => (HPos::Right, right - 6, VPos::Bottom, y - 4),
                (At::Right, LineSide::Under) => (HPos::Right, right - 6, VPos::Top, y + 8),
                (At::Left, LineSide::Over) => (HPos::Left, left + 6, VPos::Bottom, y - 4),
                (At::Left, LineSide::Under) => (HPos::Left, left + 6, VPos::Top, y + 8),
            };
            return area.draw_text(&words, &font.pos(Pos::new(end, side)), (x, y));
        }
        for (place, words) in line.label.iter().enumerate() {
            let below = 26 * i32::try_from(place).unwrap_or(0);
            area.draw_text(words, &font, (right + 12, y - 12 + below))?;
        }
        Ok(())
    }
}

fn style(at: usize) -> (ShapeStyle, u32, u32) {
    let colour = COLOURS.get(at).copied().unwrap_or(BLACK);
    let (dash, gap) = DASHES.get(at).copied().unwrap_or((1, 0));
    (ShapeStyle::from(&colour).stroke_width(4), dash, gap)
}

fn percent(share: f64) -> String {
    let shown = format!("{:.3}", share * 100.0);
    let shown = shown.trim_end_matches('0').trim_end_matches('.');
    format!("{shown} %")
}

fn short(text: &str, most: usize) -> String {
    let text = clean(text);
    if text.chars().count() <= most {
        return text;
    }
    let kept: String = text.chars().take(most.saturating_sub(2)).collect();
    format!("{kept} …")
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

/// What a chart shows, for those who hear it.
fn in_words(chart: &Chart<'_>, curves: &[Drawn<'_>]) -> String {
    let mut words = String::new();
    for (_, curve, points) in curves {
        let highest = points.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((minute, level)) = highest {
            let _ = write!(
                words,
                "{}: at most about {} % after {minute:.0} minutes. ",
                curve.name,
                figures(level * 100.0)
            );
        }
    }
    for line in chart.lines {
        let _ = write!(
            words,
            "A line at {} marks {}. ",
            percent(line.level),
            line.name
        );
    }
    words
}

/// Puts a title and a description in, for those who hear the picture.
fn told(text: &str, chart: &Chart<'_>, curves: &[Drawn<'_>]) -> String {
    let mut words = in_words(chart, curves);
    words.push_str(chart.below);
    let extra = format!(
        "<title id=\"air-title\">{}</title>\n<desc id=\"air-desc\">{}</desc>\n",
        escaped(chart.title),
        escaped(&words)
    );
    let Some((open, rest)) = text.split_once(">\n") else {
        return text.to_string();
    };
    let open = open.replacen(DRAWN, SHOWN, 1);
    format!("{open} role=\"img\" aria-labelledby=\"air-title air-desc\">\n{extra}{rest}")
}
