//! The figures beside the graph, each with the lines of algebra that made it.
//!
//! Start at [`entries`]. Numbers in a line are rounded to one or two figures more than the result deserves, so that
//! who follows the line with a calculator arrives at the same place.

use yokeline_core::figures::{DecimalMark, Figure, Unit, round};
use yokeline_core::job::input::WorstLineRule;
use yokeline_core::job::output::{Analysis, BestLine, BudgetLine, Family, FluxDensity};
use yokeline_core::job::{Fit, Job, Varied};

use super::headline::{family_kind, kind_of_headline};
use super::words::{
    decimals, figures, gradient_unit, gradient_unit_si, on_axis, rows, unit_si,
    value_with_uncertainty, with_unit,
};
use super::worth;

/// One figure of the result.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry {
    /// A name for the document: `gradient`.
    pub key: String,
    /// What it is, in words.
    pub name: String,
    /// The figure with its unit.
    pub value: String,
    /// How it was got, line by line.
    pub lines: Vec<String>,
    /// What it is made of, drawn as bars.
    pub shares: Vec<Share>,
    /// Whether it is folded away until somebody asks for more.
    pub folded: bool,
}

/// One source of an uncertainty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Share {
    /// What it is: `length`.
    pub name: String,
    /// Its share of the variance.
    pub percent: f64,
    /// Its contribution and its share, in words.
    pub text: String,
}

/// The sources of a budget, as bars.
pub(super) fn shares(budget: &[BudgetLine], unit: &str) -> Vec<Share> {
    let share = |part: &BudgetLine| Share {
        name: part.source.clone(),
        percent: part.share_percent,
        text: format!(
            "{}, {}",
            tesla(part.contribution.abs(), unit, 2),
            with_unit(&figures(part.share_percent, 2), "%")
        ),
    };
    budget.iter().map(share).collect()
}

/// Every figure that the analysis gives, in the order in which they are read.
pub fn entries(job: &Job, analysis: &Analysis) -> Vec<Entry> {
    let mut entries = Vec::new();
    if let Some(flux_density) = &analysis.flux_density {
        entries.extend(school(job, analysis, flux_density));
        entries.extend(standard(flux_density));
    }
    if analysis.families.len() > 1 {
        for (number, family) in analysis.families.iter().enumerate() {
            entries.extend(of_family(analysis, family, number));
        }
    }
    if let Some(line) = &analysis.best_line {
        entries.push(gradient(job, analysis, line));
        if job.fit != Fit::ThroughOrigin {
            entries.push(intercept(analysis, line));
        }
    }
    entries.extend(worst_lines(job, analysis));
    entries.extend(comparison(analysis));
    entries.extend(worth::of_result(analysis));
    let more = [through_origin(job, analysis), straightness(analysis)];
    let more = more.into_iter().flatten();
    entries.extend(
        more.chain(worth::of_line(job, analysis))
            .map(|entry| Entry {
                folded: true,
                ..entry
            }),
    );
    entries
}

pub(super) fn entry(key: &str, name: &str, value: String, lines: Vec<String>) -> Entry {
    Entry {
        key: key.to_owned(),
        name: name.to_owned(),
        value,
        lines,
        shares: Vec::new(),
        folded: false,
    }
}

fn school(job: &Job, analysis: &Analysis, flux_density: &FluxDensity) -> Option<Entry> {
    let line = analysis.best_line.as_ref()?;
    let mut lines = vec![formula(job.varied).to_owned()];
    lines.extend(substitution(job, analysis, line, flux_density));
    if let Some(uncertainty) = flux_density.school_uncertainty {
        let basis = match flux_density.school_basis {
            Some("worst_lines") => "the gradient’s from the worst lines",
            Some("standard_error") => {
                "the gradient’s from its standard error, since no worst lines exist"
            }
            Some("resolution") => "the gradient’s from the smallest step of the balance",
            _ => "as far as they are known",
        };
        let share = uncertainty / flux_density.tesla.abs() * 100.0;
        lines.push(format!(
            "Percentage uncertainties added, {basis}: {} of {} = {}.",
            with_unit(&figures(share, 2), "%"),
            tesla(flux_density.tesla, flux_density.unit, 3),
            tesla(uncertainty, flux_density.unit, 2),
        ));
    }
    let kind = kind_of_headline(analysis);
    let name = if flux_density.school_basis == Some("standard_error") {
        kind.as_str()
    } else {
        "B, school uncertainty"
    };
    Some(entry("school", name, flux_density.text.clone(), lines))
}

