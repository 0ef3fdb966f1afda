//! Values and lines in words and figures, with their units, as the graph and its description print them.

use yokeline_core::figures::round;
use yokeline_core::job::output::{Axes, Axis, BestLine, Straight};

/// What one unit of the axis is in SI; 1 where an axis does not say.
pub fn unit_si(axis: &Axis) -> f64 {
    if axis.unit_si.is_finite() && axis.unit_si > 0.0 {
        axis.unit_si
    } else {
        1.0
    }
}

/// `value`, in the axis unit, to `decimals` places, with the minus sign that is printed for people.
pub fn number(value: f64, decimals: i32) -> String {
    round::typeset(&round::to_decimals(value, decimals))
}

/// A value with the unit of its axis: `1.50 A`.
pub fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() {
        number.to_owned()
    } else {
        format!("{number} {unit}")
    }
}

/// A value with its uncertainty and unit: `0.91 ± 0.01 g`. The value has the decimals of the instrument, or those that
/// the first figure of the uncertainty needs.
pub fn measured(value: f64, uncertainty: Option<f64>, axis: &Axis) -> String {
    let stated = uncertainty.filter(|u| u.is_finite() && *u > 0.0);
    let text = match stated {
        Some(u) => {
            let decimals = axis.decimals.max(round::decimals_for(u, 1));
            format!("{} ± {}", number(value, decimals), number(u, decimals))
        }
        None => number(value, axis.decimals),
    };
    with_unit(&text, &axis.unit)
}

/// The heading of an axis, quantity / unit: `I / A`; with a power of ten where the ticks leave one out.
pub fn heading(symbol: &str, unit: &str, power: i32) -> String {
    let unit = match (power, unit.is_empty()) {
        (0, true) => return symbol.to_owned(),
        (0, false) => unit.to_owned(),
        (_, true) => power_of_ten(power),
        (_, false) => format!("{} {unit}", power_of_ten(power)),
    };
    // A product of units behind the solidus needs brackets.
    if unit.contains([' ', '·', '/']) {
        format!("{symbol} / ({unit})")
    } else {
        format!("{symbol} / {unit}")
    }
}

/// The unit of the gradient: `g/A`; empty when both axes are pure numbers.
pub fn gradient_unit(axes: &Axes) -> String {
    let (x, y) = (axes.x.unit.as_str(), axes.y.unit.as_str());
    let below = if x.contains([' ', '·', '/']) {
        format!("({x})")
    } else {
        x.to_owned()
    };
    match (y.is_empty(), x.is_empty()) {
        (_, true) => y.to_owned(),
        (true, false) => format!("1/{below}"),
        (false, false) => format!("{y}/{below}"),
    }
}

/// The gradient of the best line with its unit, to the figures that its standard error allows: `0.1666 g/A`.
pub fn best_gradient(line: &BestLine, axes: &Axes) -> String {
    let per_unit = unit_si(&axes.x) / unit_si(&axes.y);
    let gradient = line.gradient * per_unit;
    let error = line.gradient_standard_error.map(|error| error * per_unit);
    with_unit(&figures_of_gradient(gradient, error), &gradient_unit(axes))
}

/// The gradient of another line with its unit, to four figures.
pub fn gradient(line: &Straight, axes: &Axes) -> String {
    let gradient = line.gradient * unit_si(&axes.x) / unit_si(&axes.y);
    with_unit(&figures_of_gradient(gradient, None), &gradient_unit(axes))
}

/// The intercept of the best line with its unit: `−0.003 g`.
pub fn intercept(line: &BestLine, axes: &Axes) -> String {
    with_unit(&figures_of_intercept(line, &axes.y), &axes.y.unit)
}

/// The equation of the best line with units: `m = (0.1666 g/A) I + 0.003 g`.
pub fn equation(line: &BestLine, axes: &Axes) -> String {
    let product = format!(
        "{} = ({}) {}",
        axes.y.symbol,
        best_gradient(line, axes),
        axes.x.symbol
    );
    if line.intercept == 0.0 {
        return product;
    }
    let intercept = figures_of_intercept(line, &axes.y);
    let (sign, size) = match intercept.strip_prefix('−') {
        Some(size) => ('−', size),
        None => ('+', intercept.as_str()),
    };
    format!("{product} {sign} {}", with_unit(size, &axes.y.unit))
}

/// Quantity and symbol: `current I`.
pub fn named(axis: &Axis) -> String {
    [axis.quantity.as_str(), axis.symbol.as_str()]
        .join(" ")
        .trim()
        .to_owned()
}

/// The quantity in words, or its symbol where there are none.
pub fn name(axis: &Axis) -> &str {
    if axis.quantity.is_empty() {
        &axis.symbol
    } else {
        &axis.quantity
    }
}

