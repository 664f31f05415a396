//! A cell as a figure, or as a time.

use jiff::civil;

/// The figure of a cell, `mark` before its decimals; `None` if it is none. An empty cell is NaN.
pub(super) fn figure(cell: &str, mark: char) -> Option<f64> {
    // Most cells are plain figures.
    if mark == '.'
        && let Some(figure) = finite(cell)
    {
        return Some(figure);
    }
    let cell = cell.trim().trim_matches('"').trim();
    if cell.is_empty() || is_gap(cell) {
        return Some(f64::NAN);
    }
    if mark == ',' {
        let plain: String = cell
            .chars()
            .filter(|letter| !matches!(letter, '.' | '\u{a0}' | '\u{202f}' | '\''))
            .map(|letter| if letter == ',' { '.' } else { letter })
            .collect();
        return finite(&plain);
    }
    finite(cell).or_else(|| state(cell))
}

fn finite(text: &str) -> Option<f64> {
    // `inf` and `nan` are words for what is no figure.
    text.parse().ok().filter(|figure: &f64| figure.is_finite())
}

/// What recorders write where they have nothing.
fn is_gap(cell: &str) -> bool {
    [
        "-", "--", "---", "nan", "n/a", "na", "null", "none", "no data", "nodata", "?",
    ]
    .iter()
    .any(|gap| cell.eq_ignore_ascii_case(gap))
}

/// A state that is on or off.
fn state(cell: &str) -> Option<f64> {
    let on = ["on", "yes", "true", "active"];
    let off = ["off", "no", "false", "inactive"];
    if on.iter().any(|word| cell.eq_ignore_ascii_case(word)) {
        return Some(1.0);
    }
    off.iter()
        .any(|word| cell.eq_ignore_ascii_case(word))
        .then_some(0.0)
}

/// Seconds of a time of day, a date with time, or a running clock: `12:03:07.25`, `2026-05-01T08:00:00Z`, `01.05.2026 08:00:00`.
pub(super) fn moment(cell: &str) -> Option<f64> {
    let cell = cell.trim().trim_matches('"').trim();
    let cell = cell.trim_end_matches('Z');
    let (date, time) = match cell.split_once(['T', ' ']) {
        Some((date, time)) if !date.contains(':') => (Some(date), time),
        _ => (None, cell),
    };
    let seconds = clock(time.trim())?;
    match date {
        None => Some(seconds),
        Some(date) => Some(days(date)? * 86_400.0 + seconds),
    }
}

/// `h:mm:ss`, `mm:ss` with tenths on the last.
fn clock(text: &str) -> Option<f64> {
    // A zone behind the time shifts all rows alike.
    let text = text.split(['+']).next()?;
    let mut parts = text.split(':');
    let mut total = 0.0;
    let mut count = 0;
    for part in parts.by_ref() {
        let figure: f64 = part.replace(',', ".").parse().ok()?;
        if !(0.0..100_000.0).contains(&figure) || (count > 0 && figure >= 60.0) {
            return None;
        }
        total = total * 60.0 + figure;
        count += 1;
    }
    match count {
        2 | 3 => Some(total),
        _ => None,
    }
}

/// Days since 1970 of `2026-05-01`, `2026/05/01`, `01.05.2026` or `05/01/2026`: between the last two only the difference of rows counts.
fn days(text: &str) -> Option<f64> {
    let parts: Vec<i64> = text
        .split(['-', '/', '.'])
        .map(|part| part.parse().ok())
        .collect::<Option<_>>()?;
    let [a, b, c] = parts[..] else {
        return None;
    };
    let (year, month, day) = if a > 31 {
        (a, b, c)
    } else if text.contains('/') && b > 12 || text.contains('/') && a <= 12 {
        (c, a, b)
    } else {
        (c, b, a)
    };
    let date = civil::Date::new(
        year.try_into().ok()?,
        month.try_into().ok()?,
        day.try_into().ok()?,
    )
    .ok()?;
    let since = date.since(civil::Date::constant(1970, 1, 1)).ok()?;
    Some(f64::from(since.get_days()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_as_recorders_write_them() {
        assert_eq!(figure(" 12.50 ", '.'), Some(12.5));
        assert_eq!(figure("12,50", ','), Some(12.5));
        assert_eq!(figure("1.234,5", ','), Some(1234.5));
        assert_eq!(figure("-1.5e3", '.'), Some(-1500.0));
        assert_eq!(figure("ON", '.'), Some(1.0));
        assert!(figure("", '.').is_some_and(f64::is_nan));
        assert!(figure("N/A", '.').is_some_and(f64::is_nan));
        assert_eq!(figure("inf", '.'), None);
        assert_eq!(figure("idle", '.'), None);
    }

    #[test]
    fn times_as_recorders_write_them() {
        assert_eq!(moment("00:01:02.5"), Some(62.5));
        assert_eq!(moment("01:02,5"), Some(62.5));
        assert_eq!(moment("1970-01-02T00:00:01Z"), Some(86_401.0));
        assert_eq!(moment("02.01.1970 00:00:01"), Some(86_401.0));
        assert_eq!(moment("1/2/1970 00:00:01"), Some(86_401.0));
        assert_eq!(moment("12.5"), None);
        assert_eq!(moment("2026-13-40T00:00:00"), None);
    }
}
