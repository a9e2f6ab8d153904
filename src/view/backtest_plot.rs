//! The backtest's report as two drawings: were the chances honest, and does it get better?
//!
//! SVG text, black on white; series are told apart by shape and dash, never by colour alone. Drawn by
//! plotters, whose only backend here writes text: no file, no font of this machine.

use crate::backtest::report::{BlockScores, Report};
use crate::evidence::cases::days_between;
use crate::evidence::interval::{Z95, wilson};
use jiff::civil::Date;
use plotters::coord::types::RangedCoordf64;
use plotters::element::DashedPathElement;
use plotters::prelude::*;

const SIZE: (u32, u32) = (640, 480);
const FONT: (&str, u32) = ("sans-serif", 15);
const TITLE: (&str, u32) = ("sans-serif", 18);

type Chart<'a> = ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// Why nothing was drawn.
#[derive(Debug, thiserror::Error)]
#[error("the drawing failed: {0}")]
pub struct NotDrawn(String);

fn not_drawn<E: std::error::Error + Send + Sync>(error: DrawingAreaErrorKind<E>) -> NotDrawn {
    NotDrawn(error.to_string())
}

/// What was said against what was so: the first fix of the scored cases, each bin with the Wilson
/// 95 % interval of what was so.
///
/// # Errors
/// Where the drawing library refuses; never seen.
pub fn calibration(report: &Report) -> Result<String, NotDrawn> {
    let found = &report.calibration;
    let title = format!(
        "First fix of {} cases: mean distance {:.1} points (perfect: up to {:.1})",
        found.count,
        100.0 * found.error,
        100.0 * found.perfect_95
    );
    let axes = ("chance that was said", "part that was so");
    draw(&title, axes, (0.0, 1.0), &percent, |chart| {
        let diagonal = DashedPathElement::new([(0.0, 0.0), (1.0, 1.0)], 6, 4, BLACK);
        chart.draw_series([diagonal]).map_err(not_drawn)?;
        chart
            .draw_series(found.bins.iter().map(|bin| {
                let count = bin.count as f64;
                let (low, high) = wilson(bin.happened * count, count, Z95);
                PathElement::new([(bin.said, low), (bin.said, high)], BLACK.stroke_width(1))
            }))
            .map_err(not_drawn)?;
        let places = found.bins.iter().map(|bin| (bin.said, bin.happened));
        let dots = places.map(|place| Circle::new(place, 5, BLACK.filled()));
        chart.draw_series(dots).map_err(not_drawn)?;
        Ok(())
    })
}

/// The part of scored cases whose fix stood first, and among the first three, block by block.
///
/// # Errors
/// Where the drawing library refuses; never seen.
pub fn hits(report: &Report) -> Result<String, NotDrawn> {
    let start = report.counts.from.unwrap_or(Date::MIN);
    let end = report.counts.to.unwrap_or(start);
    let whole = days_between(start, end).max(1.0);
    let middle = |block: &BlockScores| {
        0.5 * (days_between(start, block.from) + days_between(start, block.to))
    };
    let blocks: Vec<&BlockScores> = report.blocks.iter().filter(|b| b.scored > 0).collect();
    let line = |value: fn(&BlockScores) -> f64| -> Vec<(f64, f64)> {
        blocks.iter().map(|b| (middle(b), value(b))).collect()
    };
    let first_three = line(|b| b.ours.hit_3);
    let first = line(|b| b.ours.hit_1);
    let own_words = line(|b| b.own_words_hit_1);
    let title = format!("The right fix in {} cases, over time", report.counts.scored);
    let day = |x: &f64| date_after(start, *x);
    let axes = ("day of the case", "part of the cases");
    draw(&title, axes, (0.0, whole), &day, |chart| {
        chart
            .draw_series(LineSeries::new(first_three.clone(), &BLACK))
            .map_err(not_drawn)?;
        let squares = first_three.iter().map(|at| {
            EmptyElement::at(*at) + Rectangle::new([(-4, -4), (4, 4)], BLACK.stroke_width(2))
        });
        chart
            .draw_series(squares)
            .map_err(not_drawn)?
            .label("among the first three")
            .legend(|(x, y)| {
                Rectangle::new([(x + 4, y - 4), (x + 12, y + 4)], BLACK.stroke_width(2))
            });
        chart
            .draw_series(LineSeries::new(first.clone(), BLACK.stroke_width(2)))
            .map_err(not_drawn)?;
        chart
            .draw_series(first.iter().map(|at| Circle::new(*at, 5, BLACK.filled())))
            .map_err(not_drawn)?
            .label("first")
            .legend(|(x, y)| Circle::new((x + 8, y), 5, BLACK.filled()));
        chart
            .draw_series([DashedPathElement::new(own_words.clone(), 6, 4, BLACK)])
            .map_err(not_drawn)?;
        chart
            .draw_series(
                own_words
                    .iter()
                    .map(|at| Cross::new(*at, 5, BLACK.stroke_width(2))),
            )
            .map_err(not_drawn)?
            .label("first by the author's words only")
            .legend(|(x, y)| Cross::new((x + 8, y), 5, BLACK.stroke_width(2)));
        chart
            .configure_series_labels()
            .position(SeriesLabelPosition::LowerRight)
            .label_font(FONT)
            .background_style(WHITE)
            .border_style(BLACK)
            .draw()
            .map_err(not_drawn)
    })
}

fn draw(
    title: &str,
    (x_axis, y_axis): (&str, &str),
    (from, to): (f64, f64),
    x_label: &dyn Fn(&f64) -> String,
    content: impl for<'a> FnOnce(&mut Chart<'a>) -> Result<(), NotDrawn>,
) -> Result<String, NotDrawn> {
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, SIZE).into_drawing_area();
        area.fill(&WHITE).map_err(not_drawn)?;
        let mut chart = ChartBuilder::on(&area)
            .caption(title, TITLE)
            .margin(16)
            .x_label_area_size(48)
            .y_label_area_size(64)
            .build_cartesian_2d(from..to, 0.0..1.0)
            .map_err(not_drawn)?;
        chart
            .configure_mesh()
            .x_desc(x_axis)
            .y_desc(y_axis)
            .x_labels(6)
            .y_labels(11)
            .x_label_formatter(&x_label)
            .y_label_formatter(&percent)
            .label_style(FONT)
            .axis_desc_style(FONT)
            .light_line_style(TRANSPARENT)
            .bold_line_style(BLACK.mix(0.15))
            .draw()
            .map_err(not_drawn)?;
        content(&mut chart)?;
        area.present().map_err(not_drawn)?;
    }
    Ok(svg)
}

fn percent(part: &f64) -> String {
    format!("{:.0} %", part * 100.0)
}

fn date_after(start: Date, days: f64) -> String {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "a place on the axis between two dates"
    )]
    let days = days.round() as i64;
    start
        .checked_add(jiff::Span::new().days(days))
        .map_or_else(|_| String::new(), |date| date.to_string())
}
