//! What a line is worth: how well it is known at one x, whether its scatter fits the stated uncertainties, and what its
//! residuals show; each against published figures.

#![allow(clippy::excessive_precision)] // Reference values keep the digits that they were printed with.

use yokeline_core::job::{Apparatus, Job, analyse};
use yokeline_core::line::band::Band;
use yokeline_core::line::{Datum, both_errors, least_squares, residual_tests};
use yokeline_tests::{close, columns};

/// JCGM 100:2008 annex H.3: the correction of a thermometer at 30 °C, outside the readings, is -0.1494 °C with a standard
/// uncertainty of 0.0041 °C. More digits, and the standard deviation of a new reading there: worked out with 50 figures.
#[test]
fn the_prediction_of_the_gum() {
    let columns = columns("reference/thermometer.csv");
    let points: Vec<Datum> = columns[0]
        .iter()
        .zip(&columns[1])
        .map(|(t, b)| Datum {
            x: t - 20.0,
            y: *b,
            ..Datum::default()
        })
        .collect();
    let fitted = least_squares::fit(&points).unwrap();
    let band = Band::of(&fitted, 0.95).unwrap();
    close("b(30)", fitted.line.at(10.0), -0.149376812732477197, 1e-12);
    close(
        "u(b(30))",
        band.standard_error(10.0),
        0.00413859575285494741,
        1e-10,
    );
    let s = fitted.residual_sd.unwrap();
    close(
        "a new reading at 30",
        band.half_width_of_reading(10.0, s) / band.factor,
        0.00541857255043796575,
        1e-10,
    );
    // t for nine degrees of freedom: 2.262, as printed in NIST TN 1297, table B.1.
    close("t", band.factor, 2.262, 5e-4);
}

fn pearson_york() -> Vec<Datum> {
    let columns = columns("reference/pearson_york.csv");
    (0..columns[0].len())
        .map(|i| Datum {
            x: columns[0][i],
            y: columns[2][i],
            u_x: 1.0 / columns[1][i].sqrt(),
            u_y: 1.0 / columns[3][i].sqrt(),
            ..Datum::default()
        })
        .collect()
}

/// Pearson's points of 1901 with York's weights, both published conventions of the standard errors. Face value: York and
/// others, Am. J. Phys. 72 (2004) 367, table II, as printed in the tests of the package bfsl. Times √(χ²/8): the tests of
/// the package LinearFitXYerrors.
#[test]
fn both_conventions_for_stated_uncertainties() {
    let known = both_errors::fit(&pearson_york()).unwrap();
    close("b", known.gradient_error.unwrap(), 0.0579850090, 1e-8);
    close("a", known.intercept_error.unwrap(), 0.294970735, 1e-8);
    assert!(known.error_degrees_of_freedom.is_infinite());
    let relative = known.rescaled().unwrap();
    close(
        "b",
        relative.gradient_error.unwrap(),
        0.070620269528771,
        1e-9,
    );
    close(
        "a",
        relative.intercept_error.unwrap(),
        0.359246522551112,
        1e-9,
    );
    assert_eq!(relative.error_degrees_of_freedom, 8.0);
    close("χ²/ν", known.chi_squared.unwrap() / 8.0, 1.483294149, 1e-9);
    // The same line and the same chi-squared: only the errors are another size.
    assert_eq!(relative.line, known.line);
    // Worked out with SciPy 1.17.1: chi2.sf(11.866353194061445, 8).
    close(
        "P",
        known.chi_squared_probability().unwrap(),
        0.1572672286912585,
        1e-9,
    );
}

/// Every number of runs for two kinds of sign in exact fractions: A. Wald and J. Wolfowitz, Ann. Math. Stat. 11 (1940) 147,
/// formula; the cumulative figures printed for 10 and 10 signs and for 5 and 5 are among them to three places.
#[test]
fn runs_of_signs() {
    let table = columns("reference/runs_exact.csv");
    let mut seen = 0;
    for (i, above) in table[0].iter().enumerate() {
        let (above, below) = (*above as usize, table[1][i] as usize);
        let runs = table[2][i] as usize;
        let signs = arrangement(above, below, runs);
        let found = residual_tests::runs(&signs).unwrap();
        assert_eq!((found.above, found.below, found.runs), (above, below, runs));
        let probability = table[3][i] / table[4][i];
        close("at most", found.at_most, table[5][i], 1e-9);
        let at_least = 1.0 - table[5][i] + probability;
        assert!((found.at_least - at_least).abs() < 1e-9);
        seen += 1;
    }
    assert!(seen > 90);
    for (above, below, runs, printed) in [
        (10, 10, 6, 0.019),
        (10, 10, 7, 0.051),
        (10, 10, 8, 0.128),
        (10, 10, 14, 0.949),
        (10, 10, 15, 0.981),
        (5, 5, 4, 0.167),
        (5, 5, 3, 0.040),
    ] {
        let found = residual_tests::runs(&arrangement(above, below, runs)).unwrap();
        assert!((found.at_most - printed).abs() < 0.0006, "{runs} runs");
    }
}

