//! What looks wrong on the bench, or what the reader should know of the data, each with its statistic.
//!
//! Start at [`look`]. Each finding says what it saw, why it matters and what to do; the sentences are in [`words`].
//! A test of significance states its level beside it: the rate at which it speaks up over data with nothing wrong.

pub mod digits;
pub mod drift;
pub mod families;
pub mod line;
pub mod repeats;
pub mod signs;
pub mod spread;
pub mod sweeps;
pub mod words;

use crate::figures::rank;
use crate::line::joint::{Joint, One};
use crate::line::{Datum, Fitted};
use crate::readings::{Point, Readings};

/// Something seen in the data.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is.
    pub kind: Kind,
    /// The series it speaks of, when there are several and it does not hold of all of them: its label.
    pub series: String,
    /// The rows it speaks of, from 1.
    pub rows: Vec<usize>,
    /// The statistic, where there is one.
    pub statistic: Option<f64>,
    /// The probability of such a statistic by chance alone.
    pub p_value: Option<f64>,
}

impl Finding {
    fn new(kind: Kind, rows: Vec<usize>, statistic: Option<f64>, p_value: Option<f64>) -> Finding {
        Finding {
            kind,
            series: String::new(),
            rows,
            statistic,
            p_value,
        }
    }
}

/// What a finding is, with the facts that its sentence needs.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// A point far off the line.
    Outlier {
        /// How B changes: B without over B with.
        ratio: f64,
    },
    /// A row of zeros that the other rows contradict.
    ZeroRowContradicted {
        /// How B changes: B without over B with.
        ratio: f64,
        /// Where the line without it meets zero current, in the unit of y.
        zero: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// The points follow a curve.
    Bend {
        /// Whether the curve grows steeper.
        steeper: bool,
    },
    /// The series jumps between two neighbouring rows.
    Step {
        /// How B changes when the jump is allowed for.
        ratio: f64,
    },
    /// No straight line passes through every error bar.
    ScatterBeyondBars {
        /// The smallest common half-width that lets one through, in the unit of y.
        half_width: f64,
        /// The unit.
        unit: &'static str,
    },
    /// A flux density that is unusual for school magnets.
    LargeField {
        /// Its size, T.
        tesla: f64,
    },
    /// The line does not pass through zero.
    ZeroError {
        /// The intercept in the unit of y.
        intercept: f64,
        /// Its decimal places worth showing.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// The balance was not zeroed, which does no harm.
    Untared {
        /// The reading at no current, in the unit of y.
        zero: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// The readings change sign while the current does not.
    SignsLost,
    /// The same current twice with very different readings.
    SameCurrent {
        /// The current in its unit.
        x: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
        /// Whether the two readings stand on either side of the rest, as with a reversed current.
        reversed: bool,
    },
    /// Fewer than six points.
    TooFewPoints {
        /// How many.
        points: usize,
    },
    /// One point carries more than half of what fixes the gradient.
    OnePointDecides,
    /// The readings span too few steps of the balance.
    CoarseResolution {
        /// Steps spanned.
        steps: f64,
    },
    /// The first readings are zero beside a clear trend.
    StuckAtZero,
    /// The readings do not change at all.
    NoChange,
    /// The points lie on the line more closely than the instrument can tell.
    TooPerfect,
    /// Force over mass is the same everywhere, but not g.
    ForceIsNotMassTimesG {
        /// What it is, m/s².
        ratio: f64,
        /// What it was expected to be.
        expected: f64,
    },
    /// The flux densities of several wires or lengths do not agree.
    LengthsDisagree {
        /// Label of the one farthest from the mean of the others.
        farthest: String,
        /// Its B over the mean of the others.
        ratio: f64,
        /// Whether B falls as the length grows.
        falls_with_length: bool,
    },
    /// The zero moved steadily while the readings were taken.
    Drift {
        /// From the first reading to the last, in the unit of y.
        whole: f64,
        /// The unit.
        unit: &'static str,
        /// How B changes when the drift is allowed for.
        ratio: f64,
    },
    /// The two directions of the current give different gradients.
    DirectionsDisagree {
        /// Gradient of the negative currents over that of the positive ones.
        ratio: f64,
    },
    /// The readings on the way down differ from those on the way up.
    UpAndDownDisagree {
        /// Down minus up, in the unit of y.
        difference: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// One of several repeats lies far from its fellows.
    RepeatFarOff {
        /// The reading, in the unit of y.
        value: f64,
        /// Its decimal places.
        decimals: i32,
        /// The unit.
        unit: &'static str,
    },
    /// All repeats are equal although the points scatter.
    RepeatsAllEqual,
    /// The last digits of the readings are all alike.
    LastDigitsAlike {
        /// Whether they are 0 and 5 rather than 0 alone.
        fives: bool,
        /// The step to which the readings seem to be rounded, in the unit of y.
        coarser: f64,
        /// The unit.
        unit: &'static str,
    },
    /// Time and current rise together: drift and gradient cannot be told apart.
    DriftNotSeparable,
}

impl Kind {
    /// The level of the test behind it, all lines of a table together; `None` for what is no test of significance.
    pub fn level(&self) -> Option<f64> {
        Some(match self {
            Kind::Outlier { .. } | Kind::ZeroRowContradicted { .. } => line::OUTLIER_LEVEL,
            Kind::Bend { .. } => line::BEND_LEVEL,
            Kind::Step { .. } => line::STEP_LEVEL,
            Kind::ZeroError { .. } => line::ZERO_LEVEL,
            Kind::LengthsDisagree { .. } => families::DISAGREE_LEVEL,
            Kind::Drift { .. } => drift::DRIFT_LEVEL,
            Kind::DirectionsDisagree { .. } => sweeps::DIRECTIONS_LEVEL,
            Kind::UpAndDownDisagree { .. } => sweeps::UP_DOWN_LEVEL,
            Kind::RepeatFarOff { .. } => repeats::REPEAT_LEVEL,
            Kind::RepeatsAllEqual => repeats::EQUAL_LEVEL,
            Kind::LastDigitsAlike { .. } => digits::DIGITS_LEVEL,
            _ => return None,
        })
    }
}

/// One family with its line.
#[derive(Clone, Copy, Debug)]
pub struct FamilySeen<'a> {
    /// Its points, excluded ones not among them, in row order.
    pub points: &'a [Point],
    /// The same as the lines see them.
    pub data: &'a [Datum],
    /// Its line with a free intercept, if there is one.
    pub fitted: Option<&'a Fitted>,
    /// When no line meets every bar: the rows without which one would, and the smallest common half-width that would
    /// do, SI.
    pub blocked: Option<(&'a [usize], f64)>,
    /// Whether the zero was watched, so that a drift is allowed for or is none: zeros subtracted, zeroed each time, or a
    /// drift taken off.
    pub zero_watched: bool,
    /// Its flux density, T, where that has a standard uncertainty.
    pub flux_density: Option<f64>,
    /// What it gives to a joint flux density of several series.
    pub joinable: Option<One>,
}

impl FamilySeen<'_> {
    /// Whether a row gave a point of this family that counts.
    fn has_row(&self, row: usize) -> bool {
        // The points stand in the order of their rows.
        self.points.binary_search_by_key(&row, |p| p.row).is_ok()
    }
}

/// What the search looks at.
#[derive(Clone, Copy, Debug)]
pub struct Seen<'a> {
    /// The readings.
    pub readings: &'a Readings,
    /// The families, as in `readings.families`.
    pub families: &'a [FamilySeen<'a>],
    /// What those families give together that can be joined.
    pub joint: Option<Joint>,
    /// Force column over mass column, m/s², where the table has both and the ratio is steady.
    pub force_over_mass: Option<f64>,
    /// g times lever ratio, m/s².
    pub expected_force_over_mass: f64,
}

