//! Two lines over twelve months, small: what is held and what is used. It must not know of what.
#![allow(
    clippy::float_arithmetic,
    reason = "places on paper, rounded to a pixel"
)]

use super::plot::{PlotFault, inside};
use crate::quantity::{Exact, unit};
use plotters::chart::ChartBuilder;
use plotters::drawing::IntoDrawingArea;
use plotters::element::{Circle, PathElement, Rectangle};
use plotters::prelude::{Color, IntoFont, RGBColor, SVGBackend, ShapeStyle};

/// The two lines.
pub struct Series<'s> {
    /// `2026-10`, oldest first.
    pub months: &'s [&'s str],
    /// House units at the end of each month; nothing where it is not known.
    pub held: Vec<Option<Exact>>,
    /// House units in each month; nothing where the month is not on record.
    pub used: Vec<Option<Exact>>,
    /// The unit to show them in.
    pub symbol: &'s str,
}

/// A picture as part of a page.
pub struct Lines {
    /// The `viewBox` it is drawn in.
    pub view: String,
    /// SVG elements.
    pub inner: String,
}

const SIZE: (u32, u32) = (320, 176);
const INK: RGBColor = RGBColor(0, 0, 0);
const PALE: RGBColor = RGBColor(214, 214, 214);
/// Held and used; the page gives each its own stroke and its colour in the dark.
const HELD: RGBColor = RGBColor(0, 68, 136);
const USED: RGBColor = RGBColor(187, 85, 0);

/// Draws; `None` where there is nothing to draw, or no such unit.
pub fn lines(series: &Series<'_>) -> Option<Lines> {
    let factor = unit::find(series.symbol)?.factor.estimate();
    let of = |base: Exact| Some(base.estimate() / factor).filter(|value| value.is_finite());
    let held: Vec<Option<f64>> = series.held.iter().map(|h| h.and_then(of)).collect();
    let used: Vec<Option<f64>> = series.used.iter().map(|used| used.and_then(of)).collect();
    let top = held
        .iter()
        .chain(&used)
        .flatten()
        .copied()
        .max_by(f64::total_cmp)?;
    if top <= 0.0 || series.months.is_empty() {
        return None;
    }
    let mut text = String::new();
    draw(&mut text, series, &held, &used, top).ok()?;
    Some(Lines {
        view: format!("0 0 {} {}", SIZE.0, SIZE.1),
        inner: inside(&text).to_string(),
    })
}

fn draw<'b>(
    text: &'b mut String,
    series: &Series<'_>,
    held: &[Option<f64>],
    used: &[Option<f64>],
    top: f64,
) -> Result<(), PlotFault<'b>> {
    let area = SVGBackend::with_string(text, SIZE).into_drawing_area();
    let last = count(series.months.len()) - 1.0;
    let font = ("sans-serif", 15).into_font().color(&INK);
    let mut axes = ChartBuilder::on(&area)
        .margin_top(10)
        .margin_right(12)
        .x_label_area_size(26)
        .y_label_area_size(58)
        .build_cartesian_2d(-0.3..last + 0.3, 0.0..top * 1.08)?;
    axes.configure_mesh()
        .disable_x_mesh()
        .bold_line_style(PALE)
        .light_line_style(RGBColor(255, 255, 255).mix(0.0))
        .axis_style(INK)
        .x_labels(5)
        .y_labels(4)
        .x_label_formatter(&|x| month(series.months, *x))
        .y_label_formatter(&|y| format!("{} {}", tidy(*y), series.symbol))
        .label_style(font)
        .draw()?;
    let (full, broken) = (
        ShapeStyle::from(&HELD).stroke_width(2),
        ShapeStyle::from(&USED).stroke_width(2),
    );
    for piece in pieces(held) {
        axes.draw_series([PathElement::new(piece, full)])?;
    }
    for piece in pieces(used) {
        axes.draw_series([PathElement::new(piece, broken)])?;
    }
    let at = |values: &[Option<f64>]| -> Vec<(f64, f64)> {
        let dots = values.iter().enumerate();
        dots.filter_map(|(at, value)| Some((count(at), (*value)?)))
            .collect()
    };
    axes.draw_series(
        at(held)
            .into_iter()
            .map(|dot| Circle::new(dot, 3, HELD.filled())),
    )?;
    let half = (0.09, top * 0.018);
    axes.draw_series(at(used).into_iter().map(|(x, y)| {
        let corners = [(x - half.0, y - half.1), (x + half.0, y + half.1)];
        Rectangle::new(corners, USED.filled())
    }))?;
    area.present()
}

/// Runs of months that have a value.
fn pieces(values: &[Option<f64>]) -> Vec<Vec<(f64, f64)>> {
    let mut list: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for (at, value) in values.iter().enumerate() {
        match (value, list.last_mut()) {
            (Some(value), Some(piece)) => piece.push((count(at), *value)),
            _ => list.push(Vec::new()),
        }
    }
    list.retain(|piece| piece.len() > 1);
    list
}

fn count(at: usize) -> f64 {
    u32::try_from(at).map_or(0.0, f64::from)
}

/// The month nearest to a place on the axis.
fn month(months: &[&str], x: f64) -> String {
    let near = (0..months.len()).min_by(|a, b| {
        let away = |at: &usize| (count(*at) - x).abs();
        away(a).total_cmp(&away(b))
    });
    near.and_then(|at| months.get(at))
        .map_or(String::new(), |month| (*month).to_string())
}

fn tidy(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
