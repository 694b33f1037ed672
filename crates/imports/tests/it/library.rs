//! What a list does to a library: new, changed, in conflict, known; taken back; where figures come from.

use imports::mapping::{Column, Mapping, Same};
use imports::preview::{Against, PartState};
use imports::shelf;
use intake::folder;
use intake::imported::origin::{figures, notes};
use proptest::prelude::*;
use quantity::money::Currency;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::offer::PriceKind;

use crate::world::{World, processors};

const LIST: &str = "Manufacturer,Model,Socket,Generation,Cores,Threads,Base clock,TDP\n\
    Orrin,Tern 9 Reed,heron,tern-3,6,12,3.1 GHz,65\n\
    Orrin,Tern 9 Rush,heron,tern-3,8,16,3.4 GHz,95\n";

#[test]
fn a_list_makes_parts_and_the_same_list_again_changes_nothing() {
    let world = World::new();
    assert_eq!(world.take(LIST.as_bytes(), &processors()), 1);
    let read = world.read();
    let made = &read.library.processors[&PartId::new("orrin-tern-9-rush")];
    assert_eq!((made.core_count(), made.thread_count()), (8, 16));
    assert_eq!(made.sustained_power.known().unwrap().to_string(), "95 W");
    let again = world.preview(LIST.as_bytes(), &processors());
    assert!(!again.changes_anything(), "{again:#?}");
    assert_eq!(again.unchanged, 2);
}

#[test]
fn the_saved_mapping_reads_the_list_the_same_way_again() {
    let world = World::new();
    let first = world.preview(LIST.as_bytes(), &processors());
    assert!(!first.guessed.is_empty());
    let again = world.preview(LIST.as_bytes(), &first.mapping);
    assert!(again.guessed.is_empty());
    assert_eq!(again.parts, first.parts);
}

#[test]
fn a_later_list_changes_what_an_earlier_one_said_and_taking_it_back_restores_that() {
    let world = World::new();
    world.take(LIST.as_bytes(), &processors());
    let before = world.content();
    let later = LIST.replace(",65", ",70");
    let found = world.preview(later.as_bytes(), &processors());
    assert_eq!(found.parts.len(), 1);
    assert_eq!(found.parts[0].state, PartState::Changed);
    assert_eq!(found.parts[0].figures[0].old.as_deref(), Some("65 W"));
    assert_eq!(world.take(later.as_bytes(), &processors()), 2);
    let power = || world.figure(Kind::Processor, "orrin-tern-9-reed", "sustained_power");
    assert_eq!(power().as_deref(), Some("70 W"));
    assert_eq!(shelf::undo(&world.dir, None).unwrap(), 2);
    assert_eq!(power().as_deref(), Some("65 W"));
    assert_eq!(world.content(), before);
    // The first can be taken back by name, and a number is never given twice.
    assert_eq!(shelf::undo(&world.dir, Some(1)).unwrap(), 1);
    assert_eq!(power(), None);
    assert!(shelf::undo(&world.dir, Some(1)).is_err() && shelf::undo(&world.dir, None).is_err());
    assert_eq!(world.take(LIST.as_bytes(), &processors()), 3);
    let states: Vec<(u32, bool)> =
        shelf::history(&world.dir).unwrap().iter().map(|one| (one.number, one.undone)).collect();
    assert_eq!(states, [(1, true), (2, true), (3, false)]);
}

