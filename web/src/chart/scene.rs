//! What is to be seen: marks in the units that people read, scales, lines already cut to the frame, and what is said
//! about them.
//!
//! Start at [`Scene::graph`] and [`Scene::residuals`]. A scene knows nothing of pixels; [`super::layout`] does.

use yokeline_core::job::Fit;
use yokeline_core::job::output::{Analysis, Axis};

use super::clip::{Place, Window};
use super::compose::{
    bands, best_lines, corner, equations, horizontal, key, labels, marks, resolution, straights,
    thin_out, usual_title, vertical, widest, window,
};
use super::ticks::Scale;
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
    /// How well the line is known, and where one new reading is to be expected, both at 95 %.
    pub band: bool,
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
            band: false,
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
    /// The edges of the bands about the only best line, in pieces cut to the frame.
    pub bands: Vec<BandEdge>,
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
    /// The points with a ring about them, as indices into the points of the analysis.
    pub selected: Vec<usize>,
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

/// What lies between two edges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BandKind {
    /// The true line, with 95 % confidence at any one x.
    Line,
    /// One new reading, likewise.
    Reading,
}

/// A piece of the edge of a band.
#[derive(Clone, Debug, PartialEq)]
pub struct BandEdge {
    /// Which band.
    pub kind: BandKind,
    /// Its places, from left to right.
    pub places: Vec<Place>,
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
    /// The edge of a band.
    Band(BandKind),
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
        if choice.band {
            scene.bands = bands(analysis, &window);
        }
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
            bands: Vec::new(),
            triangle: None,
            series: Vec::new(),
            key: Vec::new(),
            key_drawn: false,
            equations: Vec::new(),
            intercept: None,
            remarks: Vec::new(),
            empty: None,
            selected: Vec::new(),
            room_left: widest(y.scale.ticks.iter().map(|tick| tick.text.as_str())),
            room_right: 0.0,
            x,
            y,
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
