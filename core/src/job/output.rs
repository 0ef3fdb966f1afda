//! What was found: the [`Analysis`], in SI throughout, with the units that people would like to see beside it.

use serde::{Deserialize, Serialize};

use super::input::{Fit, Varied};
use crate::line::band;

/// The version of the shapes in this module.
pub const VERSION: u32 = 1;

/// All that was found in a [`Job`](super::Job).
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Analysis {
    /// The version of this shape.
    pub version: u32,
    /// What the columns of the table were taken for.
    pub columns: Vec<Column>,
    /// What is on the two axes.
    pub axes: Axes,
    /// Which quantity was varied.
    pub varied: Varied,
    /// How the best line was found.
    pub fit: Fit,
    /// Every point, by family and then row; excluded ones too.
    pub points: Vec<Point>,
    /// The series of points, each with its own line: one, unless the table holds several wires or lengths.
    pub families: Vec<Family>,
    /// The best line, when there is one series and enough points.
    pub best_line: Option<BestLine>,
    /// The best line through the origin, beside it.
    pub origin_line: Option<OriginLine>,
    /// The steepest and the shallowest line through every error bar (or box, when x has uncertainties too).
    pub extreme_lines: Option<ExtremeLines>,
    /// The same through the vertical bars alone, when x has uncertainties too.
    pub extreme_lines_bars_only: Option<ExtremeLines>,
    /// What stops a line from passing through every bar, when something does.
    pub blocked: Option<Blocked>,
    /// The gradient triangle on the best line.
    pub triangle: Option<Triangle>,
    /// The flux density.
    pub flux_density: Option<FluxDensity>,
    /// The flux density from the line through the origin.
    pub flux_density_through_origin: Option<f64>,
    /// One flux density for all series, where there are several and they agree.
    pub joint: Option<Joint>,
    /// The drift of the balance that was taken off the readings, when one was allowed for.
    pub drift: Option<Drift>,
    /// The line if it were the current that was read and the balance's reading that was set: x on y, turned back.
    pub inverse_line: Option<InverseLine>,
    /// Patterns in the residuals of the best line, in order of x.
    pub residual_tests: Option<ResidualTests>,
    /// The effective length of the field, where a probe was walked along the wire.
    pub effective_length: Option<EffectiveLength>,
    /// The simulation that checks the budget, where one was asked for.
    pub monte_carlo: Option<MonteCarlo>,
    /// Comparison with the probe or expected value.
    pub comparison: Option<Comparison>,
    /// What looks wrong on the bench.
    pub findings: Vec<Finding>,
    /// What was understood of the typed text and what was not.
    pub notes: Vec<Note>,
}

/// One column of the table.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Column {
    /// From 1, as pasted.
    pub column: usize,
    /// The heading as shown.
    pub heading: String,
    /// `current`, `reading`, `full_reading`, `zero`, `zero_before`, `zero_after`, `force`, `length`, `wires`, `angle`,
    /// `flux_density`, `position`, `time`, `counter`, `uncertainty`, `comment` or `ignored`.
    pub meaning: String,
    /// For `uncertainty`: the column, from 1, that it belongs to.
    pub of: Option<usize>,
    /// Whether the meaning was guessed rather than chosen.
    pub guessed: bool,
    /// The unit its bare numbers are in.
    pub unit: Option<String>,
    /// What sets it apart from other columns of the same meaning: `10 mm`.
    pub series: Option<String>,
    /// Whether the points were made from it.
    pub used: bool,
}

/// What is on the two axes.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Axes {
    /// The horizontal axis.
    pub x: Axis,
    /// The vertical axis.
    pub y: Axis,
}

/// One axis: a value in SI divided by `unit_si` is the value in `unit`.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Axis {
    /// The quantity in words: `current`.
    pub quantity: String,
    /// Its symbol: `I`.
    pub symbol: String,
    /// The unit to show it in: `A`; empty for a pure number.
    pub unit: String,
    /// One such unit in SI.
    pub unit_si: f64,
    /// Decimal places that the instrument gives, in `unit`.
    pub decimals: i32,
}

