//! Numbers in the units that people see, to as many figures as the working needs.
//!
//! Start at [`Scale::of`]. Everything that comes in is SI; everything that goes out is text with an upright minus.

use super::algebra::{Term, measure};
use super::{Found, Given};
use crate::field::FluxDensity;
use crate::figures::Unit;
use crate::figures::round::Digits;
use crate::figures::round::{
    decimals_for, scientific, shortest, to_decimals, to_significant, typeset, with_uncertainty,
};
use crate::readings::setup::Measured;
use crate::readings::{Ordinate, Readings, Varied};

/// The two axes in the units that people see.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    pub(super) x: Axis,
    pub(super) y: Axis,
}

/// One axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    /// The quantity in words.
    pub(super) quantity: &'static str,
    /// The letter that stands for it in sums; `x` where the quantity is itself a product.
    pub(super) letter: &'static str,
    /// What is written on the axis before the unit.
    pub(super) symbol: &'static str,
    /// The unit in SI; empty for a pure number.
    pub(super) si_unit: &'static str,
    /// Decimal places that the instrument gives.
    pub(super) decimals: i32,
    unit: Option<Unit>,
}

impl Scale {
    /// The axes of these readings.
    pub(super) fn of(readings: &Readings) -> Scale {
        let (quantity, letter, symbol, si_unit) = match readings.varied {
            Varied::Current => ("current", "I", "I", "A"),
            Varied::Length => ("total length of wire in the field", "x", "N L", "m"),
            Varied::Angle => ("sine of the angle between wire and field", "x", "sin θ", ""),
            Varied::Product => (
                "product of current and total length square to the field",
                "x",
                "N I L sin θ",
                "A m",
            ),
        };
        let x = Axis {
            quantity,
            letter,
            symbol,
            si_unit,
            decimals: readings.x_decimals,
            unit: readings.x_unit,
        };
        let (quantity, letter, si_unit) = match (readings.ordinate, readings.untared) {
            (Ordinate::Mass, false) => ("change of balance reading", "m", "kg"),
            (Ordinate::Mass, true) => ("balance reading", "m", "kg"),
            (Ordinate::Force, _) => ("force", "F", "N"),
        };
        let y = Axis {
            quantity,
            letter,
            symbol: letter,
            si_unit,
            decimals: readings.y_decimals,
            unit: readings.y_unit,
        };
        Scale { x, y }
    }

    /// A gradient in shown units.
    pub(super) fn gradient(&self, gradient_si: f64) -> f64 {
        self.y.shown(gradient_si * self.x.si(1.0))
    }

    /// The unit of the gradient: `g/A`.
    pub(super) fn gradient_unit(&self) -> String {
        per(self.y.unit(), self.x.unit())
    }

    /// The unit of the gradient in SI: `kg/A`.
    pub(super) fn gradient_si_unit(&self) -> String {
        per(self.y.si_unit, self.x.si_unit)
    }

    /// A gradient with its unit.
    pub(super) fn gradient_term(&self, gradient_si: f64, figures: u32) -> Term {
        measure(
            number(self.gradient(gradient_si), figures),
            &self.gradient_unit(),
        )
    }

    /// A gradient with its unit, as text.
    pub(super) fn gradient_text(&self, gradient_si: f64, figures: u32) -> String {
        self.gradient_term(gradient_si, figures).plain()
    }
}

impl Axis {
    /// The unit as printed; empty for a pure number.
    pub(super) fn unit(&self) -> &'static str {
        self.unit.map_or(self.si_unit, |unit| unit.symbol())
    }

    /// The power of ten from the shown unit to SI; `None` where it is not one.
    pub(super) fn exponent(&self) -> Option<i32> {
        self.unit.map_or(Some(0), |unit| unit.decimal_exponent())
    }

    /// An SI value in the shown unit.
    pub(super) fn shown(&self, si: f64) -> f64 {
        self.unit.map_or(si, |unit| unit.from_si(si))
    }

    /// A value in the shown unit in SI.
    pub(super) fn si(&self, shown: f64) -> f64 {
        self.unit.map_or(shown, |unit| unit.to_si(shown))
    }

    /// The axis title: `I / A`.
    pub(super) fn title(&self) -> String {
        headed(self.symbol, self.unit())
    }

    /// An SI value to a number of places beyond those of the instrument, without its unit.
    pub(super) fn text(&self, si: f64, more_decimals: i32) -> String {
        typeset(&to_decimals(self.shown(si), self.decimals + more_decimals))
    }

    /// The same with its unit.
    pub(super) fn with_unit(&self, si: f64, more_decimals: i32) -> String {
        super::algebra::with_unit(&self.text(si, more_decimals), self.unit())
    }

    /// An SI value to significant figures, with its unit.
    pub(super) fn term(&self, si: f64, figures: u32) -> Term {
        measure(number(self.shown(si), figures), self.unit())
    }
}

