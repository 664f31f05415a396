//! A picture keeps its pixels and nothing else, and none fills the memory.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use desk::photo::{LONGEST_SIDE, MOST_PIXELS, NotTaken, made_anew};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage, Rgba, RgbaImage};
use std::io::Cursor;

/// A picture with a red corner at the top left.
fn red_corner(width: u32, height: u32) -> DynamicImage {
    let colour = |x, y| {
        let red = x < width / 2 && y < height / 2;
        Rgb(if red { [230, 20, 20] } else { [20, 20, 230] })
    };
    DynamicImage::ImageRgb8(RgbImage::from_fn(width, height, colour))
}

fn written(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// Exif as a phone writes it: which way up (Exif 2.32, tag 0x0112), and a place (tag 0x8825 with latitude 0x0002).
fn exif(way_up: u8) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0".to_vec();
    tiff.extend([2, 0]);
    tiff.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, way_up, 0, 0, 0]);
    tiff.extend([0x25, 0x88, 4, 0, 1, 0, 0, 0, 38, 0, 0, 0]);
    tiff.extend([0; 4]);
    tiff.extend([2, 0]);
    tiff.extend([0x01, 0x00, 2, 0, 2, 0, 0, 0, b'N', 0, 0, 0]);
    tiff.extend([0x02, 0x00, 5, 0, 3, 0, 0, 0, 68, 0, 0, 0]);
    tiff.extend([0; 4]);
    for number in [47_u32, 1, 22, 1, 4242, 100] {
        tiff.extend(number.to_le_bytes());
    }
    tiff.extend(b"SECRET-PLACE");
    tiff
}

/// A JPEG with Exif, a comment and a second small picture behind its end.
fn from_a_phone(picture: &DynamicImage, way_up: u8) -> Vec<u8> {
    let plain = written(picture, ImageFormat::Jpeg);
    let segment = |marker: u8, bytes: &[u8]| {
        let length = u16::try_from(bytes.len() + 2).unwrap().to_be_bytes();
        [&[0xff, marker], &length[..], bytes].concat()
    };
    let exif = segment(0xe1, &[b"Exif\0\0", &exif(way_up)[..]].concat());
    let comment = segment(0xfe, b"SECRET-COMMENT");
    let behind = b"SECRET-BEHIND".to_vec();
    [&plain[..2], &exif, &comment, &plain[2..], &behind].concat()
}

fn holds(bytes: &[u8], words: &str) -> bool {
    bytes
        .windows(words.len())
        .any(|window| window == words.as_bytes())
}

/// Where the red corner is: left, top.
fn corner(bytes: &[u8]) -> (bool, bool) {
    let picture = image::load_from_memory(bytes).unwrap().into_rgb8();
    let (width, height) = picture.dimensions();
    let red = |x: u32, y: u32| {
        let [red, _, blue] = picture.get_pixel(x, y).0;
        red > 150 && blue < 100
    };
    let places = [(true, true), (true, false), (false, true), (false, false)];
    let found = places.into_iter().filter(|(left, top)| {
        red(
            if *left { width / 8 } else { width * 7 / 8 },
            if *top { height / 8 } else { height * 7 / 8 },
        )
    });
    let found: Vec<_> = found.collect();
    assert_eq!(found.len(), 1, "{found:?}");
    found[0]
}

#[test]
fn place_and_words_stay_behind() {
    let photo = from_a_phone(&red_corner(320, 240), 1);
    let secrets = ["SECRET-PLACE", "SECRET-COMMENT", "SECRET-BEHIND", "Exif"];
    for secret in secrets {
        assert!(holds(&photo, secret), "{secret} is in the picture to begin with");
    }
    let made = made_anew(&photo).unwrap();
    for secret in secrets {
        assert!(!holds(&made, secret), "{secret}");
    }
    // No segment of an application but the plain beginning, no comment (ITU-T T.81, table B.1).
    let mut at = 2;
    while made[at + 1] != 0xda {
        assert!(
            matches!(made[at + 1], 0xe0 | 0xc0..=0xcf | 0xdb),
            "{:x}",
            made[at + 1]
        );
        at += 2 + usize::from(u16::from_be_bytes([made[at + 2], made[at + 3]]));
    }
}

