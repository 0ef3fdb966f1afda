//! Chance from a seed: the same on every machine, since nothing but exact arithmetic and `libm` makes it.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A source of chance.
pub struct Chance {
    source: Xoshiro256PlusPlus,
    spare: Option<f64>,
}

impl Chance {
    /// The chance of one trial of one design: a failing trial can be made again by itself.
    pub fn of(design: &str, trial: usize) -> Chance {
        // FNV-1a of the name, so that no two designs share their chance.
        let name = design.bytes().fold(0xCBF2_9CE4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3)
        });
        let seed = name.wrapping_add((trial as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15));
        Chance {
            source: Xoshiro256PlusPlus::seed_from_u64(seed),
            spare: None,
        }
    }

    /// Evenly between 0 and 1, 1 not included.
    pub fn unit(&mut self) -> f64 {
        (self.source.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number from `low` to `high`, both included.
    pub fn whole(&mut self, low: usize, high: usize) -> usize {
        low + (self.unit() * (high - low + 1) as f64) as usize
    }

    /// Normal with mean 0 and standard deviation 1, by the polar way of Box and Muller as G. Marsaglia put it.
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (x, y) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                let scale = (-2.0 * libm::log(square) / square).sqrt();
                self.spare = Some(y * scale);
                return x * scale;
            }
        }
    }

    /// Puts the items into a random order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let other = self.whole(0, last);
            items.swap(last, other);
        }
    }
}

/// What each trial of a design gives, in the order of the trials. The work is shared out between the processors; the
/// result does not depend on how.
pub fn trials<T: Send>(
    design: &str,
    count: usize,
    one: impl Fn(&mut Chance) -> T + Sync,
) -> Vec<T> {
    let processors = std::thread::available_parallelism().map_or(1, |n| n.get());
    let share = count.div_ceil(processors);
    std::thread::scope(|scope| {
        let one = &one;
        let parts: Vec<_> = (0..processors)
            .map(|part| {
                let range = part * share..count.min((part + 1) * share);
                scope.spawn(move || {
                    range
                        .map(|trial| one(&mut Chance::of(design, trial)))
                        .collect::<Vec<T>>()
                })
            })
            .collect();
        parts
            .into_iter()
            .flat_map(|part| part.join().expect("a trial panicked"))
            .collect()
    })
}
