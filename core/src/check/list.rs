//! A typed list of readings, however its numbers are parted: by commas, semicolons, spaces, tabs or lines.
//!
//! Start at [`read`]. What parts the numbers is found by [`table::cells`], as in a pasted table; where that leaves a doubt
//! (`80 165` may be two numbers or one with its thousands parted) the count that is wanted settles it. [`Claimed`] is the list
//! in SI, with the places to which it was written.

use super::columns::unit_in;
use super::facts::Facts;
use crate::figures::{DecimalMark, Figure, Quantity, Unit};
use crate::readings::Ordinate;
use crate::table;

/// Longer texts, in bytes, are no list of readings.
const LONGEST: usize = 100_000;

/// The numbers of a list in their order, each with the unit that counts for it; `wanted` are the counts that would do. An
/// equals sign with what stands before it, brackets around the list and a heading before the first number are passed over; a
/// unit in the heading or behind the last number only counts for all.
///
/// # Errors
/// The item that is no number; the text itself where there is none at all.
pub fn read(text: &str, wanted: &[usize]) -> Result<Vec<Figure>, String> {
    let text = text.trim();
    if text.len() > LONGEST {
        return Err(text.to_owned());
    }
    let list = text.rsplit_once('=').map_or(text, |(_, after)| after);
    let list = list
        .trim()
        .trim_start_matches(['[', '(', '{'])
        .trim_end_matches([']', ')', '}']);
    let lines: Vec<String> = list
        .lines()
        .map(|line| line.trim().trim_end_matches([',', ';']).to_owned())
        .filter(|line| !line.is_empty())
        .collect();
    let cells: Vec<String> = table::cells(list)
        .unwrap_or_default()
        .into_iter()
        .flatten()
        .filter(|cell| !cell.is_empty())
        .collect();
    let by_line = numbers(&lines);
    let by_cell = numbers(&cells);
    let fits = |found: &Result<Vec<Figure>, String>| {
        let count = found.as_ref().map_or(0, Vec::len);
        wanted.contains(&count)
    };
    if fits(&by_line) && !fits(&by_cell) || by_cell.is_err() && by_line.is_ok() {
        by_line
    } else {
        by_cell
    }
}

fn numbers(items: &[String]) -> Result<Vec<Figure>, String> {
    let mut found: Vec<Figure> = Vec::new();
    let mut heading: Vec<&str> = Vec::new();
    for item in items {
        match Figure::parse(item, DecimalMark::Either) {
            Ok(figure) => found.push(figure),
            Err(_) if found.is_empty() && !item.contains(char::is_numeric) => heading.push(item),
            // A unit that a space parted from its number.
            Err(_) => match (Unit::parse(item), found.last_mut()) {
                (Some(unit), Some(last)) if last.unit.is_none() => last.unit = Some(unit),
                _ => return Err(item.clone()),
            },
        }
    }
    let Some((last, others)) = found.split_last() else {
        return Err(items.join(" "));
    };
    let for_all = if others.iter().all(|figure| figure.unit.is_none()) {
        last.unit
            .or_else(|| Unit::parse(&unit_in(&heading.join(" "))))
    } else {
        None
    };
    for figure in &mut found {
        figure.unit = figure.unit.or(for_all);
    }
    Ok(found)
}

/// A list of readings as it was typed, in the SI unit of y.
pub(super) struct Claimed {
    pub(super) values: Vec<f64>,
    /// One unit in the last place of each.
    places: Vec<f64>,
    /// The finest of these.
    pub(super) place: f64,
    /// The power of ten that divides them all, where they are whole numbers: their noughts may stand for what was rounded, as
    /// in 50 mg for 0.05 g.
    noughts: f64,
    /// A unit of some other quantity that stood with a number.
    pub(super) foreign: Option<Unit>,
}

