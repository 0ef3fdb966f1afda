//! What the working knows of one line and its flux density, as the slips need it.

use std::sync::Arc;

use crate::field::{FluxDensity, Term};
use crate::figures::Unit;
use crate::job::{Series, Working};
use crate::line::{Datum, Fitted, extreme, least_squares};
use crate::readings::{Ordinate, Readings, Varied};

/// Among more readings than this none is likelier than a chance to be the one that a student worked with alone, and to try
/// each with every other slip would take minutes.
const MOST_SINGLE_READINGS: usize = 300;

/// The working behind one series.
#[derive(Clone, Copy, Debug)]
pub struct Facts<'a> {
    /// The whole of it.
    pub working: &'a Working,
    /// The only series.
    pub series: &'a Series,
    /// Its line.
    pub fitted: &'a Fitted,
    /// Its flux density, where there is one.
    pub flux: Option<&'a FluxDensity>,
}

impl<'a> Facts<'a> {
    /// `None` unless there is one series with a line.
    pub fn of(working: &'a Working) -> Option<Facts<'a>> {
        let [series] = &working.series[..] else {
            return None;
        };
        Some(Facts {
            working,
            series,
            fitted: series.best.as_ref().ok()?,
            flux: series.flux_density.as_ref(),
        })
    }

    /// The same working of other readings: the student's own y, SI, one for each point that counts. `None` where there is no
    /// line through them.
    pub fn series_of(&self, own_y: &[f64]) -> Option<Series> {
        let mut series = self.series.clone();
        if own_y.len() != series.data.len() {
            return None;
        }
        let mut points = series.points.to_vec();
        for ((point, datum), y) in points.iter_mut().zip(&mut series.data).zip(own_y) {
            (point.y, datum.y) = (*y, *y);
        }
        series.points = Arc::new(points);
        series.best = least_squares::fit(&series.data);
        series.origin = least_squares::through_origin(&series.data).ok();
        let gradient = series.best.as_ref().ok()?.line.gradient;
        if gradient == 0.0 {
            return None;
        }
        series.extremes = extreme::lines(&series.data, series.bars);
        Some(series)
    }

    /// What is known of such a series.
    pub fn with(&self, series: &'a Series) -> Option<Facts<'a>> {
        let fitted = series.best.as_ref().ok()?;
        Some(Facts {
            series,
            fitted,
            ..*self
        })
    }

    /// The points.
    pub fn readings(&self) -> &'a Readings {
        &self.working.readings
    }

    /// The gradient, SI.
    pub fn gradient(&self) -> f64 {
        self.fitted.line.gradient
    }

    /// One unit of the gradient as people see it, in SI.
    pub fn gradient_unit_si(&self) -> f64 {
        let readings = self.readings();
        let one = |unit: Option<Unit>| unit.map_or(1.0, |u| u.to_si(1.0));
        one(readings.y_unit) / one(readings.x_unit)
    }

    /// The same in words: `g/A`.
    pub fn gradient_unit(&self) -> String {
        let readings = self.readings();
        let y = readings.y_unit.map_or("", |u| u.symbol());
        match (readings.varied, readings.x_unit) {
            (Varied::Product, _) => format!("{y}/(A m)"),
            (_, Some(x)) => format!("{y}/{}", x.symbol()),
            (_, None) => y.to_owned(),
        }
    }

    /// A term between gradient and B, by name.
    pub fn term(&self, name: &str) -> Option<&'a Term> {
        self.flux?
            .terms
            .iter()
            .find(|t| t.name == name && !t.in_points)
    }

    /// Whether masses stand on the vertical axis.
    pub fn is_mass(&self) -> bool {
        self.readings().ordinate == Ordinate::Mass
    }

    /// Newtons on the wire for a kilogram on the balance.
    pub fn force_per_mass(&self) -> f64 {
        let setup = &self.working.setup;
        setup.lever_ratio * setup.gravity_m_per_s2()
    }

    /// The length as typed, in the unit in which it was typed.
    pub fn length_as_typed(&self) -> Option<(f64, Unit)> {
        let length = self.working.setup.length?;
        let unit = length.figure.unit?;
        (self.term("length")?.value == length.si).then(|| (unit.from_si(length.si), unit))
    }

