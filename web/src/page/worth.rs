//! The figures that say what the line and B are worth: several series together, drift, scatter against what was stated,
//! patterns, the band, the line the other way round, the effective length, the simulation.
//!
//! Start at [`of_result`] and [`of_line`]. Each opens with one sentence that says what it is for.

use yokeline_core::field::monte_carlo::settled_decimals;
use yokeline_core::job::Job;
use yokeline_core::job::output::{Analysis, EffectiveLength, Family, MonteCarlo};
use yokeline_core::line::Scatter;
use yokeline_core::line::residual_tests::Pattern;

use super::algebra::{Entry, entry, shares, tesla};
use super::words::{
    decimals, figures, gradient_unit, gradient_unit_si, unit_si, value_with_uncertainty, with_unit,
};

/// What changes the result: there only when the readings or the reader asked for it.
pub fn of_result(analysis: &Analysis) -> Vec<Entry> {
    let found = [joint(analysis), drift(analysis), effective_length(analysis)];
    found.into_iter().flatten().collect()
}

/// What the line is worth, for who wants to know more.
pub fn of_line(job: &Job, analysis: &Analysis) -> Vec<Entry> {
    // A scatter that hides in the steps of the balance tells nothing.
    if analysis.findings.iter().any(|f| f.kind == "too_perfect") {
        return Vec::new();
    }
    let found = [
        chi_squared(job, analysis),
        patterns(analysis),
        band(analysis),
        inverse(analysis),
    ];
    found.into_iter().flatten().collect()
}

/// One B for several series.
fn joint(analysis: &Analysis) -> Option<Entry> {
    let joint = analysis.joint.as_ref()?;
    let unit = unit_of(joint.tesla);
    let mut lines = vec![
        "One B for all series: each keeps a zero of its own, and all gradients share one field. A gradient that is known \
         better counts for more."
            .to_owned(),
        format!(
            "u(B) = {}; for 95 % k = {}, U(B) = {}.",
            tesla(joint.standard_uncertainty, unit, 2),
            decimals(joint.coverage_factor, 2),
            tesla(joint.expanded_uncertainty, unit, 2)
        ),
        format!(
            "The series scatter about it as chance would have them: a spread this large or larger has a probability of {}.",
            percent(joint.p_value)
        ),
    ];
    if let Some(what) = what_grows(analysis) {
        lines.push(format!(
            "In other words: the gradients grow in proportion to {what}."
        ));
    }
    lines.extend(
        joint
            .budget
            .iter()
            .filter(|part| part.source != "gradients")
            .map(|part| {
                format!(
                    "The {} is the same for all series: its uncertainty does not average out.",
                    part.source
                )
            }),
    );
    Some(Entry {
        shares: shares(&joint.budget, unit),
        ..entry(
            "joint",
            "B, all series together (95 %)",
            joint.text.clone(),
            lines,
        )
    })
}

/// What sets the series apart, when it is a number in proportion to which the gradients should grow.
fn what_grows(analysis: &Analysis) -> Option<&'static str> {
    let families = &analysis.families;
    let differ = |of: &dyn Fn(&Family) -> Option<f64>| {
        let mut values = families.iter().map(of);
        let first = values.next()?;
        values.any(|value| value != first).then_some(())
    };
    if differ(&|family| Some(family.wires)).is_some() {
        Some("the number of wires")
    } else {
        differ(&|family| family.length).map(|()| "the length of the wire")
    }
}

/// The drift that was taken off.
fn drift(analysis: &Analysis) -> Option<Entry> {
    let drift = analysis.drift.as_ref()?;
    let per = unit_si(&analysis.axes.y);
    let (scale, unit) = if drift.per == "second" {
        (60.0, "min")
    } else {
        (1.0, "reading")
    };
    let rate = value_with_uncertainty(
        drift.rate * scale / per,
        drift.rate_standard_error.map(|error| error * scale / per),
        &format!("{}/{unit}", analysis.axes.y.unit),
    );
    Some(entry(
        "drift",
        "Drift of the zero, standard error",
        rate,
        vec![
            "The zero of the balance moved steadily while the readings were taken; the drift was found together with the \
             gradient and taken off every reading before the line was drawn."
                .to_owned(),
            "One degree of freedom goes for it, so the gradient’s uncertainty is a little larger.".to_owned(),
        ],
    ))
}