/// One point, SI.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Point {
    /// Horizontal value.
    pub x: f64,
    /// Vertical value (kg, or N where forces were typed).
    pub y: f64,
    /// Half-width of the horizontal error bar; null when x has no stated uncertainty.
    pub u_x: Option<f64>,
    /// Half-width of the vertical error bar.
    pub u_y: f64,
    /// Standard uncertainty of y.
    pub u_y_standard: f64,
    /// The row it came from, from 1.
    pub row: usize,
    /// Index into `families`.
    pub family: usize,
    /// How many repeats it is the mean of.
    pub repeats: usize,
    /// Whether it was left out of the line.
    pub excluded: bool,
    /// Vertical distance from the best line of its family.
    pub residual: Option<f64>,
}

/// One series of points with its own line.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Family {
    /// What sets it apart: `10 mm`; empty when there is only one.
    pub label: String,
    /// Length of one wire in the field, in m.
    pub length: Option<f64>,
    /// How many wires.
    pub wires: f64,
    /// Angle between wire and field, in rad; null for a right angle.
    pub angle: Option<f64>,
    /// Its best line.
    pub best_line: Option<BestLine>,
    /// Its extreme lines.
    pub extreme_lines: Option<ExtremeLines>,
    /// Its flux density.
    pub flux_density: Option<FluxDensity>,
}

/// A straight line y = gradient x + intercept, SI.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Straight {
    /// Gradient.
    pub gradient: f64,
    /// Intercept.
    pub intercept: f64,
}

/// The best line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct BestLine {
    /// Gradient.
    pub gradient: f64,
    /// Intercept; 0 when the line was forced through the origin.
    pub intercept: f64,
    /// Standard error of the gradient; null when it cannot be known (two points).
    pub gradient_standard_error: Option<f64>,
    /// Standard error of the intercept; null when it cannot be known.
    pub intercept_standard_error: Option<f64>,
    /// Covariance of gradient and intercept.
    pub covariance: Option<f64>,
    /// Square of the correlation; about the mean, except for a line through the origin, where it is about zero
    /// (`r_squared_about`); null when y does not vary.
    pub r_squared: Option<f64>,
    /// `mean` or `zero`.
    pub r_squared_about: &'static str,
    /// Residual standard deviation; null without degrees of freedom.
    pub residual_sd: Option<f64>,
    /// Chi-squared of the fits that use stated uncertainties.
    pub chi_squared: Option<f64>,
    /// The probability of so large a chi-squared, or larger, if the stated uncertainties are right.
    pub chi_squared_probability: Option<f64>,
    /// Standard error of the gradient when the stated uncertainties are right in proportion only: times √(χ²/ν).
    pub gradient_scaled_error: Option<f64>,
    /// The same of the intercept.
    pub intercept_scaled_error: Option<f64>,
    /// How well the line is known at each x; null without standard errors.
    pub band: Option<Band>,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Points used.
    pub points: usize,
}

/// How well a line is known at each x: half-width = `coverage_factor` √(`height_standard_error`² + (x - `middle_x`)²
/// `gradient_standard_error`²), and with `reading_sd`² under the root as well that of one new reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Band {
    /// The x at which the line is best known.
    pub middle_x: f64,
    /// Standard error of the line's height there.
    pub height_standard_error: f64,
    /// Standard error of the gradient.
    pub gradient_standard_error: f64,
    /// Standard deviation of one reading: of the residuals, or the stated uncertainties' mean size.
    pub reading_sd: f64,
    /// Student's t for 95 %.
    pub coverage_factor: f64,
}

impl Band {
    /// The half-width of the band of the line at `x`.
    pub fn half_width(&self, x: f64) -> f64 {
        self.as_found().half_width(x)
    }

    /// The half-width of the band for one new reading at `x`.
    pub fn half_width_of_reading(&self, x: f64) -> f64 {
        self.as_found().half_width_of_reading(x, self.reading_sd)
    }

    fn as_found(&self) -> band::Band {
        band::Band {
            middle_x: self.middle_x,
            height_error: self.height_standard_error,
            gradient_error: self.gradient_standard_error,
            factor: self.coverage_factor,
        }
    }
}

