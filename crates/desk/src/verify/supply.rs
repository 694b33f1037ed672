//! Models of the topic `supply`.

use physics::supply::certificate::{Column, Level, least_efficiency};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[Model { name: "supply_efficiency", run: efficiency }];

fn efficiency(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let level = match inputs.text("level")? {
        "Standard" => Level::Standard,
        "Bronze" => Level::Bronze,
        "Silver" => Level::Silver,
        "Gold" => Level::Gold,
        "Platinum" => Level::Platinum,
        "Titanium" => Level::Titanium,
        other => return Err(ModelError::Refused(format!("there is no level \"{other}\""))),
    };
    let column = match inputs.text("input")? {
        "115V" => Column::Volts115,
        "230V_EU" => Column::Volts230Europe,
        "230V_redundant" => Column::Volts230Redundant,
        other => return Err(ModelError::Refused(format!("there is no input \"{other}\""))),
    };
    let rated = inputs.number("rated_W")?;
    let mut wall = Vec::new();
    for load in inputs.numbers("load_W")? {
        wall.push(least_efficiency(level, column, rated, load)?.map(|least| load / least));
    }
    let hours = inputs.numbers("hours")?;
    if hours.len() != wall.len() {
        return Err(ModelError::Refused("hours and load_W are not equally long".to_owned()));
    }
    let energy: Option<f64> =
        wall.iter().zip(&hours).map(|(wall, hours)| wall.map(|wall| wall * hours / 1000.0)).sum();
    Ok(outputs([("wall_W", wall.into()), ("energy_kWh", energy.into())]))
}
