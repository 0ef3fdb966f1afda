//! Ready recipes, from easy to hard. A recipe here never changes: sets that were given out are made from it again.

use serde::{Deserialize, Serialize};

use super::recipe::{Faults, Range, Recipe, Way};
use super::words;

/// A ready recipe; in JSON its name in snake case. A new one goes to the end, since the place makes the strand;
/// [`Level::ALL`] gives the order for people.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Hardly any scatter.
    #[default]
    StraightAndClean,
    /// Ordinary scatter, nothing wrong.
    GoodDay,
    /// Three readings of each current.
    ReadThreeTimes,
    /// The balance was not at zero.
    ZeroOut,
    /// One reading is wrong.
    OneToFind,
    /// Both directions of the current, with a zero error.
    BothWays,
    /// The balance creeps.
    Drift,
    /// The line bends.
    WarmWire,
    /// Several numbers of wires.
    SeveralWires,
    /// Wires of several lengths.
    SeveralLengths,
    /// The wire is turned in the field.
    TurnedWire,
    /// Zero error, drift, an outlier and much scatter.
    EverythingAtOnce,
}

impl Level {
    /// All levels, from easy to hard.
    pub const ALL: [Level; 12] = [
        Level::StraightAndClean,
        Level::GoodDay,
        Level::ReadThreeTimes,
        Level::ZeroOut,
        Level::OneToFind,
        Level::BothWays,
        Level::Drift,
        Level::WarmWire,
        Level::SeveralWires,
        Level::SeveralLengths,
        Level::TurnedWire,
        Level::EverythingAtOnce,
    ];

    /// Its name for people: `Straight and clean`.
    pub fn title(self) -> &'static str {
        words::level(self).0
    }

    /// One sentence about it.
    pub fn sentence(self) -> &'static str {
        words::level(self).1
    }

    /// What its sets are made of.
    pub fn recipe(self) -> Recipe {
        let plain = Recipe {
            // What was found at one level is no answer at another.
            strand: 1 + self as u32,
            ..Recipe::default()
        };
        let more_wires = Recipe {
            wires: Range::between(1.0, 3.0),
            ..plain.clone()
        };
        let with = |recipe: &Recipe, faults: Faults| Recipe {
            faults,
            ..recipe.clone()
        };
        match self {
            Level::StraightAndClean => Recipe {
                noise_steps: 0.3,
                ..plain
            },
            Level::GoodDay => Recipe {
                noise_steps: 1.2,
                stated_bar_g: 0.03,
                ..more_wires
            },
            Level::ReadThreeTimes => Recipe {
                noise_steps: 1.5,
                repeats: 3,
                readings: 8,
                current_a: Range::exactly(4.0),
                ..more_wires
            },
            Level::ZeroOut => with(
                &plain,
                Faults {
                    zero_error_g: Range::between(0.08, 0.25),
                    ..Faults::default()
                },
            ),
            Level::OneToFind => with(
                &plain,
                Faults {
                    outlier_g: Range::between(0.10, 0.25),
                    ..Faults::default()
                },
            ),
            Level::BothWays => Recipe {
                readings: 6,
                current_a: Range::exactly(3.0),
                faults: Faults {
                    zero_error_g: Range::between(0.05, 0.15),
                    reversed_current: true,
                    ..Faults::default()
                },
                ..more_wires
            },
            Level::Drift => with(
                &plain,
                Faults {
                    drift_g: Range::between(0.010, 0.030),
                    mixed_order: true,
                    ..Faults::default()
                },
            ),
            Level::WarmWire => Recipe {
                wires: Range::between(2.0, 4.0),
                faults: Faults {
                    warming: Range::between(0.12, 0.25),
                    ..Faults::default()
                },
                ..plain
            },
            Level::SeveralWires => Recipe {
                way: Way::Wires,
                wires: Range::exactly(3.0),
                readings: 6,
                current_a: Range::exactly(3.0),
                ..plain
            },
            Level::SeveralLengths => Recipe {
                way: Way::Length,
                wires: Range::between(2.0, 4.0),
                length_m: Range::between(0.050, 0.080),
                // The wires are cut to size.
                length_uncertainty_m: 0.0,
                current_a: Range::exactly(4.0),
                readings: 6,
                ..plain
            },
            Level::TurnedWire => Recipe {
                way: Way::Angle,
                wires: Range::between(2.0, 4.0),
                current_a: Range::exactly(4.0),
                ..plain
            },
            Level::EverythingAtOnce => Recipe {
                readings: 12,
                current_a: Range::exactly(6.0),
                noise_steps: 1.0,
                wires: Range::between(1.0, 3.0),
                faults: Faults {
                    zero_error_g: Range::between(0.10, 0.30),
                    drift_g: Range::between(0.008, 0.014),
                    outlier_g: Range::between(0.30, 0.50),
                    mixed_order: true,
                    ..Faults::default()
                },
                ..plain
            },
        }
    }
}
