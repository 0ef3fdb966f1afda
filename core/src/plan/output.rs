//! What is planned: the [`Planned`] figures, SI throughout, with the sentences that people read beside them.

use serde::Serialize;

use super::direction::{Flow, Poles, Push, Reading};

/// The version of the shapes in this module.
pub const VERSION: u32 = 1;

/// All that can be said before the lesson.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Planned {
    /// The version of this shape.
    pub version: u32,
    /// What to expect: one entry, or one for the lowest and one for the highest flux density where a range is given.
    pub expected: Vec<Expected>,
    /// The orders in which to take the readings.
    pub order: Order,
    /// The table to fill in, in the mixed order.
    pub results_table: ResultsTable,
    /// Currents against the limits that are typed.
    pub limits: Limits,
    /// Resistance and warmth of the wire; null without its diameter.
    pub wire: Option<WireFigures>,
    /// Which way things are pushed; null while poles and current are not given.
    pub direction: Option<DirectionFigures>,
    /// Free fall acceleration at the place; null without its latitude.
    pub gravity: Option<LocalGravity>,
    /// What is needed.
    pub kit: Vec<Item>,
    /// The cautions, which take the place of no risk assessment.
    pub cautions: Vec<String>,
    /// What could not be read and what was assumed.
    pub notes: Vec<Note>,
}

/// What to expect at one flux density.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Expected {
    /// Flux density, T.
    pub flux_density: f64,
    /// Change of the reading for one ampere, kg/A.
    pub gradient: f64,
    /// The same in g/A.
    pub gradient_g_per_a: f64,
    /// The readings that should appear.
    pub readings: Vec<ExpectedReading>,
    /// Steps of the balance between the smallest and the largest of them.
    pub steps_spanned: f64,
    /// The current at which the reading reaches 20 steps, A; null when nothing pushes.
    pub enough_current: Option<f64>,
    /// Whether the planned currents reach it.
    pub enough_reached: bool,
    /// By standard uncertainties; null when no line could be drawn.
    pub standard: Option<StandardExpected>,
    /// By the school rule; null when all readings would be the same.
    pub school: Option<SchoolExpected>,
    /// `will_show`, `scattered`, `coarse` or `hardly`.
    pub verdict: &'static str,
    /// The verdict in a sentence or two.
    pub text: String,
    /// Single changes, the best first.
    pub changes: Vec<ChangeFigures>,
    /// What each single change would have to be for the wanted percentage; empty when none is wanted.
    pub needs: Vec<NeedFigures>,
}

/// One reading that should appear.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ExpectedReading {
    /// Current, A.
    pub current: f64,
    /// Change of the reading as the balance will show it, kg.
    pub reading: f64,
    /// The current in A with the decimals of the ammeter.
    pub current_text: String,
    /// The reading in g with the decimals of the balance.
    pub reading_text: String,
}

/// The uncertainty to expect, by standard uncertainties.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct StandardExpected {
    /// Standard uncertainty of the gradient, kg/A.
    pub gradient_uncertainty: f64,
    /// Standard deviation of the readings about the line, kg.
    pub reading_sd: f64,
    /// n - 2.
    pub degrees_of_freedom: f64,
    /// Student's t for 95 % at those.
    pub gradient_coverage_factor: f64,
    /// Standard uncertainty of B, T.
    pub uncertainty: f64,
    /// The same in % of B.
    pub percent: f64,
    /// Student's t for 95 % at the effective degrees of freedom of B.
    pub coverage_factor: f64,
    /// Half-width of the interval at 95 %, % of B.
    pub expanded_percent: f64,
}

/// The uncertainty to expect, by the school rule.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct SchoolExpected {
    /// % of B.
    pub percent: f64,
    /// What it is the sum of: name and %.
    pub parts: Vec<Part>,
}

/// A percentage that the school rule adds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Part {
    /// `gradient`, `length`, `angle`, `gravity`, `balance calibration` or `ammeter calibration`.
    pub source: &'static str,
    /// %.
    pub percent: f64,
}

/// A single change and what it gives.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ChangeFigures {
    /// `wires`, `highest_current`, `readings`, `balance`, `magnets` or `length`.
    pub change: &'static str,
    /// The new value, SI.
    pub value: f64,
    /// Standard uncertainty of B after it, %.
    pub percent: Option<f64>,
    /// By the school rule, %.
    pub school_percent: Option<f64>,
    /// A sentence.
    pub text: String,
}

