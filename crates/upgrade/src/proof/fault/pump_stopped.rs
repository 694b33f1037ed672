//! A liquid loop whose pump stands.

use crate::part::cooler::CoolerBuild;
use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges.
pub const FAULT: Fault = Fault {
    id: "pump-stopped",
    name: "pump stopped",
    what: "The liquid does not move: the cooler's base grows hot while the radiator stays cold.",
    check: "With care for hot metal, feel both hoses under load: one hot and one cold means that nothing flows. Is the pump's cable on a \
            header that gives it full voltage?",
    cure: "Plug the pump into a header set to full speed; if it hums and nothing flows, or stays silent, replace the loop. Never open a sealed loop.",
    prior: |expected| match expected.cooler.build.get() {
        Some(CoolerBuild::LiquidLoop) => 0.04,
        Some(_) => 0.0,
        None => 0.005,
    },
    ways: |_| hot_or_not(&[Sign::Sink.from_to(2.5, 40.0), Sign::Pump.from_to(0.0, 0.3)], 5.0),
};
