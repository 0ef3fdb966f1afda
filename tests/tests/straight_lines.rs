//! Straight lines against published sets and reference values.

use yokeline_core::line::student;
use yokeline_core::line::{Datum, LineError, both_errors, least_squares, weighted};
use yokeline_tests::{close, columns};

/// Thirteen digits.
const CERTIFIED: f64 = 1e-13;

fn points(file: &str) -> Vec<Datum> {
    let columns = columns(file);
    let pairs = columns[0].iter().zip(&columns[1]);
    pairs
        .map(|(x, y)| Datum {
            x: *x,
            y: *y,
            ..Datum::default()
        })
        .collect()
}

/// NIST Statistical Reference Datasets, linear least squares, Norris (calibration of ozone monitors); certified values.
#[test]
fn norris() {
    let fitted = least_squares::fit(&points("reference/norris.csv")).unwrap();
    close(
        "gradient",
        fitted.line.gradient,
        1.00211681802045,
        CERTIFIED,
    );
    close(
        "intercept",
        fitted.line.intercept,
        -0.262323073774029,
        CERTIFIED,
    );
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.429796848199937E-03,
        CERTIFIED,
    );
    close(
        "se intercept",
        fitted.intercept_error.unwrap(),
        0.232818234301152,
        CERTIFIED,
    );
    close(
        "residual sd",
        fitted.residual_sd.unwrap(),
        0.884796396144373,
        CERTIFIED,
    );
    close(
        "R²",
        fitted.r_squared_about_mean.unwrap(),
        0.999993745883712,
        CERTIFIED,
    );
    // Not certified; worked out with 50 figures from the certified data.
    close(
        "covariance",
        fitted.covariance.unwrap(),
        -0.0000774327536315643622,
        CERTIFIED,
    );
    assert_eq!(fitted.degrees_of_freedom, 34);
}

/// NIST Statistical Reference Datasets, linear least squares, NoInt1 and NoInt2 (no intercept); certified values. The
/// certified R² is about zero.
#[test]
fn through_the_origin() {
    let fitted = least_squares::through_origin(&points("reference/noint1.csv")).unwrap();
    close(
        "gradient",
        fitted.line.gradient,
        2.07438016528926,
        CERTIFIED,
    );
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.165289256198347E-01,
        CERTIFIED,
    );
    close(
        "residual sd",
        fitted.residual_sd.unwrap(),
        3.56753034006338,
        CERTIFIED,
    );
    close(
        "R² about zero",
        fitted.r_squared_about_zero.unwrap(),
        0.999365492298663,
        CERTIFIED,
    );
    // The same forced line judged about the mean is worse than no line at all (worked out with 50 figures).
    close(
        "R² about the mean",
        fitted.r_squared_about_mean.unwrap(),
        -0.157024793388430,
        1e-12,
    );
    assert_eq!(fitted.degrees_of_freedom, 10);

    let fitted = least_squares::through_origin(&points("reference/noint2.csv")).unwrap();
    close(
        "gradient",
        fitted.line.gradient,
        0.727272727272727,
        CERTIFIED,
    );
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.420827318078432E-01,
        CERTIFIED,
    );
    close(
        "residual sd",
        fitted.residual_sd.unwrap(),
        0.369274472937998,
        CERTIFIED,
    );
    close(
        "R² about zero",
        fitted.r_squared_about_zero.unwrap(),
        0.993348115299335,
        CERTIFIED,
    );

    // With a free intercept NoInt1 lies exactly on y = x + 70.
    let free = least_squares::fit(&points("reference/noint1.csv")).unwrap();
    assert_eq!((free.line.gradient, free.line.intercept), (1.0, 70.0));
    assert_eq!(free.residual_sd, Some(0.0));
}

