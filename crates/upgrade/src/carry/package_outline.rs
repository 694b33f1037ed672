//! Where lid and largest die of a processor lie, every figure at its middle: what a map is drawn over.

use quantity::dimension::LengthDim;
use quantity::reading::Figure;

use crate::carry::heat::CORE_SHARE;
use crate::part::processor::Package;

/// A rectangle under the lid, in metres from the lid's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Centre.
    pub centre_m: (f64, f64),
    /// Half of each side.
    pub half_m: (f64, f64),
}

/// Lid and largest die.
#[derive(Debug, Clone, PartialEq)]
pub struct PackageOutline {
    /// Width and depth of the lid, in metres.
    pub lid_m: (f64, f64),
    /// The largest die.
    pub die: Outline,
    /// Its part where the cores make their heat.
    pub cores: Outline,
    /// What was taken for figures that are not known, in sentences.
    pub assumed: Vec<&'static str>,
}

impl Outline {
    /// From and to along x, and along y.
    pub fn ranges_m(&self) -> ((f64, f64), (f64, f64)) {
        let range = |at: f64, half: f64| (at - half, at + half);
        (range(self.centre_m.0, self.half_m.0), range(self.centre_m.1, self.half_m.1))
    }
}

/// Middle of a length.
///
/// # Errors
/// It is not known: the error is its name.
pub fn middle_m(figure: Figure<LengthDim>, what: &'static str) -> Result<f64, &'static str> {
    figure.get().map(|value| value.middle().si()).ok_or(what)
}

/// The outline of a package. A die whose place is not known lies in the middle; cores whose share of it is
/// not known take the middle of what dies have; both are told.
///
/// # Errors
/// A size that is not known: the error is its name.
pub fn outline(package: &Package) -> Result<PackageOutline, &'static str> {
    let die = package.dies.first().ok_or("the size of the die")?;
    let mut assumed = Vec::new();
    let centre_m = match (die.offset_x.get(), die.offset_y.get()) {
        (Some(x), Some(y)) => (x.middle().si(), y.middle().si()),
        (x, y) => {
            assumed.push("Where the die lies is not known: it is taken to lie in the middle of the lid.");
            (x.map_or(0.0, |x| x.middle().si()), y.map_or(0.0, |y| y.middle().si()))
        }
    };
    let half_m = (
        0.5 * middle_m(die.width, "the width of the die")?,
        0.5 * middle_m(die.depth, "the depth of the die")?,
    );
    let side = match die.core_area_share.get() {
        Some(share) => share.middle().si(),
        None => {
            assumed.push("How much of the die its cores take is not known: seven tenths are taken.");
            0.5 * (CORE_SHARE.0 + CORE_SHARE.1)
        }
    }
    .sqrt();
    Ok(PackageOutline {
        lid_m: (
            middle_m(package.lid_width, "the width of the lid")?,
            middle_m(package.lid_depth, "the depth of the lid")?,
        ),
        die: Outline { centre_m, half_m },
        cores: Outline { centre_m, half_m: (half_m.0 * side, half_m.1 * side) },
        assumed,
    })
}
