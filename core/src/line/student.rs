//! Quantiles and tails of Student's t.

use special::Beta;

/// From here on the expansion about the normal law has all the digits of a float, and a sum of so many terms as the
/// incomplete beta function takes would only be slow.
const NEARLY_NORMAL: f64 = 1e4;

/// The factor t with P(|T| ≤ t) = `confidence` for `degrees_of_freedom` (any positive number, infinite included).
///
/// NaN for a confidence outside 0 to 1 or degrees of freedom that are not positive.
///
/// # Source
/// Checked against NIST TN 1297 table B.1 and 20-digit values. Start and large degrees of freedom: the expansion about
/// the normal quantile, M. Abramowitz and I. Stegun, Handbook of Mathematical Functions (1964), 26.7.5.
pub fn two_sided(confidence: f64, degrees_of_freedom: f64) -> f64 {
    if !(confidence > 0.0 && confidence < 1.0 && degrees_of_freedom > 0.0) {
        return f64::NAN;
    }
    let tail = 1.0 - confidence;
    let near = expanded(normal(tail), degrees_of_freedom);
    if degrees_of_freedom >= NEARLY_NORMAL {
        return near;
    }
    of_tail(tail, degrees_of_freedom, near)
}

/// The t with P(|T| ≥ t) = `tail` for a tail above 0 and below 1, sought from `near`: that of a neighbouring tail, say.
pub fn of_tail(tail: f64, degrees_of_freedom: f64, near: f64) -> f64 {
    solve(
        near,
        tail,
        |t| two_sided_tail(t, degrees_of_freedom),
        |t| density(t, degrees_of_freedom),
    )
}

/// P(|T| ≥ |t|) for `degrees_of_freedom`.
///
/// With x = ν / (ν + t²) it is the regularised incomplete beta function I_x(ν/2, 1/2). From ten thousand degrees of
/// freedom on it is the normal tail of Wallace's transformation, good there to nine digits where it matters (D. L.
/// Wallace, Ann. Math. Stat. 30 (1959) 1121, from memory; checked against the other way where they meet).
pub fn two_sided_tail(t: f64, degrees_of_freedom: f64) -> f64 {
    if t.is_nan() || degrees_of_freedom.is_nan() || degrees_of_freedom <= 0.0 {
        return f64::NAN;
    }
    if degrees_of_freedom.is_infinite() {
        return normal_tail(t.abs());
    }
    if t == 0.0 {
        return 1.0;
    }
    if t.is_infinite() {
        return 0.0;
    }
    if degrees_of_freedom >= NEARLY_NORMAL {
        let shrink = (8.0 * degrees_of_freedom + 1.0) / (8.0 * degrees_of_freedom + 3.0);
        let z = (degrees_of_freedom * libm::log1p(t * t / degrees_of_freedom)).sqrt();
        return normal_tail(shrink * z);
    }
    let (a, b) = (degrees_of_freedom / 2.0, 0.5);
    let x = degrees_of_freedom / (degrees_of_freedom + t * t);
    x.inc_beta(a, b, a.ln_beta(b))
}

/// The size of value over error, as t: infinite where the error is zero, since the readings left it no room.
pub fn ratio(value: f64, error: f64) -> f64 {
    if error > 0.0 {
        (value / error).abs()
    } else {
        f64::INFINITY
    }
}

fn normal_tail(z: f64) -> f64 {
    libm::erfc(z / std::f64::consts::SQRT_2)
}

/// The z with P(|Z| ≥ z) = `tail` for a standard normal Z.
fn normal(tail: f64) -> f64 {
    of_tail(tail, f64::INFINITY, 1.0)
}

fn density(t: f64, nu: f64) -> f64 {
    if nu.is_infinite() {
        return libm::exp(-0.5 * t * t) / (2.0 * std::f64::consts::PI).sqrt();
    }
    let log = libm::lgamma((nu + 1.0) / 2.0)
        - libm::lgamma(nu / 2.0)
        - 0.5 * libm::log(nu * std::f64::consts::PI)
        - (nu + 1.0) / 2.0 * libm::log1p(t * t / nu);
    libm::exp(log)
}

fn expanded(z: f64, nu: f64) -> f64 {
    let z2 = z * z;
    let g1 = (z2 + 1.0) * z / 4.0;
    let g2 = ((5.0 * z2 + 16.0) * z2 + 3.0) * z / 96.0;
    let g3 = (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) * z / 384.0;
    let g4 = ((((79.0 * z2 + 776.0) * z2 + 1482.0) * z2 - 1920.0) * z2 - 945.0) * z / 92160.0;
    z + (g1 + (g2 + (g3 + g4 / nu) / nu) / nu) / nu
}

/// The point where a falling `tail_at` comes down to `tail`: Newton's steps, halved into a bracket whenever they leave
/// it.
fn solve(start: f64, tail: f64, tail_at: impl Fn(f64) -> f64, density: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, f64::INFINITY);
    let mut at = if start > 0.0 && start.is_finite() {
        start
    } else {
        1.0
    };
    for _ in 0..200 {
        let over = tail_at(at) - tail;
        if over > 0.0 {
            low = at
        } else {
            high = at
        }
        let newton = at + over / (2.0 * density(at));
        let next = if newton > low && newton < high {
            newton
        } else if high.is_infinite() {
            2.0 * at
        } else {
            low + (high - low) / 2.0
        };
        if (next - at).abs() <= 2.0 * f64::EPSILON * at {
            return next;
        }
        at = next;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ways_to_the_tail_agree_where_they_meet() {
        for t in [0.1, 1.0, 2.0, 5.0] {
            let (below, above) = (two_sided_tail(t, 9_999.9), two_sided_tail(t, 10_000.0));
            assert!(
                (below / above - 1.0).abs() < 1e-6,
                "{t}: {below:e} and {above:e}"
            );
        }
    }

    #[test]
    fn the_quantile_gives_back_its_tail() {
        for nu in [0.5, 1.0, 1.5, 2.0, 7.3, 40.0, 900.0, 5e4] {
            for confidence in [0.1, 0.5, 0.95, 0.999] {
                let tail = two_sided_tail(two_sided(confidence, nu), nu);
                assert!(
                    (tail / (1.0 - confidence) - 1.0).abs() < 1e-8,
                    "{nu}, {confidence}: {tail}"
                );
            }
        }
    }
}
