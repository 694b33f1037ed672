//! Pictures as PNG.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};

/// Why there is no PNG.
#[derive(Debug, thiserror::Error)]
pub enum NoPng {
    /// The picture cannot be read back.
    #[error("the picture could not be drawn as PNG")]
    Picture(#[from] resvg::usvg::Error),
    /// It has no size, or one that no memory holds.
    #[error("the picture could not be drawn as PNG: {width} by {height} dots cannot be held")]
    Size {
        /// Dots across.
        width: u32,
        /// Dots down.
        height: u32,
    },
    /// It cannot be packed.
    #[error("the picture could not be packed as PNG: {0}")]
    Packing(String),
}

/// Dots for each unit of the picture: sharp on a screen of twice the usual density, and in print at 192 dots an inch.
const DOTS_A_UNIT: f32 = 2.0;

/// The fonts inside the program; a letter they do not have is drawn as an empty box.
pub(crate) static FONTS: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut fonts = Database::new();
    fonts.load_font_data(dejavu::sans::regular().to_vec());
    fonts.load_font_data(dejavu::sans::bold().to_vec());
    fonts.set_sans_serif_family("DejaVu Sans");
    Arc::new(fonts)
});

/// A picture of [`draw::svg`] as PNG: the light colours, the program's own fonts, two dots for each unit.
///
/// # Errors
/// A picture that is not SVG, without size, or too large for the memory.
pub fn png(picture: &str) -> Result<Vec<u8>, NoPng> {
    let options =
        Options { font_family: "DejaVu Sans".to_owned(), fontdb: Arc::clone(&FONTS), ..Options::default() };
    let tree = Tree::from_str(&draw::svg::printed(picture), &options)?;
    let dots = |units: f32| (units * DOTS_A_UNIT).ceil() as u32;
    let (width, height) = (dots(tree.size().width()), dots(tree.size().height()));
    let mut sheet = Pixmap::new(width, height).ok_or(NoPng::Size { width, height })?;
    resvg::render(&tree, Transform::from_scale(DOTS_A_UNIT, DOTS_A_UNIT), &mut sheet.as_mut());
    sheet.encode_png().map_err(|error| NoPng::Packing(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::png;
    use draw::svg::{Anchor, Picture};
    use resvg::tiny_skia::{Pixmap, PremultipliedColorU8};

    fn drawn(text: &str) -> Pixmap {
        let mut picture = Picture::new(120.0, 40.0, "a picture");
        picture.rectangle((0.0, 0.0), (120.0, 40.0), "paper");
        picture.rectangle((80.0, 0.0), (40.0, 40.0), "ink");
        picture.text((4.0, 24.0), Anchor::Start, "head", text);
        Pixmap::decode_png(&png(&picture.finish()).unwrap()).unwrap()
    }

    fn colour(dot: PremultipliedColorU8) -> (u8, u8, u8) {
        (dot.red(), dot.green(), dot.blue())
    }

    #[test]
    fn a_picture_has_its_size_its_colours_and_its_letters() {
        let (with, without) = (drawn("Heat 1..2 °C"), drawn(""));
        assert_eq!((with.width(), with.height()), (240, 80));
        // --paper #fbfaf6 and --ink #1d2a2f of the light style.
        assert_eq!(colour(without.pixel(10, 10).unwrap()), (0xfb, 0xfa, 0xf6));
        assert_eq!(colour(without.pixel(200, 40).unwrap()), (0x1d, 0x2a, 0x2f));
        let inked = |sheet: &Pixmap| sheet.pixels().iter().filter(|dot| dot.red() < 0x80).count();
        assert!(inked(&with) > inked(&without) + 200, "letters leave ink");
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        assert!(png("no picture").is_err());
        assert!(png(r#"<svg xmlns="http://www.w3.org/2000/svg" width="1e9" height="1e9"/>"#).is_err());
    }
}
