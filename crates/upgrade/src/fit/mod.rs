//! Fit: what a good technician checks, one rule a file.
//!
//! A rule looks at a [`Proposal`](crate::machine::proposal::Proposal) and gives one
//! [`Finding`](finding::Finding). To add one: write its file, then add it to [`rules::ALL`].

pub mod finding;
pub mod limit;
pub mod rule;
pub mod rules;

pub mod case_board;
pub mod case_supply;
pub mod chipset_generation;
pub mod cooler_capacity;
pub mod cooler_contact;
pub mod cooler_fans;
pub mod cooler_height;
pub mod cooler_memory;
pub mod cooler_mounting;
pub mod cooler_radiator;
pub mod fan_header;
pub mod firmware;
pub mod front_panel;
pub mod instruction_set;
pub mod keys;
pub mod lanes;
pub mod memory_build;
pub mod memory_space;
pub mod memory_speed;
pub mod memory_type;
pub mod multiplier;
pub mod picture;
pub mod power_stages;
pub mod second_hand;
pub mod socket;
pub mod supply_aux;
pub mod supply_cards;
pub mod supply_power;
pub mod value;
