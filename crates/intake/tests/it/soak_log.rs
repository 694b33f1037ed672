//! Soak logs: what is read, and that every slip is named with its row.

use intake::problem::{Problem, SourceFile};
use intake::soak_log::read;
use proptest::prelude::*;
use quantity::measure::Quantity;
use upgrade::proof::log::{Cores, Meter, Place, Share, SoakLog, Track, Turning};

fn log(text: &str) -> (Option<SoakLog>, Vec<Problem>) {
    mapped(text, &[])
}

fn mapped(text: &str, mapping: &[&str]) -> (Option<SoakLog>, Vec<Problem>) {
    let mapping: Vec<_> = mapping.iter().filter_map(|text| text.parse().ok()).collect();
    read(&SourceFile { name: "log.csv".to_owned(), bytes: text.as_bytes().to_vec() }, &mapping)
}

/// One problem on this line whose message holds these words.
fn named(text: &str, line: usize, words: &str) {
    let (_, problems) = log(text);
    assert!(
        problems.iter().any(|problem| problem.line == line && problem.message.contains(words)),
        "\"{words}\" on line {line} not among {problems:#?}"
    );
}

const GOOD: &str = "\
# machine: radio
# load: vector
# room: 21..22 °C
# power limit: 65 W
# sensor step: 1 K
# observer: first floor
time s,package °C,core 0 °C,core 0 MHz,clock MHz,power W,fan 1 rpm,pump rpm,held by power %,load,work k/s,errors
0,30,29,800,800,5,600,2400,0,rest,,0
0.5,45,44,3600,3600,64.5,900,2400,100,vector,12,0
1,48,47,3600,3600,65,900,2400,100,vector,12.5,0
";

#[test]
fn every_column_arrives_in_si() {
    let (log, problems) = log(GOOD);
    assert!(problems.is_empty(), "{problems:#?}");
    let log = log.unwrap();
    assert_eq!(log.times, [0.0, 0.5, 1.0].map(Quantity::from_si));
    assert_eq!(Track::of(&log.temperatures, &Place::Package).unwrap()[1], Some(Quantity::from_celsius(45.0)));
    assert_eq!(Track::of(&log.temperatures, &Place::Core(0)).unwrap()[2], Some(Quantity::from_celsius(47.0)));
    assert_eq!(Track::of(&log.clocks, &Cores::One(0)).unwrap()[1], Some(Quantity::from_si(3.6e9)));
    assert_eq!(Track::of(&log.powers, &Meter::Package).unwrap()[1], Some(Quantity::from_si(64.5)));
    assert_eq!(Track::of(&log.shares, &Share::HeldByPower).unwrap()[1], Some(Quantity::from_si(1.0)));
    assert_eq!(Track::of(&log.turning, &Turning::Pump(1)).unwrap()[0], Quantity::of(2400.0, "rpm"));
    assert_eq!(log.work_per_s, [None, Some(12_000.0), Some(12_500.0)]);
    assert_eq!((log.loads[0], log.loads[2], log.load_names.len()), (Some(0), Some(1), 2));
    assert_eq!(log.about.room.get().unwrap().low(), Quantity::from_celsius(21.0));
    assert_eq!(log.about.other, [("observer".to_owned(), "first floor".to_owned())]);
}

#[test]
fn a_counter_of_energy_gives_the_power() {
    let (log, _) = log("time s,package °C,energy J\n0,30,100\n2,31,140\n3,32,200\n");
    let power = log.unwrap().power().unwrap().to_vec();
    assert_eq!(
        power,
        [Some(Quantity::from_si(20.0)), Some(Quantity::from_si(20.0)), Some(Quantity::from_si(60.0))]
    );
}

#[test]
fn a_log_from_elsewhere_is_mapped() {
    let text = "Zeit [ms];CPU;Leistung\n0;30,5;10\n500;31,25;20,5\n";
    let (log, problems) = mapped(text, &["time=Zeit", "package °C=CPU", "power W=Leistung"]);
    let log = log.unwrap();
    assert!(problems.is_empty(), "{problems:#?}");
    assert_eq!(log.times[1], Quantity::from_si(0.5));
    assert_eq!(log.hottest().unwrap()[1], Some(Quantity::from_celsius(31.25)));
    assert_eq!(log.power().unwrap()[1], Some(Quantity::from_si(20.5)));
}

