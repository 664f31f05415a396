//! A picture as it may be kept: made anew from its pixels, so that nothing else a phone wrote into it comes along.
//!
//! Where and when it was taken, by which device, a small preview, what was cut away: all that stands beside the pixels and
//! is left behind. The pixels are turned the way the phone was held.

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, Rgb, RgbImage};
use std::io::Cursor;

/// Pixels of a picture at most: what the largest sensors of phones give in their usual way (from memory).
pub const MOST_PIXELS: u64 = 64_000_000;
/// Bytes that the pixels may take while they are read.
const MOST_BYTES: u64 = 300_000_000;
/// The longer side of what is kept, pixels: a crack in a hose can still be seen, and a phone shows it at once.
pub const LONGEST_SIDE: u32 = 3200;
/// Quality of what is kept, 1 to 100.
const QUALITY: u8 = 85;

/// Why a picture was not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotTaken {
    /// Another sort of file.
    #[error("this is no picture that can be read: JPEG, PNG or WebP is wanted")]
    OtherSort,
    /// Too many pixels.
    #[error("the picture has {width} × {height} pixels, and {} million is the most; make it smaller", MOST_PIXELS / 1_000_000)]
    TooManyPixels {
        /// Width.
        width: u32,
        /// Height.
        height: u32,
    },
    /// A picture that ends early or makes no sense.
    #[error("the picture is damaged: {why}; take it again")]
    Damaged {
        /// What was found.
        why: String,
    },
}

/// The picture as JPEG, made anew.
///
/// # Errors
/// [`NotTaken`]; no more memory is used than [`MOST_PIXELS`] need, whatever the file says.
pub fn made_anew(bytes: &[u8]) -> Result<Vec<u8>, NotTaken> {
    let upright = read(bytes)?;
    let small = if upright.width().max(upright.height()) > LONGEST_SIDE {
        upright.thumbnail(LONGEST_SIDE, LONGEST_SIDE)
    } else {
        upright
    };
    let mut made = Vec::new();
    JpegEncoder::new_with_quality(&mut made, QUALITY)
        .encode_image(&on_white(small))
        .map_err(|error| damaged(&error))?;
    Ok(made)
}

/// Reads a picture and turns it upright.
fn read(bytes: &[u8]) -> Result<DynamicImage, NotTaken> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|_| NotTaken::OtherSort)?;
    if !matches!(
        reader.format(),
        Some(ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP)
    ) {
        return Err(NotTaken::OtherSort);
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|error| damaged(&error))?;
    let (width, height) = decoder.dimensions();
    // Before a single pixel is read: a small file can promise a picture that fills the memory.
    if u64::from(width) * u64::from(height) > MOST_PIXELS || decoder.total_bytes() > MOST_BYTES {
        return Err(NotTaken::TooManyPixels { width, height });
    }
    // A picture whose way up cannot be read stays as it is.
    let way_up = decoder.orientation();
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|error| damaged(&error))?;
    if let Ok(way_up) = way_up {
        picture.apply_orientation(way_up);
    }
    Ok(picture)
}

/// What can be seen through is laid on white: JPEG has nothing to see through.
fn on_white(picture: DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return DynamicImage::ImageRgb8(picture.into_rgb8());
    }
    let clear = picture.into_rgba8();
    let mut laid = RgbImage::new(clear.width(), clear.height());
    for (from, to) in clear.pixels().zip(laid.pixels_mut()) {
        let [red, green, blue, alpha] = from.0.map(u32::from);
        let over =
            |colour: u32| u8::try_from((colour * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX);
        *to = Rgb([over(red), over(green), over(blue)]);
    }
    DynamicImage::ImageRgb8(laid)
}

fn damaged(error: &image::ImageError) -> NotTaken {
    NotTaken::Damaged {
        why: error.to_string(),
    }
}
