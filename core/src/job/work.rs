//! The way itself, stage by stage: [`work`].

use std::sync::Arc;

use crate::field::monte_carlo::{self, Outcome};
use crate::field::{
    self, Budget, Comparison, FluxDensity, Gradient, SchoolBasis, Term, compare, flux_density,
};
use crate::figures::Unit;
use crate::findings::{self, FamilySeen, Finding, Seen};
use crate::line::extreme::{self, Bars, Extremes, Stopped};
use crate::line::joint::{self, Joint, One};
use crate::line::residual_tests::{self, ResidualTests};
use crate::line::triangle::{self, Triangle};
use crate::line::with_drift::WithDrift;
use crate::line::{Datum, Fitted, Line, LineError, both_errors, least_squares, weighted};
use crate::readings::points::{self, Request};
use crate::readings::reversal;
use crate::readings::setup::{self, Typed};
use crate::readings::{Family, Ordinate, Point, Readings, Setup, Varied};
use crate::table::{self, Cell, Role, Table};

use super::input::{self, BalanceZero, Job, StatedUncertainties, WorstLineRule};
use super::walk::{self, Walked};
use super::words::Remark;

/// Everything that the stages found, in their own types. [`Working::analysis`] and [`Working::sheet`] make of it what
/// others see.
#[derive(Clone, Debug)]
pub struct Working {
    /// The job it was made from.
    pub job: Job,
    /// The understood table.
    pub table: Table,
    /// The apparatus.
    pub setup: Setup,
    /// The points.
    pub readings: Readings,
    /// The line and flux density of each family, as in `readings.families`.
    pub series: Vec<Series>,
    /// One flux density for all series, where there are several and they agree.
    pub joint: Option<JointField>,
    /// The walk of a probe along the wire, where there is one.
    pub walked: Option<Walked>,
    /// The simulation that checks the budget, where one was asked for and there is one flux density.
    pub monte_carlo: Option<Outcome>,
    /// The comparison with the probe, where there is one flux density and a probe reading.
    pub comparison: Option<Comparison>,
    /// What looks wrong on the bench.
    pub findings: Vec<Finding>,
    /// What should be known about the way itself.
    pub remarks: Vec<Remark>,
}

/// The line and flux density of one family.
#[derive(Clone, Debug)]
pub struct Series {
    /// The points that count, in row order.
    pub points: Arc<Vec<Point>>,
    /// The same as the lines see them.
    pub data: Vec<Datum>,
    /// The drift that was taken off the points, when one was allowed for.
    pub drift: Option<WithDrift>,
    /// The best line, of the kind that was asked for where it can be had.
    pub best: Result<Fitted, LineError>,
    /// Least squares through the origin, beside it.
    pub origin: Option<Fitted>,
    /// The line of x on y turned back, where least squares with a free intercept was used.
    pub inverse: Option<InverseLine>,
    /// Patterns in the residuals of the best line.
    pub residual_tests: Option<ResidualTests>,
    /// The extreme lines: through boxes when x has uncertainties too.
    pub extremes: Result<Extremes, Stopped>,
    /// Whether they were sought through boxes.
    pub bars: Bars,
    /// The extreme lines through the vertical bars alone, when boxes were used.
    pub bars_only: Option<Extremes>,
    /// Rows without which a line through every bar exists, when there is none.
    pub suspects: Vec<usize>,
    /// The smallest common half-width of vertical bars for which a line exists, when there is none.
    pub smallest_half_width: Option<f64>,
    /// The triangle on the best line.
    pub triangle: Option<Triangle>,
    /// The flux density.
    pub flux_density: Option<FluxDensity>,
    /// The flux density from the line through the origin, T.
    pub flux_density_through_origin: Option<f64>,
}

/// What the readings give if it was x that was read and y that was set.
#[derive(Clone, Copy, Debug)]
pub struct InverseLine {
    /// The line.
    pub line: Line,
    /// The flux density, T.
    pub flux_density: Option<f64>,
}

/// One flux density for all series.
#[derive(Clone, Debug)]
pub struct JointField {
    /// The value in T, with the uncertainty from the gradients and the test that one value fits all.
    pub value: Joint,
    /// Its budget.
    pub budget: Budget,
}

