//! What the user typed: the [`Job`], kept as typed, since its figures carry meaning.
//!
//! Every field but `table` may be left out of the JSON; unknown fields are ignored, so that an older release reads
//! what a newer one wrote. A number is accepted where typed text is expected.

use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, Serialize};

/// The version of the shapes in this module. Raised when an older reader would misunderstand a newer job.
pub const VERSION: u32 = 1;

/// All that the user typed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Job {
    /// The version of this shape; 0 or left out means the first.
    pub version: u32,
    /// The title that the user gave to the work; the sheet opens with it.
    #[serde(deserialize_with = "typed")]
    pub title: String,
    /// The pasted table, as text.
    pub table: String,
    /// Wire, angle, gravity and instruments.
    pub apparatus: Apparatus,
    /// Which quantity was changed from reading to reading.
    pub varied: Varied,
    /// The current, when it is not the one that was varied: `"3.0 A"`.
    #[serde(deserialize_with = "typed")]
    pub fixed_current: String,
    /// How the best line is found.
    pub fit: Fit,
    /// A flux density measured or expected some other way, to compare with.
    pub probe: Probe,
    /// Rows, from 1, that are left out of the line. They stay in the table and on the graph.
    pub exclude: Vec<usize>,
    /// Why a row was left out, by row from 1, as typed.
    pub reasons: BTreeMap<usize, String>,
    /// What the user said of columns, against or beyond what was guessed.
    pub columns: Vec<ColumnChoice>,
    /// The decimal mark, when the user settled a doubt about it.
    pub decimal_mark: Option<DecimalMark>,
    /// Whether the readings lie down the columns or across the rows, when the user settled it.
    pub lie: Option<Lie>,
    /// How the zero of the balance was watched, and whether a drift is allowed for.
    pub balance_zero: BalanceZero,
    /// Whether readings of a current and of the same current reversed are joined to half their difference.
    pub reversed_pairs: bool,
    /// How far the stated uncertainties of the points are trusted by the kinds of line that use them.
    pub stated_uncertainties: StatedUncertainties,
    /// A probe walked along the line of the wire.
    pub walk: Walk,
    /// The simulation that checks the budget.
    pub monte_carlo: MonteCarlo,
    /// The school convention for the gradient's uncertainty.
    pub worst_line_rule: WorstLineRule,
    /// How the worked sheet is to look.
    pub sheet: SheetChoice,
}

/// Wire, angle, gravity and instruments, as typed text with units.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Apparatus {
    /// Length of one wire that lies in the field: `"5.0 cm"`. A bare number is taken in cm (from 30 on in mm),
    /// and that is told.
    #[serde(deserialize_with = "typed")]
    pub length: String,
    /// Uncertainty of that length: `"0.1 cm"`, `"1 mm"` or `"2 %"`.
    #[serde(deserialize_with = "typed")]
    pub length_uncertainty: String,
    /// How many such lengths carry the same current side by side; 1 when empty.
    #[serde(deserialize_with = "typed")]
    pub wires: String,
    /// Angle between wire and field: `"90°"`; 90 degrees when empty.
    #[serde(deserialize_with = "typed")]
    pub angle: String,
    /// Free fall acceleration: `"9.81 m/s²"`; 9.81 when empty.
    #[serde(deserialize_with = "typed")]
    pub gravity: String,
    /// Force over balance force for a balance with unequal arms; 1 when empty.
    #[serde(deserialize_with = "typed")]
    pub lever_ratio: String,
    /// Smallest step of the balance: `"0.01 g"`; taken from the decimals typed when empty.
    #[serde(deserialize_with = "typed")]
    pub balance_resolution: String,
    /// Smallest step of the ammeter: `"0.01 A"`; not used when empty.
    #[serde(deserialize_with = "typed")]
    pub current_resolution: String,
    /// How far the whole scale of the balance may be wrong: `"0.5 %"` of the reading; it is the same for all points and
    /// goes into the budget, taken as a standard uncertainty. Not used when empty.
    #[serde(deserialize_with = "typed")]
    pub balance_calibration: String,
    /// The same for the ammeter.
    #[serde(deserialize_with = "typed")]
    pub current_calibration: String,
}

/// Which quantity was changed from reading to reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Varied {
    /// m against I; L, N and the angle are fixed.
    #[default]
    Current,
    /// m against the total length N L at a fixed current.
    Length,
    /// m against sin θ at a fixed current.
    Angle,
    /// F against N I L sin θ: everything on one line, whose gradient is B itself.
    Product,
}

