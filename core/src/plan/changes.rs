//! What a single change to the bench would do for the uncertainty of B, and what it would take to reach a wanted one.
//!
//! Start at [`ranked`] and [`need`]. Each change is one quantity of the bench that is moved while all others stay.

use super::expect::Bench;
use crate::figures::{rank, round};

/// A quantity of the bench that can be changed by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// More wires side by side.
    Wires,
    /// A higher highest current.
    HighestCurrent,
    /// More currents in the same range.
    Readings,
    /// A balance with finer steps.
    Balance,
    /// Stronger magnets.
    Magnets,
    /// A better known length.
    Length,
}

/// A change with what it gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changed {
    /// What is changed.
    pub change: Change,
    /// The new value: a number, A, kg, T or m.
    pub value: f64,
    /// Standard uncertainty of B, %.
    pub standard_percent: Option<f64>,
    /// Uncertainty by the school rule, %.
    pub school_percent: Option<f64>,
}

/// What it would take to reach a percentage with one change alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// Nothing: the bench reaches it as it stands.
    Nothing,
    /// This value: a number, A, kg, T or m.
    Value(f64),
    /// This change cannot do it.
    Cannot,
}

/// The most wires that are thought of; more do not go between the poles (common practice, no source).
const MOST_WIRES: f64 = 50.0;
/// The highest current that is thought of when no limit is typed, A: no more than school supplies give (common practice, no
/// source).
const MOST_CURRENT_A: f64 = 20.0;
/// The most readings that are thought of.
pub const MOST_READINGS: usize = 100;
/// The finest balance that is thought of, kg: 0.1 mg (common practice, no source).
const FINEST_STEP_KG: f64 = 1e-7;
/// The strongest field of permanent magnets with an air gap that is thought of, T (common practice, no source).
const MOST_TESLA: f64 = 0.5;
/// Halvings of the interval in which a value is sought: more than its two figures need.
const HALVINGS: usize = 24;

impl Change {
    /// All of them.
    pub const ALL: [Change; 6] = [
        Change::Wires,
        Change::HighestCurrent,
        Change::Readings,
        Change::Balance,
        Change::Magnets,
        Change::Length,
    ];

    /// The value that the bench has; `None` where there is none to change.
    fn value(self, bench: &Bench) -> Option<f64> {
        Some(match self {
            Change::Wires => bench.setup.wires,
            Change::HighestCurrent => bench.highest_a,
            Change::Readings => bench.currents as f64,
            Change::Balance => bench.balance_step_kg,
            Change::Magnets => bench.tesla,
            Change::Length => bench.setup.length?.half_width.filter(|u| *u > 0.0)?,
        })
    }

    /// The bench with another value.
    fn with(self, bench: &Bench, value: f64) -> Bench {
        let mut changed = bench.clone();
        match self {
            Change::Wires => changed.setup.wires = value,
            Change::HighestCurrent => changed.highest_a = value,
            Change::Readings => changed.currents = value as usize,
            Change::Balance => changed.balance_step_kg = value,
            Change::Magnets => changed.tesla = value,
            Change::Length => {
                if let Some(length) = &mut changed.setup.length {
                    length.half_width = Some(value);
                }
            }
        }
        changed
    }

    /// One change of a size that people make: twice, a tenth, a half, or up to the limit. `None` where it cannot be made.
    fn usual(self, bench: &Bench, limit_a: Option<f64>) -> Option<f64> {
        let value = self.value(bench)?;
        Some(match self {
            Change::Wires | Change::Magnets => 2.0 * value,
            Change::HighestCurrent => limit_a.filter(|limit| *limit > value)?,
            Change::Readings if bench.currents < MOST_READINGS => {
                (2.0 * value).min(MOST_READINGS as f64)
            }
            Change::Readings => return None,
            Change::Balance => round_to(value / 10.0, 3),
            Change::Length => value / 2.0,
        })
    }

    /// How far the value can go.
    fn bound(self, limit_a: Option<f64>) -> f64 {
        match self {
            Change::Wires => MOST_WIRES,
            Change::HighestCurrent => limit_a.unwrap_or(MOST_CURRENT_A),
            Change::Readings => MOST_READINGS as f64,
            Change::Balance => FINEST_STEP_KG,
            Change::Magnets => MOST_TESLA,
            Change::Length => 0.0,
        }
    }

    fn grows(self) -> bool {
        !matches!(self, Change::Balance | Change::Length)
    }

    fn is_whole(self) -> bool {
        matches!(self, Change::Wires | Change::Readings)
    }
}

/// What each single change would give, the best first. The range of currents is widened only up to `limit_a`, and not when
/// no limit is known.
pub fn ranked(bench: &Bench, limit_a: Option<f64>) -> Vec<Changed> {
    let changed = |change: Change| {
        let value = change.usual(bench, limit_a)?;
        let after = change.with(bench, value);
        Some(Changed {
            change,
            value,
            standard_percent: after.standard_percent(),
            school_percent: after.school_percent(),
        })
    };
    let mut all: Vec<Changed> = Change::ALL.into_iter().filter_map(changed).collect();
    let size = |c: &Changed| c.standard_percent.unwrap_or(f64::INFINITY);
    all.sort_by_cached_key(|change| rank(size(change)));
    all
}

/// The value of one quantity, all others as they are, with which `percent_of` comes down to `target_percent`. It is rounded
/// to two figures (wires and readings to whole numbers) towards what is surely enough.
pub fn need(
    change: Change,
    bench: &Bench,
    limit_a: Option<f64>,
    target_percent: f64,
    percent_of: fn(&Bench) -> Option<f64>,
) -> Need {
    let reaches = |bench: &Bench| percent_of(bench).is_some_and(|p| p <= target_percent);
    if reaches(bench) {
        return Need::Nothing;
    }
    let Some(mut fails) = change.value(bench) else {
        return Need::Cannot;
    };
    let mut does = change.bound(limit_a);
    let can_go = if change.grows() {
        does > fails
    } else {
        does < fails
    };
    if !can_go || !reaches(&change.with(bench, does)) {
        return Need::Cannot;
    }
    for _ in 0..HALVINGS {
        let mut middle = (fails + does) / 2.0;
        if change.is_whole() {
            middle = libm::floor(middle);
            if middle == fails {
                break;
            }
        }
        if reaches(&change.with(bench, middle)) {
            does = middle;
        } else {
            fails = middle;
        }
    }
    if change.is_whole() {
        return Need::Value(does);
    }
    let rounded = outwards(does, change.grows());
    let within = if change.grows() {
        rounded <= change.bound(limit_a)
    } else {
        rounded > change.bound(limit_a)
    };
    // Readings come in whole steps, so that a little more need not do what less did.
    Need::Value(if within && reaches(&change.with(bench, rounded)) {
        rounded
    } else {
        does
    })
}

/// Two figures, up or down.
fn outwards(value: f64, up: bool) -> f64 {
    let nearest = round_to(value, 2);
    let falls_short = if up { nearest < value } else { nearest > value };
    if !falls_short {
        return nearest;
    }
    let place = libm::exp10(-f64::from(round::decimals_for(value, 2)));
    round_to(if up { nearest + place } else { nearest - place }, 2)
}

/// The decimal with so many figures.
fn round_to(value: f64, figures: u32) -> f64 {
    let text = round::to_significant(value, figures);
    text.parse().unwrap_or(value)
}
