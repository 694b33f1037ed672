//! `survey`: what is in the machine.

use std::path::Path;

use draw::paint::Role;
use draw::table::{Side, Table};
use draw::wrap::wrap;
use serde_json::{Value, json};
use survey::capture::{Identity, capture, open};
use survey::recognise::Match;
use survey::record::{Identified, identify, record};
use survey::root::Root;
use survey::survey::{Survey as Found, survey, survey_dump};

use crate::args::Survey;
use crate::exit::{Exit, Failure};
use crate::terminal::Screen;
use crate::verb::file::{print, print_json, read, write};
use crate::verb::load::library;

/// The wanted root: this machine, a folder, or a capture.
fn root(path: Option<&Path>) -> Result<Root, Failure> {
    let folder = |path: &Path| {
        Root::folder(path).map_err(|error| Failure::Report(format!(
            "error: cannot look into {}\n  because {error}\n  do: name a folder that stands for a machine's root, or a capture made by --capture\n",
            path.display()
        )))
    };
    match path {
        None => folder(Path::new("/")),
        Some(path) if path.is_file() => Ok(open(&read(path)?)?),
        Some(path) => folder(path),
    }
}

pub(crate) fn run(wanted: &Survey, screen: &Screen) -> Result<Exit, Failure> {
    if let Some(file) = &wanted.capture {
        let identity = if wanted.with_serials { Identity::Kept } else { Identity::Hidden };
        let packed = capture(root(wanted.root.as_deref())?, identity)?;
        write(file, &packed)?;
        print(&format!(
            "Packed {} bytes into {}. Look at it with  reseat survey --root {}\n",
            packed.len(),
            file.display(),
            file.display()
        ));
        return Ok(Exit::Done);
    }
    let found = match &wanted.dump {
        Some(file) => survey_dump(&read(file)?)?,
        None => survey(&root(wanted.root.as_deref())?),
    };
    let library = library(&wanted.library)?.read.library;
    let identified = identify(&found, &library);
    if let Some(file) = &wanted.out {
        write(file, record(&found, &identified, &library).as_bytes())?;
    }
    if wanted.json {
        print_json(&as_json(&found, &identified));
    } else {
        print(&as_text(&found, &identified, screen));
        if let Some(file) = &wanted.out {
            print(&format!(
                "The record is in {}. Go on with  reseat machine unknown {}\n",
                file.display(),
                file.display()
            ));
        }
    }
    Ok(Exit::Done)
}

fn or_unknown(value: Option<impl ToString>) -> String {
    value.map_or_else(|| "unknown".to_owned(), |value| value.to_string())
}

