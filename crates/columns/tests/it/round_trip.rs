//! What is written is read again.

use columns::limits::Limits;
use columns::read::{self, ReadError, Reader};
use columns::table::{Column, Kind, Table, Values};
use columns::write::{self, WriteError, Writer};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;

fn values(rows: usize) -> impl Strategy<Value = Values> {
    let number = any::<f64>().prop_filter("NaN is read as unknown", |value| !value.is_nan());
    prop_oneof![
        vec(of(number), rows).prop_map(Values::Numbers),
        vec(of(any::<i64>()), rows).prop_map(Values::Whole),
        vec(of(".{0,12}"), rows).prop_map(Values::Words),
        vec(of(any::<bool>()), rows).prop_map(Values::YesNo),
    ]
}

fn tables() -> impl Strategy<Value = Table> {
    (0_usize..60).prop_flat_map(|rows| {
        (vec((".{1,8}", values(rows)), 1..6), vec((".{0,8}", ".{0,20}"), 0..4)).prop_map(
            |(columns, notes)| {
                let named = columns.into_iter().enumerate();
                let named =
                    named.map(|(place, (name, values))| Column { name: format!("{name}.{place}"), values });
                Table { notes, columns: named.collect() }
            },
        )
    })
}

proptest! {
    #[test]
    fn a_table_comes_back_as_it_was(table in tables()) {
        // A name with a point is one name here, not a path into a nested column.
        let bytes = write::table(&table).unwrap();
        let back = read::table(bytes, Limits::ORDINARY).unwrap();
        prop_assert_eq!(back, table);
    }
}

#[test]
fn row_groups_are_written_and_read_one_by_one() {
    let columns = [("time s".to_owned(), Kind::Numbers), ("load".to_owned(), Kind::Words)];
    let mut writer = Writer::new(Vec::new(), &columns).unwrap();
    writer.note("machine", "Bench 3");
    for group in 0..3_u32 {
        let part = [
            Column {
                name: "time s".to_owned(),
                values: Values::Numbers(
                    (0..20_000).map(|row| Some(f64::from(group * 20_000 + row))).collect(),
                ),
            },
            Column {
                name: "load".to_owned(),
                values: Values::Words(
                    (0..20_000).map(|row| (row % 3 == 0).then(|| format!("load {row}"))).collect(),
                ),
            },
        ];
        writer.rows(&part).unwrap();
    }
    // Known only at the end of a log.
    writer.note("end", "2026-11-26T05:00:00Z");
    let bytes = writer.finish().unwrap();
    let reader = Reader::of_bytes(bytes, Limits::ORDINARY).unwrap();
    assert_eq!((reader.groups(), reader.rows()), (3, 60_000));
    assert_eq!(reader.columns(), columns);
    assert_eq!(reader.notes().last().unwrap().0, "end");
    let middle = reader.group(1).unwrap();
    let Values::Numbers(times) = &middle[0].values else { panic!("{middle:?}") };
    assert_eq!((times.len(), times[7]), (20_000, Some(20_007.0)));
    assert!(matches!(reader.group(3), Err(ReadError::NoGroup { group: 4, groups: 3 })));
}

#[test]
fn a_number_that_is_none_is_unknown() {
    let column =
        Column { name: "x".to_owned(), values: Values::Numbers(vec![Some(f64::NAN), Some(1.0), None]) };
    let bytes = write::table(&Table { notes: Vec::new(), columns: vec![column] }).unwrap();
    let back = read::table(bytes, Limits::ORDINARY).unwrap();
    assert_eq!(back.column("x"), Some(&Values::Numbers(vec![None, Some(1.0), None])));
}

#[test]
fn tables_that_make_no_sense_are_refused() {
    let whole =
        |name: &str, rows: usize| Column { name: name.to_owned(), values: Values::Whole(vec![None; rows]) };
    let write = |columns| write::table(&Table { notes: Vec::new(), columns });
    assert!(matches!(write(vec![whole("a", 1), whole("a", 1)]), Err(WriteError::SameName { .. })));
    assert!(matches!(write(vec![whole("a", 1), whole("b", 2)]), Err(WriteError::UnequalLength { .. })));
    let mut writer = Writer::new(Vec::new(), &[("a".to_owned(), Kind::Words)]).unwrap();
    assert!(matches!(writer.rows(&[whole("a", 1)]), Err(WriteError::OtherColumn { .. })));
    assert!(matches!(writer.rows(&[]), Err(WriteError::ColumnCount { .. })));
}

#[test]
fn what_is_too_much_is_refused_before_it_fills_the_memory() {
    let text = "x".repeat(1_000);
    let column = Column { name: "x".to_owned(), values: Values::Words(vec![Some(text); 1_000]) };
    let bytes = write::table(&Table { notes: Vec::new(), columns: vec![column] }).unwrap();
    // One text a thousand times is a small file.
    assert!(bytes.len() < 20_000);
    let refused = |limits: Limits| match read::table(bytes.clone(), limits) {
        Err(ReadError::TooMuch { what, .. }) => what,
        other => panic!("{other:?}"),
    };
    assert_eq!(
        refused(Limits { words_bytes: 900_000, ..Limits::ORDINARY }),
        "or more bytes of text in a row group"
    );
    assert_eq!(refused(Limits { rows: 999, ..Limits::ORDINARY }), "rows");
    assert_eq!(refused(Limits { group_cells: 999, ..Limits::ORDINARY }), "cells in a row group");
    assert_eq!(refused(Limits { columns: 0, ..Limits::ORDINARY }), "columns");
    assert_eq!(refused(Limits { file_bytes: 100, ..Limits::ORDINARY }), "bytes");
}
