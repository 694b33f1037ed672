//! The machine record of a survey: the file that a plan takes, every reading with its origin.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use upgrade::part::id::PartId;
use upgrade::part::library::Library;

use crate::identify::{Identified, processor_name, socket};
use crate::pci::PciKind;
use crate::recognise::{Match, listed};
use crate::survey::Survey;

/// A text as TOML, in quotes.
fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

fn reading(out: &mut String, name: &str, value: Option<String>) {
    match value {
        Some(value) => {
            let _ = writeln!(out, "{name} = {}", quoted(&value));
        }
        None => {
            let _ = writeln!(out, "# {name}: not read");
        }
    }
}

fn count(out: &mut String, name: &str, value: Option<u64>) {
    match value {
        Some(value) => {
            let _ = writeln!(out, "{name} = {value}");
        }
        None => {
            let _ = writeln!(out, "# {name}: not read");
        }
    }
}

/// A firmware version as dotted numbers, or the first such in it.
fn dotted(version: &str) -> Option<String> {
    let runs = version.split(|c: char| !(c.is_ascii_digit() || c == '.'));
    let mut best: Option<&str> = None;
    for run in runs.map(|run| run.trim_matches('.')).filter(|run| !run.is_empty()) {
        if upgrade::part::board::FirmwareVersion::parse(run).is_some()
            && best.is_none_or(|best| !best.contains('.') && run.contains('.'))
        {
            best = Some(run);
        }
    }
    best.map(str::to_owned)
}

fn offers(out: &mut String, found: &Match) {
    if let Match::Offered(candidates) = found {
        let _ = writeln!(
            out,
            "# The library has something like it: {}. If it is one of these, write  id = \"...\"  instead.",
            listed(candidates)
        );
    }
}

/// The record.
///
/// What the library surely has is named by its id; anything else becomes a part of this machine alone,
/// filled with all that was read. Cooler, supply, case and paste cannot be read by any program: they are
/// there, with nothing known.
pub fn record(survey: &Survey, identified: &Identified, library: &Library) -> String {
    let mut out =
        String::from("# Read by `reseat survey`. What is not here was not read: it is unknown, not zero.\n");
    let table = survey.table.clone().unwrap_or_default();
    for line in &identified.told_by {
        let _ = writeln!(out, "# {}", one_line(line));
    }
    for line in &identified.contradictions {
        let _ = writeln!(out, "# Contradiction: {}", one_line(line));
    }
    let name = table
        .system
        .product
        .clone()
        .or_else(|| table.board.product.clone())
        .unwrap_or_else(|| "a computer".to_owned());
    let _ = writeln!(out, "name = {}", quoted(&name));
    match table.firmware.version.as_deref() {
        Some(version) => {
            let day = table.firmware.date.as_deref().unwrap_or("an unknown day");
            let _ = writeln!(out, "# The firmware says \"{}\" of {}.", one_line(version), one_line(day));
            if let Some(dotted) = dotted(version) {
                let _ = writeln!(out, "firmware = {}", quoted(&dotted));
            }
        }
        None => out.push_str("# firmware: not read\n"),
    }
    // A processor that runs is in the socket of the board it runs on.
    let [by_processor, by_board] = identified.sockets(library);
    let socket_id = by_processor.or(by_board).cloned().unwrap_or_else(|| PartId::new("unread-socket"));
    processor(&mut out, survey, identified, &socket_id);
    board(&mut out, survey, identified, &socket_id);
    memory(&mut out, identified);
    out.push_str(UNSEEN);
    loads(&mut out, survey);
    software(&mut out, survey);
    out.push_str(WORK);
    out
}

/// Parts that no program can see.
const UNSEEN: &str = r#"
# No program sees the parts below. Name them by their id, or look: `reseat machine unknown` says in which order.
[cooler.part]
id = "unseen-cooler"
maker = "unknown"
name = "the cooler that is there"

[supply.part]
id = "unseen-supply"
maker = "unknown"
name = "the supply that is there"

[case.part]
id = "unseen-case"
maker = "unknown"
name = "the case that is there"
"#;

/// Work that nobody described, so wide that a plan runs and says how little it can tell.
const WORK: &str = r#"
# What this machine does was not said. This stands for any ordinary work; replace it by its real tasks.
[[task]]
name = "ordinary work, not described yet"
time_a_day = "1..4 h"
serial = "20..60 %"
parallel = "10..50 %"
memory = "5..20 %"
elsewhere = "10..40 %"
"#;

fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn processor(out: &mut String, survey: &Survey, identified: &Identified, socket_id: &PartId) {
    out.push('\n');
    offers(out, &identified.processor);
    if let Match::Taken(found) = &identified.processor {
        let _ = writeln!(out, "[processor]\nid = {}", quoted(found.id.text()));
        return;
    }
    let (name, _) = processor_name(survey).unwrap_or(("a processor without a name", ""));
    let maker = survey.topology.vendor.as_deref().unwrap_or("unknown");
    let _ = writeln!(
        out,
        "[processor.part]\norigin = \"firmware\"\nid = \"read-processor\"\nmaker = {}\nname = {}\nsocket = {}\ngeneration = \"unread-generation\"",
        quoted(maker),
        quoted(&normal_title(name)),
        quoted(socket_id.text())
    );
    if let Some(signature) = survey.topology.signature {
        let _ = writeln!(out, "signatures = [{}]", quoted(&signature.to_string()));
    }
    if let Some(level) = survey.topology.level {
        count(out, "instruction_level", Some(u64::from(level)));
    }
    let facts = socket(survey);
    let mut cores: Vec<(u64, u64, Option<u64>)> = survey
        .topology
        .cores
        .iter()
        .map(|kind| (u64::from(kind.count), u64::from(kind.threads_per_core), kind.max_khz))
        .collect();
    if cores.is_empty()
        && let Some(facts) = facts
        && let Some(number) = facts.cores.filter(|cores| *cores > 0)
    {
        let threads = facts.threads.map_or(1, |threads| (threads / number).max(1));
        cores.push((u64::from(number), u64::from(threads), facts.max_mhz.map(|mhz| u64::from(mhz) * 1000)));
    }
    if cores.is_empty() {
        cores.push((1, 1, None));
        out.push_str("# How many cores it has was not read; one is written because none cannot be.\n");
    }
    for (place, (number, threads, khz)) in cores.iter().enumerate() {
        let kind = if cores.len() > 1 { format!("kind {}", place + 1) } else { "core".to_owned() };
        let _ = writeln!(
            out,
            "[[processor.part.cores]]\nkind = {}\ncount = {}\nthreads_per_core = {}",
            quoted(&kind),
            number,
            threads
        );
        reading(out, "boost_clock", khz.map(|khz| format!("{} MHz", khz / 1000)));
        if place == 0 {
            reading(
                out,
                "base_clock",
                facts.and_then(|facts| facts.start_mhz).map(|mhz| format!("{mhz} MHz")),
            );
        }
    }
    // The firmware's voltage is that of the socket at start, not under load: it is not written.
}