/// Goes the whole way from what was typed to what can be said of it. The same job gives the same result, to the bit,
/// on every machine.
pub fn work(job: &Job) -> Working {
    let mut remarks = Vec::new();
    let table = table::read(&job.table, &super::convert::choices(job, &mut remarks));
    let mut of_setup = Vec::new();
    let mut setup = setup::read(&typed(job), &mut of_setup);
    let walked = walk::take(job, &mut setup, &mut remarks);
    let request = Request {
        table: &table,
        setup: &setup,
        varied: job.varied.into(),
        exclude: &job.exclude,
    };
    let mut readings = points::gather(&request);
    readings.remarks.splice(0..0, of_setup);
    if job.reversed_pairs && readings.varied == Varied::Current {
        reversal::pair(&mut readings);
    }
    let drifts = super::drift::allow(job, &mut readings, &mut remarks);
    let no_row = |row: &&usize| **row == 0 || **row > table.rows;
    let mut no_rows: Vec<usize> = job.exclude.iter().filter(no_row).copied().collect();
    no_rows.sort_unstable();
    no_rows.dedup();
    if !no_rows.is_empty() {
        remarks.push(Remark::NoSuchRows { rows: no_rows });
    }
    let series: Vec<Series> = (0..readings.families.len())
        .map(|index| {
            let own = |p: &&Point| p.family == index && !p.excluded;
            let points = if readings.points.iter().all(|p| own(&p)) {
                Arc::clone(&readings.points)
            } else {
                Arc::new(readings.points.iter().filter(own).copied().collect())
            };
            solve(
                job,
                &setup,
                &readings,
                &readings.families[index],
                points,
                drifts.get(index).copied().flatten(),
                &mut remarks,
            )
        })
        .collect();
    let joinable: Vec<Option<One>> = series.iter().map(Series::joinable).collect();
    let ones: Vec<One> = joinable.iter().copied().flatten().collect();
    let together = joint::join(&ones, readings.least_scatter());
    let all_joined = ones.len() == series.len();
    let joint = together
        .filter(|_| all_joined)
        .and_then(|value| joint_field(value, &series));
    let findings = look(job, &table, &setup, &readings, &series, &joinable, together);
    if job.balance_zero != BalanceZero::EachTime {
        remarks.extend(super::drift::hidden(&readings, &series));
    }
    // One series alone has no joint flux density.
    let comparison = match (only_flux_density(&series), &joint) {
        (Some(found), _) => {
            let expanded = found.budget.as_ref().map(|b| b.expanded());
            compare_with_probe(found.tesla, found.school_t, expanded, &setup)
        }
        (None, Some(j)) => {
            compare_with_probe(j.value.value, None, Some(j.budget.expanded()), &setup)
        }
        (None, None) => None,
    };
    let monte_carlo = only_flux_density(&series).and_then(|found| simulate(job, found));
    if !readings.points.is_empty() && series.iter().all(|s| s.flux_density.is_none()) {
        remarks.extend(what_is_missing(&readings, &series));
    }
    Working {
        job: job.clone(),
        table,
        setup,
        readings,
        series,
        joint,
        walked,
        monte_carlo,
        comparison,
        findings,
        remarks,
    }
}

/// The flux density, where there is one series only.
pub(super) fn only_flux_density(series: &[Series]) -> Option<&FluxDensity> {
    match series {
        [only] => only.flux_density.as_ref(),
        _ => None,
    }
}

fn typed(job: &Job) -> Typed<'_> {
    let a = &job.apparatus;
    Typed {
        length: &a.length,
        length_uncertainty: &a.length_uncertainty,
        wires: &a.wires,
        angle: &a.angle,
        gravity: &a.gravity,
        lever_ratio: &a.lever_ratio,
        balance_resolution: &a.balance_resolution,
        current_resolution: &a.current_resolution,
        balance_calibration: &a.balance_calibration,
        current_calibration: &a.current_calibration,
        fixed_current: &job.fixed_current,
        probe: &job.probe.reading,
        probe_uncertainty: &job.probe.uncertainty,
    }
}

pub(super) fn datum(point: &Point) -> Datum {
    Datum {
        x: point.x,
        y: point.y,
        bar_x: point.bar_x.unwrap_or(0.0),
        bar_y: point.bar_y,
        u_x: point.u_x,
        u_y: point.u_y,
    }
}

