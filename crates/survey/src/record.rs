//! The machine record of a survey: the file that a plan takes, every reading with its origin.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use upgrade::part::id::PartId;
use upgrade::part::library::Library;

use crate::pci::PciKind;
use crate::recognise::{Match, OFFERED, normal, recognise, score};
use crate::smbios::{ModuleFacts, SocketFacts};
use crate::survey::Survey;

/// What the parts of the machine are, as far as the library knows them.
#[derive(Debug, Clone, PartialEq)]
pub struct Identified {
    /// Processor.
    pub processor: Match,
    /// Board.
    pub board: Match,
    /// Memory, alike modules together.
    pub memory: Vec<(Modules, Match)>,
    /// What each was told by, in sentences.
    pub told_by: Vec<String>,
    /// What does not agree.
    pub contradictions: Vec<String>,
}

/// Modules that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Modules {
    /// One of them.
    pub one: ModuleFacts,
    /// How many.
    pub count: u32,
}

fn socket(survey: &Survey) -> Option<&SocketFacts> {
    let sockets = &survey.table.as_ref()?.sockets;
    sockets.iter().find(|socket| socket.populated).or_else(|| sockets.first())
}

/// Name by which the processor goes: what it says of itself first, what the firmware says of it second.
fn processor_name(survey: &Survey) -> Option<(&str, &'static str)> {
    let own = survey.topology.name.as_deref().map(|name| (name, "the name it reports of itself"));
    own.or_else(|| Some((socket(survey)?.processor.as_deref()?, "the name in the firmware's table")))
}

fn alike(survey: &Survey) -> Vec<Modules> {
    let mut out: Vec<Modules> = Vec::new();
    let listed = survey.table.iter().flat_map(|table| &table.modules).filter(|module| module.bytes.is_some());
    for module in listed {
        let same = out.iter_mut().find(|known| {
            (&known.one.part, known.one.bytes, &known.one.kind, known.one.speed_mts)
                == (&module.part, module.bytes, &module.kind, module.speed_mts)
        });
        match same {
            Some(known) => known.count += 1,
            None => out.push(Modules { one: module.clone(), count: 1 }),
        }
    }
    if out.is_empty() {
        // Without the firmware's table the modules still speak for themselves.
        for (_, spd) in &survey.modules {
            let module = ModuleFacts {
                bytes: spd.bytes,
                kind: Some(spd.kind.word().to_owned()),
                speed_mts: spd.speed_mts,
                ranks: spd.ranks,
                registered: spd.registered,
                corrects: spd.corrects,
                part: spd.part.clone(),
                ..ModuleFacts::default()
            };
            match out.iter_mut().find(|known| known.one == module) {
                Some(known) => known.count += 1,
                None => out.push(Modules { one: module, count: 1 }),
            }
        }
    }
    out
}

/// Names that a part goes by.
fn names(maker: &str, name: &str, reported: &[String]) -> Vec<String> {
    let mut names = vec![name.to_owned(), format!("{maker} {name}")];
    names.extend(reported.iter().cloned());
    names
}

