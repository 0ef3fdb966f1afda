//! The effective length of a field, from a probe walked along the line of the wire.
//!
//! Start at [`find`]. The field does not stop at the pole edge: what pushes on the wire is the integral of B along it, and
//! that integral over the value in the middle is the length of an even field that would push as hard.

use super::flux_density::FluxDensity;
use crate::figures::rank;
use crate::readings::walk::Place;

/// What the walk gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EffectiveLength {
    /// The integral of B along the wire, T m.
    pub integral_t_m: f64,
    /// Its standard uncertainty.
    pub u_integral_t_m: f64,
    /// The value in the middle, T.
    pub centre_t: f64,
    /// Where that is, m.
    pub centre_m: f64,
    /// Integral over middle value, m.
    pub length_m: f64,
    /// Its standard uncertainty.
    pub u_length_m: f64,
    /// The part of it that comes from the readings of the probe, from the positions, and from joining the readings by
    /// straight lines.
    pub parts_m: [f64; 3],
    /// The larger of the fields at the two ends of the walk over that in the middle, as sizes: what is left beyond the ends
    /// is not in the integral.
    pub left_at_ends: f64,
    /// How many places were read.
    pub places: usize,
}

/// Why there is no effective length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkError {
    /// Fewer than three different places.
    TooFew {
        /// How many there are.
        places: usize,
    },
    /// No field in the middle.
    NoField,
}

/// Below so many places the straight pieces cannot be checked against longer ones.
const ENOUGH_TO_COMPARE: usize = 5;

/// The trapezium rule over the places in increasing order, however uneven; readings at one and the same place are joined
/// to their mean.
///
/// S = Σ (xᵢ₊₁ - xᵢ)(Bᵢ + Bᵢ₊₁)/2 and L = S/B₀, with B₀ the field half-way between the two places where it has fallen to
/// half of its largest value (the ends of the walk where it has not), on the straight line between its neighbours. The
/// uncertainty has three parts: ∂L/∂Bᵢ u(Bᵢ) and ∂L/∂xᵢ u(xᵢ) in quadrature, each reading on its own; and what straight
/// pieces miss of a curve, taken from the same rule over every other place: a third of the difference, as the
/// half-width of a rectangle.
///
/// # Errors
/// [`WalkError`].
///
/// # Source
/// The trapezium rule and the error of its steps (Richardson), any text on numerical integration; the uncertainty by JCGM
/// 100:2008, 5.1.2. That the quotient serves as length: common practice, no source.
///
/// # Examples
/// By hand: 0, 40, 40, 0 mT at 0, 1, 3 and 4 cm is 0.2 + 0.8 + 0.2 = 1.2 mT m, over 40 mT 3 cm.
/// ```
/// use yokeline_core::field::effective_length::find;
/// use yokeline_core::readings::walk::Place;
/// let walk = [(0.0, 0.0), (0.01, 0.040), (0.03, 0.040), (0.04, 0.0)];
/// let places = walk.map(|(x_m, flux_density_t)| Place { x_m, flux_density_t, ..Place::default() });
/// assert!((find(&places).unwrap().length_m - 0.03).abs() < 1e-15);
/// ```
pub fn find(walk: &[Place]) -> Result<EffectiveLength, WalkError> {
    let places = in_order(walk);
    let n = places.len();
    if n < 3 {
        return Err(WalkError::TooFew { places: n });
    }
    let integral = integral(&places);
    let centre = Centre::of(&places).ok_or(WalkError::NoField)?;
    let length = integral / centre.flux_density_t;
    if !length.is_finite() {
        return Err(WalkError::NoField);
    }
    let (mut of_readings, mut of_positions, mut of_integral) = (0.0, 0.0, 0.0);
    for (i, place) in places.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|k| places.get(k));
        let after = places.get(i + 1);
        let reach = |a: &Place, b: &Place| (b.x_m - a.x_m) / 2.0;
        let width =
            before.map_or(0.0, |b| reach(b, place)) + after.map_or(0.0, |a| reach(place, a));
        let mean = |a: &Place, b: &Place| (a.flux_density_t + b.flux_density_t) / 2.0;
        let moved = before.map_or(0.0, |b| mean(b, place)) - after.map_or(0.0, |a| mean(place, a));
        let per_reading = (width - length * centre.share_of(i)) / centre.flux_density_t;
        let square = |value: f64| value * value;
        of_readings += square(per_reading * place.u_t);
        of_positions += square(moved / centre.flux_density_t * place.u_x_m);
        of_integral += square(width * place.u_t) + square(moved * place.u_x_m);
    }
    let of_steps = step_error(&places);
    let parts_m = [
        of_readings.sqrt(),
        of_positions.sqrt(),
        (of_steps / centre.flux_density_t).abs(),
    ];
    let end = |place: Option<&Place>| {
        place.map_or(0.0, |s| (s.flux_density_t / centre.flux_density_t).abs())
    };
    Ok(EffectiveLength {
        integral_t_m: integral,
        u_integral_t_m: (of_integral + of_steps * of_steps).sqrt(),
        centre_t: centre.flux_density_t,
        centre_m: centre.x_m,
        length_m: length,
        u_length_m: parts_m.iter().map(|part| part * part).sum::<f64>().sqrt(),
        parts_m,
        left_at_ends: end(places.first()).max(end(places.last())),
        places: n,
    })
}

