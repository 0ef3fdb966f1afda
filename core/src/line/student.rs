//! Quantiles and tails of Student's t.

use special::Beta;

/// The factor t with P(|T| ≤ t) = `confidence` for `degrees_of_freedom` (any positive number, infinite included).
///
/// NaN for a confidence outside 0 to 1 or degrees of freedom that are not positive.
///
/// # Source
/// Checked against NIST TN 1297 table B.1 and 20-digit values.
pub fn two_sided(confidence: f64, degrees_of_freedom: f64) -> f64 {
    if !(confidence > 0.0 && confidence < 1.0 && degrees_of_freedom > 0.0) {
        return f64::NAN;
    }
    let tail = 1.0 - confidence;
    // Bisection on the tail, which falls steadily from 1 to 0; then the interval is as small as floats allow.
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    while two_sided_tail(high, degrees_of_freedom) > tail && high < 1e300 {
        low = high;
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if two_sided_tail(middle, degrees_of_freedom) > tail {
            low = middle;
        } else {
            high = middle;
        }
    }
    low + (high - low) / 2.0
}

/// P(|T| ≥ |t|) for `degrees_of_freedom`.
///
/// With x = ν / (ν + t²) it is the regularised incomplete beta function I_x(ν/2, 1/2); for infinite ν the normal tail.
pub fn two_sided_tail(t: f64, degrees_of_freedom: f64) -> f64 {
    if t.is_nan() || degrees_of_freedom.is_nan() || degrees_of_freedom <= 0.0 {
        return f64::NAN;
    }
    // Beyond a million degrees of freedom the normal law differs by less than the eighth digit of the tail.
    if degrees_of_freedom > 1e6 {
        return libm::erfc(t.abs() / std::f64::consts::SQRT_2);
    }
    if t == 0.0 {
        return 1.0;
    }
    if t.is_infinite() {
        return 0.0;
    }
    let (a, b) = (degrees_of_freedom / 2.0, 0.5);
    let x = degrees_of_freedom / (degrees_of_freedom + t * t);
    x.inc_beta(a, b, a.ln_beta(b))
}