/// What one change alone would have to be for the wanted percentage.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct NeedFigures {
    /// As in [`ChangeFigures`].
    pub change: &'static str,
    /// For the standard uncertainty.
    pub standard: NeedFigure,
    /// For the school rule.
    pub school: NeedFigure,
}

/// An answer.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct NeedFigure {
    /// Whether it can be reached by this change alone, or is reached already.
    pub reached: bool,
    /// The value that would do, SI; null when it cannot be reached or is reached already.
    pub value: Option<f64>,
    /// A sentence.
    pub text: String,
}

/// The orders in which to take the readings.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Order {
    /// Currents up and down again, A.
    pub up_and_down: Vec<f64>,
    /// Currents mixed, A.
    pub mixed: Vec<f64>,
    /// Correlation of current and time in the mixed order; 1 or -1 for a current only raised or only lowered.
    pub mixed_with_time: f64,
    /// What to do, in a sentence.
    pub text: String,
}

/// A table to fill in.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ResultsTable {
    /// `I / A`, `m / g`.
    pub headings: Vec<String>,
    /// Decimals that the instruments give, a number a column.
    pub decimals: Vec<i32>,
    /// The cells, a row a reading: currents filled in, readings empty.
    pub rows: Vec<Vec<String>>,
}

/// Currents against limits, A.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Limits {
    /// The largest current of the plan.
    pub current: f64,
    /// What the wire is rated for, as typed.
    pub wire: Option<f64>,
    /// What the supply gives, as typed.
    pub supply: Option<f64>,
    /// Which of the two the current passes: `wire`, `supply`.
    pub passed: Vec<&'static str>,
    /// A sentence.
    pub text: String,
}

/// Resistance and warmth of the wire at the largest current.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct WireFigures {
    /// Diameter, m.
    pub diameter: f64,
    /// Cross-section, m².
    pub area: f64,
    /// Resistance of one metre at the room's temperature, Ω/m.
    pub resistance_per_metre: f64,
    /// Length of all turns, m; null when not given.
    pub length: Option<f64>,
    /// Resistance of wire and leads at the room's temperature, Ω; null without a length.
    pub resistance: Option<f64>,
    /// Voltage over wire and leads at that, V.
    pub voltage: Option<f64>,
    /// Power in wire and leads, W.
    pub power: Option<f64>,
    /// Whether the supply gives that voltage; null when not known.
    pub voltage_enough: Option<bool>,
    /// The current that the supply's whole voltage would drive if nothing limited it, A; null when not known.
    pub unlimited_current: Option<f64>,
    /// Temperature of the room, °C.
    pub room_celsius: f64,
    /// Warming with no cooling at all, at first, K/s.
    pub warming_rate: f64,
    /// The rise that is allowed, K.
    pub rise: f64,
    /// How long the current takes for that with no cooling at all, s.
    pub on_time: f64,
    /// Cooling of the surface that is supposed, W/(m² K).
    pub cooling: f64,
    /// How far above the room the wire settles with that, K; null when it never settles.
    pub steady_rise: Option<f64>,
    /// What comes of it, in sentences.
    pub text: String,
    /// What is supposed, and what the figures are not.
    pub assumptions: String,
}

/// Which way things are pushed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DirectionFigures {
    /// Where the north pole is.
    pub poles: Poles,
    /// Which way the current flows.
    pub current: Flow,
    /// The force on the wire.
    pub on_wire: Push,
    /// The force on the magnet.
    pub on_magnet: Push,
    /// What the balance does.
    pub reading: Reading,
    /// In words.
    pub text: String,
}

/// Free fall acceleration at the place, m/s².
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct LocalGravity {
    /// There, by the normal formula.
    pub local: f64,
    /// The one that the plan takes.
    pub taken: f64,
    /// By how much 9.81 differs from the local one, % of it.
    pub school_difference_percent: f64,
    /// How far B comes out wrong with the one that is taken, %; negative for too small.
    pub b_error_percent: f64,
    /// In words.
    pub text: String,
}

/// A thing that is needed.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Item {
    /// What.
    pub what: &'static str,
    /// Which size, or what to look for.
    pub detail: String,
}

/// What could not be read, or was assumed.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Note {
    /// The field: `flux_density`, `wire.diameter`; fields of the apparatus by their own name.
    pub field: &'static str,
    /// `asked` for what was assumed, `trouble` for what could not be read.
    pub weight: &'static str,
    /// A sentence.
    pub text: String,
}