#[test]
fn what_stands_in_an_own_file_stays_and_what_it_lacks_is_added() {
    let world = World::new();
    // The demo's own file gives the cheapest of this series no time of its burst.
    let list = "id,Burst,Base power\nsqualL-1-mist,24,99\n";
    let column = |heading: &str, field: &str, unit: &str| Column {
        heading: heading.to_owned(),
        field: field.to_owned(),
        unit: Some(unit.to_owned()),
        unit_heading: None,
        words: Default::default(),
    };
    let mapping = Mapping {
        columns: vec![
            column("Burst", "burst_time", "s"),
            column("Base power", "electrical.power_at_base", "W"),
        ],
        ..processors()
    };
    let figure = |field: &str| world.figure(Kind::Processor, "squall-1-mist", field);
    assert_eq!(figure("burst_time"), None);
    let own = figure("electrical.power_at_base");
    let found = world.preview(list.as_bytes(), &mapping);
    let conflict = &found.conflicts[0];
    assert_eq!(
        (conflict.field.as_str(), Some(conflict.other.as_str())),
        ("electrical.power_at_base", own.as_deref())
    );
    assert!(matches!(&conflict.against, Against::Hand { file, .. } if file.ends_with("processors.toml")));
    world.take(list.as_bytes(), &mapping);
    assert_eq!(figure("burst_time").as_deref(), Some("24 s"));
    assert_eq!(figure("electrical.power_at_base"), own);
}

#[test]
fn two_rows_that_disagree_are_told_and_neither_is_taken() {
    let world = World::new();
    let list = "Name,TDP\nHeath 1,65\nHeath 1,70\nHeath 2,35\nHeath 2,35\n";
    let found = world.preview(list.as_bytes(), &processors());
    assert_eq!((found.conflicts.len(), found.repeated), (1, 2));
    assert_eq!((found.conflicts[0].row, &found.conflicts[0].against), (3, &Against::Row(2)));
    world.take(list.as_bytes(), &processors());
    assert_eq!(world.figure(Kind::Processor, "heath-1", "sustained_power"), None);
    assert_eq!(world.figure(Kind::Processor, "heath-2", "sustained_power").as_deref(), Some("35 W"));
}

#[test]
fn a_name_that_is_nearly_anothers_is_told_and_never_merged() {
    let world = World::new();
    let list = "Name,TDP\nTern-2 Rush (open),95\nTern 2 Rusch open,95\n";
    let found = world.preview(list.as_bytes(), &processors());
    assert_eq!(found.rejected.len(), 1);
    assert!(found.rejected[0].reason.contains("[[same]]"), "{}", found.rejected[0].reason);
    assert_eq!(found.alike.len(), 1);
    assert_eq!(found.alike[0].3.id.text(), "tern-2-rush-open");
    // A person says that it is the same.
    let mut mapping = processors();
    mapping.same = vec![Same { name: "Tern-2 Rush (open)".to_owned(), id: PartId::new("tern-2-rush-open") }];
    let found = world.preview(list.as_bytes(), &mapping);
    assert!(found.rejected.is_empty(), "{:#?}", found.rejected);
    assert!(found.conflicts.iter().any(|one| one.id.text() == "tern-2-rush-open"));
}

#[test]
fn a_row_that_says_too_little_is_a_sketch_and_a_later_list_completes_it() {
    let world = World::new();
    world.take(b"Name,TDP\nHeath 3,65\n", &processors());
    let read = world.read();
    let key = (Kind::Processor, PartId::new("heath-3"));
    let missing = &read.sketches[&key].missing;
    assert!(missing.contains(&"socket".to_owned()), "{missing:?}");
    assert!(!read.library.processors.contains_key(&key.1));
    let more = "Name,Maker,Socket,Generation,Cores,Threads\nHeath 3,Vesterly,heron,tern-3,4,8\n";
    world.take(more.as_bytes(), &processors());
    let read = world.read();
    let made = &read.library.processors[&key.1];
    assert_eq!((made.maker.as_str(), made.core_count()), ("Vesterly", 4));
    assert_eq!(made.sustained_power.known().unwrap().to_string(), "65 W");
    // Each figure knows the import and the row it came from.
    let files = folder::files(&world.dir).unwrap();
    let origins = figures(&files, Kind::Processor, &key.1);
    let from = |field: &str| origins.iter().rfind(|one| one.field == field).map(|one| (one.import, one.row));
    assert_eq!(from("sustained_power"), Some((1, Some(2))));
    assert_eq!(from("cores[1].count"), Some((2, Some(2))));
    let notes = notes(&files);
    // coreutils 9: printf 'Name,TDP\nHeath 3,65\n' | sha256sum
    assert_eq!(notes[0].1.digest, "a32d5f75d888ab6746eecf2ee238875d717b562ede7f1b6053b2200d0beebb26");
}

