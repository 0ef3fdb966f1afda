//! Scales: where an axis begins and ends, its steps, and the text at each tick.
//!
//! Start at [`Scale::decide`]. Steps are 1, 2 or 5 times a power of ten. The plotted points fill more than half of the
//! axis, and zero is in view unless that would break this rule; [`Scale::zero`] says which of the two was done.

use yokeline_core::figures::round;

/// Values further from zero than this are not drawn: sums and products of them might leave the range of an `f64`.
pub const LARGEST: f64 = 1e100;
/// Spans below this share of the values themselves are traces of arithmetic, not data.
const SMALLEST_RELATIVE_SPAN: f64 = 1e-9;
/// Spans below this are taken for none.
const SMALLEST_SPAN: f64 = 1e-200;
/// Air between the outermost point and the end of the axis, as a share of the span.
const AIR: f64 = 0.03;
/// An error bar may poke out of the frame at zero by this share of the span, rather than cost a whole step of paper.
const OVERHANG: f64 = 0.025;
/// An axis has at least so many steps.
const FEWEST_STEPS: i64 = 5;
/// An axis has at most so many: rather than squeeze zero in with finer ones, it is left out.
const MOST_STEPS: i64 = 15;

/// The smallest and the largest of some values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// The smallest.
    pub low: f64,
    /// The largest.
    pub high: f64,
}

impl Extent {
    /// The extent of some values; `None` when there are none. What is not finite is passed over.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Option<Extent> {
        values.into_iter().filter(|value| value.is_finite()).fold(
            None,
            |extent: Option<Extent>, value| {
                Some(match extent {
                    None => Extent {
                        low: value,
                        high: value,
                    },
                    Some(extent) => extent.with(value),
                })
            },
        )
    }

    /// The extent that holds `value` as well.
    pub fn with(self, value: f64) -> Extent {
        Extent {
            low: self.low.min(value),
            high: self.high.max(value),
        }
    }

    /// The extent that holds all of `other` as well.
    pub fn and(self, other: Extent) -> Extent {
        self.with(other.low).with(other.high)
    }

    fn span(self) -> f64 {
        self.high - self.low
    }

    fn is_flat(self) -> bool {
        self.span()
            <= SMALLEST_SPAN.max(SMALLEST_RELATIVE_SPAN * self.low.abs().max(self.high.abs()))
    }
}

/// The distance between two labelled lines of the paper: 1, 2 or 5 times a power of ten.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// 1, 2 or 5.
    pub mantissa: i64,
    /// The power of ten.
    pub exponent: i32,
}

impl Step {
    /// The value of the step.
    pub fn value(self) -> f64 {
        self.times(1)
    }

    /// The `f64` nearest to `index` such steps from zero.
    pub fn times(self, index: i64) -> f64 {
        decimal(index.saturating_mul(self.mantissa), self.exponent)
    }

    /// The largest step that is not larger than `value`, which is positive.
    fn below(value: f64) -> Step {
        let mut step = Step {
            mantissa: 5,
            exponent: value.log10().floor() as i32 + 1,
        };
        while step.value() > value {
            step = step.finer();
        }
        step
    }

    fn finer(self) -> Step {
        match self.mantissa {
            5 => Step {
                mantissa: 2,
                ..self
            },
            2 => Step {
                mantissa: 1,
                ..self
            },
            _ => Step {
                mantissa: 5,
                exponent: self.exponent - 1,
            },
        }
    }

    fn coarser(self) -> Step {
        match self.mantissa {
            1 => Step {
                mantissa: 2,
                ..self
            },
            2 => Step {
                mantissa: 5,
                ..self
            },
            _ => Step {
                mantissa: 1,
                exponent: self.exponent + 1,
            },
        }
    }
}

/// One labelled line.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// How many steps from zero.
    pub index: i64,
    /// Its value in the axis unit.
    pub value: f64,
    /// Its text, with the minus sign that is printed for people.
    pub text: String,
}

/// What became of zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zero {
    /// It is in view.
    Shown,
    /// With it in view, the points would fill half of the axis or less.
    LeftOut,
}

/// A linear scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// Where the axis begins, a whole number of steps.
    pub min: f64,
    /// Where it ends, a whole number of steps.
    pub max: f64,
    /// From one tick to the next.
    pub step: Step,
    /// The ticks, from `min` to `max`.
    pub ticks: Vec<Tick>,
    /// The power of ten taken out of the tick texts and put into the axis title; 0 for most.
    pub power: i32,
    /// Whether zero is in view.
    pub zero: Zero,
}

