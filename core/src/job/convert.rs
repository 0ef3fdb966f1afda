//! Between what others see and what the stages use: choices on the way in, the [`Analysis`] on the way out.

use crate::field::effective_length::product_from_balance;
use crate::field::monte_carlo::{NumericalError, Outcome};
use crate::field::{self, SchoolBasis};
use crate::figures::round::{self, Digits};
use crate::figures::{self, Figure, Quantity, Unit};
use crate::line::band::Band;
use crate::line::extreme::{Bars, Extremes, Stopped};
use crate::line::residual_tests::ResidualTests;
use crate::line::{Fitted, Line};
use crate::readings::families::series_label;
use crate::readings::words::Weight;
use crate::readings::{Order, Ordinate, Varied};
use crate::table::{self, Choices, Role};

use super::input::{self, Job};
use super::output::{self, Analysis};
use super::walk::Walked;
use super::words::Remark;
use super::work::{JointField, Series, Working, only_flux_density, tesla_unit};

impl From<input::Varied> for Varied {
    fn from(varied: input::Varied) -> Varied {
        match varied {
            input::Varied::Current => Varied::Current,
            input::Varied::Length => Varied::Length,
            input::Varied::Angle => Varied::Angle,
            input::Varied::Product => Varied::Product,
        }
    }
}

impl From<Varied> for input::Varied {
    fn from(varied: Varied) -> input::Varied {
        match varied {
            Varied::Current => input::Varied::Current,
            Varied::Length => input::Varied::Length,
            Varied::Angle => input::Varied::Angle,
            Varied::Product => input::Varied::Product,
        }
    }
}

/// The names by which others know what a column holds.
const MEANINGS: [(&str, Role); 16] = [
    ("current", Role::Current),
    ("reading", Role::Reading),
    ("full_reading", Role::FullReading),
    ("zero", Role::Zero),
    ("zero_before", Role::ZeroBefore),
    ("zero_after", Role::ZeroAfter),
    ("force", Role::Force),
    ("length", Role::Length),
    ("wires", Role::Wires),
    ("angle", Role::Angle),
    ("flux_density", Role::FluxDensity),
    ("position", Role::Position),
    ("time", Role::Time),
    ("counter", Role::Counter),
    ("comment", Role::Comment),
    ("ignored", Role::Ignored),
];

fn meaning_of(role: Role) -> (&'static str, Option<usize>) {
    match role {
        Role::UncertaintyOf(column) => ("uncertainty", Some(column)),
        other => (
            MEANINGS
                .iter()
                .find(|m| m.1 == other)
                .map_or("ignored", |m| m.0),
            None,
        ),
    }
}

/// The choices of the job as the table stage takes them.
pub fn choices(job: &Job, remarks: &mut Vec<Remark>) -> Choices {
    Choices {
        decimal: job.decimal_mark.map(|mark| match mark {
            input::DecimalMark::Point => figures::DecimalMark::Point,
            input::DecimalMark::Comma => figures::DecimalMark::Comma,
        }),
        lies: job.lie.map(|lie| match lie {
            input::Lie::Down => table::Lie::Down,
            input::Lie::Across => table::Lie::Across,
        }),
        columns: job
            .columns
            .iter()
            .take(table::LARGEST_COLUMN_COUNT)
            .map(|choice| column_choice(choice, remarks))
            .collect(),
    }
}

