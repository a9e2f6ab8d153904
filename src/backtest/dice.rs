//! Draws that look random and are the same for the same seed, on every machine.
//!
//! `SplitMix64` (Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators", OOPSLA):
//! one addition and three mixing steps a draw; it passes the usual batteries of tests. Enough for
//! resampling, never for secrets. Own code because the core takes its seed as a value and the
//! sequence must not change with the version of a library.

/// A sequence of draws.
#[derive(Clone, Debug)]
pub struct Dice {
    state: u64,
}

impl Dice {
    /// The sequence of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to but not 1, in steps of `2^−53`.
    pub fn unit(&mut self) -> f64 {
        const STEP: f64 = 1.0 / 9_007_199_254_740_992.0;
        (self.bits() >> 11) as f64 * STEP
    }

    /// A whole number below `end`; 0 where `end` is 0. The high half of a long product, as in
    /// Lemire 2019 without the rejection: off by at most `end/2^64`, which nobody can see.
    pub fn below(&mut self, end: usize) -> usize {
        let product = u128::from(self.bits()) * end as u128;
        usize::try_from(product >> 64).unwrap_or(0)
    }

    /// Whether something of this chance happens.
    pub fn happens(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sequence_is_the_published_one() {
        // The first draws from seed 1234567, as printed in the task description of a collection of
        // programming examples ("Pseudo-random numbers/Splitmix64"; from memory, recomputed).
        let mut dice = Dice::new(1_234_567);
        let found: Vec<u64> = (0..5).map(|_| dice.bits()).collect();
        assert_eq!(
            found,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn draws_are_even() {
        let mut dice = Dice::new(7);
        let (mut sum, mut hit, mut of_three) = (0.0, 0.0, [0.0; 3]);
        for _ in 0..30_000 {
            sum += dice.unit();
            hit += f64::from(u8::from(dice.happens(0.2)));
            of_three[dice.below(3)] += 1.0;
        }
        // Within five standard errors.
        assert!((sum / 30_000.0 - 0.5).abs() < 0.009);
        assert!((hit / 30_000.0 - 0.2).abs() < 0.012);
        assert!(
            of_three
                .iter()
                .all(|n: &f64| (n / 30_000.0 - 1.0 / 3.0).abs() < 0.014)
        );
        assert_eq!(dice.below(0), 0);
    }
}
