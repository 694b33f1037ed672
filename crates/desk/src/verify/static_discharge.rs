//! Models of the topic `static`.

use crate::verify::model::Model;

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[];
