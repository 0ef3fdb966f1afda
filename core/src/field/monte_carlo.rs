//! The whole chain thrown again and again: propagation of distributions (JCGM 101:2008).
//!
//! Start at [`Simulation`], which throws any [`Model`] of any [`Input`]s; [`of_flux_density`] makes the one for B. Trials
//! are added in slices, so that the caller can do something else between them or give up; the slices have no say in the
//! outcome. The same seed gives the same outcome to the bit on every machine: chance comes from xoshiro256++ and is bent
//! into shape by a table of quantiles, which is several times faster than to work each of them out.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use super::flux_density::{FluxDensity, Term};
use crate::line::student;

/// Into how many batches the trials are parted to find the numerical error (JCGM 101:2008, 7.9.4, asks for ten).
pub const BATCHES: usize = 10;

/// The fewest trials that give an outcome: each batch needs values beyond both ends of its interval.
pub const FEWEST: usize = 100 * BATCHES;

/// What is known of a quantity that enters the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Input {
    /// Gaussian: a best estimate with a standard uncertainty (JCGM 101:2008, 6.4.7).
    Normal {
        /// Expectation.
        mean: f64,
        /// Standard deviation, not negative.
        deviation: f64,
    },
    /// Anything between two limits is as likely as anything else (6.4.2).
    Rectangular {
        /// The middle.
        mean: f64,
        /// Half the distance of the limits.
        half_width: f64,
    },
    /// Scaled and shifted t: an estimate from a series of readings whose scatter is all that is known (6.4.9).
    Student {
        /// The estimate.
        location: f64,
        /// Its standard error.
        scale: f64,
        /// Degrees of freedom ν of that standard error, above 0. The distribution has a standard deviation for ν > 2.
        degrees_of_freedom: f64,
    },
}

impl Input {
    fn has_deviation(&self) -> bool {
        match self {
            Input::Student {
                degrees_of_freedom, ..
            } => *degrees_of_freedom > 2.0,
            _ => true,
        }
    }
}

/// How the result depends on the quantities, in the order of the inputs.
pub trait Model {
    /// The result for one throw of all inputs.
    fn value(&self, drawn: &[f64]) -> f64;
}

impl<F: Fn(&[f64]) -> f64> Model for F {
    fn value(&self, drawn: &[f64]) -> f64 {
        self(drawn)
    }
}

/// Trials of a model, added in slices.
#[derive(Clone, Debug)]
pub struct Simulation<M> {
    inputs: Vec<Input>,
    model: M,
    seed: u64,
    chance: Chance,
    drawn: Vec<f64>,
    values: Vec<f64>,
}

impl<M: Model> Simulation<M> {
    /// A simulation without any trial yet.
    pub fn new(inputs: Vec<Input>, model: M, seed: u64) -> Simulation<M> {
        Simulation {
            drawn: vec![0.0; inputs.len()],
            chance: Chance::new(seed, &inputs),
            inputs,
            model,
            seed,
            values: Vec::new(),
        }
    }

    /// Throws `trials` more.
    pub fn add(&mut self, trials: usize) {
        self.values.reserve(trials);
        for _ in 0..trials {
            self.chance.draw(&mut self.drawn);
            self.values.push(self.model.value(&self.drawn));
        }
    }

    /// How many were thrown.
    pub fn trials(&self) -> usize {
        self.values.len()
    }

    /// What the trials say; `None` for fewer than [`FEWEST`], or when an end of the interval is not finite.
    ///
    /// Intervals hold q = 95 % of the M trials: y(r) to y(r + q) in increasing order, r = (M - q)/2 for the
    /// probabilistically symmetric one, and the r with the least distance for the shortest.
    ///
    /// # Source
    /// JCGM 101:2008, 7.6 (estimate and standard uncertainty), 7.7 (intervals), 7.9.4 (standard error of an average over
    /// batches, here of each figure over [`BATCHES`]).
    pub fn finish(mut self) -> Option<Outcome> {
        let trials = self.values.len();
        if trials < FEWEST {
            return None;
        }
        let mut batches = Vec::with_capacity(BATCHES);
        let mut rest = &mut self.values[..];
        for left in (1..=BATCHES).rev() {
            let (batch, others) = rest.split_at_mut(rest.len() / left);
            rest = others;
            // Moments first: they are summed in the order of the throws.
            batches.push((Moments::of(batch), Ends::of(batch)?));
        }
        let moments = batches
            .iter()
            .fold(Moments::default(), |sum, (m, _)| sum.and(m));
        let ends = Ends::of(&mut self.values)?;
        let has_deviation = self.inputs.iter().all(Input::has_deviation)
            && moments.mean.is_finite()
            && moments.deviation().is_finite();
        let error = |figure: fn(&Moments, &Ends) -> f64| {
            standard_error(batches.iter().map(|(m, e)| figure(m, e)))
        };
        Some(Outcome {
            trials,
            seed: self.seed,
            mean: has_deviation.then_some(moments.mean),
            standard_uncertainty: has_deviation.then(|| moments.deviation()),
            interval: ends.symmetric,
            shortest: ends.shortest,
            numerical_error: NumericalError {
                mean: has_deviation.then(|| error(|m, _| m.mean)),
                standard_uncertainty: has_deviation.then(|| error(|m, _| m.deviation())),
                interval: [error(|_, e| e.symmetric[0]), error(|_, e| e.symmetric[1])],
            },
        })
    }
}

