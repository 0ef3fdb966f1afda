//! From cells and apparatus to points with uncertainties.
//!
//! Start at [`points::gather`]: it takes the understood table and the [`Setup`] and gives [`Readings`]. The apparatus
//! fields, typed as text with units, are read by [`setup::read`].

mod abscissa;
pub mod families;
mod ordinate;
pub mod points;
pub mod repeats;
pub mod reversal;
pub mod setup;
pub mod walk;
pub mod words;
mod zero;

use std::sync::Arc;

use crate::figures::{Unit, rank};

pub use setup::Setup;

/// What stands on the vertical axis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ordinate {
    /// Change of balance reading, kg.
    #[default]
    Mass,
    /// Force, N.
    Force,
}

/// Which quantity was changed from reading to reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Varied {
    /// x is the current, A.
    #[default]
    Current,
    /// x is the total length of wire N L, m.
    Length,
    /// x is sin θ.
    Angle,
    /// x is N I L sin θ, A m, and y a force, N: the gradient is B.
    Product,
}

/// One point of the graph, SI.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Horizontal value; see [`Varied`].
    pub x: f64,
    /// Vertical value; see [`Ordinate`].
    pub y: f64,
    /// Half-width of the horizontal bar, where an uncertainty of x was given.
    pub bar_x: Option<f64>,
    /// Half-width of the vertical bar (school convention).
    pub bar_y: f64,
    /// Where the vertical bar came from.
    pub basis: Basis,
    /// Standard uncertainty of x; 0 where none was given.
    pub u_x: f64,
    /// Standard uncertainty of y.
    pub u_y: f64,
    /// The row of the table, from 1.
    pub row: usize,
    /// Its place in the order in which the readings were taken: the time in s where the table gives one, else the number
    /// of the reading where a column counts them, else the row.
    pub order: f64,
    /// How many repeats it is the mean of.
    pub repeats: usize,
    /// Index into [`Readings::families`].
    pub family: usize,
    /// Whether the user left it out of the line.
    pub excluded: bool,
}

/// Where a vertical bar came from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Basis {
    /// The step of the balance: ±1 step, half at each end of a difference.
    #[default]
    Resolution,
    /// Half the range of the repeats.
    HalfRange,
    /// Typed by the user.
    Typed,
}

/// One of several readings of which a point is the mean.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Repeat {
    /// Its row, from 1.
    pub row: usize,
    /// Its column, from 1.
    pub column: usize,
    /// The reading in the SI unit of its column.
    pub value: f64,
}

/// Where the order of the readings comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Order {
    /// The rows stand in the order in which they were read.
    #[default]
    Row,
    /// A column counts the readings.
    Counter,
    /// A column gives the time, s.
    Time,
}

/// A series of points that share one line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Family {
    /// What sets it apart, as a person would say it: `10 mm`; empty when there is only one.
    pub label: String,
    /// Length of one wire in the field, m.
    pub length_m: Option<f64>,
    /// How many wires side by side.
    pub wires: f64,
    /// Angle between wire and field, rad; `None` for a right angle.
    pub angle_rad: Option<f64>,
}

/// Points with uncertainties, and what they were made from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// Every point, by family and then row; excluded ones too. Shared, since a line through all of them needs no copy.
    pub points: Arc<Vec<Point>>,
    /// The series; at least one.
    pub families: Vec<Family>,
    /// Which quantity was varied.
    pub varied: Varied,
    /// What stands on the vertical axis.
    pub ordinate: Ordinate,
    /// The unit in which people see x; `None` for a pure number.
    pub x_unit: Option<Unit>,
    /// The unit in which people see y.
    pub y_unit: Option<Unit>,
    /// Decimal places of x that the instrument gives, in `x_unit`.
    pub x_decimals: i32,
    /// Decimal places of y that the instrument gives, in `y_unit`.
    pub y_decimals: i32,
    /// One step of the balance, SI.
    pub resolution: Option<f64>,
    /// Columns of the table (from 0) whose cells became x or y.
    pub used: Vec<usize>,
    /// Where the order of the points comes from.
    pub order: Order,
    /// The single readings of the points that are means of several, by row.
    pub repeats: Vec<Repeat>,
    /// Whether zeros noted in columns were subtracted.
    pub zeros_subtracted: bool,
    /// Whether y is the balance's full reading rather than a change.
    pub untared: bool,
    /// What should be known about how the points were made.
    pub remarks: Vec<Remark>,
}

impl Readings {
    /// What the steps of the balance alone make of the scatter, SI: the standard deviation of a rectangle one step wide.
    pub fn least_scatter(&self) -> f64 {
        self.resolution.unwrap_or(0.0) / 12.0_f64.sqrt()
    }
}

/// Points in the order in which they were taken.
pub fn in_order<'a>(points: impl IntoIterator<Item = &'a Point>) -> Vec<&'a Point> {
    let mut in_order: Vec<&Point> = points.into_iter().collect();
    in_order.sort_by_cached_key(|point| rank(point.order));
    in_order
}

/// What should be known about how the points were made. Facts; the sentence is made by [`Remark::text`].
#[derive(Clone, Debug, PartialEq)]
pub enum Remark {
    /// A field of the apparatus could not be read.
    FieldUnread {
        /// Which.
        field: &'static str,
        /// What was seen and what would do.
        why: String,
    },
    /// A field of the apparatus was read with an assumption.
    FieldAssumed {
        /// Which.
        field: &'static str,
        /// What was assumed.
        what: String,
    },
    /// The table lacks a column that is needed.
    NoColumn {
        /// What is missing, in words.
        what: &'static str,
    },
    /// The table has positions of a rider where forces are needed.
    PositionsNotForces,
    /// The full reading was used because the change column has cells that could not be read.
    FullReadingUsed {
        /// Rows of the change column without a number.
        rows: Vec<usize>,
    },
    /// Change and full reading disagree with one common zero.
    ChangeIsNotReadingMinusZero {
        /// Rows that disagree.
        rows: Vec<usize>,
        /// The zero that most rows imply, in `unit`.
        zero: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// Every row implies the same zero: reading minus change.
    ImpliedZero {
        /// That zero, in `unit`.
        zero: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// The table has no current but another quantity that can be the varied one.
    VariedTaken {
        /// That one.
        varied: Varied,
    },
    /// Zeros noted beside the readings were subtracted.
    ZerosSubtracted {
        /// Rows whose zero was taken from its neighbours in the order.
        between: Vec<usize>,
    },
    /// Readings of a current and of the same current reversed were joined.
    ReversedPairs {
        /// How many pairs.
        pairs: usize,
        /// Rows that have no partner and were not used.
        alone: Vec<usize>,
    },
    /// Identical repeats: the bar falls back on the resolution.
    IdenticalRepeats {
        /// Rows.
        rows: Vec<usize>,
    },
    /// There are more series than are worked out.
    TooManySeries {
        /// Rows of the readings that were left out.
        rows: Vec<usize>,
    },
    /// A column of uncertainties or a typed one was not positive and was not used.
    UncertaintyNotPositive {
        /// Rows.
        rows: Vec<usize>,
    },
}
