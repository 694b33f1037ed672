//! The paste of the machine-to-be, pressed: what each pattern covers, how thick it ends, and what the joint costs.

use physics::paste::film::PressOutcome;
use physics::paste::gap_shape::GapShape;
use physics::paste::input::PressInput;
use physics::paste::pattern::{Pattern, ToSee};
use physics::paste::press::{Go, press};
use physics::paste::rheology::FlowLaw;
use physics::paste::tightening::{Order, Screws, Tightening};
use quantity::dimension::{ThermalResistanceDim, VolumeDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::carry::joint::BOUNDARIES_MM2K_W;
use crate::carry::package_outline::{Outline, PackageOutline, outline};
use crate::carry::paste_amount::amount;
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

/// All patterns pressed with the same amount.
#[derive(Debug, Clone, PartialEq)]
pub struct PasteJob {
    /// What the machine-to-be is called.
    pub title: String,
    /// Paste.
    pub paste: String,
    /// Volume put.
    pub volume: Quantity<VolumeDim>,
    /// The largest die.
    pub die: Outline,
    /// What was taken for figures that are not known, in sentences.
    pub assumed: Vec<&'static str>,
    /// Each pattern, best first: what covers the die at the least resistance, and runs over the edge least.
    pub patterns: Vec<Pressed>,
}

/// The patterns that are tried: on a long lid two lines as well.
fn patterns(length_m: f64, width_m: f64) -> Vec<Pattern> {
    let mut out =
        vec![Pattern::Dot, Pattern::Line, Pattern::Cross, Pattern::FiveDots, Pattern::Layer { share: 0.9 }];
    if length_m.max(width_m) > 1.3 * length_m.min(width_m) {
        out.push(Pattern::TwoLines);
    }
    out
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

/// Presses every pattern on the lid of the machine-to-be.
///
/// # Model
/// [`physics::paste::press`] at the middle of every figure: Bingham paste, both faces bowed by 15 micrometres
/// (common practice), the cooler's force closed in two seconds or by screws crosswise in two rounds. The amount
/// is that of [`crate::carry::paste_amount`]. `watch` is told how much is done, 0 to 1, and may stop it.
///
/// # Errors
/// No paste, or a figure of paste, lid, die or force that is not known.
pub fn paste_job(
    proposal: &Proposal<'_>,
    cells: usize,
    mut watch: impl FnMut(f64) -> Go,
) -> Result<PasteJob, NoPress> {
    let paste = proposal.changes.paste.ok_or(NoPress::NoPaste)?;
    let package = &proposal.processor().package;
    let PackageOutline { lid_m: (length_m, width_m), die, assumed, .. } =
        outline(package).map_err(NoPress::Missing)?;
    let stress =
        paste.yield_stress.get().ok_or(NoPress::Missing("the yield stress of the paste"))?.middle().si();
    let viscosity =
        paste.viscosity.get().ok_or(NoPress::Missing("the viscosity of the paste"))?.middle().si();
    let force =
        proposal.cooler().force.get().ok_or(NoPress::Missing("the force of the cooler"))?.middle().si();
    let volume = amount(proposal).ok_or(NoPress::Missing("the amount of paste"))?.volume;
    let filler = paste.filler_size.get().map_or(0.0, |size| size.middle().si());
    let tightening = match proposal.cooler().mounting.get() {
        Some(Mounting::Screws) => {
            let screws = Screws {
                half_length_m: 0.5 * length_m + SCREWS_OUTSIDE_M,
                half_width_m: 0.5 * width_m + SCREWS_OUTSIDE_M,
            };
            Tightening::screws(force, screws, Order::Crosswise, SCREW_S)
        }
        _ => Tightening::ramp(force, CLOSING_S),
    };
    // A lid that tilts is computed whole, one that does not by its quarter: fewer cells do for the first.
    let cells = if tightening.is_centred() { cells } else { cells * 2 / 3 };
    let wanted = patterns(length_m, width_m);
    let count = wanted.len() as f64;
    let mut out = Vec::new();
    for (done, pattern) in wanted.into_iter().enumerate() {
        let input = PressInput {
            cells: (cells, cells),
            shape: GapShape::Bowed { edge_m: BOW_M },
            filler_limit_m: filler,
            tightening: tightening.clone(),
            ..PressInput::flat(
                length_m,
                width_m,
                FlowLaw::bingham(stress, viscosity),
                volume.si(),
                pattern.clone(),
                force,
            )
        };
        if watch(done as f64 / count) == Go::Stop {
            break;
        }
        let film = press(&input, &mut |_| watch(done as f64 / count))
            .map_err(|refusal| NoPress::Refused(refusal.to_string()))?;
        let (over, thickness_over_die_m, resistance) = over_die(&film, &die, paste);
        let to_see = pattern.to_see(volume.si(), length_m, width_m);
        out.push(Pressed { pattern, to_see, film, over_die: over, thickness_over_die_m, resistance });
    }
    let order = |pressed: &Pressed| {
        let middle = |r: Interval<ThermalResistanceDim>| r.middle().si();
        (pressed.over_die < 0.995, pressed.resistance.get().map_or(f64::INFINITY, middle))
    };
    out.sort_by(|a, b| {
        let (a_key, b_key) = (order(a), order(b));
        // Two hundredths of a resistance are below the care of a hand: then what runs over least is best.
        let alike = (a_key.1 / b_key.1 - 1.0).abs() < 0.02;
        a_key.0.cmp(&b_key.0).then_with(|| {
            if alike {
                a.film.overflow_m3.total_cmp(&b.film.overflow_m3)
            } else {
                a_key.1.total_cmp(&b_key.1)
            }
        })
    });
    Ok(PasteJob {
        title: format!("{}: {}", proposal.now.name, proposal.changes.title()),
        paste: paste.name.clone(),
        volume,
        die,
        assumed,
        patterns: out,
    })
}