impl Claimed {
    /// The numbers of a list, bare ones in the unit in which y is seen.
    pub(super) fn of(facts: &Facts, figures: &[Figure]) -> Claimed {
        let readings = facts.readings();
        let shown = readings.y_unit.unwrap_or(Unit::GRAM);
        let mut foreign = None;
        // One who plots forces where the working has masses has done no wrong, nor the other way round.
        let other = match readings.ordinate {
            Ordinate::Mass => (Quantity::Force, 1.0 / facts.force_per_mass()),
            Ordinate::Force => (Quantity::Mass, facts.force_per_mass()),
        };
        let in_si = |figure: &Figure, value: f64, foreign: &mut Option<Unit>| match figure.unit {
            Some(unit) if unit.quantity() == shown.quantity() => unit.to_si(value),
            Some(unit) if unit.quantity() == other.0 => unit.to_si(value) * other.1,
            Some(unit) => {
                *foreign = Some(unit);
                shown.to_si(value)
            }
            None => shown.to_si(value),
        };
        let mut values = Vec::new();
        let mut places = Vec::new();
        for figure in figures {
            values.push(in_si(figure, figure.value, &mut foreign));
            let place = libm::exp10(f64::from(-figure.decimals.clamp(-300, 300)));
            places.push(in_si(figure, place, &mut foreign).abs());
        }
        let place = places.iter().copied().fold(f64::INFINITY, f64::min);
        let divides = |power: f64| {
            figures
                .iter()
                .all(|f| f.decimals <= 0 && f.value % power == 0.0)
        };
        let powers = (1..6).map(|n| libm::exp10(f64::from(n)));
        let noughts = powers.take_while(|p| divides(*p)).last().unwrap_or(1.0);
        Claimed {
            values,
            places,
            place,
            noughts,
            foreign,
        }
    }

    /// Rows, from 0, that do not round to what is predicted, with the values in a unit so many times as large. `own` takes
    /// each value to its own place, else all are taken to the finest.
    pub(super) fn off(&self, predicted: &[f64], step: f64, power: f64, own: bool) -> Vec<usize> {
        let near = |i: usize| {
            let at = |list: &[f64]| list.get(i).copied().unwrap_or(f64::NAN);
            let place = power * if own { at(&self.places) } else { self.place };
            let place = place.max((place * self.noughts).min(step));
            let off = (power * at(&self.values) - at(predicted)).abs();
            // Half a place; and what is cut off instead of rounded, to the last place that the balance gives.
            off <= 0.5 * place * (1.0 + 1e-6) || off < place.min(step) * (1.0 - 1e-6)
        };
        (0..self.values.len()).filter(|i| !near(*i)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_parts_the_numbers() {
        let plain = [0.08, 0.17, 0.25];
        for (text, unit) in [
            ("0.08, 0.17, 0.25", None),
            ("0.08,0.17,0.25", None),
            ("0,08; 0,17; 0,25", None),
            ("0,08 0,17 0,25", None),
            ("0.08 0.17 0.25", None),
            ("0,08, 0,17, 0,25", None),
            ("0.08\t0.17\t0.25", None),
            ("0.08\n0.17\n0.25\n", None),
            ("0,08\r\n0,17\r\n0,25\r\n", None),
            ("0.08,\n0.17,\n0.25", None),
            ("0.08 g; 0.17 g; 0.25 g", Some(Unit::GRAM)),
            ("0.08 g, 0.17 g, 0.25 g", Some(Unit::GRAM)),
            ("0.08 g 0.17 g 0.25 g", Some(Unit::GRAM)),
            ("0.08, 0.17, 0.25 g", Some(Unit::GRAM)),
            ("m / g\n0,08\n0,17\n0,25", Some(Unit::GRAM)),
            ("mean (g)\n0.08\n0.17\n0.25", Some(Unit::GRAM)),
            ("m = 0.08, 0.17, 0.25", None),
            ("[0.08, 0.17, 0.25]", None),
        ] {
            let found = read(text, &[3]).unwrap_or_else(|item| panic!("{text}: {item}"));
            let values: Vec<f64> = found.iter().map(|figure| figure.value).collect();
            assert_eq!(values, plain, "{text}");
            assert!(found.iter().all(|figure| figure.unit == unit), "{text}");
        }
    }

    #[test]
    fn the_count_settles_a_doubt() {
        let count = |text: &str, wanted: usize| read(text, &[wanted]).map(|found| found.len());
        assert_eq!(count("80 165 250 332", 4), Ok(4));
        assert_eq!(count("0,080\n0,165", 2), Ok(2));
    }

    #[test]
    fn what_is_no_number_is_named() {
        for (text, item) in [
            ("0.08, about, 0.25", "about"),
            ("0.08; 2019-05-01; 0.25", "2019-05-01"),
            ("none", "none"),
            ("=", ""),
        ] {
            assert_eq!(read(text, &[3]), Err(item.to_owned()), "{text}");
        }
    }
}
