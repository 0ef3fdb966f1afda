//! What a bench should show: gradient, readings, and the uncertainty of B by both methods.
//!
//! Start at [`Bench::gradient_kg_per_a`] and [`Bench::readings`]; [`Bench::standard`] and [`Bench::school`] give the
//! uncertainties, [`Bench::verdict`] says whether anything will show. They follow the rules by which the analysis will judge
//! the readings.

use crate::field::flux_density::{self, FluxDensity, Gradient, SchoolBasis, Term};
use crate::figures::Unit;
use crate::figures::round;
use crate::findings::spread::ENOUGH_STEPS;
use crate::line::extreme::{self, Bars};
use crate::line::{Datum, least_squares};
use crate::readings::Setup;

/// Fewer steps of the balance than this and hardly more than the sign of the force is seen (common practice, no source).
pub const HARDLY_STEPS: f64 = 5.0;
/// A gradient that is known no better than to so many per cent is lost in the scatter (common practice, no source).
pub const SCATTERED_PERCENT: f64 = 10.0;
/// The step to which currents are set when that of the ammeter is not known, A.
const USUAL_AMMETER_STEP_A: f64 = 0.01;

/// A bench as it is planned, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Bench {
    /// Wire, angle, gravity and instruments.
    pub setup: Setup,
    /// Flux density, T.
    pub tesla: f64,
    /// Lowest current, A.
    pub lowest_a: f64,
    /// Highest current, A.
    pub highest_a: f64,
    /// How many currents.
    pub currents: usize,
    /// Readings at each current.
    pub repeats: usize,
    /// One step of the balance, kg.
    pub balance_step_kg: f64,
    /// Standard deviation of one reading, kg.
    pub noise_kg: f64,
}

/// A line of the table of readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Current, A.
    pub current_a: f64,
    /// The same to the decimals of the ammeter.
    pub current_text: String,
    /// Change of the balance reading as it will be shown, kg.
    pub reading_kg: f64,
    /// The same in g, to the decimals of the balance.
    pub reading_text: String,
}

/// Whether the experiment is worth setting up like this.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The readings span enough steps of the balance.
    WillShow,
    /// They span enough, but the scatter hides the gradient.
    Scattered,
    /// They span fewer steps than the analysis asks for.
    Coarse,
    /// Hardly anything will be seen.
    Hardly,
}

impl Bench {
    /// Change of the reading for one ampere, kg/A: b = N B L sin θ / (g × lever ratio).
    pub fn gradient_kg_per_a(&self) -> f64 {
        let setup = &self.setup;
        let newton_per_a = setup.wires * self.tesla * self.length_m() * setup.sin_angle();
        newton_per_a / (setup.gravity_m_per_s2() * setup.lever_ratio)
    }

    /// The currents in even steps, to whole steps of the ammeter, A.
    pub fn currents_a(&self) -> Vec<f64> {
        let last = self.currents.saturating_sub(1).max(1) as f64;
        let apart = (self.highest_a - self.lowest_a) / last;
        (0..self.currents)
            .map(|i| to_step(self.lowest_a + apart * i as f64, self.ammeter_step_a()))
            .collect()
    }

    /// The readings that should appear, if nothing scatters.
    pub fn readings(&self) -> Vec<Row> {
        let gradient = self.gradient_kg_per_a();
        let step_g = Unit::GRAM.from_si(self.balance_step_kg);
        let decimals = decimals_of(step_g);
        let row = |current_a: f64| {
            let shown_g = to_step(Unit::GRAM.from_si(gradient * current_a), step_g);
            let reading_text = round::to_decimals(shown_g, decimals);
            // The number that stands in the table, with no trace of the arithmetic behind it.
            let reading_g: f64 = reading_text.parse().unwrap_or(shown_g);
            Row {
                current_a,
                current_text: round::to_decimals(current_a, self.current_decimals()),
                reading_kg: Unit::GRAM.to_si(reading_g),
                reading_text,
            }
        };
        self.currents_a().into_iter().map(row).collect()
    }

