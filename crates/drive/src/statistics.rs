//! Middle, least and greatest of figures with gaps.

/// The middle one of the finite `values`, which are put in order; `None` if there is none.
pub(crate) fn median(values: &mut Vec<f64>) -> Option<f64> {
    values.retain(|value| value.is_finite());
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    let upper = values.get(middle).copied()?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    Some(0.5 * (values[middle - 1] + upper))
}

/// Least and greatest of the finite ones.
pub(crate) fn range(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    let finite = values.into_iter().filter(|value| value.is_finite());
    finite.fold(None, |range, value| match range {
        None => Some((value, value)),
        Some((least, most)) => Some((value.min(least), value.max(most))),
    })
}
