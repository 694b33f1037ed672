//! Photos: only pictures, encoded anew, without where and when they were taken.

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use page::photo::{NoPhoto, clean};

fn jpeg() -> Vec<u8> {
    let picture = RgbImage::from_fn(40, 20, |x, _| if x < 20 { Rgb([255, 0, 0]) } else { Rgb([0, 0, 255]) });
    let mut out = Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(picture).write_to(&mut out, ImageFormat::Jpeg).unwrap();
    out.into_inner()
}

/// A JPEG with an Exif segment: turned by a quarter, and a text where a place would be.
///
/// # Source
/// The layout of the segment: CIPA DC-008 (Exif 2.3), 4.5 and 4.7; orientation 6 turns clockwise by 90 degrees.
fn with_exif(jpeg: &[u8]) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08\0\x02".to_vec();
    tiff.extend(b"\x01\x12\0\x03\0\0\0\x01\0\x06\0\0");
    tiff.extend(b"\x01\x0e\0\x02\0\0\0\x10\0\0\0\x26\0\0\0\0");
    tiff.extend(b"52.5200N 13.405E");
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    let mut out = jpeg[..2].to_vec();
    out.extend([0xff, 0xe1]);
    out.extend(u16::try_from(segment.len() + 2).unwrap().to_be_bytes());
    out.extend(segment);
    out.extend(&jpeg[2..]);
    out
}

#[test]
fn place_is_dropped_and_the_picture_stands_upright() {
    let given = with_exif(&jpeg());
    assert!(given.windows(8).any(|part| part == b"52.5200N"));
    let kept = clean(&given).unwrap();
    assert!(!kept.jpeg.windows(4).any(|part| part == b"Exif" || part == b"52.5"));
    assert_eq!(kept.size, (20, 40), "turned upright");
}

#[test]
fn what_is_no_picture_is_refused() {
    assert!(matches!(clean(b""), Err(NoPhoto::Empty)));
    assert!(matches!(clean(b"<svg onload=alert(1)>"), Err(NoPhoto::Unreadable(_))));
    assert!(matches!(clean(&jpeg()[..60]), Err(NoPhoto::Unreadable(_))));
    assert!(matches!(clean(&vec![0; page::photo::LARGEST_BYTES + 1]), Err(NoPhoto::TooLarge)));
}

#[test]
fn a_picture_of_too_many_pixels_is_refused_before_it_is_decoded() {
    // The head of a PNG of 60,000 by 60,000 pixels (PNG specification, 11.2.2), with its check sum.
    let mut head = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\xea\x60\0\0\xea\x60\x08\x02\0\0\0".to_vec();
    head.extend(0x0fb0_e215_u32.to_be_bytes());
    let refused = clean(&head);
    assert!(matches!(refused, Err(NoPhoto::Unreadable(image::ImageError::Limits(_)))), "{refused:?}");
}
