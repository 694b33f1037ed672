//! Job sheets: for every kind of route the order of steps harms neither machine nor person.

use std::collections::BTreeSet;

use quantity::reading::{Origin, Reading};
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::cooler::Mounting;
use upgrade::part::processor::Support;
use upgrade::part::socket::{Contacts, HoldDown};
use upgrade::sheet::caution::{DEFER, Signal};
use upgrade::sheet::first_start::{CAUTIONS, Next, TREE};
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
    for inside in INSIDE.iter().chain(&["fan", "fans", "board-power", "board-cables"]) {
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
        ("fans", "fan"),
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
    // Fans alone: the cooler stays on, the old fan's plug comes off and the new one's on.
    let machine = machine("demo", &library);
    let fans = library.library.coolers.values().find(|cooler| cooler.id.text() == "larkspur-90-swift");
    for processor in
        [None, library.library.processors.values().find(|one| one.socket == machine.board.part.socket)]
    {
        let changes = Changes {
            cooler: fans,
            processor,
            paste: processor.and(library.library.pastes.values().next()),
            ..Changes::default()
        };
        let sheet =
            job_sheet(&Proposal { now: &machine, changes, library: &library.library }, "fans", "a bead")
                .unwrap();
        let has = |id: &str| sheet.steps.iter().any(|step| step.id == id);
        assert!(has("fans"));
        assert_eq!((has("cooler-off"), has("fan")), (processor.is_some(), processor.is_some()));
        check(&sheet);
    }
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

/// Everything a step says, in one text.
fn said(sheet: &JobSheet, id: &str) -> String {
    let Some(step) = sheet.steps.iter().find(|step| step.id == id) else { return String::new() };
    let cautions: Vec<&str> = step.cautions.iter().map(|caution| caution.text).collect();
    let mut tools = step.tools.to_vec();
    tools.sort_unstable();
    format!(
        "{} {} {} {} {} {}",
        step.title,
        step.what,
        step.right,
        step.otherwise,
        cautions.join(" "),
        tools.join(", ")
    )
}

#[track_caller]
fn says(sheet: &JobSheet, id: &str, parts: &[&str]) {
    let text = said(sheet, id);
    for part in parts {
        assert!(text.contains(part), "{id} does not say \"{part}\": {text}");
    }
}

/// The sheet of the demo machine's own processor put in anew, on a socket of this kind.
fn on_socket(contacts: Contacts, hold_down: HoldDown) -> JobSheet {
    let mut library = library();
    let machine = machine("demo", &library);
    let socket = library.library.sockets.get_mut(&machine.board.part.socket).unwrap();
    (socket.contacts, socket.hold_down) = (contacts, hold_down);
    let processor = library.library.processors.values().find(|part| part.id.text() == "tern-2-rush");
    let changes = Changes { processor, paste: library.library.pastes.values().next(), ..Changes::default() };
    job_sheet(&Proposal { now: &machine, changes, library: &library.library }, "a job", "a bead").unwrap()
}

#[test]
fn each_kind_of_socket_is_opened_and_closed_its_own_way() {
    let springs = "Nothing but the processor goes in there";
    let pins = "The pins bend at a touch";
    let sheet = on_socket(Contacts::LandGrid, HoldDown::LeverAndFrame);
    says(
        &sheet,
        "processor-out",
        &["lever down and out", "open the frame", springs, "shine in the same direction"],
    );
    says(&sheet, "processor-in", &["two notches", "Lower the frame over the lid's edge", springs]);
    assert!(!said(&sheet, "processor-in").contains(pins));
    let sheet = on_socket(Contacts::PinGrid, HoldDown::Lever);
    says(&sheet, "processor-out", &["swing it straight up", pins, "stand straight in their rows"]);
    says(&sheet, "processor-in", &["fall in by its own weight", "press the lever home", pins]);
    assert!(!said(&sheet, "processor-in").contains(springs));
    let sheet = on_socket(Contacts::LandGrid, HoldDown::ScrewedFrame);
    says(&sheet, "processor-out", &["Loosen the frame's screws in the order printed on it"]);
    says(&sheet, "processor-in", &["tighten its screws in the order printed on it"]);
}

#[test]
fn each_kind_of_mounting_and_of_paste_has_its_own_words() {
    let library = library();
    let lib = &library.library;
    let mut machine = machine("demo", &library);
    let paste = lib.pastes.values().next();
    for (mounting, off, on, tool) in [
        (
            Mounting::PushPins,
            "a quarter against the clock",
            "two opposite ones home at the same time",
            "flat",
        ),
        (Mounting::Screws, "Loosen the screws crosswise", "tighten crosswise, one turn each", "cross"),
        (Mounting::Clip, "Press the clip off its nose", "then press the other side down", "flat"),
        (Mounting::Lever, "Swing the lever over and unhook", "then swing the lever over", ""),
    ] {
        let mut cooler = lib.coolers.values().next().unwrap().clone();
        cooler.mounting = Reading::from_option(Some(mounting), Origin::Sheet);
        cooler.paste_applied = Reading::from_option(Some(Support::No), Origin::Sheet);
        machine.cooler.part = cooler.clone();
        let changes = Changes { cooler: Some(&cooler), paste, ..Changes::default() };
        let sheet = job_sheet(&Proposal { now: &machine, changes, library: lib }, "a job", "a bead").unwrap();
        says(&sheet, "cooler-off", &[off, tool, "Twist the cooler", "Burns", "Cuts"]);
        says(&sheet, "cooler-on", &[on, "without sliding"]);
        says(&sheet, "paste", &["Put a bead in the middle", "nothing is smeared"]);
        says(&sheet, "clean-lid", &["Isopropyl alcohol", "few drops", "Never scrape"]);
        // Paste that came on the cooler: none is put beside it.
        cooler.paste_applied = Reading::from_option(Some(Support::Yes), Origin::Sheet);
        let changes = Changes { cooler: Some(&cooler), ..Changes::default() };
        let sheet = job_sheet(&Proposal { now: &machine, changes, library: lib }, "a job", "a bead").unwrap();
        says(&sheet, "paste", &["Use the paste that is on the cooler", "Put none on the lid"]);
    }
    // Neither on the cooler nor bought: paste is needed all the same.
    let processor = lib.processors.values().find(|part| part.id.text() == "tern-2-rush");
    let changes = Changes { processor, ..Changes::default() };
    let sheet = job_sheet(&Proposal { now: &machine, changes, library: lib }, "a job", "a bead").unwrap();
    says(&sheet, "paste", &["Put the paste on the lid"]);
    assert!(sheet.tools.contains(&"thermal paste"));
}

#[test]
fn every_sheet_holds_what_a_careful_person_says() {
    let library = library();
    let lib = &library.library;
    let machine = machine("demo", &library);
    let socket = &machine.board.part.socket;
    let board = lib.boards.values().find(|part| part.socket == *socket && part.id != machine.board.part.id);
    let changes = Changes { board, paste: lib.pastes.values().next(), ..Changes::default() };
    let sheet = job_sheet(&Proposal { now: &machine, changes, library: lib }, "a job", "a bead").unwrap();
    // IEC 61340-5-1's practice: bonded through a series resistor, and what to do without a strap.
    says(&sheet, "open", &["1 megohm", "Without a strap", "bare metal"]);
    says(&sheet, "cord-out", &["Never open the supply", "a switch at the back is not enough", "ten seconds"]);
    says(&sheet, "cool-down", &["Burns", "Wait five minutes more"]);
    says(&sheet, "cooler-off", &["Twist", "Fins and case edges are sharp", "Do not pull"]);
    says(&sheet, "board-out", &["coin cell", "children", "count them"]);
    says(&sheet, "board-in", &["stand-off"]);
    says(&sheet, "board-power", &["Use only cables that came with this very supply"]);
    says(&sheet, "cord-in", &["none may be left inside", "Take the wrist strap off, then put the cord in"]);
    assert!(
        DEFER.contains("makers' instructions")
            && DEFER.contains("local codes")
            && DEFER.contains("licensed electrician")
    );
    let stops: Vec<&str> =
        sheet.steps.iter().filter(|step| step.stop.is_some()).map(|step| step.id).collect();
    for id in [
        "back-up",
        "keys",
        "parts",
        "cord-out",
        "processor-in",
        "cooler-on",
        "fan",
        "board-power",
        "first-start",
    ] {
        assert!(stops.contains(&id), "{id} has no stop point: {stops:?}");
    }
    assert!(sheet.minutes > 60 && sheet.tools.len() > 3);
    // The words are the standard's four, used by what is at stake: death, injury, a scratch, a broken part.
    let signals: BTreeSet<Signal> =
        sheet.steps.iter().flat_map(|step| step.cautions.iter().map(|caution| caution.signal)).collect();
    assert_eq!(signals.len(), 4, "{signals:?}");
}

#[test]
fn every_branch_of_the_first_start_that_does_nothing_ends_in_something_to_do() {
    let ids: BTreeSet<&str> = TREE.iter().map(|node| node.id).collect();
    assert_eq!(ids.len(), TREE.len());
    let mut reached = BTreeSet::from([TREE[0].id]);
    for (place, node) in TREE.iter().enumerate() {
        for next in [node.yes, node.no] {
            if let Next::Ask(id) = next {
                // Only forwards: nobody goes round in circles with an open machine.
                assert!(
                    TREE.iter().position(|one| one.id == id).unwrap() > place,
                    "{} leads back to {id}",
                    node.id
                );
                reached.insert(id);
            }
        }
    }
    assert_eq!(reached, ids, "every question can be come to");
    let heads: Vec<&str> = CAUTIONS.iter().map(|caution| caution.text).collect();
    for part in ["Never open the supply", "Pull the mains cord", "coin cells", "wrist strap"] {
        assert!(heads.iter().any(|text| text.contains(part)), "{part}");
    }
}
