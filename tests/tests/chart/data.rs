//! Tables of readings of our own as an `Analysis`, such as the page would have them.

use yokeline_core::job::output::{
    Analysis, Axes, Axis, BestLine, Blocked, ExtremeLines, Family, OriginLine, Point, Straight,
    Triangle,
};
use yokeline_core::line::{Datum, Line, extreme, least_squares, triangle};

/// One reading: current in A, balance reading in g.
pub type Reading = (f64, f64);

/// The readings of a calm run, with ± 0.01 g.
pub const CALM: [Reading; 6] = [
    (0.5, 0.09),
    (1.0, 0.17),
    (1.5, 0.25),
    (2.0, 0.34),
    (2.5, 0.42),
    (3.0, 0.50),
];

pub fn axes() -> Axes {
    let axis = |quantity: &str, symbol: &str, unit: &str, unit_si: f64| Axis {
        quantity: quantity.to_owned(),
        symbol: symbol.to_owned(),
        unit: unit.to_owned(),
        unit_si,
        decimals: 2,
    };
    Axes {
        x: axis("current", "I", "A", 1.0),
        y: axis("balance reading", "m", "g", 1e-3),
    }
}

/// One series of readings with its lines, each reading ± `u_y` g (and ± `u_x` A when that is not 0).
pub fn analysis(readings: &[Reading], u_x: f64, u_y: f64, excluded: &[usize]) -> Analysis {
    let mut analysis = Analysis {
        axes: axes(),
        ..Analysis::default()
    };
    add_series(&mut analysis, "", readings, u_x, u_y, excluded);
    let family = analysis.families.first().cloned().unwrap_or_default();
    analysis.best_line = family.best_line;
    analysis.extreme_lines = family.extreme_lines;

    let kept = data(&analysis, 0);
    if let Some(best) = family.best_line {
        let bounds = kept.iter().fold((f64::MAX, f64::MIN), |(low, high), d| {
            (low.min(d.x), high.max(d.x))
        });
        let line = Line {
            gradient: best.gradient,
            intercept: best.intercept,
        };
        let corners = triangle::on(line, bounds.0, bounds.1, 1.0);
        analysis.triangle = corners.map(|t| Triangle {
            x1: t.x1,
            y1: t.y1,
            x2: t.x2,
            y2: t.y2,
        });
    }
    if let Ok(origin) = least_squares::through_origin(&kept) {
        analysis.origin_line = Some(OriginLine {
            gradient: origin.line.gradient,
            ..OriginLine::default()
        });
    }
    if family.best_line.is_some() && family.extreme_lines.is_none() && kept.len() > 2 {
        let suspects = extreme::suspects(&kept, bars(u_x), 3);
        let rows = suspects
            .into_iter()
            .filter_map(|index| analysis.points.get(index).map(|point| point.row))
            .collect();
        analysis.blocked = Some(Blocked {
            rows,
            smallest_half_width: 2e-5,
            boxes: u_x > 0.0,
        });
    }
    analysis
}

/// Three lengths of wire on one graph.
pub fn three_lengths() -> Analysis {
    let mut analysis = Analysis {
        axes: axes(),
        ..Analysis::default()
    };
    let run = |gradient: f64, wobble: &[f64]| -> Vec<Reading> {
        (1..)
            .zip(wobble)
            .map(|(n, w)| (f64::from(n) * 0.5, gradient * f64::from(n) * 0.5 + w))
            .collect()
    };
    add_series(
        &mut analysis,
        "20 mm",
        &run(0.11, &[0.004, -0.005, 0.006, 0.001, -0.008, 0.005]),
        0.0,
        0.02,
        &[],
    );
    add_series(
        &mut analysis,
        "40 mm",
        &run(0.23, &[-0.006, 0.009, 0.002, -0.012, 0.004, 0.003]),
        0.0,
        0.02,
        &[],
    );
    add_series(
        &mut analysis,
        "60 mm",
        &run(0.34, &[0.01, -0.004, -0.008, 0.009, 0.012, -0.01]),
        0.0,
        0.02,
        &[],
    );
    analysis
}

fn add_series(
    analysis: &mut Analysis,
    label: &str,
    readings: &[Reading],
    u_x: f64,
    u_y: f64,
    excluded: &[usize],
) {
    let family = analysis.families.len();
    let first_row = analysis.points.len() + 1;
    for (row, (x, y)) in (first_row..).zip(readings) {
        analysis.points.push(Point {
            x: *x,
            y: y * 1e-3,
            u_x: (u_x > 0.0).then_some(u_x),
            u_y: u_y * 1e-3,
            row,
            family,
            repeats: 1,
            excluded: excluded.contains(&row),
            ..Point::default()
        });
    }
    let kept = data(analysis, family);
    let fitted = least_squares::fit(&kept).ok();
    if let Some(fitted) = &fitted {
        for point in analysis
            .points
            .iter_mut()
            .filter(|point| point.family == family)
        {
            point.residual = Some(point.y - fitted.line.at(point.x));
        }
    }
    let straight = |line: Line| Straight {
        gradient: line.gradient,
        intercept: line.intercept,
    };
    let extremes = extreme::lines(&kept, bars(u_x))
        .ok()
        .map(|lines| ExtremeLines {
            steepest: straight(lines.steepest),
            shallowest: straight(lines.shallowest),
            half_difference: lines.half_difference(),
            boxes: u_x > 0.0,
            ..ExtremeLines::default()
        });
    analysis.families.push(Family {
        label: label.to_owned(),
        best_line: fitted.map(|fitted| BestLine {
            gradient: fitted.line.gradient,
            intercept: fitted.line.intercept,
            gradient_standard_error: fitted.gradient_error,
            intercept_standard_error: fitted.intercept_error,
            ..BestLine::default()
        }),
        extreme_lines: extremes,
        ..Family::default()
    });
}

fn bars(u_x: f64) -> extreme::Bars {
    if u_x > 0.0 {
        extreme::Bars::Boxes
    } else {
        extreme::Bars::Vertical
    }
}

fn data(analysis: &Analysis, family: usize) -> Vec<Datum> {
    let kept = analysis
        .points
        .iter()
        .filter(|point| point.family == family && !point.excluded);
    kept.map(|point| Datum {
        x: point.x,
        y: point.y,
        bar_x: point.u_x.unwrap_or(0.0),
        bar_y: point.u_y,
        ..Datum::default()
    })
    .collect()
}
