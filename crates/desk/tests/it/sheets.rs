//! Job sheets: for every kind of route the order of steps harms neither machine nor person.

use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::sheet::sheet_of::{JobSheet, job_sheet};

use crate::demo::{library, machine};

/// Where a step stands, if it is on the sheet.
fn place(sheet: &JobSheet, id: &str) -> Option<usize> {
    sheet.steps.iter().position(|step| step.id == id)
}

/// The first step, where both are there, comes before the second.
#[track_caller]
fn before(sheet: &JobSheet, first: &str, second: &str) {
    if let (Some(a), Some(b)) = (place(sheet, first), place(sheet, second)) {
        assert!(
            a < b,
            "{first} comes after {second}: {:?}",
            sheet.steps.iter().map(|s| s.id).collect::<Vec<_>>()
        );
    }
}

/// Checked by the ids alone, not by the conditions that made the order.
fn check(sheet: &JobSheet) {
    const INSIDE: [&str; 15] = [
        "open",
        "cool-down",
        "cooler-off",
        "processor-out",
        "memory-out",
        "board-out",
        "board-in",
        "supply-out",
        "supply-in",
        "processor-in",
        "clean-lid",
        "clean-base",
        "paste",
        "cooler-on",
        "memory-in",
    ];
    for inside in INSIDE.iter().chain(&["fan", "board-power", "board-cables"]) {
        before(sheet, "shut-down", inside);
        before(sheet, "cord-out", inside);
        before(sheet, inside, "cord-in");
        before(sheet, inside, "first-start");
    }
    for inside in INSIDE.iter().skip(1).filter(|id| !matches!(**id, "supply-in")) {
        before(sheet, "open", inside);
    }
    for (first, second) in [
        ("back-up", "firmware"),
        ("back-up", "keys"),
        ("keys", "shut-down"),
        ("parts", "shut-down"),
        ("soak-before", "shut-down"),
        ("cool-down", "cooler-off"),
        ("cooler-off", "processor-out"),
        ("cooler-off", "board-out"),
        ("processor-out", "processor-in"),
        ("board-out", "board-in"),
        ("board-in", "processor-in"),
        ("processor-in", "paste"),
        ("clean-lid", "paste"),
        ("clean-base", "paste"),
        ("paste", "cooler-on"),
        ("cooler-on", "fan"),
        ("fan", "cord-in"),
        ("memory-out", "memory-in"),
        ("supply-out", "supply-in"),
        ("supply-in", "board-power"),
        ("cord-in", "first-start"),
        ("first-start", "settings"),
        ("settings", "close"),
        ("close", "soak-after"),
        ("soak-after", "hand-over"),
    ] {
        before(sheet, first, second);
    }
    let ids: std::collections::BTreeSet<&str> = sheet.steps.iter().map(|step| step.id).collect();
    assert_eq!(ids.len(), sheet.steps.len(), "no step stands twice");
    for step in &sheet.steps {
        assert!(![&step.what, &step.why, &step.right, &step.otherwise].iter().any(|text| text.is_empty()));
    }
}

#[test]
fn every_route_of_every_demo_machine_has_a_safe_sheet() {
    let library = library();
    let lib = &library.library;
    let mut made = 0;
    for name in intake::demo::NAMES {
        let machine = machine(name, &library);
        let socket = &machine.board.part.socket;
        let processors: Vec<_> =
            lib.processors.values().filter(|part| part.socket == *socket).take(8).collect();
        let boards: Vec<_> = lib.boards.values().filter(|part| part.socket == *socket).take(4).collect();
        let some = |count: usize| (0..=count).map(|number| number.checked_sub(1));
        for p in some(processors.len()) {
            for b in some(boards.len()) {
                for bits in 0..16_u32 {
                    let changes = Changes {
                        processor: p.and_then(|p| processors.get(p).copied()),
                        board: b.and_then(|b| boards.get(b).copied()),
                        memory: (bits & 1 > 0).then(|| lib.memory.values().next().unwrap()),
                        cooler: (bits & 2 > 0).then(|| lib.coolers.values().nth(p.unwrap_or(3)).unwrap()),
                        paste: (bits & 4 > 0).then(|| lib.pastes.values().next().unwrap()),
                        supply: (bits & 8 > 0).then(|| lib.supplies.values().next().unwrap()),
                        case: None,
                    };
                    if !changes.any() {
                        continue;
                    }
                    let proposal = Proposal { now: &machine, changes, library: lib };
                    check(&job_sheet(&proposal, "a job", "a bead 4 mm across").unwrap());
                    made += 1;
                }
            }
        }
    }
    assert!(made > 1500, "{made} sheets");
}

#[test]
fn a_firmware_update_comes_while_the_old_processor_is_in() {
    let library = library();
    let machine = machine("demo", &library);
    let processor = library.library.processors.values().find(|part| part.id.text() == "tern-2-rush");
    let changes = Changes { processor, paste: library.library.pastes.values().next(), ..Changes::default() };
    let sheet = job_sheet(&Proposal { now: &machine, changes, library: &library.library }, "a job", "a bead")
        .unwrap();
    before(&sheet, "firmware", "shut-down");
    assert!(place(&sheet, "firmware").is_some() && place(&sheet, "keys").is_some());
}
