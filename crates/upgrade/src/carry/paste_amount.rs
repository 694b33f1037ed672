//! How much paste to put, as a person can see it.

use core::f64::consts::PI;

use physics::paste::bond_line::thickness_m;
use quantity::dimension::{Length, Volume};

use crate::machine::proposal::Proposal;
use crate::part::paste::Paste;

/// An amount of paste.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PasteAmount {
    /// Volume.
    pub volume: Volume,
    /// Diameter of the bead that holds it: a ball, as it comes from the tube.
    pub bead: Length,
}

/// Share of the lid that must be covered, and what is put over the exact volume.
///
/// # Source
/// common practice, no source: the outermost rim of a lid is not pressed; a little runs out.
const COVERED: f64 = 0.9;
const OVER: f64 = 1.15;

/// The amount for the joint of the machine-to-be, or `None` where lid, paste or force are unknown.
///
/// # Model
/// Volume of a film as thick as the bond-line scaling law says, over the covered share of the lid. The shape
/// in which it is put is left out: a bead in the middle is assumed.
///
/// # Source
/// R. S. Prasher et al., J. Heat Transfer 125(6), 1170-1177, 2003 (constants from memory).
pub fn amount(proposal: &Proposal<'_>) -> Option<PasteAmount> {
    amount_of(proposal, proposal.changes.paste?)
}

/// The amount of a paste for the joint of the machine-to-be, whether it is put or there already.
pub fn amount_of(proposal: &Proposal<'_>, paste: &Paste) -> Option<PasteAmount> {
    let package = &proposal.processor().package;
    let lid_m2 = package.lid_width.get()?.middle().si() * package.lid_depth.get()?.middle().si();
    let force = proposal.cooler().force.get()?.low().si();
    let thick = thickness_m(paste.yield_stress.get()?.high().si(), force / lid_m2).ok()?;
    let grains = paste.filler_size.get().map_or(0.0, |size| size.high().si());
    let volume = lid_m2 * COVERED * OVER * thick.max(grains);
    Some(PasteAmount { volume: Volume::from_si(volume), bead: Length::from_si((6.0 * volume / PI).cbrt()) })
}

/// The amount in words for a job sheet.
pub fn words(proposal: &Proposal<'_>) -> String {
    match amount(proposal) {
        Some(amount) => {
            format!("a bead {} across ({})", amount.bead.rounded(2), amount.volume.rounded(2))
        }
        None => "as much as its maker says for a lid of this size".to_owned(),
    }
}
