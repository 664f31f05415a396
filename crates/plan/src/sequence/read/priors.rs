//! Priors that sum to 1, or are made to.

use super::causes::CauseRead;
use super::codes;
use super::sheet::Sheet;
use diag::{Diagnostic, Span};

/// How far from 1 the sum may be: priors written with three digits, rounded. Our own contract with those who write tables.
const NEAR_ONE: f64 = 1e-3;
/// What adding up a few hundred priors in double precision may add to that.
const ROUNDING: f64 = 1e-12;

/// Divides the priors by their sum; finds a sum that is not 1, or with `scale` one that is nothing. `place` is that of the
/// list of causes. Where a prior could not be read the sum is only its echo, and is not looked at.
pub(super) fn sum_to_one(sheet: &mut Sheet<'_>, causes: &mut [CauseRead], place: Span, scale: bool) {
    if causes.is_empty() || causes.iter().any(|read| !read.prior) {
        return;
    }
    let sum: f64 = causes.iter().map(|read| read.cause.prior).sum();
    let near = (sum - 1.0).abs() <= NEAR_ONE + ROUNDING;
    if near || (scale && sum > 0.0) {
        for read in causes {
            read.cause.prior /= sum;
        }
    } else {
        sheet.push(finding(sum, place));
    }
}

fn finding(sum: f64, place: Span) -> Diagnostic {
    if sum == 0.0 {
        return Diagnostic::error(codes::PRIORS, place, "the priors are all zero")
            .labelled("no cause is possible")
            .hint("give at least one cause a `prior` above 0");
    }
    let sum = digits(sum);
    Diagnostic::error(codes::PRIORS, place, format!("the priors sum to {sum}, not to 1"))
        .labelled(format!("sum {sum}"))
        .hint("correct them; if they are only ratios, `--scale-priors` scales them")
}

/// A sum with as many digits as tell it from 1.
fn digits(sum: f64) -> String {
    if !(1e-6..1e9).contains(&sum) {
        return format!("{sum:.3e}");
    }
    let text = format!("{sum:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