/// Everything found, most telling first.
pub fn look(seen: &Seen) -> Vec<Finding> {
    let by_current: Vec<Vec<&Point>> = seen.families.iter().map(by_current).collect();
    let families = seen.families.iter().zip(&by_current);
    let found = families.map(|(family, by_current)| of_family(family, by_current, seen));
    let mut found = told_once(found.collect(), seen);
    found.extend(families::disagree(seen));
    found.extend(families::large_field(seen));
    found.extend(families::force_is_not_mass_times_g(seen));
    found.extend(repeats::far_off(seen, &by_current));
    found
}

/// The points of a family by their x, equal ones in row order.
fn by_current<'a>(family: &FamilySeen<'a>) -> Vec<&'a Point> {
    let mut sorted: Vec<&Point> = family.points.iter().collect();
    // A stable sort: the points stand in row order.
    sorted.sort_by_cached_key(|point| rank(point.x));
    sorted
}

fn of_family(family: &FamilySeen, by_current: &[&Point], seen: &Seen) -> Vec<Finding> {
    if let Some(finding) = spread::no_change(family) {
        return vec![finding];
    }
    let mut found = Vec::new();
    let stuck = spread::stuck_at_zero(family);
    let signs = signs::lost(family);
    let same = signs::same_current(family, by_current, seen.readings);
    // With a sign lost or a current typed twice, what the line says of outliers and bends is an echo of it.
    let echo = signs.is_some() || same.is_some();
    found.extend(signs);
    found.extend(same);
    if !echo {
        // A curve makes its ends look like outliers, a jump or an outlier bends the line, and a drift looks like a jump
        // or parts the way up from the way down: the strongest speaks.
        // A jump just where the sweep turned is told as the difference between the two ways.
        let up_and_down = sweeps::up_and_down(family, seen.readings);
        // Nor is it one where the first readings stick at zero and the others do not.
        let step = line::step(family).filter(|_| up_and_down.is_none() && stuck.is_none());
        let directions = sweeps::directions(family);
        // A kink at no current looks like a bend.
        let bend = line::bend(family).filter(|_| directions.is_none());
        let told = [
            line::outlier(family, seen.readings),
            bend,
            step,
            drift::drift(family, seen.readings),
            directions,
            up_and_down,
        ];
        let chance = |finding: &Finding| finding.p_value.unwrap_or(1.0);
        found.extend(
            told.into_iter()
                .flatten()
                .min_by(|a, b| chance(a).total_cmp(&chance(b))),
        );
        // A zero put in by hand pulls the intercept along, and where the line is bent or broken its intercept says nothing.
        let pulled = |f: &Finding| {
            matches!(
                f.kind,
                Kind::ZeroRowContradicted { .. }
                    | Kind::Bend { .. }
                    | Kind::DirectionsDisagree { .. }
            )
        };
        if !found.iter().any(pulled) {
            found.extend(line::zero_error(family, seen.readings));
        }
    }
    found.extend(spread::beyond_bars(family, seen.readings));
    found.extend(line::too_perfect(family));
    found.extend(stuck);
    found.extend(spread::too_few(family));
    found.extend(spread::one_point_decides(family));
    found.extend(spread::coarse(family, seen.readings));
    found.extend(drift::not_separable(family, seen.readings));
    found.extend(digits::rounded(family, seen.readings));
    found.extend(repeats::all_equal(family, seen.readings));
    // A level is that of the whole table: several lines are several chances to be wrong.
    let lines = seen.families.len() as f64;
    found.retain_mut(|finding| {
        finding.p_value = finding.p_value.map(|p| (p * lines).min(1.0));
        let (p_value, level) = (finding.p_value, finding.kind.level());
        !matches!((p_value, level), (Some(p_value), Some(level)) if p_value >= level)
    });
    found
}

/// What holds of every series is said once; what holds of some is said with their names.
fn told_once(by_family: Vec<Vec<Finding>>, seen: &Seen) -> Vec<Finding> {
    let several = by_family.len() > 1;
    let mut told: Vec<Finding> = Vec::new();
    for (index, findings) in by_family.iter().enumerate() {
        for finding in findings {
            let alike =
                |other: &Finding| other.name() == finding.name() && other.rows == finding.rows;
            let everywhere = by_family.iter().all(|others| others.iter().any(alike));
            if everywhere && told.iter().any(|t| t.series.is_empty() && alike(t)) {
                continue;
            }
            let label = seen.readings.families.get(index).map(|f| f.label.clone());
            let series = label.filter(|_| several && !everywhere).unwrap_or_default();
            told.push(Finding {
                series,
                ..finding.clone()
            });
        }
    }
    told
}

/// The rows of some points.
fn rows_of<'a>(points: impl Iterator<Item = &'a Point>) -> Vec<usize> {
    points.map(|p| p.row).collect()
}