/// The line of x on y, turned back into y against x.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct InverseLine {
    /// Gradient: that of the best line over R².
    pub gradient: f64,
    /// Intercept.
    pub intercept: f64,
    /// The flux density that it gives, tesla.
    pub flux_density: Option<f64>,
}

/// Patterns in the residuals of the best line, in order of x.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct ResidualTests {
    /// Runs of equal sign; null when there is only one sign.
    pub runs: Option<usize>,
    /// Residuals above zero.
    pub above: Option<usize>,
    /// Residuals below zero.
    pub below: Option<usize>,
    /// The probability of as few runs or fewer by chance (Wald and Wolfowitz).
    pub runs_at_most: Option<f64>,
    /// The probability of as many runs or more.
    pub runs_at_least: Option<f64>,
    /// Durbin and Watson's d: near 2 without a pattern, near 0 for a smooth bend.
    pub durbin_watson: f64,
    /// Correlation of each residual with the one before it.
    pub lag_1: f64,
}

/// The effective length of the field from a probe walked along the wire, SI.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct EffectiveLength {
    /// The integral of B along the wire over B in the middle, m.
    pub length: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
    /// The integral, T m.
    pub integral: f64,
    /// Its standard uncertainty.
    pub integral_standard_uncertainty: f64,
    /// B in the middle, T.
    pub centre: f64,
    /// Where the middle is, m.
    pub centre_position: f64,
    /// The larger field at the ends of the walk over that in the middle.
    pub left_at_ends: f64,
    /// Places read.
    pub places: usize,
    /// Whether it took the place of the typed length.
    pub used: bool,
    /// B times length from the balance, T m, to compare with the integral: it needs no length at all. Null with several
    /// series, without a flux density and where the length was varied.
    pub from_balance: Option<f64>,
    /// The standard uncertainty of that.
    pub from_balance_standard_uncertainty: Option<f64>,
}

/// What the simulated repetitions of the whole calculation say, tesla.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct MonteCarlo {
    /// How many trials.
    pub trials: usize,
    /// What they were thrown from.
    pub seed: u32,
    /// Mean; null where the spread of the gradient has none to settle with (three readings).
    pub mean: Option<f64>,
    /// Standard uncertainty; null as the mean.
    pub standard_uncertainty: Option<f64>,
    /// The 95 % interval with as much left out below as above.
    pub interval: [f64; 2],
    /// The shortest 95 % interval.
    pub shortest_interval: [f64; 2],
    /// Numerical error of the standard uncertainty.
    pub standard_uncertainty_error: Option<f64>,
    /// Numerical error of both ends of the interval.
    pub interval_error: [f64; 2],
    /// Whether the budget's interval has the same ends, within half a unit of the second figure of its standard
    /// uncertainty.
    pub agrees: bool,
}

/// The best line through the origin.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct OriginLine {
    /// Gradient.
    pub gradient: f64,
    /// Its standard error.
    pub gradient_standard_error: Option<f64>,
    /// Residual standard deviation.
    pub residual_sd: Option<f64>,
    /// 1 - SSE / sum of y².
    pub r_squared_about_zero: Option<f64>,
    /// 1 - SSE / sum of (y - mean)²; may be negative; the one to compare with the free line's.
    pub r_squared_about_mean: Option<f64>,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
}

/// The two extreme lines that pass through every bar.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct ExtremeLines {
    /// The steepest.
    pub steepest: Straight,
    /// The shallowest.
    pub shallowest: Straight,
    /// Half the difference of their gradients.
    pub half_difference: f64,
    /// The larger distance of either gradient from the best one.
    pub larger_distance: f64,
    /// Whether boxes (both uncertainties) were used rather than vertical bars.
    pub boxes: bool,
}

/// Why no line passes through every bar.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Blocked {
    /// The smallest set of rows (up to three) without which a line exists; empty when more would have to go.
    pub rows: Vec<usize>,
    /// The smallest common half-width of vertical bars for which a line exists, SI.
    pub smallest_half_width: f64,
    /// Whether boxes were tried rather than vertical bars.
    pub boxes: bool,
}

