//! The words and figures that the page shows: labels of columns, numbers with their units.

use yokeline_core::figures::round::{self, Digits};
use yokeline_core::job::output::{Analysis, Axis, Column};

/// The meanings that a column may have: the name in the analysis, and the words in the list under its heading.
pub const MEANINGS: [(&str, &str); 17] = [
    ("current", "current I"),
    ("reading", "reading m"),
    ("full_reading", "m, not zeroed"),
    ("force", "force F"),
    ("uncertainty", "uncertainty ±"),
    ("length", "length L"),
    ("wires", "wires N"),
    ("angle", "angle θ"),
    ("zero", "zero reading"),
    ("zero_before", "zero before"),
    ("zero_after", "zero after"),
    ("flux_density", "flux density B"),
    ("position", "position"),
    ("time", "time"),
    ("counter", "row count"),
    ("comment", "remarks"),
    ("ignored", "not used"),
];

/// Whether the table holds series that each have a length of their own.
pub fn has_lengths_of_its_own(analysis: &Analysis) -> bool {
    let lengths: Option<Vec<f64>> = analysis
        .families
        .iter()
        .map(|family| family.length)
        .collect();
    lengths.is_some_and(|lengths| {
        lengths.len() > 1
            && lengths
                .iter()
                .enumerate()
                .all(|(place, length)| !lengths.iter().take(place).any(|other| other == length))
    })
}

/// The words for a column's meaning.
pub fn meaning(name: &str) -> &'static str {
    MEANINGS
        .iter()
        .find(|(known, _)| *known == name)
        .map_or("not used", |(_, words)| words)
}

/// Whether the column's cells are words rather than numbers.
pub fn holds_words(column: &Column) -> bool {
    column.meaning == "comment"
}

/// A value in SI as it is shown on an axis, to `more` places beyond the instrument's: `0.333 g`.
pub fn on_axis(axis: &Axis, value_si: f64, more: i32) -> String {
    with_unit(
        &decimals(value_si / unit_si(axis), axis.decimals + more),
        &axis.unit,
    )
}

/// The quantity over its unit, as an axis or a column is headed: `m / g`.
pub fn axis_title(axis: &Axis) -> String {
    if axis.unit.is_empty() {
        axis.symbol.clone()
    } else {
        format!("{} / {}", axis.symbol, axis.unit)
    }
}

/// The unit of the gradient: `g/A`, or `g` where x is a pure number.
pub fn gradient_unit(analysis: &Analysis) -> String {
    let (x, y) = (&analysis.axes.x.unit, &analysis.axes.y.unit);
    match (y.is_empty(), x.is_empty()) {
        (_, true) => y.clone(),
        (true, false) => format!("1/{x}"),
        (false, false) if x.contains([' ', '/', '·']) => format!("{y}/({x})"),
        (false, false) => format!("{y}/{x}"),
    }
}

/// One unit of the gradient in SI.
pub fn gradient_unit_si(analysis: &Analysis) -> f64 {
    unit_si(&analysis.axes.y) / unit_si(&analysis.axes.x)
}

/// One unit of an axis in SI; 1 when the axis has none.
pub fn unit_si(axis: &Axis) -> f64 {
    if axis.unit_si > 0.0 {
        axis.unit_si
    } else {
        1.0
    }
}

/// Value and uncertainty rounded together, with the unit: `(0.1666 ± 0.0009) g/A`; without an uncertainty four figures.
pub fn value_with_uncertainty(value: f64, uncertainty: Option<f64>, unit: &str) -> String {
    let known = uncertainty.filter(|u| u.is_finite() && *u > 0.0);
    let Some(uncertainty) = known else {
        return with_unit(&figures(value, 4), unit);
    };
    let rounded = round::with_uncertainty(value, uncertainty, Digits::School);
    match rounded.uncertainty {
        Some(u) if unit.is_empty() => round::typeset(&format!("{} ± {u}", rounded.value)),
        Some(u) => format!(
            "({}) {unit}",
            round::typeset(&format!("{} ± {u}", rounded.value))
        ),
        None => with_unit(&round::typeset(&rounded.value), unit),
    }
}

