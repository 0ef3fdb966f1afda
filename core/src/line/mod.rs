//! Straight lines through readings.
//!
//! Start at [`least_squares::fit`]. The other ways of drawing a line stand beside it:
//! [`least_squares::through_origin`], [`weighted::fit`] (unequal uncertainties in y), [`both_errors::fit`]
//! (uncertainties in x and y), [`with_drift::fit`] (a zero that moves steadily), and [`extreme::lines`] (the steepest
//! and shallowest lines through every error bar). [`triangle::on`] picks the corners between which a gradient is read
//! off a drawn line.
//!
//! What a line is worth: [`Fitted::chi_squared_probability`] (stated uncertainties against scatter), [`band`] (how well
//! it is known at one x), [`residual_tests`] (patterns in what is left over), [`grubbs`] (one reading far from its
//! repeats), [`joint`] (several lines that share one value).
//!
//! Nothing here knows what x and y mean; units are the caller's.

pub mod band;
pub mod both_errors;
pub mod extreme;
pub mod grubbs;
pub mod joint;
pub mod least_squares;
pub mod precise;
pub mod residual_tests;
pub mod student;
pub mod tails;
pub mod triangle;
pub mod weighted;
pub mod with_drift;

/// One point as the lines see it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Datum {
    /// Horizontal value.
    pub x: f64,
    /// Vertical value.
    pub y: f64,
    /// Half-width of the horizontal bar, 0 for none.
    pub bar_x: f64,
    /// Half-width of the vertical bar, 0 for none.
    pub bar_y: f64,
    /// Standard uncertainty of x.
    pub u_x: f64,
    /// Standard uncertainty of y.
    pub u_y: f64,
}

/// A straight line y = gradient x + intercept.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Line {
    /// Change of y for unit change of x.
    pub gradient: f64,
    /// y at x = 0.
    pub intercept: f64,
}

impl Line {
    /// y on the line at `x`.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.gradient * x
    }
}

/// A best line with what is known of its uncertainty.
///
/// Standard errors, covariance and residual s.d. are `None` where there are no degrees of freedom to find them from:
/// two points do not give an uncertainty of zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// The line.
    pub line: Line,
    /// Standard error of the gradient.
    pub gradient_error: Option<f64>,
    /// Standard error of the intercept (`None` also for a line forced through the origin).
    pub intercept_error: Option<f64>,
    /// Covariance of gradient and intercept.
    pub covariance: Option<f64>,
    /// Standard error of the line's height at the x where height and gradient are independent; 0 at the origin for a
    /// line forced through it.
    pub height_error: Option<f64>,
    /// Degrees of freedom of these errors: infinite where they come from stated uncertainties taken at face value.
    pub error_degrees_of_freedom: f64,
    /// Residual standard deviation, sqrt(SSE / degrees of freedom), in units of y.
    pub residual_sd: Option<f64>,
    /// 1 - SSE / Syy about the mean; `None` when y does not vary or when there are only two points.
    pub r_squared_about_mean: Option<f64>,
    /// 1 - SSE / Σy², meaningful for a line through the origin only.
    pub r_squared_about_zero: Option<f64>,
    /// Sum of squared residuals over their stated variances, for the fits that use them.
    pub chi_squared: Option<f64>,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// How many points were used.
    pub points: usize,
    /// Mean of x (weighted for the weighted fits).
    pub mean_x: f64,
}

impl Fitted {
    /// Sum of squared residuals, in units of y squared; `None` without degrees of freedom.
    pub fn squares(&self) -> Option<f64> {
        let s = self.residual_sd?;
        Some(s * s * self.degrees_of_freedom as f64)
    }

    /// Sum of squares of x about the mean of this line's points.
    pub fn spread_of_x(&self, data: &[Datum]) -> f64 {
        data.iter()
            .map(|d| (d.x - self.mean_x) * (d.x - self.mean_x))
            .sum()
    }

