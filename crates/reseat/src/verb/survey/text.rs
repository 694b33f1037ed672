//! A survey as terminal text.

use draw::paint::Role;
use draw::table::{Side, Table};
use draw::wrap::wrap;
use survey::identify::Identified;
use survey::recognise::{Match, listed};
use survey::survey::Survey as Found;

use crate::terminal::Screen;

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
        Match::Offered(list) => format!("not sure; perhaps {}", listed(list)),
        Match::Unknown => "not in the library".to_owned(),
    }
}

/// The survey as a table, then what it was told by and what is missing.
pub(super) fn text(found: &Found, identified: &Identified, screen: &Screen) -> String {
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
    if facts.board.product.is_some() {
        row("", Some(matched(&identified.board)));
    }
    if facts.chassis.is_some() {
        row("chassis", facts.chassis.clone());
    }
    row(
        "firmware",
        joined(&[facts.firmware.vendor.clone(), facts.firmware.version.clone(), facts.firmware.date.clone()]),
    );
    let socket = facts.sockets.iter().find(|socket| socket.populated);
    let name = found.topology.name.clone().or_else(|| socket.and_then(|socket| socket.processor.clone()));
    let named = name.is_some();
    row("processor", name);
    if named {
        row("", Some(matched(&identified.processor)));
    }
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
        if one.part.is_some() {
            row("", Some(matched(found)));
        }
    }
    for slot in &facts.slots {
        row(
            "slot",
            Some(format!(
                "{}, {}, {}",
                or_unknown(slot.designation.clone()),
                or_unknown(slot.kind.clone()),
                slot.use_word()
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
