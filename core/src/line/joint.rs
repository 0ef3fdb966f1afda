//! One value from several lines that share it: the flux density from wires of several numbers or lengths in one field.

use super::tails::{chi_squared_tail, f_tail};

/// What one series gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct One {
    /// Its value: the gradient times what is known.
    pub value: f64,
    /// The standard uncertainty of that per unit of the scatter: |B / b| / √Sxx (times what a drift widens it) where the scatter comes from the residuals, and
    /// |B / b| u(b) where the uncertainties are stated.
    pub per_scatter: f64,
    /// Sum of squared residuals, in units of y squared; 0 where the uncertainties are stated.
    pub squares: f64,
    /// Degrees of freedom of that; infinite where the uncertainties are stated.
    pub degrees_of_freedom: f64,
}

/// Several values joined.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// Mean weighted by the inverse of the variances.
    pub value: f64,
    /// Its standard uncertainty from the gradients alone.
    pub standard: f64,
    /// Degrees of freedom of that.
    pub degrees_of_freedom: f64,
    /// F (or, for stated uncertainties, chi-squared) of the values about their mean.
    pub statistic: f64,
    /// The probability of as large a statistic when there is one value for all.
    pub p_value: f64,
}

/// Joins two series or more that share one scatter of the readings.
///
/// Each series keeps an intercept of its own. With the pooled scatter s² = Σ SSE / Σν, each value has the variance
/// s² c²/Sxx, and their weighted mean is that of the least-squares lines with one common B. The spread about the mean,
/// Σ (B_i - B)² / v_i / (k - 1), follows the F law with k - 1 and Σν degrees of freedom when there is one field for
/// all; with stated uncertainties Σ (B_i - B)² / v_i follows chi-squared. `least_scatter` is what the steps of the
/// balance alone make of s. `None` below two series or without any scatter to go by.
///
/// # Source
/// Analysis of covariance (lines with one common slope), any text on regression.
pub fn join(series: &[One], least_scatter: f64) -> Option<Joint> {
    if series.len() < 2 {
        return None;
    }
    let stated = series.iter().all(|s| s.degrees_of_freedom.is_infinite());
    if !stated && series.iter().any(|s| s.degrees_of_freedom.is_infinite()) {
        return None;
    }
    let nu: f64 = series.iter().map(|s| s.degrees_of_freedom).sum();
    let scatter = if stated {
        1.0
    } else {
        let squares: f64 = series.iter().map(|s| s.squares).sum();
        (squares / nu).sqrt().max(least_scatter)
    };
    if !(nu > 0.0 && scatter > 0.0) {
        return None;
    }
    let variance = |one: &One| one.per_scatter * one.per_scatter * scatter * scatter;
    if series.iter().any(|s| {
        let v = variance(s);
        !(v > 0.0 && v.is_finite())
    }) {
        return None;
    }
    let weight: f64 = series.iter().map(|s| 1.0 / variance(s)).sum();
    let value = series.iter().map(|s| s.value / variance(s)).sum::<f64>() / weight;
    let spread: f64 = series
        .iter()
        .map(|s| (s.value - value) * (s.value - value) / variance(s))
        .sum();
    let apart = series.len() - 1;
    let (statistic, p_value) = if stated {
        (spread, chi_squared_tail(spread, apart))
    } else {
        let f = spread / apart as f64;
        (f, f_tail(f, apart as f64, nu))
    };
    Some(Joint {
        value,
        standard: (1.0 / weight).sqrt(),
        degrees_of_freedom: nu,
        statistic,
        p_value,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: two equal values keep their value, and their uncertainty falls by √2.
    #[test]
    fn two_alike_give_their_mean_with_less_uncertainty() {
        let one = One {
            value: 0.03,
            per_scatter: 2.0,
            squares: 4e-8,
            degrees_of_freedom: 4.0,
        };
        let joint = join(&[one, one], 0.0).unwrap();
        assert!((joint.value - 0.03).abs() < 1e-15);
        assert!((joint.standard - 2e-4 / 2.0_f64.sqrt()).abs() < 1e-15);
        assert_eq!((joint.degrees_of_freedom, joint.p_value), (8.0, 1.0));
    }
}
