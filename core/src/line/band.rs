//! How well a line is known at one x: the confidence band of the line, and the interval for one new reading.
//!
//! Start at [`Band::of`].

use super::{Fitted, student};

/// The uncertainty of a fitted line from one end to the other.
///
/// A line is best known near the middle of its points: there its height and its gradient are independent, and at a
/// distance d from it the variance is that of the height plus d² times that of the gradient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// The x at which the line is best known.
    pub middle_x: f64,
    /// Standard error of the line's height there.
    pub height_error: f64,
    /// Standard error of the gradient.
    pub gradient_error: f64,
    /// Student's t for the confidence asked for.
    pub factor: f64,
}

impl Band {
    /// The band of a line at `confidence` (0.95 for 95 %), pointwise: for any one x, not for all at once.
    ///
    /// `None` where the line has no standard errors (two points), or for a confidence outside 0 to 1.
    ///
    /// # Source
    /// JCGM 100:2008, H.3.4: u²(y) = u²(a) + x² u²(b) + 2 x u(a, b), here about the x where u(a, b) vanishes, so that a
    /// large offset in x costs no digits. Student's t for the degrees of freedom of the errors.
    pub fn of(fitted: &Fitted, confidence: f64) -> Option<Band> {
        let factor = student::two_sided(confidence, fitted.error_degrees_of_freedom);
        let gradient_error = fitted.gradient_error?;
        let middle_x = match fitted.covariance {
            // Without an intercept of its own the line is sure of one place, the origin.
            None => 0.0,
            Some(_) if gradient_error == 0.0 => fitted.mean_x,
            Some(covariance) => -covariance / (gradient_error * gradient_error),
        };
        let height_error = fitted.height_error?;
        let finite = factor.is_finite() && middle_x.is_finite() && gradient_error.is_finite();
        finite.then_some(Band {
            middle_x,
            height_error,
            gradient_error,
            factor,
        })
    }

    /// The standard uncertainty of the line's height at `x`.
    pub fn standard_error(&self, x: f64) -> f64 {
        self.variance(x).sqrt()
    }

    /// The half-width of the band at `x`.
    pub fn half_width(&self, x: f64) -> f64 {
        self.factor * self.standard_error(x)
    }

    /// The half-width of the interval for one new reading at `x` whose own standard deviation is `reading_sd`: the
    /// residual s.d. of the line, or the stated uncertainty of that reading.
    pub fn half_width_of_reading(&self, x: f64, reading_sd: f64) -> f64 {
        self.factor * (self.variance(x) + reading_sd * reading_sd).sqrt()
    }

    fn variance(&self, x: f64) -> f64 {
        let across = (x - self.middle_x) * self.gradient_error;
        self.height_error * self.height_error + across * across
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Datum, both_errors, least_squares, weighted};

    fn data() -> Vec<Datum> {
        let readings = [(1.0, 2.1), (2.0, 3.9), (3.0, 6.2), (4.0, 7.8), (6.0, 12.3)];
        let sizes = [0.1, 0.2, 0.1, 0.3, 0.2];
        let both = readings.iter().zip(sizes);
        both.map(|((x, y), u)| Datum {
            x: *x,
            y: *y,
            u_x: u / 3.0,
            u_y: u,
            ..Datum::default()
        })
        .collect()
    }

    #[test]
    fn at_zero_the_band_is_the_error_of_the_intercept() {
        for fitted in [
            least_squares::fit(&data()),
            weighted::fit(&data()),
            both_errors::fit(&data()),
        ] {
            let fitted = fitted.expect("a line");
            let band = Band::of(&fitted, 0.95).expect("a band");
            let intercept_error = fitted.intercept_error.expect("an error");
            assert!((band.standard_error(0.0) / intercept_error - 1.0).abs() < 1e-12);
            // u²(a) + x² u²(b) + 2 x u(a, b), as the GUM writes it.
            let (x, u_b) = (5.0, fitted.gradient_error.expect("an error"));
            let long = intercept_error * intercept_error
                + x * x * u_b * u_b
                + 2.0 * x * fitted.covariance.expect("a covariance");
            assert!((band.standard_error(x) / long.sqrt() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn a_line_through_the_origin_is_sure_of_the_origin() {
        let fitted = least_squares::through_origin(&data()).expect("a line");
        let band = Band::of(&fitted, 0.95).expect("a band");
        assert_eq!(band.half_width(0.0), 0.0);
        let error = fitted.gradient_error.expect("an error");
        assert!((band.standard_error(-2.0) - 2.0 * error).abs() < 1e-15);
    }

    #[test]
    fn a_time_stamp_on_x_costs_no_digits() {
        let moved: Vec<Datum> = data()
            .iter()
            .map(|d| Datum {
                x: d.x + 1_700_000_000.0,
                ..*d
            })
            .collect();
        for (near, far) in [
            (least_squares::fit(&data()), least_squares::fit(&moved)),
            (weighted::fit(&data()), weighted::fit(&moved)),
            (both_errors::fit(&data()), both_errors::fit(&moved)),
        ] {
            let near = Band::of(&near.expect("a line"), 0.95).expect("a band");
            let far = Band::of(&far.expect("a line"), 0.95).expect("a band");
            for x in [0.0, 3.0, 7.0] {
                let ratio = far.half_width(x + 1_700_000_000.0) / near.half_width(x);
                assert!((ratio - 1.0).abs() < 1e-6, "{x}: {ratio}");
            }
        }
    }

    #[test]
    fn two_points_have_no_band() {
        let fitted = least_squares::fit(&data()[..2]).expect("a line");
        assert_eq!(Band::of(&fitted, 0.95), None);
    }
}
