//! The whole chain thrown again and again: propagation of distributions (JCGM 101:2008).
//!
//! Start at [`Simulation`], which throws any [`Model`] of any [`Input`]s; [`of_flux_density`] makes the one for B. Trials
//! are added in slices, so that the caller can do something else between them or give up; the slices have no say in the
//! outcome. The same seed gives the same outcome to the bit on every machine: chance comes from xoshiro256++ and is bent
//! into shape with `libm` alone.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use super::flux_density::{FluxDensity, Term};

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
            inputs,
            model,
            seed,
            chance: Chance::new(seed),
            values: Vec::new(),
        }
    }

    /// Throws `trials` more.
    pub fn add(&mut self, trials: usize) {
        self.values.reserve(trials);
        for _ in 0..trials {
            for (drawn, input) in self.drawn.iter_mut().zip(&self.inputs) {
                *drawn = self.chance.draw(input);
            }
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

/// Seeded chance.
#[derive(Clone, Debug)]
struct Chance {
    bits: Xoshiro256PlusPlus,
    /// The polar method makes normal deviates two at a time.
    spare: Option<f64>,
}

impl Chance {
    fn new(seed: u64) -> Chance {
        Chance {
            bits: Xoshiro256PlusPlus::seed_from_u64(seed),
            spare: None,
        }
    }

    fn draw(&mut self, input: &Input) -> f64 {
        match *input {
            Input::Normal { mean, deviation } => mean + deviation * self.normal(),
            Input::Rectangular { mean, half_width } => mean + half_width * self.uniform(),
            Input::Student {
                location,
                scale,
                degrees_of_freedom,
            } => location + scale * self.student(degrees_of_freedom),
        }
    }

    /// Even between -1 and 1: the upper 53 bits, as a signed whole number of steps of 2⁻⁵².
    fn uniform(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 52) as f64;
        ((self.bits.next_u64() as i64) >> 11) as f64 * STEP
    }

    /// A point inside the unit circle, not its centre, and its squared distance from it.
    fn in_circle(&mut self) -> (f64, f64, f64) {
        loop {
            let (u, v) = (self.uniform(), self.uniform());
            let w = u * u + v * v;
            if w > 0.0 && w < 1.0 {
                return (u, v, w);
            }
        }
    }

    /// G. Marsaglia and T. A. Bray, SIAM Review 6 (1964) 260: the polar method.
    fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let (u, v, w) = self.in_circle();
        let stretch = (-2.0 * libm::log(w) / w).sqrt();
        self.spare = Some(v * stretch);
        u * stretch
    }

    /// R. W. Bailey, Mathematics of Computation 62 (1994) 779: t = u √(ν (w^(-2/ν) - 1) / w), the polar method for t. Taken
    /// through expm1, since w^(-2/ν) is all but 1 for many degrees of freedom.
    fn student(&mut self, degrees_of_freedom: f64) -> f64 {
        let (u, _, w) = self.in_circle();
        let grown = libm::expm1(-2.0 / degrees_of_freedom * libm::log(w));
        u * (degrees_of_freedom * grown / w).sqrt()
    }
}