fn solve(
    job: &Job,
    setup: &Setup,
    readings: &Readings,
    family: &Family,
    points: Arc<Vec<Point>>,
    drift: Option<WithDrift>,
    remarks: &mut Vec<Remark>,
) -> Series {
    let data: Vec<Datum> = points.iter().map(datum).collect();
    let best = match drift {
        Some(drift) => Ok(drift.fitted),
        None => best_line(job, &data, remarks),
    };
    let bars = if points.iter().any(|p| p.bar_x.is_some()) {
        Bars::Boxes
    } else {
        Bars::Vertical
    };
    let changes = points.iter().any(|p| p.y != points[0].y);
    let extremes = if best.is_ok() && changes {
        extreme::lines(&data, bars)
    } else {
        Err(Stopped::TooFew)
    };
    let blocked = matches!(extremes, Err(Stopped::Blocked { .. }));
    let suspects = if blocked {
        let mut rows: Vec<usize> = extreme::suspects(&data, bars, 3)
            .into_iter()
            .filter_map(|i| points.get(i))
            .map(|p| p.row)
            .collect();
        rows.sort_unstable();
        rows
    } else {
        Vec::new()
    };
    let smallest_half_width = if blocked {
        extreme::smallest_half_width(&data)
    } else {
        None
    };
    let bars_only = if bars == Bars::Boxes && best.is_ok() && changes {
        extreme::lines(&data, Bars::Vertical).ok()
    } else {
        None
    };
    let low = data.iter().map(|d| d.x).fold(f64::INFINITY, f64::min);
    let high = data.iter().map(|d| d.x).fold(f64::NEG_INFINITY, f64::max);
    let x_unit = readings.x_unit.map_or(1.0, |u| u.to_si(1.0));
    let triangle = best
        .as_ref()
        .ok()
        .filter(|_| changes)
        .and_then(|b| triangle::on(b.line, low, high, x_unit));
    let origin = least_squares::through_origin(&data)
        .ok()
        .filter(|_| best.is_ok());
    let terms = terms(setup, readings, family);
    let flux_density = best.as_ref().ok().filter(|_| changes).and_then(|fitted| {
        let gradient = gradient(job, fitted, &extremes, &data, drift.as_ref(), readings);
        flux_density::find(gradient, terms.clone()?)
    });
    let tesla_of = |line: Line| {
        let gradient = Gradient {
            value: line.gradient,
            standard: None,
            degrees_of_freedom: f64::INFINITY,
            school: None,
        };
        Some(flux_density::find(gradient, terms.clone()?)?.tesla)
    };
    let flux_density_through_origin = origin
        .filter(|_| changes)
        .and_then(|fitted| tesla_of(fitted.line));
    let ordinary = best
        .as_ref()
        .ok()
        .filter(|_| job.fit == input::Fit::LeastSquares && drift.is_none());
    let inverse = ordinary.and_then(Fitted::inverted).map(|line| InverseLine {
        line,
        flux_density: tesla_of(line),
    });
    let residual_tests = best
        .as_ref()
        .ok()
        .and_then(|fitted| residual_tests::of(&fitted.line, &data, fitted.chi_squared.is_some()));
    Series {
        points,
        data,
        drift,
        best,
        origin,
        inverse,
        residual_tests,
        extremes,
        bars,
        bars_only,
        suspects,
        smallest_half_width,
        triangle,
        flux_density,
        flux_density_through_origin,
    }
}

/// The line of the kind that was asked for; where the uncertainties it needs are missing, least squares with a remark.
fn best_line(job: &Job, data: &[Datum], remarks: &mut Vec<Remark>) -> Result<Fitted, LineError> {
    let asked = match job.fit {
        input::Fit::LeastSquares => least_squares::fit(data),
        input::Fit::Weighted => weighted::fit(data),
        input::Fit::BothErrors => both_errors::fit(data),
        input::Fit::ThroughOrigin => least_squares::through_origin(data),
    };
    match asked {
        Err(why @ (LineError::NoUncertainty { .. } | LineError::NotSettled)) => {
            remarks.push(Remark::FitReplaced { why });
            least_squares::fit(data)
        }
        Ok(fitted) if job.stated_uncertainties == StatedUncertainties::Relative => {
            Ok(fitted.rescaled().unwrap_or(fitted))
        }
        other => other,
    }
}

