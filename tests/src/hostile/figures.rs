//! A typed number: read, put into SI, rounded and written again.

use yokeline_core::figures::round::{
    Digits, percent, scientific, shortest, to_decimals, to_significant, typeset, with_uncertainty,
};
use yokeline_core::figures::{DecimalMark, Figure, Uncertainty, Unit};

use super::text;

/// The whole text is one number, or a unit, or neither.
pub fn figures(data: &[u8]) {
    let text = text(data);
    for mark in [DecimalMark::Either, DecimalMark::Point, DecimalMark::Comma] {
        match Figure::parse(&text, mark) {
            Ok(figure) => read(&figure),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
        if let Ok(Uncertainty::Absolute(figure) | Uncertainty::Percent(figure)) =
            Uncertainty::parse(&text, mark)
        {
            assert!(figure.value >= 0.0, "{figure:?}");
            read(&figure);
        }
    }
    if let Some(unit) = Unit::parse(&text) {
        assert_eq!(Unit::parse(unit.symbol()), Some(unit));
    }
    // Any bits at all are a number that has to be written.
    if let Some(Ok(bits)) = data.get(..8).map(<[u8; 8]>::try_from) {
        let value = f64::from_le_bytes(bits);
        written(value, i32::from(data.get(8).copied().unwrap_or(0)) - 128);
    }
}

/// What holds of every number that was read.
fn read(figure: &Figure) {
    assert!(figure.value.is_finite(), "{figure:?}");
    assert!(
        figure.value != 0.0 || figure.value.is_sign_positive(),
        "{figure:?}"
    );
    assert!(
        figure.uncertainty.is_none_or(|u| u.is_finite() && u >= 0.0),
        "{figure:?}"
    );
    assert!(figure.si().is_finite(), "{figure:?}");
    if let Some(unit) = figure.unit {
        let back = unit.from_si(unit.to_si(figure.value));
        assert!(
            near(back, figure.value, 1e-14) || back.abs() < 1e-300,
            "{figure:?} back is {back:e}"
        );
        let typed = format!("{} {}", shortest(figure.value), unit.symbol());
        let again = Figure::parse(&typed, DecimalMark::Point);
        assert!(
            matches!(again, Ok(f) if f.value == figure.value && f.unit == Some(unit)),
            "{typed}: {again:?}"
        );
    }
    if let Some(uncertainty) = figure.uncertainty {
        for digits in [Digits::School, Digits::One, Digits::Two] {
            let rounded = with_uncertainty(figure.value, uncertainty, digits);
            let text = rounded.to_string();
            assert!(text.len() < 1_000, "{text}");
            let again = Figure::parse(&typeset(&text), DecimalMark::Point);
            assert!(
                again.is_ok(),
                "{figure:?} is written {text}, which is no number: {again:?}"
            );
        }
    }
    written(figure.value, figure.decimals);
}

/// What holds of every number that is written.
fn written(value: f64, decimals: i32) {
    let texts = [
        shortest(value),
        to_decimals(value, decimals),
        to_significant(value, 3),
        scientific(value, 4),
        percent(value),
    ];
    for text in &texts {
        assert!(
            text.len() < 1_000,
            "{value:e} takes {} characters",
            text.len()
        );
    }
    if !value.is_finite() {
        assert_eq!(texts[0], "—");
        return;
    }
    let parsed =
        |text: &str| -> f64 { text.parse().unwrap_or_else(|_| panic!("{value:e}: {text}")) };
    assert_eq!(parsed(&texts[0]), value, "the fewest figures that name it");
    // Fifteen figures are trusted, and a number is rounded to those first.
    let half_place = 0.5 * 10f64.powi(-decimals.clamp(-400, 400));
    let off = (parsed(&texts[1]) - value).abs();
    assert!(
        off <= half_place * (1.0 + 1e-9) + value.abs() * 5.1e-15,
        "{value:e} to {decimals} is {}",
        texts[1]
    );
    // The largest numbers of all round to more than an `f64` holds.
    let rounds = value.abs() < 1e308;
    assert!(
        !rounds || near(parsed(&texts[2]), value, 0.006),
        "{value:e} to three figures is {}",
        texts[2]
    );
    // What is printed can be typed again, but for numbers beyond what is read.
    let again = Figure::parse(&typeset(&texts[3]), DecimalMark::Point);
    assert!(
        again.as_ref().is_ok_and(|f| near(f.value, value, 0.0006))
            || !(1e-290..1e290).contains(&value.abs()),
        "{value:e} with a power of ten is {}: {again:?}",
        texts[3]
    );
}

fn near(one: f64, other: f64, relative: f64) -> bool {
    (one - other).abs() <= relative * other.abs()
}
