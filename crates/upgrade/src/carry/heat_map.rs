//! Die, inner joint, lid and paste of the machine-to-be, solved in three dimensions: the map of the lid, and what
//! the closed form of the search comes to beside it.

use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::stack::{ConductionError, Interface, Layer, Source, Stack};
use physics::conduction::steady::{Steady, solve};

use crate::carry::heat::{COPPER_W_MK, DIE_M, SILICON_W_MK, heat_steps};
use crate::carry::joint::{inner_joint_mm2k_w, paste_joint_mm2k_w};
use crate::carry::package_outline::{PackageOutline, middle_m, outline};
use crate::machine::proposal::Proposal;
use crate::part::processor::InnerJoint;

/// A solved lid.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatMap {
    /// The solution for one watt, temperatures above the cooler's base.
    pub solved: Steady,
    /// Rectangle where the cores make their heat: from and to along x, along y.
    pub cores_m: ((f64, f64), (f64, f64)),
    /// Mean rise over the cores for one watt, from the junction to the cooler's base, by the solver.
    pub solver_k_w: f64,
    /// The same by the closed form, middle of its interval.
    pub closed_form_k_w: f64,
    /// What was taken for figures that are not known, in sentences.
    pub assumed: Vec<&'static str>,
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
}

/// The lid of the machine-to-be under one watt from the cores of its largest die, every figure at its middle.
///
/// # Model
/// [`physics::conduction`]; the cooler's base has one temperature. `watch` is told the residual and may stop it.
///
/// # Errors
/// A size that is not known, no lid, or stopped.
pub fn heat_map(
    proposal: &Proposal<'_>,
    wanted: Resolution,
    threads: usize,
    watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<HeatMap, NoMap> {
    let package = &proposal.processor().package;
    if package.inner_joint.get() == Some(InnerJoint::BareDie) {
        return Err(NoMap::NoLid);
    }
    let PackageOutline { lid_m: lid, die, cores, assumed } = outline(package).map_err(NoMap::Missing)?;
    let thick = middle_m(package.lid_thickness, "the thickness of the lid").map_err(NoMap::Missing)?;
    let (die_x, die_y) = die.ranges_m();
    let cores_m = cores.ranges_m();
    let centred = |size: f64| (-0.5 * size, 0.5 * size);
    let mean = |(low, high): (f64, f64)| 0.5 * (low + high) * 1e-6;
    let inner = mean(inner_joint_mm2k_w(package.inner_joint.get()));
    let paste = mean(paste_joint_mm2k_w(proposal));
    let layer = |name: &str, thickness_m, x_m, y_m, k: f64, above| Layer {
        name: name.to_owned(),
        thickness_m,
        x_m,
        y_m,
        conductivity_w_mk: [k; 3],
        above,
    };
    let stack = Stack {
        layers: vec![
            layer("the die", DIE_M, die_x, die_y, SILICON_W_MK, Interface::Even(inner)),
            layer("the lid", thick, centred(lid.0), centred(lid.1), COPPER_W_MK, Interface::Even(0.0)),
        ],
        sources: vec![Source { layer: 0, x_m: cores_m.0, y_m: cores_m.1, power_w: 1.0 }],
        top_film_w_m2k: 1.0 / paste,
        bottom_film_w_m2k: 0.0,
    };
    let solved = solve(&stack, wanted, threads, watch)?;
    let solver_k_w = solved.mean_k(0, cores_m.0, cores_m.1);
    let steps = heat_steps(proposal);
    let closed = steps.to_base().map(|to_base| to_base.middle().si());
    Ok(HeatMap {
        solved,
        cores_m,
        solver_k_w,
        assumed,
        closed_form_k_w: closed.get().ok_or(NoMap::Missing("the area of the cores"))?,
    })
}
