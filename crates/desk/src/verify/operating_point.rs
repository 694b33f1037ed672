//! Models of the topic `operating-point`.

use crate::verify::model::Model;

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[];
