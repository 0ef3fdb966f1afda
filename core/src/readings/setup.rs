//! The apparatus, from typed text to SI.
//!
//! Start at [`read`]. A field that is empty keeps its usual value (one wire, a right angle, 9.81 m/s²); one that
//! cannot be read does too, and says so.

use crate::figures::{DecimalMark, Figure, FigureError, Quantity, Uncertainty, Unit, excerpt};

use super::Remark;

/// The fields of the apparatus as typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Typed<'a> {
    /// Length of one wire in the field.
    pub length: &'a str,
    /// Its uncertainty.
    pub length_uncertainty: &'a str,
    /// How many wires side by side.
    pub wires: &'a str,
    /// Angle between wire and field.
    pub angle: &'a str,
    /// Free fall acceleration.
    pub gravity: &'a str,
    /// Force over balance force.
    pub lever_ratio: &'a str,
    /// One step of the balance.
    pub balance_resolution: &'a str,
    /// One step of the ammeter.
    pub current_resolution: &'a str,
    /// How far the balance's scale may be wrong, in per cent of the reading.
    pub balance_calibration: &'a str,
    /// The same for the ammeter.
    pub current_calibration: &'a str,
    /// The current when another quantity is varied.
    pub fixed_current: &'a str,
    /// The flux density to compare with.
    pub probe: &'a str,
    /// Its uncertainty.
    pub probe_uncertainty: &'a str,
}

/// A quantity as typed and in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// As typed, with its figures; a bare number has been given its unit.
    pub figure: Figure,
    /// SI (angles in radians).
    pub si: f64,
    /// Half-width as typed, SI.
    pub half_width: Option<f64>,
}

/// Wire, angle, gravity and instruments, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Length of one wire in the field, m.
    pub length: Option<Measured>,
    /// How many wires side by side.
    pub wires: f64,
    /// Angle between wire and field, rad; `None` when not typed (a right angle).
    pub angle: Option<Measured>,
    /// Free fall acceleration, m/s²; `None` when not typed (9.81).
    pub gravity: Option<Measured>,
    /// Force over balance force.
    pub lever_ratio: f64,
    /// One step of the balance, kg or N.
    pub balance_resolution: Option<Measured>,
    /// One step of the ammeter, A.
    pub current_resolution: Option<Measured>,
    /// How far the balance's scale may be wrong, as a fraction of the reading.
    pub balance_calibration: Option<f64>,
    /// The same for the ammeter.
    pub current_calibration: Option<f64>,
    /// The current when another quantity is varied, A.
    pub fixed_current: Option<Measured>,
    /// The flux density to compare with, T.
    pub probe: Option<Measured>,
}

impl Default for Setup {
    fn default() -> Self {
        Setup {
            length: None,
            wires: 1.0,
            angle: None,
            gravity: None,
            lever_ratio: 1.0,
            balance_resolution: None,
            current_resolution: None,
            balance_calibration: None,
            current_calibration: None,
            fixed_current: None,
            probe: None,
        }
    }
}

impl Setup {
    /// g in m/s²: 9.81 unless typed (common practice in schools, no source).
    pub fn gravity_m_per_s2(&self) -> f64 {
        self.gravity.map_or(9.81, |g| g.si)
    }

    /// sin θ, exactly 1 at a right angle.
    pub fn sin_angle(&self) -> f64 {
        self.angle.map_or(1.0, |a| libm::sin(a.si))
    }
}

