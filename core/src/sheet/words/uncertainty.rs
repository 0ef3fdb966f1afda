//! The sentences on the uncertainty of B.

use crate::field::{Budget, FluxDensity, SchoolBasis};
use crate::figures::round::to_decimals;
use crate::readings::Varied;
use crate::sheet::{Found, Given};

pub(in crate::sheet) fn no_uncertainty(found: &Found) -> String {
    let few = found.best.is_some_and(|best| best.degrees_of_freedom == 0);
    let why = if few {
        "two points say nothing of their own scatter"
    } else {
        "the gradient has none"
    };
    format!(
        "No uncertainty can be stated, because {why}. B is given to as many figures as the least precise value that went \
         into it."
    )
}

pub(in crate::sheet) fn no_school(found: &Found) -> String {
    match (&found.extremes, found.best) {
        (Err(_), Some(best)) if best.gradient_error.is_none() => {
            "There are no worst acceptable lines and no standard error to stand in for them, so the gradient has no \
             percentage uncertainty, and neither has B."
                .to_owned()
        }
        _ => "The gradient has no percentage uncertainty, and so neither has B.".to_owned(),
    }
}

pub(in crate::sheet) fn school(given: &Given, flux: &FluxDensity, sum: &str) -> String {
    let gradient = match flux.school_basis {
        Some(SchoolBasis::StandardError) => {
            "The standard error of the gradient stands in for the worst lines. "
        }
        _ => "",
    };
    let length = given.setup.length.is_some_and(|l| l.half_width.is_some());
    let silent = matches!(given.readings.varied, Varied::Current | Varied::Angle) && !length;
    let missing = if silent {
        " No uncertainty of the length was given, so none is included."
    } else {
        ""
    };
    format!(
        "{gradient}B is made by multiplying and dividing, so the percentage uncertainties of what goes into it add up: \
         about {sum} %.{missing}"
    )
}

/// Whose uncertainty a result has that is stated by the school way.
pub(in crate::sheet) fn school_label(flux: &FluxDensity) -> &'static str {
    match flux.school_basis {
        Some(SchoolBasis::StandardError) => {
            "percentage uncertainties added, that of the gradient being one standard error in place of worst lines"
        }
        _ => "school: percentage uncertainties added",
    }
}

/// The heading above its working.
pub(in crate::sheet) fn school_heading(flux: &FluxDensity) -> &'static str {
    match flux.school_basis {
        Some(SchoolBasis::StandardError) => {
            "One standard error in place of worst lines: percentage uncertainties add"
        }
        _ => "School way: percentage uncertainties add",
    }
}

/// The same in a sentence, after the value.
pub(in crate::sheet) fn school_way(flux: &FluxDensity) -> &'static str {
    match flux.school_basis {
        Some(SchoolBasis::StandardError) => {
            "with one standard error of the gradient in place of worst lines"
        }
        _ => "by the school way",
    }
}

pub(in crate::sheet) const NO_BUDGET: &str =
    "The gradient has no standard error, so there is no standard uncertainty of B either.";

pub(in crate::sheet) const BUDGET: &str = "Each source has a standard uncertainty; its sensitivity says how much B changes for a \
     change of one unit. Independent contributions add as squares (JCGM 100:2008, 5.1.2).";

/// Where the uncertainty of the gradient is not that of the scatter.
pub(in crate::sheet) fn steps_take_its_place(used: &str) -> String {
    format!(
        "The uncertainty of the gradient is that of the steps of the balance, not of the scatter: u(b) = {used}."
    )
}

/// The divisor that made a half-width a standard uncertainty, told where it is one of the usual ones.
pub(in crate::sheet) fn half_width_divided(typed: &str, divisor: f64) -> String {
    let near = |usual: f64| (divisor - usual).abs() < 1e-6;
    if near(3.0_f64.sqrt()) {
        format!(
            "The length was given as {typed}; a half-width within which every value is as likely is divided by √3."
        )
    } else if near(6.0_f64.sqrt()) {
        format!(
            "The length was given as {typed}; a half-width made of two equal ones is divided by √6."
        )
    } else if near(1.0) {
        format!("The length is {typed}; its uncertainty is taken as a standard uncertainty.")
    } else if near(2.0) {
        format!(
            "The length was given as {typed}; its half-width, taken as one of 95 %, is divided by 2."
        )
    } else {
        String::new()
    }
}

pub(in crate::sheet) fn coverage(budget: &Budget, k: &str) -> String {
    let why = if budget.degrees_of_freedom.is_finite() {
        format!(
            "Student's t for 95 % with {} effective degrees of freedom",
            freedom(budget.degrees_of_freedom)
        )
    } else {
        "the normal law for 95 %".to_owned()
    };
    format!(
        "The combined standard uncertainty, and the expanded uncertainty U with k = {k} ({why}):"
    )
}

fn freedom(degrees: f64) -> String {
    match degrees {
        many if many >= 1000.0 => "more than 1000".to_owned(),
        some => to_decimals(some, i32::from(some < 20.0)),
    }
}

pub(in crate::sheet) fn source(name: &str) -> &str {
    match name {
        "gradient" => "Gradient b",
        "length" => "Length L",
        "current" => "Current I",
        "gravity" => "Free fall acceleration g",
        "sine of the angle" => "Sine of the angle, sin θ",
        "lever ratio" => "Lever ratio r",
        "wires" => "Number of wires N",
        "balance calibration" => "Scale of the balance",
        "ammeter calibration" => "Scale of the ammeter",
        "gradients" => "Gradients of all series",
        other => other,
    }
}

pub(in crate::sheet) fn why_two_ways(flux: &FluxDensity, school_t: f64, expanded_t: f64) -> String {
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
        _ => {
            "the school way asks how far the line can be tilted before it misses a bar, and adds the worst of every value"
        }
    };
    format!(
        "Why two ranges: {basis}; the standard way takes the scatter of the points about the line, combines independent \
         sources as squares, and widens the result until it should hold the true value 95 times in 100; {compared}."
    )
}