impl Scale {
    /// A scale for points that lie within `points`; `rounds` hold what should be in view as well, the dearest first.
    ///
    /// Each round holds two wishes (say: error bars and line ends; error bars alone). They are tried with zero, then
    /// without, and the first that lets the points fill more than half of the axis is granted; when none does, the
    /// points alone decide. Points that all have one value can fill nothing, and get zero and the first wish.
    /// `resolution` is the smallest step of the instrument, used where there is no span at all.
    pub fn decide(points: Extent, rounds: &[[Extent; 2]], resolution: f64) -> Scale {
        if points.is_flat() {
            let mut wide = rounds
                .first()
                .map_or(points, |[_, wish]| points.and(*wish))
                .with(0.0);
            if wide.is_flat() {
                wide = Extent {
                    low: -resolution,
                    high: resolution,
                };
            }
            return Scale::covering(wide, points, false).unwrap_or_else(Scale::unit);
        }
        for wishes in rounds.iter().chain([&[points, points]]) {
            let wishes = wishes.map(|wish| trim_at_zero(points.and(wish), points));
            for extent in wishes.map(|wish| wish.with(0.0)).into_iter().chain(wishes) {
                if let Some(scale) = Scale::covering(extent, points, true) {
                    return scale;
                }
            }
        }
        Scale::covering(points, points, false).unwrap_or_else(Scale::unit)
    }

    /// A scale the same on both sides of zero that holds `reach` in a few steps: for residuals.
    pub fn symmetric(reach: f64, resolution: f64) -> Scale {
        let usable = reach.is_finite() && reach > SMALLEST_SPAN && reach < LARGEST;
        let reach = if usable { reach } else { resolution };
        // Up to three steps each side are as many as a strip of a hundred pixels can label.
        let mut step = Step::below(reach / 3.0);
        while step.value() * 3.0 < reach * (1.0 + AIR) {
            step = step.coarser();
        }
        let steps = (reach * (1.0 + AIR) / step.value()).ceil().max(1.0) as i64;
        Scale::of_steps(step, -steps, steps)
    }

    /// From 0 to 1, for a frame without anything in it.
    pub fn unit() -> Scale {
        Scale::of_steps(
            Step {
                mantissa: 2,
                exponent: -1,
            },
            0,
            5,
        )
    }

    /// Decimal places that a place on this scale is read to: those of its steps.
    pub fn decimals(&self) -> i32 {
        -self.step.exponent
    }

    /// How many finer lines divide one step, when a step is `pixels` long: as on graph paper, where there is room.
    pub fn divisions(&self, pixels: f64) -> i64 {
        const FINEST_PIXELS: f64 = 5.5;
        let possible: &[i64] = match self.step.mantissa {
            // A fifth of 2 would be 0.4; a quarter is 0.5.
            2 => &[10, 4, 2],
            5 => &[10, 5],
            _ => &[10, 5, 2],
        };
        possible
            .iter()
            .copied()
            .find(|count| pixels / *count as f64 >= FINEST_PIXELS)
            .unwrap_or(1)
    }

    /// Every how many-th step is labelled, when a step is `pixels` long and a label needs `label_pixels`.
    ///
    /// What is left is again a scale of steps of 1, 2 or 5.
    pub fn label_every(&self, pixels: f64, label_pixels: f64) -> i64 {
        let possible: &[i64] = match self.step.mantissa {
            2 => &[1, 5, 10, 25],
            5 => &[1, 2, 4, 10, 20],
            _ => &[1, 2, 5, 10, 20],
        };
        let enough = possible
            .iter()
            .find(|every| pixels * **every as f64 >= label_pixels);
        let every = enough.or(possible.last()).copied().unwrap_or(1);
        // Steps of 2, three to each side of zero, would leave zero the only label: then the two ends have one as well.
        let end = self.ticks.last().map_or(0, |tick| tick.index);
        let even = self.ticks.first().is_some_and(|tick| tick.index == -end);
        if even && end < every && pixels * end as f64 >= label_pixels {
            end
        } else {
            every
        }
    }