/// B times length from the balance, T m, with its standard uncertainty: what the probe's integral can be compared with
/// whatever length was used. `None` where the length is not between gradient and B.
pub fn product_from_balance(found: &FluxDensity) -> Option<(f64, Option<f64>)> {
    let term = found
        .terms
        .iter()
        .find(|t| t.name == "length" && !t.in_points)?;
    let length_m = term.value;
    let standard = found.budget.as_ref().map(|budget| {
        let others = budget.sources.iter().filter(|s| s.name != "length");
        let squares: f64 = others.map(|s| s.contribution() * s.contribution()).sum();
        squares.sqrt() * length_m
    });
    Some((found.tesla * length_m, standard))
}

/// The places in increasing order; readings at the same place become their mean.
fn in_order(walk: &[Place]) -> Vec<Place> {
    let mut sorted: Vec<Place> = walk
        .iter()
        .filter(|s| s.x_m.is_finite() && s.flux_density_t.is_finite())
        .copied()
        .collect();
    sorted.sort_by_cached_key(|place| rank(place.x_m));
    sorted
        .chunk_by(|a, b| a.x_m == b.x_m)
        .map(|same| {
            let n = same.len() as f64;
            let mean = |of: fn(&Place) -> f64| same.iter().map(of).sum::<f64>() / n;
            Place {
                flux_density_t: mean(|s| s.flux_density_t),
                u_t: mean(|s| s.u_t) / n.sqrt(),
                ..same[0]
            }
        })
        .collect()
}

fn integral(places: &[Place]) -> f64 {
    places
        .windows(2)
        .map(|w| (w[1].x_m - w[0].x_m) * (w[0].flux_density_t + w[1].flux_density_t) / 2.0)
        .sum()
}

/// The standard uncertainty that the straight pieces bring, T m: every other place, the last one always among them.
fn step_error(places: &[Place]) -> f64 {
    if places.len() < ENOUGH_TO_COMPARE {
        return 0.0;
    }
    let last = places.len() - 1;
    let kept = |(i, _): &(usize, &Place)| i % 2 == 0 || *i == last;
    let every_other: Vec<Place> = places
        .iter()
        .enumerate()
        .filter(kept)
        .map(|(_, s)| *s)
        .collect();
    (integral(places) - integral(&every_other)).abs() / 3.0 / 3.0_f64.sqrt()
}

/// The field in the middle, on the straight line between two neighbouring places.
struct Centre {
    x_m: f64,
    flux_density_t: f64,
    /// The place before the middle and the share of the one after it.
    before: usize,
    share_after: f64,
}

impl Centre {
    fn of(places: &[Place]) -> Option<Centre> {
        let size = |s: &Place| s.flux_density_t.abs();
        let top = places
            .iter()
            .enumerate()
            .max_by(|a, b| size(a.1).total_cmp(&size(b.1)))?
            .0;
        let half = size(&places[top]) / 2.0;
        if half <= 0.0 {
            return None;
        }
        // From the largest value outwards to where the field has fallen to half, between two places.
        let fallen = |inner: &Place, outer: &Place| {
            let share = (size(inner) - half) / (size(inner) - size(outer));
            inner.x_m + share * (outer.x_m - inner.x_m)
        };
        let below = |i: &usize| places.get(*i).is_some_and(|s| size(s) < half);
        let left = (0..top)
            .rev()
            .find(below)
            .map_or(places[0].x_m, |i| fallen(&places[i + 1], &places[i]));
        let right = (top + 1..places.len())
            .find(below)
            .map_or(places[places.len() - 1].x_m, |i| {
                fallen(&places[i - 1], &places[i])
            });
        let x_m = (left + right) / 2.0;
        let before = places
            .partition_point(|s| s.x_m <= x_m)
            .saturating_sub(1)
            .min(places.len() - 2);
        let (a, b) = (&places[before], &places[before + 1]);
        let share_after = (x_m - a.x_m) / (b.x_m - a.x_m);
        let flux_density_t = a.flux_density_t + share_after * (b.flux_density_t - a.flux_density_t);
        (flux_density_t != 0.0).then_some(Centre {
            x_m,
            flux_density_t,
            before,
            share_after,
        })
    }