fn joined(parts: &[Option<String>]) -> Option<String> {
    let parts: Vec<&str> = parts.iter().flatten().map(String::as_str).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn size(bytes: u64) -> String {
    if bytes >= 1 << 30 { format!("{} GiB", bytes >> 30) } else { format!("{} MiB", bytes >> 20) }
}

fn matched(found: &Match) -> String {
    match found {
        Match::Taken(found) => format!("the library's {}", found.id),
        Match::Offered(list) => {
            let list: Vec<String> =
                list.iter().map(|one| format!("{} ({:.0} %)", one.id, 100.0 * one.score)).collect();
            format!("not sure; perhaps {}", list.join(", "))
        }
        Match::Unknown => "not in the library".to_owned(),
    }
}

fn as_text(found: &Found, identified: &Identified, screen: &Screen) -> String {
    let mut table = Table::new(&[("what", Side::Left), ("read", Side::Left)]);
    let mut row = |what: &str, value: Option<String>| {
        table.row([what.to_owned(), value.unwrap_or_else(|| "unknown".to_owned())])
    };
    let facts = found.table.clone().unwrap_or_default();
    row("system", joined(&[facts.system.maker.clone(), facts.system.product.clone()]));
    row(
        "board",
        joined(&[facts.board.maker.clone(), facts.board.product.clone(), facts.board.version.clone()]),
    );
    row("", Some(matched(&identified.board)));
    row(
        "firmware",
        joined(&[facts.firmware.vendor.clone(), facts.firmware.version.clone(), facts.firmware.date.clone()]),
    );
    let socket = facts.sockets.iter().find(|socket| socket.populated);
    let name = found.topology.name.clone().or_else(|| socket.and_then(|socket| socket.processor.clone()));
    row("processor", name);
    row("", Some(matched(&identified.processor)));
    let kinds: Vec<String> = found
        .topology
        .cores
        .iter()
        .map(|kind| {
            let clock =
                kind.max_khz.map_or(String::new(), |khz| format!(" up to {:.2} GHz", khz as f64 / 1e6));
            format!("{} x {} thread(s){clock}", kind.count, kind.threads_per_core)
        })
        .collect();
    row("cores", (!kinds.is_empty()).then(|| kinds.join(" + ")));
    row("signature", found.topology.signature.map(|signature| signature.to_string()));
    row("instruction level", found.topology.level.map(|level| format!("x86-64-v{level}")));
    for cache in &found.topology.caches {
        row(
            "cache",
            Some(format!(
                "level {} {}: {} x {} KiB",
                cache.level,
                cache.kind.to_lowercase(),
                cache.count,
                cache.kib
            )),
        );
    }
    if let Some(array) = facts.array.slots {
        row(
            "memory slots",
            Some(format!("{array}, up to {}", or_unknown(facts.array.largest_bytes.map(size)))),
        );
    }
    for (modules, found) in &identified.memory {
        let one = &modules.one;
        let text = format!(
            "{} x {}, {}, {} MT/s, ranks {}, {}",
            modules.count,
            or_unknown(one.bytes.map(size)),
            or_unknown(one.kind.as_deref().map(str::to_uppercase)),
            or_unknown(one.speed_mts),
            or_unknown(one.ranks),
            or_unknown(one.part.clone())
        );
        row("memory", Some(text));
        row("", Some(matched(found)));
    }
    for slot in &facts.slots {
        let used = match slot.used {
            Some(true) => "used",
            Some(false) => "free",
            None => "use not said",
        };
        row(
            "slot",
            Some(format!(
                "{}, {}, {used}",
                or_unknown(slot.designation.clone()),
                or_unknown(slot.kind.clone())
            )),
        );
    }
    for device in &found.devices {
        row(device.kind.word(), Some(device.title()));
    }
    for (name, bytes) in &found.software.disks {
        row("drive", Some(format!("{name}, {:.0} GB", *bytes as f64 / 1e9)));
    }
    for (place, spd) in &found.modules {
        row(
            "module itself",
            Some(format!(
                "{place}: {} {} {}",
                spd.kind.word(),
                or_unknown(spd.bytes.map(size)),
                or_unknown(spd.part.clone())
            )),
        );
    }
    for sensor in &found.sensors {
        let value = sensor.raw.map(|raw| sensor.kind.text(raw));
        row("sensor", Some(format!("{} {}: {}", sensor.chip, sensor.label, or_unknown(value))));
    }
    for zone in &found.energy_zones {
        row("energy counter", Some(zone.clone()));
    }
    row(
        "started by",
        found.software.uefi.map(|uefi| if uefi { "UEFI" } else { "the master boot record" }.to_owned()),
    );
    row(
        "security chip",
        found.software.security_chip.map(|there| if there { "there" } else { "none" }.to_owned()),
    );
    row(
        "encrypted disk",
        found.software.encrypted_disk.map(|yes| if yes { "yes" } else { "none" }.to_owned()),
    );
    row("system software", found.software.system.clone());
    let mut out = table.render(screen.width);
    let mut paragraph = |role: Role, text: &str| {
        let lines = wrap(text, screen.width, 2).join("\n");
        out.push_str(&screen.paint.text(role, &lines));
        out.push('\n');
    };
    for remark in &facts.remarks {
        paragraph(Role::Careful, &format!("Remark: {remark}."));
    }
    for line in &identified.told_by {
        paragraph(Role::Quiet, line);
    }
    for line in &identified.contradictions {
        paragraph(Role::Careful, &format!("Contradiction: {line}"));
    }
    for missing in &found.missing {
        let command = missing.command.map_or(String::new(), |command| format!(" To add it:  {command}"));
        paragraph(Role::Careful, &format!("Not read: {}, for {}.{command}", missing.what, missing.why));
    }
    out
}

fn match_json(found: &Match) -> Value {
    let one = |candidate: &survey::recognise::Candidate| json!({ "id": candidate.id.text(), "score": candidate.score });
    match found {
        Match::Taken(found) => json!({ "taken": one(found) }),
        Match::Offered(list) => json!({ "offered": list.iter().map(one).collect::<Vec<_>>() }),
        Match::Unknown => Value::Null,
    }
}

fn as_json(found: &Found, identified: &Identified) -> Value {
    let facts = found.table.clone().unwrap_or_default();
    let named = |named: &survey::smbios::Named| json!({ "maker": named.maker, "product": named.product, "version": named.version });
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
