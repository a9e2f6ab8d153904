//! The backtest's report as two drawings: were the chances honest, and does it get better?
//!
//! SVG text, black on white; series are told apart by shape and dash, never by colour alone. Drawn by
//! plotters, whose only backend here writes text: no file, no font of this machine.

use super::percent::percent;
use crate::backtest::report::{BlockScores, Report};
use crate::evidence::cases::days_between;
use crate::evidence::interval::{Z95, wilson};
use jiff::civil::Date;
use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::element::DashedPathElement;
use plotters::prelude::*;

const SIZE: (u32, u32) = (640, 480);
const FONT: (&str, u32) = ("sans-serif", 15);
const TITLE: (&str, u32) = ("sans-serif", 18);

/// Height of the title and the legend above a chart.
const HEAD: u32 = 60;

/// How a series is told apart.
#[derive(Clone, Copy)]
enum Mark {
    Dot,
    Square,
    Cross,
    Dash,
}

/// A series in the legend: its mark, its words, and the column at which it begins.
type Legend<'a> = &'a [(Mark, &'a str, i32)];

type Chart<'a> = ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// Why nothing was drawn.
#[derive(Debug, thiserror::Error)]
#[error("the drawing failed: {0}")]
pub struct NotDrawn(String);

pub(super) fn not_drawn<E: std::error::Error + Send + Sync>(
    error: DrawingAreaErrorKind<E>,
) -> NotDrawn {
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
    let legend: Legend<'_> = &[
        (Mark::Dot, "parts of equal count, with 95 % intervals", 80),
        (Mark::Dash, "as it should be", 400),
    ];
    draw(&title, legend, axes, (0.0, 1.0), &tick, |chart| {
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
    let legend: Legend<'_> = &[
        (Mark::Dot, "first", 80),
        (Mark::Square, "among the first three", 160),
        (Mark::Cross, "first by the author's words only", 360),
    ];
    draw(&title, legend, axes, (0.0, whole), &day, |chart| {
        chart
            .draw_series(LineSeries::new(first_three.clone(), &BLACK))
            .map_err(not_drawn)?;
        let squares = first_three.iter().map(|at| {
            EmptyElement::at(*at) + Rectangle::new([(-4, -4), (4, 4)], BLACK.stroke_width(2))
        });
        chart.draw_series(squares).map_err(not_drawn)?;
        chart
            .draw_series(LineSeries::new(first.clone(), BLACK.stroke_width(2)))
            .map_err(not_drawn)?;
        let dots = first.iter().map(|at| Circle::new(*at, 5, BLACK.filled()));
        chart.draw_series(dots).map_err(not_drawn)?;
        let dashes = DashedPathElement::new(own_words.clone(), 6, 4, BLACK);
        chart.draw_series([dashes]).map_err(not_drawn)?;
        let crosses = own_words.iter();
        let crosses = crosses.map(|at| Cross::new(*at, 5, BLACK.stroke_width(2)));
        chart.draw_series(crosses).map_err(not_drawn)?;
        Ok(())
    })
}

fn draw(
    title: &str,
    legend: Legend<'_>,
    (x_axis, y_axis): (&str, &str),
    (from, to): (f64, f64),
    x_label: &dyn Fn(&f64) -> String,
    content: impl for<'a> FnOnce(&mut Chart<'a>) -> Result<(), NotDrawn>,
) -> Result<String, NotDrawn> {
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, SIZE).into_drawing_area();
        area.fill(&WHITE).map_err(not_drawn)?;
        let (head, body) = area.split_vertically(HEAD);
        draw_head(&head, title, legend)?;
        let mut chart = ChartBuilder::on(&body)
            .margin(8)
            .margin_right(48)
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
            .y_label_formatter(&tick)
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

fn draw_head(
    head: &DrawingArea<SVGBackend<'_>, Shift>,
    title: &str,
    legend: Legend<'_>,
) -> Result<(), NotDrawn> {
    head.draw(&Text::new(title.to_owned(), (72, 12), TITLE))
        .map_err(not_drawn)?;
    for (mark, words, x) in legend {
        let (x, y) = (*x, 45);
        match mark {
            Mark::Dot => head.draw(&Circle::new((x, y), 5, BLACK.filled())),
            Mark::Square => {
                let corners = [(x - 4, y - 4), (x + 4, y + 4)];
                head.draw(&Rectangle::new(corners, BLACK.stroke_width(2)))
            }
            Mark::Cross => head.draw(&Cross::new((x, y), 5, BLACK.stroke_width(2))),
            Mark::Dash => {
                let ends = [(x - 24, y), (x + 4, y)];
                head.draw(&DashedPathElement::new(ends, 6, 4, BLACK))
            }
        }
        .map_err(not_drawn)?;
        head.draw(&Text::new((*words).to_owned(), (x + 12, y - 7), FONT))
            .map_err(not_drawn)?;
    }
    Ok(())
}

fn tick(part: &f64) -> String {
    percent(*part)
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