/// A heading: quantity / unit.
pub(super) fn headed(symbol: &str, unit: &str) -> String {
    if unit.is_empty() {
        symbol.to_owned()
    } else {
        format!("{symbol} / {unit}")
    }
}

/// One unit over another: `g/A`, `N/(A m)`, `g`.
pub(super) fn per(above: &str, below: &str) -> String {
    match below {
        "" => above.to_owned(),
        _ if below.contains(' ') || below.contains('/') => format!("{above}/({below})"),
        _ => format!("{above}/{below}"),
    }
}

/// A number to significant figures; with a power of ten where noughts would otherwise stand for figures.
pub(super) fn number(value: f64, figures: u32) -> String {
    let size = value.abs();
    let plain =
        value == 0.0 || !value.is_finite() || (size >= 1e-3 && decimals_for(value, figures) >= 0);
    typeset(&if plain {
        to_significant(value, figures)
    } else {
        scientific(value, figures)
    })
}

/// A percentage in mid-course: three figures.
pub(super) fn percentage(p: f64) -> Term {
    measure(number(p, 3), "%")
}

/// How many significant figures `value` has when its last one is at `decimals`; at least one.
fn figures_to(value: f64, decimals: i32) -> u32 {
    u32::try_from(decimals - decimals_for(value, 1) + 1)
        .unwrap_or(1)
        .max(1)
}

/// Figures for worked values: at least one more than the final answer has, and not fewer than four.
pub(super) fn working_figures(given: &Given, found: &Found) -> u32 {
    let Some(flux) = found.flux_density else {
        return 4;
    };
    let by = |u: Option<f64>, digits| {
        u.map_or(0, |u| {
            figures_to(flux.tesla, with_uncertainty(flux.tesla, u, digits).decimals)
        })
    };
    let school = if given.way.school() {
        by(flux.school_t, Digits::School)
    } else {
        0
    };
    let standard = if given.way.standard() {
        by(expanded_t(flux), Digits::School)
    } else {
        0
    };
    (school.max(standard) + 1).clamp(4, 12)
}

/// The uncertainty at 95 %, where it is known and says something.
pub(super) fn expanded_t(flux: &FluxDensity) -> Option<f64> {
    flux.budget
        .as_ref()
        .map(|b| b.expanded())
        .filter(|u| u.is_finite() && *u > 0.0)
}

/// The significant figures of the least precise datum that B is made from.
pub(super) fn data_figures(given: &Given, family: usize) -> u32 {
    let scale = Scale::of(given.readings);
    let typed = |m: &Option<Measured>| m.map_or(u32::MAX, |m| m.figure.significant);
    let largest = |axis: &Axis, value: fn(&crate::readings::Point) -> f64| {
        let points = given
            .readings
            .points
            .iter()
            .filter(|p| p.family == family && !p.excluded);
        let most = points
            .map(|p| axis.shown(value(p)).abs())
            .fold(0.0, f64::max);
        if most > 0.0 {
            figures_to(most, axis.decimals)
        } else {
            u32::MAX
        }
    };
    let fewest = typed(&given.setup.length)
        .min(typed(&given.setup.fixed_current))
        .min(largest(&scale.x, |p| p.x))
        .min(largest(&scale.y, |p| p.y));
    if fewest == u32::MAX {
        3
    } else {
        fewest.clamp(1, 6)
    }
}

/// Below this a flux density reads better in millitesla: 32.7 mT, but 0.478 T.
const SMALL_T: f64 = 0.1;