#[test]
fn prices_of_a_list_count_by_day_and_are_kept() {
    let world = World::new();
    let own = world.read().library.processors[&PartId::new("tern-2-rush-open")].offers.clone();
    assert_eq!(own.second_hand.unwrap().to_string(), "168.00 EUR");
    let list = |day: &str, price: &str| {
        format!("Artikel;Zustand;Preis;Datum\nTern 2 Rush open;gebraucht;{price};{day}\n")
    };
    let mapping =
        Mapping { shop: Some("Alder".to_owned()), currency: Some(Currency::EUR), ..Mapping::default() };
    world.take(list("20.11.2026", "159,00").as_bytes(), &mapping);
    world.take(list("25.11.2026", "1.149,50 €").as_bytes(), &mapping);
    let read = world.read();
    let id = PartId::new("tern-2-rush-open");
    let now = &read.library.processors[&id].offers;
    assert_eq!(now.second_hand.unwrap().to_string(), "1149.50 EUR");
    assert_eq!(now.day(PriceKind::SecondHand).unwrap().to_string(), "2026-11-25");
    assert_eq!(now.quote(PriceKind::SecondHand).unwrap().shop.as_deref(), Some("Alder"));
    // What no list said is as the own file has it.
    assert_eq!(now.resale, own.resale);
    assert_eq!(read.prices[&id].len(), 2);
    // A list older than the own file's prices is history only.
    world
        .take(list("01.06.2026", "90,00").as_bytes(), &Mapping { shop: Some("Birch".to_owned()), ..mapping });
    assert_eq!(world.read().library.processors[&id].offers.second_hand.unwrap().to_string(), "1149.50 EUR");
    assert_eq!(world.read().prices[&id].len(), 3);
}

#[test]
fn a_price_of_a_part_nobody_knows_is_refused_with_the_nearest() {
    let world = World::new();
    let found = world.preview(b"Name;Price\nTern 2 Rush opne;5 EUR\n", &Mapping::default());
    assert!(found.rejected[0].reason.contains("nearest is tern-2-rush"), "{:?}", found.rejected);
    let found = world.preview(b"Name;Price;Date\nTern 2 Rush open;5 EUR;2027-01-01\n", &Mapping::default());
    assert!(found.rejected[0].reason.contains("still to come"), "{:?}", found.rejected);
}

#[test]
fn another_import_between_looking_and_taking_is_noticed() {
    let world = World::new();
    let mark = shelf::mark(&world.dir).unwrap();
    let found = world.preview(LIST.as_bytes(), &processors());
    world.take(b"Name,TDP\nHeath 3,65\n", &processors());
    let files = imports::tables::files(&found, crate::world::today());
    assert!(matches!(shelf::take(&world.dir, &files, &mark), Err(shelf::ShelfError::Overtaken)));
    assert_eq!(shelf::history(&world.dir).unwrap().len(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever a list says, taking it twice changes nothing the second time, and taking it back gives the same
    /// library as before.
    #[test]
    fn taking_is_idempotent_and_can_be_taken_back(
        rows in proptest::collection::vec(
            ("[A-Za-z=+@' -]{1,12}", 0_u32..40, prop_oneof![Just(""), Just("65"), Just("65 W"), Just("1,5 kW"), Just("x"), Just("-3")]),
            1..12,
        )
    ) {
        let world = World::new();
        let mut list = "Name,Number,TDP\n".to_owned();
        for (name, number, power) in &rows {
            list.push_str(&format!("\"{name} {number}\",{number},\"{power}\"\n"));
        }
        let before = world.content();
        let found = world.preview(list.as_bytes(), &processors());
        if found.changes_anything() {
            world.take(list.as_bytes(), &processors());
            let again = world.preview(list.as_bytes(), &processors());
            prop_assert!(!again.changes_anything(), "{list}\n{again:#?}");
            shelf::undo(&world.dir, None).unwrap();
        }
        prop_assert_eq!(world.content(), before);
    }
}