fn column_choice(choice: &input::ColumnChoice, remarks: &mut Vec<Remark>) -> table::ColumnChoice {
    let column = choice.column;
    let role = choice.meaning.as_deref().and_then(|meaning| {
        let known = MEANINGS.iter().find(|m| m.0 == meaning).map(|m| m.1);
        let known = known.or(choice
            .of
            .filter(|_| meaning == "uncertainty")
            .map(Role::UncertaintyOf));
        if known.is_none() {
            remarks.push(Remark::UnknownMeaning {
                column,
                meaning: meaning.to_owned(),
            });
        }
        known
    });
    let unit_text = choice.unit.trim();
    let unit = Unit::parse(unit_text);
    if unit.is_none() && !unit_text.is_empty() {
        remarks.push(Remark::UnreadChoice {
            column,
            typed: unit_text.into(),
            example: "mA",
        });
    }
    let length_text = choice.length.trim();
    let length = Figure::parse(length_text, figures::DecimalMark::Either)
        .ok()
        .filter(|f| f.value > 0.0 && f.unit.is_none_or(|u| u.quantity() == Quantity::Length));
    if length.is_none() && !length_text.is_empty() {
        remarks.push(Remark::UnreadChoice {
            column,
            typed: length_text.into(),
            example: "10 mm",
        });
    }
    let wires_text = choice.wires.trim();
    let wires = Figure::parse(wires_text, figures::DecimalMark::Either)
        .ok()
        .filter(|f| f.value >= 1.0 && f.unit.is_none())
        .map(|f| f.value);
    if wires.is_none() && !wires_text.is_empty() {
        remarks.push(Remark::UnreadChoice {
            column,
            typed: wires_text.into(),
            example: "2",
        });
    }
    table::ColumnChoice {
        column,
        role,
        unit,
        length_m: length.map(|f| f.si_or(Unit::CENTIMETRE)),
        wires,
    }
}

/// What others see of the working.
pub fn analysis(working: &Working) -> Analysis {
    let readings = &working.readings;
    let single = match &working.series[..] {
        [only] => Some(only),
        _ => None,
    };
    let best = single.and_then(|s| s.best.as_ref().ok());
    Analysis {
        version: output::VERSION,
        columns: columns(working),
        axes: axes(working),
        varied: readings.varied.into(),
        fit: working.job.fit,
        points: points(working),
        families: readings
            .families
            .iter()
            .zip(&working.series)
            .map(|(family, series)| output::Family {
                label: family.label.clone(),
                length: family.length_m,
                wires: family.wires,
                angle: family.angle_rad,
                best_line: series.best.as_ref().ok().map(best_line),
                extreme_lines: extreme_lines(series),
                flux_density: series.flux_density.as_ref().map(flux_density),
            })
            .collect(),
        best_line: best.map(best_line),
        origin_line: single.and_then(|s| s.origin.as_ref()).map(origin_line),
        extreme_lines: single.and_then(extreme_lines),
        extreme_lines_bars_only: single
            .and_then(|s| Some(extremes(s.bars_only.as_ref()?, &best?.line, false))),
        blocked: single.and_then(blocked),
        triangle: single.and_then(|s| s.triangle).map(|t| output::Triangle {
            x1: t.x1,
            y1: t.y1,
            x2: t.x2,
            y2: t.y2,
        }),
        flux_density: single
            .and_then(|s| s.flux_density.as_ref())
            .map(flux_density),
        flux_density_through_origin: single.and_then(|s| s.flux_density_through_origin),
        joint: working.joint.as_ref().map(joint),
        drift: single.and_then(|s| s.drift).map(|d| output::Drift {
            rate: d.rate,
            rate_standard_error: d.rate_error,
            per: match readings.order {
                Order::Time => "second",
                Order::Counter | Order::Row => "reading",
            },
        }),
        inverse_line: single
            .and_then(|s| s.inverse)
            .map(|inverse| output::InverseLine {
                gradient: inverse.line.gradient,
                intercept: inverse.line.intercept,
                flux_density: inverse.flux_density,
            }),
        residual_tests: single.and_then(|s| s.residual_tests).map(residual_tests),
        effective_length: working
            .walked
            .as_ref()
            .map(|walked| effective_length(walked, working)),
        monte_carlo: working
            .monte_carlo
            .as_ref()
            .map(|outcome| monte_carlo(outcome, working)),
        comparison: working.comparison.as_ref().map(|c| output::Comparison {
            expected_tesla: c.expected_t,
            difference: c.difference_t,
            percentage_difference: c.percentage_difference,
            normalised_error: c.normalised_error,
            ranges_overlap: c.ranges_overlap,
            agrees: c.agrees(),
        }),
        findings: working
            .findings
            .iter()
            .map(|finding| output::Finding {
                kind: finding.name(),
                row: finding.rows.first().copied(),
                rows: finding.rows.clone(),
                statistic: finding.statistic.filter(|s| s.is_finite()),
                p_value: finding.p_value,
                text: finding.text(),
                advice: finding.advice().to_owned(),
            })
            .collect(),
        notes: notes(working),
    }
}

