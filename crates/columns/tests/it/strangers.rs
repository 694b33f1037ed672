//! Columns that another program stores in its own way.

use std::sync::Arc;

use columns::limits::Limits;
use columns::read::{self, ReadError, Reader};
use columns::table::Values;
use parquet::data_type::{ByteArray, ByteArrayType, Int32Type, Int64Type};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;

fn file(
    schema: &str,
    fill: impl Fn(usize, &mut parquet::file::writer::SerializedColumnWriter<'_>),
) -> Vec<u8> {
    let schema = Arc::new(parse_message_type(schema).unwrap());
    let mut writer =
        SerializedFileWriter::new(Vec::new(), schema, Arc::new(WriterProperties::new())).unwrap();
    let mut group = writer.next_row_group().unwrap();
    let mut place = 0;
    while let Some(mut column) = group.next_column().unwrap() {
        fill(place, &mut column);
        column.close().unwrap();
        place += 1;
    }
    group.close().unwrap();
    writer.into_inner().unwrap()
}

#[test]
fn days_times_decimals_and_unsigned_numbers_are_understood() {
    let schema = "message m { REQUIRED INT32 day (DATE); REQUIRED INT64 at (TIMESTAMP(MILLIS,true)); \
                  REQUIRED INT64 local (TIMESTAMP(MICROS,false)); REQUIRED INT32 price (DECIMAL(9,2)); \
                  REQUIRED INT32 u (INTEGER(32,false)); REQUIRED BYTE_ARRAY plain; }";
    let bytes = file(schema, |place, column| match place {
        0 => {
            let _ = column.typed::<Int32Type>().write_batch(&[11_017], None, None).unwrap();
        }
        1 => {
            let _ = column.typed::<Int64Type>().write_batch(&[1_000_000_000_000], None, None).unwrap();
        }
        2 => {
            let _ = column.typed::<Int64Type>().write_batch(&[0], None, None).unwrap();
        }
        3 => {
            let _ = column.typed::<Int32Type>().write_batch(&[-1_999], None, None).unwrap();
        }
        4 => {
            let _ = column.typed::<Int32Type>().write_batch(&[-1], None, None).unwrap();
        }
        _ => {
            let _ = column.typed::<ByteArrayType>().write_batch(&[ByteArray::from("ä")], None, None).unwrap();
        }
    });
    let table = read::table(bytes, Limits::ORDINARY).unwrap();
    let words = |text: &str| Values::Words(vec![Some(text.to_owned())]);
    assert_eq!(table.column("day"), Some(&words("2000-03-01")));
    assert_eq!(table.column("at"), Some(&words("2001-09-09T01:46:40Z")));
    assert_eq!(table.column("local"), Some(&words("1970-01-01T00:00:00")));
    assert_eq!(table.column("price"), Some(&Values::Numbers(vec![Some(-19.99)])));
    // An unsigned number of 32 bits that is all ones is 2^32 - 1.
    assert_eq!(table.column("u"), Some(&Values::Whole(vec![Some(4_294_967_295)])));
    assert_eq!(table.column("plain"), Some(&words("ä")));
}

#[test]
fn nested_columns_are_left_out_with_the_reason() {
    let schema = "message m { REQUIRED INT32 a; OPTIONAL group g { OPTIONAL INT32 b; } }";
    let bytes = file(schema, |place, column| {
        let writer = column.typed::<Int32Type>();
        let _ = match place {
            0 => writer.write_batch(&[7], None, None).unwrap(),
            _ => writer.write_batch(&[], Some(&[0]), None).unwrap(),
        };
    });
    let reader = Reader::of_bytes(bytes, Limits::ORDINARY).unwrap();
    assert_eq!(reader.left_out().len(), 1);
    assert_eq!(reader.left_out()[0].name, "g.b");
    assert_eq!(reader.group(0).unwrap()[0].values, Values::Whole(vec![Some(7)]));
}

#[test]
fn text_that_is_none_is_told_with_its_place() {
    let bytes = file("message m { REQUIRED BYTE_ARRAY name (STRING); }", |_, column| {
        let cells = [ByteArray::from("good"), ByteArray::from(vec![b'x', 0xff])];
        let _ = column.typed::<ByteArrayType>().write_batch(&cells, None, None).unwrap();
    });
    match read::table(bytes, Limits::ORDINARY) {
        Err(ReadError::Value { column, row: 2, message }) => {
            assert_eq!(column, "name");
            assert!(message.contains("byte 1"), "{message}");
        }
        other => panic!("{other:?}"),
    }
}