#[test]
fn what_is_wrong_is_named_with_its_row() {
    named("time s,package °C,power W\n0,30,5\n1,31,5\n0.5,32,5\n2,33,5\n", 4, "steps back by 0.5 s");
    named("time s,package °C,power W\n0,30,5\n1,31,5\n1,32,5\n", 4, "stands still");
    let gap = "time s,package °C,power W\n0,30,5\n1,31,5\n2,31,5\n3,31,5\n60,32,5\n61,30,5\n";
    named(gap, 6, "a gap of 57 s");
    named("time s,package °C,power W\n0,30,5\n1,31500,5\n", 3, "thousandths of a degree");
    named("time s,package °C,power W\n0,30,65\n1,31,65000\n", 3, "it looks like mW");
    named("time s,package °C,power W\n0,30,5\n1,304 K,5\n", 3, "another unit");
    named("time s,package °C,power W\n0,30,5\n1,31,\n2,31,5\n", 3, "power is missing in this row");
    named("time s,package °C\n0,30\n1,31\n", 2, "no power of the processor");
    named("time s,package °C,power W\n0,30,5\n1,hot,5\n", 3, "\"hot\" is no number");
    named("time s,package °C,power W\n0,30,5\n1,31\n", 3, "2 cells");
    named("time s,package W,power W\n0,30,5\n", 1, "cannot be in W");
    named("package °C,power W\n30,5\n", 1, "no column holds a time");
    named("# room: 21\ntime s,package °C,power W\n0,30,5\n1,30,5\n", 1, "no unit");
}

#[test]
fn a_frozen_sensor_is_named() {
    let mut text = "time s,package °C,core 0 °C,power W\n".to_owned();
    for row in 0..40 {
        text.push_str(&format!("{row},{},40,{}\n", 30 + row / 2, 10 + row));
    }
    let (_, problems) = log(&text);
    assert!(
        problems.iter().any(|problem| problem.field == "core 0 °C" && problem.message.contains("frozen"))
    );
    assert!(!problems.iter().any(|problem| problem.field == "package °C"), "{problems:#?}");
}

#[test]
fn a_lone_sensor_that_freezes_on_the_way_is_named_with_its_row() {
    let text = |freezes: bool| {
        let mut text = "time s,package °C,power W\n".to_owned();
        for row in 0..60 {
            let power = if (20..40).contains(&row) { 65 } else { 5 };
            let kelvins = if freezes && row > 22 { 52 } else { 30 + power / 3 };
            text.push_str(&format!("{row},{kelvins},{power}\n"));
        }
        text
    };
    named(&text(true), 25, "frozen there");
    assert!(log(&text(false)).1.is_empty());
}

#[test]
fn a_log_without_temperatures_can_be_looked_at() {
    let text =
        "time s,busy %,waits for disk %,work 1/s,load,humidity %\n0,1,2,,rest,40\n1,99,3,10,mixed,40\n";
    let (log, problems) = log(text);
    let log = log.unwrap();
    assert_eq!(Track::of(&log.shares, &Share::WaitsForDisk).unwrap()[1], Some(Quantity::from_si(0.03)));
    assert_eq!(log.unread, ["humidity %"]);
    assert!(log.hottest().is_none());
    assert!(problems.iter().any(|problem| problem.message.contains("no temperature of the processor")));
}

#[test]
fn counts_of_held_cores_say_never_or_that_they_rose() {
    let text = |last: u32| {
        format!(
            "time s,package °C,power W,core 0 held times,core 1 held times\n0,30,5,7,2\n1,60,65,,\n2,61,65,7,{last}\n"
        )
    };
    let never = log(&text(2)).0.unwrap();
    let held = Track::of(&never.shares, &Share::HeldByJunction).unwrap();
    assert_eq!(held, [Some(Quantity::from_si(0.0)), None, Some(Quantity::from_si(0.0))]);
    assert!(never.unread.is_empty());
    named(&text(5), 4, "heat held core 1 down 3 times");
    assert!(
        Track::of(&log(&text(5)).0.unwrap().shares, &Share::HeldByJunction).is_none(),
        "how long is not known"
    );
}

#[test]
fn clocks_of_the_day_are_read_through_midnight() {
    let (log, problems) = log("time,package °C,power W\n23:59:58,30,5\n23:59:59,30,5\n00:00:00,31,5\n");
    assert_eq!(log.unwrap().times, [0.0, 1.0, 2.0].map(Quantity::from_si));
    assert!(problems.is_empty(), "{problems:#?}");
    named("time,package °C,power W\n0,30,5\n1,30,5\n", 2, "read as s; one more row");
}

