//! The sentences of the sheet, in one place. Each is made from facts; none claims more than they show.

mod uncertainty;
mod worth;
mod zero;

use super::scale::{Scale, Stated, expanded_t, flux_term, power_of_ten};
use super::{Excluded, Found, Given, Method, WorstLineRule};
use crate::figures::round::Digits;
use crate::line::Fitted;
use crate::line::extreme::Stopped;
use crate::readings::{Basis, Varied};

pub(super) use uncertainty::{
    BUDGET, NO_BUDGET, coverage, half_width_divided, no_school, no_uncertainty, school,
    school_heading, school_label, school_way, source, steps_take_its_place, why_two_ways,
};
pub(super) use worth::{
    chi_squared, drift_errors, drift_rate, drift_taken_off, effective_length,
    effective_length_parts, integrals, inverse, joint, monte_carlo, patterns, prediction,
    right_angle, with_drift,
};
pub(super) use zero::{HIDDEN_IN_STEPS, Zero, hidden_in_steps, zero};

/// The title of a sheet that has none of its own.
pub const TITLE: &str = "Flux density from the force on a current-carrying wire";

pub(super) const METHOD: &str = "A magnet yoke stands on a balance; a straight wire, held by a stand, passes between \
     its poles. The current in the wire pushes the yoke down or up, and the balance shows the force.";

/// What is said of dangers on every sheet and in every plan, and that it takes the place of no risk assessment.
pub const CAUTIONS: [&str; 6] = [
    "Wires get hot within seconds at a few amperes, because their resistance is low. Switch on only to take a reading, \
     then off again, and do not touch the wire.",
    "Set the current limit of the supply before connecting, and stay within the ratings of wire, leads, meter and \
     supply.",
    "Strong magnets snap together: they pinch fingers and chip. Part them by sliding, and wear eye protection if you \
     are told to.",
    "Keep magnets away from anyone with a pacemaker or another implant, from bank cards, and from the works of the \
     balance; use a spacer if the reading shifts as the yoke is put on.",
    "Keep iron and steel (tools, stands, clamps) away from the magnets, for safety and for the readings.",
    "These are reminders only. Follow your school's own risk assessment and local rules, and ask the teacher or \
     technician responsible before you start.",
];

pub(super) const NO_TABLE: &str = "There are no readings yet. A table needs a column of currents (or of whatever was \
     changed) and a column of balance readings.";

pub(super) const RESOLUTION_BAR: &str = "A change of reading is the difference of two readings, each good to half a \
     step of the balance, so it carries an uncertainty of one whole step.";

pub(super) const MEAN_OF_REPEATS: &str = "Repeated readings are averaged; half of their range is the uncertainty, \
     unless that is below the step of the balance.";

/// With a row worked out.
pub(super) fn mean_of_repeats(row: usize, basis: Basis) -> String {
    let instead = match basis {
        Basis::Resolution => " (half the range is less than a step there, so the step is used)",
        Basis::HalfRange | Basis::Typed => "",
    };
    format!("{MEAN_OF_REPEATS} Row {row} as an example{instead}:")
}

/// Empty unless fewer rows were printed than there are.
pub(super) fn rows_printed(printed: usize, total: usize) -> String {
    if printed < total {
        format!(
            "The first {printed} of {total} rows are printed; all of them went into the working."
        )
    } else {
        String::new()
    }
}

/// The first sentences, and how many more there are.
pub(super) fn at_most(sentences: &[String], most: usize) -> Vec<String> {
    let mut kept: Vec<String> = sentences.iter().take(most).cloned().collect();
    if sentences.len() > kept.len() {
        kept.push(format!("… and {} more.", sentences.len() - kept.len()));
    }
    kept
}

pub(super) fn left_out(excluded: &Excluded) -> String {
    match excluded.reason.trim() {
        "" => format!(
            "Row {} was left out of the line. No reason was given: write one here.",
            excluded.row
        ),
        reason => format!(
            "Row {} was left out of the line: {}",
            excluded.row,
            ended(reason)
        ),
    }
}

/// A sentence of the user's with a full stop at its end.
fn ended(sentence: &str) -> String {
    if sentence.ends_with(['.', '!', '?', '…']) {
        sentence.to_owned()
    } else {
        format!("{sentence}.")
    }
}

/// `row 3`, `rows 3 and 7`, `rows 3, 5 and 7`.
pub(super) fn rows(rows: &[usize]) -> String {
    match rows {
        [] => "no row".to_owned(),
        [one] => format!("row {one}"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(usize::to_string).collect();
            format!("rows {} and {last}", first.join(", "))
        }
    }
}

