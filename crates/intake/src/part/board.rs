//! Reading boards.

use quantity::reading::Reading;
use upgrade::part::board::{Board, DrivePlace, FirmwareVersion, Slot, Stages, SupportEntry, SupportScope};

use crate::fields::Fields;
use crate::part::offer::offers;
use crate::part::words::{AUX, FIRMWARE_UPDATE, LANE_SOURCE, SUPPORT, forms, memory_types, stage_classes};
use crate::range;

/// A firmware version.
pub fn version(
    fields: &mut Fields<'_, '_>,
    name: &'static str,
    origin: quantity::reading::Origin,
) -> Reading<FirmwareVersion> {
    let Some(text) = fields.text(name) else { return Reading::Unknown };
    match FirmwareVersion::parse(&text) {
        Some(version) => Reading::Known(version, origin),
        None => {
            let span = fields.span();
            let shown: String = text.chars().take(40).collect();
            let help = Some("write it as numbers with points, as in \"1.40\"".to_owned());
            fields.error(span.start..span.start, name, format!("\"{shown}\" is no firmware version"), help);
            Reading::Unknown
        }
    }
}

fn support(fields: &mut Fields<'_, '_>) -> Option<SupportEntry> {
    let generation = fields.id("generation");
    let processor = fields.id("processor");
    let excluded = fields.id("excluded");
    let since = version(fields, "since", quantity::reading::Origin::Sheet);
    let scopes: Vec<SupportScope> = [
        generation.map(SupportScope::Generation),
        processor.map(SupportScope::Processor),
        excluded.map(SupportScope::Excluded),
    ]
    .into_iter()
    .flatten()
    .collect();
    match <[SupportScope; 1]>::try_from(scopes) {
        Ok([scope]) => Some(SupportEntry { scope, since }),
        Err(_) if !fields.is_reading() => None,
        Err(_) => {
            let span = fields.span();
            let message = "a line of a support list names one of generation, processor, excluded".to_owned();
            let help = Some("write  { generation = \"tern-2\", since = \"1.40\" }".to_owned());
            fields.error(span, "generation", message, help);
            None
        }
    }
}

fn stages(fields: &mut Fields<'_, '_>) -> Stages {
    Stages {
        class: fields.word("class", &stage_classes()),
        count: fields.count("count", 1, 64),
        stage_current: fields.figure("stage_current", range::CURRENT),
        inductance: fields.figure("inductance", range::INDUCTANCE),
        frequency: fields.figure("frequency", range::SWITCHING),
    }
}

fn slot(fields: &mut Fields<'_, '_>) -> Option<Slot> {
    let name = fields.required_text("name");
    let lanes = fields.count("lanes", 1, 32).get();
    fields.require("lanes", lanes.is_some(), "16");
    let generation = fields.count("generation", 1, 9).get();
    fields.require("generation", generation.is_some(), "4");
    let source = fields.word("source", &LANE_SOURCE).get();
    fields.require("source", source.is_some(), "\"processor\"");
    Some(Slot {
        name: name?,
        lanes: u16::try_from(lanes?).unwrap_or(u16::MAX),
        generation: u8::try_from(generation?).unwrap_or(u8::MAX),
        source: source?,
    })
}

fn drive(fields: &mut Fields<'_, '_>) -> Option<DrivePlace> {
    let name = fields.required_text("name");
    let lanes = fields.count("lanes", 0, 16).get();
    fields.require("lanes", lanes.is_some(), "4");
    let source = fields.word("source", &LANE_SOURCE).get();
    fields.require("source", source.is_some(), "\"chipset\"");
    let shares_with = fields.text("shares_with");
    let only_generations = fields.ids("only_generations");
    Some(DrivePlace {
        name: name?,
        lanes: u16::try_from(lanes?).unwrap_or(u16::MAX),
        source: source?,
        shares_with,
        only_generations,
    })
}

/// A `[[board]]`.
pub fn board(fields: &mut Fields<'_, '_>) -> Option<Board> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let reported = fields.texts("reported");
    let chipset = fields.required_id("chipset");
    let socket = fields.required_id("socket");
    let form = fields.word("form", &forms());
    let memory = fields.word("memory", &memory_types());
    let memory_slots = fields.count("memory_slots", 1, 16);
    let memory_capacity = fields.figure("memory_capacity", range::CAPACITY);
    let memory_speed = fields.figure("memory_speed", range::RATE);
    let error_correction = fields.word("error_correction", &SUPPORT);
    let firmware_sold = version(fields, "firmware_sold", quantity::reading::Origin::Sheet);
    let firmware_update = fields.word("firmware_update", &FIRMWARE_UPDATE);
    let support = fields.tables("support", support).into_iter().flatten().collect();
    let stages = fields.table("stages", stages).unwrap_or_default();
    let rated_processor_power = fields.figure("rated_processor_power", range::POWER);
    let aux_connectors = fields.word_list("aux_connectors", &AUX);
    let display_outputs = fields.count("display_outputs", 0, 16);
    let slots = fields.tables("slots", slot).into_iter().flatten().collect();
    let drives = fields.tables("drives", drive).into_iter().flatten().collect();
    let fan_header_current = fields.figure("fan_header_current", range::CURRENT);
    let front_headers = fields.texts("front_headers");
    let own_power = fields.figure("own_power", range::POWER);
    let offers = offers(fields);
    Some(Board {
        id: id?,
        maker: maker?,
        name: name?,
        reported,
        chipset: chipset?,
        socket: socket?,
        form,
        memory,
        memory_slots,
        memory_capacity,
        memory_speed,
        error_correction,
        firmware_sold,
        firmware_update,
        support,
        stages,
        rated_processor_power,
        aux_connectors,
        display_outputs,
        slots,
        drives,
        fan_header_current,
        front_headers,
        own_power,
        offers,
    })
}