/// A number to so many significant figures, with a real minus; in powers of ten where it would be long.
pub fn figures(value: f64, significant: u32) -> String {
    if !value.is_finite() {
        return "—".to_owned();
    }
    let size = value.abs();
    if value != 0.0 && !(1e-4..1e6).contains(&size) {
        round::typeset(&round::scientific(value, significant))
    } else {
        round::typeset(&round::to_significant(value, significant))
    }
}

/// A number to so many decimal places, with a real minus.
pub fn decimals(value: f64, places: i32) -> String {
    if value.is_finite() {
        round::typeset(&round::to_decimals(value, places.clamp(0, 9)))
    } else {
        "—".to_owned()
    }
}

/// A number and its unit with a no-break space between.
pub fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        _ => format!("{number}\u{a0}{unit}"),
    }
}

/// Where a note speaks of: `row 3, column 2`; empty for the whole table.
pub fn place(row: Option<usize>, column: Option<usize>) -> String {
    match (row, column) {
        (Some(row), Some(column)) => format!("row {row}, column {column}"),
        (Some(row), None) => format!("row {row}"),
        (None, Some(column)) => format!("column {column}"),
        (None, None) => String::new(),
    }
}

/// Rows in words: `row 3`, `rows 3 and 4`, `rows 1, 2 and 5`.
pub fn rows(rows: &[usize]) -> String {
    match rows {
        [] => "no row".to_owned(),
        [row] => format!("row {row}"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(usize::to_string).collect();
            format!("rows {} and {last}", first.join(", "))
        }
    }
}

/// A whole number with thin spaces between thousands: `100 000`.
pub fn thousands(number: usize) -> String {
    let digits = number.to_string();
    if digits.len() < 5 {
        return digits;
    }
    let mut grouped = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            grouped.push('\u{202f}');
        }
        grouped.push(digit);
    }
    grouped
}

/// A flux density to three figures in mT.
pub fn millitesla(tesla: f64) -> String {
    with_unit(&figures(tesla * 1e3, 3), "mT")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_carry_their_uncertainty_and_unit() {
        assert_eq!(
            value_with_uncertainty(0.16662, Some(0.00094), "g/A"),
            "(0.1666 ± 0.0009) g/A"
        );
        assert_eq!(value_with_uncertainty(-0.5, None, "g"), "−0.5000\u{a0}g");
        assert_eq!(
            value_with_uncertainty(0.1666, Some(0.0), "g/A"),
            "0.1666\u{a0}g/A",
            "never ± 0"
        );
    }

    #[test]
    fn no_number_is_a_dash() {
        assert_eq!(figures(f64::NAN, 3), "—");
        assert_eq!(decimals(f64::INFINITY, 3), "—");
    }

    #[test]
    fn rows_and_places_in_words() {
        assert_eq!(rows(&[3]), "row 3");
        assert_eq!(rows(&[1, 2, 5]), "rows 1, 2 and 5");
        assert_eq!(place(Some(3), Some(2)), "row 3, column 2");
        assert_eq!(thousands(100_000), "100\u{202f}000");
        assert_eq!(thousands(4_000), "4000");
    }

    #[test]
    fn gradient_has_the_unit_of_the_axes() {
        let mut analysis = Analysis::default();
        analysis.axes.y.unit = "g".to_owned();
        assert_eq!(gradient_unit(&analysis), "g");
        analysis.axes.x.unit = "A".to_owned();
        assert_eq!(gradient_unit(&analysis), "g/A");
        analysis.axes.x.unit = "A m".to_owned();
        assert_eq!(gradient_unit(&analysis), "g/(A m)");
    }
}
