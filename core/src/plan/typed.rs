//! Readers of single fields whose text no field of the apparatus has: ranges, counts, gauges, volts.
//!
//! Each adds to `remarks` what it could not read, with what would do.

use crate::figures::{DecimalMark, Figure, Quantity, Uncertainty, Unit};
use crate::readings::Remark;
use crate::readings::setup::{Rule, measured};

use super::wire::{Wire, awg_diameter_m, swg_diameter_m};
use super::words;

/// `0.5 A to 5 A`, `0.5 to 5 A`, `0.5–5 A`: the first and the last, SI; `5 A`: nothing and the one value. `None` when it is
/// empty or cannot be read.
pub(super) fn range(
    field: &'static str,
    text: &str,
    rule: Rule,
    remarks: &mut Vec<Remark>,
) -> Option<(Option<f64>, f64)> {
    let text = text.trim();
    let parts = if Figure::parse(text, DecimalMark::Either).is_ok() {
        None
    } else {
        [" to ", "…", "...", "..", "–", "—", "-"]
            .iter()
            // A minus before the first number parts nothing.
            .find_map(|mark| {
                text.split_once(mark)
                    .filter(|(low, _)| !low.trim().is_empty())
            })
    };
    let Some((low, high)) = parts else {
        return Some((None, measured(field, text, rule, remarks)?.si));
    };
    let high = measured(field, high, rule, remarks)?;
    let bare = Figure::parse(low.trim(), DecimalMark::Either).is_ok_and(|f| f.unit.is_none());
    let low = match high.figure.unit {
        Some(unit) if bare => format!("{} {}", low.trim(), unit.symbol()),
        _ => low.to_owned(),
    };
    // A range from nothing is one for currents; a field of nothing is none.
    Some((Some(measured(field, &low, rule, remarks)?.si), high.si))
}

/// A whole number between the first and the last of `limits`; the middle one when empty or unread.
pub(super) fn count(
    field: &'static str,
    text: &str,
    limits: (usize, usize, usize),
    remarks: &mut Vec<Remark>,
) -> usize {
    let (least, usual, most) = limits;
    let text = text.trim();
    if text.is_empty() {
        return usual;
    }
    let whole = Figure::parse(text, DecimalMark::Either)
        .ok()
        .filter(|f| f.unit.is_none() && f.value == libm::floor(f.value));
    match whole {
        Some(figure) if (least as f64..=most as f64).contains(&figure.value) => {
            figure.value as usize
        }
        _ => {
            remarks.push(unread(field, words::not_a_count(text, least, most, usual)));
            usual
        }
    }
}

pub(super) fn target(text: &str, remarks: &mut Vec<Remark>) -> Option<f64> {
    if text.trim().is_empty() {
        return None;
    }
    let percent = match Uncertainty::parse(text, DecimalMark::Either) {
        Ok(Uncertainty::Percent(figure)) => Some(figure.value),
        Ok(Uncertainty::Absolute(figure)) if figure.unit.is_none() => Some(figure.value),
        _ => None,
    };
    let usable = percent.filter(|p| *p > 0.0 && *p <= 100.0);
    if usable.is_none() {
        remarks.push(unread("target", words::not_a_target(text.trim())));
    }
    usable
}

/// `0.71 mm`, `22 SWG`, `AWG 20`.
pub(super) fn wire(text: &str, remarks: &mut Vec<Remark>) -> Option<Wire> {
    let upper = text.trim().to_uppercase();
    type Table = fn(u32) -> Option<f64>;
    let gauges: [(&str, Table); 2] = [("SWG", swg_diameter_m), ("AWG", awg_diameter_m)];
    for (name, diameter_m) in gauges {
        if upper.contains(name) {
            let number = upper.replacen(name, "", 1);
            let found = number.trim().parse().ok().and_then(diameter_m);
            if found.is_none() {
                remarks.push(unread("wire.diameter", words::no_gauge(text.trim(), name)));
            }
            return found.map(|diameter_m| Wire { diameter_m });
        }
    }
    let rule = Rule::above_zero(
        Quantity::Length,
        "0.71 mm, 22 SWG or 21 AWG",
        |_| Unit::MILLIMETRE,
        true,
    );
    let found = measured("wire.diameter", text, rule, remarks).map(|m| m.si);
    let diameter_m = within("wire.diameter", found, (1e-5, 0.05), remarks)?;
    Some(Wire { diameter_m })
}

