//! How well the line is known and how the points lie about it, in sentences: what a glance at the bars, the worst lines and
//! the residual strip tells somebody who sees them.
//!
//! Start at [`about_the_line`].

use yokeline_core::figures::round;
use yokeline_core::job::output::{Analysis, BestLine, Finding, Point};

use super::describe::distance;
use super::wording::{self, capitalised, gradient_unit, unit_si, with_unit};

/// The findings that one would see on the graph.
const SEEN_ON_THE_GRAPH: [&str; 5] = [
    "outlier",
    "bend",
    "step",
    "zero_row_contradicted",
    "one_point_decides",
];

/// Fewer runs than chance gives this often are told as a pattern.
const RARE: f64 = 0.05;

/// What is to be said of the only line; nothing where there is none, or where there are several.
pub(super) fn about_the_line(analysis: &Analysis) -> Vec<String> {
    let Some(line) = &analysis.best_line else {
        return Vec::new();
    };
    let mut sentences = Vec::new();
    sentences.extend(standard_errors(line, analysis));
    sentences.extend(half_difference(analysis));
    sentences.extend(farthest(analysis));
    let seen: Vec<&Finding> = analysis
        .findings
        .iter()
        .filter(|finding| SEEN_ON_THE_GRAPH.contains(&finding.kind))
        .collect();
    sentences.extend(seen.iter().map(|finding| finding.text.clone()));
    if seen.is_empty() {
        sentences.extend(changes_of_side(analysis));
    }
    sentences
}

fn standard_errors(line: &BestLine, analysis: &Analysis) -> Option<String> {
    let axes = &analysis.axes;
    let known = |error: Option<f64>| error.filter(|error| error.is_finite() && *error > 0.0);
    let per_unit = unit_si(&axes.x) / unit_si(&axes.y);
    let gradient = known(line.gradient_standard_error)?;
    let gradient = with_unit(&in_two_figures(gradient * per_unit), &gradient_unit(axes));
    let mut sentence = format!("The standard error of the gradient is {gradient}");
    if let Some(intercept) = known(line.intercept_standard_error) {
        let intercept = in_two_figures(intercept / unit_si(&axes.y));
        let intercept = with_unit(&intercept, &axes.y.unit);
        sentence.push_str(&format!(", that of the intercept {intercept}"));
    }
    Some(sentence + ".")
}

fn half_difference(analysis: &Analysis) -> Option<String> {
    let axes = &analysis.axes;
    let half = analysis.extreme_lines?.half_difference * unit_si(&axes.x) / unit_si(&axes.y);
    let half = with_unit(&in_two_figures(half), &gradient_unit(axes));
    Some(format!(
        "Half the difference between the steepest and the shallowest gradient is {half}."
    ))
}

/// Which of the points that count lies farthest from the line.
fn farthest(analysis: &Analysis) -> Option<String> {
    let size = |point: &Point| point.residual.map_or(0.0, f64::abs);
    let point = analysis
        .points
        .iter()
        .filter(|point| !point.excluded && point.residual.is_some_and(f64::is_finite))
        .max_by(|a, b| size(a).total_cmp(&size(b)))?;
    let row = wording::rows(&[point.row]);
    let away = distance(point, analysis)?;
    Some(match away.strip_suffix(" the line") {
        Some("on") | None => "Every point that counts lies on the line.".to_owned(),
        Some(away) => format!(
            "{} lies farthest from the line, {away} it.",
            capitalised(&row)
        ),
    })
}

/// How often the points change from one side of the line to the other.
fn changes_of_side(analysis: &Analysis) -> Option<String> {
    let tests = analysis.residual_tests.as_ref()?;
    let (above, below) = (tests.above?, tests.below?);
    let changes = match tests.runs?.checked_sub(1)? {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        changes => format!("{changes} times"),
    };
    let pattern = if tests.runs_at_most.is_some_and(|chance| chance < RARE) {
        "seldom, as along a bend or when something drifts"
    } else {
        "as chance would have it, so no bend shows"
    };
    Some(format!(
        "From left to right, with {above} above and {below} below, the points change sides {changes}: {pattern}."
    ))
}

fn in_two_figures(value: f64) -> String {
    round::typeset(&round::to_significant(value, 2))
}
