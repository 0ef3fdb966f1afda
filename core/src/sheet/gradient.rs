//! The gradient: read off the drawn line by a triangle, found by least squares, and bounded by the worst acceptable
//! lines.

use super::algebra::{Formula, Term, measure, minus, over, product};
use super::scale::{Scale, figures_for_difference, number, working_figures};
use super::{Block, Found, Given, Method, Section, Topic, WorstLineRule, words};
use crate::figures::round::{decimals_for, shortest, to_decimals, typeset};
use crate::line::Fitted;
use crate::line::extreme::Extremes;
use crate::line::triangle::Triangle;
use crate::line::with_drift::WithDrift;

/// Gradient and intercept of every series.
pub(super) fn section(given: &Given) -> Section {
    let mut blocks = Vec::new();
    let several = given.found.len() > 1;
    for (family, found) in given.found.iter().enumerate() {
        if several {
            blocks.push(Block::Subheading(words::series(given, family)));
        }
        match found.best {
            Some(best) => blocks.extend(one(given, family, found, &best)),
            None => blocks.push(Block::Text(words::no_line(given, family))),
        }
    }
    Section {
        topic: Topic::Gradient,
        heading: "Gradient and intercept".to_owned(),
        blocks,
    }
}

fn one(given: &Given, family: usize, found: &Found, best: &Fitted) -> Vec<Block> {
    let mut blocks = Vec::new();
    let figures = working_figures(given, found);
    if let Some(triangle) = found.triangle {
        blocks.push(by_triangle(given, &triangle, best, figures));
    }
    match &found.drift {
        Some(drift) => blocks.extend(with_drift(given, best, drift, figures)),
        None => blocks.extend(by_fit(given, family, best, figures)),
    }
    blocks.push(Block::Text(words::zero(given, best)));
    if given.way.school() {
        blocks.extend(worst_lines(given, found, best, figures));
    }
    if let Some(sentences) = worth(given, found, best) {
        blocks.push(Block::Subheading("What the line is worth".to_owned()));
        blocks.push(Block::List(sentences));
    }
    blocks
}

/// What is to be said of the line beyond its errors; `None` for a line of two points.
fn worth(given: &Given, found: &Found, best: &Fitted) -> Option<Vec<String>> {
    // A scatter that hides in the steps of the balance tells nothing.
    if words::hidden_in_steps(given, best) {
        return None;
    }
    let mut sentences = vec![words::chi_squared(given, best), words::patterns(found)];
    // For each of several series it would fill pages.
    if given.found.len() == 1 {
        sentences.push(words::prediction(given, best));
        sentences.push(words::inverse(given, found, best));
    }
    let sentences: Vec<String> = sentences.into_iter().flatten().collect();
    (!sentences.is_empty()).then_some(sentences)
}

/// The line and the drift found together. Its sums would fill a page and teach nothing: the results stand here.
fn with_drift(given: &Given, best: &Fitted, drift: &WithDrift, figures: u32) -> Vec<Block> {
    let scale = Scale::of(given.readings);
    let rate = |value: f64| words::drift_rate(given, value, figures);
    let of = |letter| Term::StandardOf(Box::new(Term::Symbol(letter)));
    let mut blocks = vec![Block::step(
        words::with_drift(best.points),
        vec![
            Formula::equal(
                Term::Symbol("b"),
                scale.gradient_term(best.line.gradient, figures),
            ),
            Formula::equal(Term::Symbol("c"), rate(drift.rate)),
            Formula::equal(
                Term::Symbol("a"),
                measure(scale.y.text(best.line.intercept, 2), scale.y.unit()),
            ),
        ],
    )];
    if !given.way.standard() {
        return blocks;
    }
    let (Some(error), Some(s)) = (best.gradient_error, best.residual_sd) else {
        blocks.push(Block::Text(words::NO_STANDARD_ERROR.to_owned()));
        return blocks;
    };
    let freedom = minus(Term::Symbol("n"), Term::Number("3".to_owned()));
    let spread = Term::Root(Box::new(over(
        Term::Total(Box::new(Term::Squared(Box::new(Term::Symbol("d"))))),
        freedom,
    )));
    let mut lines = vec![
        Formula::equal(Term::Symbol("s"), spread).and(scale.y.term(s, figures)),
        Formula::equal(of("b"), scale.gradient_term(error, 3)),
    ];
    if let Some(error) = drift.rate_error {
        lines.push(Formula::equal(of("c"), rate(error)));
    }
    blocks.push(Block::step(words::drift_errors(best), lines));
    blocks
}