/// Above this the sine of an angle is flat enough to need a word.
const SINE_OF_ABOUT_80_DEGREES: f64 = 0.985;

fn standard(flux_density: &FluxDensity) -> Option<Entry> {
    let expanded = flux_density.expanded_uncertainty?;
    let mut lines = Vec::new();
    if let Some(standard) = flux_density.standard_uncertainty {
        lines.push(format!(
            "Combined standard uncertainty u(B) = {}.",
            tesla(standard, flux_density.unit, 2)
        ));
        if let Some(factor) = flux_density.coverage_factor {
            let freedom = flux_density
                .effective_degrees_of_freedom
                .filter(|freedom| freedom.is_finite() && *freedom < 1e4)
                .map_or(String::new(), |freedom| {
                    format!(
                        ", with {} effective degrees of freedom",
                        decimals(freedom, 1)
                    )
                });
            lines.push(format!(
                "For 95 %: U(B) = k u(B) = {} × {} = {}{freedom}.",
                decimals(factor, 2),
                tesla(standard, flux_density.unit, 2),
                tesla(expanded, flux_density.unit, 2),
            ));
        }
    }
    if flux_density
        .budget
        .iter()
        .any(|part| part.source == "sine of the angle" && part.value > SINE_OF_ABOUT_80_DEGREES)
    {
        lines.push(
            "Near 90° the sine hardly changes with the angle, and whichever way the wire is tilted it gets smaller: a wire \
             that is not quite square to the field makes the true B a little larger than the one found, never smaller."
                .to_owned(),
        );
    }
    if flux_density.budget.len() > 1 {
        lines.push(
            "Contributions add as squares, so the largest counts for nearly all; the bars show the share of each:"
                .to_owned(),
        );
    }
    Some(Entry {
        shares: shares(&flux_density.budget, flux_density.unit),
        ..entry(
            "standard",
            "B, standard uncertainty (95 %)",
            flux_density.text_standard.clone(),
            lines,
        )
    })
}

fn of_family(analysis: &Analysis, family: &Family, number: usize) -> Option<Entry> {
    let flux_density = family.flux_density.as_ref();
    let line = family.best_line.as_ref();
    let unit = gradient_unit(analysis);
    let gradient = line.map(|line| {
        format!(
            "gradient b = {}",
            value_with_uncertainty(
                line.gradient / gradient_unit_si(analysis),
                line.gradient_standard_error
                    .map(|error| error / gradient_unit_si(analysis)),
                &unit
            )
        )
    });
    let mut lines: Vec<String> = gradient.into_iter().collect();
    if let Some(found) = flux_density {
        if found.school_uncertainty.is_some() {
            lines.push(format!(
                "{}: {}",
                found.text,
                family_kind(analysis, family, found)
            ));
        }
        if found.expanded_uncertainty.is_some() {
            lines.push(format!("Standard, 95 %: {}", found.text_standard));
        }
    }
    if let Some(length_m) = family.length {
        lines.push(format!(
            "L = {}, N = {}",
            with_unit(&figures(length_m * 100.0, 3), "cm"),
            round::typeset(&round::shortest(family.wires))
        ));
    }
    let value = flux_density.map_or_else(|| "—".to_owned(), |found| found.text.clone());
    Some(entry(
        &format!("family-{}", number + 1),
        &format!("B, {}", family.label),
        value,
        lines,
    ))
}