/// Reads the fields, adding to `remarks` what could not be read and what was assumed.
pub fn read(typed: &Typed, remarks: &mut Vec<Remark>) -> Setup {
    let mut setup = Setup::default();
    let mut field = |name, text, rule| measured(name, text, rule, remarks);
    // No yoke is 30 cm long: a bare 50 is in mm, a bare 5 in cm.
    let centimetres_or_millimetres = |v: f64| {
        if v.abs() < 30.0 {
            Unit::CENTIMETRE
        } else {
            Unit::MILLIMETRE
        }
    };
    let amperes = |_: f64| Unit::AMPERE;
    setup.length = field(
        "length",
        typed.length,
        Rule::above_zero(Quantity::Length, "5.0 cm", centimetres_or_millimetres, true),
    );
    setup.angle = field(
        "angle",
        typed.angle,
        Rule::any(Quantity::Angle, "90°", |_| Unit::DEGREE),
    );
    setup.gravity = field(
        "gravity",
        typed.gravity,
        Rule::above_zero(
            Quantity::Acceleration,
            "9.81 m/s²",
            |_| Unit::METRE_PER_SECOND_SQUARED,
            false,
        ),
    );
    setup.balance_resolution = field(
        "balance_resolution",
        typed.balance_resolution,
        Rule::above_zero(Quantity::Mass, "0.01 g", |_| Unit::GRAM, true).or(Quantity::Force),
    );
    setup.current_resolution = field(
        "current_resolution",
        typed.current_resolution,
        Rule::above_zero(Quantity::Current, "0.01 A", amperes, false),
    );
    setup.fixed_current = field(
        "fixed_current",
        typed.fixed_current,
        Rule::any(Quantity::Current, "3.0 A", amperes),
    );
    // School magnets give tens of millitesla: a bare 32 is in mT and a bare 0.032 in T.
    let tesla_or_millitesla = |v: f64| {
        if v.abs() < 1.0 {
            Unit::TESLA
        } else {
            Unit::MILLITESLA
        }
    };
    setup.probe = field(
        "probe_reading",
        typed.probe,
        Rule::any(Quantity::FluxDensity, "32 mT", tesla_or_millitesla).telling(),
    );
    half_width(
        "length_uncertainty",
        typed.length_uncertainty,
        &mut setup.length,
        "0.1 cm or 2 %",
        remarks,
    );
    half_width(
        "probe_uncertainty",
        typed.probe_uncertainty,
        &mut setup.probe,
        "1 mT or 5 %",
        remarks,
    );
    if let Some(length) = setup.length
        && !(0.001..=1.0).contains(&length.si)
    {
        remarks.push(Remark::FieldAssumed {
            field: "length",
            what: format!(
                "“{}” is an unusual length for the part of a wire that lies between magnets. Is the unit right?",
                excerpt(typed.length)
            ),
        });
    }
    if let Some(angle) = setup.angle
        && libm::sin(angle.si).abs() < 1e-9
    {
        setup.angle = None;
        remarks.push(Remark::FieldUnread {
            field: "angle",
            why: format!(
                "“{}” puts the wire along the field, where there is no force at all; an angle such as 90° is needed. \
                 90° was used.",
                excerpt(typed.angle)
            ),
        });
    }
    setup.wires = count("wires", typed.wires, remarks);
    setup.balance_calibration = fraction("balance_calibration", typed.balance_calibration, remarks);
    setup.current_calibration = fraction("current_calibration", typed.current_calibration, remarks);
    setup.lever_ratio = ratio("lever_ratio", typed.lever_ratio, remarks);
    setup
}

/// What a field accepts.
#[derive(Clone, Copy)]
pub(crate) struct Rule {
    quantity: Quantity,
    other: Option<Quantity>,
    example: &'static str,
    /// The unit of a bare number.
    bare: fn(f64) -> Unit,
    /// Whether that assumption is worth telling.
    told: bool,
    above_zero: bool,
}

impl Rule {
    pub(crate) fn any(quantity: Quantity, example: &'static str, bare: fn(f64) -> Unit) -> Rule {
        Rule {
            quantity,
            other: None,
            example,
            bare,
            told: false,
            above_zero: false,
        }
    }

    pub(crate) fn above_zero(
        quantity: Quantity,
        example: &'static str,
        bare: fn(f64) -> Unit,
        told: bool,
    ) -> Rule {
        Rule {
            quantity,
            other: None,
            example,
            bare,
            told,
            above_zero: true,
        }
    }

    pub(crate) fn or(self, other: Quantity) -> Rule {
        Rule {
            other: Some(other),
            ..self
        }
    }

    pub(crate) fn telling(self) -> Rule {
        Rule { told: true, ..self }
    }
}

/// Reads one field; what cannot be read, or was assumed, is told in `remarks`.
pub(crate) fn measured(
    field: &'static str,
    text: &str,
    rule: Rule,
    remarks: &mut Vec<Remark>,
) -> Option<Measured> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let unread = |why: String| Remark::FieldUnread { field, why };
    let mut figure = match Figure::parse(text, DecimalMark::Either) {
        Ok(figure) => figure,
        Err(error) => {
            // The list of all units helps nobody who needs one of them.
            let why = match &error {
                FigureError::UnknownUnit { unit, .. } => {
                    format!("“{unit}” in “{}” is not a unit known here.", excerpt(text))
                }
                other => other.to_string(),
            };
            remarks.push(unread(format!(
                "{why} Something like {} would do.",
                rule.example
            )));
            return None;
        }
    };
    if rule.above_zero && figure.value <= 0.0 {
        remarks.push(unread(format!(
            "“{}” is not above zero; something like {} would do.",
            excerpt(text),
            rule.example
        )));
        return None;
    }
    match figure.unit {
        None => {
            let unit = (rule.bare)(figure.value);
            figure.unit = Some(unit);
            if rule.told {
                remarks.push(Remark::FieldAssumed {
                    field,
                    what: format!(
                        "“{0}” has no unit and was taken as {0} {1}. Write the unit to be sure.",
                        excerpt(text),
                        unit.symbol()
                    ),
                });
            }
        }
        Some(unit) if unit.quantity() != rule.quantity && Some(unit.quantity()) != rule.other => {
            remarks.push(unread(format!(
                "“{}” is in {}, which does not fit here; something like {} would do.",
                excerpt(text),
                unit.symbol(),
                rule.example
            )));
            return None;
        }
        Some(_) => {}
    }
    let si = figure.si();
    let half_width = figure.unit.and_then(|unit| figure.uncertainty_si_or(unit));
    Some(Measured {
        figure,
        si,
        half_width,
    })
}

