//! A typed answer: its number with its figures, and its unit taken apart.

use crate::figures::{DecimalMark, Figure, Quantity, Unit};

/// Longer texts than this are no answer.
const LONGEST: usize = 80;

/// A typed number with what followed it.
#[derive(Clone, Debug, PartialEq)]
pub struct Claim {
    /// The number with its figures; without its unit.
    pub figure: Figure,
    /// What followed the number; empty for nothing.
    pub unit: String,
}

impl Claim {
    /// Reads a number and whatever follows it. An equals sign or a letter for the quantity before the number is passed
    /// over, and so is `±` with what follows it when a unit does not come after.
    pub fn read(text: &str) -> Option<Claim> {
        let text = text.trim();
        if text.is_empty() || text.len() > LONGEST {
            return None;
        }
        let text = text
            .rsplit_once('=')
            .map_or(text, |(_, after)| after)
            .trim();
        let text = text.trim_start_matches(['≈', '~', '±', '+']).trim();
        // The longest beginning that is a number: what follows is its unit, whatever that is.
        let ends = text.char_indices().map(|(at, c)| at + c.len_utf8());
        let ends: Vec<usize> = ends.collect();
        ends.iter().rev().find_map(|&end| {
            let figure = Figure::parse(text.get(..end)?, DecimalMark::Either).ok()?;
            let rest = text.get(end..)?.trim();
            match figure.unit {
                // The unit may go on: g/A begins with a unit of its own.
                Some(_) if !rest.is_empty() => None,
                Some(unit) => Some(Claim {
                    figure: Figure {
                        unit: None,
                        ..figure
                    },
                    unit: unit.symbol().to_owned(),
                }),
                None => Some(Claim {
                    figure,
                    unit: rest.to_owned(),
                }),
            }
        })
    }

    /// Its unit, if it is one of that quantity.
    pub fn unit_of(&self, quantity: Quantity) -> Option<Unit> {
        Unit::parse(&self.unit).filter(|unit| unit.quantity() == quantity)
    }

    /// Half a unit in the last place written.
    pub fn half_place(&self) -> f64 {
        0.5 * libm::exp10(f64::from(-self.figure.decimals.clamp(-300, 300)))
    }

    /// Whether it was written as a percentage.
    pub fn percent(&self) -> bool {
        let unit = self.unit.to_lowercase();
        matches!(unit.as_str(), "%" | "percent" | "per cent" | "pc")
    }
}

/// One such unit in SI when the text is a unit of `above` over a unit of `below`: `g/A`, `g A⁻¹`, `g per A`. `below` may be
/// missing for a quantity without unit.
pub fn quotient_in_si(text: &str, above: &[Unit], below: &[Unit]) -> Option<f64> {
    let mut text = text.trim().replace(['·', '*', '⋅'], " ");
    for (long, short) in [
        (" per ", "/"),
        ("⁻¹", "^-1"),
        ("−1", "-1"),
        ("^(-1)", "^-1"),
        ("^{-1}", "^-1"),
    ] {
        text = text.replace(long, short);
    }
    let known = |name: &str, among: &[Unit]| {
        let unit = Unit::parse(name.trim().trim_matches(['(', ')']))?;
        let same = among.iter().any(|u| u.quantity() == unit.quantity());
        same.then(|| unit.to_si(1.0))
    };
    if below.is_empty() {
        return known(&text, above);
    }
    if let Some((upper, lower)) = text.split_once('/') {
        return Some(known(upper, above)? / known(lower, below)?);
    }
    let lower = text
        .strip_suffix("^-1")
        .or_else(|| text.strip_suffix("-1"))?
        .trim();
    // `g A`, or `gA` written together.
    let cuts = lower.char_indices().map(|(at, _)| at).skip(1);
    cuts.filter_map(|at| Some((lower.get(..at)?, lower.get(at..)?)))
        .find_map(|(upper, lower)| Some(known(upper, above)? / known(lower, below)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_and_what_follows_it() {
        for (text, value, unit) in [
            ("0.166 g/A", 0.166, "g/A"),
            ("b = 0,166 g A^-1", 0.166, "g A^-1"),
            ("1.66e-4 kg/A", 1.66e-4, "kg/A"),
            ("1.66 x 10^-4 kg/A", 1.66e-4, "kg/A"),
            ("32.7mT", 32.7, "mT"),
            ("≈ 32.7", 32.7, ""),
            ("−0.02 g", -0.02, "g"),
            ("2 %", 2.0, "%"),
            ("0.0327 tesla or so", 0.0327, "tesla or so"),
        ] {
            let claim = Claim::read(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(
                (claim.figure.value, claim.unit.as_str()),
                (value, unit),
                "{text}"
            );
        }
        for text in ["", "about a third", "=", "1/2"] {
            let read = Claim::read(text);
            assert!(read.is_none() || text == "1/2", "{text}: {read:?}");
        }
    }

    #[test]
    fn units_of_a_gradient() {
        let (mass, current) = ([Unit::GRAM, Unit::NEWTON], [Unit::AMPERE]);
        for (text, si) in [
            ("g/A", 1e-3),
            ("kg/A", 1.0),
            ("g A^-1", 1e-3),
            ("gA⁻¹", 1e-3),
            ("g per A", 1e-3),
            ("mg/mA", 1e-3),
            ("mN/A", 1e-3),
        ] {
            let found = quotient_in_si(text, &mass, &current).unwrap_or_else(|| panic!("{text}"));
            assert!((found / si - 1.0).abs() < 1e-12, "{text}: {found}");
        }
        for text in ["A/g", "T", "", "g"] {
            assert_eq!(quotient_in_si(text, &mass, &current), None, "{text}");
        }
    }
}