fn gradient(job: &Job, analysis: &Analysis, line: &BestLine) -> Entry {
    let unit = gradient_unit(analysis);
    let per = gradient_unit_si(analysis);
    let mut lines = Vec::new();
    if let Some(corner) = &analysis.triangle {
        let (x, y) = (&analysis.axes.x, &analysis.axes.y);
        let in_x = |value: f64| decimals(value / unit_si(x), x.decimals.max(0));
        let in_y = |value: f64| decimals(value / unit_si(y), y.decimals + 1);
        lines.push(format!(
            "Triangle on the line: b = ({} − {}) {} / ({} − {}) {} = {}",
            in_y(corner.y2),
            bracketed(&in_y(corner.y1)),
            y.unit,
            in_x(corner.x2),
            bracketed(&in_x(corner.x1)),
            x.unit,
            with_unit(&figures(line.gradient / per, 4), &unit),
        ));
    }
    let (x, y) = (&analysis.axes.x.symbol, &analysis.axes.y.symbol);
    lines.push(match job.fit {
        Fit::LeastSquares => format!(
            "Least squares, {} points: b = Σ({x} − mean)({y} − mean) / Σ({x} − mean)² = {}",
            line.points,
            with_unit(&figures(line.gradient / per, 6), &unit)
        ),
        Fit::Weighted => format!(
            "Least squares, each of {} points weighted by 1/u²: b = {}",
            line.points,
            with_unit(&figures(line.gradient / per, 6), &unit)
        ),
        Fit::BothErrors => format!(
            "Uncertainties of {x} and {y} both counted, {} points: b = {}",
            line.points,
            with_unit(&figures(line.gradient / per, 6), &unit)
        ),
        Fit::ThroughOrigin => format!(
            "Through the origin, {} points: b = Σ{x}{y} / Σ{x}² = {}",
            line.points,
            with_unit(&figures(line.gradient / per, 6), &unit)
        ),
    });
    match line.gradient_standard_error {
        Some(error) => lines.push(format!(
            "Standard error of b: {}, with {} degrees of freedom.",
            with_unit(&figures(error / per, 2), &unit),
            line.degrees_of_freedom
        )),
        None => lines.push(
            "Two points fix a line exactly: its uncertainty cannot be told from them.".to_owned(),
        ),
    }
    entry(
        "gradient",
        "Gradient b, standard error",
        value_with_uncertainty(
            line.gradient / per,
            line.gradient_standard_error.map(|error| error / per),
            &unit,
        ),
        lines,
    )
}

fn intercept(analysis: &Analysis, line: &BestLine) -> Entry {
    let axis = &analysis.axes.y;
    let per = unit_si(axis);
    entry(
        "intercept",
        "Intercept, standard error",
        value_with_uncertainty(
            line.intercept / per,
            line.intercept_standard_error.map(|error| error / per),
            &axis.unit,
        ),
        vec![
            format!(
                "a = mean {} − b × mean {} = {}",
                axis.symbol,
                analysis.axes.x.symbol,
                on_axis(axis, line.intercept, 2)
            ),
            "It stands for the zero of the balance: with a good zero it is 0 within its uncertainty.".to_owned(),
        ],
    )
}

fn worst_lines(job: &Job, analysis: &Analysis) -> Option<Entry> {
    let unit = gradient_unit(analysis);
    let per = gradient_unit_si(analysis);
    let Some(lines) = &analysis.extreme_lines else {
        let blocked = analysis.blocked.as_ref()?;
        let mut said = vec!["No straight line passes through every error bar.".to_owned()];
        if !blocked.rows.is_empty() {
            said.push(format!("Without {} one would.", rows(&blocked.rows)));
        }
        said.push(format!(
            "Bars of ± {} all round would just let one through.",
            on_axis(&analysis.axes.y, blocked.smallest_half_width, 2)
        ));
        return Some(entry(
            "worst-lines",
            "Worst lines",
            "none exists".to_owned(),
            said,
        ));
    };
    let in_unit = |gradient: f64| figures(gradient / per, 4);
    let steepest = in_unit(lines.steepest.gradient);
    let shallowest = in_unit(lines.shallowest.gradient);
    let through = if lines.boxes { "box" } else { "bar" };
    let mut said = vec![format!(
        "Through every error {through}: steepest {}, shallowest {}",
        with_unit(&steepest, &unit),
        with_unit(&shallowest, &unit)
    )];
    let (chosen, rule) = match job.worst_line_rule {
        WorstLineRule::HalfDifference => (
            lines.half_difference,
            format!("({steepest} − {}) / 2", bracketed(&shallowest)),
        ),
        WorstLineRule::LargerDistance => (
            lines.larger_distance,
            "larger distance from the best line".to_owned(),
        ),
    };
    said.push(format!(
        "Δb = {rule} = {}",
        with_unit(&figures(chosen / per, 2), &unit)
    ));
    Some(entry(
        "worst-lines",
        "Gradient’s uncertainty, worst lines",
        format!("± {}", with_unit(&figures(chosen / per, 2), &unit)),
        said,
    ))
}

