//! The uncertainties that the plan foretells, against what thousands of runs give.

use yokeline_core::job::work;
use yokeline_core::plan::Plan;
use yokeline_core::plan::output::Expected;
use yokeline_tests::close;

use crate::chance::{Chance, trials};
use crate::{as_expected, bench, expected, job};

const RUNS: usize = 3000;

/// One run: B, and its standard uncertainty as the analysis finds it.
struct Run {
    tesla: f64,
    standard_t: f64,
}

/// What is true on the bench of a plan; the plan's own texts carry the same numbers.
struct Truth {
    noise_g: f64,
    step_g: f64,
    ammeter_step_a: f64,
    repeats: usize,
    u_length_cm: f64,
}

fn runs(design: &str, asked: &Plan, truth: &Truth, foretold: &Expected) -> Vec<Run> {
    trials(design, RUNS, |chance| {
        let length_cm = 5.0 + truth.u_length_cm * chance.normal();
        let mut measured = asked.clone();
        measured.apparatus.length = format!("{length_cm:.6} cm");
        let rows: Vec<(String, Vec<String>)> = foretold
            .readings
            .iter()
            .map(|row| {
                let off_a = truth.ammeter_step_a * (chance.unit() - 0.5);
                let push_g = foretold.gradient_g_per_a * (row.current + off_a);
                let readings = (0..truth.repeats).map(|_| reading(chance, push_g, truth));
                (row.current_text.clone(), readings.collect())
            })
            .collect();
        let working = work(&job(&measured, &rows));
        let found = working.series[0].flux_density.as_ref().unwrap();
        Run {
            tesla: found.tesla,
            standard_t: found.budget.as_ref().unwrap().combined,
        }
    })
}

/// The difference of two readings, each shown in whole steps: the balance before and with the current.
fn reading(chance: &mut Chance, push_g: f64, truth: &Truth) -> String {
    let zero_g = chance.between(0.0, 100.0 * truth.step_g);
    let with_g = zero_g + push_g + truth.noise_g * chance.normal();
    let steps = |value: f64| (value / truth.step_g).round();
    let shown_g = (steps(with_g) - steps(zero_g)) * truth.step_g + 0.0;
    format!("{shown_g:.3}")
}

#[track_caller]
fn spread_is_as_foretold(design: &str, mut asked: Plan, truth: Truth) {
    let gram = |value: f64| format!("{value} g");
    asked.apparatus.balance_resolution = gram(truth.step_g);
    asked.noise = gram(truth.noise_g);
    asked.repeats = truth.repeats.to_string();
    if truth.u_length_cm > 0.0 {
        asked.apparatus.length_uncertainty = format!("{} cm", truth.u_length_cm);
    }
    if truth.ammeter_step_a > 0.0 {
        asked.apparatus.current_resolution = format!("{} A", truth.ammeter_step_a);
    }
    let foretold = expected(&asked);
    let standard = foretold.standard.unwrap();
    let found = runs(design, &asked, &truth, &foretold);
    let count = found.len() as f64;
    let mean = found.iter().map(|r| r.tesla).sum::<f64>() / count;
    let square = |r: &Run| (r.tesla - mean) * (r.tesla - mean);
    let spread = (found.iter().map(square).sum::<f64>() / (count - 1.0)).sqrt();
    let stated = (found
        .iter()
        .map(|r| r.standard_t * r.standard_t)
        .sum::<f64>()
        / count)
        .sqrt();
    println!(
        "{design}: foretold {:.4} %, spread {:.4} %, stated by the analysis {:.4} %",
        standard.percent,
        100.0 * spread / mean,
        100.0 * stated / mean
    );
    close(design, mean, foretold.flux_density, 0.01);
    close(design, standard.uncertainty, spread, 0.05);
    close(design, standard.uncertainty, stated, 0.05);
}

#[test]
fn scatter_and_length() {
    let truth = Truth {
        noise_g: 0.02,
        step_g: 0.01,
        ammeter_step_a: 0.0,
        repeats: 1,
        u_length_cm: 0.05,
    };
    spread_is_as_foretold("scatter", bench("40 mT", "0.5 A to 5 A", ""), truth);
}

/// With no scatter at all the rounding depends on the currents that happen to be set; a little makes it a matter of chance.
#[test]
fn steps_and_a_little_scatter() {
    let truth = Truth {
        noise_g: 0.04,
        step_g: 0.1,
        ammeter_step_a: 0.0,
        repeats: 1,
        u_length_cm: 0.0,
    };
    spread_is_as_foretold("steps", bench("90 mT", "0 A to 8 A", ""), truth);
}

#[test]
fn three_repeats() {
    let truth = Truth {
        noise_g: 0.04,
        step_g: 0.01,
        ammeter_step_a: 0.0,
        repeats: 3,
        u_length_cm: 0.02,
    };
    spread_is_as_foretold("repeats", bench("40 mT", "0.5 A to 5 A", ""), truth);
}

#[test]
fn a_coarse_ammeter() {
    let truth = Truth {
        noise_g: 0.002,
        step_g: 0.001,
        ammeter_step_a: 0.1,
        repeats: 1,
        u_length_cm: 0.0,
    };
    spread_is_as_foretold("ammeter", bench("200 mT", "0.5 A to 5 A", ""), truth);
}

/// The school rule has no chance in it: the table as it is foretold gives what is foretold.
#[test]
fn school_uncertainty_of_the_expected_table() {
    for (design, flux_density, currents, balance, ammeter, wires, angle) in [
        ("plain", "32.7 mT", "0.5 A to 5 A", "0.01 g", "", "1", ""),
        ("from none", "32.7 mT", "5 A", "0.01 g", "", "2", ""),
        (
            "boxes",
            "0.2 T",
            "0.5 A to 5 A",
            "0.001 g",
            "0.05 A",
            "1",
            "",
        ),
        (
            "both ways",
            "45 mT",
            "-3 A to 3 A",
            "0.02 g",
            "",
            "3",
            "60° ± 2°",
        ),
        ("coarse", "30 mT", "2 A", "0.05 g", "0.01 A", "4", ""),
    ] {
        let mut asked = bench(flux_density, currents, balance);
        asked.apparatus.length_uncertainty = "1 mm".into();
        asked.apparatus.current_resolution = ammeter.into();
        asked.apparatus.wires = wires.into();
        asked.apparatus.angle = angle.into();
        asked.apparatus.gravity = "9.81 ± 0.01".into();
        asked.apparatus.current_calibration = "0.5 %".into();
        let foretold = expected(&asked).school.expect(design);
        let working = work(&as_expected(&asked));
        let found = working.series[0].flux_density.as_ref().unwrap();
        let percent = 100.0 * found.school_t.unwrap() / found.tesla;
        println!("{design}: {percent:.4} %");
        close(design, foretold.percent, percent, 1e-9);
        let sum: f64 = foretold.parts.iter().map(|p| p.percent).sum();
        close(design, sum, percent, 1e-9);
    }
}
