//! Tails of the chi-squared and F laws.

use special::{Beta, Gamma};

/// P(χ² ≥ x) for `degrees_of_freedom`.
pub fn chi_squared_tail(x: f64, degrees_of_freedom: f64) -> f64 {
    if x <= 0.0 {
        return 1.0;
    }
    (1.0 - (x / 2.0).inc_gamma(degrees_of_freedom / 2.0)).clamp(0.0, 1.0)
}

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
}