/// Matches what hardware reports with the library.
///
/// The processor is told by its own name and signature first, by the board second, and by the firmware's
/// socket byte last; what does not agree is said.
pub fn identify(survey: &Survey, library: &Library) -> Identified {
    let mut told_by = Vec::new();
    let mut contradictions = survey.contradictions.clone();
    let mut processor = Match::Unknown;
    if let Some((name, by)) = processor_name(survey) {
        let parts = library.processors.values();
        processor =
            recognise(name, parts.map(|part| (&part.id, names(&part.maker, &part.name, &part.reported))));
        told_by.push(format!("The processor is \"{name}\": {by}."));
    }
    if let Some(signature) = survey.topology.signature {
        let text = signature.to_string();
        let listed: Vec<&PartId> = library
            .processors
            .values()
            .filter(|part| part.signatures.contains(&text))
            .map(|part| &part.id)
            .collect();
        match &processor {
            Match::Taken(found) => {
                let part = &library.processors[&found.id];
                if !part.signatures.is_empty() && !part.signatures.contains(&text) {
                    contradictions.push(format!(
                        "The name says {}, but its signature {text} is none that the library lists for it: it may be relabelled.",
                        part.name
                    ));
                }
            }
            Match::Offered(offered) => {
                // The signature decides between brothers with like names.
                let mut both = offered.iter().filter(|candidate| listed.contains(&&candidate.id));
                if let (Some(only), None) = (both.next(), both.next()) {
                    told_by.push(format!("Of several with like names, only one has the signature {text}."));
                    processor = Match::Taken(only.clone());
                }
            }
            Match::Unknown => {
                if let [only] = listed.as_slice() {
                    told_by.push(format!("Its name is not in the library; its signature {text} is."));
                    processor = Match::Offered(vec![crate::recognise::Candidate {
                        id: (*only).clone(),
                        score: OFFERED,
                    }]);
                }
            }
        }
    }
    let mut board = Match::Unknown;
    if let Some(table) = &survey.table
        && let Some(product) = &table.board.product
    {
        let maker = table.board.maker.clone().unwrap_or_default();
        let parts = library.boards.values();
        board = recognise(
            product,
            parts.clone().map(|part| (&part.id, names(&part.maker, &part.name, &part.reported))),
        );
        if board == Match::Unknown {
            let full = format!("{maker} {product}");
            board = recognise(
                &full,
                parts.map(|part| (&part.id, names(&part.maker, &part.name, &part.reported))),
            );
        }
        told_by.push(format!("The board is \"{product}\" of \"{maker}\": the firmware's table."));
    }
    let by_board = match &board {
        Match::Taken(found) => library.boards.get(&found.id).map(|board| &board.socket),
        _ => None,
    };
    let by_processor = match &processor {
        Match::Taken(found) => library.processors.get(&found.id).map(|processor| &processor.socket),
        _ => None,
    };
    if let (Some(a), Some(b)) = (by_processor, by_board)
        && a != b
    {
        contradictions.push(format!(
            "The processor goes into {a}, the board has {b}: one of the two is not what it says."
        ));
    }
    if let Some(facts) = socket(survey)
        && let Some(name) = &facts.kind_name
    {
        let known = by_processor.or(by_board);
        let words = format!("The firmware's socket byte says {name}: only a hint, for it is often wrong.");
        if let Some(known) = known.and_then(|id| library.sockets.get(id))
            && score(name, &known.name) < OFFERED
            && normal(name).concat() != normal(&known.name).concat()
        {
            contradictions.push(format!("{words} Processor and board say {}.", known.name));
        } else {
            told_by.push(words);
        }
    }
    let memory = alike(survey)
        .into_iter()
        .map(|modules| {
            let parts = library.memory.values().filter(|kit| kit.modules == modules.count);
            let found = modules.one.part.as_deref().map_or(Match::Unknown, |number| {
                recognise(number, parts.map(|kit| (&kit.id, names(&kit.maker, &kit.name, &kit.reported))))
            });
            (modules, found)
        })
        .collect();
    Identified { processor, board, memory, told_by, contradictions }
}

/// A text as TOML, in quotes.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
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
        let list: Vec<String> = candidates
            .iter()
            .map(|candidate| format!("{} ({:.0} %)", candidate.id, 100.0 * candidate.score))
            .collect();
        let _ = writeln!(
            out,
            "# The library has something like it: {}. If it is one of these, write  id = \"...\"  instead.",
            list.join(", ")
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
    let by_board = match &identified.board {
        Match::Taken(found) => library.boards.get(&found.id).map(|board| board.socket.clone()),
        _ => None,
    };
    let by_processor = match &identified.processor {
        Match::Taken(found) => library.processors.get(&found.id).map(|processor| processor.socket.clone()),
        _ => None,
    };
    // A processor that runs is in the socket of the board it runs on.
    let socket_id = by_processor.or(by_board).unwrap_or_else(|| PartId::new("unread-socket"));
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
    reading(out, "memory", memory_kind(identified).map(str::to_owned));
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
        let used = match slot.used {
            Some(true) => "used",
            Some(false) => "free",
            None => "use not said",
        };
        let _ = writeln!(
            out,
            "# slot {}: {}, {used}",
            one_line(slot.designation.as_deref().unwrap_or("without a name")),
            slot.kind.as_deref().unwrap_or("kind not said")
        );
    }
}

fn memory_kind(identified: &Identified) -> Option<&'static str> {
    let kind = identified.memory.first()?.0.one.kind.as_deref()?.to_uppercase();
    ["DDR3", "DDR4", "DDR5"].into_iter().find(|word| *word == kind)
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
        let kind = one.kind.as_deref().map(str::to_uppercase);
        let kind = ["DDR3", "DDR4", "DDR5"].into_iter().find(|word| Some(*word) == kind.as_deref());
        let name = one.part.clone().unwrap_or_else(|| format!("modules {}", place + 1));
        let _ = writeln!(
            out,
            "[memory.part]\norigin = \"firmware\"\nid = \"read-memory-{}\"\nmaker = {}\nname = {}",
            place + 1,
            quoted(one.maker.as_deref().unwrap_or("unknown")),
            quoted(&name)
        );
        reading(out, "kind", kind.map(str::to_owned));
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