/// Some row of signs with these numbers of each and so many runs.
fn arrangement(above: usize, below: usize, runs: usize) -> Vec<f64> {
    // The kind with more runs goes first; its last run takes what is left.
    let above_first = above >= below;
    let (first, second) = (runs.div_ceil(2), runs / 2);
    let (of_first, of_second) = if above_first {
        (above, below)
    } else {
        (below, above)
    };
    let sign = if above_first { 1.0 } else { -1.0 };
    let mut signs = Vec::new();
    for run in 0..runs {
        let (own, count, runs_of_kind, sign) = if run % 2 == 0 {
            (run / 2, of_first, first, sign)
        } else {
            (run / 2, of_second, second, -sign)
        };
        let length = if own + 1 == runs_of_kind {
            count + 1 - runs_of_kind
        } else {
            1
        };
        signs.extend(std::iter::repeat_n(sign, length));
    }
    signs
}

/// Eight points on a curve, in exact fractions: d = 1873/2676, three runs, P(R ≤ 3) = 4/35; d lies below the bounds 0.763
/// and 1.332 that are printed for n = 8 at 5 % (N. E. Savin and K. J. White, Econometrica 45 (1977) 1989, as quoted in
/// Adv. Meteorol. 2011, 543146, table 3).
#[test]
fn a_curve_under_a_straight_line() {
    let columns = columns("reference/curved_example.csv");
    let points: Vec<Datum> = columns[0]
        .iter()
        .zip(&columns[1])
        .map(|(x, y)| Datum {
            x: *x,
            y: *y,
            ..Datum::default()
        })
        .collect();
    let fitted = least_squares::fit(&points).unwrap();
    let found = residual_tests::of(&fitted.line, &points, false).unwrap();
    close("d", found.durbin_watson, 1873.0 / 2676.0, 1e-12);
    assert!(found.durbin_watson < 0.763);
    let runs = found.runs.unwrap();
    assert_eq!(runs.runs, 3);
    close("P", runs.at_most, 4.0 / 35.0, 1e-12);
    // d = 2 - 2r - (e₁² + eₙ²)/Σe² by its definition, with e₁ = -11/6, eₙ = -5/3 and Σe² = 223/21.
    let ends = (121.0 / 36.0 + 25.0 / 9.0) * 21.0 / 223.0;
    close(
        "r",
        found.lag_1,
        (2.0 - 1873.0 / 2676.0 - ends) / 2.0,
        1e-12,
    );
}

/// A rider of 1.8 g set at steps along an arm of 100 mm and the current read that balances it, wire 5 cm (a published
/// school article's readings): F on I gives 0.0061436 N/A and 0.12287 T, the line of I on F turned back 0.0062082 N/A and
/// 0.12416 T. Worked out with 50 figures.
#[test]
fn the_line_the_other_way_round() {
    let readings = yokeline_tests::data("measured/rider_positions.tsv");
    let mut table = "I / A\tF / N\n".to_owned();
    for line in readings.lines().skip(1) {
        let cells: Vec<f64> = line
            .split('\t')
            .map(|c| c.trim().parse().unwrap())
            .collect();
        let force_n = cells[0] / 100.0 * 1.8e-3 * 9.81;
        table += &format!("{}\t{force_n}\n", cells[1]);
    }
    let job = Job {
        table,
        apparatus: Apparatus {
            length: "5.0 cm".into(),
            ..Apparatus::default()
        },
        ..Job::default()
    };
    let analysis = analyse(&job);
    let best = analysis.best_line.unwrap();
    close("F on I", best.gradient, 0.006143596306313, 1e-11);
    let inverse = analysis.inverse_line.unwrap();
    close("I on F", inverse.gradient, 0.0062082370668006, 1e-11);
    close("B", inverse.flux_density.unwrap(), 0.12416474133601, 1e-11);
    // Both lines pass through the mean.
    close(
        "r²",
        best.gradient / inverse.gradient,
        0.98958790397466,
        1e-11,
    );
}
