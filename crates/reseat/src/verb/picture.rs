//! Writing pictures for the verbs: SVG as it is drawn, PNG from the same drawing.

use std::path::Path;

use crate::args::picture::PictureArg;
use crate::exit::Failure;
use crate::verb::file::write;

/// Writes the picture of a command where it is wanted; it is drawn once, and only then.
pub(crate) fn write_pictures(wanted: &PictureArg, draw: impl FnOnce() -> String) -> Result<(), Failure> {
    if wanted.svg.is_none() && wanted.png.is_none() {
        return Ok(());
    }
    let picture = draw();
    if let Some(file) = &wanted.svg {
        write(file, picture.as_bytes())?;
    }
    if let Some(file) = &wanted.png {
        write(file, &paper::png::png(&picture)?)?;
    }
    Ok(())
}

/// Writes a picture into a file of its own: PNG where its name ends in `.png`, else SVG.
pub(crate) fn write_picture(file: &Path, picture: &str) -> Result<(), Failure> {
    if file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        write(file, &paper::png::png(picture)?)?;
    } else {
        write(file, picture.as_bytes())?;
    }
    Ok(())
}
