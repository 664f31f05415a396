//! Middle, least and greatest of figures with gaps.

/// The middle one of the finite `values`, whose order is lost; `None` if there is none.
pub(crate) fn median(values: &mut Vec<f64>) -> Option<f64> {
    values.retain(|value| value.is_finite());
    let (count, middle) = (values.len(), values.len() / 2);
    if count == 0 {
        return None;
    }
    let (below, upper, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    if count % 2 == 1 {
        return Some(*upper);
    }
    let lower = below.iter().copied().max_by(f64::total_cmp)?;
    Some(0.5 * (lower + *upper))
}

/// Least and greatest of the finite ones.
pub(crate) fn range(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    let finite = values.into_iter().filter(|value| value.is_finite());
    finite.fold(None, |range, value| match range {
        None => Some((value, value)),
        Some((least, most)) => Some((value.min(least), value.max(most))),
    })
}