    /// Decimals of a current in A.
    pub fn current_decimals(&self) -> i32 {
        decimals_of(self.ammeter_step_a())
    }

    /// Decimals of a reading in g.
    pub fn reading_decimals(&self) -> i32 {
        decimals_of(Unit::GRAM.from_si(self.balance_step_kg))
    }

    /// The current at which the reading reaches as many steps of the balance as the analysis asks for, A; infinite when
    /// nothing pushes.
    pub fn enough_at_a(&self) -> f64 {
        (ENOUGH_STEPS * self.balance_step_kg / self.gradient_kg_per_a()).abs()
    }

    /// Steps of the balance between the smallest and the largest reading of the table.
    pub fn steps_spanned(&self) -> f64 {
        let readings: Vec<f64> = self.readings().iter().map(|r| r.reading_kg).collect();
        let high = readings.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let low = readings.iter().copied().fold(f64::INFINITY, f64::min);
        (high - low) / self.balance_step_kg
    }

    /// Standard deviation of the readings about the line, kg: the scatter of the mean of the repeats, the two roundings of
    /// a difference (step/√6), and the step of the ammeter (step/√12 of current) where that is known.
    ///
    /// The steps are not taken to average out over repeats: readings that agree to the step do not.
    pub fn about_line_kg(&self) -> f64 {
        let noise = self.noise_kg * self.noise_kg / self.repeats.max(1) as f64;
        let steps = self.balance_step_kg * self.balance_step_kg / 6.0;
        let ammeter_a = self.setup.current_resolution.map_or(0.0, |r| r.si);
        let ammeter = ammeter_a * self.gradient_kg_per_a();
        (noise + steps + ammeter * ammeter / 12.0).sqrt()
    }

    /// B with its budget of standard uncertainties: u(b) = s / √Σ(I - Ī)² with n - 2 degrees of freedom, and what the
    /// apparatus adds. `None` for fewer than three currents or when they are all the same.
    ///
    /// # Source
    /// The error of a gradient: any text on regression, e.g. JCGM 100:2008 annex H.3; the rest as in
    /// [`flux_density::find`].
    pub fn standard(&self) -> Option<FluxDensity> {
        let currents = self.currents_a();
        let n = currents.len() as f64;
        let mean = currents.iter().sum::<f64>() / n;
        let spread: f64 = currents.iter().map(|i| (i - mean) * (i - mean)).sum();
        if currents.len() < 3 || spread <= 0.0 {
            return None;
        }
        let gradient = Gradient {
            value: self.gradient_kg_per_a(),
            standard: Some(self.about_line_kg() / spread.sqrt()),
            degrees_of_freedom: n - 2.0,
            school: None,
        };
        flux_density::find(gradient, self.terms()).filter(|found| found.tesla != 0.0)
    }

    /// B with its uncertainty by the school rule: worst lines through bars of one step of the balance (boxes where the step
    /// of the ammeter is known) on the readings that should appear, and the percentages of the apparatus added. `None` when
    /// all readings are the same, or no line can be drawn.
    pub fn school(&self) -> Option<FluxDensity> {
        let ammeter_a = self.setup.current_resolution.map(|r| r.si);
        let data: Vec<Datum> = self
            .readings()
            .iter()
            .map(|row| Datum {
                x: row.current_a,
                y: row.reading_kg,
                bar_x: ammeter_a.map_or(0.0, |step| step / 2.0),
                bar_y: self.balance_step_kg,
                ..Datum::default()
            })
            .collect();
        let bars = match ammeter_a {
            Some(_) => Bars::Boxes,
            None => Bars::Vertical,
        };
        let best = least_squares::fit(&data).ok()?;
        let half_width = extreme::lines(&data, bars).ok()?.half_difference();
        let gradient = Gradient {
            value: best.line.gradient,
            standard: None,
            degrees_of_freedom: f64::INFINITY,
            school: Some((half_width, SchoolBasis::WorstLines)),
        };
        flux_density::find(gradient, self.terms()).filter(|found| found.tesla != 0.0)
    }

