//! An order of the currents in which a drift of the balance does not pass for a part of the gradient.
//!
//! Start at [`up_and_down`] and [`mixed`].

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// So many mixed orders are tried, and the one that is tied least to the currents is kept.
const TRIES: usize = 64;

/// The places 0 to `count` - 1 up, and then down again: each current is set twice, and the mean of the two has the same
/// time for all, so that a steady drift cancels.
pub fn up_and_down(count: usize) -> Vec<usize> {
    (0..count).chain((0..count).rev()).collect()
}

/// The places of `currents_a` in a mixed order, from a seed: of many shuffles the one in which current and time go
/// together least. The same seed gives the same order everywhere.
pub fn mixed(currents_a: &[f64], seed: u32) -> Vec<usize> {
    let mut bits = Xoshiro256PlusPlus::seed_from_u64(seed.into());
    let mut best: Vec<usize> = (0..currents_a.len()).collect();
    let mut least = f64::INFINITY;
    let mut order = best.clone();
    for _ in 0..TRIES {
        shuffle(&mut order, &mut bits);
        let tied = with_time(currents_a, &order).abs();
        if tied < least {
            least = tied;
            best.clone_from(&order);
        }
    }
    best
}

/// The correlation of current and time in an order: 1 when the current is only ever raised in even steps, -1 when it is
/// only ever lowered, 0 when a steady drift leaves the gradient alone. 0 too when either does not vary.
pub fn with_time(currents_a: &[f64], order: &[usize]) -> f64 {
    let count = order.len() as f64;
    let current = |place: &usize| currents_a.get(*place).copied().unwrap_or(0.0);
    let mean = order.iter().map(current).sum::<f64>() / count;
    let middle = (count - 1.0) / 2.0;
    let (mut both, mut of_current, mut of_time) = (0.0, 0.0, 0.0);
    for (time, place) in order.iter().enumerate() {
        let (dx, dt) = (current(place) - mean, time as f64 - middle);
        both += dx * dt;
        of_current += dx * dx;
        of_time += dt * dt;
    }
    let scale = (of_current * of_time).sqrt();
    if scale > 0.0 { both / scale } else { 0.0 }
}

/// Fisher and Yates.
fn shuffle(items: &mut [usize], bits: &mut Xoshiro256PlusPlus) {
    for last in (1..items.len()).rev() {
        // With so few items the bias of a remainder of 64 bits is nothing.
        let other = (bits.next_u64() % (last as u64 + 1)) as usize;
        items.swap(last, other);
    }
}
