//! Machine files: parts out of the library, readings by hand, work and wishes.

use intake::machine::file::read;
use proptest::prelude::*;
use quantity::reading::Origin;

use crate::library::{PROCESSOR, file, library};

const REST: &str = r#"
[[chipset]]
id = "c1"
maker = "A"
name = "C"
series = "one"
tier = 1
socket = "s1"
generations = ["g1"]
[[board]]
id = "b1"
maker = "A"
name = "B"
chipset = "c1"
socket = "s1"
form = "ATX"
memory = "DDR4"
[[memory]]
id = "m1"
maker = "A"
name = "M"
kind = "DDR4"
modules = 2
[[cooler]]
id = "k1"
maker = "A"
name = "K"
build = "tower"
mounting = "screws"
[[supply]]
id = "p1"
maker = "A"
name = "P"
form = "ATX"
[[case]]
id = "h1"
maker = "A"
name = "H"
rear_opening = "exchangeable"
"#;

const MACHINE: &str = r#"
name = "Test machine"
firmware = "1.2"
[processor]
id = "wren-4"
age = "5 years"
[processor.set]
sustained_power = "60 W"
[board]
id = "b1"
[[memory]]
id = "m1"
[cooler]
id = "k1"
[joint]
state = "dried"
[supply]
id = "p1"
[case]
id = "h1"
[[task]]
name = "cutting"
time_a_day = "2 h"
serial = "30 %"
parallel = "50 %"
elsewhere = "20 %"
[wishes]
budget = "200 EUR"
"#;

fn machine(text: &str) -> (Option<upgrade::machine::present::Machine>, Vec<intake::problem::Problem>) {
    let (library, problems) = library(&format!("{PROCESSOR}{REST}"));
    assert_eq!(problems, []);
    read(&file("test.toml", text), &library)
}

#[test]
fn a_reading_by_hand_wins_and_is_marked() {
    let (machine, problems) = machine(MACHINE);
    assert_eq!(problems, []);
    let machine = machine.unwrap();
    let power = machine.processor.part.sustained_power;
    assert_eq!((power.origin(), power.get().unwrap().to_string()), (Some(Origin::Hand), "60 W".to_owned()));
    assert_eq!(machine.processor.part.cores[0].base_clock.origin(), Some(Origin::Sheet));
    let task = &machine.workload.tasks[0];
    assert_eq!(task.memory.get().unwrap().to_string(), "0 %", "what is left of the whole is nothing");
}

#[track_caller]
fn refused(from: &str, to: &str, part: &str) {
    let (_, problems) = machine(&MACHINE.replace(from, to));
    let told: Vec<String> =
        problems.iter().map(|p| format!("{} {}", p.message, p.help.clone().unwrap_or_default())).collect();
    assert!(told.iter().any(|text| text.contains(part)), "{part}: {told:#?}");
}

#[test]
fn what_is_wrong_in_a_machine_is_told() {
    refused("id = \"wren-4\"", "id = \"wren-5\"", "did you mean \"wren-4\"?");
    refused("id = \"wren-4\"\n", "", "which processor it is, is missing");
    refused("\"60 W\"", "\"60 kg\"", "not a unit of power");
    refused("\"20 %\"", "\"40 %\"", "add up to 120 %");
    refused("\"dried\"", "\"wet\"", "expected one of \"fresh\"");
    refused("\"200 EUR\"", "\"200\"", "no currency");
    refused("name = \"Test machine\"\n", "", "name is missing");
    refused("[[memory]]\nid = \"m1\"\n", "", "memory is missing");
    refused("firmware = \"1.2\"", "firmware = \"beta\"", "no firmware version");
    refused("[wishes]", "[wishs]", "did you mean wishes?");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn any_bytes_are_a_machine_or_are_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let (library, _) = library(&format!("{PROCESSOR}{REST}"));
        let _ = read(&intake::problem::SourceFile { name: "x.toml".into(), bytes }, &library);
    }

    #[test]
    fn a_good_machine_with_a_hole_is_read_or_refused(start in 0..500_usize, len in 0..60_usize, filler in "[\\PC\n\"\\[\\]{}=]{0,8}") {
        let mut text = MACHINE.to_owned();
        let clamp = |mut at: usize| { at = at.min(text.len()); while !text.is_char_boundary(at) { at -= 1; } at };
        let (from, to) = (clamp(start), clamp(start + len));
        text.replace_range(from..to, &filler);
        let (machine, problems) = machine(&text);
        prop_assert!(machine.is_some() || !problems.is_empty(), "what cannot be read says why");
    }
}
