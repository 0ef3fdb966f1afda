//! What a scene is made of: points in axis units, the scales that suit them, lines over the whole axis, and the key.

use yokeline_core::job::Fit;
use yokeline_core::job::output::{Analysis, Axes, Axis, BestLine, Point, Straight};

use super::clip::{self, Place, Window};
use super::layout::text_width;
use super::scene::{
    BandEdge, BandKind, GraphChoice, KeyEntry, Line, LineKind, MOST_POINTS_DRAWN, Mark, Ruled,
    Sample, Scene,
};
use super::ticks::{Extent, LARGEST, Scale};
use super::wording::{self, unit_si};

/// A line over the whole of x, before it is cut.
pub(super) struct Uncut {
    kind: LineKind,
    family: usize,
    /// In axis units.
    line: Straight,
    text: String,
}

impl Uncut {
    pub fn cut(&self, window: &Window) -> Option<Line> {
        let (from, to) = clip::straight(self.line.gradient, self.line.intercept, window)?;
        Some(Line {
            kind: self.kind,
            family: self.family,
            from,
            to,
            text: self.text.clone(),
        })
    }

    fn at(&self, x: f64) -> f64 {
        self.line.gradient * x + self.line.intercept
    }
}

/// The lines that are wanted, in the order in which they are drawn: the best ones on top.
pub(super) fn straights(analysis: &Analysis, choice: &GraphChoice) -> Vec<Uncut> {
    let axes = &analysis.axes;
    let in_units = |line: Straight| Straight {
        gradient: line.gradient * unit_si(&axes.x) / unit_si(&axes.y),
        intercept: line.intercept / unit_si(&axes.y),
    };
    let other = |kind: LineKind, name: &str, line: Straight| Uncut {
        kind,
        family: 0,
        line: in_units(line),
        text: format!("{name}: gradient {}", wording::gradient(&line, axes)),
    };
    let mut lines = Vec::new();
    let alone = analysis.families.len() < 2;
    let extremes = analysis.extreme_lines.or_else(|| {
        analysis
            .families
            .first()
            .and_then(|family| family.extreme_lines)
    });
    if let Some(extremes) = extremes.filter(|_| alone && choice.worst_lines) {
        lines.push(other(
            LineKind::Steepest,
            "Steepest line",
            extremes.steepest,
        ));
        lines.push(other(
            LineKind::Shallowest,
            "Shallowest line",
            extremes.shallowest,
        ));
    }
    let forced = analysis.fit == Fit::ThroughOrigin;
    if let Some(origin) = analysis
        .origin_line
        .filter(|_| alone && choice.through_origin && !forced)
    {
        let line = Straight {
            gradient: origin.gradient,
            intercept: 0.0,
        };
        lines.push(other(
            LineKind::ThroughOrigin,
            "Line through the origin",
            line,
        ));
    }
    for (family, label, best) in best_lines(analysis) {
        let name = if forced {
            "Best line through the origin"
        } else {
            "Best line"
        };
        let name = if label.is_empty() {
            name.to_owned()
        } else {
            format!("{name}, {label}")
        };
        lines.push(Uncut {
            kind: LineKind::Best,
            family,
            line: in_units(Straight {
                gradient: best.gradient,
                intercept: best.intercept,
            }),
            text: format!("{name}: gradient {}", wording::best_gradient(&best, axes)),
        });
    }
    lines
}

/// Into so many pieces the curved edge of a band is cut: at the width of a page none is seen as straight.
const BAND_PIECES: usize = 48;

/// The edges of both bands of the only best line.
pub(super) fn bands(analysis: &Analysis, window: &Window) -> Vec<BandEdge> {
    let best = best_lines(analysis);
    let ([(_, _, line)], axes) = (best.as_slice(), &analysis.axes) else {
        return Vec::new();
    };
    let Some(band) = line.band else {
        return Vec::new();
    };
    let (unit_x, unit_y) = (unit_si(&axes.x), unit_si(&axes.y));
    let edge = |kind: BandKind, side: f64| {
        let half = |x: f64| match kind {
            BandKind::Line => band.half_width(x),
            BandKind::Reading => band.half_width_of_reading(x),
        };
        let place = |piece: usize| {
            let share = piece as f64 / BAND_PIECES as f64;
            let x = window.left + share * (window.right - window.left);
            let x_si = x * unit_x;
            (
                x,
                (line.gradient * x_si + line.intercept + side * half(x_si)) / unit_y,
            )
        };
        let mut pieces: Vec<BandEdge> = Vec::new();
        for piece in 0..BAND_PIECES {
            let Some((from, to)) = clip::segment(place(piece), place(piece + 1), window) else {
                continue;
            };
            match pieces.last_mut() {
                Some(last) if last.places.last() == Some(&from) => last.places.push(to),
                _ => pieces.push(BandEdge {
                    kind,
                    places: vec![from, to],
                }),
            }
        }
        pieces
    };
    let sides = |kind| [edge(kind, -1.0), edge(kind, 1.0)].concat();
    [sides(BandKind::Line), sides(BandKind::Reading)].concat()
}