fn through_origin(job: &Job, analysis: &Analysis) -> Option<Entry> {
    let untared = analysis
        .findings
        .iter()
        .any(|finding| finding.kind == "untared");
    // The readings of a balance that was not zeroed start nowhere near 0: a line forced through it says nothing.
    if job.fit == Fit::ThroughOrigin || untared {
        return None;
    }
    let flux_density = analysis.flux_density.as_ref()?;
    let tesla_through_origin = analysis.flux_density_through_origin?;
    let line = analysis.origin_line.as_ref()?;
    let lines = vec![
        format!(
            "Forced through the origin: b = {}",
            with_unit(
                &figures(line.gradient / gradient_unit_si(analysis), 4),
                &gradient_unit(analysis)
            )
        ),
        "Only for comparison: the free line’s intercept is evidence about the zero of the balance."
            .to_owned(),
    ];
    Some(entry(
        "through-origin",
        "B from the line through the origin",
        tesla(tesla_through_origin, flux_density.unit, 3),
        lines,
    ))
}

fn comparison(analysis: &Analysis) -> Option<Entry> {
    let compared = analysis.comparison.as_ref()?;
    let unit = analysis
        .flux_density
        .as_ref()
        .map_or("mT", |found| found.unit);
    let verdict = match compared.agrees {
        Some(true) => "agrees",
        Some(false) => "does not agree",
        None => "cannot be judged without uncertainties",
    };
    let mut lines = vec![format!(
        "Percentage difference = ({} − {}) / {} × 100 % = {}",
        tesla(compared.expected_tesla + compared.difference, unit, 3),
        tesla(compared.expected_tesla, unit, 3),
        tesla(compared.expected_tesla, unit, 3),
        with_unit(&decimals(compared.percentage_difference, 1), "%"),
    )];
    if let Some(error) = compared.normalised_error {
        lines.push(format!(
            "Difference over the combined 95 % uncertainty: E = {}; up to 1 the two agree.",
            decimals(error, 2)
        ));
    }
    if let Some(overlap) = compared.ranges_overlap {
        lines.push(
            if overlap {
                "The school ranges of the two overlap."
            } else {
                "The school ranges of the two do not overlap."
            }
            .to_owned(),
        );
    }
    Some(entry(
        "comparison",
        "Against the expected B",
        format!(
            "{}, {verdict}",
            with_unit(&signed(compared.percentage_difference), "%")
        ),
        lines,
    ))
}

fn straightness(analysis: &Analysis) -> Option<Entry> {
    let line = analysis.best_line.as_ref()?;
    let r_squared = line.r_squared?;
    let about = if line.r_squared_about == "zero" {
        "about zero, not to be compared with that of a free line"
    } else {
        "about the mean"
    };
    let mut lines = vec![format!(
        "R² is taken {about}. It does not show that a straight line is right, nor that the zero is good: look at the \
         residuals."
    )];
    if let Some(sd) = line.residual_sd {
        lines.push(format!(
            "Residual standard deviation: {}",
            with_unit(
                &figures(sd / unit_si(&analysis.axes.y), 2),
                &analysis.axes.y.unit
            )
        ));
    }
    Some(entry("r-squared", "R²", r_squared_text(r_squared), lines))
}

