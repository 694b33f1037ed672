//! Paste, lid and force of the machine-to-be, ready to press any pattern.

use physics::paste::film::PressOutcome;
use physics::paste::gap_shape::GapShape;
use physics::paste::input::PressInput;
use physics::paste::pattern::{Pattern, ToSee};
use physics::paste::press::{Go, Progress, press};
use physics::paste::rheology::FlowLaw;
use physics::paste::tightening::{Order, Screws, Tightening};
use quantity::dimension::{ThermalResistanceDim, Volume};
use quantity::reading::{Figure, Reading};

use crate::carry::joint::BOUNDARIES_MM2K_W;
use crate::carry::package_outline::{Outline, PackageOutline, outline};
use crate::carry::paste_amount::amount_of;
use crate::machine::proposal::Proposal;
use crate::part::cooler::Mounting;
use crate::part::paste::Paste;

/// Why no pressing can be computed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoPress {
    /// No paste is named.
    #[error("no paste is put on: name one with --with, from `reseat parts list --kind paste`")]
    NoPaste,
    /// A figure is missing.
    #[error("the pressing cannot be computed: {0} is not known")]
    Missing(&'static str),
    /// An order of screws for a cooler that has none.
    #[error("the cooler is held by {0}, not by screws: leave the order of tightening out")]
    NoScrews(&'static str),
    /// The figures mean nothing together.
    #[error("the pressing cannot be computed: {0}")]
    Refused(String),
}

/// How far lid and base bow away from each other between middle and edge.
///
/// # Source
/// common practice, no source: lids and bases are flat to a few hundredths of a millimetre.
const BOW_M: f64 = 15e-6;

/// Time in which a clip or lever is closed, and in which a screw is turned by one round.
///
/// # Source
/// common practice, no source.
const CLOSING_S: f64 = 2.0;
const SCREW_S: f64 = 3.0;

/// Distance of the screws from the lid's edge.
///
/// # Source
/// common practice, no source.
const SCREWS_OUTSIDE_M: f64 = 0.02;

/// One pattern pressed.
#[derive(Debug, Clone, PartialEq)]
pub struct Pressed {
    /// Pattern.
    pub pattern: Pattern,
    /// The amount as the eye meets it.
    pub to_see: ToSee,
    /// The film.
    pub film: PressOutcome,
    /// Share of the area over the largest die that is covered.
    pub over_die: f64,
    /// Mean thickness over that die, in metres; none where it is bare.
    pub thickness_over_die_m: Option<f64>,
    /// Resistance of the joint over that die's area, at both ends of what is unknown; unknown where part of
    /// it is bare.
    pub resistance: Figure<ThermalResistanceDim>,
}

/// How the paste is put and the cooler fastened, where it is not as usual.
#[derive(Debug, Clone, PartialEq)]
pub struct Putting {
    /// Another amount than the one that is right.
    pub volume: Option<Volume>,
    /// Another order of tightening than crosswise in two rounds.
    pub order: Option<Order>,
    /// Cells along a side of the lid.
    pub cells: usize,
}

/// Everything that is pressed but the pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct PasteSetup<'a> {
    /// Paste.
    pub paste: &'a Paste,
    /// Lid and largest die.
    pub outline: PackageOutline,
    /// Volume put.
    pub volume: Volume,
    law: FlowLaw,
    force_n: f64,
    filler_m: f64,
    tightening: Tightening,
    cells: usize,
}