    /// The coarsest scale of enough steps that holds `extent`, and of which the points fill more than half.
    fn covering(extent: Extent, points: Extent, must_fill: bool) -> Option<Scale> {
        let drawable = extent.low.abs().max(extent.high.abs()) <= LARGEST;
        if extent.is_flat() || !drawable {
            return None;
        }
        // Points keep clear of the frame, except at zero, where the frame is the other axis; lines and bars need not.
        let air = AIR * extent.span();
        let low = if extent.low == 0.0 {
            0.0
        } else {
            extent.low.min(points.low - air)
        };
        let high = if extent.high == 0.0 {
            0.0
        } else {
            extent.high.max(points.high + air)
        };
        let mut step = Step::below((high - low) / FEWEST_STEPS as f64).coarser();
        for _ in 0..4 {
            let first = (low / step.value()).floor() as i64;
            let last = (high / step.value()).ceil() as i64;
            let axis = step.times(last) - step.times(first);
            let filled = points.span() > 0.5 * axis;
            if (FEWEST_STEPS..=MOST_STEPS).contains(&(last - first)) && (filled || !must_fill) {
                return Some(Scale::of_steps(step, first, last));
            }
            step = step.finer();
        }
        None
    }

    fn of_steps(step: Step, first: i64, last: i64) -> Scale {
        let (min, max) = (step.times(first), step.times(last));
        let power = power_to_take_out(min.abs().max(max.abs()));
        let decimals = (power - step.exponent).max(0);
        let ticks = (first..=last)
            .map(|index| {
                let shown = decimal(index.saturating_mul(step.mantissa), step.exponent - power);
                let text = round::typeset(&round::to_decimals(shown, decimals));
                Tick {
                    index,
                    value: step.times(index),
                    text,
                }
            })
            .collect();
        let zero = if min <= 0.0 && max >= 0.0 {
            Zero::Shown
        } else {
            Zero::LeftOut
        };
        Scale {
            min,
            max,
            step,
            ticks,
            power,
            zero,
        }
    }
}

/// `extent` without the little by which error bars reach across zero when no point does.
fn trim_at_zero(extent: Extent, points: Extent) -> Extent {
    let allowed = OVERHANG * extent.span();
    let low = if points.low >= 0.0 && extent.low < 0.0 && -extent.low <= allowed {
        0.0
    } else {
        extent.low
    };
    let high = if points.high <= 0.0 && extent.high > 0.0 && extent.high <= allowed {
        0.0
    } else {
        extent.high
    };
    Extent { low, high }
}

/// Labels of seven figures do not fit beside an axis: a power of a thousand is then put into its title.
fn power_to_take_out(largest: f64) -> i32 {
    if largest == 0.0 || (1e-3..1e6).contains(&largest) {
        return 0;
    }
    (largest.log10().floor() as i32).div_euclid(3) * 3
}

