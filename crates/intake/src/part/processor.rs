//! Reading processors.

use upgrade::part::processor::{CoreGroup, Die, Electrical, MemorySupport, Package, Processor, Scaling};

use crate::fields::Fields;
use crate::part::chipset::lanes;
use crate::part::offer::offers;
use crate::part::words::{GRAPHICS, INNER_JOINT, MULTIPLIER, SUPPORT, memory_types};
use crate::range;

fn cores(fields: &mut Fields<'_, '_>) -> Option<CoreGroup> {
    let kind = fields.text("kind").unwrap_or_else(|| "core".to_owned());
    let count = fields.count("count", 1, 512).get();
    fields.require("count", count.is_some(), "6");
    let threads_per_core = fields.count("threads_per_core", 1, 8).get();
    fields.require("threads_per_core", threads_per_core.is_some(), "2");
    let base_clock = fields.figure("base_clock", range::CLOCK);
    let boost_clock = fields.figure("boost_clock", range::CLOCK);
    let index = fields.figure("index", range::SPEED_RATIO);
    Some(CoreGroup {
        kind,
        count: count?,
        threads_per_core: threads_per_core?,
        base_clock,
        boost_clock,
        index,
    })
}

fn memory(fields: &mut Fields<'_, '_>) -> Option<MemorySupport> {
    let kind = fields.word("kind", &memory_types()).get();
    fields.require("kind", kind.is_some(), "\"DDR4\"");
    let speed = fields.figure("speed", range::RATE);
    let bandwidth = fields.figure("bandwidth", range::DATA_RATE);
    Some(MemorySupport { kind: kind?, speed, bandwidth })
}

fn die(fields: &mut Fields<'_, '_>) -> Die {
    Die {
        width: fields.figure("width", range::LENGTH),
        depth: fields.figure("depth", range::LENGTH),
        offset_x: fields.figure("offset_x", range::OFFSET),
        offset_y: fields.figure("offset_y", range::OFFSET),
        heat_share: fields.figure("heat_share", range::SHARE),
        core_area_share: fields.figure("core_area_share", range::SHARE),
    }
}

fn package(fields: &mut Fields<'_, '_>) -> Package {
    Package {
        lid_width: fields.figure("lid_width", range::LENGTH),
        lid_depth: fields.figure("lid_depth", range::LENGTH),
        lid_thickness: fields.figure("lid_thickness", range::LENGTH),
        dies: fields.tables("dies", die),
        inner_joint: fields.word("inner_joint", &INNER_JOINT),
    }
}

fn electrical(fields: &mut Fields<'_, '_>) -> Electrical {
    Electrical {
        voltage_at_base: fields.figure("voltage_at_base", range::VOLTAGE),
        voltage_at_boost: fields.figure("voltage_at_boost", range::VOLTAGE),
        leakage: fields.figure("leakage", range::POWER_OR_NONE),
        leakage_temperature: fields.figure("leakage_temperature", range::JUNCTION),
        leakage_scale: fields.figure("leakage_scale", range::RISE),
        power_at_base: fields.figure("power_at_base", range::POWER),
    }
}

fn scaling(fields: &mut Fields<'_, '_>) -> Scaling {
    Scaling {
        contention: fields.figure("contention", range::SHARE),
        coherency: fields.figure("coherency", range::SHARE),
        second_thread_gain: fields.figure("second_thread_gain", range::SHARE),
    }
}

/// A `[[processor]]`.
pub fn processor(fields: &mut Fields<'_, '_>) -> Option<Processor> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let reported = fields.texts("reported");
    let signatures = fields.texts("signatures");
    let socket = fields.required_id("socket");
    let generation = fields.required_id("generation");
    let cores: Vec<CoreGroup> = fields.tables("cores", cores).into_iter().flatten().collect();
    fields.require(
        "cores",
        !cores.is_empty(),
        "[{ count = 6, threads_per_core = 2, base_clock = \"3.4 GHz\" }]",
    );
    let sustained_power = fields.figure("sustained_power", range::POWER);
    let burst_power = fields.figure("burst_power", range::POWER);
    let burst_time = fields.figure("burst_time", range::TIME);
    let multiplier = fields.word("multiplier", &MULTIPLIER);
    let locked_sibling = fields.id("locked_sibling");
    let graphics = fields.word("graphics", &GRAPHICS);
    let memory = fields.tables("memory", memory).into_iter().flatten().collect();
    let memory_channels = fields.count("memory_channels", 1, 16);
    let memory_capacity = fields.figure("memory_capacity", range::CAPACITY);
    let error_correction = fields.word("error_correction", &SUPPORT);
    let lanes = lanes(fields);
    let instruction_level =
        fields.count("instruction_level", 1, 4).map(|level| u8::try_from(level).unwrap_or(4));
    let junction_limit = fields.figure("junction_limit", range::JUNCTION);
    let package = fields.table("package", package).unwrap_or_default();
    let electrical = fields.table("electrical", electrical).unwrap_or_default();
    let scaling = fields.table("scaling", scaling).unwrap_or_default();
    let caveats = fields.texts("caveats");
    let cooler_included = fields.id("cooler_included");
    let offers = offers(fields);
    let (Some(id), Some(maker), Some(name), Some(socket), Some(generation), false) =
        (id, maker, name, socket, generation, cores.is_empty())
    else {
        return None;
    };
    Some(Processor {
        id,
        maker,
        name,
        reported,
        signatures,
        socket,
        generation,
        cores,
        sustained_power,
        burst_power,
        burst_time,
        multiplier,
        locked_sibling,
        graphics,
        memory,
        memory_channels,
        memory_capacity,
        error_correction,
        lanes,
        instruction_level,
        junction_limit,
        package,
        electrical,
        scaling,
        caveats,
        cooler_included,
        offers,
    })
}