/// What stands between the gradient and B in this kind of sweep; `None` while something needed is not known.
fn terms(setup: &Setup, readings: &Readings, family: &Family) -> Option<Vec<Term>> {
    let mut terms = Vec::new();
    if readings.ordinate == Ordinate::Mass {
        terms.push(Term::times(
            "gravity",
            setup.gravity_m_per_s2(),
            setup.gravity.and_then(|g| g.half_width),
        ));
        if setup.lever_ratio != 1.0 {
            terms.push(Term::times("lever ratio", setup.lever_ratio, None));
        }
    }
    // What is wrong with a scale is the same for all points: it is in the gradient, and only its uncertainty is to come.
    if let Some(fraction) = setup.balance_calibration {
        terms.push(Term::times("balance calibration", 1.0, Some(fraction)));
    }
    if let Some(fraction) = setup.current_calibration {
        terms.push(Term::over("ammeter calibration", 1.0, Some(fraction)));
    }
    if readings.varied == Varied::Product {
        let length = setup.length.filter(|l| family.length_m == Some(l.si));
        if let Some(length) = length {
            terms.push(Term::over("length", length.si, length.half_width).in_points());
        }
        return Some(terms);
    }
    if readings.varied != Varied::Length {
        let length_m = family.length_m?;
        let half_width = setup
            .length
            .filter(|l| l.si == length_m)
            .and_then(|l| l.half_width);
        terms.push(Term::over("length", length_m, half_width));
        if family.wires != 1.0 {
            terms.push(Term::over("wires", family.wires, None));
        }
    }
    if readings.varied != Varied::Current {
        let current = setup.fixed_current.filter(|c| c.si != 0.0)?;
        terms.push(Term::over("current", current.si, current.half_width));
    }
    if readings.varied != Varied::Angle
        && let Some(angle_rad) = family.angle_rad
    {
        let half_width = setup
            .angle
            .filter(|a| a.si == angle_rad)
            .and_then(|a| a.half_width);
        terms.push(Term::over_sine_of(angle_rad, half_width));
    }
    Some(terms)
}

fn gradient(
    job: &Job,
    fitted: &Fitted,
    extremes: &Result<Extremes, Stopped>,
    data: &[Datum],
    drift: Option<&WithDrift>,
    readings: &Readings,
) -> Gradient {
    let mut standard = fitted.gradient_error;
    let mut degrees_of_freedom = fitted.error_degrees_of_freedom;
    if fitted.chi_squared.is_none()
        && findings::line::is_too_perfect(fitted, readings.resolution.unwrap_or(0.0))
    {
        // The scatter hides in the steps of the balance: what the steps allow takes its place.
        if let Ok(by_steps) = weighted::fit(data) {
            let widening = drift.map_or(1.0, |d| d.widening);
            standard = by_steps.gradient_error.map(|e| e * widening);
            degrees_of_freedom = f64::INFINITY;
        }
    }
    let by_lines = extremes
        .as_ref()
        .ok()
        .map(|extremes| match job.worst_line_rule {
            WorstLineRule::HalfDifference => extremes.half_difference(),
            WorstLineRule::LargerDistance => extremes.larger_distance(&fitted.line),
        });
    // Where the bars let just one line through, its gradient is not certain for that.
    let some_play = |u: &f64| *u > 1e-6 * fitted.line.gradient.abs();
    let school = match by_lines.filter(some_play) {
        Some(half_width) => Some((half_width, SchoolBasis::WorstLines)),
        None => standard.map(|s| (s, SchoolBasis::StandardError)),
    };
    Gradient {
        value: fitted.line.gradient,
        standard,
        degrees_of_freedom,
        school,
    }
}

impl Series {
    /// What one series gives to a joint flux density.
    pub fn joinable(&self) -> Option<One> {
        let (fitted, found) = (self.best.as_ref().ok()?, self.flux_density.as_ref()?);
        let per_gradient = found.per_gradient.abs();
        if let Some(chi_squared) = fitted.chi_squared {
            // Errors from the scatter: chi-squared takes the place of the squares, and the error that of a scatter of 1.
            let degrees_of_freedom = fitted.error_degrees_of_freedom;
            let known = degrees_of_freedom.is_infinite();
            let scatter = if known {
                1.0
            } else {
                (chi_squared / degrees_of_freedom).sqrt()
            };
            return Some(One {
                value: found.tesla,
                per_scatter: per_gradient * fitted.gradient_error? / scatter,
                squares: if known { 0.0 } else { chi_squared },
                degrees_of_freedom,
            });
        }
        let widening = self.drift.map_or(1.0, |d| d.widening);
        Some(One {
            value: found.tesla,
            per_scatter: per_gradient * widening / fitted.spread_of_x(&self.data).sqrt(),
            squares: fitted.squares()?,
            degrees_of_freedom: fitted.degrees_of_freedom as f64,
        })
    }
}

/// One flux density for all series, where they agree.
fn joint_field(value: Joint, series: &[Series]) -> Option<JointField> {
    if value.p_value < findings::families::DISAGREE_LEVEL {
        return None;
    }
    let found: Vec<&FluxDensity> = series
        .iter()
        .filter_map(|s| s.flux_density.as_ref())
        .collect();
    Some(JointField {
        value,
        budget: field::joint::budget(&value, &found),
    })
}

