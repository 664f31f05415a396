//! Messages put together from frames: single, or a first one with others that follow (ISO 15765-2).

use super::log::Frame;
use std::collections::BTreeMap;

/// Whoever sends in the middle of a message.
#[derive(Debug, Default)]
pub(super) struct Messages {
    open: BTreeMap<u32, Open>,
    /// Messages that were begun and not ended, or whose parts do not follow each other.
    pub(super) broken: usize,
}

#[derive(Debug)]
struct Open {
    data: Vec<u8>,
    length: usize,
    /// Number of the next part, 0 to 15.
    next: u8,
}

impl Messages {
    /// The message that ends with this frame. Only modules that answer are listened to: 7E8 to 7EF, and 18DAF1xx (ISO
    /// 15765-4).
    pub(super) fn take(&mut self, frame: &Frame) -> Option<Vec<u8>> {
        let answers = (0x7E8..=0x7EF).contains(&frame.id) || frame.id & 0x1FFF_FF00 == 0x18DA_F100;
        let first = *frame.data.first().filter(|_| answers)?;
        match first >> 4 {
            0 => {
                let length = usize::from(first & 0x0F);
                let data = frame.data.get(1..=length).filter(|data| !data.is_empty());
                self.broken += usize::from(data.is_none());
                data.map(<[u8]>::to_vec)
            }
            1 => {
                let low = *frame.data.get(1)?;
                let length = usize::from(first & 0x0F) << 8 | usize::from(low);
                let open = Open {
                    data: frame.data[2..].to_vec(),
                    length,
                    next: 1,
                };
                let before = self.open.insert(frame.id, open);
                self.broken += usize::from(before.is_some());
                None
            }
            2 => self.more(frame, first & 0x0F),
            // A request for more, or nothing that is known.
            _ => None,
        }
    }

    fn more(&mut self, frame: &Frame, number: u8) -> Option<Vec<u8>> {
        let open = self.open.get_mut(&frame.id)?;
        if open.next != number {
            self.open.remove(&frame.id);
            self.broken += 1;
            return None;
        }
        open.next = (open.next + 1) & 0x0F;
        open.data.extend_from_slice(&frame.data[1..]);
        if open.data.len() < open.length {
            return None;
        }
        let mut whole = self.open.remove(&frame.id)?;
        whole.data.truncate(whole.length);
        Some(whole.data)
    }
}