/// What the trials say, in the unit of the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// How many were thrown.
    pub trials: usize,
    /// The seed they were thrown from.
    pub seed: u64,
    /// Mean; `None` when the result has no standard deviation that the mean could settle with (a t of two degrees of
    /// freedom or fewer).
    pub mean: Option<f64>,
    /// Standard deviation; `None` where there is none.
    pub standard_uncertainty: Option<f64>,
    /// The 95 % interval with as much left out below as above.
    pub interval: [f64; 2],
    /// The shortest 95 % interval.
    pub shortest: [f64; 2],
    /// How far another seed would move the figures.
    pub numerical_error: NumericalError,
}

/// Standard errors that come from the number of trials alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NumericalError {
    /// Of the mean.
    pub mean: Option<f64>,
    /// Of the standard uncertainty.
    pub standard_uncertainty: Option<f64>,
    /// Of both ends of the interval.
    pub interval: [f64; 2],
}

impl Outcome {
    /// Whether value ± `expanded`, found from the budget with the standard uncertainty `standard`, has the same ends
    /// within the numerical tolerance of a standard uncertainty given to two significant digits: half a unit of the second.
    ///
    /// # Source
    /// JCGM 101:2008, 7.9.2 (tolerance) and 8.1 (comparison).
    pub fn agrees_with(&self, value: f64, standard: f64, expanded: f64) -> bool {
        if !(standard > 0.0 && standard.is_finite() && expanded.is_finite()) {
            return false;
        }
        let [low, high] = self.interval;
        let tolerance = 0.5 * libm::exp10(libm::floor(libm::log10(standard)) - 1.0);
        (value - expanded - low).abs() <= tolerance && (value + expanded - high).abs() <= tolerance
    }
}

/// The decimals on which all seeds agree, when another one would move a figure by `error`: five at most.
pub fn settled_decimals(error: f64) -> i32 {
    (0..6)
        .take_while(|decimals| error < 0.5 * libm::exp10(-f64::from(*decimals)))
        .last()
        .unwrap_or(0)
}

/// B as thrown: the gradient, then each uncertain term, times everything that is taken as exact.
#[derive(Clone, Debug)]
pub struct Chain {
    exact: f64,
    uncertain: Vec<Term>,
}

impl Model for Chain {
    fn value(&self, drawn: &[f64]) -> f64 {
        let Some((gradient, drawn)) = drawn.split_first() else {
            return self.exact;
        };
        let (mut above, mut below) = (gradient * self.exact, 1.0);
        for (term, value) in self.uncertain.iter().zip(drawn) {
            let factor = term.factor_at(*value);
            if term.multiplies {
                above *= factor;
            } else {
                below *= factor;
            }
        }
        above / below
    }
}

/// The simulation of B = gradient × Π terms: the gradient a t with the degrees of freedom of its scatter (normal where its
/// uncertainty was stated), every term with a typed uncertainty normal, an angle normal in θ and thrown through its sine.
/// `None` when the gradient has no standard uncertainty above zero.
pub fn of_flux_density(found: &FluxDensity, seed: u64) -> Option<Simulation<Chain>> {
    let gradient = found.gradient;
    let scale = gradient.standard.filter(|s| *s > 0.0 && s.is_finite())?;
    let of_gradient = if gradient.degrees_of_freedom.is_finite() {
        Input::Student {
            location: gradient.value,
            scale,
            degrees_of_freedom: gradient.degrees_of_freedom,
        }
    } else {
        Input::Normal {
            mean: gradient.value,
            deviation: scale,
        }
    };
    let mut inputs = vec![of_gradient];
    let mut uncertain = Vec::new();
    let mut exact = found.per_gradient;
    for term in &found.terms {
        let Some(deviation) = term.half_width.filter(|u| *u > 0.0) else {
            continue;
        };
        if term.multiplies {
            exact /= term.factor();
        } else {
            exact *= term.factor();
        }
        inputs.push(Input::Normal {
            mean: term.value,
            deviation,
        });
        uncertain.push(*term);
    }
    Some(Simulation::new(inputs, Chain { exact, uncertain }, seed))
}

