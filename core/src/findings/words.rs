//! The sentences of the findings: what was seen and why it matters, and what to do on the bench.

use crate::figures::round::{percent, to_decimals, to_significant, typeset};
use crate::readings::words::rows_text;

use super::{Finding, Kind};

impl Finding {
    /// Its name for tools.
    pub fn name(&self) -> &'static str {
        match self.kind {
            Kind::Outlier { .. } => "outlier",
            Kind::ZeroRowContradicted { .. } => "zero_row_contradicted",
            Kind::Bend { .. } => "bend",
            Kind::Step { .. } => "step",
            Kind::ScatterBeyondBars { .. } => "scatter_beyond_bars",
            Kind::LargeField { .. } => "large_field",
            Kind::ZeroError { .. } => "zero_error",
            Kind::Untared { .. } => "untared",
            Kind::SignsLost => "signs_lost",
            Kind::SameCurrent { .. } => "same_current_different_readings",
            Kind::TooFewPoints { .. } => "too_few_points",
            Kind::OnePointDecides => "one_point_decides",
            Kind::CoarseResolution { .. } => "coarse_resolution",
            Kind::StuckAtZero => "stuck_at_zero",
            Kind::NoChange => "no_change",
            Kind::TooPerfect => "too_perfect",
            Kind::ForceIsNotMassTimesG { .. } => "force_is_not_mass_times_g",
            Kind::LengthsDisagree { .. } => "lengths_disagree",
            Kind::Drift { .. } => "drift",
            Kind::DirectionsDisagree { .. } => "directions_disagree",
            Kind::UpAndDownDisagree { .. } => "up_and_down_disagree",
            Kind::RepeatFarOff { .. } => "repeat_far_off",
            Kind::RepeatsAllEqual => "repeats_all_equal",
            Kind::LastDigitsAlike { .. } => "last_digits_alike",
            Kind::DriftNotSeparable => "drift_not_separable",
        }
    }

    /// What was seen and why it matters.
    pub fn text(&self) -> String {
        let said = self.said();
        if self.series.is_empty() {
            said
        } else {
            format!("{}: {said}", self.series)
        }
    }

    fn said(&self) -> String {
        let rows = rows_text(&self.rows);
        let capital_rows = capital(&rows);
        match &self.kind {
            Kind::Outlier { ratio } => format!(
                "{capital_rows} lies far off the line through the others. Without it the gradient, and so B, would be \
                 {}. The point is still counted until you leave it out.",
                times(*ratio)
            ),
            Kind::ZeroRowContradicted { ratio, zero, decimals, unit } => format!(
                "{capital_rows} says 0 at no current, but the other rows lead to {} {unit} there: the row looks typed in \
                 rather than measured, and your zero is about that much out. Without the row the gradient, and so B, \
                 would be {}.",
                typeset(&to_decimals(*zero, *decimals)),
                times(*ratio)
            ),
            Kind::Bend { steeper } => format!(
                "The points follow a curve that grows {}, more than their scatter explains, so no single gradient \
                 describes them. A high R² does not speak against this; the residuals show it.",
                if *steeper { "steeper" } else { "flatter" }
            ),
            Kind::Step { ratio } => format!(
                "The readings jump between {rows}: the residuals there are large and of opposite sign, as when \
                 something moved. With the jump allowed for, the gradient, and so B, would be {}.",
                times(*ratio)
            ),
            Kind::ScatterBeyondBars { half_width, unit } => format!(
                "No straight line passes through every error bar, so the scatter is larger than the bars say.{} A line \
                 would need bars of at least ±{} {unit}. The standard error of the gradient stands in for the worst \
                 lines.",
                if self.rows.is_empty() {
                    String::new()
                } else {
                    format!(" Without {rows} one would.")
                },
                typeset(&to_significant(*half_width, 2))
            ),
            Kind::LargeField { tesla } => format!(
                "{} T is more than the magnets of a school practical usually give.",
                to_significant(*tesla, 2)
            ),
            Kind::ZeroError { intercept, decimals, unit } => format!(
                "The line does not pass through zero: your zero is about {} {unit} out. The gradient, and so B, is not \
                 changed by that, as long as the line is not forced through the origin.",
                typeset(&to_decimals(*intercept, *decimals))
            ),
            Kind::Untared { zero, decimals, unit } => format!(
                "The balance was not zeroed: with no current it would read about {} {unit}. That does not change the \
                 gradient, nor B.",
                typeset(&to_decimals(*zero, *decimals))
            ),
            Kind::SignsLost => format!(
                "The readings change sign although the current does not. A minus sign seems lost in {rows}: either of \
                 the reading, or of a current that was reversed. Nothing was changed by itself."
            ),
            Kind::SameCurrent { x, decimals, unit, reversed } => format!(
                "{} {unit} stands in {rows} with very different readings, so they are not repeats of one another. {}",
                typeset(&to_decimals(*x, *decimals)),
                if *reversed {
                    "They lie on either side of the zero: was the current reversed for one of them? Then it needs a \
                     minus sign. Or one of the currents may be mistyped."
                } else {
                    "One of the currents may be mistyped."
                }
            ),
            Kind::TooFewPoints { points: 2 } => {
                "Only 2 points: a straight line passes through any two, so they say nothing of their own scatter."
                    .into()
            }
            Kind::TooFewPoints { points } => format!(
                "Only {points} points: {}.",
                if *points == 3 {
                    "the uncertainty itself is very uncertain, however small the standard error looks"
                } else {
                    "the scatter, and with it the uncertainty, is known only roughly"
                }
            ),
            Kind::OnePointDecides => format!(
                "{capital_rows} stands so far from the others that it decides the gradient almost alone. A slip in that \
                 one reading would not show."
            ),
            Kind::CoarseResolution { steps } => format!(
                "From the smallest to the largest reading the balance moved only {steps:.0} of its steps. The steps \
                 themselves then limit what can be known of the gradient."
            ),
            Kind::StuckAtZero => format!(
                "The readings at the smallest currents ({rows}) are all exactly 0 while the others rise: the balance \
                 could not see so small a force, or its own zero tracking held it at 0."
            ),
            Kind::NoChange => "The readings show no change at all, so there is no gradient. Perhaps the column was shown \
                with too few decimal places when it was copied (a mass in kg needs at least five)."
                .into(),
            Kind::TooPerfect => "The points lie on the line more closely than the instrument could read. The scatter is \
                hidden by its steps, so the uncertainty was taken from the step of the balance, not from the scatter."
                .into(),
            Kind::ForceIsNotMassTimesG { ratio, expected } if is_thousandfold(ratio / expected) => {
                "The forces are a thousand times too large for the masses beside them: they seem to be in mN where N is \
                 written."
                    .into()
            }
            Kind::ForceIsNotMassTimesG { ratio, expected } => format!(
                "Force divided by mass is the same in every row, but it is {} N/kg, not {} N/kg.",
                to_significant(*ratio, 3),
                to_significant(*expected, 3)
            ),
            Kind::LengthsDisagree { farthest, ratio, falls_with_length } => format!(
                "The flux densities of the different wires do not agree within their uncertainties: {} gives {}. They \
                 are not consistent with one uniform field, so no mean is given.{}",
                if farthest.is_empty() { "one of them" } else { farthest },
                compared(*ratio),
                if *falls_with_length {
                    " It is the longest: it probably reaches to the edge of the poles or past it, where the field is \
                     weaker."
                } else {
                    ""
                }
            ),
            Kind::Drift { whole, unit, ratio } => format!(
                "The readings move steadily in the order in which they were taken, by {} {unit} from the first to the \
                 last, whatever the current. With the drift allowed for, the gradient, and so B, would be {}.",
                typeset(&to_significant(*whole, 2)),
                times(*ratio)
            ),
            Kind::DirectionsDisagree { ratio } => format!(
                "With the current reversed the gradient is {} than with it forward, more than the scatter explains.",
                compared(*ratio)
            ),
            Kind::UpAndDownDisagree { difference, decimals, unit } => format!(
                "At the same current the readings on the way down are {} {unit} {} than on the way up, more than their \
                 scatter explains.",
                typeset(&to_decimals(difference.abs(), *decimals)),
                if *difference > 0.0 { "higher" } else { "lower" }
            ),
            Kind::RepeatFarOff { value, decimals, unit } => format!(
                "{capital_rows}: {} {unit} lies far from the other readings of that current.",
                typeset(&to_decimals(*value, *decimals))
            ),
            Kind::RepeatsAllEqual => "All repeats are equal to the last digit, although the points scatter about the line \
                by more than that. Repeats usually differ as much as the points do."
                .into(),
            Kind::LastDigitsAlike { fives, coarser, unit } => format!(
                "Every reading ends in {}. If they were rounded to {} {unit}, that is the step to use for the error bars.",
                if *fives { "0 or 5" } else { "0" },
                to_significant(*coarser, 1)
            ),
            Kind::DriftNotSeparable => "The current was only ever raised (or lowered) in step with the time, so a drift \
                of the balance and the push on the magnet look exactly alike. No calculation can part them, and none \
                was tried."
                .into(),
        }
    }

    /// What to do on the bench.
    pub fn advice(&self) -> &'static str {
        match self.kind {
            Kind::Outlier { .. } => {
                "Look at the reading again: a misread digit, a mistyped current, a draught? Repeat it if you can. Leave \
                 it out only with a reason, and write the reason down."
            }
            Kind::ZeroRowContradicted { .. } => {
                "Keep a reading at no current only if it was measured. If it was not, leave the row out."
            }
            Kind::Bend { .. } => {
                "Switch on only while reading, so that the wire stays cool; look whether the wire or the magnet moved, \
                 or the supply changed range. Then measure again, or use only the straight part and say so."
            }
            Kind::Step { .. } => {
                "Ask what happened between those readings: a wire or magnet moved, a supply range changed, the balance \
                 was zeroed again? Measure again, or fit the two parts apart."
            }
            Kind::ScatterBeyondBars { .. } if self.rows.is_empty() => {
                "No two or three rows are to blame: the readings are less certain than their bars say. Repeat each \
                 current a few times, so that the bars show the true spread."
            }
            Kind::ScatterBeyondBars { .. } => {
                "Look at the rows named. If nothing is wrong with them, the readings are less certain than one step of \
                 the balance: repeat each current a few times, so that the bars show the true spread."
            }
            Kind::LargeField { .. } => {
                "Look at the length that lies in the field and its unit, at the number of wires, and at g and mg."
            }
            Kind::ZeroError { .. } => {
                "Read the balance at no current before and after the run, and zero it with the magnet standing on it."
            }
            Kind::Untared { .. } => {
                "Nothing needs doing. Zeroing the balance with the magnet on it saves a subtraction."
            }
            Kind::SignsLost => {
                "Compare with your notes. A negative reading is not a mistake: it means that the magnet was pulled up. \
                 If you swapped the leads, type that current with a minus sign."
            }
            Kind::SameCurrent { .. } => {
                "Compare with your notes and correct the row, or leave it out with a reason."
            }
            Kind::TooFewPoints { .. } => {
                "Take more readings: eight or more, spread over the whole range of current."
            }
            Kind::OnePointDecides => "Take more readings in the gap, or repeat the one at the end.",
            Kind::CoarseResolution { .. } => {
                "Use more lengths of wire, a larger current within the limits, stronger magnets or a finer balance."
            }
            Kind::StuckAtZero => {
                "Start from a current that gives a reading well above one step, or put a small weight on the pan first."
            }
            Kind::NoChange => {
                "Copy the column again with more decimal places, or type the readings in g."
            }
            Kind::TooPerfect => {
                "Write every digit that the balance shows. A finer balance would show the scatter."
            }
            Kind::ForceIsNotMassTimesG { ratio, expected } if is_thousandfold(ratio / expected) => {
                "Choose mN as the unit of the force column, at its heading."
            }
            Kind::ForceIsNotMassTimesG { .. } => {
                "If your balance has unequal arms, enter the lever ratio. If not, look which g the forces were worked \
                 out with."
            }
            Kind::LengthsDisagree { .. } => {
                "Measure the length of the poles, or walk a probe along the wire. For a wire longer than the poles use \
                 the length that lies in the field."
            }
            Kind::Drift { .. } => {
                "Let the balance warm up, keep draughts away, and read it at no current between the others: a steady drift \
                 can then be allowed for."
            }
            Kind::DirectionsDisagree { .. } => {
                "Look whether the wire shifts when the current is reversed, whether the reversed readings are as long \
                 after switching on as the others, and whether a lead or a clip pulls on the magnet."
            }
            Kind::UpAndDownDisagree { .. } => {
                "The wire warming up, a lead that rubs, or a balance that drifts does this. Switch on only while reading, \
                 wait the same time for each, and read the balance at no current in between."
            }
            Kind::RepeatFarOff { .. } => {
                "Look at that reading again: a misread digit or a draught? Take one more. Change it only if you know what \
                 went wrong, and write that down."
            }
            Kind::RepeatsAllEqual => {
                "Take each repeat as a fresh reading: switch off, let the balance come to rest, switch on again."
            }
            Kind::LastDigitsAlike { .. } => {
                "Write down every digit that the balance shows. If its step really is larger, type it under More."
            }
            Kind::DriftNotSeparable => {
                "Take readings at no current in between, or go up and come down again, or zero the balance before each \
                 reading."
            }
        }
    }
}

/// A ratio in words: `12 % larger`, `3.3 times as large`.
fn times(ratio: f64) -> String {
    if !ratio.is_finite() {
        return "quite different".into();
    }
    if ratio < 0.0 {
        return "of the other sign".into();
    }
    if !(0.5..=2.0).contains(&ratio) {
        return format!("{} times as large", to_significant(ratio, 2));
    }
    compared(ratio)
}

fn compared(ratio: f64) -> String {
    let change = 100.0 * (ratio - 1.0);
    let size = percent(change.abs());
    if change.abs() < 0.05 {
        "about the same".into()
    } else if change > 0.0 {
        format!("{size} % more")
    } else {
        format!("{size} % less")
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().collect::<String>() + letters.as_str())
        .unwrap_or_default()
}

/// Whether a ratio is a thousand, for want of a milli.
fn is_thousandfold(ratio: f64) -> bool {
    (ratio / 1000.0 - 1.0).abs() < 0.03
}
