//! Lines cut in data units, before any pixel is thought of.
//!
//! A drawing library may clamp a point that lies outside the frame to its edge, which bends the line that leads there.
//! What comes out of [`segment`] and [`straight`] lies inside, on the same straight line as what went in.

/// A place in data units: (x, y).
pub type Place = (f64, f64);

/// A rectangle in data units; `left < right` and `bottom < top`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Smallest x.
    pub left: f64,
    /// Largest x.
    pub right: f64,
    /// Smallest y.
    pub bottom: f64,
    /// Largest y.
    pub top: f64,
}

impl Window {
    /// Whether a place lies inside or on the edge. Never for a place that is not finite.
    pub fn holds(&self, (x, y): Place) -> bool {
        x >= self.left && x <= self.right && y >= self.bottom && y <= self.top
    }

    /// The nearest place inside.
    pub fn clamp(&self, (x, y): Place) -> Place {
        (
            x.max(self.left).min(self.right),
            y.max(self.bottom).min(self.top),
        )
    }
}

/// The part of a segment that lies in the window; `None` when none does, or when an end is not finite.
///
/// # Source
/// Y.-D. Liang and B. A. Barsky, "A new concept and method for line clipping", ACM Transactions on Graphics 3 (1984):
/// each edge narrows the range of the parameter t in from + t (to − from).
pub fn segment(from: Place, to: Place, window: &Window) -> Option<(Place, Place)> {
    let finite = [from.0, from.1, to.0, to.1]
        .iter()
        .all(|value| value.is_finite());
    if !finite {
        return None;
    }
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let edges = [
        (-dx, from.0 - window.left),
        (dx, window.right - from.0),
        (-dy, from.1 - window.bottom),
        (dy, window.top - from.1),
    ];
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (outward, room) in edges {
        if outward == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if outward < 0.0 {
            enter = enter.max(room / outward);
        } else {
            leave = leave.min(room / outward);
        }
    }
    if enter > leave {
        return None;
    }
    // An end that was inside stays exactly where it was; a cut end is put on the edge that rounding may have missed.
    let at = |t: f64| window.clamp((from.0 + t * dx, from.1 + t * dy));
    let start = if enter == 0.0 { from } else { at(enter) };
    let end = if leave == 1.0 { to } else { at(leave) };
    Some((start, end))
}

/// The part of y = `gradient` x + `intercept` that lies in the window, left end first.
pub fn straight(gradient: f64, intercept: f64, window: &Window) -> Option<(Place, Place)> {
    let at = |x: f64| (x, gradient * x + intercept);
    segment(at(window.left), at(window.right), window)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Window = Window {
        left: 0.0,
        right: 10.0,
        bottom: -5.0,
        top: 5.0,
    };

    #[test]
    fn what_is_inside_is_left_alone() {
        let ends = ((1.0, -1.0), (9.0, 4.0));
        assert_eq!(segment(ends.0, ends.1, &WINDOW), Some(ends));
    }

    #[test]
    fn a_cut_line_keeps_its_slope() {
        for (gradient, intercept) in [
            (3.0, -6.0),
            (-7.5, 30.0),
            (0.2, 0.1),
            (1e6, -4e6),
            (-0.5, 5.0),
        ] {
            let (from, to) = straight(gradient, intercept, &WINDOW).expect("it crosses the window");
            assert!(WINDOW.holds(from) && WINDOW.holds(to));
            let slope = (to.1 - from.1) / (to.0 - from.0);
            assert!(
                (slope / gradient - 1.0).abs() < 1e-9,
                "{gradient} became {slope}"
            );
            for (x, y) in [from, to] {
                assert!((gradient * x + intercept - y).abs() < 1e-9 * gradient.abs().max(1.0));
            }
        }
    }

    #[test]
    fn what_misses_the_window_is_gone() {
        assert_eq!(segment((-5.0, -4.0), (-1.0, 4.0), &WINDOW), None);
        assert_eq!(straight(0.0, 5.1, &WINDOW), None);
        // Passes the corner on the outside although its ends straddle both ranges.
        assert_eq!(segment((-3.0, 3.0), (3.0, 9.0), &WINDOW), None);
    }

    #[test]
    fn upright_lines_and_points_are_cut_too() {
        assert_eq!(
            segment((2.0, -50.0), (2.0, 50.0), &WINDOW),
            Some(((2.0, -5.0), (2.0, 5.0)))
        );
        assert_eq!(
            segment((2.0, 1.0), (2.0, 1.0), &WINDOW),
            Some(((2.0, 1.0), (2.0, 1.0)))
        );
        assert_eq!(segment((11.0, 1.0), (11.0, 1.0), &WINDOW), None);
    }

    #[test]
    fn what_is_not_finite_is_not_drawn() {
        assert_eq!(segment((f64::NAN, 0.0), (1.0, 1.0), &WINDOW), None);
        assert_eq!(straight(f64::INFINITY, 0.0, &WINDOW), None);
        assert!(!WINDOW.holds((f64::NAN, 0.0)));
    }
}
