//! Sums in twice the precision of a float, so that a large offset in x or y costs no digits.
//!
//! A [`Precise`] holds a number as an unevaluated sum of two floats. The error-free steps are Knuth's two-sum and
//! Dekker's product (T. J. Dekker, Numer. Math. 18 (1971) 224), which need no fused multiply-add and therefore give
//! the same bits natively and in a browser.

use std::ops::{Add, Div, Mul, Sub};

/// A number as the unevaluated sum `high + low`, |low| at most half a unit in the last place of high.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Precise {
    high: f64,
    low: f64,
}

impl Precise {
    /// Zero.
    pub const ZERO: Precise = Precise {
        high: 0.0,
        low: 0.0,
    };

    /// The nearest float.
    pub fn value(self) -> f64 {
        self.high + self.low
    }
}

impl From<f64> for Precise {
    fn from(x: f64) -> Self {
        Precise { high: x, low: 0.0 }
    }
}

fn two_sum(a: f64, b: f64) -> Precise {
    let high = a + b;
    let b_part = high - a;
    let low = (a - (high - b_part)) + (b - b_part);
    Precise { high, low }
}

fn quick_two_sum(a: f64, b: f64) -> Precise {
    let high = a + b;
    Precise {
        high,
        low: b - (high - a),
    }
}

fn split(a: f64) -> (f64, f64) {
    // 2^27 + 1 cuts a 53-bit significand into two halves whose products are exact.
    let t = 134_217_729.0 * a;
    let high = t - (t - a);
    (high, a - high)
}

fn two_product(a: f64, b: f64) -> Precise {
    let high = a * b;
    let (a_high, a_low) = split(a);
    let (b_high, b_low) = split(b);
    let low = ((a_high * b_high - high) + a_high * b_low + a_low * b_high) + a_low * b_low;
    // Beyond about 1e300 the split overflows; the plain product is then all there is.
    Precise {
        high,
        low: if low.is_finite() { low } else { 0.0 },
    }
}

impl Add for Precise {
    type Output = Precise;
    fn add(self, other: Precise) -> Precise {
        let s = two_sum(self.high, other.high);
        let t = two_sum(self.low, other.low);
        let s = quick_two_sum(s.high, s.low + t.high);
        quick_two_sum(s.high, s.low + t.low)
    }
}

impl Sub for Precise {
    type Output = Precise;
    fn sub(self, other: Precise) -> Precise {
        self + Precise {
            high: -other.high,
            low: -other.low,
        }
    }
}

// A float is a `Precise` without a low part. What that part would do in the sums above is left out below; the bits are
// the same, in half the steps, and long tables are little else than such sums.

impl Add<f64> for Precise {
    type Output = Precise;
    fn add(self, other: f64) -> Precise {
        let s = two_sum(self.high, other);
        quick_two_sum(s.high, s.low + self.low)
    }
}

impl Sub<Precise> for f64 {
    type Output = Precise;
    fn sub(self, other: Precise) -> Precise {
        let s = two_sum(self, -other.high);
        quick_two_sum(s.high, s.low - other.low)
    }
}

impl Mul<f64> for Precise {
    type Output = Precise;
    fn mul(self, other: f64) -> Precise {
        let p = two_product(self.high, other);
        quick_two_sum(p.high, p.low + self.low * other)
    }
}

impl Mul for Precise {
    type Output = Precise;
    fn mul(self, other: Precise) -> Precise {
        let p = two_product(self.high, other.high);
        quick_two_sum(
            p.high,
            p.low + (self.high * other.low + self.low * other.high),
        )
    }
}

impl Div for Precise {
    type Output = Precise;
    fn div(self, other: Precise) -> Precise {
        let first = self.high / other.high;
        let rest = self - Precise::from(first) * other;
        let second = rest.high / other.high;
        let rest = rest - Precise::from(second) * other;
        let third = rest.high / other.high;
        let q = quick_two_sum(first, second);
        q + Precise::from(third)
    }
}

/// Each step of a sum waits for the step before it, which takes longer than the step itself: so many run side by side.
const LANES: usize = 4;

/// The sums, in twice the precision, of what `terms` gives of each item.
pub fn sums<T, A, const N: usize>(items: &[T], terms: impl Fn(&T) -> [A; N]) -> [Precise; N]
where
    A: Copy,
    Precise: Add<A, Output = Precise>,
{
    let mut lanes = [[Precise::ZERO; N]; LANES];
    let add = |lane: &mut [Precise; N], item: &T| {
        let terms = terms(item);
        for i in 0..N {
            lane[i] = lane[i] + terms[i];
        }
    };
    let mut rounds = items.chunks_exact(LANES);
    for round in &mut rounds {
        for (lane, item) in lanes.iter_mut().zip(round) {
            add(lane, item);
        }
    }
    for (lane, item) in lanes.iter_mut().zip(rounds.remainder()) {
        add(lane, item);
    }
    let [mut total, rest @ ..] = lanes;
    for lane in rest {
        for i in 0..N {
            total[i] = <Precise as Add>::add(total[i], lane[i]);
        }
    }
    total
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_what_a_float_would_lose() {
        let [total] = sums(&[1e16, 1.0, -1e16], |x| [*x]);
        assert_eq!(total.value(), 1.0);
        assert_ne!(1e16 + 1.0 - 1e16, 1.0, "a plain float does lose it");
    }

    /// To the bit, also where the numbers cancel and where they are of very different sizes.
    #[test]
    fn a_float_counts_as_itself_without_a_low_part() {
        let numbers = [0.0, 1.0, 0.1, -0.3, 1e-9, 12_345.678, -1e16, 3e-300];
        let thirds = numbers.map(|x| Precise::from(x) / Precise::from(3.0));
        let same = |a: Precise, b: Precise| {
            assert_eq!(
                (a.high.to_bits(), (a.low + 0.0).to_bits()),
                (b.high.to_bits(), (b.low + 0.0).to_bits())
            );
        };
        for long in thirds {
            for x in numbers.into_iter().chain(thirds.map(Precise::value)) {
                same(long + x, long + Precise::from(x));
                same(x - long, Precise::from(x) - long);
                same(long * x, long * Precise::from(x));
            }
        }
    }

    #[test]
    fn division_undoes_multiplication() {
        let third = Precise::from(1.0) / Precise::from(3.0);
        let back = third * Precise::from(3.0) - Precise::from(1.0);
        assert!(back.value().abs() < 1e-31, "{:e}", back.value());
    }
}