/// How the best line is found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fit {
    /// Least squares with an intercept.
    #[default]
    LeastSquares,
    /// Least squares with an intercept, each point weighted by its uncertainty in y.
    Weighted,
    /// Uncertainties in both coordinates.
    BothErrors,
    /// Least squares through the origin.
    ThroughOrigin,
}

/// How the zero of the balance was watched, and whether a drift is allowed for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BalanceZero {
    /// As the table shows: where readings at no current stand between the others and differ by more than a step of the
    /// balance, a steady drift is allowed for.
    #[default]
    AsNoted,
    /// Zeroed again before each reading: there is no drift to speak of.
    EachTime,
    /// A steady drift is allowed for.
    Drift,
    /// The readings stay as they were read.
    AsRead,
}

/// How far the stated uncertainties of the points are trusted by the kinds of line that use them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StatedUncertainties {
    /// As they stand: the errors of the line come from them, and chi-squared tests them.
    #[default]
    Known,
    /// In proportion to one another only: the scatter about the line gives their size.
    Relative,
}

/// A probe walked along the line of the wire, for the effective length of the field.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Walk {
    /// The pasted table of positions and probe readings, as text.
    pub table: String,
    /// Whether the effective length takes the place of the typed length.
    pub use_length: bool,
}

/// The simulation that checks the budget.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct MonteCarlo {
    /// How many trials, 1,000 or more; 0 for no simulation.
    pub trials: u32,
    /// What the trials are thrown from: the same seed gives the same outcome, to the bit, everywhere.
    pub seed: u32,
}

/// A flux density measured or expected some other way.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Probe {
    /// The reading: `"32 mT"`. A bare number is taken in mT, and that is told.
    #[serde(deserialize_with = "typed")]
    pub reading: String,
    /// Its uncertainty: `"1 mT"` or `"5 %"`.
    #[serde(deserialize_with = "typed")]
    pub uncertainty: String,
}

/// What the user said of one column.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct ColumnChoice {
    /// The column, from 1 as pasted.
    pub column: usize,
    /// What it holds: a name of [`output::Column::meaning`](super::output::Column::meaning).
    pub meaning: Option<String>,
    /// For `uncertainty`: the column, from 1, that it belongs to.
    pub of: Option<usize>,
    /// The unit its bare numbers are in, as typed.
    #[serde(deserialize_with = "typed")]
    pub unit: String,
    /// The length of the wire that this column of readings belongs to, as typed, when columns differ by length.
    #[serde(deserialize_with = "typed")]
    pub length: String,
    /// The number of wires that this column of readings belongs to, as typed, when columns differ by wires.
    #[serde(deserialize_with = "typed")]
    pub wires: String,
}

/// The decimal mark of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DecimalMark {
    /// 0.50
    Point,
    /// 0,50
    Comma,
}

/// How the table lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Lie {
    /// One reading a row, one quantity a column.
    Down,
    /// One quantity a row, one reading a column.
    Across,
}

/// The school convention for the gradient's uncertainty.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WorstLineRule {
    /// Half the difference between the steepest and the shallowest gradient.
    #[default]
    HalfDifference,
    /// The larger distance of either from the best gradient.
    LargerDistance,
}

/// How the worked sheet is to look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct SheetChoice {
    /// How much of the solution is shown.
    pub show: Show,
    /// Which way of stating the uncertainty is printed.
    pub uncertainty: UncertaintyWay,
}

/// How much of the solution the sheet shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Show {
    /// Every step with formula, substitution and result.
    #[default]
    Full,
    /// Results only.
    Answers,
    /// The readings and the questions, with room for the student to write.
    Blank,
}

/// Which way of stating the uncertainty is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum UncertaintyWay {
    /// Both, side by side.
    #[default]
    Both,
    /// Worst acceptable lines; percentage uncertainties add.
    School,
    /// Standard errors combined in quadrature, expanded to 95 %.
    Standard,
}

/// Reads typed text, or a number or null that some other program put in its place.
pub(crate) fn typed<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Typed {
        Text(String),
        Whole(i64),
        Number(f64),
        Nothing(()),
    }
    Ok(match Typed::deserialize(deserializer)? {
        Typed::Text(text) => text,
        Typed::Whole(n) => n.to_string(),
        Typed::Number(x) => x.to_string(),
        Typed::Nothing(()) => String::new(),
    })
}
