//! What is to be seen: marks in the units that people read, scales, lines already cut to the frame, and what is said
//! about them.
//!
//! Start at [`Scene::graph`] and [`Scene::residuals`]. A scene knows nothing of pixels; [`super::layout`] does.

use yokeline_core::job::Fit;
use yokeline_core::job::output::{Analysis, Axes, Axis, BestLine, Point, Straight};

use super::clip::{self, Place, Window};
use super::layout::text_width;
use super::ticks::{Extent, LARGEST, Scale, Zero};
use super::wording::{self, unit_si};

/// More points than this are thinned out before they are drawn.
pub const MOST_POINTS_DRAWN: usize = 3000;

/// What the reader would like to see on the graph.
#[derive(Clone, Debug, PartialEq)]
pub struct GraphChoice {
    /// Over the graph; made from the axes when empty.
    pub title: String,
    /// The error bars.
    pub bars: bool,
    /// The steepest and the shallowest line.
    pub worst_lines: bool,
    /// The best line through the origin, beside the best line.
    pub through_origin: bool,
    /// The gradient triangle.
    pub triangle: bool,
    /// What each kind of line and mark means, above the frame.
    pub key: bool,
    /// Paper and scales only: for a sheet on which the student plots the points.
    pub blank: bool,
}

impl Default for GraphChoice {
    fn default() -> GraphChoice {
        GraphChoice {
            title: String::new(),
            bars: true,
            worst_lines: true,
            through_origin: false,
            triangle: true,
            key: true,
            blank: false,
        }
    }
}

/// Everything that one picture shows, and what is said about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Graph, paper or residual strip.
    pub kind: Kind,
    /// Over the frame; may be empty.
    pub title: String,
    /// The horizontal axis.
    pub x: Ruled,
    /// The vertical axis.
    pub y: Ruled,
    /// Every point that has a place, in the order of the analysis; most are drawn, some are only read out.
    pub points: Vec<Mark>,
    /// Which of `points` are drawn.
    pub drawn: Vec<usize>,
    /// Whether their error bars are drawn.
    pub bars: bool,
    /// Straight lines, cut to the frame.
    pub lines: Vec<Line>,
    /// The gradient triangle.
    pub triangle: Option<Corners>,
    /// The labels of the series; one empty label when there is one series.
    pub series: Vec<String>,
    /// What each kind of line and mark means.
    pub key: Vec<KeyEntry>,
    /// Whether `key` is drawn.
    pub key_drawn: bool,
    /// The equations of the best lines with units; each with the label of its series before it when there are several.
    pub equations: Vec<String>,
    /// The intercept of the only best line, with its unit.
    pub intercept: Option<String>,
    /// Sentences to stand under the graph: what was done about the origin, what is not in view, what is not drawn.
    pub remarks: Vec<String>,
    /// What to say in the frame when there is nothing to draw.
    pub empty: Option<String>,
    /// The selected point, as an index into the points of the analysis.
    pub selected: Option<usize>,
    /// Room for the texts left of the frame, in heights of their type.
    pub room_left: f64,
    /// Room for the texts right of the frame, in heights of their type.
    pub room_right: f64,
}

/// Graph, paper or residual strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// y against x.
    Graph,
    /// The paper and scales of a graph, without anything on it.
    Paper,
    /// Distance from the line against x.
    Residuals,
}

/// An axis with its scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Ruled {
    /// Quantity, symbol, unit and decimals.
    pub axis: Axis,
    /// Where it begins and ends, and its ticks.
    pub scale: Scale,
    /// `I / A`
    pub heading: String,
}

/// One point in axis units.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Index into the points of the analysis.
    pub index: usize,
    /// Row, from 1.
    pub row: usize,
    /// Horizontal value.
    pub x: f64,
    /// Vertical value.
    pub y: f64,
    /// Half-width of the horizontal bar.
    pub u_x: Option<f64>,
    /// Half-width of the vertical bar; 0 for none.
    pub u_y: f64,
    /// Index into the series.
    pub family: usize,
    /// Whether it was left out of the line.
    pub excluded: bool,
}

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineKind {
    /// The best line.
    Best,
    /// The steepest line through every bar.
    Steepest,
    /// The shallowest line through every bar.
    Shallowest,
    /// The best line through the origin.
    ThroughOrigin,
}

/// A straight line, cut to the frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is.
    pub kind: LineKind,
    /// Index into the series.
    pub family: usize,
    /// Its left end.
    pub from: Place,
    /// Its right end.
    pub to: Place,
    /// What it is, with its gradient and unit: `Best line: gradient 0.1666 g/A`.
    pub text: String,
}