fn columns(working: &Working) -> Vec<output::Column> {
    let shown = |(index, column): (usize, &table::Column)| {
        let (meaning, of) = meaning_of(column.role);
        output::Column {
            column: index + 1,
            heading: column.heading.clone(),
            meaning: meaning.to_owned(),
            of,
            guessed: column.guessed,
            unit: column.unit.map(|u| u.symbol().to_owned()),
            series: column.series.as_ref().map(series_label),
            used: working.readings.used.contains(&index),
        }
    };
    working
        .table
        .columns
        .iter()
        .enumerate()
        .map(shown)
        .collect()
}

fn axes(working: &Working) -> output::Axes {
    let readings = &working.readings;
    let (quantity, symbol) = match readings.varied {
        Varied::Current => ("current", "I"),
        Varied::Length => ("total length of wire", "N L"),
        Varied::Angle => ("sine of the angle", "sin θ"),
        Varied::Product => ("current × length", "N I L sin θ"),
    };
    let axis = |quantity: &str, symbol: &str, unit: Option<Unit>, decimals| output::Axis {
        quantity: quantity.into(),
        symbol: symbol.into(),
        unit: unit.map(|u| u.symbol().to_owned()).unwrap_or_default(),
        unit_si: unit.map_or(1.0, |u| u.to_si(1.0)),
        decimals,
    };
    let mut x = axis(quantity, symbol, readings.x_unit, readings.x_decimals);
    if readings.varied == Varied::Product {
        x.unit = "A m".into();
    }
    let (quantity, symbol) = match (readings.ordinate, readings.untared) {
        (Ordinate::Mass, false) => ("change of balance reading", "m"),
        (Ordinate::Mass, true) => ("balance reading", "m"),
        (Ordinate::Force, _) => ("force", "F"),
    };
    output::Axes {
        x,
        y: axis(quantity, symbol, readings.y_unit, readings.y_decimals),
    }
}

fn points(working: &Working) -> Vec<output::Point> {
    let lines: Vec<Option<Line>> = working
        .series
        .iter()
        .map(|s| s.best.as_ref().ok().map(|f| f.line))
        .collect();
    let shown = |p: &crate::readings::Point| output::Point {
        x: p.x,
        y: p.y,
        u_x: p.bar_x,
        u_y: p.bar_y,
        u_y_standard: p.u_y,
        row: p.row,
        family: p.family,
        repeats: p.repeats,
        excluded: p.excluded,
        residual: lines
            .get(p.family)
            .copied()
            .flatten()
            .map(|line| p.y - line.at(p.x)),
    };
    working.readings.points.iter().map(shown).collect()
}

fn residual_tests(found: ResidualTests) -> output::ResidualTests {
    output::ResidualTests {
        runs: found.runs.map(|r| r.runs),
        above: found.runs.map(|r| r.above),
        below: found.runs.map(|r| r.below),
        runs_at_most: found.runs.map(|r| r.at_most),
        runs_at_least: found.runs.map(|r| r.at_least),
        durbin_watson: found.durbin_watson,
        lag_1: found.lag_1,
    }
}

fn effective_length(walked: &Walked, working: &Working) -> output::EffectiveLength {
    let found = &walked.length;
    let from_balance = only_flux_density(&working.series).and_then(product_from_balance);
    output::EffectiveLength {
        length: found.length_m,
        standard_uncertainty: found.u_length_m,
        integral: found.integral_t_m,
        integral_standard_uncertainty: found.u_integral_t_m,
        centre: found.centre_t,
        centre_position: found.centre_m,
        left_at_ends: found.left_at_ends,
        places: found.places,
        used: walked.used,
        from_balance: from_balance.map(|b| b.0),
        from_balance_standard_uncertainty: from_balance.and_then(|b| b.1),
    }
}

