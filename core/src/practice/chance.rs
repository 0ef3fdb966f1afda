//! Chance from a seed and a student's number, the same on every machine and in every release.
//!
//! Nothing but whole numbers, exact arithmetic, square roots and `libm` makes it.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Where the parts of one set take their chance from. Each part has a stretch of its own, so that a fault switched on or
/// off leaves everything else as it was. A part that a later release adds has to be taken after those of today.
pub(super) struct Source(Xoshiro256PlusPlus);

impl Source {
    /// The source of one student's set; another strand is another source.
    pub fn of(seed: u32, student: u32, strand: u32) -> Source {
        let both = (u64::from(seed) << 32) | u64::from(student);
        let apart = match strand {
            0 => 0,
            _ => Xoshiro256PlusPlus::seed_from_u64(strand.into()).next_u64(),
        };
        Source(Xoshiro256PlusPlus::seed_from_u64(both ^ apart))
    }

    /// The next stretch, 2¹²⁸ draws long.
    pub fn part(&mut self) -> Chance {
        let bits = self.0.clone();
        self.0.jump();
        Chance { bits, spare: None }
    }
}

/// One stretch of chance.
pub(super) struct Chance {
    bits: Xoshiro256PlusPlus,
    spare: Option<f64>,
}

impl Chance {
    /// Evenly from 0 to 1, 1 not included.
    pub fn unit(&mut self) -> f64 {
        (self.bits.next_u64() >> 11) as f64 * (1.0 / (1_u64 << 53) as f64)
    }

    /// Evenly from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number from 0 to `count` - 1; 0 when there is nothing to choose from.
    pub fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// 1 or -1.
    pub fn sign(&mut self) -> f64 {
        if self.unit() < 0.5 { -1.0 } else { 1.0 }
    }

    /// Normal with mean 0 and standard deviation 1.
    ///
    /// # Source
    /// The polar method of G. Marsaglia and T. A. Bray, SIAM Review 6 (1964) 260, from memory.
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

    /// Puts the items into a random order (Fisher and Yates).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let other = self.below(last + 1);
            items.swap(last, other);
        }
    }
}
