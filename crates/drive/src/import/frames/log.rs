//! A frame a line, as the Linux CAN utilities log and print them:
//! `(1436509052.249713) can0 7E8#04410C1AF8` and `(0.249713)  can0  7E8   [5]  04 41 0C 1A F8`.

/// One frame.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Frame {
    /// Seconds, from whatever beginning.
    pub(super) time: f64,
    pub(super) id: u32,
    pub(super) data: Vec<u8>,
}

/// Lines looked at.
const HEAD: usize = 20;

/// Whether a text is such a log: most of its first lines are frames.
pub(in crate::import) fn is_log(text: &str) -> bool {
    let lines = text.lines().filter(|line| !line.trim().is_empty()).take(HEAD);
    let (all, frames) = lines.fold((0, 0), |(all, frames), line| {
        (all + 1, frames + usize::from(frame(line).is_some()))
    });
    frames > 0 && 2 * frames >= all
}

/// The frame of a line; `None` if it is none with data.
pub(super) fn frame(line: &str) -> Option<Frame> {
    let (time, rest) = line.trim().strip_prefix('(')?.split_once(')')?;
    let time: f64 = time.trim().parse().ok().filter(|time: &f64| time.is_finite())?;
    let mut words = rest.split_whitespace();
    let _bus = words.next()?;
    let word = words.next()?;
    if let Some((id, data)) = word.split_once('#') {
        return Some(Frame {
            time,
            id: identifier(id)?,
            data: bytes(data)?,
        });
    }
    let id = identifier(word)?;
    let count = words
        .next()?
        .strip_prefix('[')?
        .strip_suffix(']')?
        .parse::<usize>()
        .ok()?;
    let data: Vec<u8> = words
        .take(count)
        .map(|byte| u8::from_str_radix(byte, 16).ok())
        .collect::<Option<_>>()?;
    (data.len() == count).then_some(Frame { time, id, data })
}

fn identifier(text: &str) -> Option<u32> {
    u32::from_str_radix(text, 16)
        .ok()
        .filter(|id| text.len() <= 8 && *id < 1 << 29)
}

/// Pairs of hexadecimal digits; eight bytes at most, as a classic frame has.
fn bytes(text: &str) -> Option<Vec<u8>> {
    if !text.is_ascii() || text.len() % 2 == 1 || text.len() > 16 {
        return None;
    }
    (0..text.len())
        .step_by(2)
        .map(|at| u8::from_str_radix(&text[at..at + 2], 16).ok())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_forms_are_one_frame() {
        let one = frame("(1436509052.249713) can0 7E8#04410C1AF8").unwrap();
        let other = frame(" (1436509052.249713)  can0  7E8   [5]  04 41 0C 1A F8").unwrap();
        assert_eq!(one, other);
        assert_eq!((one.id, one.data.len()), (0x7E8, 5));
    }

    #[test]
    fn what_is_no_frame_is_none() {
        for line in [
            "",
            "time,rpm",
            "(x) can0 7E8#00",
            "(1.0) can0 7E8#0",
            "(1.0) can0 7E8#R",
            "(1.0) can0 7E8 [3] 01 02",
            "(1.0) can0 FFFFFFFF#00",
            "(1.0) can0 7E8#é0",
        ] {
            assert_eq!(frame(line), None, "{line}");
        }
    }
}