/// The rearranged equation for what was varied.
fn formula(varied: Varied) -> &'static str {
    match varied {
        Varied::Current => "m g = N B I L sin θ, so B = b g / (N L sin θ)",
        Varied::Length => "m g = B I (N L) sin θ, so B = b g / (I sin θ)",
        Varied::Angle => "m g = N B I L sin θ, so B = b g / (N I L)",
        Varied::Product => "F = B (N I L sin θ), so the gradient is B",
    }
}

/// The equation with the numbers in it, for a swept current; the other ways are on the sheet.
fn substitution(
    job: &Job,
    analysis: &Analysis,
    line: &BestLine,
    flux_density: &FluxDensity,
) -> Option<String> {
    if job.varied != Varied::Current {
        return None;
    }
    let typed = |text: &str, unit: Unit, otherwise: f64| {
        if text.trim().is_empty() {
            Some(otherwise)
        } else {
            Figure::parse(text, DecimalMark::Either)
                .ok()
                .map(|figure| figure.si_or(unit))
        }
    };
    let length_m = analysis.families.first().and_then(|family| family.length)?;
    let wires = analysis.families.first().map_or(1.0, |family| family.wires);
    let gravity = typed(&job.apparatus.gravity, Unit::METRE_PER_SECOND_SQUARED, 9.81)?;
    let angle_rad = typed(
        &job.apparatus.angle,
        Unit::DEGREE,
        std::f64::consts::FRAC_PI_2,
    )?;
    let force = analysis.axes.y.symbol == "F";
    let top = if force {
        format!("{} N/A", figures(line.gradient, 4))
    } else {
        format!(
            "{} kg/A × {} m/s²",
            figures(line.gradient, 4),
            as_typed(gravity, &job.apparatus.gravity)
        )
    };
    let mut line = format!(
        "B = {top} / ({} × {} m × sin {}°) = {}",
        as_typed(wires, &job.apparatus.wires),
        as_typed(length_m, &job.apparatus.length),
        as_typed(angle_rad.to_degrees(), &job.apparatus.angle),
        tesla(flux_density.tesla, "T", 4),
    );
    if flux_density.unit != "T" {
        line.push_str(&format!(
            " = {}",
            tesla(flux_density.tesla, flux_density.unit, 4)
        ));
    }
    Some(line)
}

/// A value in the figures that were typed for it; in the fewest that name it when nothing was.
fn as_typed(value: f64, typed: &str) -> String {
    match Figure::parse(typed, DecimalMark::Either) {
        Ok(figure) => figures(value, figure.significant),
        Err(_) => round::typeset(&round::shortest(value)),
    }
}

pub(super) fn tesla(value: f64, unit: &str, significant: u32) -> String {
    let in_unit = if unit == "mT" { value * 1e3 } else { value };
    with_unit(&figures(in_unit, significant), unit)
}

