//! Photos taken in: decoded and encoded anew, so that nothing but the picture is kept.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder as _, ImageReader, Limits};

/// Largest file that is taken.
pub const LARGEST_BYTES: usize = 12 * 1024 * 1024;
/// Longest side that is kept.
const LONGEST: u32 = 1600;
/// Longest side that is decoded at all.
const LONGEST_IN: u32 = 12_000;
/// Memory that decoding may take.
const MEMORY: u64 = 256 * 1024 * 1024;
const QUALITY: u8 = 82;

/// A photo as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clean {
    /// JPEG.
    pub jpeg: Vec<u8>,
    /// Pixels across and down.
    pub size: (u32, u32),
}

/// Why a photo is not taken.
#[derive(Debug, thiserror::Error)]
pub enum NoPhoto {
    /// Too large a file.
    #[error("the photo is larger than {} MB: make it smaller first", LARGEST_BYTES / 1024 / 1024)]
    TooLarge,
    /// Neither JPEG nor PNG, or damaged, or of too many pixels.
    #[error("the photo cannot be read: give a JPEG or PNG file of at most {LONGEST_IN} pixels a side ({0})")]
    Unreadable(image::ImageError),
    /// No file was chosen.
    #[error("no photo was chosen")]
    Empty,
}

/// The photo upright, at most 1600 pixels long, without anything that came along with it: place, time, camera.
///
/// # Errors
/// See [`NoPhoto`].
pub fn clean(bytes: &[u8]) -> Result<Clean, NoPhoto> {
    if bytes.is_empty() {
        return Err(NoPhoto::Empty);
    }
    if bytes.len() > LARGEST_BYTES {
        return Err(NoPhoto::TooLarge);
    }
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| NoPhoto::Unreadable(image::ImageError::IoError(error)))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_IN);
    limits.max_image_height = Some(LONGEST_IN);
    limits.max_alloc = Some(MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(NoPhoto::Unreadable)?;
    // Which way is up is said beside the picture; it is turned before that is dropped.
    let turned = decoder.orientation().map_err(NoPhoto::Unreadable)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(NoPhoto::Unreadable)?;
    picture.apply_orientation(turned);
    if picture.width().max(picture.height()) > LONGEST {
        picture = picture.thumbnail(LONGEST, LONGEST);
    }
    let plain = picture.to_rgb8();
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY).encode_image(&plain).map_err(NoPhoto::Unreadable)?;
    Ok(Clean { jpeg, size: plain.dimensions() })
}
