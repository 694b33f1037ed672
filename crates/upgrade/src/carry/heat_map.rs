//! Die, inner joint, lid and paste of the machine-to-be, solved in three dimensions: the map of the lid, what its joint
//! costs against an even and a fresh one, and what the closed form of the search comes to beside it.

use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::stack::ConductionError;
use physics::conduction::steady::Steady;
use physics::paste::pattern::Pattern;
use physics::paste::press::Go;

use crate::carry::heat::heat_steps;
use crate::carry::joint::{joint, middle_m2k_w};
use crate::carry::joint_map::{JointMap, of_film, of_state};
use crate::carry::lid_stack::{LidJoint, LidStack};
use crate::carry::paste_setup::{NoPress, PasteSetup, Putting};
use crate::machine::present::PasteState;
use crate::machine::proposal::Proposal;

/// A solved lid.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatMap {
    /// The solution for one watt, temperatures above the cooler's base.
    pub solved: Steady,
    /// Cells it was solved with.
    pub cells: Resolution,
    /// How much the answer changed from the coarser one before, as a share; none for the first.
    pub changed: Option<f64>,
    /// Rectangle where the cores make their heat: from and to along x, along y.
    pub cores_m: ((f64, f64), (f64, f64)),
    /// Size of the lid.
    pub lid_m: (f64, f64),
    /// Mean rise over the cores for one watt, from the junction to the cooler's base, by the solver.
    pub solver_k_w: f64,
    /// The same by the closed form, middle of its interval.
    pub closed_form_k_w: f64,
    /// The joint between lid and base.
    pub joint: JointShown,
    /// What was taken for figures that are not known, in sentences.
    pub assumed: Vec<String>,
}

/// The joint that a lid was solved with.
#[derive(Debug, Clone, PartialEq)]
pub struct JointShown {
    /// What it is, in a few words.
    pub what: String,
    /// Its map; none where it is taken as even.
    pub map: Option<JointMap>,
    /// Junction to base with the same paste spread evenly, in K/W.
    pub even_k_w: Option<f64>,
    /// Junction to base with a fresh joint as it should be.
    pub fresh_k_w: Option<f64>,
    /// Junction to base at the mild end and at the bad end of the joint's state.
    pub ends_k_w: Option<(f64, f64)>,
}

/// Why there is no map.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoMap {
    /// A figure is missing.
    #[error("no map can be computed: {0} is not known")]
    Missing(&'static str),
    /// A die without a lid has nothing to map.
    #[error("the die has no lid to map")]
    NoLid,
    /// The stack cannot be solved.
    #[error(transparent)]
    Conduction(#[from] ConductionError),
    /// The paste cannot be pressed as it was asked for.
    #[error(transparent)]
    Press(NoPress),
}

/// What is asked of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct MapWanted {
    /// How the paste is put; a dot in the middle where it is not said, as the job sheet has it.
    pub pattern: Option<Pattern>,
    /// How much of it, and how the cooler is fastened.
    pub putting: Putting,
    /// Cells, coarse ones first: each is a better answer than the one before.
    pub cells: Vec<Resolution>,
    /// Threads.
    pub threads: usize,
}

/// What the caller sees on the way.
#[derive(Debug)]
pub enum Seen<'a> {
    /// An answer that is better than the one before.
    Answer(&'a HeatMap),
    /// The paste is being pressed; seconds of the pressing so far.
    Pressing(f64),
    /// A solve is at work: its cells and its residual.
    Solving(Resolution, f64),
}

