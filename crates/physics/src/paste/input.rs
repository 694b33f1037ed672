//! What a pressing is given: lid, paste, amount, pattern and force, and whether they make sense.

use crate::paste::gap_shape::GapShape;
use crate::paste::pattern::Pattern;
use crate::paste::rheology::FlowLaw;
use crate::paste::tightening::Tightening;
use crate::refusal::{Refusal, not_negative, positive, within};

/// Everything the pressing needs.
#[derive(Debug, Clone, PartialEq)]
pub struct PressInput {
    /// Length of the lid, along x.
    pub length_m: f64,
    /// Width of the lid, along y.
    pub width_m: f64,
    /// Cells along length and width, 8 to 2048 each.
    pub cells: (usize, usize),
    /// How the faces differ from flat.
    pub shape: GapShape,
    /// How the paste flows.
    pub paste: FlowLaw,
    /// Thickness at which grains of filler lie between the faces and carry; 0 for none.
    pub filler_limit_m: f64,
    /// Volume of paste.
    pub volume_m3: f64,
    /// Where it is put.
    pub pattern: Pattern,
    /// Gap at which the lid meets the paste: the beads are taken as flattened to it.
    pub initial_gap_m: f64,
    /// How the force comes.
    pub tightening: Tightening,
    /// When to end at the latest.
    pub time_limit_s: f64,
    /// Share of the gap closing in a second below which the film counts as final.
    pub stall_per_s: f64,
    /// Whether a lid alike on all four sides is computed as a quarter.
    pub symmetry: Symmetry,
}

/// Use of symmetry. The answer is the same within the tolerance of the pressure solve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symmetry {
    /// Compute a quarter where lid, pattern and load allow it.
    Use,
    /// Compute the whole lid.
    Ignore,
}

impl PressInput {
    /// A flat lid with a centred load: the usual start, other fields to be changed after.
    ///
    /// # Example
    /// ```
    /// use physics::paste::{input::PressInput, pattern::Pattern, press::{Go, press}, rheology::FlowLaw};
    /// let mut input = PressInput::flat(0.03, 0.03, FlowLaw::bingham(100.0, 80.0), 60e-9, Pattern::Dot, 200.0);
    /// input.cells = (64, 64);
    /// let film = press(&input, &mut |_| Go::On)?;
    /// assert!(film.coverage > 0.5 && film.volume_drift < 1e-12);
    /// # Ok::<(), physics::refusal::Refusal>(())
    /// ```
    pub fn flat(
        length_m: f64,
        width_m: f64,
        paste: FlowLaw,
        volume_m3: f64,
        pattern: Pattern,
        force_n: f64,
    ) -> Self {
        Self {
            length_m,
            width_m,
            cells: (128, 128),
            shape: GapShape::Flat,
            paste,
            filler_limit_m: 0.0,
            volume_m3,
            pattern,
            initial_gap_m: 5e-4,
            tightening: Tightening::at_once(force_n),
            time_limit_s: 600.0,
            stall_per_s: 1e-4,
            symmetry: Symmetry::Use,
        }
    }

    pub(crate) fn checked(&self) -> Result<(), Refusal> {
        within("lid length", self.length_m, (1e-3..=1.0).contains(&self.length_m), "0.001 to 1 m")?;
        within("lid width", self.width_m, (1e-3..=1.0).contains(&self.width_m), "0.001 to 1 m")?;
        for cells in [self.cells.0, self.cells.1] {
            within("cells", cells as f64, (8..=2048).contains(&cells), "8 to 2048 along a side")?;
        }
        self.paste.checked()?;
        not_negative("filler limit", self.filler_limit_m)?;
        positive("paste volume", self.volume_m3)?;
        within(
            "initial gap",
            self.initial_gap_m,
            self.initial_gap_m > 0.0 && self.initial_gap_m <= 0.02,
            "above 0 to 0.02 m",
        )?;
        within(
            "initial gap",
            self.initial_gap_m,
            self.initial_gap_m > self.filler_limit_m,
            "above the filler limit",
        )?;
        let most = 0.5 * self.length_m * self.width_m * self.initial_gap_m.max(1e-3);
        within(
            "paste volume",
            self.volume_m3,
            self.volume_m3 <= most,
            "at most half of what goes under the lid",
        )?;
        if !self.shape.is_sound() {
            let expected = "whole rows of finite heights below 0.01 m";
            return Err(Refusal { name: "gap shape", found: f64::NAN, expected });
        }
        positive("time limit", self.time_limit_s)?;
        not_negative("stall rate", self.stall_per_s)?;
        if let Pattern::Layer { share } = self.pattern {
            within("share of the layer", share, share > 0.0 && share <= 1.0, "above 0 to 1")?;
        }
        if let Pattern::Custom(beads) = &self.pattern {
            positive("number of beads", beads.len() as f64)?;
            for (x, y) in beads.iter().flat_map(|bead| [bead.from_m, bead.to_m]) {
                within("x of a bead", x, x.abs() <= self.length_m / 2.0, "a place under the lid")?;
                within("y of a bead", y, y.abs() <= self.width_m / 2.0, "a place under the lid")?;
            }
        }
        self.tightening.clone().checked()?;
        Ok(())
    }

    pub(crate) fn is_quarter(&self) -> bool {
        self.symmetry == Symmetry::Use
            && self.cells.0.is_multiple_of(2)
            && self.cells.1.is_multiple_of(2)
            && self.shape.is_symmetric()
            && self.pattern.is_symmetric()
            && self.tightening.is_centred()
    }
}