/// Reads the uncertainty of `measured` from a field of its own; a bare number is in the unit of the value.
fn half_width(
    field: &'static str,
    text: &str,
    measured: &mut Option<Measured>,
    example: &'static str,
    remarks: &mut Vec<Remark>,
) {
    let text = text.trim();
    let (Some(value), false) = (measured.as_mut(), text.is_empty()) else {
        return;
    };
    let half_width = match Uncertainty::parse(text, DecimalMark::Either) {
        Ok(Uncertainty::Percent(percent)) => value.si.abs() * percent.value / 100.0,
        Ok(Uncertainty::Absolute(figure)) => {
            let own = value.figure.unit;
            match (figure.unit, own) {
                (Some(unit), Some(own)) if unit.quantity() != own.quantity() => {
                    remarks.push(Remark::FieldUnread {
                        field,
                        why: format!(
                            "“{}” is in {}, the value itself in {}; something like {example} would do.",
                            excerpt(text),
                            unit.symbol(),
                            own.symbol()
                        ),
                    });
                    return;
                }
                (Some(unit), _) | (None, Some(unit)) => figure.si_or(unit),
                (None, None) => figure.value,
            }
        }
        Err(error) => {
            remarks.push(Remark::FieldUnread {
                field,
                why: format!("{error} Something like {example} would do."),
            });
            return;
        }
    };
    value.half_width = Some(half_width);
}

fn count(field: &'static str, text: &str, remarks: &mut Vec<Remark>) -> f64 {
    let text = text.trim();
    if text.is_empty() {
        return 1.0;
    }
    match Figure::parse(text, DecimalMark::Either) {
        Ok(figure)
            if figure.unit.is_none()
                && figure.value >= 1.0
                && figure.value == libm::floor(figure.value) =>
        {
            figure.value
        }
        _ => {
            remarks.push(Remark::FieldUnread {
                field,
                why: format!(
                    "“{}” is not a whole number of wires, 1 or more. 1 was used.",
                    excerpt(text)
                ),
            });
            1.0
        }
    }
}

fn ratio(field: &'static str, text: &str, remarks: &mut Vec<Remark>) -> f64 {
    let text = text.trim();
    if text.is_empty() {
        return 1.0;
    }
    match Figure::parse(text, DecimalMark::Either) {
        Ok(figure) if figure.unit.is_none() && figure.value > 0.0 => figure.value,
        _ => {
            remarks.push(Remark::FieldUnread {
                field,
                why: format!(
                    "“{}” is not a plain number above zero, such as 1 or 0.85 (force on the magnet over force on \
                     the pan). 1 was used.",
                    excerpt(text)
                ),
            });
            1.0
        }
    }
}

/// A percentage of the reading, as a fraction; a bare number is per cent.
fn fraction(field: &'static str, text: &str, remarks: &mut Vec<Remark>) -> Option<f64> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let percent = match Uncertainty::parse(text, DecimalMark::Either) {
        Ok(Uncertainty::Percent(figure)) => Some(figure.value),
        Ok(Uncertainty::Absolute(figure)) if figure.unit.is_none() => Some(figure.value),
        _ => None,
    };
    let usable = percent.filter(|p| (0.0..=50.0).contains(p));
    if usable.is_none() {
        remarks.push(Remark::FieldUnread {
            field,
            why: format!(
                "“{}” is not a percentage of the reading from 0 to 50; something like 0.5 % would do. It was left out.",
                excerpt(text)
            ),
        });
    }
    usable.map(|p| p / 100.0).filter(|p| *p > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_length(length: &str, uncertainty: &str) -> (Option<Measured>, Vec<Remark>) {
        let mut remarks = Vec::new();
        let typed = Typed {
            length,
            length_uncertainty: uncertainty,
            ..Typed::default()
        };
        (read(&typed, &mut remarks).length, remarks)
    }

    #[test]
    fn a_length_keeps_its_figures_and_takes_its_uncertainty_in_any_form() {
        for (uncertainty, half_width) in [
            ("0.1 cm", 0.001),
            ("1 mm", 0.001),
            ("± 0.1", 0.001),
            ("2 %", 0.001),
        ] {
            let (length, remarks) = read_length("5.0 cm", uncertainty);
            let length = length.unwrap();
            assert_eq!(length.si, 0.05);
            assert!(
                (length.half_width.unwrap() - half_width).abs() < 1e-15,
                "{uncertainty}"
            );
            assert_eq!(length.figure.decimals, 1);
            assert_eq!(remarks, []);
        }
    }

    #[test]
    fn a_bare_length_is_taken_in_centimetres_and_that_is_told() {
        let (length, remarks) = read_length("5.0", "");
        assert_eq!(length.unwrap().si, 0.05);
        assert!(matches!(
            remarks[0],
            Remark::FieldAssumed {
                field: "length",
                ..
            }
        ));
    }

    #[test]
    fn what_does_not_fit_is_named_and_not_used() {
        for text in ["5 A", "-5 cm", "0", "five", "5 cm 3"] {
            let (length, remarks) = read_length(text, "");
            assert_eq!(length, None, "{text}");
            assert!(
                matches!(
                    remarks[0],
                    Remark::FieldUnread {
                        field: "length",
                        ..
                    }
                ),
                "{text}"
            );
        }
    }
}
