//! Machines as rows of a table: each row by itself, its problems with their place.

use intake::demo;
use intake::machine::common::{Common, Standing};
use intake::machine::file::{read, read_filled};
use intake::machine::table::{RowRead, csv, machines};
use intake::problem::{Problem, Severity, SourceFile};
use proptest::prelude::*;

fn file(name: &str, bytes: &[u8]) -> SourceFile {
    SourceFile { name: name.to_owned(), bytes: bytes.to_vec() }
}

fn rows(text: &[u8], common: &Common) -> (Vec<RowRead>, Vec<Problem>) {
    let (library, _) = demo::library();
    let (grid, _, mut problems) = csv(&file("pool/machines.csv", text));
    let (rows, more) = machines("pool/machines.csv", &grid, common, &library);
    problems.extend(more);
    (rows, problems)
}

const HEADING: &str = "id,name,processor,board.id,memory,memory[2].id,cooler.id,supply.id,case.id,setting.room,task.name,task.time_a_day,room number\n";
const GOOD: &str = "pc-1,Desk 1,tern-1-sedge,tidewell-plover,quillon-2666-2x8,,larkspur-90,kiln-450,hutch-small,18..28 °C,letters,2 h,12\n";

#[test]
fn a_row_is_the_machine_that_its_record_would_be() {
    let (rows, problems) = rows(format!("{HEADING}{GOOD}").as_bytes(), &Common::default());
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0].message.contains("room number"), "{problems:?}");
    let record = r#"
        id = "pc-1"
        name = "Desk 1"
        processor = { id = "tern-1-sedge" }
        board = { id = "tidewell-plover" }
        memory = [{ id = "quillon-2666-2x8" }]
        cooler = { id = "larkspur-90" }
        supply = { id = "kiln-450" }
        case = { id = "hutch-small" }
        setting = { room = "18..28 °C" }
        task = [{ name = "letters", time_a_day = "2 h" }]
    "#;
    let (library, _) = demo::library();
    let (machine, problems) = read(&file("pc-1.toml", record.as_bytes()), &library);
    assert!(problems.iter().all(|problem| problem.severity == Severity::Warning), "{problems:?}");
    assert_eq!(rows[0].machine, machine);
}

#[test]
fn bad_rows_are_told_with_line_and_column_and_stop_no_other() {
    let text = format!(
        "{HEADING}{GOOD}pc-2,Desk 2,no-such-part,tidewell-plover,quillon-2666-2x8,,larkspur-90,kiln-450,hutch-small,18..28 °C,letters,2 h,12\n\
         pc-3,Desk 3,tern-1-sedge\n\
         pc-4,Desk 4,tern-1-sedge,tidewell-plover,quillon-2666-2x8,,larkspur-90,kiln-450,hutch-small,18 kg,letters,2 h,12\n{}",
        GOOD.replace("pc-1", "pc-5")
    );
    let (rows, problems) = rows(text.as_bytes(), &Common::default());
    let lost: Vec<_> = problems.iter().filter(|problem| problem.severity == Severity::Error).collect();
    assert_eq!(lost.len(), 1);
    assert_eq!(lost[0].line, 4);
    assert!(lost[0].message.contains("3 cells"), "{lost:?}");
    let errors = |row: &RowRead| {
        row.problems.iter().filter(|problem| problem.severity == Severity::Error).cloned().collect::<Vec<_>>()
    };
    let wrong: Vec<usize> = rows.iter().filter(|row| !errors(row).is_empty()).map(|row| row.line).collect();
    assert_eq!(wrong, [3, 5]);
    let unit = &errors(&rows[2])[0];
    // The cell begins behind "pc-4,Desk 4,tern-1-sedge,tidewell-plover,quillon-2666-2x8,,larkspur-90,kiln-450,hutch-small,".
    let column =
        "pc-4,Desk 4,tern-1-sedge,tidewell-plover,quillon-2666-2x8,,larkspur-90,kiln-450,hutch-small,".len()
            + 1;
    assert_eq!((unit.line, unit.column, unit.field.as_str()), (5, column, "setting.room"));
    assert_eq!(&text.as_bytes()[unit.span.clone()], b"18 kg");
    assert!(rows[0].machine.is_some() && rows[3].machine.is_some());
}