    /// P(χ² ≥ the one found) if the stated uncertainties are right and the line is straight.
    ///
    /// `None` for the fits that use no stated uncertainties, and without degrees of freedom.
    pub fn chi_squared_probability(&self) -> Option<f64> {
        let chi_squared = self.chi_squared?;
        (self.degrees_of_freedom > 0)
            .then(|| tails::chi_squared_tail(chi_squared, self.degrees_of_freedom))
    }

    /// The same line when only the proportions of the stated uncertainties are trusted: every error times
    /// √(χ²/(n - 2)), with n - 2 degrees of freedom.
    ///
    /// `None` for the fits that use no stated uncertainties (their errors come from the scatter already), and without
    /// degrees of freedom.
    pub fn rescaled(&self) -> Option<Fitted> {
        let chi_squared = self.chi_squared?;
        if self.degrees_of_freedom == 0 {
            return None;
        }
        let freedom = self.degrees_of_freedom as f64;
        let square = chi_squared / freedom;
        let scaled = |error: Option<f64>| error.map(|error| error * square.sqrt());
        Some(Fitted {
            gradient_error: scaled(self.gradient_error),
            intercept_error: scaled(self.intercept_error),
            height_error: scaled(self.height_error),
            covariance: self.covariance.map(|covariance| covariance * square),
            error_degrees_of_freedom: freedom,
            ..*self
        })
    }

    /// The line of x on y, turned back into y against x: what the same readings give when it is x that scatters and y
    /// that was set.
    ///
    /// Its gradient is b/r², never less steep, and it passes through the same mean. For [`least_squares::fit`]; `None`
    /// where there is no R² about the mean, or one of 0.
    pub fn inverted(&self) -> Option<Line> {
        let r_squared = self
            .r_squared_about_mean
            .filter(|r| *r > 0.0 && *r <= 1.0)?;
        let gradient = self.line.gradient / r_squared;
        // About the old line, so that an offset in y costs no digits.
        let intercept = self.line.intercept - (gradient - self.line.gradient) * self.mean_x;
        Some(Line {
            gradient,
            intercept,
        })
    }
}

/// The scatter about a line against the stated uncertainties.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scatter {
    /// More than they allow.
    More,
    /// Less than stated.
    Less,
    /// What they lead one to expect.
    AsStated,
}

impl Scatter {
    /// By the probability of so large a χ², or larger: 1 % at each end.
    pub fn of(chi_squared_probability: f64) -> Scatter {
        if chi_squared_probability < 0.01 {
            Scatter::More
        } else if chi_squared_probability > 0.99 {
            Scatter::Less
        } else {
            Scatter::AsStated
        }
    }
}

/// Why there is no line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineError {
    /// Fewer points than the line needs.
    TooFew {
        /// Points given.
        points: usize,
        /// Points needed.
        needed: usize,
    },
    /// All x are equal, to within rounding.
    NoSpread,
    /// A fit that needs uncertainties met a point without one (index from 0).
    NoUncertainty {
        /// Index of the point.
        index: usize,
    },
    /// The iteration did not settle.
    NotSettled,
    /// The horizontal values go along with the order of the readings: drift and gradient cannot be told apart.
    TiedToOrder,
}

/// What every line with a free intercept needs: two points at different x.
fn require_spread(data: &[Datum]) -> Result<(), LineError> {
    if data.len() < 2 {
        return Err(LineError::TooFew {
            points: data.len(),
            needed: 2,
        });
    }
    if no_spread(data) {
        return Err(LineError::NoSpread);
    }
    Ok(())
}

/// Whether the x values are equal up to the rounding of their last binary digit.
fn no_spread(data: &[Datum]) -> bool {
    let (mut low, mut high, mut size) = (f64::INFINITY, f64::NEG_INFINITY, 0.0_f64);
    for d in data {
        low = low.min(d.x);
        high = high.max(d.x);
        size = size.max(d.x.abs());
    }
    high - low <= 4.0 * f64::EPSILON * size
}