/// `word` with its first letter large, as at the head of a sentence.
pub fn capitalised(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// `1 point`, `6 points`.
pub fn counted(count: usize, noun: &str) -> String {
    if count == 1 {
        format!("1 {noun}")
    } else {
        format!("{count} {noun}s")
    }
}

/// Rows as a reader lists them: `row 3`, `rows 3, 4 and 7`; beyond eight, how many more there are.
pub fn rows(rows: &[usize]) -> String {
    const MOST: usize = 8;
    let mut names: Vec<String> = rows.iter().take(MOST).map(usize::to_string).collect();
    if rows.len() > MOST {
        names.push(format!("{} more", rows.len() - MOST));
    }
    match names.split_last() {
        None => "no row".to_owned(),
        Some((only, [])) => format!("row {only}"),
        Some((last, others)) => format!("rows {} and {last}", others.join(", ")),
    }
}

fn figures_of_gradient(gradient: f64, error: Option<f64>) -> String {
    let by_error = error
        .filter(|error| error.is_finite() && *error > 0.0)
        .map(|error| round::decimals_for(error, 2));
    let decimals = match by_error {
        _ if gradient == 0.0 => by_error.unwrap_or(0),
        Some(decimals) => decimals.clamp(
            round::decimals_for(gradient, 3),
            round::decimals_for(gradient, 6),
        ),
        None => round::decimals_for(gradient, 4),
    };
    if (-2..=7).contains(&decimals) {
        return number(gradient, decimals);
    }
    round::typeset(&round::scientific(gradient, 4))
}

fn figures_of_intercept(line: &BestLine, axis: &Axis) -> String {
    let scale = unit_si(axis);
    let error = line
        .intercept_standard_error
        .map(|error| error / scale)
        .filter(|error| error.is_finite() && *error > 0.0);
    let decimals = error.map_or(axis.decimals + 1, |error| round::decimals_for(error, 2));
    number(
        line.intercept / scale,
        decimals.clamp(axis.decimals, axis.decimals + 4),
    )
}

fn power_of_ten(power: i32) -> String {
    // "1×10⁻⁶" without the leading one: in a heading the unit is a bare power.
    round::scientific(decimal_power(power), 1)
        .trim_start_matches("1×")
        .to_owned()
}

fn decimal_power(power: i32) -> f64 {
    format!("1e{power}").parse().unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axes() -> Axes {
        let axis = |symbol: &str, unit: &str, unit_si: f64| Axis {
            symbol: symbol.to_owned(),
            unit: unit.to_owned(),
            unit_si,
            decimals: 2,
            ..Axis::default()
        };
        Axes {
            x: axis("I", "A", 1.0),
            y: axis("m", "g", 1e-3),
        }
    }

    #[test]
    fn the_equation_carries_units_and_the_figures_of_its_errors() {
        let line = BestLine {
            gradient: 1.666_4e-4,
            intercept: -3.21e-6,
            gradient_standard_error: Some(1.2e-6),
            intercept_standard_error: Some(2.4e-6),
            ..BestLine::default()
        };
        assert_eq!(equation(&line, &axes()), "m = (0.1666 g/A) I − 0.0032 g");
        let bare = BestLine {
            gradient_standard_error: None,
            intercept_standard_error: None,
            ..line
        };
        assert_eq!(equation(&bare, &axes()), "m = (0.1666 g/A) I − 0.003 g");
        assert_eq!(
            equation(
                &BestLine {
                    intercept: 0.0,
                    ..bare
                },
                &axes()
            ),
            "m = (0.1666 g/A) I"
        );
    }

    #[test]
    fn headings_are_quantity_over_unit() {
        assert_eq!(heading("I", "A", 0), "I / A");
        assert_eq!(heading("sin θ", "", 0), "sin θ");
        assert_eq!(heading("NIL sin θ", "A m", 0), "NIL sin θ / (A m)");
        assert_eq!(heading("m", "g", -6), "m / (10⁻⁶ g)");
        assert_eq!(heading("n", "", 6), "n / 10⁶");
    }

    #[test]
    fn the_unit_of_the_gradient_is_that_of_y_over_that_of_x() {
        let with = |x: &str, y: &str| {
            let mut axes = axes();
            (axes.x.unit, axes.y.unit) = (x.to_owned(), y.to_owned());
            gradient_unit(&axes)
        };
        assert_eq!(with("A", "g"), "g/A");
        assert_eq!(with("A m", "N"), "N/(A m)");
        assert_eq!(with("", "g"), "g");
        assert_eq!(with("A", ""), "1/A");
    }

    #[test]
    fn an_uncertainty_is_never_rounded_away() {
        let axis = axes().y;
        assert_eq!(measured(0.91, Some(0.01), &axis), "0.91 ± 0.01 g");
        assert_eq!(measured(0.913, Some(0.004), &axis), "0.913 ± 0.004 g");
        assert_eq!(measured(-0.5, None, &axis), "−0.50 g");
        assert_eq!(measured(1.0, Some(f64::NAN), &axis), "1.00 g");
    }

    #[test]
    fn rows_are_listed_as_people_list_them() {
        assert_eq!(rows(&[3]), "row 3");
        assert_eq!(rows(&[3, 4, 7]), "rows 3, 4 and 7");
        assert_eq!(
            rows(&(1..=20).collect::<Vec<_>>()),
            "rows 1, 2, 3, 4, 5, 6, 7, 8 and 12 more"
        );
    }
}
