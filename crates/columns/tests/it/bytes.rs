//! Any bytes give a table or an error, never a panic.

use columns::limits::Limits;
use columns::read;
use columns::table::{Column, Table, Values};
use columns::write;
use proptest::collection::vec;
use proptest::prelude::*;

/// Small, so that a broken length asks for no more memory than a test may take.
const LIMITS: Limits = Limits { group_cells: 100_000, group_bytes: 1 << 20, ..Limits::ORDINARY };

fn sound() -> Vec<u8> {
    let rows = 40_usize;
    let columns = vec![
        Column {
            name: "a".to_owned(),
            values: Values::Numbers((0..rows).map(|row| (row % 7 > 0).then_some(row as f64)).collect()),
        },
        Column {
            name: "b".to_owned(),
            values: Values::Whole((0..rows).map(|row| i64::try_from(row).ok()).collect()),
        },
        Column {
            name: "c".to_owned(),
            values: Values::Words((0..rows).map(|row| Some("w".repeat(row % 5))).collect()),
        },
        Column {
            name: "d".to_owned(),
            values: Values::YesNo((0..rows).map(|row| Some(row % 2 == 0)).collect()),
        },
    ];
    write::table(&Table { notes: vec![("key".to_owned(), "text".to_owned())], columns }).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn any_bytes(bytes in vec(any::<u8>(), 0..300)) {
        let _ = read::table(bytes, LIMITS);
    }

    #[test]
    fn any_bytes_between_the_marks(middle in vec(any::<u8>(), 0..200), length in 0_u32..220) {
        let mut bytes = b"PAR1".to_vec();
        bytes.extend(middle);
        bytes.extend(length.to_le_bytes());
        bytes.extend(b"PAR1");
        let _ = read::table(bytes, LIMITS);
    }

    #[test]
    fn a_sound_file_with_bytes_changed(changes in vec((any::<prop::sample::Index>(), any::<u8>()), 1..6)) {
        let mut bytes = sound();
        for (place, byte) in changes {
            let place = place.index(bytes.len());
            bytes[place] = byte;
        }
        let _ = read::table(bytes, LIMITS);
    }

    #[test]
    fn a_half_written_file(cut in any::<prop::sample::Index>()) {
        let bytes = sound();
        let cut = cut.index(bytes.len());
        prop_assert!(read::table(bytes[..cut].to_vec(), LIMITS).is_err());
    }
}