/// What a series is called.
pub(super) fn series(given: &Given, family: usize) -> String {
    match given.readings.families.get(family).map(|f| f.label.trim()) {
        Some(label) if !label.is_empty() => label.to_owned(),
        _ => format!("Series {}", family + 1),
    }
}

pub(super) fn no_line(given: &Given, family: usize) -> String {
    let used = given
        .readings
        .points
        .iter()
        .filter(|p| !p.excluded && p.family == family)
        .count();
    let scale = Scale::of(given.readings);
    match used {
        0 => "No line can be drawn: no row of the table gave a point.".to_owned(),
        1 => "No line can be drawn: a line needs at least two points, and there is one.".to_owned(),
        _ => format!(
            "No line can be drawn through these {used} points: the {} has to take at least two different values.",
            scale.x.quantity
        ),
    }
}

/// What has to be given before B can be found from the line.
pub(super) fn what_is_missing(given: &Given, family: usize) -> String {
    let varied = given.readings.varied;
    let own_length = given.readings.families.get(family).and_then(|f| f.length_m);
    let mut missing = Vec::new();
    if matches!(varied, Varied::Current | Varied::Angle)
        && own_length.is_none()
        && given.setup.length.is_none()
    {
        missing.push("the length of wire in the field, for example 5.0 cm");
    }
    if matches!(varied, Varied::Length | Varied::Angle) && given.setup.fixed_current.is_none() {
        missing.push("the current that was held fixed, for example 3.0 A");
    }
    if missing.is_empty() {
        "B cannot be found from this line with the values given: check the length, the angle and the number of wires. \
         None of them may be zero."
            .to_owned()
    } else {
        format!(
            "The gradient is known, but B is not: give {}.",
            missing.join(" and ")
        )
    }
}

pub(super) fn least_squares(n: usize) -> String {
    format!(
        "By least squares, from all {n} points of the line: the line for which the squares of the vertical distances add \
         up to the least. It should agree with the triangle."
    )
}

pub(super) fn through_origin(n: usize) -> String {
    format!(
        "By least squares, from all {n} points, with the line forced through the origin as was asked:"
    )
}

pub(super) fn weighted(method: Method, n: usize) -> String {
    match method {
        Method::BothErrors => format!(
            "By least squares from {n} points with uncertainties in both directions: the line is found step by step \
             (York's method), so that points with short bars count for more."
        ),
        _ => format!(
            "By weighted least squares from {n} points: each counts by 1/u², so that points with short bars count for more."
        ),
    }
}

pub(super) const NO_STANDARD_ERROR: &str = "There are no more points than the line has constants, so the scatter about \
     it cannot be known, and there is no standard error. That does not mean that the uncertainty is zero.";

pub(super) fn standard_error(given: &Given, best: &Fitted) -> String {
    let freedom = best.degrees_of_freedom;
    match given.method {
        Method::LeastSquares | Method::ThroughOrigin => format!(
            "Standard errors, from the distances d of the points from the line ({freedom} {}):",
            plural(freedom, "degree of freedom", "degrees of freedom")
        ),
        Method::Weighted | Method::BothErrors if given.relative => {
            "Standard errors; only the proportions of the stated uncertainties are trusted, and the scatter of the points \
             about the line sets their size:"
                .to_owned()
        }
        Method::Weighted | Method::BothErrors => {
            "Standard errors, from the stated uncertainties of the points:".to_owned()
        }
    }
}

pub(super) fn plural<'a>(count: usize, one: &'a str, many: &'a str) -> &'a str {
    if count == 1 { one } else { many }
}

pub(super) const PRODUCT: &str = "Each force is set against the product of current, number of wires, length and sin θ. \
     Where masses were read, the force is F = m g.";

pub(super) const UNTARED_FORCE: &str = "The force of the field on the wires is what the balance shows beyond its reading \
     at no current; that reading shifts the line, but does not tilt it.";

pub(super) const SUBSTITUTION: &str = "Substitution, all in SI units. The working carries every figure; the numbers shown \
     are rounded.";

pub(super) fn conversions(scale: &Scale) -> String {
    let moved = scale.gradient_unit() != scale.gradient_si_unit();
    let mut known = Vec::new();
    for axis in [&scale.y, &scale.x] {
        if let (true, Some(exponent)) = (moved && axis.unit() != axis.si_unit, axis.exponent()) {
            known.push(format!(
                "1 {} = {} {}",
                axis.unit(),
                power_of_ten(exponent),
                axis.si_unit
            ));
        }
    }
    if known.is_empty() {
        "Values in SI units:".to_owned()
    } else {
        format!("Everything in SI units first ({}):", known.join(", "))
    }
}

