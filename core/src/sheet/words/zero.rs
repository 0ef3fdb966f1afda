//! What the intercept says of the zero, and what to say where the scatter hides in the steps of the balance.

use crate::findings::line::is_too_perfect;
use crate::line::{Fitted, student};
use crate::sheet::scale::Scale;
use crate::sheet::{Given, Method};

pub(in crate::sheet) const HIDDEN_IN_STEPS: &str = "The points lie closer to the line than the steps of the balance can show, so \
     their scatter is no measure of the uncertainty: what the steps allow takes its place.";

/// Whether the points lie closer to the line than the steps of the balance can show, so that their scatter says nothing.
pub(in crate::sheet) fn hidden_in_steps(given: &Given, best: &Fitted) -> bool {
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
pub(in crate::sheet) enum Zero {
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
    pub(in crate::sheet) fn of(given: &Given, best: &Fitted) -> Zero {
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
pub(in crate::sheet) fn zero(given: &Given, best: &Fitted) -> String {
    let scale = Scale::of(given.readings);
    let letter = scale.y.letter;
    let value = scale.y.with_unit(best.line.intercept, 1);
    let within = if hidden_in_steps(given, best) {
        "Within a step of the balance"
    } else {
        "At 95 % confidence"
    };
    let range = intercept_half_width(given, best).map(|half| {
        let (low, high) = (best.line.intercept - half, best.line.intercept + half);
        format!(
            "{within} the intercept lies between {} and {}",
            scale.y.with_unit(low, 1),
            scale.y.with_unit(high, 1)
        )
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
