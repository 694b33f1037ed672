//! What the power path and the heat path of the machine-to-be carry.
//!
//! Each file is a seam: it turns a [`Proposal`](crate::machine::proposal::Proposal) into the inputs
//! of a model and the model's answer into figures that rules, gain and routes use.

pub mod assumption;
pub mod aux_current;
pub mod burst;
pub mod case_air;
pub mod cooler_air;
mod cooler_build;
pub mod heat;
pub mod heat_map;
pub mod heat_path;
pub mod joint;
pub mod joint_map;
pub mod joint_state;
pub mod lid_stack;
pub mod package_outline;
pub mod paste_amount;
pub mod paste_bead;
pub mod paste_press;
pub mod paste_setup;
pub mod point;
pub mod power_gauge;
pub mod power_path;
pub mod runaway;
pub mod stage_air;
pub mod stage_class;
pub mod stage_corner;
pub mod stage_settle;
pub mod stages;
pub mod supply_load;
pub mod wall;
pub mod warming;
