//! Models of the topic `spreading`.

use physics::spreading::channel::{Block, Layer, Rectangle, influence as mutual, spreading};
use physics::spreading::disc::closed_form;
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "spreading_rectangle", run: rectangle },
    Model { name: "spreading_disc_closed_form", run: disc },
    Model { name: "spreading_influence", run: influence },
];

fn block(inputs: &Inputs<'_>) -> Result<Block, ModelError> {
    let mut layers = vec![Layer {
        thickness_m: inputs.number("layer1_thickness_m")?,
        conductivity_w_mk: inputs.number("layer1_conductivity_W_per_mK")?,
    }];
    for number in 2..=9 {
        let (thickness, conductivity) =
            (format!("layer{number}_thickness_m"), format!("layer{number}_conductivity_W_per_mK"));
        if !inputs.has(&thickness) && !inputs.has(&conductivity) {
            break;
        }
        layers.push(Layer {
            thickness_m: inputs.number(&thickness)?,
            conductivity_w_mk: inputs.number(&conductivity)?,
        });
    }
    Ok(Block {
        width_m: inputs.number("channel_x_m")?,
        depth_m: inputs.number("channel_y_m")?,
        layers,
        film_w_m2k: inputs.number("film_coefficient_W_per_m2K")?,
    })
}

fn source(inputs: &Inputs<'_>, prefix: &str) -> Result<Rectangle, ModelError> {
    Ok(Rectangle {
        width_m: inputs.number(&format!("{prefix}_x_m"))?,
        depth_m: inputs.number(&format!("{prefix}_y_m"))?,
        centre_x_m: inputs.number(&format!("{prefix}_centre_x_m"))?,
        centre_y_m: inputs.number(&format!("{prefix}_centre_y_m"))?,
    })
}

fn rectangle(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let found = spreading(&block(inputs)?, &source(inputs, "source")?)?;
    Ok(outputs([
        ("one_dimensional_K_per_W", found.one_dimensional_k_w.into()),
        ("mean_K_per_W", found.mean_k_w.into()),
        ("centroid_K_per_W", found.centroid_k_w.into()),
        ("max_K_per_W", found.max_k_w.into()),
        ("max_x_m", found.max_at_m.0.into()),
        ("max_y_m", found.max_at_m.1.into()),
    ]))
}

fn disc(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let source_m2 = inputs.number("source_x_m")? * inputs.number("source_y_m")?;
    let block_m2 = inputs.number("channel_x_m")? * inputs.number("channel_y_m")?;
    let (mean, max) = closed_form(
        source_m2,
        block_m2,
        inputs.number("layer1_thickness_m")?,
        inputs.number("layer1_conductivity_W_per_mK")?,
        inputs.number("film_coefficient_W_per_m2K")?,
    )?;
    Ok(outputs([("mean_K_per_W", mean.into()), ("max_K_per_W", max.into())]))
}

fn influence(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let mean = mutual(&block(inputs)?, &source(inputs, "heated_source")?, &source(inputs, "observed")?)?;
    Ok(outputs([("mean_K_per_W", mean.into())]))
}
