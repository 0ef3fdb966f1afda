//! The triangle from which a gradient is read off a drawn line.

use super::Line;

/// Two corners on the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Triangle {
    /// x of the left corner.
    pub x1: f64,
    /// y of the line there.
    pub y1: f64,
    /// x of the right corner.
    pub x2: f64,
    /// y of the line there.
    pub y2: f64,
}

/// Corners on `line` between `low` and `high`, the ends of the line drawn, both in units of `unit`.
///
/// The corners sit on whole grid steps of x (1, 2 or 5 times a power of ten of the unit), as far apart as the line
/// allows and at least half of it; where no such pair exists the ends themselves are used. `None` unless
/// `low < high` and all is finite.
pub fn on(line: Line, low: f64, high: f64, unit: f64) -> Option<Triangle> {
    let span = (high - low) / unit;
    if !(span > 0.0 && span.is_finite() && low.is_finite() && line.gradient.is_finite()) {
        return None;
    }
    // About ten divisions; finer ones only if these leave less than half of the line.
    let (mut x1, mut x2) = (low, high);
    for divisions in [10.0, 20.0, 50.0] {
        let step = step_not_below(span / divisions);
        // A reading such as 0.30000000000000004 sits on its grid line all the same.
        let slack = 1e-9 * span / step;
        let first = libm::ceil(low / unit / step - slack);
        let last = libm::floor(high / unit / step + slack);
        if last - first >= 0.5 * span / step {
            // Dividing by a whole number where the step is a fraction keeps 3 × 0.1 from being 0.30000000000000004.
            let place = |k: f64| if step < 1.0 { k / libm::round(1.0 / step) } else { k * step } * unit;
            (x1, x2) = (place(first), place(last));
            break;
        }
    }
    Some(Triangle {
        x1,
        y1: line.at(x1),
        x2,
        y2: line.at(x2),
    })
}

/// The smallest of 1, 2, 5 × 10ⁿ that is not below `x` (a positive number).
fn step_not_below(x: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(x)));
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= x * (1.0 - 1e-12))
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: Line = Line {
        gradient: 2.0,
        intercept: 1.0,
    };

    #[test]
    fn corners_sit_on_grid_lines_and_span_half_of_the_line() {
        let t = on(LINE, 0.13, 3.07, 1.0).unwrap();
        assert_eq!((t.x1, t.x2), (0.5, 3.0));
        assert_eq!((t.y1, t.y2), (2.0, 7.0));
    }

    #[test]
    fn corners_are_exact_decimals() {
        let t = on(LINE, 0.0, 0.3, 1.0).unwrap();
        assert_eq!((t.x1, t.x2), (0.0, 0.3));
    }

    #[test]
    fn a_single_point_has_no_triangle() {
        assert_eq!(on(LINE, 1.0, 1.0, 1.0), None);
        assert_eq!(on(LINE, f64::NAN, 1.0, 1.0), None);
    }
}
