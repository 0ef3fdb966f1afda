//! What can be asked for: the [`Recipe`] of a practice set.

use serde::{Deserialize, Serialize};

/// The version of the shapes in this module. Raised when an older release would make other data of a newer recipe.
pub const VERSION: u32 = 1;

/// What a practice set is made of. Every field may be left out; what is a [`Range`] is drawn anew for each student.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Recipe {
    /// The version of this shape; 0 or left out means the first.
    pub version: u32,
    /// Recipes of different strands share nothing with one seed and number, while those of one strand share all that
    /// they draw alike: the same bench with a fault and without.
    pub strand: u32,
    /// What is changed from reading to reading.
    pub way: Way,
    /// True flux density, T; drawn to three figures.
    pub flux_density_t: Range,
    /// Length of one wire in the field, m; drawn to the millimetre. The longest one where lengths are varied.
    pub length_m: Range,
    /// Standard uncertainty of that length, m: the student's value is off by so much. 0 for a length that is known.
    pub length_uncertainty_m: f64,
    /// How many wires side by side; the most where wires are varied.
    pub wires: Range,
    /// The currents, A, in even steps from the lowest to the highest; a single number is the highest, the lowest then one
    /// step. Where the current is not varied the highest is the fixed one. Not drawn: it is the same for all.
    pub current_a: Range,
    /// How many readings; of each series where wires are varied, and each way where the current is reversed.
    pub readings: u32,
    /// How many times each is read.
    pub repeats: u32,
    /// One step of the balance, g.
    pub balance_step_g: f64,
    /// One step of the ammeter, A.
    pub ammeter_step_a: f64,
    /// Scatter of a reading before it is shown in whole steps: standard deviation, in steps of the balance.
    pub noise_steps: f64,
    /// Half-width of the error bar that the table states for each reading, g; 0 to state none, so that it is the step of
    /// the balance or comes from the repeats.
    pub stated_bar_g: f64,
    /// What goes wrong on the bench.
    pub faults: Faults,
}

impl Default for Recipe {
    /// A yoke of 30 to 90 mT, one wire of 4 to 6 cm, ten currents up to 5 A and a balance of 0.01 g.
    fn default() -> Self {
        Recipe {
            version: VERSION,
            strand: 0,
            way: Way::default(),
            flux_density_t: Range::between(0.030, 0.090),
            length_m: Range::between(0.040, 0.060),
            length_uncertainty_m: 0.0005,
            wires: Range::exactly(1.0),
            current_a: Range::exactly(5.0),
            readings: 10,
            repeats: 1,
            balance_step_g: 0.01,
            ammeter_step_a: 0.01,
            noise_steps: 0.4,
            stated_bar_g: 0.0,
            faults: Faults::default(),
        }
    }
}

/// What is changed from reading to reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// The current.
    #[default]
    Current,
    /// The current, with several numbers of wires one after the other.
    Wires,
    /// The angle between wire and field, at a fixed current.
    Angle,
    /// The length of the wire, at a fixed current.
    Length,
}

/// What goes wrong on the bench: sizes, 0 for what is off. A size that is a [`Range`] is drawn for each student, and so
/// is the sign of zero error, drift and outlier.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Faults {
    /// How far the zero of the balance is out, g.
    pub zero_error_g: Range,
    /// How far the balance creeps from each reading to the next, g.
    pub drift_g: Range,
    /// How far one reading, which is drawn too, is off, g.
    pub outlier_g: Range,
    /// By what part of itself the gradient has fallen at the highest current.
    pub warming: Range,
    /// Every current is read both ways.
    pub reversed_current: bool,
    /// The readings are taken in a random order.
    pub mixed_order: bool,
}

/// A number, or two between which it is drawn. In JSON `0.05` or `[0.03, 0.09]`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(from = "Written", into = "Written")]
pub struct Range {
    /// The lowest.
    pub low: f64,
    /// The highest.
    pub high: f64,
}

impl Range {
    /// One number for all.
    pub const fn exactly(value: f64) -> Range {
        Range {
            low: value,
            high: value,
        }
    }

    /// Drawn between two.
    pub const fn between(low: f64, high: f64) -> Range {
        Range { low, high }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum Written {
    One(f64),
    Two([f64; 2]),
    /// What JSON has for a number that is none.
    Nothing(()),
}

impl From<Written> for Range {
    fn from(written: Written) -> Range {
        match written {
            Written::One(value) => Range::exactly(value),
            Written::Two([low, high]) => Range { low, high },
            Written::Nothing(()) => Range::exactly(f64::NAN),
        }
    }
}

impl From<Range> for Written {
    fn from(range: Range) -> Written {
        if range.low == range.high {
            Written::One(range.low)
        } else {
            Written::Two([range.low, range.high])
        }
    }
}

impl Way {
    /// Whether the current goes from reading to reading.
    pub(super) fn varies_current(self) -> bool {
        matches!(self, Way::Current | Way::Wires)
    }
}