/// The gradient triangle: its two corners on the best line, left one first.
#[derive(Clone, Debug, PartialEq)]
pub struct Corners {
    /// Left corner.
    pub first: Place,
    /// Right corner.
    pub second: Place,
    /// Their coordinates with units.
    pub labels: [String; 2],
}

/// One entry of the key.
#[derive(Clone, Debug, PartialEq)]
pub struct KeyEntry {
    /// What it looks like.
    pub sample: Sample,
    /// A word or two.
    pub text: String,
}

/// What an entry of the key looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sample {
    /// A point of a series.
    Point(usize),
    /// A point left out of the line.
    Excluded,
    /// A line of a series.
    Line(LineKind, usize),
    /// The sides of the triangle.
    Triangle,
}

impl Scene {
    /// The graph of an analysis.
    pub fn graph(analysis: &Analysis, choice: &GraphChoice) -> Scene {
        let axes = &analysis.axes;
        let points = marks(analysis, |index| {
            analysis.points.get(index).map(|point| point.y)
        });
        let straights = if choice.blank {
            Vec::new()
        } else {
            straights(analysis, choice)
        };
        let x = Ruled::new(&axes.x, horizontal(&points, &axes.x));
        let y = Ruled::new(
            &axes.y,
            vertical(&points, &axes.y, &x.scale, &straights, choice.bars),
        );
        let window = window(&x.scale, &y.scale);

        let mut scene = Scene::bare(Kind::Graph, x, y, points);
        scene.title = if choice.title.trim().is_empty() {
            usual_title(axes)
        } else {
            choice.title.trim().to_owned()
        };
        scene.series = labels(analysis);
        scene.key_drawn = choice.key;
        if choice.blank {
            scene.tell_about_origin();
            return Scene {
                kind: Kind::Paper,
                points: Vec::new(),
                drawn: Vec::new(),
                ..scene
            };
        }
        scene.bars = choice.bars && scene.bars;
        scene.tell_about_points(
            analysis.points.len(),
            "Nothing to draw yet: the readings in the table give no points.",
        );
        if scene.empty.is_some() {
            return scene;
        }
        scene.tell_about_origin();
        scene.lines = straights
            .iter()
            .filter_map(|line| line.cut(&window))
            .collect();
        scene.equations = equations(analysis);
        if let ([(_, _, line)], false) = (
            best_lines(analysis).as_slice(),
            analysis.fit == Fit::ThroughOrigin,
        ) {
            scene.intercept = Some(wording::intercept(line, axes));
        }
        scene.triangle = analysis
            .triangle
            .filter(|_| choice.triangle && scene.series.len() < 2)
            .and_then(|triangle| {
                let first = (
                    triangle.x1 / unit_si(&axes.x),
                    triangle.y1 / unit_si(&axes.y),
                );
                let second = (
                    triangle.x2 / unit_si(&axes.x),
                    triangle.y2 / unit_si(&axes.y),
                );
                let labels = [corner(first, &scene), corner(second, &scene)];
                (window.holds(first) && window.holds(second)).then_some(Corners {
                    first,
                    second,
                    labels,
                })
            });
        scene.key = key(&scene);
        if scene.series.len() > 1 {
            scene.room_right = 1.0 + widest(scene.series.iter().map(String::as_str));
        }
        scene.tell_about_lines(analysis, choice);
        scene
    }

    /// The residual strip of an analysis: how far each point lies above its best line, against x.
    ///
    /// Its horizontal scale is that of [`Scene::graph`].
    pub fn residuals(analysis: &Analysis) -> Scene {
        let axes = &analysis.axes;
        let all = marks(analysis, |index| {
            analysis.points.get(index).map(|point| point.y)
        });
        let points = marks(analysis, |index| {
            analysis.points.get(index).and_then(|point| point.residual)
        });
        let x = Ruled::new(&axes.x, horizontal(&all, &axes.x));

        let resolution = resolution(&axes.y);
        let reach = |marks: &mut dyn Iterator<Item = &Mark>| {
            marks
                .map(|mark| mark.y.abs() + mark.u_y)
                .fold(0.0, f64::max)
        };
        let kept_reach = reach(&mut points.iter().filter(|mark| !mark.excluded));
        let full_reach = reach(&mut points.iter());
        // A point that was left out because it is far away would press the others flat against the zero line.
        let wanted = if kept_reach > 0.0 && full_reach > 3.0 * kept_reach {
            kept_reach
        } else {
            full_reach
        };
        let scale = Scale::symmetric(wanted, resolution);
        let axis = Axis {
            quantity: "distance from the line".to_owned(),
            symbol: "residual".to_owned(),
            decimals: axes.y.decimals + 1,
            ..axes.y.clone()
        };
        let y = Ruled::new(&axis, scale);

        let mut scene = Scene::bare(Kind::Residuals, x, y, points);
        scene.series = labels(analysis);
        scene.tell_about_points(
            scene.points.len(),
            "Nothing to draw yet: residuals need a best line.",
        );
        scene
    }