/// `51.5°`, `51.5 N`, `33.9° S`, in rad; south is negative.
pub(super) fn latitude(text: &str, remarks: &mut Vec<Remark>) -> Option<f64> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    // A letter for the hemisphere stands behind a number: London ends in one too.
    let has_number = text.contains(|c: char| c.is_ascii_digit());
    let south = text.strip_suffix(['S', 's']).filter(|_| has_number);
    let north = text.strip_suffix(['N', 'n']).filter(|_| has_number);
    let rule = Rule::any(Quantity::Angle, "51.5° or 33.9° S", |_| Unit::DEGREE);
    let size = measured(
        "place.latitude",
        south.or(north).unwrap_or(text),
        rule,
        remarks,
    )?
    .si;
    if size.abs() > std::f64::consts::FRAC_PI_2 * (1.0 + 1e-12) {
        remarks.push(unread("place.latitude", words::no_latitude(text)));
        return None;
    }
    Some(if south.is_some() { -size } else { size })
}

/// A quantity whose unit no reading of this practical carries: its units without spaces, and an example.
pub(super) struct Kind {
    units: &'static [&'static str],
    example: &'static str,
    /// Between what sizes it may lie.
    within: (f64, f64),
}

pub(super) const VOLT: Kind = Kind {
    units: &["v", "volts", "volt"],
    example: "12 V",
    within: (1e-3, 1e4),
};
pub(super) const OHM: Kind = Kind {
    units: &["ω", "ohms", "ohm"],
    example: "50 cm or 0.05 Ω",
    within: (1e-6, 1e4),
};
pub(super) const CELSIUS: Kind = Kind {
    units: &["°c", "ºc", "degc", "c"],
    example: "20 °C",
    within: (-100.0, 200.0),
};
pub(super) const KELVIN: Kind = Kind {
    units: &["k", "°c", "ºc", "degc", "c"],
    example: "20 K",
    within: (0.1, 1000.0),
};
pub(super) const COOLING: Kind = Kind {
    units: &["w/m2k", "w/(m2k)", "w/m2/k", "wm-2k-1"],
    example: "10 W/m²K",
    within: (0.01, 1e5),
};

/// A value between two sizes that a bench may have; another is told, and left out.
pub(super) fn within(
    field: &'static str,
    value: Option<f64>,
    (least, most): (f64, f64),
    remarks: &mut Vec<Remark>,
) -> Option<f64> {
    let usable = value.filter(|v| (least..=most).contains(v));
    if value.is_some() && usable.is_none() {
        remarks.push(unread(field, words::NO_SUCH_SIZE.to_owned()));
    }
    usable
}

/// A number with one of the units of `kind`, or bare.
pub(super) fn suffixed(
    field: &'static str,
    text: &str,
    kind: &Kind,
    remarks: &mut Vec<Remark>,
) -> Option<f64> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let plain: String = text
        .to_lowercase()
        .replace('²', "2")
        .replace("⁻2", "-2")
        .replace("⁻¹", "-1")
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '^' | '·'))
        .collect();
    let number = kind
        .units
        .iter()
        .find_map(|unit| plain.strip_suffix(unit))
        .unwrap_or(&plain);
    let (least, most) = kind.within;
    let figure = Figure::parse(number, DecimalMark::Either)
        .ok()
        .filter(|f| f.unit.is_none() && (least..=most).contains(&f.value));
    if figure.is_none() {
        remarks.push(unread(field, words::unread(text, kind.example)));
    }
    figure.map(|f| f.value)
}

pub(super) fn unread(field: &'static str, why: String) -> Remark {
    Remark::FieldUnread { field, why }
}

pub(super) fn assumed(field: &'static str, what: String) -> Remark {
    Remark::FieldAssumed { field, what }
}
