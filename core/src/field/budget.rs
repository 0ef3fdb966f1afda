//! The budget of standard uncertainties.

use crate::line::student;

/// One source of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// What it is: `gradient`, `length`, `current`, `angle`, `gravity`.
    pub name: &'static str,
    /// Value, SI.
    pub value: f64,
    /// Standard uncertainty, SI.
    pub standard_uncertainty: f64,
    /// Change of the result per unit change of the value.
    pub sensitivity: f64,
    /// Degrees of freedom of the standard uncertainty; infinite when it is taken as known.
    pub degrees_of_freedom: f64,
}

impl Source {
    /// The contribution to the standard uncertainty of the result, in its unit; not negative.
    pub fn contribution(&self) -> f64 {
        (self.sensitivity * self.standard_uncertainty).abs()
    }
}

/// Sources combined.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Budget {
    /// The sources.
    pub sources: Vec<Source>,
    /// Combined standard uncertainty: contributions in quadrature.
    pub combined: f64,
    /// Effective degrees of freedom (Welch-Satterthwaite); infinite when all are.
    pub degrees_of_freedom: f64,
    /// Student's t for 95 % at those.
    pub coverage_factor: f64,
}

impl Budget {
    /// Combines independent sources.
    ///
    /// u² = Σ (c u_i)², ν_eff = u⁴ / Σ ((c u_i)⁴ / ν_i), k = t(95 %, ν_eff).
    ///
    /// # Source
    /// JCGM 100:2008, 5.1.2 and annex G.4. The effective degrees of freedom are not cut to a whole number.
    pub fn of(sources: Vec<Source>) -> Budget {
        let variance: f64 = sources
            .iter()
            .map(|s| s.contribution() * s.contribution())
            .sum();
        let combined = variance.sqrt();
        let fourth: f64 = sources
            .iter()
            .map(|s| {
                let c = s.contribution();
                c * c * c * c / s.degrees_of_freedom
            })
            .sum();
        let degrees_of_freedom = if fourth > 0.0 {
            variance * variance / fourth
        } else {
            f64::INFINITY
        };
        Budget {
            sources,
            combined,
            degrees_of_freedom,
            coverage_factor: student::two_sided(0.95, degrees_of_freedom),
        }
    }

    /// The share of one source in the variance, in %.
    pub fn share_percent(&self, source: &Source) -> f64 {
        if self.combined > 0.0 {
            let share = source.contribution() / self.combined;
            100.0 * share * share
        } else {
            0.0
        }
    }

    /// Half-width of the interval at 95 %.
    pub fn expanded(&self) -> f64 {
        self.coverage_factor * self.combined
    }
}