/// A reported name without marks and runs of space.
fn normal_title(name: &str) -> String {
    name.replace("(R)", "").replace("(TM)", "").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn board(out: &mut String, survey: &Survey, identified: &Identified, socket_id: &PartId) {
    out.push('\n');
    offers(out, &identified.board);
    if let Match::Taken(found) = &identified.board {
        let _ = writeln!(out, "[board]\nid = {}", quoted(found.id.text()));
        return;
    }
    let table = survey.table.clone().unwrap_or_default();
    let _ = writeln!(
        out,
        "[board.part]\norigin = \"firmware\"\nid = \"read-board\"\nmaker = {}\nname = {}\nchipset = \"unread-chipset\"\nsocket = {}",
        quoted(table.board.maker.as_deref().unwrap_or("unknown")),
        quoted(table.board.product.as_deref().unwrap_or("a board without a name")),
        quoted(socket_id.text()),
    );
    let first = identified.memory.first().and_then(|(modules, _)| modules.one.kind.as_deref());
    reading(out, "memory", memory_kind(first));
    for bridge in survey.devices.iter().filter(|device| device.kind == PciKind::Bridge) {
        let _ = writeln!(out, "# bridge at {}: {}", bridge.address, one_line(&bridge.title()));
    }
    let slots = table.array.slots.map(u64::from).filter(|slots| *slots > 0);
    count(out, "memory_slots", slots.filter(|slots| *slots <= 16));
    reading(
        out,
        "memory_capacity",
        table.array.largest_bytes.map(|bytes| format!("{} MiB", bytes / 1_048_576)),
    );
    for slot in &table.slots {
        let _ = writeln!(
            out,
            "# slot {}: {}, {}",
            one_line(slot.designation.as_deref().unwrap_or("without a name")),
            slot.kind.as_deref().unwrap_or("kind not said"),
            slot.use_word()
        );
    }
}

/// A kind of memory as a record spells it, if a record can hold it.
fn memory_kind(kind: Option<&str>) -> Option<String> {
    let kind = kind?.to_uppercase();
    ["DDR3", "DDR4", "DDR5"].contains(&kind.as_str()).then_some(kind)
}

fn memory(out: &mut String, identified: &Identified) {
    if identified.memory.is_empty() {
        out.push_str(
            "\n# No module was read: their number is not known, at least one is there.\n[[memory]]\n[memory.part]\nid = \"unseen-memory\"\nmaker = \"unknown\"\nname = \"the memory that is there\"\nmodules = 1\n",
        );
    }
    for (place, (modules, found)) in identified.memory.iter().enumerate() {
        out.push('\n');
        offers(out, found);
        out.push_str("[[memory]]\n");
        if let Match::Taken(found) = found {
            let _ = writeln!(out, "id = {}", quoted(found.id.text()));
            continue;
        }
        let one = &modules.one;
        let name = one.part.clone().unwrap_or_else(|| format!("modules {}", place + 1));
        let _ = writeln!(
            out,
            "[memory.part]\norigin = \"firmware\"\nid = \"read-memory-{}\"\nmaker = {}\nname = {}",
            place + 1,
            quoted(one.maker.as_deref().unwrap_or("unknown")),
            quoted(&name)
        );
        reading(out, "kind", memory_kind(one.kind.as_deref()));
        if let Some(number) = &one.part {
            let _ = writeln!(out, "reported = [{}]", quoted(number));
        }
        count(out, "modules", Some(u64::from(modules.count)));
        reading(out, "module_capacity", one.bytes.map(|bytes| format!("{} MiB", bytes / 1_048_576)));
        reading(out, "speed", one.speed_mts.map(|mts| format!("{mts} MT/s")));
        count(out, "ranks", one.ranks.map(u64::from).filter(|ranks| *ranks <= 8));
        reading(out, "voltage", one.millivolts.map(|millivolts| format!("{millivolts} mV")));
        reading(
            out,
            "buffering",
            one.registered.map(|yes| if yes { "registered" } else { "unbuffered" }.to_owned()),
        );
        reading(out, "error_correction", one.corrects.map(|yes| if yes { "yes" } else { "no" }.to_owned()));
    }
}

fn loads(out: &mut String, survey: &Survey) {
    // Graphics inside the processor sits on bus 0 and is no card.
    let cards = survey
        .devices
        .iter()
        .filter(|device| device.kind == PciKind::Graphics && !device.address.starts_with("0000:00:"));
    for card in cards {
        let _ = writeln!(
            out,
            "\n[[load]]\nname = {}\nkind = \"graphics card\"\norigin = \"firmware\"",
            quoted(&card.title())
        );
        if let Some(lanes) = card.lanes.filter(|lanes| *lanes <= 32) {
            count(out, "lanes", Some(u64::from(lanes)));
        }
        out.push_str("# power: not read; it is on the card's sheet\n");
    }
    let mut sizes: BTreeMap<&str, u64> = BTreeMap::new();
    for (name, bytes) in &survey.software.disks {
        sizes.insert(name, *bytes);
    }
    for (name, bytes) in sizes {
        let title = format!("drive {name}, {:.0} GB", bytes as f64 / 1e9);
        let _ =
            writeln!(out, "\n[[load]]\nname = {}\nkind = \"drive\"\norigin = \"firmware\"", quoted(&title));
        if name.starts_with("nvme") {
            out.push_str("lanes = 4\n");
        }
    }
}

fn software(out: &mut String, survey: &Survey) {
    let facts = &survey.software;
    out.push_str("\n[software]\norigin = \"firmware\"\n");
    if let Some(system) = &facts.system {
        let _ = writeln!(out, "system = {}", quoted(system));
    }
    match facts.uefi {
        Some(uefi) => {
            let word = if uefi { "uefi" } else { "legacy" };
            let _ = writeln!(out, "firmware_mode = {}", quoted(word));
        }
        None => out.push_str("# firmware_mode: not read\n"),
    }
    if let Some(encrypted) = facts.encrypted_disk {
        if encrypted && facts.security_chip == Some(true) {
            out.push_str(
                "# A disk is encrypted and there is a security chip: its key may be bound to the firmware.\n",
            );
        }
        let _ = writeln!(out, "bound_keys = {{ disk_encryption = {encrypted} }}");
    }
}
