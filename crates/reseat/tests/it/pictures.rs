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
    prints(&["heat", "demo", "--warming", names[1]], 0);
    assert_eq!(size(&std::fs::read(&png).unwrap()).0, 1520);
    let told = complains(&["heat", "demo", "--png", "/no/such/place/heat.png"], 2);
    assert!(told.contains("cannot write"), "{told}");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_film_moves_for_whoever_wants_it_and_its_frames_are_pictures_of_one_size() {
    let folder = std::env::temp_dir().join(format!("reseat-film-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let (film, frames) = (folder.join("film.svg"), folder.join("frames"));
    let words = ["paste", "demo", "--with", "skerry-fine", "--pattern", "five-dots"];
    let files = ["--film", film.to_str().unwrap(), "--frames", frames.to_str().unwrap()];
    let text = prints(&[&words[..], &files].concat(), 0);
    assert!(text.contains("five dots pressed"), "{text}");
    let film = std::fs::read_to_string(&film).unwrap();
    assert!(film.contains("prefers-reduced-motion:no-preference") && !film.contains("<script"));
    let mut names: Vec<_> = std::fs::read_dir(&frames).unwrap().map(|entry| entry.unwrap().path()).collect();
    names.sort();
    assert!(names.len() > 10 && names[0].ends_with("001.png"), "{names:?}");
    let sizes: std::collections::BTreeSet<_> =
        names.iter().map(|name| size(&std::fs::read(name).unwrap())).collect();
    assert_eq!(sizes.len(), 1, "{sizes:?}");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn beads_of_ones_own_are_pressed_beside_the_usual_patterns() {
    let words = ["paste", "demo", "--with", "skerry-fine", "--bead", "-9, 0 to 9, 0", "--bead", "0, 6"];
    let text = prints(&words, 0);
    assert!(text.contains("own beads") && text.contains("five dots"), "{text}");
    let told = complains(&["paste", "demo", "--with", "skerry-fine", "--bead", "9 W, 1"], 2);
    assert!(told.contains("9 W"), "{told}");
    let told = complains(&["paste", "demo", "--with", "skerry-fine", "--bead", "90, 1"], 2);
    assert!(told.contains("under the lid"), "{told}");
    let told = complains(&["heat", "demo", "--pattern", "dot"], 2);
    assert!(told.contains("--lid"), "{told}");
}
