//! Every command that draws gives its picture as SVG and as PNG.

use crate::run::{complains, prints};

/// Width and height in the header of a PNG.
///
/// # Source
/// Portable Network Graphics, third edition, W3C 2025: the eight bytes of the signature (5.2), then the chunk IHDR with
/// width and height in four bytes each, most significant first (11.2.1).
fn size(png: &[u8]) -> (u32, u32) {
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n") && png[12..16] == *b"IHDR");
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    (number(16), number(20))
}

#[test]
fn every_picture_is_there_as_svg_and_as_png() {
    let folder = std::env::temp_dir().join(format!("reseat-pictures-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let (svg, png) = (folder.join("one.svg"), folder.join("one.png"));
    let names = [svg.to_str().unwrap(), png.to_str().unwrap()];
    for words in [&["heat", "demo"][..], &["power", "demo"], &["plan", "demo"], &["chart", "demo"]] {
        prints(&[words, &["--svg", names[0], "--png", names[1]]].concat(), 0);
        let drawn = std::fs::read_to_string(&svg).unwrap();
        assert!(drawn.starts_with("<svg") && drawn.ends_with("</svg>"), "{words:?}");
        let wide = drawn.split_once("width=\"").unwrap().1.split_once('"').unwrap().0;
        let wide: f64 = wide.parse().unwrap();
        assert_eq!(f64::from(size(&std::fs::read(&png).unwrap()).0), 2.0 * wide, "{words:?}");
    }
    // A picture with an option of its own goes by the ending of its name.
    prints(&["heat", "demo", "--lid", names[1]], 0);
    assert_eq!(size(&std::fs::read(&png).unwrap()).0, 1520);
    let told = complains(&["heat", "demo", "--png", "/no/such/place/heat.png"], 2);
    assert!(told.contains("cannot write"), "{told}");
    std::fs::remove_dir_all(&folder).unwrap();
}