fn signed(percentage: f64) -> String {
    let text = decimals(percentage, 1);
    if percentage > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

/// In enough figures to tell it from 1, when it is not 1.
fn r_squared_text(r_squared: f64) -> String {
    let mut places = 3;
    while places < 8 && r_squared < 1.0 && decimals(r_squared, places) == decimals(1.0, places) {
        places += 1;
    }
    decimals(r_squared, places)
}

/// A negative number in brackets, as it is written after a minus.
fn bracketed(number: &str) -> String {
    if number.starts_with(['−', '-']) {
        format!("({number})")
    } else {
        number.to_owned()
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use yokeline_core::job::Apparatus;
    use yokeline_core::job::output::{Axes, Axis, Finding, Point};

    /// The published check value: 0.1666 g/A and 5.0 cm.
    pub fn check_value() -> (Job, Analysis) {
        let job = Job {
            apparatus: Apparatus {
                length: "5.0 cm".to_owned(),
                ..Apparatus::default()
            },
            ..Job::default()
        };
        let analysis = Analysis {
            axes: Axes {
                x: Axis {
                    quantity: "current".to_owned(),
                    symbol: "I".to_owned(),
                    unit: "A".to_owned(),
                    unit_si: 1.0,
                    decimals: 2,
                },
                y: Axis {
                    quantity: "balance reading".to_owned(),
                    symbol: "m".to_owned(),
                    unit: "g".to_owned(),
                    unit_si: 1e-3,
                    decimals: 2,
                },
            },
            points: vec![Point::default(); 8],
            families: vec![Family {
                length: Some(0.05),
                wires: 1.0,
                ..Family::default()
            }],
            best_line: Some(BestLine {
                gradient: 0.1666e-3,
                gradient_standard_error: Some(0.9e-6),
                r_squared: Some(0.99996),
                r_squared_about: "mean",
                degrees_of_freedom: 6,
                points: 8,
                ..BestLine::default()
            }),
            flux_density: Some(FluxDensity {
                tesla: 0.03268692,
                school_uncertainty: Some(0.0004),
                school_basis: Some("worst_lines"),
                text: "(32.7 ± 0.4) mT".to_owned(),
                unit: "mT",
                ..FluxDensity::default()
            }),
            ..Analysis::default()
        };
        (job, analysis)
    }

    fn find<'a>(entries: &'a [Entry], key: &str) -> &'a Entry {
        entries
            .iter()
            .find(|entry| entry.key == key)
            .expect("an entry of that name")
    }

    #[test]
    fn the_substitution_can_be_followed_with_a_calculator() {
        let (job, analysis) = check_value();
        let entries = entries(&job, &analysis);
        let school = find(&entries, "school");
        assert_eq!(school.value, "(32.7 ± 0.4) mT");
        assert!(
            school.lines.iter().any(|line| line
                == "B = 0.0001666 kg/A × 9.81 m/s² / (1 × 0.050 m × sin 90°) = 0.03269\u{a0}T = 32.69\u{a0}mT"),
            "{:#?}",
            school.lines
        );
    }

    #[test]
    fn the_gradient_has_its_unit_and_its_error() {
        let (job, analysis) = check_value();
        let entries = entries(&job, &analysis);
        assert_eq!(find(&entries, "gradient").value, "(0.1666 ± 0.0009) g/A");
        assert_eq!(find(&entries, "r-squared").value, "0.99996");
    }

    #[test]
    fn a_standard_error_is_not_called_a_school_uncertainty() {
        let (job, mut analysis) = check_value();
        if let Some(found) = &mut analysis.flux_density {
            found.school_basis = Some("standard_error");
        }
        assert_eq!(kind_of_headline(&analysis), "B ± standard error");
        analysis.blocked = Some(Default::default());
        let kind = "B ± standard error (no line passes through every bar)";
        assert_eq!(kind_of_headline(&analysis), kind);
        assert_eq!(find(&entries(&job, &analysis), "school").name, kind);
    }

    #[test]
    fn no_line_through_the_origin_for_a_balance_that_was_not_zeroed() {
        let (job, mut analysis) = check_value();
        analysis.origin_line = Some(Default::default());
        analysis.flux_density_through_origin = Some(0.03);
        let offered = |analysis: &Analysis| {
            entries(&job, analysis)
                .iter()
                .any(|entry| entry.key == "through-origin")
        };
        assert!(offered(&analysis));
        analysis.findings = vec![Finding {
            kind: "untared",
            ..Finding::default()
        }];
        assert!(!offered(&analysis));
    }

    #[test]
    fn a_result_in_tesla_is_not_said_twice() {
        let (job, mut analysis) = check_value();
        if let Some(found) = analysis.flux_density.as_mut() {
            found.unit = "T";
        }
        let entries = entries(&job, &analysis);
        let lines = &find(&entries, "school").lines;
        assert!(
            lines
                .iter()
                .any(|line| line.ends_with("sin 90°) = 0.03269\u{a0}T")),
            "{lines:#?}"
        );
    }
}
