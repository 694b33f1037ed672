//! Die, inner joint and lid of the machine-to-be as a stack that is solved, with any joint above it.

use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::stack::{ConductionError, Interface, Layer, Source, Stack};
use physics::conduction::steady::{Steady, solve};

use crate::carry::heat::{COPPER_W_MK, DIE_M, SILICON_W_MK};
use crate::carry::heat_map::NoMap;
use crate::carry::joint::{inner_joint_mm2k_w, middle_m2k_w};
use crate::carry::joint_map::JointMap;
use crate::carry::package_outline::{PackageOutline, middle_m, outline};
use crate::machine::proposal::Proposal;
use crate::part::processor::InnerJoint;

/// What lies between the lid and the cooler's base.
#[derive(Debug, Clone, PartialEq)]
pub enum LidJoint {
    /// The same resistance of unit area everywhere, in m2 K/W.
    Even(f64),
    /// A map.
    Map(JointMap),
}

/// A lid ready to solve, one watt from the cores.
#[derive(Debug, Clone, PartialEq)]
pub struct LidStack {
    /// Lid and largest die.
    pub outline: PackageOutline,
    /// Rectangle where the cores make their heat: from and to along x, along y.
    pub cores_m: ((f64, f64), (f64, f64)),
    layers: Vec<Layer>,
}

/// A cooler as one lump of metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lump {
    /// From the lump to the air.
    pub to_air_k_w: f64,
    /// Resistance of unit area of the joint below it.
    pub joint_m2k_w: f64,
}

/// Height of the layer that stands for a lump.
const LUMP_M: f64 = 0.01;

/// A base of one temperature as a layer: thin, and so good a conductor that nothing is lost in it against a joint.
const BASE_M: f64 = 1e-6;
const BASE_W_MK: f64 = 1e5;
const BASE_FILM_W_M2K: f64 = 1e9;

impl LidStack {
    /// The lid of the machine-to-be, every figure at its middle.
    ///
    /// # Errors
    /// A size that is not known, or no lid.
    pub fn of(proposal: &Proposal<'_>) -> Result<Self, NoMap> {
        let package = &proposal.processor().package;
        if package.inner_joint.get() == Some(InnerJoint::BareDie) {
            return Err(NoMap::NoLid);
        }
        let outline = outline(package).map_err(NoMap::Missing)?;
        let thick = middle_m(package.lid_thickness, "the thickness of the lid").map_err(NoMap::Missing)?;
        let (die_x, die_y) = outline.die.ranges_m();
        let centred = |size: f64| (-0.5 * size, 0.5 * size);
        let inner = middle_m2k_w(inner_joint_mm2k_w(package.inner_joint.get()));
        let layer = |name: &str, thickness_m, x_m, y_m, k: f64, above| Layer {
            name: name.to_owned(),
            thickness_m,
            x_m,
            y_m,
            conductivity_w_mk: [k; 3],
            above,
        };
        let (lid_x, lid_y) = (centred(outline.lid_m.0), centred(outline.lid_m.1));
        let layers = vec![
            layer("the die", DIE_M, die_x, die_y, SILICON_W_MK, Interface::Even(inner)),
            layer("the lid", thick, lid_x, lid_y, COPPER_W_MK, Interface::Even(0.0)),
        ];
        Ok(Self { cores_m: outline.cores.ranges_m(), outline, layers })
    }

    /// Die, lid, an even joint and the cooler as one lump above it; and the lump's volume on the grid in cubic metres.
    ///
    /// # Model
    /// The lump has one temperature: its own spreading is in its resistance.
    pub fn on_lump(&self, lump: &Lump) -> (Stack, f64) {
        let mut layers = self.layers.clone();
        let area_m2 = self.outline.lid_m.0 * self.outline.lid_m.1;
        if let Some(lid) = layers.last_mut() {
            lid.above = Interface::Even(lump.joint_m2k_w);
            let base = Layer {
                name: "the cooler".to_owned(),
                thickness_m: LUMP_M,
                x_m: lid.x_m,
                y_m: lid.y_m,
                conductivity_w_mk: [BASE_W_MK; 3],
                above: Interface::Even(0.0),
            };
            layers.push(base);
        }
        let source = Source { layer: 0, x_m: self.cores_m.0, y_m: self.cores_m.1, power_w: 1.0 };
        let top_film_w_m2k = 1.0 / (lump.to_air_k_w * area_m2);
        let stack = Stack { layers, sources: vec![source], top_film_w_m2k, bottom_film_w_m2k: 0.0 };
        (stack, area_m2 * LUMP_M)
    }

    /// The solution with a joint, and the mean rise over the cores: both for one watt, above the cooler's base.
    ///
    /// # Model
    /// The cooler's base has one temperature and covers the lid.
    ///
    /// # Errors
    /// A stack that cannot be solved, or stopped by `watch`, which is told the residual.
    pub fn solve(
        &self,
        joint: &LidJoint,
        cells: Resolution,
        threads: usize,
        watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
    ) -> Result<(Steady, f64), ConductionError> {
        let mut layers = self.layers.clone();
        let (top_film_w_m2k, cells) = match joint {
            LidJoint::Even(resistance) => (1.0 / resistance, cells),
            LidJoint::Map(map) => {
                let Some(lid) = layers.last_mut() else { return Err(ConductionError::Empty("layer")) };
                lid.above =
                    Interface::Map { columns: map.columns, resistance_m2k_w: map.resistance_m2k_w.clone() };
                let base = Layer {
                    name: "the cooler's base".to_owned(),
                    thickness_m: BASE_M,
                    x_m: lid.x_m,
                    y_m: lid.y_m,
                    conductivity_w_mk: [BASE_W_MK; 3],
                    above: Interface::Even(0.0),
                };
                layers.push(base);
                (BASE_FILM_W_M2K, Resolution { z: cells.z + 1, ..cells })
            }
        };
        let source = Source { layer: 0, x_m: self.cores_m.0, y_m: self.cores_m.1, power_w: 1.0 };
        let stack = Stack { layers, sources: vec![source], top_film_w_m2k, bottom_film_w_m2k: 0.0 };
        let solved = solve(&stack, cells, threads, watch)?;
        let mean_k = solved.mean_k(0, self.cores_m.0, self.cores_m.1);
        Ok((solved, mean_k))
    }
}
