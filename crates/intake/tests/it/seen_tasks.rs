//! Tasks that were seen on a machine, written into its record and read from it again.

use intake::machine::edit::with_tasks;
use intake::machine::file;
use intake::problem::{Severity, SourceFile};
use intake::{demo, library};
use quantity::measure::Quantity;
use upgrade::gain::observed::span::Span;
use upgrade::gain::observed::tasks::observed;

fn spans() -> Vec<Span> {
    let work =
        Span { length_s: 10.0, rest: 20, one: 60, many: 15, elsewhere: 5, wanting: 45, ..Span::default() };
    let wide = Span { length_s: 10.0, rest: 5, one: 5, many: 90, wanting: 900, ..Span::default() };
    [vec![work; 40], vec![wide; 20]].concat()
}

#[test]
fn a_record_takes_what_was_seen_and_is_otherwise_as_it_was() {
    let (library, _) = library::read(&demo::files());
    let record = demo::machine_file("demo").unwrap();
    let tasks = observed(&spans(), 8, Quantity::from_si(8.0 * 3600.0)).tasks;
    assert_eq!(tasks.len(), 2);
    let text = with_tasks(&String::from_utf8(record.bytes.clone()).unwrap(), &tasks).unwrap();
    let changed = SourceFile { name: "seen.toml".to_owned(), bytes: text.into_bytes() };
    let (before, _) = file::read(&record, &library);
    let (after, problems) = file::read(&changed, &library);
    assert!(problems.iter().all(|one| one.severity != Severity::Error), "{problems:#?}");
    let (before, after) = (before.unwrap(), after.unwrap());
    assert_eq!((after.processor, after.board), (before.processor, before.board));
    for (read, seen) in after.workload.tasks.iter().zip(&tasks) {
        assert_eq!((&read.name, read.widest), (&seen.name, seen.widest));
        // Three digits are written.
        let near = |a: f64, b: f64| (a - b).abs() <= 0.006 * b.abs().max(0.01);
        let shares = [(read.serial, seen.serial), (read.parallel, seen.parallel), (read.memory, seen.memory)];
        for (read, seen) in shares.into_iter().chain([(read.elsewhere, seen.elsewhere)]) {
            let (read, seen) = (read.known().unwrap(), seen.known().unwrap());
            assert!(near(read.low().si(), seen.low().si()) && near(read.high().si(), seen.high().si()));
        }
        let (time, seen) = (read.time_a_day.known().unwrap(), seen.time_a_day.known().unwrap());
        assert!(near(time.low().si(), seen.low().si()) && near(time.high().si(), seen.high().si()));
    }
}

#[test]
fn without_a_record_it_is_a_file_of_tasks() {
    let tasks = observed(&spans(), 8, Quantity::from_si(3600.0)).tasks;
    let text = with_tasks("", &tasks).unwrap();
    let table: toml::Table = text.parse().unwrap();
    assert_eq!(table["task"].as_array().unwrap().len(), 2);
    assert!(with_tasks("not = = toml", &tasks).is_err());
}