fn by_triangle(given: &Given, triangle: &Triangle, best: &Fitted, figures: u32) -> Block {
    let Scale { x, y } = Scale::of(given.readings);
    let (x1, x2) = (x.shown(triangle.x1), x.shown(triangle.x2));
    let (y1, y2) = (y.shown(triangle.y1), y.shown(triangle.y2));
    // Grid corners are short decimals; ends of the line may be any number, and are cut to the instrument's places.
    let places = |v: f64| {
        shortest(v)
            .split_once('.')
            .map_or(0, |(_, f)| f.len())
            .min(6) as i32
    };
    let x_places = x
        .decimals
        .max(places(x1).max(places(x2)).min(x.decimals + 2));
    let y_places = decimals_for(y2 - y1, figures).max(y.decimals);
    let at = |v: f64, places: i32| typeset(&to_decimals(v, places));
    let measured = |v: f64, places: i32, unit: &str| {
        let term = measure(at(v, places), unit);
        if v < 0.0 {
            Term::Bracket(Box::new(term))
        } else {
            term
        }
    };
    let corner = |cx: f64, cy: f64| {
        format!(
            "({}, {})",
            super::algebra::with_unit(&at(cx, x_places), x.unit()),
            super::algebra::with_unit(&at(cy, y_places), y.unit())
        )
    };
    let letters = over(
        minus(Term::Indexed(y.letter, "2"), Term::Indexed(y.letter, "1")),
        minus(Term::Indexed(x.letter, "2"), Term::Indexed(x.letter, "1")),
    );
    let numbers = over(
        minus(
            measure(at(y2, y_places), y.unit()),
            measured(y1, y_places, y.unit()),
        ),
        minus(
            measure(at(x2, x_places), x.unit()),
            measured(x1, x_places, x.unit()),
        ),
    );
    let divided = over(
        measure(at(y2 - y1, y_places), y.unit()),
        measure(at(x2 - x1, x_places), x.unit()),
    );
    let scale = Scale { x, y };
    Block::step(
        format!(
            "By the triangle. Its corners are read from the best-fit line, not from readings, and lie far apart: {} and {}.",
            corner(x1, y1),
            corner(x2, y2)
        ),
        vec![
            Formula::equal(Term::Symbol("b"), letters)
                .and(numbers)
                .and(divided)
                .and(scale.gradient_term(best.line.gradient, figures)),
        ],
    )
}

/// Sums over the points of one series, in shown units.
struct Sums {
    n: usize,
    mean_x: f64,
    mean_y: f64,
    xx: f64,
    xy: f64,
}

impl Sums {
    /// About the means, or about zero for a line through the origin.
    fn of(given: &Given, family: usize) -> Sums {
        let scale = Scale::of(given.readings);
        let used = || {
            given
                .readings
                .points
                .iter()
                .filter(move |p| p.family == family && !p.excluded)
        };
        let n = used().count();
        let (mean_x, mean_y) = if given.method == Method::ThroughOrigin {
            (0.0, 0.0)
        } else {
            let mean = |sum: f64| sum / n.max(1) as f64;
            (
                mean(used().map(|p| scale.x.shown(p.x)).sum()),
                mean(used().map(|p| scale.y.shown(p.y)).sum()),
            )
        };
        let (mut xx, mut xy) = (0.0, 0.0);
        for p in used() {
            let (dx, dy) = (scale.x.shown(p.x) - mean_x, scale.y.shown(p.y) - mean_y);
            xx += dx * dx;
            xy += dx * dy;
        }
        Sums {
            n,
            mean_x,
            mean_y,
            xx,
            xy,
        }
    }
}