    /// The rectangle of the frame in axis units.
    pub fn window(&self) -> Window {
        window(&self.x.scale, &self.y.scale)
    }

    /// Gives two scenes of one width the same room beside their frames, so that one may stand under the other.
    pub fn line_up(&mut self, other: &mut Scene) {
        let left = self.room_left.max(other.room_left);
        let right = self.room_right.max(other.room_right);
        (self.room_left, other.room_left) = (left, left);
        (self.room_right, other.room_right) = (right, right);
    }

    fn bare(kind: Kind, x: Ruled, y: Ruled, points: Vec<Mark>) -> Scene {
        let window = window(&x.scale, &y.scale);
        let drawn = thin_out(&points, &window);
        // Bars of thousands of points are a smear.
        let bars = drawn.len() == points.len();
        Scene {
            kind,
            title: String::new(),
            points,
            drawn,
            bars,
            lines: Vec::new(),
            triangle: None,
            series: Vec::new(),
            key: Vec::new(),
            key_drawn: false,
            equations: Vec::new(),
            intercept: None,
            remarks: Vec::new(),
            empty: None,
            selected: None,
            room_left: widest(y.scale.ticks.iter().map(|tick| tick.text.as_str())),
            room_right: 0.0,
            x,
            y,
        }
    }

    /// What is not to be seen of the points, of which `given` came with the analysis; `nothing` when there is none.
    fn tell_about_points(&mut self, given: usize, nothing: &str) {
        if self.points.is_empty() {
            self.empty = Some(nothing.to_owned());
            return;
        }
        if given > self.points.len() {
            let missing = wording::counted(given - self.points.len(), "point");
            self.remarks.push(format!(
                "Not in the picture: {missing} with values too large to plot."
            ));
        }
        if self.drawn.len() < self.points.len() {
            self.remarks.push(format!(
                "{} of {} points are drawn, without error bars: the others would lie on top of them.",
                self.drawn.len(),
                self.points.len()
            ));
        }
        let window = self.window();
        let outside = self
            .points
            .iter()
            .filter(|mark| !window.holds((mark.x, mark.y)));
        let outside: Vec<usize> = outside.map(|mark| mark.row).collect();
        let reach = |ruled: &Ruled, value: f64, half: f64| {
            let air = 0.03 * (ruled.scale.max - ruled.scale.min);
            half > 0.0
                && (value - half < ruled.scale.min - air || value + half > ruled.scale.max + air)
        };
        let cut = |mark: &Mark| {
            reach(&self.x, mark.x, mark.u_x.unwrap_or(0.0)) || reach(&self.y, mark.y, mark.u_y)
        };
        if self.bars && self.points.iter().any(|mark| !mark.excluded && cut(mark)) {
            self.remarks.push(
                "Some error bars are longer than the scales and run out of the frame.".to_owned(),
            );
        }
        if !outside.is_empty() {
            let (verb, pronoun) = if outside.len() == 1 {
                ("lies", "it")
            } else {
                ("lie", "they")
            };
            self.remarks.push(format!(
                "{} (left out of the line) {verb} beyond the frame, where an arrow points: in view, {pronoun} would press \
                 the other points together.",
                wording::capitalised(&wording::rows(&outside)),
            ));
        }
    }

    fn tell_about_origin(&mut self) {
        let flat = |values: &mut dyn Iterator<Item = f64>| {
            Extent::of(values).is_none_or(|extent| extent.low == extent.high)
        };
        let same = |ruled: &Ruled, is_flat: bool| {
            is_flat.then(|| format!("All points have the same {}.", name(&ruled.axis)))
        };
        let sentences = [
            same(
                &self.x,
                self.points.len() > 1 && flat(&mut self.points.iter().map(|mark| mark.x)),
            ),
            same(
                &self.y,
                self.points.len() > 1 && flat(&mut self.points.iter().map(|mark| mark.y)),
            ),
        ];
        let (x, y) = (name(&self.x.axis), name(&self.y.axis));
        let origin = match (self.x.scale.zero, self.y.scale.zero) {
            (Zero::Shown, Zero::Shown) => {
                "Both scales show zero, so the origin is on the graph.".to_owned()
            }
            (Zero::Shown, Zero::LeftOut) => begins_elsewhere(&format!("The {y} scale does")),
            (Zero::LeftOut, Zero::Shown) => begins_elsewhere(&format!("The {x} scale does")),
            (Zero::LeftOut, Zero::LeftOut) => begins_elsewhere("The two scales do"),
        };
        self.remarks
            .extend(sentences.into_iter().flatten().chain([origin]));
    }