/// The lid of the machine-to-be under one watt from the cores of its largest die, every figure at its middle.
///
/// # Model
/// [`physics::conduction`]; the cooler's base has one temperature. Fresh paste is pressed, and its film's thickness is
/// the joint's map; a worn joint is the map of its state. First comes a coarse answer with an even joint, then the
/// joint's own map with the cells that are wanted, each finer than the last. `watch` may stop it whenever it is asked:
/// the last answer counts, if there is one.
///
/// # Errors
/// A size that is not known, no lid, paste that cannot be put as asked, or stopped before the first answer.
pub fn heat_map(
    proposal: &Proposal<'_>,
    wanted: &MapWanted,
    watch: &mut dyn FnMut(Seen<'_>) -> ControlFlow<()>,
) -> Result<HeatMap, NoMap> {
    let stack = LidStack::of(proposal)?;
    let closed = heat_steps(proposal).to_base().map(|to_base| to_base.middle().si());
    let closed_form_k_w = closed.get().ok_or(NoMap::Missing("the area of the cores"))?;
    let (fresh, state) = joint(proposal);
    let times = state.times();
    let fresh_m2k_w = middle_m2k_w(fresh);
    let mean_m2k_w = middle_m2k_w((fresh.0 * times.0, fresh.1 * times.1));
    let threads = wanted.threads;
    let Some(coarse) = wanted.cells.first().copied() else {
        return Err(NoMap::Missing("the number of cells"));
    };
    let assumed: Vec<String> = stack.outline.assumed.iter().map(|text| (*text).to_owned()).collect();
    let (solved, solver_k_w) = stack
        .solve(&LidJoint::Even(mean_m2k_w), coarse, threads, &mut |at| watch(Seen::Solving(coarse, at)))?;
    let mut best = HeatMap {
        solved,
        cells: coarse,
        changed: None,
        cores_m: stack.cores_m,
        lid_m: stack.outline.lid_m,
        solver_k_w,
        closed_form_k_w,
        joint: JointShown {
            what: "taken as even".to_owned(),
            map: None,
            even_k_w: None,
            fresh_k_w: None,
            ends_k_w: None,
        },
        assumed,
    };
    if watch(Seen::Answer(&best)).is_break() {
        return Ok(best);
    }
    let Some(shown) = shown(proposal, &stack, wanted, watch)? else { return Ok(best) };
    best.assumed.extend(shown.assumed.clone());
    for cells in &wanted.cells {
        match refined(&stack, &shown, *cells, threads, fresh_m2k_w, watch) {
            Ok((solved, solver_k_w, joint)) => {
                let changed = best.joint.even_k_w.map(|_| (solver_k_w / best.solver_k_w - 1.0).abs());
                best = HeatMap { solved, solver_k_w, joint, cells: *cells, changed, ..best };
            }
            Err(ConductionError::Stopped { .. }) => break,
            Err(error) => return Err(error.into()),
        }
        if watch(Seen::Answer(&best)).is_break() {
            break;
        }
    }
    Ok(best)
}

/// A joint and its ends, to be solved.
struct Found {
    what: String,
    map: Option<JointMap>,
    even_m2k_w: f64,
    ends: Option<(JointMap, JointMap)>,
    assumed: Vec<String>,
}

/// The joint of the machine-to-be; none where the pressing was stopped.
fn shown(
    proposal: &Proposal<'_>,
    stack: &LidStack,
    wanted: &MapWanted,
    watch: &mut dyn FnMut(Seen<'_>) -> ControlFlow<()>,
) -> Result<Option<Found>, NoMap> {
    let (fresh, state) = joint(proposal);
    let old = proposal.old_joint().map(|joint| (joint.state.get(), joint));
    // Fresh paste is pressed, and so is what is there if its amount is what is wrong with it and known.
    let is_pressed = match old {
        None => true,
        Some((Some(PasteState::Fresh), _)) => true,
        Some((Some(PasteState::TooLittle | PasteState::TooMuch), joint)) => !joint.amount.is_unknown(),
        Some(_) => false,
    };
    if is_pressed {
        let pattern = wanted.pattern.clone().unwrap_or(Pattern::Dot);
        let mut stopped = false;
        let pressed = PasteSetup::of(proposal, &wanted.putting).and_then(|setup| {
            let conductivity = setup.paste.conductivity.get();
            let k = conductivity.ok_or(NoPress::Missing("the conductivity of the paste"))?.middle().si();
            let pressed = setup.press(&pattern, &mut |progress| {
                stopped = watch(Seen::Pressing(progress.time_s)).is_break();
                if stopped { Go::Stop } else { Go::On }
            })?;
            Ok((pressed, k))
        });
        match pressed {
            Ok(_) if stopped => return Ok(None),
            Ok((pressed, k)) => {
                let map = of_film(&pressed.film, k, &stack.outline);
                return Ok(Some(Found {
                    what: format!("{}, pressed: {}", pattern.name(), pressed.to_see),
                    even_m2k_w: map.even_m2k_w,
                    map: Some(map),
                    ends: None,
                    assumed: Vec::new(),
                }));
            }
            // What was asked for by name must not be passed over.
            Err(error) if wanted.pattern.is_some() || wanted.putting.order.is_some() => {
                return Err(NoMap::Press(error));
            }
            Err(error) => {
                return Ok(Some(Found {
                    what: "fresh, taken as even".to_owned(),
                    map: None,
                    even_m2k_w: middle_m2k_w(fresh),
                    ends: None,
                    assumed: vec![format!("The joint is taken as even: {error}.")],
                }));
            }
        }
    }
    let even_m2k_w = middle_m2k_w((fresh.0 * state.thicker.0, fresh.1 * state.thicker.1));
    let covered = 0.5 * (state.covered.0 + state.covered.1);
    let end = |fresh_mm2k_w: f64, thicker: f64, covered: f64| {
        of_state(fresh_mm2k_w * 1e-6 * thicker, covered, state.bare, &stack.outline)
    };
    let seen = old.and_then(|(state, _)| state);
    Ok(Some(Found {
        what: seen.map_or("its state is not known", PasteState::word).to_owned(),
        map: Some(of_state(even_m2k_w, covered, state.bare, &stack.outline)),
        even_m2k_w,
        ends: Some((
            end(fresh.0, state.thicker.0, state.covered.0),
            end(fresh.1, state.thicker.1, state.covered.1),
        )),
        assumed: vec![state.assumed(seen)],
    }))
}

/// One fidelity: the joint, the even one, the fresh one, and both ends.
fn refined(
    stack: &LidStack,
    found: &Found,
    cells: Resolution,
    threads: usize,
    fresh_m2k_w: f64,
    watch: &mut dyn FnMut(Seen<'_>) -> ControlFlow<()>,
) -> Result<(Steady, f64, JointShown), ConductionError> {
    let mut solve =
        |joint: &LidJoint| stack.solve(joint, cells, threads, &mut |at| watch(Seen::Solving(cells, at)));
    let own = found.map.clone().map_or(LidJoint::Even(found.even_m2k_w), LidJoint::Map);
    let (solved, solver_k_w) = solve(&own)?;
    let even_k_w = Some(solve(&LidJoint::Even(found.even_m2k_w))?.1);
    let fresh_k_w = Some(solve(&LidJoint::Even(fresh_m2k_w))?.1);
    let ends_k_w = match &found.ends {
        Some((mild, bad)) => {
            Some((solve(&LidJoint::Map(mild.clone()))?.1, solve(&LidJoint::Map(bad.clone()))?.1))
        }
        None => None,
    };
    let joint =
        JointShown { what: found.what.clone(), map: found.map.clone(), even_k_w, fresh_k_w, ends_k_w };
    Ok((solved, solver_k_w, joint))
}