/// Whether the scatter is what the stated uncertainties lead one to expect.
fn chi_squared(job: &Job, analysis: &Analysis) -> Option<Entry> {
    let line = analysis.best_line.as_ref()?;
    let (chi_squared, probability) = (line.chi_squared?, line.chi_squared_probability?);
    let verdict = match Scatter::of(probability) {
        Scatter::More => {
            "The points scatter more than their stated uncertainties allow: these are too small, or the line is not straight."
        }
        Scatter::Less => "The points scatter less than stated: the uncertainties may be too large.",
        Scatter::AsStated => "The scatter is what the stated uncertainties lead one to expect.",
    };
    let mut lines = vec![
        format!(
            "χ² = Σ(distance from the line / its uncertainty)² = {} for {} degrees of freedom; about one for each is \
             ordinary.",
            figures(chi_squared, 3),
            line.degrees_of_freedom
        ),
        format!(
            "So large a χ² or larger would come up by chance with a probability of {}.",
            percent(probability)
        ),
        verdict.to_owned(),
    ];
    if let Some(scaled) = line.gradient_scaled_error {
        let per = gradient_unit_si(analysis);
        let relative =
            job.stated_uncertainties == yokeline_core::job::input::StatedUncertainties::Relative;
        let said = with_unit(&figures(scaled / per, 2), &gradient_unit(analysis));
        lines.push(if relative {
            format!("Only the proportions of the uncertainties are trusted: the scatter sets their size, and the error of b is {said}.")
        } else {
            format!("If only their proportions are trusted, the scatter sets the size and the error of b becomes {said}.")
        });
    }
    Some(entry(
        "chi-squared",
        "Scatter against stated uncertainties",
        format!("P = {}", percent(probability)),
        lines,
    ))
}

/// Whether the residuals follow one another.
fn patterns(analysis: &Analysis) -> Option<Entry> {
    let tests = analysis.residual_tests.as_ref()?;
    let mut lines = vec![
        "Along a straight line the points lie above and below by turns, as chance has it. A bend shows as a long row of \
         one side and then of the other."
            .to_owned(),
    ];
    let value = match (tests.runs, tests.runs_at_most) {
        (Some(runs), Some(at_most)) => {
            lines.push(format!(
                "{} above, {} below, in {runs} runs of one side; as few as that or fewer has a probability of {}.",
                tests.above.unwrap_or(0),
                tests.below.unwrap_or(0),
                percent(at_most)
            ));
            let at_least = tests.runs_at_least.unwrap_or(1.0);
            match Pattern::of(at_most, at_least) {
                Pattern::ByTurns => {
                    lines.push(format!(
                        "As many as that or more has a probability of {}: the readings go up and down by turns.",
                        percent(at_least)
                    ));
                    "up and down by turns".to_owned()
                }
                Pattern::Bend => "a pattern, look at the residuals".to_owned(),
                Pattern::Chance => "no pattern".to_owned(),
            }
        }
        _ => "too few to say".to_owned(),
    };
    lines.push(format!(
        "Durbin–Watson d = {} (near 2 without a pattern, near 0 for a smooth bend); correlation of each residual with the \
         one before it r = {}.",
        decimals(tests.durbin_watson, 2),
        decimals(tests.lag_1, 2)
    ));
    Some(entry("patterns", "Pattern in the residuals", value, lines))
}

/// How well the line is known, and where one new reading is to be expected.
fn band(analysis: &Analysis) -> Option<Entry> {
    let line = analysis.best_line.as_ref()?;
    let band = line.band.as_ref().filter(|band| band.reading_sd > 0.0)?;
    let (x_axis, y_axis) = (&analysis.axes.x, &analysis.axes.y);
    let used = analysis.points.iter().filter(|point| !point.excluded);
    let high = used.map(|point| point.x).fold(f64::NEG_INFINITY, f64::max);
    let in_y = |si: f64| si / unit_si(y_axis);
    let y = line.gradient * high + line.intercept;
    let of_line = band.half_width(high);
    let of_reading = band.half_width_of_reading(high);
    let place = with_unit(
        &decimals(high / unit_si(x_axis), x_axis.decimals),
        &x_axis.unit,
    );
    let said = |half: f64| value_with_uncertainty(in_y(y), Some(in_y(half)), &y_axis.unit);
    Some(entry(
        "band",
        "A new reading at the end of the line (95 %)",
        said(of_reading),
        vec![
            format!(
                "At {} = {place} the line itself is known to {}; one more reading there would lie within {} in 95 cases of \
                 100.",
                x_axis.symbol,
                said(of_line),
                said(of_reading)
            ),
            "A line is known best in the middle of its points and worse towards its ends and beyond. Tick “95 % bands” under \
             the graph to see both."
                .to_owned(),
        ],
    ))
}