/// The `f64` nearest to `whole` × 10^`exponent`.
fn decimal(whole: i64, exponent: i32) -> f64 {
    format!("{whole}e{exponent}").parse().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale(low: f64, high: f64) -> Scale {
        let points = Extent { low, high };
        Scale::decide(points, &[[points, points]], 0.01)
    }

    fn texts(scale: &Scale) -> Vec<&str> {
        scale.ticks.iter().map(|tick| tick.text.as_str()).collect()
    }

    #[test]
    fn steps_are_1_2_or_5_and_points_fill_more_than_half() {
        let spans = (0..400).map(|n| 1.017_f64.powi(n * 7 - 1400));
        for span in spans {
            for (low, high) in [
                (0.0, span),
                (span, 2.1 * span),
                (-span, 0.3 * span),
                (-5.0 * span, -4.0 * span),
                (9.0, 9.0 + span),
            ] {
                if high - low < 1e-8 * high.abs() {
                    continue;
                }
                let scale = scale(low, high);
                assert!([1, 2, 5].contains(&scale.step.mantissa));
                assert!(
                    scale.min <= low && scale.max >= high,
                    "{low}..{high} in {}..{}",
                    scale.min,
                    scale.max
                );
                let filled = (high - low) / (scale.max - scale.min);
                assert!(
                    filled > 0.5,
                    "{low}..{high} fills {filled} of {}..{}",
                    scale.min,
                    scale.max
                );
                assert!(
                    (5..=15).contains(&(scale.ticks.len() - 1)),
                    "{} steps",
                    scale.ticks.len() - 1
                );
            }
        }
    }

    #[test]
    fn zero_is_in_view_unless_the_points_would_fill_too_little() {
        assert_eq!(
            (scale(0.5, 3.0).min, scale(0.5, 3.0).zero),
            (0.0, Zero::Shown)
        );
        assert_eq!(scale(164.05, 168.0).zero, Zero::LeftOut);
        assert_eq!(
            (scale(-3.0, -0.5).max, scale(-3.0, -0.5).zero),
            (0.0, Zero::Shown)
        );
        // 1.9 of 4 with zero is less than half; so zero goes.
        assert_eq!(scale(2.0, 3.9).zero, Zero::LeftOut);
    }

    #[test]
    fn tick_texts_keep_their_zeros_and_their_minus() {
        assert_eq!(
            texts(&scale(0.1, 0.5)),
            ["0.0", "0.1", "0.2", "0.3", "0.4", "0.5", "0.6"]
        );
        assert_eq!(
            texts(&scale(-0.25, 0.22)),
            ["−0.3", "−0.2", "−0.1", "0.0", "0.1", "0.2", "0.3"]
        );
        assert_eq!(texts(&scale(164.1, 168.0)).first(), Some(&"163"));
    }

    #[test]
    fn a_power_of_ten_is_taken_out_of_long_texts() {
        let small = scale(1e-6, 6e-6);
        assert_eq!(
            (small.power, texts(&small).last().copied()),
            (-6, Some("7"))
        );
        let large = scale(0.0, 2.5e7);
        assert_eq!(
            (large.power, texts(&large).last().copied()),
            (6, Some("30"))
        );
        assert_eq!(scale(0.0, 5000.0).power, 0);
    }

    #[test]
    fn a_single_value_still_gets_a_scale() {
        let one = scale(0.5, 0.5);
        assert!(one.min == 0.0 && one.max > 0.5);
        let none = scale(0.0, 0.0);
        assert!(none.min < 0.0 && none.max > 0.0 && none.max <= 0.02);
        // A trace of arithmetic is no span.
        assert_eq!(scale(0.3, 0.1 + 0.2).zero, Zero::Shown);
    }

    #[test]
    fn whatever_the_values_the_scale_is_finite() {
        for (low, high) in [
            (0.0, 1e-300),
            (-1e99, 1e99),
            (1e99, 1e99),
            (0.0, f64::MAX),
            (-f64::MAX, f64::MAX),
            (5e-324, 5e-324),
        ] {
            let scale = scale(low, high);
            assert!(
                scale.min.is_finite() && scale.max.is_finite() && scale.min < scale.max,
                "{low}, {high}"
            );
        }
        for reach in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-310, 1e99] {
            let scale = Scale::symmetric(reach, 0.01);
            assert!(scale.max.is_finite() && scale.max > 0.0);
        }
    }

    #[test]
    fn a_symmetric_scale_holds_its_reach_in_few_steps() {
        for reach in [0.0137, 0.5, 2.9, 3.1, 99.0] {
            let scale = Scale::symmetric(reach, 0.01);
            assert_eq!(scale.min, -scale.max);
            assert!(
                scale.max >= reach && reach > 0.4 * scale.max,
                "{reach} in {}",
                scale.max
            );
            assert!(scale.ticks.len() <= 7);
        }
    }

    #[test]
    fn bars_poke_out_at_zero_rather_than_cost_a_step() {
        let points = Extent {
            low: 0.0,
            high: 0.5,
        };
        let bars = Extent {
            low: -0.01,
            high: 0.51,
        };
        assert_eq!(Scale::decide(points, &[[bars, bars]], 0.01).min, 0.0);
        let long = Extent {
            low: -0.1,
            high: 0.6,
        };
        assert!(Scale::decide(points, &[[long, long]], 0.01).min < 0.0);
    }

    #[test]
    fn labels_and_finer_lines_follow_the_room() {
        let scale = scale(0.5, 3.0);
        assert_eq!(
            scale.step,
            Step {
                mantissa: 5,
                exponent: -1
            }
        );
        assert_eq!(
            (
                scale.divisions(80.0),
                scale.divisions(30.0),
                scale.divisions(10.0)
            ),
            (10, 5, 1)
        );
        assert_eq!(
            (
                scale.label_every(80.0, 40.0),
                scale.label_every(30.0, 40.0),
                scale.label_every(1.0, 99.0)
            ),
            (1, 2, 20)
        );
    }

    #[test]
    fn a_low_strip_has_a_label_at_either_end_as_well() {
        for reach in [0.0012, 0.0031, 0.0056, 0.042, 0.055, 0.11, 0.3, 7.0] {
            let scale = Scale::symmetric(reach, 0.01);
            for height in [40.0, 55.0, 90.0] {
                let pixels = height / (scale.ticks.len() - 1) as f64;
                let every = scale.label_every(pixels, 15.0);
                let labelled: Vec<&Tick> = scale
                    .ticks
                    .iter()
                    .filter(|tick| tick.index % every == 0)
                    .collect();
                assert!(labelled.len() >= 3, "{reach}, {height}: {labelled:?}");
                assert!(
                    labelled.windows(2).all(|pair| pair[0].text != pair[1].text),
                    "{labelled:?}"
                );
            }
        }
    }
}
