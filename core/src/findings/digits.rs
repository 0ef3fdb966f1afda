//! What the last digits of the readings say.

use crate::figures::Unit;
use crate::readings::Readings;

use super::{FamilySeen, Finding, Kind};

/// Below this probability last digits that are all alike are worth a word.
pub const DIGITS_LEVEL: f64 = 0.001;
/// The readings must span so many steps that their last digits have no reason to be alike.
const ENOUGH_STEPS: f64 = 50.0;

/// Every reading that is not zero ends in 0, or in 0 or 5, beyond what chance explains: (1/10)ⁿ or (1/5)ⁿ for n readings
/// whose last digits are all equally likely.
pub fn rounded(family: &FamilySeen, readings: &Readings) -> Option<Finding> {
    if readings.zeros_subtracted || !readings.repeats.is_empty() {
        return None;
    }
    let unit = readings.y_unit.unwrap_or(Unit::GRAM);
    let per_unit = libm::exp10(f64::from(readings.y_decimals.clamp(-12, 12)));
    let mut endings = Vec::new();
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in family.points.iter().filter(|p| p.y != 0.0) {
        let steps = unit.from_si(point.y) * per_unit;
        let whole = libm::round(steps);
        // A mean, a converted or a joined reading has no last digit of its own.
        if point.repeats != 1 || (steps - whole).abs() > 1e-6 * whole.abs().max(1.0) {
            return None;
        }
        low = low.min(whole);
        high = high.max(whole);
        endings.push(whole.abs() % 10.0);
    }
    if high - low < ENOUGH_STEPS {
        return None;
    }
    let all = |of: &[f64]| endings.iter().all(|e| of.contains(e));
    let (fives, one) = if all(&[0.0]) {
        (false, 0.1)
    } else if all(&[0.0, 5.0]) {
        (true, 0.2)
    } else {
        return None;
    };
    let p_value = libm::pow(one, endings.len() as f64);
    (p_value < DIGITS_LEVEL).then(|| Finding {
        series: String::new(),
        kind: Kind::LastDigitsAlike {
            fives,
            coarser: if fives { 5.0 } else { 10.0 } / per_unit,
            unit: unit.symbol(),
        },
        rows: Vec::new(),
        statistic: Some(endings.len() as f64),
        p_value: Some(p_value),
    })
}
