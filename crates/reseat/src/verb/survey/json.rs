//! A survey as JSON.

use serde_json::{Value, json};
use survey::identify::Identified;
use survey::recognise::{Candidate, Match};
use survey::smbios::Named;
use survey::survey::Survey as Found;

fn match_json(found: &Match) -> Value {
    let one = |candidate: &Candidate| json!({ "id": candidate.id.text(), "score": candidate.score });
    match found {
        Match::Taken(found) => json!({ "taken": one(found) }),
        Match::Offered(list) => json!({ "offered": list.iter().map(one).collect::<Vec<_>>() }),
        Match::Unknown => Value::Null,
    }
}

/// The survey as JSON.
pub(super) fn json(found: &Found, identified: &Identified) -> Value {
    let facts = found.table.clone().unwrap_or_default();
    let named =
        |named: &Named| json!({ "maker": named.maker, "product": named.product, "version": named.version });
    let modules: Vec<Value> = facts
        .modules
        .iter()
        .map(|module| {
            json!({
                "slot": module.slot, "bank": module.bank, "empty": module.empty, "bytes": module.bytes, "type": module.kind,
                "speed_mts": module.speed_mts, "running_mts": module.running_mts, "ranks": module.ranks,
                "millivolts": module.millivolts, "registered": module.registered, "corrects": module.corrects,
                "maker": module.maker, "part": module.part,
            })
        })
        .collect();
    let sockets: Vec<Value> = facts
        .sockets
        .iter()
        .map(|socket| {
            json!({
                "designation": socket.designation, "kind_byte": socket.kind_byte, "kind_name": socket.kind_name,
                "processor": socket.processor, "volts": socket.volts, "max_mhz": socket.max_mhz,
                "start_mhz": socket.start_mhz, "cores": socket.cores, "threads": socket.threads, "populated": socket.populated,
            })
        })
        .collect();
    json!({
        "firmware": { "vendor": facts.firmware.vendor, "version": facts.firmware.version, "date": facts.firmware.date },
        "system": named(&facts.system),
        "board": named(&facts.board),
        "chassis": facts.chassis,
        "structures": facts.structures,
        "sockets": sockets,
        "caches": facts.caches.iter().map(|cache| json!({ "designation": cache.designation, "level": cache.level, "kib": cache.kib })).collect::<Vec<_>>(),
        "memory_array": { "largest_bytes": facts.array.largest_bytes, "slots": facts.array.slots, "correction": facts.array.correction },
        "memory": modules,
        "slots": facts.slots.iter().map(|slot| json!({ "designation": slot.designation, "kind": slot.kind, "used": slot.used })).collect::<Vec<_>>(),
        "processor": {
            "name": found.topology.name, "vendor": found.topology.vendor,
            "signature": found.topology.signature.map(|signature| signature.to_string()),
            "instruction_level": found.topology.level,
            "cores": found.topology.cores.iter().map(|kind| json!({ "count": kind.count, "threads_per_core": kind.threads_per_core, "max_khz": kind.max_khz })).collect::<Vec<_>>(),
            "caches": found.topology.caches.iter().map(|cache| json!({ "level": cache.level, "type": cache.kind, "kib": cache.kib, "count": cache.count })).collect::<Vec<_>>(),
        },
        "devices": found.devices.iter().map(|device| json!({ "address": device.address, "kind": device.kind.word(), "vendor": device.vendor, "device": device.device, "name": device.name, "lanes": device.lanes })).collect::<Vec<_>>(),
        "memory_modules_own_tables": found.modules.iter().map(|(place, spd)| json!({
            "place": place, "type": spd.kind.word(), "bytes": spd.bytes, "ranks": spd.ranks, "speed_mts": spd.speed_mts,
            "part": spd.part, "checksum_right": spd.checksum == survey::spd::Checksum::Right,
        })).collect::<Vec<_>>(),
        "sensors": found.sensors.iter().map(|sensor| json!({ "chip": sensor.chip, "label": sensor.label, "value": sensor.raw.map(|raw| sensor.kind.text(raw)) })).collect::<Vec<_>>(),
        "energy_counters": found.energy_zones,
        "uefi": found.software.uefi,
        "security_chip": found.software.security_chip,
        "encrypted_disk": found.software.encrypted_disk,
        "system_software": found.software.system,
        "disks": found.software.disks.iter().map(|(name, bytes)| json!({ "name": name, "bytes": bytes })).collect::<Vec<_>>(),
        "recognised": {
            "processor": match_json(&identified.processor),
            "board": match_json(&identified.board),
            "memory": identified.memory.iter().map(|(modules, found)| json!({ "count": modules.count, "part": modules.one.part, "match": match_json(found) })).collect::<Vec<_>>(),
        },
        "told_by": identified.told_by,
        "contradictions": identified.contradictions,
        "remarks": facts.remarks,
        "missing": found.missing.iter().map(|missing| json!({ "what": missing.what, "why": missing.why, "command": missing.command })).collect::<Vec<_>>(),
    })
}
