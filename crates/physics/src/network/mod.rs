//! Thermal networks and their identification from step responses and sensor logs.

pub mod cauer;

pub mod foster;
pub mod identify;
pub mod ladder;
pub mod layers;
pub mod nonneg;
pub mod path;
pub mod prior;
pub mod record;
pub mod search;
pub mod settle;
pub mod spectrum;
pub mod stations;
pub mod symmetric;
pub mod turned;
