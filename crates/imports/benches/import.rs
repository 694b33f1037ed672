//! A list of 100,000 processors: looking at it, looking at it again once it is taken in, reading the library then.

use core::fmt::Write as _;

use divan::{Bencher, black_box};
use imports::mapping::Mapping;
use imports::preview::{Preview, preview};
use imports::tables;
use intake::library::{ReadLibrary, read};
use intake::problem::SourceFile;
use quantity::day::Day;
use upgrade::part::id::Kind;

const ROWS: usize = 100_000;

fn main() {
    divan::main();
}

fn list() -> Vec<u8> {
    let mut text = "Maker;Model;Socket;Generation;Cores;Threads;Takt;TDP;Preis (EUR);Datum\n".to_owned();
    for row in 0..ROWS {
        let cores = 2 + row % 15;
        let _ = writeln!(
            text,
            "Maker {};Series {} Nr {row};s{};g{};{cores};{};{},{} GHz;{};{}.{:03},{:02};20.11.2026",
            row % 7,
            row % 90,
            row % 12,
            row % 40,
            cores * 2,
            1 + row % 4,
            row % 10,
            15 + row % 200,
            1 + row % 2,
            row % 1000,
            row % 100,
        );
    }
    text.into_bytes()
}

fn today() -> Option<Day> {
    Day::new(2026, 11, 26)
}

fn look(list: &[u8], library: &ReadLibrary) -> Option<Preview> {
    let mapping = Mapping { kind: Some(Kind::Processor), ..Mapping::default() };
    preview("list.csv", list.to_vec(), &mapping, library, today()?).ok()
}

/// The library's files once the list is taken in.
fn taken(list: &[u8]) -> Vec<SourceFile> {
    let Some(found) = look(list, &ReadLibrary::default()) else { return Vec::new() };
    let Some(today) = today() else { return Vec::new() };
    let files = tables::files(&found, today).into_iter();
    files.map(|file| SourceFile { name: format!("imports/0001/{}", file.name), bytes: file.bytes }).collect()
}

#[divan::bench(sample_count = 5)]
fn preview_of_100_000_new_rows(bencher: Bencher<'_, '_>) {
    let list = list();
    bencher.bench(|| look(black_box(&list), &ReadLibrary::default()).map(|found| found.parts.len()));
}

#[divan::bench(sample_count = 5)]
fn preview_of_100_000_known_rows(bencher: Bencher<'_, '_>) {
    let list = list();
    let (library, _) = read(&taken(&list));
    bencher.bench(|| look(black_box(&list), &library).map(|found| found.unchanged));
}

#[divan::bench(sample_count = 5)]
fn reading_a_library_of_100_000_rows(bencher: Bencher<'_, '_>) {
    let files = taken(&list());
    bencher.bench(|| read(black_box(&files)).0.library.processors.len());
}

#[divan::bench(sample_count = 5)]
fn tables_of_100_000_rows(bencher: Bencher<'_, '_>) {
    let found = look(&list(), &ReadLibrary::default());
    bencher.bench(|| {
        let found = found.as_ref()?;
        Some(tables::files(found, today()?).iter().map(|file| file.bytes.len()).sum::<usize>())
    });
}