/// Mean and sum of squared deviations of so many values.
#[derive(Clone, Copy, Debug, Default)]
struct Moments {
    count: f64,
    mean: f64,
    squares: f64,
}

impl Moments {
    fn of(values: &[f64]) -> Moments {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let squares = values.iter().map(|v| (v - mean) * (v - mean)).sum();
        Moments {
            count,
            mean,
            squares,
        }
    }

    /// Two sets as one.
    fn and(self, other: &Moments) -> Moments {
        let count = self.count + other.count;
        let apart = other.mean - self.mean;
        Moments {
            count,
            mean: self.mean + apart * other.count / count,
            squares: self.squares
                + other.squares
                + apart * apart * self.count * other.count / count,
        }
    }

    fn deviation(&self) -> f64 {
        (self.squares / (self.count - 1.0)).sqrt()
    }
}

/// The ends of both 95 % intervals.
#[derive(Clone, Copy, Debug)]
struct Ends {
    symmetric: [f64; 2],
    shortest: [f64; 2],
}

impl Ends {
    /// Puts the values into another order. Only the outer twentieths are sorted: no end of either interval lies farther in.
    fn of(values: &mut [f64]) -> Option<Ends> {
        let inside = (values.len() * 95 + 50) / 100;
        let outside = values.len() - inside;
        if outside == 0 || inside <= outside {
            return None;
        }
        let (lower, _, _) = values.select_nth_unstable_by(outside, f64::total_cmp);
        lower.sort_unstable_by(f64::total_cmp);
        let (_, _, _) = values[outside..].select_nth_unstable_by(inside - outside, f64::total_cmp);
        let (lower, upper) = values.split_at_mut(inside);
        upper.sort_unstable_by(f64::total_cmp);
        let pairs = || lower.iter().zip(upper.iter());
        let (low, high) = pairs().nth(outside.div_ceil(2) - 1)?;
        let (short_low, short_high) =
            pairs().min_by(|a, b| f64::total_cmp(&(a.1 - a.0), &(b.1 - b.0)))?;
        let ends = Ends {
            symmetric: [*low, *high],
            shortest: [*short_low, *short_high],
        };
        (low.is_finite() && high.is_finite()).then_some(ends)
    }
}

/// Standard error of the mean of the batches' figures.
fn standard_error(figures: impl Iterator<Item = f64>) -> f64 {
    let figures: Vec<f64> = figures.collect();
    let moments = Moments::of(&figures);
    moments.deviation() / moments.count.sqrt()
}

/// How many halvings of the probability a table reaches down; a draw beyond them, one in a million, is worked out.
const OCTAVES: u32 = 20;

/// Into how many steps each is parted, as a power of two: between them the straight line is right to 3e-5 at worst.
const STEP_BITS: u32 = 6;

/// Student's law (the normal one for infinite degrees of freedom) as a table of its quantiles.
#[derive(Clone, Debug)]
struct Law {
    degrees_of_freedom: f64,
    /// t for P(|T| ≥ t) = 2⁻ᵒ (1 + i/64)/2 in increasing order of the probability, then 0 for certainty.
    table: Vec<f64>,
}

impl Law {
    fn new(degrees_of_freedom: f64) -> Law {
        let steps = 1 << STEP_BITS;
        let mut table = vec![0.0];
        let mut near = 0.01;
        // From certainty downwards, each from its neighbour.
        for octave in 0..OCTAVES {
            let whole = 1.0 / f64::from(2_u32 << octave);
            for step in (0..steps).rev() {
                let tail = whole * (1.0 + f64::from(step) / f64::from(steps));
                near = student::of_tail(tail, degrees_of_freedom, near);
                table.push(near);
            }
        }
        table.reverse();
        Law {
            degrees_of_freedom,
            table,
        }
    }

