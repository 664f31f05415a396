//! Numbers that stand for states, so that a state reached in two ways is one node.

use std::hash::{BuildHasherDefault, Hasher};

/// What is known of a state, as 128 bits. Two states with the same key are the same state; that two others meet by chance is
/// less likely than a fault of the memory (some 10⁻²⁵ in ten million nodes).
pub(crate) type Key = u128;

/// 128 well mixed bits for a number. Mixer: the finaliser of the splitmix generator (Steele, Lea and Flood, OOPSLA 2014).
pub(crate) fn bits(number: u64) -> Key {
    let low = splitmix(number.wrapping_add(0x9e37_79b9_7f4a_7c15));
    let high = splitmix(low ^ 0xd1b5_4a32_d192_ed03);
    (Key::from(high) << 64) | Key::from(low)
}

fn splitmix(mut x: u64) -> u64 {
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// Bits for one of several sorts of numbers.
pub(crate) fn sorted_bits(sort: u64, number: u64) -> Key {
    bits(splitmix(sort.wrapping_mul(0xa076_1d64_78bd_642f)) ^ number)
}

/// 64 bits of a key.
#[allow(
    clippy::cast_possible_truncation,
    reason = "the low half is as well mixed as the whole"
)]
pub(crate) fn fold(key: Key) -> u64 {
    splitmix(key as u64 ^ (key >> 64) as u64)
}

/// A hasher for keys whose bits are mixed already.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Mixed(u64);

impl Hasher for Mixed {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }

    fn write_u64(&mut self, number: u64) {
        self.0 = splitmix(self.0 ^ number);
    }

    #[allow(
        clippy::cast_possible_truncation,
        reason = "the low half is as well mixed as the whole"
    )]
    fn write_u128(&mut self, key: u128) {
        self.0 = key as u64;
    }
}

/// A map by mixed keys.
pub(crate) type ByKey<K, V> = std::collections::HashMap<K, V, BuildHasherDefault<Mixed>>;