impl<'a> PasteSetup<'a> {
    /// The set-up of the machine-to-be: the paste that is put, or the one that is there.
    ///
    /// # Model
    /// The middle of every figure: Bingham paste, both faces bowed by 15 micrometres (common practice), the cooler's
    /// force closed in two seconds or by screws crosswise in two rounds. Where nothing else is wanted the amount is
    /// that of [`crate::carry::paste_amount`], or what the joint is known to have got.
    ///
    /// # Errors
    /// No paste, a figure of paste, lid, die or force that is not known, an order for what has no screws.
    pub fn of(proposal: &Proposal<'a>, putting: &Putting) -> Result<Self, NoPress> {
        let old = proposal.old_joint();
        let paste = match old {
            Some(joint) => joint.paste.as_ref(),
            None => proposal.changes.paste,
        }
        .ok_or(NoPress::NoPaste)?;
        let outline = outline(&proposal.processor().package).map_err(NoPress::Missing)?;
        let (length_m, width_m) = outline.lid_m;
        let stress =
            paste.yield_stress.get().ok_or(NoPress::Missing("the yield stress of the paste"))?.middle().si();
        let viscosity =
            paste.viscosity.get().ok_or(NoPress::Missing("the viscosity of the paste"))?.middle().si();
        let force_n =
            proposal.cooler().force.get().ok_or(NoPress::Missing("the force of the cooler"))?.middle().si();
        let volume = putting
            .volume
            .or_else(|| Some(old?.amount.get()?.middle()))
            .or_else(|| Some(amount_of(proposal, paste)?.volume))
            .ok_or(NoPress::Missing("the amount of paste"))?;
        let mounting = proposal.cooler().mounting.get();
        let tightening = match (mounting, putting.order) {
            (Some(Mounting::Screws), order) => {
                let screws = Screws {
                    half_length_m: 0.5 * length_m + SCREWS_OUTSIDE_M,
                    half_width_m: 0.5 * width_m + SCREWS_OUTSIDE_M,
                };
                Tightening::screws(force_n, screws, order.unwrap_or(Order::Crosswise), SCREW_S)
            }
            (Some(other), Some(_)) => return Err(NoPress::NoScrews(other.word())),
            (None, Some(_)) => return Err(NoPress::Missing("how the cooler is held")),
            (_, None) => Tightening::ramp(force_n, CLOSING_S),
        };
        // A lid that tilts is computed whole, one that does not by its quarter: fewer cells do for the first.
        let cells = if tightening.is_centred() { putting.cells } else { putting.cells * 2 / 3 };
        Ok(Self {
            paste,
            outline,
            volume,
            law: FlowLaw::bingham(stress, viscosity),
            force_n,
            filler_m: paste.filler_size.get().map_or(0.0, |size| size.middle().si()),
            tightening,
            cells,
        })
    }

    /// One pattern pressed; `watch` is told after each step and may stop it.
    ///
    /// # Model
    /// [`physics::paste::press`].
    ///
    /// # Errors
    /// Figures that mean nothing together.
    pub fn press(
        &self,
        pattern: &Pattern,
        watch: &mut dyn FnMut(Progress) -> Go,
    ) -> Result<Pressed, NoPress> {
        let (length_m, width_m) = self.outline.lid_m;
        let input = PressInput {
            cells: (self.cells, self.cells),
            shape: GapShape::Bowed { edge_m: BOW_M },
            filler_limit_m: self.filler_m,
            tightening: self.tightening.clone(),
            ..PressInput::flat(length_m, width_m, self.law, self.volume.si(), pattern.clone(), self.force_n)
        };
        let film = press(&input, watch).map_err(|refusal| NoPress::Refused(refusal.to_string()))?;
        let (over, thickness_over_die_m, resistance) = over_die(&film, &self.outline.die, self.paste);
        let to_see = pattern.to_see(self.volume.si(), length_m, width_m);
        Ok(Pressed {
            pattern: pattern.clone(),
            to_see,
            film,
            over_die: over,
            thickness_over_die_m,
            resistance,
        })
    }
}

/// The resistance of a film over a die.
fn over_die(
    film: &PressOutcome,
    die: &Outline,
    paste: &Paste,
) -> (f64, Option<f64>, Figure<ThermalResistanceDim>) {
    let (nx, ny) = film.cells;
    let (dx, dy) = (film.size_m.0 / nx as f64, film.size_m.1 / ny as f64);
    let conductivity = paste.conductivity.get();
    let (mut cells, mut covered, mut thick) = (0.0, 0.0, 0.0);
    // Conductances of unit area add over the die: through the film and its two boundaries, at both ends.
    let (mut least, mut most) = (0.0, 0.0);
    for y in 0..ny {
        for x in 0..nx {
            let px = (x as f64 + 0.5 - nx as f64 / 2.0) * dx - die.centre_m.0;
            let py = (y as f64 + 0.5 - ny as f64 / 2.0) * dy - die.centre_m.1;
            if px.abs() > die.half_m.0 || py.abs() > die.half_m.1 {
                continue;
            }
            cells += 1.0;
            let at = y * nx + x;
            if film.fill[at] < 0.9 {
                continue;
            }
            covered += 1.0;
            thick += film.thickness_m[at];
            if let Some(k) = conductivity {
                let resistance = |k: f64, boundary: f64| film.thickness_m[at] / k + boundary * 1e-6;
                least += 1.0 / resistance(k.low().si(), BOUNDARIES_MM2K_W.1);
                most += 1.0 / resistance(k.high().si(), BOUNDARIES_MM2K_W.0);
            }
        }
    }
    if cells == 0.0 {
        return (0.0, None, Reading::Unknown);
    }
    let share = covered / cells;
    let mean = (covered > 0.0).then(|| thick / covered);
    let resistance = match conductivity {
        Some(_) if covered > 0.0 => {
            crate::carry::assumption::between(1.0 / (most * dx * dy), 1.0 / (least * dx * dy))
        }
        _ => Reading::Unknown,
    };
    (share, mean, resistance)
}