    fn tell_about_lines(&mut self, analysis: &Analysis, choice: &GraphChoice) {
        if self.lines.is_empty() {
            let sentence = "There is no line: at least two points with different values along the horizontal axis are needed.";
            self.remarks.push(sentence.to_owned());
        }
        if let Some(blocked) = &analysis.blocked {
            let bars = if blocked.boxes {
                "error box"
            } else {
                "error bar"
            };
            let without = match blocked.rows.as_slice() {
                [] => String::new(),
                rows => format!("; without {} one would", wording::rows(rows)),
            };
            self.remarks.push(format!(
                "No straight line passes through every {bars}{without}."
            ));
        }
        if self.series.len() > 1 && choice.worst_lines {
            self.remarks.push(
                "With several series on one graph, only their best lines are drawn.".to_owned(),
            );
        }
    }
}

impl Ruled {
    fn new(axis: &Axis, scale: Scale) -> Ruled {
        let heading = wording::heading(&axis.symbol, &axis.unit, scale.power);
        Ruled {
            axis: axis.clone(),
            scale,
            heading,
        }
    }

    /// Decimal places to tell a place on this axis to: those of the instrument, or of the steps where these are finer.
    pub fn decimals(&self) -> i32 {
        self.axis.decimals.max(self.scale.decimals())
    }
}

/// A line over the whole of x, before it is cut.
struct Uncut {
    kind: LineKind,
    family: usize,
    /// In axis units.
    line: Straight,
    text: String,
}

impl Uncut {
    fn cut(&self, window: &Window) -> Option<Line> {
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
fn straights(analysis: &Analysis, choice: &GraphChoice) -> Vec<Uncut> {
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

fn equations(analysis: &Analysis) -> Vec<String> {
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
fn best_lines(analysis: &Analysis) -> Vec<(usize, String, BestLine)> {
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

fn labels(analysis: &Analysis) -> Vec<String> {
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
fn marks(analysis: &Analysis, height: impl Fn(usize) -> Option<f64>) -> Vec<Mark> {
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

fn horizontal(points: &[Mark], axis: &Axis) -> Scale {
    decide(points, axis, |mark| (mark.x, mark.u_x.unwrap_or(0.0)), None)
}

fn vertical(points: &[Mark], axis: &Axis, x: &Scale, lines: &[Uncut], bars: bool) -> Scale {
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
fn decide(
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
fn resolution(axis: &Axis) -> f64 {
    format!("1e{}", -axis.decimals.clamp(-12, 12))
        .parse()
        .unwrap_or(1.0)
}

fn window(x: &Scale, y: &Scale) -> Window {
    Window {
        left: x.min,
        right: x.max,
        bottom: y.min,
        top: y.max,
    }
}

/// Which points to draw: all, or when there are thousands, the first in each cell of a fine net, and all outside it.
fn thin_out(points: &[Mark], window: &Window) -> Vec<usize> {
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

fn key(scene: &Scene) -> Vec<KeyEntry> {
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
    if scene.triangle.is_some() {
        add(Sample::Triangle, "triangle");
    }
    key
}

/// The width of the widest text, in heights of its type.
fn widest<'a>(texts: impl Iterator<Item = &'a str>) -> f64 {
    texts.map(|text| text_width(text, 1.0)).fold(0.0, f64::max)
}

/// The coordinates of a corner with units, y with one figure more than was read, since it is read from the line.
fn corner((x, y): Place, scene: &Scene) -> String {
    let text = |ruled: &Ruled, value: f64, more: i32| {
        wording::with_unit(
            &wording::number(value, ruled.decimals() + more),
            &ruled.axis.unit,
        )
    };
    format!("({}, {})", text(&scene.x, x, 0), text(&scene.y, y, 1))
}

fn usual_title(axes: &Axes) -> String {
    let (x, y) = (named(&axes.x), named(&axes.y));
    match (x.is_empty(), y.is_empty()) {
        (false, false) => format!("{} against {x}", wording::capitalised(&y)),
        _ => String::new(),
    }
}

/// Quantity and symbol: `current I`.
pub(super) fn named(axis: &Axis) -> String {
    [axis.quantity.as_str(), axis.symbol.as_str()]
        .join(" ")
        .trim()
        .to_owned()
}

fn name(axis: &Axis) -> &str {
    if axis.quantity.is_empty() {
        &axis.symbol
    } else {
        &axis.quantity
    }
}

fn begins_elsewhere(subject: &str) -> String {
    format!(
        "{subject} not begin at zero: with zero in view, the points would not fill half of the axis."
    )
}