/// Whether a flux density reads better in millitesla.
pub(super) fn is_small(tesla: f64) -> bool {
    tesla.abs() < SMALL_T
}

/// A flux density with or without uncertainty, in T, and in mT where that reads better.
#[derive(Clone, Debug)]
pub(super) struct Stated {
    pub(super) tesla: Term,
    /// `None` where T reads better.
    pub(super) millitesla: Option<Term>,
}

impl Stated {
    /// `figures` serves where there is no uncertainty to round to.
    pub(super) fn new(
        tesla: f64,
        uncertainty_t: Option<f64>,
        digits: Digits,
        figures: u32,
    ) -> Stated {
        let stated = |unit: Unit| {
            let value = unit.from_si(tesla);
            let text = match uncertainty_t.filter(|u| *u > 0.0 && u.is_finite()) {
                Some(u) => format!("({})", with_uncertainty(value, unit.from_si(u), digits)),
                None => to_significant(value, figures),
            };
            measure(typeset(&text), unit.symbol())
        };
        Stated {
            tesla: stated(Unit::TESLA),
            millitesla: is_small(tesla).then(|| stated(Unit::MILLITESLA)),
        }
    }

    /// In the unit that reads better.
    pub(super) fn best(&self) -> String {
        self.millitesla.as_ref().unwrap_or(&self.tesla).plain()
    }
}

/// A flux density in mid-course, in the unit that reads better.
pub(super) fn flux_term(tesla: f64, figures: u32) -> Term {
    flux_beside(tesla, figures, tesla)
}

/// A flux density in the unit that suits another, beside which it stands: a difference, an uncertainty.
pub(super) fn flux_beside(tesla: f64, figures: u32, other_t: f64) -> Term {
    let unit = if is_small(other_t) {
        Unit::MILLITESLA
    } else {
        Unit::TESLA
    };
    measure(number(unit.from_si(tesla), figures), unit.symbol())
}

/// Figures that `value` needs, not fewer than `least`, for a small difference from its like to show three.
pub(super) fn figures_for_difference(value: f64, difference: f64, least: u32) -> u32 {
    figures_to(value, decimals_for(difference, 3)).clamp(least, 12)
}

/// A value as typed, with its unit, and with its half-width where one was typed.
pub(super) fn as_typed(measured: &Measured, default_unit: Unit) -> String {
    let unit = measured.figure.unit.unwrap_or(default_unit);
    let value = to_decimals(measured.figure.value, measured.figure.decimals);
    let text = match measured.half_width {
        Some(half) if half > 0.0 => {
            let half = short(unit.from_si(half));
            return typeset(&super::algebra::with_unit(
                &format!("({value} ± {half})"),
                unit.symbol(),
            ));
        }
        _ => super::algebra::with_unit(&value, unit.symbol()),
    };
    typeset(&text)
}

/// A value as typed without its half-width, as a term.
pub(super) fn typed_term(measured: &Measured, default_unit: Unit) -> Term {
    let unit = measured.figure.unit.unwrap_or(default_unit);
    measure(
        typeset(&to_decimals(
            measured.figure.value,
            measured.figure.decimals,
        )),
        unit.symbol(),
    )
}

/// A value as typed, moved to SI with its figures: 5.0 cm is 0.050.
pub(super) fn si_number(measured: &Measured, default_unit: Unit) -> String {
    let unit = measured.figure.unit.unwrap_or(default_unit);
    typeset(&match unit.decimal_exponent() {
        Some(exponent) => to_decimals(measured.si, measured.figure.decimals - exponent),
        None => to_significant(measured.si, measured.figure.significant.max(4)),
    })
}

/// A power of ten: `10⁻³`.
pub(super) fn power_of_ten(exponent: i32) -> String {
    let digits = exponent.to_string();
    let raised = digits.chars().map(|c| match c {
        '-' => '⁻',
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        other => other,
    });
    std::iter::once('1')
        .chain(std::iter::once('0'))
        .chain(raised)
        .collect()
}

/// The shortest text of a value, freed from the traces of binary arithmetic: twelve figures are more than anyone typed.
pub(super) fn short(value: f64) -> String {
    typeset(&shortest(
        to_significant(value, 12).parse().unwrap_or(value),
    ))
}
