//! Random numbers of a named generator, and what annealing draws from them.

use kw_base::math;
use rand::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// A seeded source of draws; each lane has its own.
pub(crate) struct Dice(Xoshiro256PlusPlus);

impl Dice {
    /// The source of one lane of a search.
    pub fn new(seed: u64, lane: usize) -> Self {
        let lane_part = (lane as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        Self(Xoshiro256PlusPlus::seed_from_u64(seed ^ lane_part))
    }

    /// 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A whole number below `limit`; 0 if `limit` is 0. Off uniform by at most `limit` / 2³².
    pub fn below(&mut self, limit: usize) -> usize {
        (((self.bits() >> 32) * limit as u64) >> 32) as usize
    }
}

const TABLE_BITS: u32 = 12;

/// Thresholds for accepting worse moves: the exponential distribution at 4096 equal steps.
///
/// A move is accepted at temperature t if its rise is at most t times a drawn value; that is the
/// Metropolis rule without a logarithm for every move.
pub(crate) struct Thresholds(Vec<f64>);

impl Thresholds {
    pub fn new() -> Self {
        let count = 1usize << TABLE_BITS;
        Self((0..count).map(|i| -math::log((i as f64 + 0.5) / count as f64)).collect())
    }

    /// The largest rise that is accepted at `temperature` for the draw `bits`.
    pub fn rise(&self, temperature: f64, bits: u64) -> i64 {
        (temperature * self.0[(bits >> (64 - TABLE_BITS)) as usize]) as i64
    }
}

/// Lengths from 1 to a limit, short ones far more often: uniform in the logarithm.
pub(crate) struct Lengths(Vec<u32>);

impl Lengths {
    /// `limit` at least 1; smaller counts as 1.
    pub fn new(limit: usize) -> Self {
        let limit = limit.max(1);
        let span = math::log(limit as f64 + 1.0);
        let length = |i: usize| math::exp(span * (i as f64 + 0.5) / 1024.0) as usize;
        Self((0..1024).map(|i| length(i).clamp(1, limit) as u32).collect())
    }

    pub fn draw(&self, dice: &mut Dice) -> usize {
        self.0[(dice.bits() >> 54) as usize] as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_repeat_with_the_seed_and_differ_by_lane() {
        let draw = |seed, lane| {
            let mut dice = Dice::new(seed, lane);
            (0..8).map(|_| dice.below(1000)).collect::<Vec<_>>()
        };
        assert_eq!(draw(7, 0), draw(7, 0));
        assert_ne!(draw(7, 0), draw(7, 1));
        assert_ne!(draw(7, 0), draw(8, 0));
    }

    #[test]
    fn thresholds_have_the_mean_of_the_temperature() {
        let thresholds = Thresholds::new();
        let mean = thresholds.0.iter().sum::<f64>() / thresholds.0.len() as f64;
        assert!((mean - 1.0).abs() < 1e-3, "{mean}");
    }

    #[test]
    fn lengths_reach_both_ends_and_favour_short_ones() {
        let lengths = Lengths::new(50).0;
        assert_eq!((lengths[0], lengths[1023]), (1, 50));
        assert!(lengths.iter().filter(|&&l| l <= 7).count() > 500);
        assert!(Lengths::new(0).0.iter().all(|&l| l == 1));
    }
}
