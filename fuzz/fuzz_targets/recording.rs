//! Any bytes as a recording: never a panic; what is taken has rising times and columns as long as them, and is looked through.

#![no_main]

use drive::{Import, TripRules, features, read, trips};
use libfuzzer_sys::fuzz_target;

const FRAMES: &str = "(0.0) can0 7E8#04410C0C80\n(0.5) can0 7E8#10084133624237A6\n(0.6) can0 7E8#210D00\n";
const SOUND: &str = "time (s),engine rpm,coolant temp (°C)\n0,0,20\n1,800,21\n2,820,22\n";

fuzz_target!(|input: (u8, usize, &[u8])| {
    let (sort, at, bytes) = input;
    let mut text = if sort & 1 == 0 { SOUND } else { FRAMES }.as_bytes().to_vec();
    if sort & 2 == 0 {
        let at = at % (text.len() + 1);
        text.splice(at..at, bytes.iter().copied());
    } else {
        text = bytes.to_vec();
    }
    let Ok(recording) = read(&text, &Import::default()) else {
        return;
    };
    assert!(recording.time.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", recording.time);
    assert!(recording.columns.iter().all(|column| column.values.len() == recording.time.len()));
    trips(&recording, &TripRules::default());
    features(&recording);
});
