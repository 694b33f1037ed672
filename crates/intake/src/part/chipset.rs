//! Reading chipsets.

use upgrade::part::chipset::Chipset;
use upgrade::part::processor::Lanes;

use crate::fields::Fields;
use crate::part::words::SUPPORT;
use quantity::reading::Reading;

/// A table of lanes: their generation and how many.
pub fn lanes(fields: &mut Fields<'_, '_>) -> Reading<Lanes> {
    let taken = fields.table("lanes", |fields| {
        let generation = fields.count("generation", 1, 9);
        let count = fields.count("count", 0, 256);
        fields.require("generation", !generation.is_unknown(), "4");
        fields.require("count", !count.is_unknown(), "16");
        generation.with(count, |generation, count| Lanes {
            generation: u8::try_from(generation).unwrap_or(u8::MAX),
            count: u16::try_from(count).unwrap_or(u16::MAX),
        })
    });
    taken.unwrap_or_default()
}

/// A `[[chipset]]`.
pub fn chipset(fields: &mut Fields<'_, '_>) -> Option<Chipset> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let series = fields.required_text("series");
    let tier = fields.count("tier", 1, 9).get();
    fields.require("tier", tier.is_some(), "2");
    let socket = fields.required_id("socket");
    let generations = fields.ids("generations");
    fields.require("generations", true, "[\"generation-id\"]");
    let multiplier_control = fields.word("multiplier_control", &SUPPORT);
    let memory_tuning = fields.word("memory_tuning", &SUPPORT);
    let lanes = lanes(fields);
    Some(Chipset {
        id: id?,
        maker: maker?,
        name: name?,
        series: series?,
        tier: u8::try_from(tier?).unwrap_or(u8::MAX),
        socket: socket?,
        generations,
        multiplier_control,
        memory_tuning,
        lanes,
    })
}