fn by_fit(given: &Given, family: usize, best: &Fitted, figures: u32) -> Vec<Block> {
    let scale = Scale::of(given.readings);
    let (x, y) = (scale.x.letter, scale.y.letter);
    let b = || Term::Symbol("b");
    let gradient = scale.gradient_term(best.line.gradient, figures);
    let intercept = measure(scale.y.text(best.line.intercept, 2), scale.y.unit());
    let unit_squared = |left: &str, right: &str| match (left, right) {
        ("", unit) | (unit, "") => unit.to_owned(),
        (left, right) if left == right && left.contains(' ') => format!("({left})²"),
        (left, right) if left == right => format!("{left}²"),
        _ => format!("{left} {right}"),
    };
    let sums = Sums::of(given, family);
    let xx = measure(
        number(sums.xx, figures + 1),
        &unit_squared(scale.x.unit(), scale.x.unit()),
    );
    let xy = measure(
        number(sums.xy, figures + 1),
        &unit_squared(scale.y.unit(), scale.x.unit()),
    );
    let total = |term: Term| Term::Total(Box::new(term));
    let squared = |term: Term| Term::Squared(Box::new(term));
    let from_mean =
        |letter| Term::Bracket(Box::new(minus(Term::Symbol(letter), Term::Mean(letter))));
    let mut lines = Vec::new();
    let mut blocks = Vec::new();
    match given.method {
        Method::LeastSquares => {
            let letters = over(
                total(product(vec![from_mean(x), from_mean(y)])),
                total(squared(from_mean(x))),
            );
            lines.push(
                Formula::equal(b(), letters)
                    .and(over(xy, xx.clone()))
                    .and(gradient),
            );
            let means = minus(Term::Mean(y), product(vec![b(), Term::Mean(x)]));
            let numbers = minus(
                measure(
                    typeset(&to_decimals(sums.mean_y, scale.y.decimals + 3)),
                    scale.y.unit(),
                ),
                Term::Times(vec![
                    scale.gradient_term(best.line.gradient, figures + 1),
                    measure(number(sums.mean_x, figures + 1), scale.x.unit()),
                ]),
            );
            lines.push(
                Formula::equal(Term::Symbol("a"), means)
                    .and(numbers)
                    .and(intercept),
            );
            blocks.push(Block::step(words::least_squares(sums.n), lines));
        }
        Method::ThroughOrigin => {
            let letters = over(
                total(product(vec![Term::Symbol(x), Term::Symbol(y)])),
                total(squared(Term::Symbol(x))),
            );
            lines.push(
                Formula::equal(b(), letters)
                    .and(over(xy, xx.clone()))
                    .and(gradient),
            );
            blocks.push(Block::step(words::through_origin(sums.n), lines));
        }
        Method::Weighted | Method::BothErrors => {
            lines.push(Formula::equal(b(), gradient));
            lines.push(Formula::equal(Term::Symbol("a"), intercept));
            blocks.push(Block::step(
                words::weighted(given.method, best.points),
                lines,
            ));
        }
    }
    if words::hidden_in_steps(given, best) {
        blocks.push(Block::Text(words::HIDDEN_IN_STEPS.to_owned()));
    } else if given.way.standard() {
        blocks.push(standard_error(given, best, xx, figures));
    }
    blocks
}

