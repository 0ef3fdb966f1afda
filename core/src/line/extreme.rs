//! The worst acceptable lines: the steepest and the shallowest straight line through every error bar or box.
//!
//! Start at [`lines`]. It is a linear programme in two unknowns, solved exactly in O(n log n). For a gradient s ≥ 0 a
//! line with intercept a meets the box of a point when
//! `y - h - s (x + w) ≤ a ≤ y + h - s (x - w)`, with h and w its half-height and half-width. So a line of gradient s
//! exists when the highest of the lower limits is not above the lowest of the upper ones. Each is an envelope of
//! straight lines in s, their difference is convex, and the gradients sought are where it crosses zero. Negative
//! gradients are the same problem in a mirror.

use super::Datum;
use super::Line;
use crate::figures::rank;

/// The two extreme lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremes {
    /// The line of largest gradient in the direction of the trend.
    pub steepest: Line,
    /// The line of smallest gradient in the direction of the trend (it may run the other way).
    pub shallowest: Line,
}

impl Extremes {
    /// Half the difference of the two gradients.
    pub fn half_difference(&self) -> f64 {
        (self.steepest.gradient - self.shallowest.gradient).abs() / 2.0
    }

    /// The larger distance of either gradient from that of the best line.
    pub fn larger_distance(&self, best: &Line) -> f64 {
        let from = |line: &Line| (line.gradient - best.gradient).abs();
        from(&self.steepest).max(from(&self.shallowest))
    }
}

/// Why there are no extreme lines.
#[derive(Clone, Debug, PartialEq)]
pub enum Stopped {
    /// Fewer than two points.
    TooFew,
    /// All x are equal, or the boxes all overlap in x: any gradient, however steep, would pass.
    Unbounded,
    /// No straight line meets every bar. The indices are of a few points that cannot be met together.
    Blocked {
        /// Indices into the data, ascending.
        together: Vec<usize>,
    },
}

/// Which uncertainties a line has to respect.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bars {
    /// Vertical bars only.
    Vertical,
    /// Boxes of both uncertainties.
    Boxes,
}

/// More points than this and the search for the points that stop a line is not made: it would cost
/// more than all the rest together, and with so many points no three of them are the cause.
const MOST_POINTS_FOR_SUSPECTS: usize = 100;

/// Rounding that is forgiven, relative to the largest distance from the middle of the data: bars that only just touch
/// a common line in decimals may miss it in binary.
const SLACK: f64 = 1e-12;

/// The steepest and the shallowest line that meet every bar.
///
/// # Errors
/// See [`Stopped`].
///
/// # Examples
/// Bars of ±0.5 on (0, 0) and (1, 1): the gradient lies between 0 and 2.
/// ```
/// use yokeline_core::line::{Datum, extreme::{Bars, lines}};
/// let bar = |x: f64, y: f64| Datum { x, y, bar_y: 0.5, ..Datum::default() };
/// let found = lines(&[bar(0.0, 0.0), bar(1.0, 1.0)], Bars::Vertical).unwrap();
/// assert_eq!((found.shallowest.gradient, found.steepest.gradient), (0.0, 2.0));
/// ```
pub fn lines(data: &[Datum], bars: Bars) -> Result<Extremes, Stopped> {
    if data.len() < 2 {
        return Err(Stopped::TooFew);
    }
    let middle = Middle::of(data);
    let rising = Half::new(data, Some(bars), &middle, false);
    let falling = Half::new(data, Some(bars), &middle, true);
    if rising.unbounded() || falling.unbounded() {
        return Err(Stopped::Unbounded);
    }
    let slack = SLACK * middle.size;
    let (up, down) = (rising.crossings(slack), falling.crossings(slack));
    let mirrored = |line: Line| Line {
        gradient: -line.gradient,
        intercept: line.intercept,
    };
    let (low, high) = match (up, down) {
        (None, None) => {
            return Err(Stopped::Blocked {
                together: together(&rising, &falling, slack),
            });
        }
        (Some(up), None) => (up.0, up.1),
        (None, Some(down)) => (mirrored(down.1), mirrored(down.0)),
        (Some(up), Some(down)) => (mirrored(down.1), up.1),
    };
    let (low, high) = (middle.restore(low), middle.restore(high));
    Ok(if low.gradient + high.gradient >= 0.0 {
        Extremes {
            steepest: high,
            shallowest: low,
        }
    } else {
        Extremes {
            steepest: low,
            shallowest: high,
        }
    })
}

/// The smallest common half-width of vertical bars for which a straight line meets them all (the line of least largest
/// distance). `None` for fewer than two points or when all x are equal.
pub fn smallest_half_width(data: &[Datum]) -> Option<f64> {
    if data.len() < 2 || super::no_spread(data) {
        return None;
    }
    let middle = Middle::of(data);
    let least = [false, true].map(|mirror| {
        let bare = Half::new(data, None, &middle, mirror);
        bare.least().height / 2.0
    });
    Some(least[0].min(least[1]).max(0.0))
}

