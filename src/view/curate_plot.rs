//! Small drawings for the lead tech's reports: bars for counts, parts of bars for what worked.
//!
//! SVG text, black on white; parts are told apart by filling, never by colour alone.

use super::backtest_plot::{NotDrawn, not_drawn};
use crate::curate::drift::Change;
use crate::curate::rising::Rise;
use plotters::prelude::*;

const FONT: (&str, u32) = ("sans-serif", 14);
const TITLE: (&str, u32) = ("sans-serif", 16);

/// Small enough for its letters to be read on a telephone, where it is drawn as wide as the window.
const SIZE: (u32, u32) = (480, 260);
const GREY: RGBColor = RGBColor(190, 190, 190);

/// One bar: its name below, its height, and the filled part of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// What stands below it.
    pub name: String,
    /// Its height.
    pub all: f64,
    /// The black part, from below.
    pub part: f64,
}

/// Cases week by week; those of the days that rise are black.
///
/// # Errors
/// Where the drawing library refuses; never seen.
pub fn rise(rise: &Rise) -> Result<String, NotDrawn> {
    let last = rise.weeks.len().saturating_sub(rise.days / 7);
    let bars: Vec<Bar> = rise
        .weeks
        .iter()
        .enumerate()
        .map(|(at, count)| Bar {
            name: format!("{}", at as i64 + 1 - rise.weeks.len() as i64),
            all: *count as f64,
            part: if at >= last { *count as f64 } else { 0.0 },
        })
        .collect();
    upright(&rise.title, ("weeks from today", "cases"), &bars)
}

/// Tries month by month; what worked is the lower part, black (white where the page is dark).
///
/// # Errors
/// Where the drawing library refuses; never seen.
pub fn change(change: &Change) -> Result<String, NotDrawn> {
    let bars: Vec<Bar> = change
        .months
        .iter()
        .map(|(month, side)| Bar {
            name: month.to_string()[..7].to_owned(),
            all: side.tries as f64,
            part: side.worked as f64,
        })
        .collect();
    upright(&change.title, ("month", "tries; lower part: worked"), &bars)
}

/// Upright bars.
///
/// # Errors
/// Where the drawing library refuses; never seen.
pub fn upright(title: &str, (x, y): (&str, &str), bars: &[Bar]) -> Result<String, NotDrawn> {
    let most = bars.iter().map(|bar| bar.all).fold(1.0, f64::max);
    let count = bars.len().max(1);
    let name = |at: &f64| {
        let place = at.floor();
        // A bar stands around its number; between two bars there is nothing to name.
        let inside = (0.0..count as f64).contains(&place) && at - place < 1e-9;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a place among the bars"
        )]
        let place = place as usize;
        bars.get(place)
            .filter(|_| inside)
            .map_or_else(String::new, |bar| bar.name.clone())
    };
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, SIZE).into_drawing_area();
        area.fill(&WHITE).map_err(not_drawn)?;
        let mut chart = ChartBuilder::on(&area)
            .caption(title, TITLE)
            .margin(8)
            .margin_right(24)
            .x_label_area_size(44)
            .y_label_area_size(52)
            .build_cartesian_2d(-0.5..count as f64 - 0.5, 0.0..most * 1.05)
            .map_err(not_drawn)?;
        chart
            .configure_mesh()
            .disable_x_mesh()
            .x_desc(x)
            .y_desc(y)
            .x_labels(8)
            .y_labels(6)
            .x_label_formatter(&name)
            .y_label_formatter(&|value: &f64| format!("{value:.0}"))
            .label_style(FONT)
            .axis_desc_style(FONT)
            .light_line_style(TRANSPARENT)
            .bold_line_style(BLACK.mix(0.15))
            .draw()
            .map_err(not_drawn)?;
        for (at, bar) in bars.iter().enumerate() {
            let (left, right) = (at as f64 - 0.4, at as f64 + 0.4);
            let whole = Rectangle::new([(left, 0.0), (right, bar.all)], GREY.filled());
            let edge = Rectangle::new([(left, 0.0), (right, bar.all)], BLACK.stroke_width(1));
            let part = Rectangle::new([(left, 0.0), (right, bar.part)], BLACK.filled());
            for drawn in [whole, edge, part] {
                chart.draw_series([drawn]).map_err(not_drawn)?;
            }
        }
        area.present().map_err(not_drawn)?;
    }
    Ok(svg)
}
