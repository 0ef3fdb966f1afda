//! The true values of one bench, drawn from a recipe within its limits.

use crate::figures::round;

use super::chance::{Chance, Source};
use super::recipe::{Range, Recipe};

/// Free fall acceleration, m/s²: 9.81 as schools take it (common practice, no source).
pub(super) const GRAVITY: f64 = 9.81;

/// The true values of one bench.
pub(super) struct Bench {
    pub flux_density_t: f64,
    /// Length of one wire as the student measured it, m.
    pub measured_m: f64,
    pub wires: u32,
    /// What the balance shows when nothing pushes, g.
    pub zero_g: f64,
    /// g from each reading to the next.
    pub drift_g: f64,
    pub outlier_g: f64,
    /// What part of the gradient is lost at the highest current.
    pub warming: f64,
}

impl Bench {
    /// Each value has a stretch of chance of its own, so that none depends on whether another is drawn.
    pub fn draw(recipe: &Recipe, source: &mut Source) -> Bench {
        let faults = &recipe.faults;
        let flux_density_t = drawn(recipe.flux_density_t, source.part(), |b| {
            round::to_significant(b, 3)
        });
        let measured_m = drawn(recipe.length_m, source.part(), |l| round::to_decimals(l, 3));
        let mut of_wires = source.part();
        let fewest = (recipe.wires.low + 0.5) as u32;
        let choices = ((recipe.wires.high + 0.5) as u32).saturating_sub(fewest) + 1;
        let wires = fewest + of_wires.below(choices as usize) as u32;
        let step = recipe.balance_step_g;
        let [zero_g, drift_g, outlier_g] = [
            (faults.zero_error_g, step),
            // A drift is no reading: a tenth of a step is well told.
            (faults.drift_g, step / 10.0),
            (faults.outlier_g, step),
        ]
        .map(|(range, unit)| {
            let mut chance = source.part();
            let sign = chance.sign();
            let size = drawn(range, chance, |size| {
                round::to_decimals(size, round::decimals_for(unit, 1))
            });
            // A minus before nothing would reach the texts.
            sign * size + 0.0
        });
        let warming = drawn(faults.warming, source.part(), |part| {
            round::to_decimals(part, 2)
        });
        Bench {
            flux_density_t,
            measured_m,
            wires,
            zero_g,
            drift_g,
            outlier_g,
            warming,
        }
    }

    /// True gradient of the reading against the current, g/A.
    pub fn g_per_a(&self, wires: u32, length_m: f64) -> f64 {
        1000.0 * f64::from(wires) * self.flux_density_t * length_m / GRAVITY
    }
}

/// A value of the range, rounded as a school would have it; a range of one number gives that number.
fn drawn(range: Range, mut chance: Chance, rounded: impl Fn(f64) -> String) -> f64 {
    if range.low == range.high {
        return range.low;
    }
    let value = chance.between(range.low, range.high);
    rounded(value).parse().unwrap_or(value)
}