    /// The range within which a gradient read from a hand-drawn line may lie, SI, lower end first: that of the worst
    /// lines, and two standard errors or 2 % if that is more.
    pub fn gradient_range(&self) -> (f64, f64) {
        let b = self.gradient();
        let error = self.fitted.gradient_error.unwrap_or(0.0);
        let least = (0.02 * b.abs()).max(2.0 * error.min(0.1 * b.abs()));
        let (mut low, mut high) = (b - least, b + least);
        if let Ok(extremes) = &self.series.extremes {
            let (s, f) = (extremes.steepest.gradient, extremes.shallowest.gradient);
            (low, high) = (low.min(s).min(f), high.max(s).max(f));
        }
        (low, high)
    }

    /// Relative standard deviation of a gradient read from a line drawn by eye.
    pub fn freedom(&self) -> f64 {
        let (low, high) = self.gradient_range();
        (0.2 * (high - low) / self.gradient().abs()).clamp(0.003, 0.03)
    }

    /// Gradients that other ways of working give, by name of the slip.
    pub fn other_gradient(&self, way: Way) -> Vec<f64> {
        let data = &self.series.data;
        match way {
            Way::OneReading if data.len() > MOST_SINGLE_READINGS => Vec::new(),
            Way::OneReading => data
                .iter()
                .filter(|d| d.x != 0.0)
                .map(|d| d.y / d.x)
                .collect(),
            Way::MeanOfRatios => {
                let ratios: Vec<f64> = data
                    .iter()
                    .filter(|d| d.x != 0.0)
                    .map(|d| d.y / d.x)
                    .collect();
                let n = ratios.len() as f64;
                (n > 1.0)
                    .then(|| ratios.iter().sum::<f64>() / n)
                    .into_iter()
                    .collect()
            }
            Way::ThroughOrigin => self
                .series
                .origin
                .map(|f| f.line.gradient)
                .into_iter()
                .collect(),
            Way::EndPoints => {
                let least = data.iter().min_by(|a, b| a.x.total_cmp(&b.x));
                let most = data.iter().max_by(|a, b| a.x.total_cmp(&b.x));
                match (least, most) {
                    (Some(a), Some(b)) if a.x != b.x => vec![(b.y - a.y) / (b.x - a.x)],
                    _ => Vec::new(),
                }
            }
            Way::ExcludedLeftIn => {
                let points = &self.readings().points;
                if points.iter().all(|p| !p.excluded) {
                    return Vec::new();
                }
                let all: Vec<Datum> = points
                    .iter()
                    .map(|p| Datum {
                        x: p.x,
                        y: p.y,
                        ..Datum::default()
                    })
                    .collect();
                gradient_of(&all)
            }
            Way::FirstColumnOnly => self.each_column(),
        }
    }

    /// The gradients of the single columns of repeats.
    fn each_column(&self) -> Vec<f64> {
        let repeats = &self.readings().repeats;
        let mut columns: Vec<usize> = repeats.iter().map(|r| r.column).collect();
        columns.sort_unstable();
        columns.dedup();
        let points = &self.series.points;
        columns
            .into_iter()
            .flat_map(|column| {
                let one: Vec<Datum> = repeats
                    .iter()
                    .filter(|r| r.column == column)
                    .filter_map(|r| {
                        let at = points.binary_search_by_key(&r.row, |p| p.row).ok()?;
                        Some(Datum {
                            x: points.get(at)?.x,
                            y: r.value,
                            ..Datum::default()
                        })
                    })
                    .collect();
                gradient_of(&one)
            })
            .collect()
    }
}

/// A way of getting a gradient that is not the best line's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// One reading over its current.
    OneReading,
    /// The mean of all such.
    MeanOfRatios,
    /// The line forced through the origin.
    ThroughOrigin,
    /// First and last point joined.
    EndPoints,
    /// A point that was left out left in.
    ExcludedLeftIn,
    /// One column of repeats alone.
    FirstColumnOnly,
}

fn gradient_of(data: &[Datum]) -> Vec<f64> {
    least_squares::fit(data)
        .map(|f| f.line.gradient)
        .into_iter()
        .collect()
}
