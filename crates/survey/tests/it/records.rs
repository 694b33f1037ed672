//! Records of surveys: what the library has is named, the rest is described, and a plan runs.

use intake::problem::{Severity, SourceFile};
use survey::identify::identify;
use survey::recognise::{Match, score};
use survey::record::record;
use survey::root::Root;
use survey::survey::survey;
use upgrade::route::plan::plan;

use crate::encoder::Bench;
use crate::trees::files;

fn read(text: &str) -> upgrade::machine::present::Machine {
    let (library, _) = intake::demo::library();
    let file = SourceFile { name: "record.toml".to_owned(), bytes: text.as_bytes().to_vec() };
    let (machine, problems) = intake::machine::file::read(&file, &library);
    let errors: Vec<_> = problems.iter().filter(|problem| problem.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:?}\n{text}");
    machine.unwrap()
}

#[test]
fn known_parts_are_named_and_a_plan_runs() {
    let (library, _) = intake::demo::library();
    let found = survey(&Root::files(files()));
    let identified = identify(&found, &library.library);
    let Match::Taken(processor) = &identified.processor else { panic!("{:?}", identified.processor) };
    assert_eq!(processor.id.text(), "tern-1-sedge");
    let Match::Taken(board) = &identified.board else { panic!("{:?}", identified.board) };
    assert_eq!(board.id.text(), "tidewell-plover");
    let machine = read(&record(&found, &identified, &library.library));
    assert_eq!(machine.firmware.known().unwrap().to_string(), "1.20");
    assert!(machine.loads.iter().any(|load| load.name.contains("Leaf picture card")));
    assert_eq!(machine.software.bound_keys.get().unwrap().disk_encryption, Some(true));
    let plan = plan(&machine, &library.library).unwrap();
    assert!(!plan.front.is_empty());
}

#[test]
fn unknown_parts_are_described_and_a_plan_says_what_is_missing() {
    let (library, _) = intake::demo::library();
    let mut odd = files();
    let bench = Bench { board: "Q77-Zephyr", processor: "Nightjar 9 Moth", ..Bench::default() };
    odd.insert("sys/firmware/dmi/tables/DMI".to_owned(), bench.table());
    odd.insert(
        "proc/cpuinfo".to_owned(),
        String::from_utf8(odd["proc/cpuinfo"].clone())
            .unwrap()
            .replace("Wren(R) Tern(TM) 1 Sedge CPU @ 3.20GHz", "Nightjar 9 Moth")
            .replace("model\t\t: 42", "model\t\t: 99")
            .into_bytes(),
    );
    let found = survey(&Root::files(odd));
    let identified = identify(&found, &library.library);
    assert_eq!((&identified.processor, &identified.board), (&Match::Unknown, &Match::Unknown));
    let machine = read(&record(&found, &identified, &library.library));
    assert_eq!(machine.processor.part.core_count(), 4);
    assert_eq!(machine.processor.part.instruction_level.origin(), Some(quantity::reading::Origin::Firmware));
    assert_eq!(machine.memory[0].part.modules, 2);
    let plan = plan(&machine, &library.library).unwrap();
    assert!(plan.present.iter().filter(|finding| finding.settle.is_some()).count() > 5);
}

#[test]
fn a_signature_alone_offers_and_decides_nothing() {
    let (library, _) = intake::demo::library();
    let mut renamed = files();
    let text = String::from_utf8(renamed["proc/cpuinfo"].clone()).unwrap();
    renamed.insert(
        "proc/cpuinfo".to_owned(),
        text.replace("Wren(R) Tern(TM) 1 Sedge CPU @ 3.20GHz", "Nightjar 9 Moth").into_bytes(),
    );
    let identified = identify(&survey(&Root::files(renamed)), &library.library);
    let Match::Offered(offered) = &identified.processor else { panic!("{:?}", identified.processor) };
    assert_eq!(offered[0].id.text(), "tern-1-sedge");
}

#[test]
fn an_unsure_match_is_offered_never_taken() {
    let (library, _) = intake::demo::library();
    let mut unsure = files();
    unsure.insert(
        "proc/cpuinfo".to_owned(),
        String::from_utf8(unsure["proc/cpuinfo"].clone())
            .unwrap()
            .replace("Tern(TM) 1 Sedge", "Tern 1 Sedgee")
            .into_bytes(),
    );
    let identified = identify(&survey(&Root::files(unsure)), &library.library);
    assert!(!matches!(identified.processor, Match::Unknown), "{:?}", identified.processor);
    assert!(score("Tern 1 Sedge", "Tern 2 Sedge") < 0.6, "brothers are not alike");
    assert!(score("Tern 1 Sedge", "Heron 7 Gull") < 0.6);
    assert_eq!(score("Wren(R) Tern(TM) 1 Sedge CPU @ 3.20GHz", "Wren Tern 1 Sedge"), 1.0);
}

#[test]
fn hostile_strings_stay_text() {
    let (library, _) = intake::demo::library();
    let bench = Bench {
        board: "\"]\n[evil]\nx = \"\u{202e}<script>",
        processor: "'''\\u0000 \\\" = [",
        ..Bench::default()
    };
    let mut hostile = files();
    hostile.insert("sys/firmware/dmi/tables/DMI".to_owned(), bench.table());
    hostile.remove("proc/cpuinfo");
    let found = survey(&Root::files(hostile));
    let identified = identify(&found, &library.library);
    let machine = read(&record(&found, &identified, &library.library));
    assert!(machine.board.part.name.contains("<script>"), "{}", machine.board.part.name);
}