fn monte_carlo(outcome: &Outcome, working: &Working) -> output::MonteCarlo {
    let agrees = only_flux_density(&working.series).is_some_and(|found| {
        found
            .budget
            .as_ref()
            .is_some_and(|b| outcome.agrees_with(found.tesla, b.combined, b.expanded()))
    });
    output::MonteCarlo {
        trials: outcome.trials,
        seed: working.job.monte_carlo.seed,
        mean: outcome.mean,
        standard_uncertainty: outcome.standard_uncertainty,
        interval: outcome.interval,
        shortest_interval: outcome.shortest,
        standard_uncertainty_error: outcome.numerical_error.standard_uncertainty,
        interval_error: outcome.numerical_error.interval,
        agrees,
    }
}

/// A simulation that was run elsewhere, as the stages know it.
pub fn outcome(found: &output::MonteCarlo) -> Outcome {
    Outcome {
        trials: found.trials,
        seed: u64::from(found.seed),
        mean: found.mean,
        standard_uncertainty: found.standard_uncertainty,
        interval: found.interval,
        shortest: found.shortest_interval,
        numerical_error: NumericalError {
            mean: None,
            standard_uncertainty: found.standard_uncertainty_error,
            interval: found.interval_error,
        },
    }
}

/// How well the line is known; the reading's own s.d. is that of the residuals, or the typical stated one.
fn band(fitted: &Fitted) -> Option<output::Band> {
    let band = Band::of(fitted, 0.95)?;
    Some(output::Band {
        middle_x: band.middle_x,
        height_standard_error: band.height_error,
        gradient_standard_error: band.gradient_error,
        reading_sd: fitted.residual_sd?,
        coverage_factor: band.factor,
    })
}

fn best_line(fitted: &Fitted) -> output::BestLine {
    let rescaled = fitted.rescaled();
    let forced = fitted.r_squared_about_zero.is_some();
    output::BestLine {
        gradient: fitted.line.gradient,
        intercept: fitted.line.intercept,
        gradient_standard_error: fitted.gradient_error,
        intercept_standard_error: fitted.intercept_error,
        covariance: fitted.covariance,
        r_squared: fitted.r_squared_about_zero.or(fitted.r_squared_about_mean),
        r_squared_about: if forced { "zero" } else { "mean" },
        residual_sd: fitted.residual_sd,
        chi_squared: fitted.chi_squared,
        chi_squared_probability: fitted.chi_squared_probability(),
        gradient_scaled_error: rescaled.and_then(|f| f.gradient_error),
        intercept_scaled_error: rescaled.and_then(|f| f.intercept_error),
        band: band(fitted),
        degrees_of_freedom: fitted.degrees_of_freedom,
        points: fitted.points,
    }
}

fn origin_line(fitted: &Fitted) -> output::OriginLine {
    output::OriginLine {
        gradient: fitted.line.gradient,
        gradient_standard_error: fitted.gradient_error,
        residual_sd: fitted.residual_sd,
        r_squared_about_zero: fitted.r_squared_about_zero,
        r_squared_about_mean: fitted.r_squared_about_mean,
        degrees_of_freedom: fitted.degrees_of_freedom,
    }
}

fn extreme_lines(series: &Series) -> Option<output::ExtremeLines> {
    let best = series.best.as_ref().ok()?;
    Some(extremes(
        series.extremes.as_ref().ok()?,
        &best.line,
        series.bars == Bars::Boxes,
    ))
}

fn extremes(found: &Extremes, best: &Line, boxes: bool) -> output::ExtremeLines {
    let straight = |line: &Line| output::Straight {
        gradient: line.gradient,
        intercept: line.intercept,
    };
    output::ExtremeLines {
        steepest: straight(&found.steepest),
        shallowest: straight(&found.shallowest),
        half_difference: found.half_difference(),
        larger_distance: found.larger_distance(best),
        boxes,
    }
}

fn blocked(series: &Series) -> Option<output::Blocked> {
    matches!(series.extremes, Err(Stopped::Blocked { .. })).then(|| output::Blocked {
        rows: series.suspects.clone(),
        smallest_half_width: series.smallest_half_width.unwrap_or(0.0),
        boxes: series.bars == Bars::Boxes,
    })
}