pub(super) fn negative(given: &Given) -> String {
    let scale = Scale::of(given.readings);
    format!(
        "The minus sign says only that {} falls as the {} grows: turning the current or the magnets round would change \
         it. The size of B is what counts.",
        scale.y.letter, scale.x.quantity
    )
}

/// B from the line through the origin, where it differs by more than the uncertainty.
pub(super) fn through_origin_beside(
    given: &Given,
    found: &Found,
    best: &Fitted,
    tesla: f64,
    figures: u32,
) -> Option<String> {
    if given.method == Method::ThroughOrigin || given.readings.untared || best.line.gradient == 0.0
    {
        return None;
    }
    let other = tesla / best.line.gradient * found.through_origin?.line.gradient;
    let flux = found.flux_density?;
    let school = flux.school_t.filter(|_| given.way.school());
    let uncertainty = school.or_else(|| expanded_t(flux))?;
    ((other - tesla).abs() > uncertainty).then(|| {
        format!(
            "A line forced through the origin would give B = {}. That differs by more than the uncertainty of B, so the \
             zero matters here; the line with a free intercept is the one used.",
            flux_term(other, figures).plain()
        )
    })
}

pub(super) fn stopped(given: &Given, found: &Found, stopped: &Stopped) -> String {
    match stopped {
        Stopped::TooFew => "Worst acceptable lines need at least two points.".to_owned(),
        Stopped::Unbounded => {
            "The bars overlap so far that a line of any gradient would pass through them: the \
             readings do not limit the gradient."
                .to_owned()
        }
        Stopped::Blocked { .. } => blocked(given, found),
    }
}

fn blocked(given: &Given, found: &Found) -> String {
    let scale = Scale::of(given.readings);
    let bars = if found.boxes {
        "error box"
    } else {
        "error bar"
    };
    let mut text = format!(
        "No straight line passes through every {bars}, so there are no worst acceptable lines."
    );
    if found.blocked_rows.is_empty() {
        text.push_str(" Leaving out two or three readings would not be enough to let one through.");
    } else {
        text.push_str(&format!(
            " Without {} there would be one.",
            rows(&found.blocked_rows)
        ));
    }
    if let Some(half) = found.smallest_half_width {
        text.push_str(&format!(
            " With bars of at least ±{} on every point there would be one too.",
            scale.y.term(half, 2).plain()
        ));
    }
    text.push_str(
        " Either the bars are drawn too short for the scatter of the readings, or the readings do not lie on a \
         straight line. No line is invented: the standard error of the gradient stands in.",
    );
    text
}

pub(super) fn rule(rule: WorstLineRule) -> &'static str {
    match rule {
        WorstLineRule::HalfDifference => {
            "Uncertainty of the gradient by the convention “half the difference”: half \
             the difference between the steepest and the shallowest gradient."
        }
        WorstLineRule::LargerDistance => {
            "Uncertainty of the gradient by the convention “larger distance”: the larger \
             of the distances of the steepest and the shallowest gradient from the best one."
        }
    }
}

/// A flux density with its uncertainty in the unit that reads better, rounded together: `(32.7 ± 0.4) mT`.
///
/// `figures` is the number of significant figures where there is no uncertainty.
pub fn flux_density(
    tesla: f64,
    uncertainty_t: Option<f64>,
    digits: Digits,
    figures: u32,
) -> String {
    Stated::new(tesla, uncertainty_t, digits, figures).best()
}

pub(super) const EVALUATION: &str = "Which uncertainty matters most, what could have gone wrong unseen, and what would \
     you change on the bench?";

/// The caption of the graph.
pub(super) fn graph(given: &Given, scale: &Scale) -> String {
    let lines = match (
        given.found.iter().any(|f| f.best.is_some()),
        given.found.iter().any(|f| f.extremes.is_ok()),
    ) {
        (true, true) if given.way.school() && given.found.len() == 1 => {
            ", with the line of best fit and the worst acceptable lines"
        }
        (true, _) => ", with the line of best fit",
        _ => "",
    };
    format!(
        "{} against {}{lines}.",
        capital(scale.y.quantity),
        scale.x.quantity
    )
}

fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + characters.as_str()
    })
}
