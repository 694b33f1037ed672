//! Reading loads.

use upgrade::machine::loads::Load;

use crate::fields::Fields;
use crate::part::words::load_kinds;
use crate::range;

/// A `[[load]]`.
pub fn load(fields: &mut Fields<'_, '_>) -> Option<Load> {
    let name = fields.required_text("name");
    let kind = fields.word("kind", &load_kinds()).get();
    fields.require("kind", kind.is_some(), "\"graphics card\"");
    let power = fields.figure("power", range::POWER);
    let burst_power = fields.figure("burst_power", range::POWER);
    let card_connectors = fields.count("card_connectors", 0, 8);
    let place = fields.text("place");
    let lanes = fields.count("lanes", 0, 32).map(|lanes| u16::try_from(lanes).unwrap_or(u16::MAX));
    let lane_rate = fields.figure("lane_rate", range::RATE);
    Some(Load { name: name?, kind: kind?, power, burst_power, card_connectors, place, lanes, lane_rate })
}