fn flux_density(found: &field::FluxDensity) -> output::FluxDensity {
    let unit = tesla_unit(found.tesla);
    let in_unit = |half_width, digits| in_words(found.tesla, half_width, unit, digits);
    let expanded = found
        .budget
        .as_ref()
        .map(|b| b.expanded())
        .filter(|u| u.is_finite());
    output::FluxDensity {
        tesla: found.tesla,
        standard_uncertainty: found.budget.as_ref().map(|b| b.combined),
        expanded_uncertainty: expanded,
        coverage_factor: found
            .budget
            .as_ref()
            .map(|b| b.coverage_factor)
            .filter(|k| k.is_finite()),
        effective_degrees_of_freedom: found
            .budget
            .as_ref()
            .map(|b| b.degrees_of_freedom)
            .filter(|d| d.is_finite()),
        school_uncertainty: found.school_t,
        school_basis: found.school_basis.map(|basis| match basis {
            SchoolBasis::WorstLines => "worst_lines",
            SchoolBasis::StandardError => "standard_error",
        }),
        text: in_unit(found.school_t, Digits::School),
        text_standard: in_unit(expanded, Digits::Two),
        unit: unit.symbol(),
        budget: found
            .budget
            .iter()
            .flat_map(|budget| budget.sources.iter().map(|s| budget_line(budget, s)))
            .collect(),
    }
}

fn joint(found: &JointField) -> output::Joint {
    let budget = &found.budget;
    let tesla = found.value.value;
    output::Joint {
        tesla,
        standard_uncertainty: budget.combined,
        expanded_uncertainty: budget.expanded(),
        coverage_factor: budget.coverage_factor,
        statistic: found.value.statistic,
        p_value: found.value.p_value,
        text: in_words(
            tesla,
            Some(budget.expanded()),
            tesla_unit(tesla),
            Digits::Two,
        ),
        budget: budget
            .sources
            .iter()
            .map(|s| budget_line(budget, s))
            .collect(),
    }
}

fn budget_line(budget: &field::Budget, source: &field::Source) -> output::BudgetLine {
    output::BudgetLine {
        source: source.name.to_owned(),
        value: source.value,
        standard_uncertainty: source.standard_uncertainty,
        sensitivity: source.sensitivity,
        contribution: source.contribution(),
        share_percent: budget.share_percent(source),
    }
}

/// `(32.7 ± 0.4) mT`, or `32.69 mT` without an uncertainty.
fn in_words(tesla: f64, half_width: Option<f64>, unit: Unit, digits: Digits) -> String {
    let value = unit.from_si(tesla);
    match half_width
        .map(|u| unit.from_si(u))
        .filter(|u| *u > 0.0 && u.is_finite())
    {
        Some(half_width) => {
            let rounded = round::with_uncertainty(value, half_width, digits);
            match rounded.uncertainty {
                Some(uncertainty) => round::typeset(&format!(
                    "({} ± {uncertainty}) {}",
                    rounded.value,
                    unit.symbol()
                )),
                None => round::typeset(&format!("{} {}", rounded.value, unit.symbol())),
            }
        }
        None => round::typeset(&format!(
            "{} {}",
            round::to_significant(value, 3),
            unit.symbol()
        )),
    }
}

fn notes(working: &Working) -> Vec<output::Note> {
    let weight = |weight: Weight| match weight {
        Weight::Told => "told",
        Weight::Asked => "asked",
        Weight::Trouble => "trouble",
    };
    let of_table = working.table.notes.iter().map(|note| output::Note {
        row: note.place.row,
        column: note.place.column,
        field: None,
        weight: match note.weight {
            table::Weight::Told => "told",
            table::Weight::Asked => "asked",
            table::Weight::Trouble => "trouble",
        },
        text: note.to_string(),
    });
    // A table that was refused says all there is to say: that columns are missing in it is no news.
    let refused = working.table.refusal().is_some();
    let of_readings = working
        .readings
        .remarks
        .iter()
        .filter(|r| !refused || r.field().is_some())
        .map(|remark| output::Note {
            row: remark.row(),
            column: None,
            field: remark.field(),
            weight: weight(remark.weight()),
            text: remark.text(),
        });
    let of_way = working.remarks.iter().map(|remark| output::Note {
        row: None,
        column: remark.column(),
        field: remark.field(),
        weight: weight(remark.weight()),
        text: remark.text(),
    });
    of_table.chain(of_readings).chain(of_way).collect()
}