/// The gradient triangle: two corners on the best line, SI.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Triangle {
    /// Lower x corner.
    pub x1: f64,
    /// y on the line there.
    pub y1: f64,
    /// Higher x corner.
    pub x2: f64,
    /// y on the line there.
    pub y2: f64,
}

/// The flux density, tesla.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct FluxDensity {
    /// The value; signed like the gradient.
    pub tesla: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: Option<f64>,
    /// At 95 %.
    pub expanded_uncertainty: Option<f64>,
    /// Student's t at the effective degrees of freedom.
    pub coverage_factor: Option<f64>,
    /// Welch-Satterthwaite.
    pub effective_degrees_of_freedom: Option<f64>,
    /// School uncertainty: percentage uncertainties added.
    pub school_uncertainty: Option<f64>,
    /// Where the gradient's part of it came from: `worst_lines` or `standard_error`.
    pub school_basis: Option<&'static str>,
    /// Value and uncertainty rounded together, with the unit: `(32.7 ± 0.4) mT`.
    pub text: String,
    /// The same with the expanded uncertainty.
    pub text_standard: String,
    /// The unit of the texts: `mT` or `T`.
    pub unit: &'static str,
    /// What the standard uncertainty is made of.
    pub budget: Vec<BudgetLine>,
}

/// One flux density for several series, each with an intercept of its own.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Joint {
    /// The value, tesla.
    pub tesla: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// At 95 %.
    pub expanded_uncertainty: f64,
    /// Student's t at the effective degrees of freedom.
    pub coverage_factor: f64,
    /// F of the single values about it (chi-squared, where the uncertainties are stated).
    pub statistic: f64,
    /// The probability of as large a statistic when there is one field for all.
    pub p_value: f64,
    /// Value and expanded uncertainty rounded together, with the unit.
    pub text: String,
    /// What the standard uncertainty is made of.
    pub budget: Vec<BudgetLine>,
}

/// A steady drift of the balance that was taken off the readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Drift {
    /// Change of y for each step of the order, SI: per second where the table gives times, else per reading.
    pub rate: f64,
    /// Its standard error; null without degrees of freedom.
    pub rate_standard_error: Option<f64>,
    /// `second` or `reading`.
    pub per: &'static str,
}

/// One line of the budget.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BudgetLine {
    /// `gradient`, `length`, …
    pub source: String,
    /// The value, SI.
    pub value: f64,
    /// Its standard uncertainty, SI.
    pub standard_uncertainty: f64,
    /// Change of B per unit change of the value.
    pub sensitivity: f64,
    /// Contribution to B, tesla.
    pub contribution: f64,
    /// Share of the variance, in %.
    pub share_percent: f64,
}

/// Comparison with a probe or expected value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Comparison {
    /// The value compared with, tesla, as a size.
    pub expected_tesla: f64,
    /// |B| minus it.
    pub difference: f64,
    /// Difference as a percentage of the expected value.
    pub percentage_difference: f64,
    /// E_n with expanded uncertainties; null without them.
    pub normalised_error: Option<f64>,
    /// Whether the school ranges overlap; null without a school uncertainty.
    pub ranges_overlap: Option<bool>,
    /// The verdict: by E_n where there is one, else by the ranges; null when neither can be had.
    pub agrees: Option<bool>,
}

/// Something that looks wrong on the bench, or that the reader should know of the data.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Finding {
    /// Which: a name of its own in snake case.
    pub kind: &'static str,
    /// The first row it speaks of, from 1.
    pub row: Option<usize>,
    /// All rows it speaks of.
    pub rows: Vec<usize>,
    /// The statistic, where there is one.
    pub statistic: Option<f64>,
    /// Its probability by chance alone.
    pub p_value: Option<f64>,
    /// What was seen and why it matters.
    pub text: String,
    /// What to do on the bench.
    pub advice: String,
}

/// What was understood of the typed text, or what was not.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Note {
    /// The row, from 1 without headings.
    pub row: Option<usize>,
    /// The column, from 1.
    pub column: Option<usize>,
    /// The field of the apparatus, when it is not the table: `length`.
    pub field: Option<&'static str>,
    /// `told` (for information), `asked` (a choice that can be changed) or `trouble` (something was not used).
    pub weight: &'static str,
    /// A sentence.
    pub text: String,
}
