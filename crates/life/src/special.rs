//! Special functions: digamma, trigamma, and quantiles of the beta and Student distributions.

use libm::lgamma;

/// Digamma and trigamma at `x > 0`: recurrence up to 10, then the asymptotic series (Abramowitz and Stegun 6.3.18,
/// 6.4.12); absolute error below 1e-12.
pub(crate) fn digamma_trigamma(x: f64) -> (f64, f64) {
    let (mut x, mut first, mut second) = (x, 0.0, 0.0);
    while x < 10.0 {
        first -= 1.0 / x;
        second += 1.0 / (x * x);
        x += 1.0;
    }
    let y = 1.0 / (x * x);
    let digamma_rest =
        y * (1.0 / 12.0 - y * (1.0 / 120.0 - y * (1.0 / 252.0 - y * (1.0 / 240.0 - y / 132.0))));
    let trigamma_rest =
        y * (1.0 / 6.0 - y * (1.0 / 30.0 - y * (1.0 / 42.0 - y * (1.0 / 30.0 - y * 5.0 / 66.0))));
    (
        first + x.ln() - 0.5 / x - digamma_rest,
        second + 1.0 / x + 0.5 * y + trigamma_rest / x,
    )
}

/// Regularised incomplete beta function, `a, b > 0`, `0 ≤ x ≤ 1`: the continued fraction of Abramowitz and Stegun
/// 26.5.8 by Lentz's method, on the side where it converges fast.
pub(crate) fn beta_cdf(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_cdf_left(1.0 - x, b, a);
    }
    beta_cdf_left(x, a, b)
}

fn beta_cdf_left(x: f64, a: f64, b: f64) -> f64 {
    let front = (lgamma(a + b) - lgamma(a) - lgamma(b) + a * x.ln() + b * (-x).ln_1p()).exp() / a;
    let (mut c, mut d) = (1.0, 1.0 / off_zero(1.0 - (a + b) * x / (a + 1.0)));
    let mut fraction = d;
    // Needs about the root of the larger parameter many terms.
    for term in 1..20_000u32 {
        let m = f64::from(term);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        for step in [even, odd] {
            d = 1.0 / off_zero(1.0 + step * d);
            c = off_zero(1.0 + step / c);
            fraction *= d * c;
        }
        if (d * c - 1.0).abs() < 1e-15 {
            break;
        }
    }
    front * fraction
}

/// Lentz's guard against a division by zero.
fn off_zero(value: f64) -> f64 {
    const TINY: f64 = 1e-300;
    if value.abs() < TINY { TINY } else { value }
}

/// The value below which a beta variable lies with probability `p`; `a, b > 0`. By halving, on the logarithm of the
/// smaller end: shares near zero keep their digits.
pub(crate) fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return p.clamp(0.0, 1.0);
    }
    if beta_cdf(0.5, a, b) < p {
        return 1.0 - beta_quantile_below_half(1.0 - p, b, a);
    }
    beta_quantile_below_half(p, a, b)
}

fn beta_quantile_below_half(p: f64, a: f64, b: f64) -> f64 {
    let (mut low, mut high) = (f64::MIN_POSITIVE.ln(), 0.5f64.ln());
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if beta_cdf(middle.exp(), a, b) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0.5 * (low + high)).exp()
}

/// The value that Student's variable with `degrees > 0` of freedom stays below with probability `p ≥ 1/2`.
pub(crate) fn student_quantile(p: f64, degrees: f64) -> f64 {
    let two_sided = 2.0 * (1.0 - p);
    let share = beta_quantile(two_sided, 0.5 * degrees, 0.5);
    (degrees * (1.0 - share) / share).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;

    /// Rows of numbers of `references/lifetimes.json` (`SciPy`).
    fn rows(name: &str) -> Vec<Vec<f64>> {
        let text = include_str!("../../../references/lifetimes.json");
        let value: Value = serde_json::from_str(text).unwrap();
        serde_json::from_value(value[name].clone()).unwrap()
    }

    #[track_caller]
    fn close(found: f64, expected: f64) {
        // The file holds eleven digits.
        assert!(
            (found - expected).abs() <= 1e-9 * expected.abs() + 1e-14,
            "{found} instead of {expected}"
        );
    }

    #[test]
    fn as_scipy_has_them() {
        for row in rows("beta_quantiles") {
            // The quantile of a share that is almost always zero lies below the smallest number.
            if row[3] > 1e-300 {
                close(beta_quantile(row[2], row[0], row[1]), row[3]);
            }
        }
        for row in rows("student_95") {
            close(student_quantile(0.95, row[0]), row[1]);
        }
        for row in rows("digamma_trigamma") {
            let (first, second) = digamma_trigamma(row[0]);
            close(first, row[1]);
            close(second, row[2]);
        }
    }
}