#[test]
fn a_picture_stands_upright_however_the_phone_was_held() {
    // Exif 2.32, tag 0x0112: where row 0 and column 0 of the stored picture belong.
    for (way_up, expected, turned) in [
        (1, (true, true), false),
        (3, (false, false), false),
        (6, (false, true), true),
        (8, (true, false), true),
    ] {
        let made = made_anew(&from_a_phone(&red_corner(320, 240), way_up)).unwrap();
        let picture = image::load_from_memory(&made).unwrap();
        assert_eq!(picture.width() < picture.height(), turned, "{way_up}");
        assert_eq!(corner(&made), expected, "{way_up}");
    }
}

#[test]
fn the_same_picture_is_the_same_file() {
    let photo = from_a_phone(&red_corner(64, 64), 1);
    assert_eq!(made_anew(&photo).unwrap(), made_anew(&photo).unwrap());
}

#[test]
fn png_and_webp_become_jpeg_and_what_is_clear_becomes_white() {
    let clear = DynamicImage::ImageRgba8(RgbaImage::from_pixel(32, 32, Rgba([0, 0, 0, 0])));
    for (picture, format) in [
        (&red_corner(64, 64), ImageFormat::Png),
        (&red_corner(64, 64), ImageFormat::WebP),
        (&clear, ImageFormat::Png),
        (&clear, ImageFormat::WebP),
    ] {
        let made = made_anew(&written(picture, format)).unwrap();
        assert_eq!(image::guess_format(&made).unwrap(), ImageFormat::Jpeg);
    }
    let made = made_anew(&written(&clear, ImageFormat::Png)).unwrap();
    let pixel = image::load_from_memory(&made).unwrap().into_rgb8();
    assert!(pixel.get_pixel(16, 16).0.iter().all(|colour| *colour > 250));
}

#[test]
fn a_large_picture_becomes_small_enough_to_send() {
    let made = made_anew(&written(&red_corner(LONGEST_SIDE + 400, 300), ImageFormat::Png)).unwrap();
    let picture = image::load_from_memory(&made).unwrap();
    assert_eq!(picture.width(), LONGEST_SIDE);
    assert_eq!(corner(&made), (true, true));
}

/// A PNG of some hundred bytes that promises 60,000 × 60,000 pixels (PNG, section 11.2.2).
fn bomb() -> Vec<u8> {
    let mut png = written(&red_corner(8, 8), ImageFormat::Png);
    png[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
    png[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
    let sum = crc(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    png
}

/// CRC-32 as in PNG, annex D.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                (sum >> 1) ^ 0xedb8_8320
            } else {
                sum >> 1
            }
        })
    })
}

#[test]
fn a_picture_that_would_fill_the_memory_is_refused_before_it_is_read() {
    let refused = made_anew(&bomb());
    assert_eq!(
        refused,
        Err(NotTaken::TooManyPixels {
            width: 60_000,
            height: 60_000
        })
    );
    const { assert!(60_000_u64 * 60_000 > MOST_PIXELS) };
    // A JPEG too: height and width stand in its frame (ITU-T T.81, B.2.2).
    let mut jpeg = written(&red_corner(8, 8), ImageFormat::Jpeg);
    let frame = jpeg.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    assert!(made_anew(&jpeg).is_err());
}

#[test]
fn what_is_no_picture_is_refused_in_words() {
    for other in [
        &b""[..],
        b"GIF89a",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7",
        &[0xff; 100],
    ] {
        assert_eq!(made_anew(other), Err(NotTaken::OtherSort));
    }
    let whole = written(&red_corner(64, 64), ImageFormat::Png);
    let cut = made_anew(&whole[..whole.len() / 2]).unwrap_err();
    assert!(cut.to_string().starts_with("the picture is damaged"), "{cut}");
}

#[test]
fn damage_anywhere_never_panics() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let whole = written(&red_corner(24, 16), format);
        for at in 0..whole.len() {
            let mut damaged = whole.clone();
            damaged[at] ^= 0xff;
            let _ = made_anew(&damaged);
            let _ = made_anew(&whole[..at]);
        }
    }
}