/// Sets made for the purpose (not published): a huge offset in x, and an untared balance. Truth worked out with 50
/// figures from the stored numbers.
#[test]
fn offsets_cost_no_digits() {
    let fitted = least_squares::fit(&points("reference/synthetic_offset_x.csv")).unwrap();
    close(
        "gradient",
        fitted.line.gradient,
        2.746940559440559,
        CERTIFIED,
    );
    close(
        "intercept",
        fitted.line.intercept,
        -2746940552.1863527,
        CERTIFIED,
    );
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.010142308903734522,
        CERTIFIED,
    );
    close(
        "residual sd",
        fitted.residual_sd.unwrap(),
        0.030321093601984077,
        CERTIFIED,
    );

    let fitted = least_squares::fit(&points("reference/synthetic_offset_y.csv")).unwrap();
    // The decimals of this set are not exact in binary, which alone costs the last digits.
    close("gradient", fitted.line.gradient, 0.5209090909090909, 1e-11);
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.0024204515815413161,
        1e-9,
    );
}

/// A balance that drifts by 0.01 g a minute against clock time in milliseconds since 1970 (trouble reported for
/// simple-statistics, pull request 857, and vega, issue 3881); the gradient is 0.01/60000 by construction.
#[test]
fn time_stamps_as_x() {
    let data: Vec<Datum> = (0..11)
        .map(|k| Datum {
            x: 1.7e12 + 60_000.0 * f64::from(k),
            y: f64::from(k) / 100.0,
            ..Datum::default()
        })
        .collect();
    let fitted = least_squares::fit(&data).unwrap();
    close("gradient", fitted.line.gradient, 0.01 / 60_000.0, 1e-12);
    close("R²", fitted.r_squared_about_mean.unwrap(), 1.0, 1e-12);
}

/// JCGM 100:2008 annex H.3, calibration of a thermometer: published figures, to the digits printed.
#[test]
fn thermometer_of_the_gum() {
    let data: Vec<Datum> = points("reference/thermometer.csv")
        .into_iter()
        .map(|d| Datum { x: d.x - 20.0, ..d })
        .collect();
    let fitted = least_squares::fit(&data).unwrap();
    close("y1", fitted.line.intercept, -0.1712, 0.5e-4 / 0.1712);
    close("y2", fitted.line.gradient, 0.00218, 0.5e-5 / 0.00218);
    let (u1, u2) = (
        fitted.intercept_error.unwrap(),
        fitted.gradient_error.unwrap(),
    );
    close("u(y1)", u1, 0.0029, 0.5e-4 / 0.0029);
    close("u(y2)", u2, 0.00067, 0.5e-5 / 0.00067);
    close(
        "r",
        fitted.covariance.unwrap() / (u1 * u2),
        -0.930,
        0.5e-3 / 0.930,
    );
    assert_eq!(fitted.degrees_of_freedom, 9);
}

fn pearson_york() -> Vec<Datum> {
    let c = columns("reference/pearson_york.csv");
    (0..c[0].len())
        .map(|i| Datum {
            x: c[0][i],
            y: c[2][i],
            u_x: 1.0 / c[1][i].sqrt(),
            u_y: 1.0 / c[3][i].sqrt(),
            ..Datum::default()
        })
        .collect()
}

/// Pearson's points of 1901 with York's weights. Line: Williamson's method as tabulated in the documentation of the
/// Kapteyn package. Standard errors: York, Evensen, López Martínez, De Basabe Delgado, Am. J. Phys. 72 (2004) 367,
/// table II, stated weights at face value; more digits from an independent recomputation.
#[test]
fn errors_in_both_coordinates() {
    let fitted = both_errors::fit(&pearson_york()).unwrap();
    close("gradient", fitted.line.gradient, -0.48053340745, 1e-11);
    close("intercept", fitted.line.intercept, 5.47991022403, 1e-11);
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.0579850090,
        1e-8,
    );
    close(
        "se intercept",
        fitted.intercept_error.unwrap(),
        0.294970735,
        1e-8,
    );
    close(
        "reduced chi²",
        fitted.chi_squared.unwrap() / 8.0,
        1.483294149,
        1e-9,
    );
    close(
        "covariance",
        fitted.covariance.unwrap(),
        -0.0164725446581158,
        1e-8,
    );
}

