//! Which slips reproduce a wrong number, likeliest first.
//!
//! Each slip, each pair and, where no fewer will do, each triple about different things predicts an answer. What fits to
//! the figures given is weighed by how often such slips are made, by how closely it fits, and against the chance that
//! nothing known here happened and the number is anywhere.

use super::facts::Facts;
use super::slips::{SLIPS, Slip};
use crate::figures::{Unit, rank};

/// How many slips a wrong answer has in it: one, two, three.
const SHARE_OF: [f64; 3] = [0.72, 0.13, 0.01];
/// How many wrong answers no slip known here explains, and over how many powers of e they spread.
const SHARE_UNKNOWN: f64 = 0.14;
const SPREAD_UNKNOWN: f64 = 14.0;
/// An explanation must be so much likelier than the unknown.
const LEAST_ODDS: f64 = 4.0;
/// A slip that changes the number by less than this is none to speak of.
const LEAST_CHANGE: f64 = 0.004;
/// What rounding in mid-course may add.
const MID_COURSE: f64 = 0.003;
/// No more than so many are told.
const MOST_TOLD: usize = 3;
/// Those that are less likely than the first by more than this are not told.
const FAR_BEHIND: f64 = 200.0;

/// A number to be explained.
#[derive(Clone, Copy, Debug)]
pub struct Wrong {
    /// The size of the answer over that of the right value.
    pub ratio: f64,
    /// Half a unit of its last place, relative to it.
    pub rounding: f64,
    /// Relative standard deviation that is left to the right value itself, such as that of a line drawn by eye.
    pub freedom: f64,
    /// Whether slips that show in the gradient may be in it.
    pub gradient_too: bool,
    /// Whether other slips may be in it.
    pub field_too: bool,
    /// The unit that was written with it, where it is one of its quantity: a slip of that unit speaks of no other.
    pub written: Option<Unit>,
}

/// Slips that together reproduce a number.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// Their names, in the order of the table.
    pub slips: Vec<&'static str>,
    /// The factor that they predict.
    pub factor: f64,
    /// How likely it is against the others.
    pub weight: f64,
}

/// One slip with one of its factors, as its logarithm.
struct Candidate {
    slip: &'static Slip,
    log: f64,
    share: f64,
}

/// The explanations, likeliest first; empty when nothing explains it well enough.
pub fn explanations(facts: &Facts, wrong: &Wrong) -> Vec<Explanation> {
    if !(wrong.ratio > 0.0 && wrong.ratio.is_finite()) {
        return Vec::new();
    }
    let candidates = candidates(facts, wrong);
    let n = candidates.len();
    let apart = |i: usize, j: usize| candidates[i].slip.about != candidates[j].slip.about;
    let mut found = Vec::new();
    for i in 0..n {
        try_out(&mut found, wrong, &[&candidates[i]]);
        for j in (i + 1..n).filter(|j| apart(i, *j)) {
            try_out(&mut found, wrong, &[&candidates[i], &candidates[j]]);
        }
    }
    if odds(&found) < LEAST_ODDS {
        for i in 0..n {
            for j in (i + 1..n).filter(|j| apart(i, *j)) {
                for k in (j + 1..n).filter(|k| apart(i, *k) && apart(j, *k)) {
                    let three = [&candidates[i], &candidates[j], &candidates[k]];
                    try_out(&mut found, wrong, &three);
                }
            }
        }
    }
    if odds(&found) < LEAST_ODDS {
        return Vec::new();
    }
    found.sort_by_cached_key(|e| rank(-e.weight));
    let first = found.first().map_or(0.0, |e| e.weight);
    found.retain(|e| e.weight * FAR_BEHIND >= first);
    found.truncate(MOST_TOLD);
    found
}

/// The explanations together against the unknown.
fn odds(found: &[Explanation]) -> f64 {
    let total: f64 = found.iter().map(|e| e.weight).sum();
    total * SPREAD_UNKNOWN / SHARE_UNKNOWN
}

/// The slips that may be in the number, each with its factors; a slip that hardly changes anything explains nothing.
fn candidates(facts: &Facts, wrong: &Wrong) -> Vec<Candidate> {
    let mut candidates = Vec::new();
    let mut total = 0.0;
    for slip in SLIPS {
        let wanted = if slip.about.is_of_gradient() {
            wrong.gradient_too
        } else {
            wrong.field_too
        };
        if !wanted || !slip.about.can_be_in(wrong.written) {
            continue;
        }
        let factors: Vec<f64> = (slip.change)(facts)
            .into_iter()
            .map(f64::abs)
            .filter(|f| f.is_finite() && *f > 0.0 && (f - 1.0).abs() > LEAST_CHANGE)
            .collect();
        if factors.is_empty() {
            continue;
        }
        total += slip.share;
        let share = slip.share / factors.len() as f64;
        candidates.extend(factors.into_iter().map(|factor| Candidate {
            slip,
            log: libm::log(factor),
            share,
        }));
    }
    for candidate in &mut candidates {
        candidate.share /= total;
    }
    candidates
}

/// Weighs what some slips made together predict, if it fits.
fn try_out(found: &mut Vec<Explanation>, wrong: &Wrong, slips: &[&Candidate]) {
    let log: f64 = slips.iter().map(|c| c.log).sum();
    let off = libm::log(wrong.ratio) - log;
    if off.abs() > wrong.rounding + 3.0 * wrong.freedom + MID_COURSE {
        return;
    }
    // Rounding spreads evenly over a place; the freedom is a normal law; a little is left for rounding in mid-course.
    let variance = wrong.freedom * wrong.freedom
        + wrong.rounding * wrong.rounding / 3.0
        + MID_COURSE * MID_COURSE / 4.0;
    let fit = libm::exp(-0.5 * off * off / variance) / variance.sqrt();
    // Two slips can be made in two orders, three in six.
    let (share_of, orders) = match slips.len() {
        1 => (SHARE_OF[0], 1.0),
        2 => (SHARE_OF[1], 2.0),
        _ => (SHARE_OF[2], 6.0),
    };
    let made: f64 = slips.iter().map(|c| c.share).product();
    let weight = share_of * orders * made * fit;
    let names: Vec<&'static str> = slips.iter().map(|c| c.slip.name).collect();
    match found.iter_mut().find(|e| e.slips == names) {
        Some(known) => {
            if weight > known.weight {
                known.factor = libm::exp(log);
            }
            known.weight += weight;
        }
        None => found.push(Explanation {
            slips: names,
            factor: libm::exp(log),
            weight,
        }),
    }
}
