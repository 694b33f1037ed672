//! The two joints of the heat path: die to lid, and lid to cooler.

use physics::paste::bond_line::thickness_m;

use crate::carry::joint_state::{History, JointState, joint_state, seen};
use crate::machine::present::PasteState;
use crate::machine::proposal::Proposal;
use crate::part::cooler::Cooler;
use crate::part::paste::Paste;
use crate::part::processor::{InnerJoint, Processor};

/// Thermal resistance of unit area of what joins die and lid, in mm2 K/W.
///
/// # Source
/// common practice, no source.
pub const fn inner_joint_mm2k_w(joint: Option<InnerJoint>) -> (f64, f64) {
    match joint {
        Some(InnerJoint::Solder) => (3.0, 8.0),
        Some(InnerJoint::Paste) => (10.0, 25.0),
        Some(InnerJoint::BareDie) => (0.0, 0.0),
        None => (3.0, 25.0),
    }
}

/// Thermal resistance of unit area of a fresh joint of an unknown paste, in mm2 K/W.
///
/// # Source
/// common practice, no source.
const UNKNOWN_PASTE_MM2K_W: (f64, f64) = (4.0, 20.0);

/// What the two boundaries of a joint add, in mm2 K/W.
///
/// # Source
/// common practice, no source.
pub const BOUNDARIES_MM2K_W: (f64, f64) = (0.5, 3.0);

/// Thermal resistance of unit area of a fresh joint, in mm2 K/W.
///
/// # Model
/// Thickness by the bond-line scaling law at the cooler's pressure on the lid, no thinner than the
/// filler's grains, over the paste's conductivity, plus the boundaries.
///
/// # Source
/// R. S. Prasher et al., J. Heat Transfer 125(6), 1170-1177, 2003 (constants from memory).
fn fresh_joint_mm2k_w(paste: Option<&Paste>, processor: &Processor, cooler: &Cooler) -> (f64, f64) {
    let known = || {
        let paste = paste?;
        let (conductivity, stress) = (paste.conductivity.get()?, paste.yield_stress.get()?);
        let force = cooler.force.get()?;
        let lid_m2 = processor.package.lid_width.get()?.middle().si()
            * processor.package.lid_depth.get()?.middle().si();
        let grains = paste.filler_size.get().map_or(0.0, |size| size.low().si());
        let thickness =
            |stress: f64, force: f64| thickness_m(stress, force / lid_m2).ok().map(|t| t.max(grains));
        let thin = thickness(stress.low().si(), force.high().si())?;
        let thick = thickness(stress.high().si(), force.low().si())?;
        Some((
            thin / conductivity.high().si() * 1e6 + BOUNDARIES_MM2K_W.0,
            thick / conductivity.low().si() * 1e6 + BOUNDARIES_MM2K_W.1,
        ))
    };
    known().unwrap_or(UNKNOWN_PASTE_MM2K_W)
}

/// The joint of the machine-to-be: its resistance of unit area fresh, in mm2 K/W, and its state.
pub fn joint(proposal: &Proposal<'_>) -> ((f64, f64), JointState) {
    let (paste, state) = match proposal.old_joint() {
        Some(joint) => {
            let history = History::of(joint, &proposal.now.setting);
            (joint.paste.as_ref(), joint_state(joint.state.get(), history.as_ref()))
        }
        None => (proposal.changes.paste, seen(PasteState::Fresh)),
    };
    (fresh_joint_mm2k_w(paste, proposal.processor(), proposal.cooler()), state)
}

/// Thermal resistance of unit area of the joint of the machine-to-be, in mm2 K/W.
pub fn paste_joint_mm2k_w(proposal: &Proposal<'_>) -> (f64, f64) {
    let (fresh, state) = joint(proposal);
    let times = state.times();
    (fresh.0 * times.0, fresh.1 * times.1)
}

/// Middle of a resistance of unit area, in m2 K/W.
pub fn middle_m2k_w((low_mm2k_w, high_mm2k_w): (f64, f64)) -> f64 {
    0.5e-6 * (low_mm2k_w + high_mm2k_w)
}
