//! Models of the topic `cooler`.

use physics::cooler::channel::{Air, Channel, flow};
use physics::cooler::duct::developed;
use physics::cooler::fan::{Fan, Resistance, operating_point, sound_change_db};
use physics::cooler::fin::{FinArray, array, efficiency, parameter_per_m};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "fin_array", run: fins },
    Model { name: "fin_array_textbook", run: fins_textbook },
    Model { name: "rectangular_duct_developed", run: duct },
    Model { name: "channel_developing_flow", run: channel },
    Model { name: "fan_operating_point", run: fan },
];

fn fins(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let found = array(&FinArray {
        conductivity_w_mk: inputs.number("fin_conductivity_W_per_mK")?,
        film_w_m2k: inputs.number("film_coefficient_W_per_m2K")?,
        thickness_m: inputs.number("fin_thickness_m")?,
        height_m: inputs.number("fin_height_m")?,
        width_m: inputs.number("fin_width_m")?,
        fins: inputs.number("fins")?,
        base_m2: inputs.number("base_area_m2")?,
    })?;
    Ok(outputs([
        ("fin_efficiency", found.fin_efficiency.into()),
        ("surface_efficiency", found.surface_efficiency.into()),
        ("resistance_K_per_W", found.resistance_k_w.into()),
    ]))
}

/// A textbook's own way: areas given, no correction for the tip.
fn fins_textbook(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let film = inputs.number("film_coefficient_W_per_m2K")?;
    let parameter =
        parameter_per_m(film, inputs.number("fin_conductivity_W_per_mK")?, inputs.number("fin_thickness_m")?);
    let fin_efficiency = efficiency(parameter, inputs.number("fin_height_m")?);
    let carries =
        film * (fin_efficiency * inputs.number("fin_area_m2")? + inputs.number("unfinned_area_m2")?);
    Ok(outputs([
        ("fin_parameter_per_m", parameter.into()),
        ("fin_efficiency", fin_efficiency.into()),
        ("base_C", (inputs.number("air_C")? + inputs.number("power_W")? / carries).into()),
    ]))
}

fn duct(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let duct = developed(inputs.number("aspect_ratio")?)?;
    Ok(outputs([
        ("friction_reynolds_fanning", duct.friction_reynolds.into()),
        ("nusselt_uniform_flux", duct.nusselt_flux.into()),
        ("nusselt_uniform_temperature", duct.nusselt_temperature.into()),
    ]))
}

fn channel(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let channel = Channel {
        gap_m: inputs.number("gap_m")?,
        height_m: inputs.number("height_m")?,
        length_m: inputs.number("length_m")?,
        speed_m_s: inputs.number("velocity_m_per_s")?,
    };
    let air = Air {
        density_kg_m3: inputs.number("density_kg_per_m3")?,
        viscosity_pa_s: inputs.number("viscosity_Pa_s")?,
        conductivity_w_mk: inputs.number("air_conductivity_W_per_mK")?,
        prandtl: inputs.number("prandtl")?,
    };
    let flow = flow(&channel, &air)?;
    Ok(outputs([
        ("film_coefficient_local_mean_air_W_per_m2K", flow.film_local_mean_w_m2k.into()),
        ("film_coefficient_inlet_air_W_per_m2K", flow.film_inlet_w_m2k.into()),
        ("friction_drop_Pa", flow.friction_drop_pa.into()),
    ]))
}

fn fan(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let fan = Fan {
        shut_pressure_pa: inputs.number("shutoff_pressure_Pa")?,
        free_flow_m3_s: inputs.number("free_flow_m3_per_s")?,
    };
    let system = Resistance {
        linear_pa_s_m3: inputs.number("system_linear_Pa_s_per_m3")?,
        quadratic_pa_s2_m6: inputs.number("system_quadratic_Pa_s2_per_m6")?,
    };
    let ratio = inputs.number("speed_ratio")?;
    let here = operating_point(&fan, &system)?;
    let there = operating_point(&fan.at_speed(ratio), &system)?;
    Ok(outputs([
        ("flow_m3_per_s", here.0.into()),
        ("pressure_Pa", here.1.into()),
        ("flow_at_new_speed_m3_per_s", there.0.into()),
        ("pressure_at_new_speed_Pa", there.1.into()),
        ("sound_change_dB", sound_change_db(ratio)?.into()),
    ]))
}
