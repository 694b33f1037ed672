//! Words for pictures: the same on every command that draws one.

use std::path::PathBuf;

use clap::Args as ClapArgs;

/// Where the picture of a command goes.
#[derive(Debug, ClapArgs)]
pub(crate) struct PictureArg {
    /// Also draw it into this SVG file.
    #[arg(long, value_name = "FILE")]
    pub(crate) svg: Option<PathBuf>,
    /// Also draw it into this PNG file.
    #[arg(long, value_name = "FILE")]
    pub(crate) png: Option<PathBuf>,
}
