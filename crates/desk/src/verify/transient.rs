//! Models of the topic `transient`.

use physics::network::cauer::{Rung, from_foster, structure, to_foster};
use physics::network::foster::{Term, step_response_k_w};
use physics::transient::flux_wall::{Wall, rises};
use physics::transient::plane_wall::cooling;
use physics::transient::semi_infinite::rise_k;
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "semi_infinite_constant_flux", run: semi_infinite },
    Model { name: "plane_wall_convection", run: plane_wall },
    Model { name: "flux_wall_with_film", run: flux_wall },
    Model { name: "foster_network", run: foster },
    Model { name: "cauer_network", run: cauer },
];

fn semi_infinite(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let rise = rise_k(
        inputs.number("conductivity_W_per_mK")?,
        inputs.number("density_kg_per_m3")?,
        inputs.number("specific_heat_J_per_kgK")?,
        inputs.number("flux_W_per_m2")?,
        inputs.number("depth_m")?,
        inputs.number("time_s")?,
    )?;
    Ok(outputs([("temperature_rise_K", rise.into())]))
}

fn plane_wall(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let place = inputs.number("position_over_half_thickness")?;
    let cooling = cooling(inputs.number("biot")?, inputs.number("fourier")?, place)?;
    Ok(outputs([
        ("temperature_ratio", cooling.ratio.into()),
        ("first_term_ratio", cooling.first_term.into()),
        ("eigenvalues", cooling.eigenvalues.into()),
    ]))
}

fn flux_wall(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let wall = Wall {
        conductivity_w_mk: inputs.number("conductivity_W_per_mK")?,
        density_kg_m3: inputs.number("density_kg_per_m3")?,
        specific_heat_j_kgk: inputs.number("specific_heat_J_per_kgK")?,
        thickness_m: inputs.number("thickness_m")?,
        film_w_m2k: inputs.number("film_coefficient_W_per_m2K")?,
    };
    let rises = rises(&wall, inputs.number("flux_W_per_m2")?, inputs.number("time_s")?)?;
    Ok(outputs([
        ("hot_face_rise_K", rises.hot_k.into()),
        ("cold_face_rise_K", rises.cold_k.into()),
        ("steady_rise_K", rises.steady_k.into()),
    ]))
}

fn paired<T>(inputs: &Inputs<'_>, second: &str, make: impl Fn(f64, f64) -> T) -> Result<Vec<T>, ModelError> {
    let (first, second) = (inputs.numbers("resistance_K_per_W")?, inputs.numbers(second)?);
    if first.len() != second.len() {
        return Err(ModelError::Refused("the lists are not equally long".to_owned()));
    }
    Ok(first.into_iter().zip(second).map(|(a, b)| make(a, b)).collect())
}

fn responses(inputs: &Inputs<'_>, terms: &[Term]) -> Result<Vec<f64>, ModelError> {
    let times = inputs.numbers("time_s")?;
    times.into_iter().map(|time| Ok(step_response_k_w(terms, time)?)).collect()
}

fn foster(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let terms = paired(inputs, "time_constant_s", |resistance_k_w, time_constant_s| Term {
        resistance_k_w,
        time_constant_s,
    })?;
    let rungs = from_foster(&terms)?;
    Ok(outputs([
        (
            "cauer_resistance_K_per_W",
            rungs.iter().map(|rung| rung.resistance_k_w).collect::<Vec<f64>>().into(),
        ),
        (
            "cauer_capacitance_J_per_K",
            rungs.iter().map(|rung| rung.capacitance_j_k).collect::<Vec<f64>>().into(),
        ),
        ("step_response_K_per_W", responses(inputs, &terms)?.into()),
    ]))
}

fn cauer(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let rungs = paired(inputs, "capacitance_J_per_K", |resistance_k_w, capacitance_j_k| Rung {
        resistance_k_w,
        capacitance_j_k,
    })?;
    let terms = to_foster(&rungs)?;
    let corners = structure(&rungs);
    Ok(outputs([
        (
            "foster_resistance_K_per_W",
            terms.iter().map(|term| term.resistance_k_w).collect::<Vec<f64>>().into(),
        ),
        (
            "foster_time_constant_s",
            terms.iter().map(|term| term.time_constant_s).collect::<Vec<f64>>().into(),
        ),
        ("step_response_K_per_W", responses(inputs, &terms)?.into()),
        ("structure_resistance_K_per_W", corners.iter().map(|corner| corner.0).collect::<Vec<f64>>().into()),
        ("structure_capacitance_J_per_K", corners.iter().map(|corner| corner.1).collect::<Vec<f64>>().into()),
    ]))
}
