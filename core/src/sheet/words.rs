//! The sentences of the sheet, in one place. Each is made from facts; none claims more than they show.

use super::scale::{expanded_t, flux_term, power_of_ten, Scale, Stated};
use super::{Excluded, Found, Given, Method, WorstLineRule};
use crate::field::{Budget, FluxDensity, SchoolBasis};
use crate::figures::round::{to_decimals, Digits};
use crate::line::extreme::Stopped;
use crate::findings::line::is_too_perfect;
use crate::line::{student, Fitted};
use crate::readings::{Basis, Varied};

/// The title of a sheet that has none of its own.
pub const TITLE: &str = "Flux density from the force on a current-carrying wire";

pub(super) const METHOD: &str = "A magnet yoke stands on a balance; a straight wire, held by a stand, passes between \
     its poles. The current in the wire pushes the yoke down or up, and the balance shows the force.";

pub(super) const CAUTIONS: [&str; 6] = [
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
        format!("The first {printed} of {total} rows are printed; all of them went into the working.")
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
        "" => format!("Row {} was left out of the line. No reason was given: write one here.", excluded.row),
        reason => format!("Row {} was left out of the line: {}", excluded.row, ended(reason)),
    }
}

/// A sentence of the user's with a full stop at its end.
fn ended(sentence: &str) -> String {
    if sentence.ends_with(['.', '!', '?', '…']) { sentence.to_owned() } else { format!("{sentence}.") }
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
    let used = given.readings.points.iter().filter(|p| !p.excluded && p.family == family).count();
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
    if matches!(varied, Varied::Current | Varied::Angle) && own_length.is_none() && given.setup.length.is_none() {
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
        format!("The gradient is known, but B is not: give {}.", missing.join(" and "))
    }
}

pub(super) fn least_squares(n: usize) -> String {
    format!(
        "By least squares, from all {n} points of the line: the line for which the squares of the vertical distances add \
         up to the least. It should agree with the triangle."
    )
}

