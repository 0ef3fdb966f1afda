//! What the sheet is made from: references to what the stages to the left found, and how it is to look.

use crate::field::effective_length::EffectiveLength;
use crate::field::monte_carlo::Outcome;
use crate::field::{Budget, Comparison, FluxDensity};
use crate::line::extreme::{Extremes, Stopped};
use crate::line::joint::Joint;
use crate::line::residual_tests::ResidualTests;
use crate::line::triangle::Triangle;
use crate::line::with_drift::WithDrift;
use crate::line::{Fitted, Line};
use crate::readings::{Readings, Setup};
use crate::table::Table;

/// What the sheet is made from.
#[derive(Clone, Debug)]
pub struct Given<'a> {
    /// The title typed by the user; may be empty.
    pub title: &'a str,
    /// The table as typed.
    pub table: &'a Table,
    /// The apparatus.
    pub setup: &'a Setup,
    /// The points.
    pub readings: &'a Readings,
    /// How the best line was found.
    pub method: Method,
    /// What was found for each of [`Readings::families`], in their order.
    pub found: Vec<Found<'a>>,
    /// One flux density for all series with its budget, where there are several and they agree.
    pub joint: Option<(Joint, &'a Budget)>,
    /// The effective length from a walk of the probe, and whether it took the place of the typed length.
    pub effective_length: Option<(EffectiveLength, bool)>,
    /// The simulation that checks the budget.
    pub monte_carlo: Option<Outcome>,
    /// Whether only the proportions of the stated uncertainties are trusted.
    pub relative: bool,
    /// The comparison with a probe or expected value.
    pub comparison: Option<Comparison>,
    /// What was seen on the bench.
    pub observations: Vec<Observation>,
    /// What was understood of the typed text and what was not, in sentences.
    pub notes: Vec<String>,
    /// Rows that the user left out of the line.
    pub excluded: Vec<Excluded>,
    /// The school convention for the gradient's uncertainty.
    pub worst_line_rule: WorstLineRule,
    /// How much is shown.
    pub show: Show,
    /// Which way of stating the uncertainty is printed.
    pub way: Way,
}

/// What was found for one series of points.
#[derive(Clone, Debug)]
pub struct Found<'a> {
    /// The best line.
    pub best: Option<Fitted>,
    /// The drift of the zero that was taken off the points.
    pub drift: Option<WithDrift>,
    /// The best line through the origin.
    pub through_origin: Option<Fitted>,
    /// The line if it was x that was read and y that was set, with the flux density that it gives, T.
    pub inverse: Option<(Line, Option<f64>)>,
    /// Patterns in the residuals of the best line.
    pub residual_tests: Option<ResidualTests>,
    /// The steepest and the shallowest line through every bar, or what stopped them.
    pub extremes: Result<Extremes, Stopped>,
    /// Whether boxes of both uncertainties had to be met rather than vertical bars.
    pub boxes: bool,
    /// The smallest set of rows (from 1) without which a line would pass through every bar; empty when more than three
    /// would have to go, or when nothing stops it.
    pub blocked_rows: Vec<usize>,
    /// The smallest common half-width of vertical bars for which a line passes through all, SI.
    pub smallest_half_width: Option<f64>,
    /// The gradient triangle on the best line.
    pub triangle: Option<Triangle>,
    /// The flux density.
    pub flux_density: Option<&'a FluxDensity>,
}

/// More rows than this are not printed: five pages of figures help nobody.
pub const MOST_ROWS: usize = 200;

/// How the best line was found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Method {
    /// Least squares with an intercept.
    #[default]
    LeastSquares,
    /// The same, each point weighted by its uncertainty in y.
    Weighted,
    /// Uncertainties in both coordinates.
    BothErrors,
    /// Least squares through the origin.
    ThroughOrigin,
}

/// Something seen in the data, in sentences.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Observation {
    /// What was seen and why it matters.
    pub text: String,
    /// What to do on the bench.
    pub advice: String,
    /// The rows it speaks of, from 1.
    pub rows: Vec<usize>,
}

/// A row that the user left out of the line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Excluded {
    /// The row, from 1.
    pub row: usize,
    /// The reason typed; may be empty.
    pub reason: String,
}

/// The school convention for the gradient's uncertainty.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum WorstLineRule {
    /// Half the difference between the steepest and the shallowest gradient.
    #[default]
    HalfDifference,
    /// The larger distance of either from the best gradient.
    LargerDistance,
}

/// How much of the solution the sheet shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Show {
    /// Every step with formula, substitution and result.
    #[default]
    Full,
    /// Results only.
    Answers,
    /// The readings and the questions, with room to write; no result anywhere.
    Blank,
}

/// Which way of stating the uncertainty is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Way {
    /// Both.
    #[default]
    Both,
    /// Worst acceptable lines; percentage uncertainties add.
    School,
    /// Standard errors combined in quadrature, expanded to 95 %.
    Standard,
}

impl Way {
    /// Whether the school way is printed.
    pub fn school(self) -> bool {
        self != Way::Standard
    }

    /// Whether the standard way is printed.
    pub fn standard(self) -> bool {
        self != Way::School
    }
}