/// The same points with the weights in y alone: worked out with 50 figures.
#[test]
fn weights_in_y() {
    let fitted = weighted::fit(&pearson_york()).unwrap();
    close(
        "gradient",
        fitted.line.gradient,
        -0.610812956583933565,
        CERTIFIED,
    );
    close(
        "intercept",
        fitted.line.intercept,
        6.10010931666575650,
        CERTIFIED,
    );
    close(
        "se gradient",
        fitted.gradient_error.unwrap(),
        0.030087448837191119,
        1e-12,
    );
    close(
        "se intercept",
        fitted.intercept_error.unwrap(),
        0.204662685810593631,
        1e-12,
    );
    close(
        "chi²",
        fitted.chi_squared.unwrap(),
        34.3452074983243508,
        1e-12,
    );
}

/// Student's t: NIST Technical Note 1297 (1994), table B.1, to the digits printed, and 20-digit values.
#[test]
fn student_t() {
    let table = columns("reference/student_t_table.csv");
    for (dof, t95) in table[0].iter().zip(&table[3]) {
        let found = student::two_sided(0.95, *dof);
        assert!(
            (found - t95).abs() <= 0.00501,
            "{dof}: {found} against {t95}"
        );
    }
    let fine = columns("reference/student_t_20_digits.csv");
    for (i, dof) in fine[0].iter().enumerate() {
        close("t 95", student::two_sided(0.95, *dof), fine[1][i], 1e-12);
        close("t 99", student::two_sided(0.99, *dof), fine[2][i], 1e-12);
    }
    close(
        "normal",
        student::two_sided(0.95, f64::INFINITY),
        1.959963984540054,
        1e-12,
    );
    assert!(student::two_sided(0.95, 0.0).is_nan());
}

/// What cannot give a line is refused; what can gives no uncertainty of zero (mathematics; troubles reported for
/// scipy, pull requests 7007 and 24742 and issues 14662, 10896 and 25339).
#[test]
fn degenerate_sets() {
    let set = |xs: &[f64], ys: &[f64]| -> Vec<Datum> {
        xs.iter()
            .zip(ys)
            .map(|(x, y)| Datum {
                x: *x,
                y: *y,
                ..Datum::default()
            })
            .collect()
    };
    let fit = |xs: &[f64], ys: &[f64]| least_squares::fit(&set(xs, ys));
    assert_eq!(
        fit(&[0.0125; 3], &[0.31, 0.33, 0.32]),
        Err(LineError::NoSpread)
    );
    assert_eq!(fit(&[0.0125; 3], &[0.0125; 3]), Err(LineError::NoSpread));
    assert_eq!(
        fit(&[1.0000000000000002, 1.0, 1.0], &[0.3, 0.2, 0.1]),
        Err(LineError::NoSpread)
    );
    assert_eq!(
        fit(&[1.0], &[0.61]),
        Err(LineError::TooFew {
            points: 1,
            needed: 2
        })
    );
    assert_eq!(
        fit(&[], &[]),
        Err(LineError::TooFew {
            points: 0,
            needed: 2
        })
    );

    let two = fit(&[0.0, 3.0], &[0.0, 1.82]).unwrap();
    close("gradient", two.line.gradient, 0.606666666666667, 1e-14);
    assert_eq!(
        (two.line.intercept, two.gradient_error, two.residual_sd),
        (0.0, None, None)
    );
    assert_eq!(two.r_squared_about_mean, None);

    for y in [66094598367756.0, 0.0] {
        let level = fit(&[0.0, 1.0, 2.0, 3.0], &[y; 4]).unwrap();
        assert_eq!((level.line.gradient, level.line.intercept), (0.0, y));
        assert_eq!(level.r_squared_about_mean, None);
    }
}
