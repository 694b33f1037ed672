//! Models of the topic `paste`.

use physics::paste::bingham::{Bingham, Held};
use physics::paste::bond_line::thickness_m;
use physics::paste::stefan::{
    Pressing, disc_constant_area_s, disc_constant_volume, disc_two_stage, rectangle,
};
use physics::paste::yield_limit::{disc_constant_area_m, disc_constant_volume_m, rectangle_constant_area_m};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "paste_stefan_disc_constant_area", run: stefan_area },
    Model { name: "paste_stefan_disc_constant_volume", run: stefan_volume },
    Model { name: "paste_stefan_disc_two_stage", run: stefan_two_stage },
    Model { name: "paste_rect_squeeze_film", run: rectangle_film },
    Model { name: "paste_yield_limit_disc_constant_area", run: limit_area },
    Model { name: "paste_yield_limit_disc_constant_volume", run: limit_volume },
    Model { name: "paste_yield_limit_rect_constant_area", run: limit_rectangle },
    Model { name: "paste_bingham_disc_constant_area", run: bingham_area },
    Model { name: "paste_bingham_disc_constant_volume", run: bingham_volume },
    Model { name: "paste_prasher_scaling", run: scaling_law },
];

fn pressing(inputs: &Inputs<'_>) -> Result<Pressing, ModelError> {
    Ok(Pressing {
        viscosity_pa_s: inputs.number("viscosity_Pa_s")?,
        force_n: inputs.number("force_N")?,
        initial_gap_m: inputs.number("initial_gap_m")?,
        final_gap_m: inputs.number("final_gap_m")?,
    })
}

fn stefan_area(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let time = disc_constant_area_s(&pressing(inputs)?, inputs.number("plate_radius_m")?)?;
    Ok(outputs([("time_s", time.into())]))
}

fn stefan_volume(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let (time, radius) = disc_constant_volume(&pressing(inputs)?, inputs.number("paste_volume_m3")?)?;
    Ok(outputs([("time_s", time.into()), ("radius_at_h_m", radius.into())]))
}

fn stefan_two_stage(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let (volume, radius) = (inputs.number("paste_volume_m3")?, inputs.number("plate_radius_m")?);
    let stages = disc_two_stage(&pressing(inputs)?, volume, radius)?;
    Ok(outputs([
        ("h_at_full_wetting_m", stages.wetting_gap_m.into()),
        ("time_to_full_wetting_s", stages.wetting_s.into()),
        ("time_s", stages.time_s.into()),
    ]))
}

fn rectangle_film(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let (length, width) = (inputs.number("plate_length_m")?, inputs.number("plate_width_m")?);
    let (factor, time) = rectangle(&pressing(inputs)?, length, width)?;
    Ok(outputs([("shape_factor", factor.into()), ("time_s", time.into())]))
}

fn limit_area(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let radius = inputs.number("plate_radius_m")?;
    let gap = disc_constant_area_m(inputs.number("yield_stress_Pa")?, inputs.number("force_N")?, radius)?;
    Ok(outputs([("h_limit_m", gap.into())]))
}

fn limit_volume(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let volume = inputs.number("paste_volume_m3")?;
    let (gap, radius) =
        disc_constant_volume_m(inputs.number("yield_stress_Pa")?, inputs.number("force_N")?, volume)?;
    Ok(outputs([("h_limit_m", gap.into()), ("radius_at_limit_m", radius.into())]))
}

fn limit_rectangle(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let (length, width) = (inputs.number("plate_length_m")?, inputs.number("plate_width_m")?);
    let gap = rectangle_constant_area_m(
        inputs.number("yield_stress_Pa")?,
        inputs.number("force_N")?,
        length,
        width,
    )?;
    Ok(outputs([("h_limit_m", gap.into())]))
}

fn history(inputs: &Inputs<'_>, held: Held) -> Result<Map<String, Value>, ModelError> {
    let paste = Bingham {
        viscosity_pa_s: inputs.number("viscosity_Pa_s")?,
        yield_stress_pa: inputs.number("yield_stress_Pa")?,
        force_n: inputs.number("force_N")?,
        initial_gap_m: inputs.number("initial_gap_m")?,
        held,
    };
    let mut named = outputs([("h_limit_m", paste.limit_m()?.into())]);
    if inputs.has("time_s") {
        named.insert("gap_m".to_owned(), paste.gap_after_m(inputs.number("time_s")?)?.into());
    }
    Ok(named)
}

fn bingham_area(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    history(inputs, Held::Radius(inputs.number("plate_radius_m")?))
}

fn bingham_volume(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    history(inputs, Held::Volume(inputs.number("paste_volume_m3")?))
}

fn scaling_law(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let thickness = thickness_m(inputs.number("yield_stress_Pa")?, inputs.number("pressure_Pa")?)?;
    Ok(outputs([("bond_line_thickness_m", thickness.into())]))
}