    /// ∂B₀/∂Bᵢ.
    fn share_of(&self, i: usize) -> f64 {
        match i.checked_sub(self.before) {
            Some(0) => 1.0 - self.share_after,
            Some(1) => self.share_after,
            _ => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walk(places: &[(f64, f64)], u_t: f64, u_x_m: f64) -> Vec<Place> {
        let place = |&(x_m, flux_density_t): &(f64, f64)| Place {
            x_m,
            u_x_m,
            flux_density_t,
            u_t,
            ..Place::default()
        };
        places.iter().map(place).collect()
    }

    /// B = B₀ / (1 + (x/a)²) from -∞ to ∞ has the integral π a B₀; from -c to c it is 2 a atan(c/a) B₀.
    #[test]
    fn a_bell_of_known_area_is_found_within_its_uncertainty() {
        let (a, c) = (0.02, 0.10);
        let bell = |x: f64| (x, 0.04 / (1.0 + x * x / (a * a)));
        // Uneven steps, closer in the middle, and not in order.
        let mut places: Vec<(f64, f64)> = (-10..=10)
            .map(|i| f64::from(i) / 10.0)
            .map(|t| bell(c * t * t.abs().sqrt()))
            .collect();
        places.swap(2, 17);
        let found = find(&walk(&places, 0.0, 0.0)).unwrap();
        let exact = 2.0 * a * libm::atan(c / a);
        let off = (found.length_m - exact).abs();
        assert!(off < 2.0 * found.u_length_m, "{found:?} against {exact}");
        assert!(off < 0.01 * exact);
        assert!((found.centre_t - 0.04).abs() < 1e-6);
        assert!((found.left_at_ends - 1.0 / 26.0).abs() < 1e-12);
    }

    /// The uncertainty against differences of the result itself, one reading and one position after the other.
    #[test]
    fn the_uncertainty_is_that_of_small_changes() {
        let places = [
            (0.000, 0.003),
            (0.012, 0.021),
            (0.020, 0.038),
            (0.031, 0.041),
            (0.044, 0.037),
            (0.052, 0.015),
            (0.070, 0.002),
        ];
        let (u_t, u_x) = (2e-4, 3e-4);
        let length = |places: &[(f64, f64)]| find(&walk(places, u_t, u_x)).unwrap().length_m;
        let change = |shift: &dyn Fn(&mut (f64, f64), f64)| -> f64 {
            let squares = (0..places.len()).map(|i| {
                let moved = |sign: f64| {
                    let mut places = places;
                    shift(&mut places[i], sign);
                    length(&places)
                };
                let difference = (moved(1.0) - moved(-1.0)) / 2.0;
                difference * difference
            });
            squares.sum::<f64>().sqrt()
        };
        let found = find(&walk(&places, u_t, u_x)).unwrap();
        let of_readings = change(&|place, sign| place.1 += sign * u_t);
        let of_positions = change(&|place, sign| place.0 += sign * u_x);
        // The middle itself moves a little with the readings and positions that fix it: a second-order part here.
        assert!((found.parts_m[0] / of_readings - 1.0).abs() < 0.05);
        assert!((found.parts_m[1] / of_positions - 1.0).abs() < 0.05);
    }

    #[test]
    fn a_walk_that_says_nothing_is_refused() {
        assert_eq!(find(&[]), Err(WalkError::TooFew { places: 0 }));
        let same = walk(&[(0.01, 0.04), (0.01, 0.05), (0.02, 0.04)], 0.0, 0.0);
        assert_eq!(find(&same), Err(WalkError::TooFew { places: 2 }));
        let none = walk(&[(0.0, 0.0), (0.01, 0.0), (0.02, 0.0)], 0.0, 0.0);
        assert_eq!(find(&none), Err(WalkError::NoField));
    }
}
