//! Friction in lines, laminar to turbulent, turned inside out: DERIVATIONS.md, section 3.
//!
//! A line's two pressures give the product f Re² directly; what is wanted is Re. Churchill's formula has no inverse in
//! closed form, so the inverse is tabulated once as a cubic in logarithms, whose derivative is exact.

use std::sync::LazyLock;

/// Friction factor (Darcy) of a smooth pipe. Churchill, Chemical Engineering 84(24) (1977) 91.
pub(crate) fn churchill(reynolds: f64) -> f64 {
    churchill_rough(reynolds, 0.0)
}

/// The same with a relative roughness ε/D.
pub(super) fn churchill_rough(reynolds: f64, roughness: f64) -> f64 {
    let a = (2.457 * (1.0 / ((7.0 / reynolds).powf(0.9) + 0.27 * roughness)).ln()).powi(16);
    let b = (37_530.0 / reynolds).powi(16);
    8.0 * ((8.0 / reynolds).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
}

/// Below this Reynolds number Churchill's formula is 64/Re to 1e-7.
const LAMINAR: f64 = 1_500.0;
/// ln Re at the ends of the table, and its size.
const LOW: f64 = 7.313_220_387;
const HIGH: f64 = 18.420_680_744;
const POINTS: usize = 600;

/// ln(f Re²) → (ln Re, slope), at even steps of ln(f Re²).
struct Inverse {
    start: f64,
    step: f64,
    nodes: Vec<(f64, f64)>,
}

static INVERSE: LazyLock<Inverse> = LazyLock::new(|| {
    let drive = |ln_re: f64| (churchill(ln_re.exp())).ln() + 2.0 * ln_re;
    let (start, end) = (drive(LOW), drive(HIGH));
    let step = (end - start) / (POINTS - 1) as f64;
    let nodes = (0..POINTS)
        .map(|i| {
            let target = start + step * i as f64;
            let ln_re = bisect(LOW - 1.0, HIGH + 1.0, |x| drive(x) - target);
            let h = 1e-5;
            (ln_re, 2.0 * h / (drive(ln_re + h) - drive(ln_re - h)))
        })
        .collect();
    Inverse { start, step, nodes }
});

fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if f(middle) > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

/// The Reynolds number at which f Re² equals `drive`, and its derivative by `drive`.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place in the table is neither large nor negative"
)]
pub(crate) fn reynolds(drive: f64) -> (f64, f64) {
    if drive <= 64.0 * LAMINAR {
        return (drive / 64.0, 1.0 / 64.0);
    }
    let inverse = &*INVERSE;
    let position = (drive.ln() - inverse.start) / inverse.step;
    let index = (position.max(0.0) as usize).min(POINTS - 2);
    let t = position - index as f64;
    let ((y0, s0), (y1, s1)) = (inverse.nodes[index], inverse.nodes[index + 1]);
    let (m0, m1) = (s0 * inverse.step, s1 * inverse.step);
    // Cubic Hermite through both ends with their slopes; beyond the table the last cubic goes on.
    let (c, d) = (3.0 * (y1 - y0) - 2.0 * m0 - m1, 2.0 * (y0 - y1) + m0 + m1);
    let reynolds = (y0 + t * (m0 + t * (c + t * d))).exp();
    let slope = (m0 + t * (2.0 * c + t * 3.0 * d)) / inverse.step;
    (reynolds, reynolds * slope / drive)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_gives_back_the_reynolds_number() {
        for i in 0..2000 {
            let re = (4.0 + f64::from(i) * 0.007).exp();
            let (back, _) = reynolds(churchill(re) * re * re);
            assert!((back / re - 1.0).abs() < 1e-4, "Re {re}: {back}");
        }
    }
}
