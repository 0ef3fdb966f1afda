//! What the last digits of the readings say.

use crate::figures::Unit;
use crate::readings::Readings;

use super::{FamilySeen, Finding, Kind};

/// Below this probability last digits that are all alike are worth a word.
pub const DIGITS_LEVEL: f64 = 0.001;
/// The readings must span so many steps that their last digits have no reason to be alike.
const ENOUGH_STEPS: f64 = 50.0;
/// The readings must scatter by so many steps: even currents and a quiet balance give last digits in a row of their own.
const ENOUGH_SCATTER: f64 = 1.0;

/// Every reading that is not zero ends in 0, or in 0 or 5, beyond what chance explains: (1/10)ⁿ or (1/5)ⁿ for n readings
/// whose last digits are all equally likely.
pub fn rounded(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    if readings.zeros_subtracted || !readings.repeats.is_empty() {
        return None;
    }
    let (step, scatter) = (readings.resolution?, family.fitted?.residual_sd?);
    if scatter < ENOUGH_SCATTER * step {
        return None;
    }
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    let per_unit = libm::exp10(f64::from(readings.y_decimals.clamp(-12, 12)));
    let (mut readings_seen, mut all_tens) = (0, true);
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in family.points.iter().filter(|p| p.y != 0.0) {
        let steps = unit.from_si(point.y) * per_unit;
        let whole = libm::round(steps);
        // A mean, a converted or a joined reading has no last digit of its own.
        let has_last_digit =
            point.repeats == 1 && (steps - whole).abs() <= 1e-6 * whole.abs().max(1.0);
        if !has_last_digit || whole % 5.0 != 0.0 {
            return None;
        }
        all_tens &= whole % 10.0 == 0.0;
        readings_seen += 1;
        low = low.min(whole);
        high = high.max(whole);
    }
    if high - low < ENOUGH_STEPS {
        return None;
    }
    let (fives, one) = if all_tens { (false, 0.1) } else { (true, 0.2) };
    let p_value = libm::pow(one, f64::from(readings_seen));
    (p_value < DIGITS_LEVEL).then(|| {
        Finding::new(
            Kind::LastDigitsAlike {
                fives,
                coarser: if fives { 5.0 } else { 10.0 } / per_unit,
                unit: unit.symbol(),
            },
            Vec::new(),
            Some(f64::from(readings_seen)),
            Some(p_value),
        )
    })
}