    /// Standard uncertainty of B in per cent of it.
    pub fn standard_percent(&self) -> Option<f64> {
        let found = self.standard()?;
        finite(100.0 * found.budget.as_ref()?.combined / found.tesla.abs())
    }

    /// Uncertainty of B by the school rule in per cent of it.
    pub fn school_percent(&self) -> Option<f64> {
        let found = self.school()?;
        finite(100.0 * found.school_t? / found.tesla.abs())
    }

    /// Standard uncertainty of the gradient in per cent of it.
    pub fn gradient_percent(&self) -> Option<f64> {
        let gradient = self.standard()?.gradient;
        finite(100.0 * (gradient.standard? / gradient.value).abs())
    }

    /// Whether the experiment is worth setting up like this. The limit of [`Verdict::Coarse`] is that of the finding which
    /// the analysis would make.
    pub fn verdict(&self) -> Verdict {
        // As in the finding: a span of 0.2 in steps of 0.01 is 20 steps, whatever binary makes of it.
        let steps = self.steps_spanned() + 1e-6;
        let scattered = self
            .gradient_percent()
            .is_none_or(|p| p > SCATTERED_PERCENT);
        if steps >= ENOUGH_STEPS {
            match scattered {
                true => Verdict::Scattered,
                false => Verdict::WillShow,
            }
        } else if steps >= HARDLY_STEPS {
            Verdict::Coarse
        } else {
            Verdict::Hardly
        }
    }

    /// Whether single readings will often scatter beyond bars of one step, so that no worst lines can be drawn: from a
    /// scatter of half a step on (common practice, no source).
    pub fn scatters_beyond_bars(&self) -> bool {
        self.noise_kg > 0.5 * self.balance_step_kg
    }

    fn length_m(&self) -> f64 {
        self.setup.length.map_or(0.0, |l| l.si)
    }

    fn ammeter_step_a(&self) -> f64 {
        let typed = self.setup.current_resolution.map(|r| r.si);
        typed.unwrap_or(USUAL_AMMETER_STEP_A)
    }

    /// What stands between the gradient and B when the current is varied, as in the analysis.
    fn terms(&self) -> Vec<Term> {
        let setup = &self.setup;
        let g = setup.gravity_m_per_s2();
        let half_width = |m: Option<crate::readings::setup::Measured>| m.and_then(|m| m.half_width);
        let mut terms = vec![
            Term::times("gravity", g, half_width(setup.gravity)),
            Term::times("lever ratio", setup.lever_ratio, None),
            Term::over("length", self.length_m(), half_width(setup.length)),
            Term::over("wires", setup.wires, None),
        ];
        if let Some(fraction) = setup.balance_calibration {
            terms.push(Term::times("balance calibration", 1.0, Some(fraction)));
        }
        if let Some(fraction) = setup.current_calibration {
            terms.push(Term::over("ammeter calibration", 1.0, Some(fraction)));
        }
        if let Some(angle) = setup.angle {
            terms.push(Term::over_sine_of(angle.si, angle.half_width));
        }
        terms
    }
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// The nearest whole number of steps.
fn to_step(value: f64, step: f64) -> f64 {
    // Steps such as 0.01 have no exact float; the shortest decimal of the product is what people mean.
    let steps = libm::round(value / step) * step;
    let text = round::to_decimals(steps, decimals_of(step));
    text.parse().unwrap_or(steps)
}

/// Decimals of an instrument with this step: 2 for 0.01 and 0.05.
fn decimals_of(step: f64) -> i32 {
    let text = round::shortest(step);
    let fraction = text.split_once('.').map_or(0, |(_, digits)| digits.len());
    i32::try_from(fraction).unwrap_or(0)
}