#[test]
fn one_slip_in_many_rows_is_one_message() {
    let mut text = "time s,package °C,power W\n".to_owned();
    for row in 0..500 {
        text.push_str(&format!("{row},{},5\n", 30_000 + row));
    }
    let (_, problems) = log(&text);
    let slips: Vec<_> = problems.iter().filter(|problem| problem.message.contains("thousandths")).collect();
    assert_eq!(slips.len(), 1);
    assert!(slips[0].message.contains("499 more rows"));
}

proptest! {
    #[test]
    fn any_bytes_are_read_without_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = read(&SourceFile { name: "x".to_owned(), bytes }, &[]);
    }

    #[test]
    fn any_rows_are_read_without_panic(rows in "([-0-9a-zé°,;.: #\n\r\"]{0,40}\n){0,12}") {
        let _ = log(&format!("time s,package °C,power W,energy J,load\n{rows}"));
    }
}

fn packed(text: &str) -> Vec<u8> {
    intake::soak_log::packed::pack(text.as_bytes(), Vec::new()).unwrap_or_default()
}

#[test]
fn a_packed_log_says_the_same() {
    let decimal_commas =
        GOOD.replace(',', ";").replace("64.5", "64,5").replace("0.5", "0,5").replace("12.5", "12,5");
    for text in [GOOD, decimal_commas.as_str()] {
        let file = SourceFile { name: "log.parquet".to_owned(), bytes: packed(text) };
        let (log, problems) = read(&file, &[]);
        assert!(problems.is_empty(), "{problems:#?}");
        assert_eq!(log, self::log(GOOD).0);
    }
}

#[test]
fn a_broken_packed_log_is_an_error_in_words() {
    let mut bytes = packed(GOOD);
    bytes.truncate(bytes.len() / 2);
    let (log, problems) = read(&SourceFile { name: "log.parquet".to_owned(), bytes }, &[]);
    assert!(log.is_none() && problems[0].message.contains("no Parquet file"), "{problems:#?}");
    assert!(intake::soak_log::packed::pack("\n\n".as_bytes(), Vec::new()).is_err());
}

#[test]
fn a_log_may_say_itself_which_of_its_columns_are_which() {
    let table = "Zeit,CPU = hot,load\n0,30,rest\n1,48,vector\n";
    assert!(log(table).0.is_none());
    let above = "\u{feff}# column: time s=Zeit\n# column: package °C=CPU = hot\n";
    let (found, problems) = log(&format!("{above}{table}"));
    assert!(problems.iter().all(|one| one.field == "power"), "{problems:#?}");
    assert_eq!(found.unwrap().temperatures[0].what, Place::Package);
    // What a person says now wins over the line in the file.
    let (found, _) = mapped(&format!("{above}{table}"), &["room °C=CPU = hot"]);
    assert_eq!(found.unwrap().temperatures[0].what, Place::Room);
    named(&format!("# column: paste=CPU\n{GOOD}"), 1, "is no column of a soak log");
    named(&format!("# column: room °C=Nothing\n{GOOD}"), 8, "no column is called");
}

#[test]
fn what_is_unpacked_is_bounded() {
    use intake::soak_log::packed::{PackedError, unpack, unpack_at_most};
    let rows: String = (0..20_000).map(|row| format!("{row},41,vector\n")).collect();
    let bytes = packed(&format!("time s,package °C,load\n{rows}"));
    let whole = unpack(bytes.clone()).unwrap();
    assert!(bytes.len() < whole.len());
    assert_eq!(unpack_at_most(bytes.clone(), whole.len()).unwrap(), whole);
    for most in [0, 100, whole.len() - 1] {
        let got = unpack_at_most(bytes.clone(), most);
        assert!(matches!(got, Err(PackedError::TooLarge { .. } | PackedError::Read(_))), "{most}");
    }
}

#[test]
fn signs_inside_quotes_do_not_part_cells() {
    let (found, problems) = mapped(
        "time s,\"a; b; c \"\"d; e\"\"; f\",power W\n0,30,5\n1,48,65\n",
        &["package °C=a; b; c \"d; e\"; f"],
    );
    assert!(problems.is_empty(), "{problems:#?}");
    assert_eq!(found.unwrap().temperatures[0].what, Place::Package);
}