/// What it would be if the current was read and the balance set.
fn inverse(analysis: &Analysis) -> Option<Entry> {
    let (inverse, line) = (
        analysis.inverse_line.as_ref()?,
        analysis.best_line.as_ref()?,
    );
    let found = analysis.flux_density.as_ref()?;
    let flux_density = inverse.flux_density?;
    let apart = (inverse.gradient / line.gradient - 1.0) * 100.0;
    // On a good line the two are the same to all figures that anyone would write.
    if apart.abs() < 0.05 {
        return None;
    }
    let (x, y) = (&analysis.axes.x.symbol, &analysis.axes.y.symbol);
    Some(entry(
        "inverse",
        "If the current was what you read",
        tesla(flux_density, found.unit, 3),
        vec![
            format!(
                "Ordinary least squares blames all scatter on {y}. If {y} was set and {x} was read, the scatter is in {x}: the \
                 line of {x} on {y}, turned back, has b = {}, {} steeper.",
                with_unit(
                    &figures(inverse.gradient / gradient_unit_si(analysis), 4),
                    &gradient_unit(analysis)
                ),
                with_unit(&decimals(apart, 2), "%")
            ),
            "With uncertainties in both, choose “uncertainties in both directions” as the kind of line.".to_owned(),
        ],
    ))
}

/// The effective length of the field.
fn effective_length(analysis: &Analysis) -> Option<Entry> {
    let found = analysis.effective_length.as_ref()?;
    let mut lines = vec![
        "The field does not stop at the edge of the poles. This is the length of an even field, as strong as in the \
         middle, that would push as hard."
            .to_owned(),
        format!(
            "Integral of B along the wire, in straight pieces between {} places: {}.",
            found.places,
            product(found.integral, Some(found.integral_standard_uncertainty))
        ),
        format!(
            "Divided by B in the middle, {}: {}.",
            tesla(found.centre, unit_of(found.centre), 3),
            length(found)
        ),
    ];
    if let Some(balance) = found.from_balance {
        let own = found.from_balance_standard_uncertainty;
        let apart = (balance.abs() - found.integral.abs()).abs();
        let both = own.map(|u| {
            let v = found.integral_standard_uncertainty;
            2.0 * (u * u + v * v).sqrt()
        });
        let verdict = match both {
            Some(both) if apart <= both => "they agree",
            Some(_) => "they do not agree",
            None => "without an uncertainty nothing more can be said",
        };
        lines.push(format!(
            "The balance gives B × L without choosing a length at all: {}. Probe and balance: {verdict}.",
            product(balance, own)
        ));
    }
    if !found.used {
        lines.push(
            "It is not used yet: tick “Use it as L” below the walk, and B is worked out with it."
                .to_owned(),
        );
    }
    Some(entry(
        "effective-length",
        if found.used {
            "Effective length, used as L"
        } else {
            "Effective length"
        },
        length(found),
        lines,
    ))
}

/// The effective length in a line, to stand beside the walk; empty without one.
pub fn walk_in_a_line(analysis: &Analysis) -> String {
    analysis
        .effective_length
        .as_ref()
        .map_or(String::new(), |found| {
            format!(
                "Effective length {} from {} places.",
                length(found),
                found.places
            )
        })
}

fn length(found: &EffectiveLength) -> String {
    let u = Some(found.standard_uncertainty * 100.0);
    value_with_uncertainty(found.length * 100.0, u, "cm")
}

fn product(tesla_metres: f64, uncertainty: Option<f64>) -> String {
    value_with_uncertainty(tesla_metres * 1e3, uncertainty.map(|u| u * 1e3), "mT m")
}

/// What the simulation says, line by line.
pub fn simulation_lines(analysis: &Analysis, outcome: &MonteCarlo) -> Vec<String> {
    let Some(found) = analysis.flux_density.as_ref() else {
        return Vec::new();
    };
    let unit = found.unit;
    let per = if unit == "mT" { 1e-3 } else { 1.0 };
    let [low, high] = outcome.interval;
    let error = outcome.interval_error[0].max(outcome.interval_error[1]);
    let places = settled_decimals(error / per);
    let told = |value: f64| decimals(value / per, places);
    let mut lines = vec![format!(
        "In 95 of 100 simulated practicals B lies between {} and {} {unit}; another seed would move these ends by about {}.",
        told(low),
        told(high),
        tesla(error, unit, 1)
    )];
    if let Some(expanded) = found.expanded_uncertainty {
        let ends = (found.tesla - expanded, found.tesla + expanded);
        let wider = ((high - low) / (2.0 * expanded) - 1.0) * 100.0;
        lines.push(format!(
            "The budget says {} to {} {unit}: {}",
            told(ends.0),
            told(ends.1),
            match wider {
                _ if outcome.agrees => "the same, so the budget can be trusted.".to_owned(),
                wider if wider.abs() < 1.0 && outcome.shortest_interval[1] > ends.1 + expanded / 20.0 =>
                    "as wide, but not in the same place: the spread of B is lopsided.".to_owned(),
                wider if wider >= 0.5 => format!(
                    "the simulation is {} wider. With few readings the scatter itself is poorly known, and the budget makes \
                     a little light of that; give the simulated interval if it matters.",
                    with_unit(&decimals(wider, 0), "%")
                ),
                wider if wider <= -0.5 => format!(
                    "the simulation is {} narrower, so the budget is on the safe side.",
                    with_unit(&decimals(-wider, 0), "%")
                ),
                _ => "the ends differ by a little, because B depends on some quantity in a curved way.".to_owned(),
            }
        ));
    }
    lines.push(match outcome.standard_uncertainty {
        Some(standard) => format!(
            "Standard deviation of the simulated B: {} (budget: {}).",
            tesla(standard, unit, 2),
            found
                .standard_uncertainty
                .map_or("—".to_owned(), |u| tesla(u, unit, 2))
        ),
        None => "So few readings leave the simulated B no standard deviation at all: its tails are too long. The interval \
                 still holds."
            .to_owned(),
    });
    lines
}