pub(super) fn equations(analysis: &Analysis) -> Vec<String> {
    let axes = &analysis.axes;
    let told = |(_, label, line): (usize, String, _)| {
        let equation = wording::equation(&line, axes);
        if label.is_empty() {
            equation
        } else {
            format!("{label}: {equation}")
        }
    };
    best_lines(analysis).into_iter().map(told).collect()
}

/// The best line of each series that has one, with the index and label of the series.
pub(super) fn best_lines(analysis: &Analysis) -> Vec<(usize, String, BestLine)> {
    if analysis.families.len() < 2 {
        let first = analysis.families.first();
        let line = analysis
            .best_line
            .or_else(|| first.and_then(|family| family.best_line));
        return line
            .map(|line| {
                (
                    0,
                    first.map(|family| family.label.clone()).unwrap_or_default(),
                    line,
                )
            })
            .into_iter()
            .collect();
    }
    let each = analysis.families.iter().enumerate();
    each.filter_map(|(index, family)| {
        family
            .best_line
            .map(|line| (index, family.label.clone(), line))
    })
    .collect()
}

pub(super) fn labels(analysis: &Analysis) -> Vec<String> {
    if analysis.families.is_empty() {
        return vec![String::new()];
    }
    analysis
        .families
        .iter()
        .map(|family| family.label.clone())
        .collect()
}

/// The points that have a place, with `height` (SI) as their vertical value.
pub(super) fn marks(analysis: &Analysis, height: impl Fn(usize) -> Option<f64>) -> Vec<Mark> {
    let (unit_x, unit_y) = (unit_si(&analysis.axes.x), unit_si(&analysis.axes.y));
    let usable = |value: f64| value.is_finite() && value.abs() < LARGEST;
    let mark = |(index, point): (usize, &Point)| {
        let (x, y) = (point.x / unit_x, height(index)? / unit_y);
        let half = |width: f64| {
            if usable(width) && width > 0.0 {
                width
            } else {
                0.0
            }
        };
        (usable(x) && usable(y)).then(|| Mark {
            index,
            row: point.row,
            x,
            y,
            u_x: point
                .u_x
                .map(|width| half(width / unit_x))
                .filter(|width| *width > 0.0),
            u_y: half(point.u_y / unit_y),
            family: point.family,
            excluded: point.excluded,
        })
    };
    analysis
        .points
        .iter()
        .enumerate()
        .filter_map(mark)
        .collect()
}

pub(super) fn horizontal(points: &[Mark], axis: &Axis) -> Scale {
    decide(points, axis, |mark| (mark.x, mark.u_x.unwrap_or(0.0)), None)
}

pub(super) fn vertical(
    points: &[Mark],
    axis: &Axis,
    x: &Scale,
    lines: &[Uncut],
    bars: bool,
) -> Scale {
    let best = lines.iter().filter(|line| line.kind == LineKind::Best);
    let ends = Extent::of(
        best.flat_map(|line| [line.at(x.min), line.at(x.max)])
            .filter(|y| y.abs() < LARGEST),
    );
    decide(
        points,
        axis,
        |mark| (mark.y, if bars { mark.u_y } else { 0.0 }),
        ends,
    )
}

/// A scale for one coordinate of the points; `line_ends` should be in view as well.
pub(super) fn decide(
    points: &[Mark],
    axis: &Axis,
    coordinate: impl Fn(&Mark) -> (f64, f64),
    line_ends: Option<Extent>,
) -> Scale {
    let values = |keep: &dyn Fn(&Mark) -> bool, reach: f64| {
        Extent::of(points.iter().filter(|mark| keep(mark)).flat_map(|mark| {
            let (value, half) = coordinate(mark);
            [value - reach * half, value + reach * half]
        }))
    };
    let all = |_: &Mark| true;
    let kept = |mark: &Mark| !mark.excluded;
    let Some(everything) = values(&all, 0.0) else {
        return Scale::unit();
    };
    let dear = values(&kept, 0.0).unwrap_or(everything);
    let wish = |extent: Option<Extent>| {
        let bars = extent.unwrap_or(dear);
        [line_ends.map_or(bars, |ends| bars.and(ends)), bars]
    };
    let rounds = [
        wish(values(&all, 1.0)),
        wish(Some(everything)),
        wish(values(&kept, 1.0)),
    ];
    Scale::decide(dear, &rounds, resolution(axis))
}

