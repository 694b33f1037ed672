//! Models of the topic `scaling`.

use physics::scaling::fit::fit;
use physics::scaling::fixed_and_scaled::{fixed_size, fixed_size_limit, scaled_size};
use physics::scaling::universal::{capacity, peak};
use serde_json::{Map, Value};

use crate::verify::model::{Inputs, Model, ModelError, outputs};

/// The models, by their names in case files.
pub const MODELS: &[Model] = &[
    Model { name: "scaling_fixed_and_scaled_size", run: fixed_and_scaled },
    Model { name: "universal_scalability_law", run: universal },
    Model { name: "universal_scalability_fit", run: universal_fit },
];

fn fixed_and_scaled(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let (share, processors) = (inputs.number("parallel_fraction")?, inputs.number("processors")?);
    Ok(outputs([
        ("amdahl", fixed_size(share, processors)?.into()),
        ("amdahl_limit", fixed_size_limit(share)?.into()),
        ("gustafson", scaled_size(share, processors)?.into()),
    ]))
}

fn universal(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let (contention, coherency) = (inputs.number("contention")?, inputs.number("coherency")?);
    let single = inputs.number("single_throughput")?;
    let mut throughput = Vec::new();
    for processors in inputs.numbers("processors")? {
        throughput.push(single * capacity(contention, coherency, processors)?);
    }
    let peak = peak(contention, coherency)?;
    let at_peak = peak.map(|peak| capacity(contention, coherency, peak.max(1.0))).transpose()?;
    Ok(outputs([
        ("throughput", throughput.into()),
        ("peak_processors", peak.into()),
        ("peak_throughput", at_peak.map(|capacity| single * capacity).into()),
    ]))
}

fn universal_fit(inputs: &Inputs<'_>) -> Result<Map<String, Value>, ModelError> {
    let fitted = fit(&inputs.numbers("processors")?, &inputs.numbers("throughput")?)?;
    Ok(outputs([
        ("contention", fitted.contention.into()),
        ("coherency", fitted.coherency.into()),
        ("single_throughput", fitted.single_throughput.into()),
    ]))
}