pub(super) fn through_origin(n: usize) -> String {
    format!("By least squares, from all {n} points, with the line forced through the origin as was asked:")
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
            known.push(format!("1 {} = {} {}", axis.unit(), power_of_ten(exponent), axis.si_unit));
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
    if given.method == Method::ThroughOrigin || given.readings.untared || best.line.gradient == 0.0 {
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

pub(super) fn no_uncertainty(found: &Found) -> String {
    let few = found.best.is_some_and(|best| best.degrees_of_freedom == 0);
    let why = if few { "two points say nothing of their own scatter" } else { "the gradient has none" };
    format!(
        "No uncertainty can be stated, because {why}. B is given to as many figures as the least precise value that went \
         into it."
    )
}

pub(super) fn no_school(found: &Found) -> String {
    match (&found.extremes, found.best) {
        (Err(_), Some(best)) if best.gradient_error.is_none() => {
            "There are no worst acceptable lines and no standard error to stand in for them, so the gradient has no \
             percentage uncertainty, and neither has B."
                .to_owned()
        }
        _ => "The gradient has no percentage uncertainty, and so neither has B.".to_owned(),
    }
}

pub(super) fn school(given: &Given, flux: &FluxDensity, sum: &str) -> String {
    let gradient = match flux.school_basis {
        Some(SchoolBasis::StandardError) => "The standard error of the gradient stands in for the worst lines. ",
        _ => "",
    };
    let length = given.setup.length.is_some_and(|l| l.half_width.is_some());
    let silent = matches!(given.readings.varied, Varied::Current | Varied::Angle) && !length;
    let missing = if silent { " No uncertainty of the length was given, so none is included." } else { "" };
    format!(
        "{gradient}B is made by multiplying and dividing, so the percentage uncertainties of what goes into it add up: \
         about {sum} %.{missing}"
    )
}

pub(super) const NO_BUDGET: &str = "The gradient has no standard error, so there is no standard uncertainty of B either.";

pub(super) const BUDGET: &str = "Each source has a standard uncertainty; its sensitivity says how much B changes for a \
     change of one unit. Independent contributions add as squares (JCGM 100:2008, 5.1.2).";

pub(super) const HIDDEN_IN_STEPS: &str = "The points lie closer to the line than the steps of the balance can show, so \
     their scatter is no measure of the uncertainty: what the steps allow takes its place.";

/// Where the uncertainty of the gradient is not that of the scatter.
pub(super) fn steps_take_its_place(used: &str) -> String {
    format!("The uncertainty of the gradient is that of the steps of the balance, not of the scatter: u(b) = {used}.")
}

/// The divisor that made a half-width a standard uncertainty, told where it is one of the usual ones.
pub(super) fn half_width_divided(typed: &str, divisor: f64) -> String {
    let near = |usual: f64| (divisor - usual).abs() < 1e-6;
    if near(3.0_f64.sqrt()) {
        format!("The length was given as {typed}; a half-width within which every value is as likely is divided by √3.")
    } else if near(6.0_f64.sqrt()) {
        format!("The length was given as {typed}; a half-width made of two equal ones is divided by √6.")
    } else if near(1.0) {
        format!("The length was given as {typed}; its uncertainty is taken as a standard uncertainty.")
    } else if near(2.0) {
        format!("The length was given as {typed}; its half-width, taken as one of 95 %, is divided by 2.")
    } else {
        String::new()
    }
}

pub(super) fn coverage(budget: &Budget, k: &str) -> String {
    let why = if budget.degrees_of_freedom.is_finite() {
        format!(
            "Student's t for 95 % with {} effective degrees of freedom",
            freedom(budget.degrees_of_freedom)
        )
    } else {
        "the normal law for 95 %".to_owned()
    };
    format!("The combined standard uncertainty, and the expanded uncertainty U with k = {k} ({why}):")
}

fn freedom(degrees: f64) -> String {
    match degrees {
        many if many >= 1000.0 => "more than 1000".to_owned(),
        some => to_decimals(some, i32::from(some < 20.0)),
    }
}

pub(super) fn source(name: &str) -> &str {
    match name {
        "gradient" => "Gradient b",
        "length" => "Length L",
        "current" => "Current I",
        "gravity" => "Free fall acceleration g",
        "sine of the angle" => "Sine of the angle, sin θ",
        "lever ratio" => "Lever ratio r",
        "wires" => "Number of wires N",
        other => other,
    }
}

pub(super) fn why_two_ways(flux: &FluxDensity, school_t: f64, expanded_t: f64) -> String {
    let ratio = school_t / expanded_t;
    let compared = if (0.8..=1.25).contains(&ratio) {
        "here they come out much alike"
    } else if ratio > 1.0 {
        "here the school range is the wider one"
    } else {
        "here the range at 95 % is the wider one"
    };
    let basis = match flux.school_basis {
        Some(SchoolBasis::StandardError) => {
            "the school way here adds one standard error, as a percentage, to the percentages of the other values"
        }
        _ => "the school way asks how far the line can be tilted before it misses a bar, and adds the worst of every value",
    };
    format!(
        "Why two ranges: {basis}; the standard way takes the scatter of the points about the line, combines independent \
         sources as squares, and widens the result until it should hold the true value 95 times in 100; {compared}."
    )
}

pub(super) fn stopped(given: &Given, found: &Found, stopped: &Stopped) -> String {
    match stopped {
        Stopped::TooFew => "Worst acceptable lines need at least two points.".to_owned(),
        Stopped::Unbounded => "The bars overlap so far that a line of any gradient would pass through them: the \
             readings do not limit the gradient."
            .to_owned(),
        Stopped::Blocked { .. } => blocked(given, found),
    }
}

fn blocked(given: &Given, found: &Found) -> String {
    let scale = Scale::of(given.readings);
    let bars = if found.boxes { "error box" } else { "error bar" };
    let mut text = format!("No straight line passes through every {bars}, so there are no worst acceptable lines.");
    if found.blocked_rows.is_empty() {
        text.push_str(" Leaving out two or three readings would not be enough to let one through.");
    } else {
        text.push_str(&format!(" Without {} there would be one.", rows(&found.blocked_rows)));
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
        WorstLineRule::HalfDifference => "Uncertainty of the gradient by the convention “half the difference”: half \
             the difference between the steepest and the shallowest gradient.",
        WorstLineRule::LargerDistance => "Uncertainty of the gradient by the convention “larger distance”: the larger \
             of the distances of the steepest and the shallowest gradient from the best one.",
    }
}

/// Whether the points lie closer to the line than the steps of the balance can show, so that their scatter says nothing.
pub(super) fn hidden_in_steps(given: &Given, best: &Fitted) -> bool {
    best.chi_squared.is_none() && is_too_perfect(best, given.readings.resolution.unwrap_or(0.0))
}

/// Half of the interval at 95 % for the intercept, or the step of the balance where the scatter hides in it; `None` where
/// it is not known.
fn intercept_half_width(given: &Given, best: &Fitted) -> Option<f64> {
    if hidden_in_steps(given, best) {
        return given.readings.resolution.filter(|step| *step > 0.0);
    }
    let error = best.intercept_error?;
    let t = student::two_sided(0.95, best.degrees_of_freedom as f64);
    Some(t * error).filter(|half| half.is_finite() && *half > 0.0)
}

/// What the intercept says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Zero {
    /// The line was forced through the origin.
    Forced,
    /// The full reading was taken: the intercept is the reading at no current.
    Untared,
    /// There are no degrees of freedom to judge it by.
    Unknown,
    /// Within its uncertainty it is zero.
    Consistent,
    /// It is not zero.
    Off,
}

impl Zero {
    pub(super) fn of(given: &Given, best: &Fitted) -> Zero {
        if given.method == Method::ThroughOrigin {
            return Zero::Forced;
        }
        if given.readings.untared {
            return Zero::Untared;
        }
        match intercept_half_width(given, best) {
            None => Zero::Unknown,
            Some(half) if best.line.intercept.abs() <= half => Zero::Consistent,
            Some(_) => Zero::Off,
        }
    }
}

/// What the intercept says of the zero.
pub(super) fn zero(given: &Given, best: &Fitted) -> String {
    let scale = Scale::of(given.readings);
    let letter = scale.y.letter;
    let value = scale.y.with_unit(best.line.intercept, 1);
    let within = if hidden_in_steps(given, best) { "Within a step of the balance" } else { "At 95 % confidence" };
    let range = intercept_half_width(given, best).map(|half| {
        let (low, high) = (best.line.intercept - half, best.line.intercept + half);
        format!("{within} the intercept lies between {} and {}", scale.y.with_unit(low, 1), scale.y.with_unit(high, 1))
    });
    match (Zero::of(given, best), range) {
        (Zero::Forced, _) => "The line was forced through the origin, so these readings were not asked whether the zero \
             was right."
            .to_owned(),
        (Zero::Untared, _) => format!(
            "The balance was not tared: the intercept, {value}, is its reading with no current, not an error. The \
             gradient does not depend on it."
        ),
        (Zero::Consistent, Some(range)) => format!(
            "{range}. Zero is inside that range, so these readings show \
             no zero error."
        ),
        (Zero::Off, Some(range)) => format!(
            "{range}. Zero is outside that range: the zero of {letter} is \
             about {value} out. The gradient, and B, do not depend on it, because the line was not forced through the \
             origin."
        ),
        _ => format!(
            "The intercept is {value}. With so few points nothing can be said of its uncertainty, so it does not tell \
             whether the zero was right."
        ),
    }
}

/// A flux density with its uncertainty in the unit that reads better, rounded together: `(32.7 ± 0.4) mT`.
///
/// `figures` is the number of significant figures where there is no uncertainty.
pub fn flux_density(tesla: f64, uncertainty_t: Option<f64>, digits: Digits, figures: u32) -> String {
    Stated::new(tesla, uncertainty_t, digits, figures).best()
}

pub(super) const EVALUATION: &str = "Which uncertainty matters most, what could have gone wrong unseen, and what would \
     you change on the bench?";

/// The caption of the graph.
pub(super) fn graph(given: &Given, scale: &Scale) -> String {
    let lines = match (given.found.iter().any(|f| f.best.is_some()), given.found.iter().any(|f| f.extremes.is_ok())) {
        (true, true) if given.way.school() => ", with the line of best fit and the worst acceptable lines",
        (true, _) => ", with the line of best fit",
        _ => "",
    };
    format!("{} against {}{lines}.", capital(scale.y.quantity), scale.x.quantity)
}

fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + characters.as_str())
}