/// The smallest set of points, up to `most` (at most 3), without which a line through all other bars exists; of equally
/// small sets, the one that leaves the others closest to a line. Empty when more would have to go, when a line exists
/// as it is, or when there are too many points to search.
pub fn suspects(data: &[Datum], bars: Bars, most: usize) -> Vec<usize> {
    if data.len() > MOST_POINTS_FOR_SUSPECTS {
        return Vec::new();
    }
    for size in 1..=most.min(3) {
        if data.len() < size + 2 {
            break;
        }
        let mut found: Vec<Vec<usize>> = Vec::new();
        without(data, bars, &mut Vec::new(), size, &mut found);
        let strain = |removed: &Vec<usize>| {
            smallest_half_width(&rest(data, removed)).unwrap_or(f64::INFINITY)
        };
        let best = found
            .into_iter()
            .map(|set| (strain(&set), set))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, mut set)) = best {
            set.sort_unstable();
            return set;
        }
    }
    Vec::new()
}

/// Collects the sets of `left` more points whose removal frees a line. One of the points that cannot be met together
/// has to go in any case, so only those are tried.
fn without(
    data: &[Datum],
    bars: Bars,
    removed: &mut Vec<usize>,
    left: usize,
    found: &mut Vec<Vec<usize>>,
) {
    let kept: Vec<usize> = (0..data.len()).filter(|i| !removed.contains(i)).collect();
    match lines(&rest(data, removed), bars) {
        Ok(_) => found.push(removed.clone()),
        Err(Stopped::Blocked { together }) if left > 0 => {
            for i in together {
                removed.push(kept[i]);
                without(data, bars, removed, left - 1, found);
                removed.pop();
            }
        }
        Err(_) => {}
    }
}

fn rest(data: &[Datum], removed: &[usize]) -> Vec<Datum> {
    data.iter()
        .enumerate()
        .filter(|(i, _)| !removed.contains(i))
        .map(|(_, d)| *d)
        .collect()
}

/// The middle of the data, about which it is worked, so that an untared balance costs no digits.
struct Middle {
    x: f64,
    y: f64,
    /// The largest vertical distance from the middle, bars included.
    size: f64,
    /// Indices of the data in order of x.
    by_x: Vec<usize>,
}

impl Middle {
    fn of(data: &[Datum]) -> Middle {
        let middle = |get: fn(&Datum) -> f64| {
            let low = data.iter().map(get).fold(f64::INFINITY, f64::min);
            let high = data.iter().map(get).fold(f64::NEG_INFINITY, f64::max);
            low / 2.0 + high / 2.0
        };
        let (x, y) = (middle(|d| d.x), middle(|d| d.y));
        let size = data
            .iter()
            .map(|d| (d.y - y).abs() + d.bar_y)
            .fold(0.0, f64::max);
        let mut by_x: Vec<usize> = (0..data.len()).collect();
        by_x.sort_unstable_by(|a, b| data[*a].x.total_cmp(&data[*b].x));
        Middle { x, y, size, by_x }
    }

    fn restore(&self, line: Line) -> Line {
        Line {
            gradient: line.gradient,
            intercept: self.y + line.intercept - line.gradient * self.x,
        }
    }
}

/// One straight piece of an envelope in s: `height + slope s`, from a point of the data.
#[derive(Clone, Copy)]
struct Piece {
    slope: f64,
    height: f64,
    index: usize,
    /// Where the piece begins.
    from: f64,
}

impl Piece {
    fn at(&self, s: f64) -> f64 {
        self.height + self.slope * s
    }
}

/// The problem for gradients s ≥ 0 (or, mirrored, s ≤ 0): the height by which the highest lower limit stands above the
/// lowest upper one, as the sum of two convex envelopes.
struct Half {
    /// The largest of `y - h - s (x + w)`.
    lower: Vec<Piece>,
    /// The largest of `-(y + h) + s (x - w)`.
    upper: Vec<Piece>,
}

/// The least height and the pieces that meet there.
struct Least {
    s: f64,
    height: f64,
    intercept: f64,
    indices: Vec<usize>,
}

impl Half {
    /// Through the points themselves without bars.
    fn new(data: &[Datum], bars: Option<Bars>, middle: &Middle, mirror: bool) -> Half {
        let sign = if mirror { -1.0 } else { 1.0 };
        let sides = |d: &Datum| match bars {
            Some(Bars::Boxes) => (d.bar_x, d.bar_y),
            Some(Bars::Vertical) => (0.0, d.bar_y),
            None => (0.0, 0.0),
        };
        let piece = |index: usize, lower: bool| {
            let d = &data[index];
            let (x, y) = (sign * (d.x - middle.x), d.y - middle.y);
            let (width, bar) = sides(d);
            let (slope, height) = if lower {
                (-(x + width), y - bar)
            } else {
                (x - width, -(y + bar))
            };
            Piece {
                slope,
                height,
                index,
                from: 0.0,
            }
        };
        // In the order of their slopes, but for the widths of boxes.
        let envelope_of = |lower: bool| {
            let by_x = middle.by_x.iter();
            let along = |index: &usize| piece(*index, lower);
            if bars == Some(Bars::Boxes) {
                let mut pieces: Vec<Piece> = by_x.map(along).collect();
                pieces.sort_by_cached_key(|piece| rank(piece.slope));
                envelope(pieces.into_iter())
            } else if lower == mirror {
                envelope(by_x.map(along))
            } else {
                envelope(by_x.rev().map(along))
            }
        };
        Half {
            lower: envelope_of(true),
            upper: envelope_of(false),
        }
    }