/// One unit in the last decimal place of the instrument.
pub(super) fn resolution(axis: &Axis) -> f64 {
    format!("1e{}", -axis.decimals.clamp(-12, 12))
        .parse()
        .unwrap_or(1.0)
}

pub(super) fn window(x: &Scale, y: &Scale) -> Window {
    Window {
        left: x.min,
        right: x.max,
        bottom: y.min,
        top: y.max,
    }
}

/// Which points to draw: all, or when there are thousands, the first in each cell of a fine net, and all outside it.
pub(super) fn thin_out(points: &[Mark], window: &Window) -> Vec<usize> {
    if points.len() <= MOST_POINTS_DRAWN {
        return (0..points.len()).collect();
    }
    let mut cells = 128_usize;
    loop {
        let mut seen = vec![false; cells * cells];
        let cell = |value: f64, low: f64, high: f64| {
            (((value - low) / (high - low) * cells as f64) as usize).min(cells - 1)
        };
        let drawn: Vec<usize> = points
            .iter()
            .enumerate()
            .filter(|(_, mark)| {
                let at = window.clamp((mark.x, mark.y));
                let place = cell(at.0, window.left, window.right) * cells
                    + cell(at.1, window.bottom, window.top);
                seen.get_mut(place)
                    .is_some_and(|seen| !std::mem::replace(seen, true))
            })
            .map(|(index, _)| index)
            .collect();
        if drawn.len() <= MOST_POINTS_DRAWN || cells <= 16 {
            return drawn;
        }
        cells /= 2;
    }
}

pub(super) fn key(scene: &Scene) -> Vec<KeyEntry> {
    let mut key = Vec::new();
    let mut add = |sample, text: &str| {
        key.push(KeyEntry {
            sample,
            text: text.to_owned(),
        })
    };
    // Several series are labelled at the ends of their lines, and again here for those that have none.
    if scene.series.len() > 1 {
        for (family, label) in scene.series.iter().enumerate() {
            add(Sample::Point(family), label);
        }
    } else {
        add(
            Sample::Point(0),
            if scene.bars {
                "reading ± uncertainty"
            } else {
                "reading"
            },
        );
    }
    if scene.points.iter().any(|mark| mark.excluded) {
        add(Sample::Excluded, "left out of the line");
    }
    let named = [
        (LineKind::Best, "best line"),
        (LineKind::Steepest, "steepest"),
        (LineKind::Shallowest, "shallowest"),
        (LineKind::ThroughOrigin, "through the origin"),
    ];
    for (kind, name) in named {
        let told_already = kind == LineKind::Best && scene.series.len() > 1;
        if !told_already && scene.lines.iter().any(|line| line.kind == kind) {
            add(Sample::Line(kind, 0), name);
        }
    }
    for (kind, name) in [
        (BandKind::Line, "line, 95 %"),
        (BandKind::Reading, "a new reading, 95 %"),
    ] {
        if scene.bands.iter().any(|edge| edge.kind == kind) {
            add(Sample::Band(kind), name);
        }
    }
    if scene.triangle.is_some() {
        add(Sample::Triangle, "triangle");
    }
    key
}

/// The width of the widest text, in heights of its type.
pub(super) fn widest<'a>(texts: impl Iterator<Item = &'a str>) -> f64 {
    texts.map(|text| text_width(text, 1.0)).fold(0.0, f64::max)
}

/// The coordinates of a corner with units, y with one figure more than was read, since it is read from the line.
pub(super) fn corner((x, y): Place, scene: &Scene) -> String {
    let text = |ruled: &Ruled, value: f64, more: i32| {
        wording::with_unit(
            &wording::number(value, ruled.decimals() + more),
            &ruled.axis.unit,
        )
    };
    format!("({}, {})", text(&scene.x, x, 0), text(&scene.y, y, 1))
}

pub(super) fn usual_title(axes: &Axes) -> String {
    let (x, y) = (wording::named(&axes.x), wording::named(&axes.y));
    match (x.is_empty(), y.is_empty()) {
        (false, false) => format!("{} against {x}", wording::capitalised(&y)),
        _ => String::new(),
    }
}
