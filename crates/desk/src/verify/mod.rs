//! Runs reference cases against the program's own models.

pub mod case;
pub mod model;

pub mod cooler;
pub mod identification;
pub mod operating_point;
pub mod paste;
pub mod power_stages;
pub mod scaling;
pub mod spreading;
pub mod static_discharge;
pub mod supply;
pub mod transient;

use crate::verify::model::Model;

/// Every model that a case file can name, topic by topic.
pub fn models() -> impl Iterator<Item = &'static Model> {
    [
        scaling::MODELS,
        power_stages::MODELS,
        supply::MODELS,
        spreading::MODELS,
        transient::MODELS,
        cooler::MODELS,
        operating_point::MODELS,
        paste::MODELS,
        identification::MODELS,
        static_discharge::MODELS,
    ]
    .into_iter()
    .flatten()
}