#[test]
fn half_written_and_mixed_encodings_lose_no_good_row() {
    let mut bytes = format!("{HEADING}{GOOD}").into_bytes();
    // A line of an old office program among UTF-8, and an end in the middle of a row.
    bytes.extend(
        GOOD.replace("pc-1", "pc-2")
            .replace("Desk 1", "B\u{fc}ro")
            .chars()
            .map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?')),
    );
    bytes.extend(b"pc-3,Desk 3,tern-1-se");
    let (rows, problems) = rows(&bytes, &Common::default());
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[1].machine.as_ref().unwrap().name, "Büro");
    assert!(rows.iter().all(|row| row.machine.is_some()));
    assert!(problems.iter().any(|problem| problem.message.contains("Windows-1252") && problem.line == 3));
    assert!(
        problems.iter().any(|problem| problem.line == 4 && problem.help.as_deref().unwrap().contains("end"))
    );
}

#[test]
fn semicolons_and_a_mark_of_the_encoding_are_understood() {
    let text = format!("\u{feff}{}", format!("{HEADING}{GOOD}").replace(',', ";"));
    let (rows, _) = rows(text.as_bytes(), &Common::default());
    assert!(rows[0].machine.is_some(), "{:?}", rows[0].problems);
}

#[test]
fn common_fields_fill_what_a_record_leaves_out_and_nothing_else() {
    let (common, problems) = Common::read(&file(
        "common.toml",
        b"task = [{ name = \"all\", time_a_day = \"1 h\" }]\nsetting = { room = \"20 \xC2\xB0C\", days_a_year = 190 }\ncooler = { id = \"larkspur-60\" }",
    ));
    assert!(problems.is_empty());
    let (rows, _) = rows(format!("{HEADING}{GOOD}").as_bytes(), &common);
    let machine = rows[0].machine.as_ref().unwrap();
    assert_eq!(machine.setting.days_a_year, Some(190));
    assert_eq!(machine.setting.room.known().unwrap().rounded(3), "18..28 °C");
    assert_eq!(machine.workload.tasks[0].name, "letters");
    assert_eq!(machine.cooler.part.id.text(), "larkspur-90");
    // What a survey only assumed gives way.
    let record = "name = \"x\"\nprocessor = { id = \"tern-1-sedge\" }\nboard = { id = \"tidewell-plover\" }\nmemory = [{ id = \"quillon-2666-2x8\" }]\n\
                  cooler = { id = \"larkspur-90\" }\nsupply = { id = \"kiln-450\" }\ncase = { id = \"hutch-small\" }\ntask = [{ name = \"assumed\", time_a_day = \"1..4 h\" }]";
    let (library, _) = demo::library();
    let (machine, _) =
        read_filled(&file("x.tar.gz", record.as_bytes()), &common, Standing::Surveyed, &library);
    let machine = machine.unwrap();
    assert_eq!((machine.id.as_str(), machine.workload.tasks[0].name.as_str()), ("x", "all"));
    assert_eq!(machine.cooler.part.id.text(), "larkspur-60");
    // Nothing is no machine, whatever is common.
    let (none, _) = read_filled(&file("empty.toml", b""), &common, Standing::Written, &library);
    assert!(none.is_none());
}

proptest! {
    #[test]
    fn any_bytes_are_rows_or_problems(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let _ = rows(&bytes, &Common::default());
    }

    #[test]
    fn any_headings_and_cells(text in "(id|name|memory\\[[0-9]{0,3}\\].id|a\\.b|setting\\.room|processor|,|\"|;|\\n|x|5 W| ){0,40}") {
        let _ = rows(text.as_bytes(), &Common::default());
    }
}
