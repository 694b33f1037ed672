//! The paste of the machine-to-be, pressed: what each pattern covers, how thick it ends, and what the joint costs.

use physics::paste::pattern::Pattern;
use physics::paste::press::Go;
use quantity::dimension::{ThermalResistanceDim, VolumeDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;

use crate::carry::package_outline::Outline;
use crate::carry::paste_setup::{NoPress, PasteSetup, Pressed, Putting};
use crate::machine::proposal::Proposal;

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
    let mut out = vec![Pattern::Dot, Pattern::Line, Pattern::Cross, Pattern::FiveDots, Pattern::SPREAD];
    if length_m.max(width_m) > 1.3 * length_m.min(width_m) {
        out.push(Pattern::TwoLines);
    }
    out
}

/// Presses every pattern on the lid of the machine-to-be, and beads of one's own where there are some.
///
/// # Model
/// [`PasteSetup`]. `watch` is told how much is done, 0 to 1, and may stop it.
///
/// # Errors
/// No paste, or a figure of paste, lid, die or force that is not known.
pub fn paste_job(
    proposal: &Proposal<'_>,
    putting: &Putting,
    own: Option<&Pattern>,
    mut watch: impl FnMut(f64) -> Go,
) -> Result<PasteJob, NoPress> {
    if proposal.changes.paste.is_none() {
        return Err(NoPress::NoPaste);
    }
    let setup = PasteSetup::of(proposal, putting)?;
    let (length_m, width_m) = setup.outline.lid_m;
    let mut wanted = patterns(length_m, width_m);
    // One that is asked for by name is pressed even where it is not among the usual ones of this lid.
    wanted.extend(own.filter(|own| !wanted.contains(own)).cloned());
    let count = wanted.len() as f64;
    let mut out = Vec::new();
    for (done, pattern) in wanted.iter().enumerate() {
        if watch(done as f64 / count) == Go::Stop {
            break;
        }
        out.push(setup.press(pattern, &mut |_| watch(done as f64 / count))?);
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
        paste: setup.paste.name.clone(),
        volume: setup.volume,
        die: setup.outline.die,
        assumed: setup.outline.assumed,
        patterns: out,
    })
}