    /// Whether the height never rises again: then every steep enough line passes.
    fn unbounded(&self) -> bool {
        match (self.lower.last(), self.upper.last()) {
            (Some(l), Some(u)) => l.slope + u.slope <= 0.0,
            _ => true,
        }
    }

    /// Walks the pieces of the sum from s = 0 on: start, end (infinite for the last) and the two pieces.
    fn stretches(&self) -> impl Iterator<Item = (f64, f64, Piece, Piece)> + '_ {
        let (mut i, mut j, mut s) = (0, 0, 0.0_f64);
        let mut done = self.lower.is_empty() || self.upper.is_empty();
        std::iter::from_fn(move || {
            if done {
                return None;
            }
            let next_from =
                |pieces: &[Piece], k: usize| pieces.get(k + 1).map_or(f64::INFINITY, |p| p.from);
            let (next_i, next_j) = (next_from(&self.lower, i), next_from(&self.upper, j));
            let end = next_i.min(next_j);
            let stretch = (s, end, self.lower[i], self.upper[j]);
            done = end == f64::INFINITY;
            i += usize::from(next_i <= end && !done);
            j += usize::from(next_j <= end && !done);
            s = end;
            Some(stretch)
        })
    }

    /// The lines at which the height first comes down to zero and last leaves it.
    fn crossings(&self, slack: f64) -> Option<(Line, Line)> {
        let mut first: Option<Line> = None;
        let mut last: Option<Line> = None;
        for (start, end, l, u) in self.stretches() {
            let slope = l.slope + u.slope;
            let at_start = l.at(start) + u.at(start);
            let root = || {
                let s = -(l.height + u.height) / slope;
                Line {
                    gradient: s,
                    intercept: l.at(s),
                }
            };
            if first.is_none() {
                if at_start <= 0.0 {
                    first = Some(Line {
                        gradient: start,
                        intercept: l.at(start),
                    });
                } else if slope < 0.0 && -(l.height + u.height) / slope <= end {
                    first = Some(root());
                }
            }
            if first.is_some() && slope > 0.0 && -(l.height + u.height) / slope <= end {
                last = Some(root());
                break;
            }
        }
        match (first, last) {
            (Some(first), Some(last)) => Some((first, last)),
            _ => {
                let least = self.least();
                let line = Line {
                    gradient: least.s,
                    intercept: least.intercept,
                };
                (least.height <= slack).then_some((line, line))
            }
        }
    }

    fn least(&self) -> Least {
        let mut least = Least {
            s: 0.0,
            height: f64::INFINITY,
            intercept: 0.0,
            indices: Vec::new(),
        };
        let mut before: Option<(Piece, Piece)> = None;
        for (start, _, l, u) in self.stretches() {
            let height = l.at(start) + u.at(start);
            if height < least.height {
                let mut indices = vec![l.index, u.index];
                if let Some((l, u)) = before {
                    indices.extend([l.index, u.index]);
                }
                indices.sort_unstable();
                indices.dedup();
                // Half-way between the two limits, which differ by no more than rounding where a line exists.
                least = Least {
                    s: start,
                    height,
                    intercept: (l.at(start) - u.at(start)) / 2.0,
                    indices,
                };
            }
            before = Some((l, u));
        }
        least
    }
}

/// The points that cannot be met together: those that meet at the least height of the half that comes closest to a line.
fn together(rising: &Half, falling: &Half, slack: f64) -> Vec<usize> {
    let (up, down) = (rising.least(), falling.least());
    let mut indices = if up.height <= down.height + slack {
        up.indices
    } else {
        Vec::new()
    };
    if down.height <= up.height + slack {
        indices.extend(down.indices);
    }
    indices.sort_unstable();
    indices.dedup();
    indices
}

/// The upper envelope over s ≥ 0, in order of s, of straight pieces that come in the order of their slopes.
fn envelope(pieces: impl Iterator<Item = Piece>) -> Vec<Piece> {
    let mut kept: Vec<Piece> = Vec::new();
    for mut piece in pieces {
        loop {
            let Some(top) = kept.last() else {
                piece.from = 0.0;
                break;
            };
            if piece.slope == top.slope {
                if piece.height > top.height {
                    kept.pop();
                    continue;
                }
                // Same slope, not higher: never seen.
                piece.from = f64::INFINITY;
                break;
            }
            let from = (top.height - piece.height) / (piece.slope - top.slope);
            if from <= top.from {
                kept.pop();
            } else {
                piece.from = from;
                break;
            }
        }
        if piece.from < f64::INFINITY {
            kept.push(piece);
        }
    }
    kept
}