fn standard_error(given: &Given, best: &Fitted, xx: Term, figures: u32) -> Block {
    let scale = Scale::of(given.readings);
    let Some(error) = best.gradient_error else {
        return Block::Text(words::NO_STANDARD_ERROR.to_owned());
    };
    let of = |letter| Term::StandardOf(Box::new(Term::Symbol(letter)));
    let error = scale.gradient_term(error, 3);
    let mut lines = Vec::new();
    match (given.method, best.residual_sd) {
        (Method::LeastSquares | Method::ThroughOrigin, Some(s)) => {
            let taken = if given.method == Method::LeastSquares {
                "2"
            } else {
                "1"
            };
            let freedom = minus(Term::Symbol("n"), Term::Number(taken.to_owned()));
            let spread = Term::Root(Box::new(over(
                Term::Total(Box::new(Term::Squared(Box::new(Term::Symbol("d"))))),
                freedom,
            )));
            let s = scale.y.term(s, figures);
            lines.push(Formula::equal(Term::Symbol("s"), spread).and(s.clone()));
            let x = scale.x.letter;
            let from_mean = match given.method {
                Method::LeastSquares => {
                    Term::Bracket(Box::new(minus(Term::Symbol(x), Term::Mean(x))))
                }
                _ => Term::Symbol(x),
            };
            let root = |term: Term| Term::Root(Box::new(term));
            let below = root(Term::Total(Box::new(Term::Squared(Box::new(from_mean)))));
            lines.push(
                Formula::equal(of("b"), over(Term::Symbol("s"), below))
                    .and(over(s, root(xx)))
                    .and(error),
            );
        }
        _ => lines.push(Formula::equal(of("b"), error)),
    }
    if let Some(error) = best.intercept_error {
        lines.push(Formula::equal(of("a"), scale.y.term(error, 3)));
    }
    Block::step(words::standard_error(given, best), lines)
}

fn worst_lines(given: &Given, found: &Found, best: &Fitted, figures: u32) -> Vec<Block> {
    let mut blocks = vec![Block::Subheading("Worst acceptable lines".to_owned())];
    match &found.extremes {
        Ok(extremes) => blocks.push(extreme_gradients(given, found, extremes, best, figures)),
        Err(stopped) => blocks.push(Block::Text(words::stopped(given, found, stopped))),
    }
    blocks
}

/// The uncertainty of the gradient that the worst lines give by the chosen convention, SI.
pub(super) fn gradient_uncertainty(rule: WorstLineRule, extremes: &Extremes, best: &Fitted) -> f64 {
    match rule {
        WorstLineRule::HalfDifference => extremes.half_difference(),
        WorstLineRule::LargerDistance => extremes.larger_distance(&best.line),
    }
}

fn extreme_gradients(
    given: &Given,
    found: &Found,
    extremes: &Extremes,
    best: &Fitted,
    figures: u32,
) -> Block {
    let scale = Scale::of(given.readings);
    let uncertainty = gradient_uncertainty(given.worst_line_rule, extremes, best);
    // With fewer figures the reader's own subtraction would not give the uncertainty that is stated.
    let gradient = |value: f64| {
        scale.gradient_term(value, figures_for_difference(value, uncertainty, figures))
    };
    let (steep, shallow) = (extremes.steepest.gradient, extremes.shallowest.gradient);
    let named = |name| Term::Indexed("b", name);
    let delta = scale.gradient_term(uncertainty, 3);
    let size = |term: Term| Term::Size(Box::new(term));
    let (letters, numbers) = match given.worst_line_rule {
        WorstLineRule::HalfDifference => {
            let two = || Term::Number("2".to_owned());
            (
                over(size(minus(named("steep"), named("shallow"))), two()),
                over(size(minus(gradient(steep), gradient(shallow))), two()),
            )
        }
        WorstLineRule::LargerDistance => {
            let best = best.line.gradient;
            let (name, far) = if (steep - best).abs() >= (shallow - best).abs() {
                ("steep", steep)
            } else {
                ("shallow", shallow)
            };
            (
                size(minus(named(name), Term::Symbol("b"))),
                size(minus(gradient(far), gradient(best))),
            )
        }
    };
    let through = if found.boxes {
        "error box"
    } else {
        "error bar"
    };
    Block::step(
        format!(
            "The steepest and the shallowest straight line that still pass through every {through}. {}",
            words::rule(given.worst_line_rule)
        ),
        vec![
            Formula::equal(named("steep"), gradient(steep)),
            Formula::equal(named("shallow"), gradient(shallow)),
            Formula::equal(Term::Delta("b"), letters)
                .and(numbers)
                .and(delta),
        ],
    )
}
