//! Reading coolers.

use upgrade::part::cooler::{Cooler, Fans, Fins, Liquid};

use crate::fields::Fields;
use crate::part::offer::offers;
use crate::part::words::{SUPPORT, cooler_builds, mountings};
use crate::range;

fn fans(fields: &mut Fields<'_, '_>) -> Option<Fans> {
    let count = fields.count("count", 1, 12).get();
    fields.require("count", count.is_some(), "1");
    let full_speed = fields.figure("full_speed", range::FAN_SPEED);
    let lowest_speed = fields.figure("lowest_speed", range::FAN_SPEED);
    let noise = fields.figure("noise", range::NOISE);
    let current = fields.figure("current", range::CURRENT);
    let free_flow = fields.figure("free_flow", range::FLOW);
    let shut_pressure = fields.figure("shut_pressure", range::FAN_PRESSURE);
    Some(Fans { count: count?, full_speed, lowest_speed, noise, current, free_flow, shut_pressure })
}

fn fins(fields: &mut Fields<'_, '_>) -> Option<Fins> {
    let count = fields.count("count", 1, 1_000).get();
    fields.require("count", count.is_some(), "40");
    let thickness = fields.figure("thickness", range::LENGTH);
    let gap = fields.figure("gap", range::LENGTH);
    let length = fields.figure("length", range::LENGTH);
    let height = fields.figure("height", range::LENGTH);
    Some(Fins { count: count?, thickness, gap, length, height })
}

fn liquid(fields: &mut Fields<'_, '_>) -> Liquid {
    Liquid {
        plate_resistance: fields.figure("plate_resistance", range::RESISTANCE),
        radiator_resistance: fields.figure("radiator_resistance", range::RESISTANCE),
        flow: fields.figure("flow", range::FLOW),
    }
}

/// A `[[cooler]]`.
pub fn cooler(fields: &mut Fields<'_, '_>) -> Option<Cooler> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let refit_of = fields.id("refit_of");
    let build = fields.word("build", &cooler_builds());
    let sockets = fields.ids("sockets");
    let sockets_with_extra_set = fields.ids("sockets_with_extra_set");
    let mounting = fields.word("mounting", &mountings());
    let height = fields.figure("height", range::LENGTH);
    let memory_clearance = fields.figure("memory_clearance", range::LENGTH);
    let base_width = fields.figure("base_width", range::LENGTH);
    let base_depth = fields.figure("base_depth", range::LENGTH);
    let resistance = fields.figure("resistance", range::RESISTANCE);
    let rated_heat = fields.figure("rated_heat", range::POWER);
    let fans = fields.table("fans", fans).flatten();
    let fins = fields.table("fins", fins).flatten();
    let radiator = fields.figure("radiator", range::LENGTH);
    let liquid = fields.table("liquid", liquid);
    let force = fields.figure("force", range::FORCE);
    let mass = fields.figure("mass", range::MASS);
    let paste_applied = fields.word("paste_applied", &SUPPORT);
    let offers = offers(fields);
    Some(Cooler {
        id: id?,
        maker: maker?,
        name: name?,
        refit_of,
        build,
        sockets,
        sockets_with_extra_set,
        mounting,
        height,
        memory_clearance,
        base_width,
        base_depth,
        resistance,
        rated_heat,
        fans,
        fins,
        radiator,
        liquid,
        force,
        mass,
        paste_applied,
        offers,
    })
}