/// More trials than this settle nothing further and only take time and memory.
const MOST_TRIALS: u32 = 10_000_000;

/// So many trials are added at a time.
const SLICE: usize = 20_000;

/// The simulation, where the job asks for one.
fn simulate(job: &Job, found: &FluxDensity) -> Option<Outcome> {
    let asked = job.monte_carlo;
    if asked.trials == 0 {
        return None;
    }
    let mut simulation = monte_carlo::of_flux_density(found, u64::from(asked.seed))?;
    // In slices: a browser compiles a function better only when it is called again.
    let trials = asked.trials.min(MOST_TRIALS) as usize;
    for _ in 0..trials / SLICE {
        simulation.add(SLICE);
    }
    simulation.add(trials % SLICE);
    simulation.finish()
}

fn compare_with_probe(
    tesla: f64,
    school_t: Option<f64>,
    expanded_t: Option<f64>,
    setup: &Setup,
) -> Option<Comparison> {
    let probe = setup.probe?;
    compare::compare(tesla, school_t, expanded_t, probe.si, probe.half_width)
}

fn look(
    job: &Job,
    table: &Table,
    setup: &Setup,
    readings: &Readings,
    series: &[Series],
    joinable: &[Option<One>],
    joint: Option<Joint>,
) -> Vec<Finding> {
    // What is left over from a line through the origin tells of its missing intercept before anything else.
    let free: Vec<Option<Fitted>> = series
        .iter()
        .map(|s| match job.fit {
            input::Fit::ThroughOrigin => least_squares::fit(&s.data).ok(),
            _ => s.best.as_ref().ok().copied(),
        })
        .collect();
    let families: Vec<FamilySeen> = series
        .iter()
        .zip(joinable)
        .zip(&free)
        .map(|((s, joinable), free)| FamilySeen {
            joinable: *joinable,
            points: &s.points,
            data: &s.data,
            fitted: free.as_ref(),
            blocked: s
                .smallest_half_width
                .map(|half_width| (&s.suspects[..], half_width)),
            zero_watched: s.drift.is_some()
                || readings.zeros_subtracted
                || job.balance_zero == BalanceZero::EachTime,
            flux_density: s
                .flux_density
                .as_ref()
                .filter(|b| b.budget.is_some())
                .map(|b| b.tesla),
        })
        .collect();
    findings::look(&Seen {
        readings,
        families: &families,
        joint,
        force_over_mass: force_over_mass(table),
        expected_force_over_mass: setup.gravity_m_per_s2() * setup.lever_ratio,
    })
}

/// The steady ratio of a force column to a column of changes; `None` without both or when it is not steady to 2 %.
fn force_over_mass(table: &Table) -> Option<f64> {
    let column = |role| table.columns.iter().find(|c| c.role == role);
    let (force, mass) = (column(Role::Force)?, column(Role::Reading)?);
    let mut ratios: Vec<f64> = force
        .cells
        .iter()
        .zip(&mass.cells)
        .filter_map(|pair| match pair {
            (Cell::Number(f), Cell::Number(m)) if m.value_si != 0.0 => {
                Some(f.value_si / m.value_si)
            }
            _ => None,
        })
        .collect();
    ratios.sort_unstable_by(f64::total_cmp);
    let middle = *ratios.get(ratios.len() / 2)?;
    let steady = |r: &&f64| (**r / middle - 1.0).abs() < 0.02;
    (ratios.len() >= 3 && ratios.iter().filter(steady).count() * 10 >= ratios.len() * 8)
        .then_some(middle)
}

/// Why there is no flux density although there are points.
fn what_is_missing(readings: &Readings, series: &[Series]) -> Option<Remark> {
    let first = series.first()?;
    match &first.best {
        Err(why) => Some(Remark::NoLine { why: *why }),
        Ok(_) if first.points.iter().all(|p| p.y == first.points[0].y) => None,
        Ok(_) if readings.varied == Varied::Current || readings.varied == Varied::Angle => {
            let no_length = readings.families.iter().all(|f| f.length_m.is_none());
            Some(if no_length {
                Remark::NoLength
            } else {
                Remark::NoCurrent
            })
        }
        Ok(_) => Some(Remark::NoCurrent),
    }
}

/// The unit in which a flux density reads better.
pub fn tesla_unit(tesla: f64) -> Unit {
    // School magnets: 32.7 mT reads better than 0.0327 T, and 0.478 T better than 478 mT.
    if tesla.abs() < 0.1 {
        Unit::MILLITESLA
    } else {
        Unit::TESLA
    }
}