fn unit_of(tesla: f64) -> &'static str {
    if tesla.abs() < 0.1 { "mT" } else { "T" }
}

/// A probability as a percentage that a reader can take in.
fn percent(probability: f64) -> String {
    let percent = probability * 100.0;
    if percent < 0.01 {
        return "less than 0.01 %".to_owned();
    }
    if percent > 99.9 {
        return "more than 99.9 %".to_owned();
    }
    with_unit(&figures(percent, 2), "%")
}

#[cfg(test)]
mod tests {
    use super::*;
    use yokeline_core::job::output::FluxDensity;
    use yokeline_core::job::{Apparatus, analyse};

    fn job(table: &str) -> Job {
        Job {
            table: table.to_owned(),
            apparatus: Apparatus {
                length: "5.0 cm".to_owned(),
                ..Apparatus::default()
            },
            ..Job::default()
        }
    }

    fn keys(entries: &[Entry]) -> Vec<&str> {
        entries.iter().map(|entry| entry.key.as_str()).collect()
    }

    const PLAIN: &str =
        "I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.34\n2.5\t0.41\n3.0\t0.50\n";

    #[test]
    fn a_plain_table_has_only_what_is_folded_away() {
        let job = job(PLAIN);
        let analysis = analyse(&job);
        assert!(of_result(&analysis).is_empty());
        assert_eq!(keys(&of_line(&job, &analysis))[..2], ["patterns", "band"]);
    }

    #[test]
    fn several_numbers_of_wires_have_one_field_and_grow_in_proportion() {
        let job = job(
            "N\tI / A\tm / g\n1\t1\t0.20\n1\t2\t0.41\n1\t3\t0.61\n1\t4\t0.80\n2\t1\t0.41\n2\t2\t0.81\n2\t3\t1.22\n2\t4\t1.61\n",
        );
        let analysis = analyse(&job);
        let found = of_result(&analysis);
        assert_eq!(keys(&found), ["joint"]);
        let joint = &found[0];
        assert!(
            joint
                .lines
                .iter()
                .any(|line| line.contains("number of wires")),
            "{joint:#?}"
        );
        assert!(joint.value.contains(" mT"), "{}", joint.value);
    }

    #[test]
    fn a_drift_is_told_by_the_minute() {
        let job = job(
            "t / min\tI / A\tm / g\n0\t0\t0.00\n1\t2\t1.22\n2\t0\t0.04\n3\t4\t2.46\n4\t0\t0.08\n5\t3\t1.90\n6\t0\t0.12\n",
        );
        let found = of_result(&analyse(&job));
        assert_eq!(keys(&found), ["drift"]);
        assert!(found[0].value.ends_with("g/min"), "{}", found[0].value);
    }

    fn simulated(interval: [f64; 2], agrees: bool) -> Vec<String> {
        let analysis = Analysis {
            flux_density: Some(FluxDensity {
                tesla: 0.0331,
                standard_uncertainty: Some(0.0005),
                expanded_uncertainty: Some(0.001),
                unit: "mT",
                ..FluxDensity::default()
            }),
            ..Analysis::default()
        };
        let outcome = MonteCarlo {
            interval,
            interval_error: [2e-6; 2],
            agrees,
            ..MonteCarlo::default()
        };
        simulation_lines(&analysis, &outcome)
    }

    #[test]
    fn the_simulation_is_told_beside_the_budget() {
        let lines = simulated([0.0321, 0.0341], true);
        assert!(
            lines[0].contains("between 32.10 and 34.10 mT"),
            "{}",
            lines[0]
        );
        assert!(lines[1].contains("can be trusted"), "{}", lines[1]);
        let wider = simulated([0.0316, 0.0346], false);
        assert!(wider[1].contains("50\u{a0}% wider"), "{}", wider[1]);
        let narrower = simulated([0.0323, 0.0339], false);
        assert!(narrower[1].contains("safe side"), "{}", narrower[1]);
        let lopsided = simulated([0.03218, 0.03418], false);
        assert!(!lopsided[1].contains("wider"), "{}", lopsided[1]);
        assert!(lines[2].contains("no standard deviation"), "{}", lines[2]);
    }
}
