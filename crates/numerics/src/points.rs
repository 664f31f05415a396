//! Low-discrepancy points: they fill a space of many dimensions more evenly than random ones, and repeat exactly.
//!
//! Owen-scrambled Sobol points (Burley, Practical Hash-based Owen Scrambling, JCGT 9(4), 2020).

use crate::normal::normal_quantile;

/// Greatest number of dimensions of one sequence; further dimensions take a fresh scramble.
pub const MAX_DIMENSIONS: u32 = 256;

/// Coordinate `dimension` of point `index` in the unit interval, never 0 or 1.
///
/// One sequence holds 2^16 points; beyond it the scramble changes, so points never repeat.
pub fn uniform(index: u32, dimension: u32, seed: u32) -> f64 {
    let block = (index >> 16) + ((dimension / MAX_DIMENSIONS) << 8);
    let seed = seed.wrapping_add(block.wrapping_mul(0x9E37_79B9));
    let u = sobol_burley::sample(index & 0xFFFF, dimension % MAX_DIMENSIONS, seed);
    // The library's points are multiples of 2^-24 from 0; half a step keeps both ends out.
    f64::from(u) + 0.5 / 16_777_216.0
}

/// Coordinate `dimension` of point `index`, standard normal.
pub fn normal_point(index: u32, dimension: u32, seed: u32) -> f64 {
    normal_quantile(uniform(index, dimension, seed))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_square_of_normal_points_is_one() {
        for dimension in [0, 17, 200, 300] {
            let mean_square: f64 = (0..4096)
                .map(|i| normal_point(i, dimension, 7).powi(2))
                .sum::<f64>()
                / 4096.0;
            // A random sample of this size would scatter by 0.02; these points do ten times better.
            assert!((mean_square - 1.0).abs() < 0.01, "{dimension}: {mean_square}");
        }
    }
}
