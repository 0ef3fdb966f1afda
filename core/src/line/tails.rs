//! Tails of the chi-squared and F laws.

use special::Beta;

/// P(F ≥ x) for `above` and `below` degrees of freedom: the regularised incomplete beta function
/// I_z(below/2, above/2) at z = below / (below + above x).
pub fn f_tail(x: f64, above: f64, below: f64) -> f64 {
    if x <= 0.0 {
        return 1.0;
    }
    let (a, b) = (below / 2.0, above / 2.0);
    let z = below / (below + above * x);
    z.inc_beta(a, b, a.ln_beta(b)).clamp(0.0, 1.0)
}

/// P(χ² ≥ `chi_squared`) for a whole number of degrees of freedom; NaN for no degrees of freedom or NaN.
///
/// With h = χ²/2 and a = ν/2 it is the sum of hˢ e⁻ʰ / Γ(s + 1) over s = a - 1, a - 2, … down to 0 or 1/2, and erfc(√h)
/// besides for an odd ν. All terms are positive, so that a tail of any smallness keeps its digits; about twelve of them
/// for ten degrees of freedom, ten for a hundred thousand.
///
/// # Source
/// M. Abramowitz and I. Stegun, Handbook of Mathematical Functions (1964), 26.4.4, 26.4.5 and, where the tail is the
/// larger part, 6.5.29 for the rest.
pub fn chi_squared_tail(chi_squared: f64, degrees_of_freedom: usize) -> f64 {
    if degrees_of_freedom == 0 || chi_squared.is_nan() {
        return f64::NAN;
    }
    if chi_squared <= 0.0 {
        return 1.0;
    }
    if chi_squared.is_infinite() {
        return 0.0;
    }
    let (half, a) = (chi_squared / 2.0, degrees_of_freedom as f64 / 2.0);
    if half < a {
        return 1.0 - lower_part(half, a);
    }
    let mut total = if degrees_of_freedom % 2 == 1 {
        libm::erfc(half.sqrt())
    } else {
        0.0
    };
    let mut s = a - 1.0;
    if s < 0.0 {
        return total;
    }
    let mut term = poisson(half, s);
    loop {
        let before = total;
        total += term;
        if s < 1.0 || total == before {
            return total;
        }
        term *= s / half;
        s -= 1.0;
    }
}

/// P(χ² < 2 `half`), the sum of the same terms from s = a upwards.
fn lower_part(half: f64, a: f64) -> f64 {
    let (mut s, mut term, mut total) = (a, poisson(half, a), 0.0);
    loop {
        let before = total;
        total += term;
        if total == before {
            return total;
        }
        s += 1.0;
        term *= half / s;
    }
}

/// hˢ e⁻ʰ / Γ(s + 1).
fn poisson(h: f64, s: f64) -> f64 {
    libm::exp(s * libm::log(h) - h - libm::lgamma(s + 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With one degree of freedom above, F is the square of Student's t.
    #[test]
    fn f_with_one_degree_above_is_t_squared() {
        for (t, nu) in [(0.3, 3.0), (2.0, 7.0), (4.3, 12.0)] {
            let (f, t) = (
                f_tail(t * t, 1.0, nu),
                super::super::student::two_sided_tail(t, nu),
            );
            assert!((f / t - 1.0).abs() < 1e-9, "{f} and {t}");
        }
    }

    #[test]
    fn two_degrees_of_freedom_are_an_exponential() {
        for x in [0.01, 0.7, 2.0, 9.0, 700.0] {
            let (found, expected) = (chi_squared_tail(x, 2), libm::exp(-x / 2.0));
            assert!((found / expected - 1.0).abs() < 1e-12, "{x}: {found:e}");
        }
    }

    #[test]
    fn both_sums_meet_at_the_middle() {
        for freedom in [1, 2, 3, 8, 41, 1000, 99_998] {
            let middle = freedom as f64;
            let (below, above) = (
                chi_squared_tail(middle * (1.0 - 1e-9), freedom),
                chi_squared_tail(middle, freedom),
            );
            assert!((below - above).abs() < 1e-6, "{freedom}: {below}, {above}");
        }
    }

    #[test]
    fn the_edges_are_no_trouble() {
        assert_eq!(chi_squared_tail(0.0, 3), 1.0);
        assert_eq!(chi_squared_tail(f64::INFINITY, 3), 0.0);
        assert_eq!(chi_squared_tail(1e300, 5), 0.0);
        assert!(chi_squared_tail(1.0, 0).is_nan());
        assert!(chi_squared_tail(f64::NAN, 4).is_nan());
    }
}