    /// The t that belongs to 64 random bits: the lowest is the sign, the others are the binary places of P(|T| ≥ t).
    fn at(&self, bits: u64) -> f64 {
        let octave = bits.leading_zeros();
        let size = if octave < OCTAVES {
            let mantissa = bits << (octave + 1);
            let step = (mantissa >> (64 - STEP_BITS)) as usize;
            let within = (mantissa << STEP_BITS) >> 11;
            let place = (((OCTAVES - 1 - octave) as usize) << STEP_BITS) + step;
            let (this, next) = match self.table.get(place..place + 2) {
                Some(&[this, next]) => (this, next),
                _ => (0.0, 0.0),
            };
            this + (next - this) * within as f64 * (1.0 / (1_u64 << 53) as f64)
        } else {
            let tail = (bits | 1) as f64 * (1.0 / (u64::MAX as f64));
            let near = self.table.first().copied().unwrap_or(1.0);
            student::of_tail(tail, self.degrees_of_freedom, near)
        };
        if bits & 1 == 0 { size } else { -size }
    }
}

/// How one input is drawn: a centre, a width, and the shape between.
#[derive(Clone, Debug)]
enum Draw {
    /// Even between -1 and 1.
    Even { mean: f64, half_width: f64 },
    /// By a law, one of the simulation's.
    By {
        location: f64,
        scale: f64,
        law: usize,
    },
}

/// Seeded chance with the laws that the inputs need.
#[derive(Clone, Debug)]
struct Chance {
    bits: Xoshiro256PlusPlus,
    laws: Vec<Law>,
    draws: Vec<Draw>,
}

impl Chance {
    fn new(seed: u64, inputs: &[Input]) -> Chance {
        let mut laws: Vec<Law> = Vec::new();
        let mut law = |degrees_of_freedom: f64| {
            let known = laws
                .iter()
                .position(|l| l.degrees_of_freedom == degrees_of_freedom);
            known.unwrap_or_else(|| {
                laws.push(Law::new(degrees_of_freedom));
                laws.len() - 1
            })
        };
        let draws = inputs
            .iter()
            .map(|input| match *input {
                Input::Rectangular { mean, half_width } => Draw::Even { mean, half_width },
                Input::Normal { mean, deviation } => Draw::By {
                    location: mean,
                    scale: deviation,
                    law: law(f64::INFINITY),
                },
                Input::Student {
                    location,
                    scale,
                    degrees_of_freedom,
                } => Draw::By {
                    location,
                    scale,
                    law: law(degrees_of_freedom),
                },
            })
            .collect();
        Chance {
            bits: Xoshiro256PlusPlus::seed_from_u64(seed),
            laws,
            draws,
        }
    }

    /// One value of each input.
    fn draw(&mut self, drawn: &mut [f64]) {
        for (drawn, draw) in drawn.iter_mut().zip(&self.draws) {
            let bits = self.bits.next_u64();
            *drawn = match *draw {
                Draw::Even { mean, half_width } => {
                    // The upper 53 bits, as a signed whole number of steps of 2⁻⁵².
                    const STEP: f64 = 1.0 / (1_u64 << 52) as f64;
                    mean + half_width * ((bits as i64) >> 11) as f64 * STEP
                }
                Draw::By {
                    location,
                    scale,
                    law,
                } => location + scale * self.laws.get(law).map_or(0.0, |law| law.at(bits)),
            };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the table gives for a probability has that probability, from the middle to beyond the table's end.
    #[test]
    fn the_table_keeps_to_its_law() {
        for degrees_of_freedom in [1.0, 2.0, 4.5, 30.0, f64::INFINITY] {
            let law = Law::new(degrees_of_freedom);
            for tail in [
                0.999, 0.7500001, 0.75, 0.5, 0.4999, 0.05, 0.0123, 3e-4, 2e-6, 1e-6, 1e-7,
            ] {
                // The binary places of the probability, with an even last place for the positive side.
                let bits = ((tail * (1_u64 << 53) as f64) as u64) << 11;
                let t = law.at(bits);
                let found = student::two_sided_tail(t, degrees_of_freedom);
                assert!(
                    (found / tail - 1.0).abs() < 3e-4 && t > 0.0,
                    "{degrees_of_freedom}: {tail} became {found}"
                );
                assert!((law.at(bits | 1) / t + 1.0).abs() < 1e-9);
            }
        }
    }
}
