//! Lists that are damaged, or made to do harm: a clear word, no panic, nothing taken.

use std::io::{Cursor, Write as _};

use imports::mapping::Mapping;
use imports::preview::PreviewError;
use imports::source::{Source, SourceError};
use proptest::prelude::*;
use zip::write::SimpleFileOptions;

use crate::formats::{archive, spreadsheet, workbook};
use crate::world::{World, processors};

fn refused(list: &[u8]) -> SourceError {
    match World::new().try_preview(list, &processors()) {
        Err(PreviewError::Source { source, .. }) => source,
        other => panic!("{other:?}"),
    }
}

#[test]
fn half_a_spreadsheet_is_told() {
    let whole = workbook("<row r=\"1\"><c r=\"A1\"><v>1</v></c></row>");
    for cut in [5, 40, whole.len() / 2, whole.len() - 1] {
        assert!(
            matches!(refused(&whole[..cut]), SourceError::Packed(_) | SourceError::NotText { .. }),
            "{cut}"
        );
    }
    assert!(matches!(refused(&archive(&[("a.txt", "a")])), SourceError::NotText { .. }));
    let open = spreadsheet("<table:table-row><table:table-cell><text:p>a").replace_tail();
    assert!(matches!(refused(&open), SourceError::Damaged { .. }));
}

trait ReplaceTail {
    fn replace_tail(self) -> Vec<u8>;
}

impl ReplaceTail for Vec<u8> {
    /// A content that ends in the middle of a row.
    fn replace_tail(self) -> Vec<u8> {
        archive(&[(
            "content.xml",
            "<o><table:table table:name=\"L\"><table:table-row><table:table-cell><text:p>a",
        )])
    }
}

#[test]
fn an_archive_that_swells_is_refused_before_it_fills_the_memory() {
    // 300 MiB of blanks pack into less than one.
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("content.xml", SimpleFileOptions::default()).unwrap();
    let blanks = vec![b' '; 1 << 20];
    for _ in 0..300 {
        zip.write_all(&blanks).unwrap();
    }
    let list = zip.finish().unwrap().into_inner();
    assert!(list.len() < 4 << 20);
    assert!(matches!(refused(&list), SourceError::Swollen { .. }));
}

#[test]
fn cells_that_repeat_without_end_are_refused() {
    let cell =
        "<table:table-cell table:number-columns-repeated=\"400\"><text:p>a</text:p></table:table-cell>";
    let rows = format!("<table:table-row table:number-rows-repeated=\"1000000\">{cell}</table:table-row>");
    assert!(matches!(refused(&spreadsheet(&rows)), SourceError::TooMany { .. }));
    let wide = cell.replace("400", "4000000000");
    assert!(matches!(
        refused(&spreadsheet(&format!("<table:table-row>{wide}</table:table-row>"))),
        SourceError::TooMany { .. }
    ));
    // A lone cell in the last corner of a workbook.
    let corner = "<row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row>";
    assert!(matches!(refused(&workbook(corner)), SourceError::TooMany { .. }));
    // An entity that names itself.
    let laugh = archive(&[(
        "content.xml",
        "<!DOCTYPE l [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;\">]><o><table:table table:name=\"L\"><table:table-row>\
         <table:table-cell><text:p>&b;</text:p></table:table-cell></table:table-row></table:table></o>",
    )]);
    assert!(matches!(refused(&laugh), SourceError::Damaged { .. }));
}

#[test]
fn an_open_quotation_mark_and_a_row_that_is_cut_off_are_told_with_their_line() {
    let world = World::new();
    let found = world.preview(b"Name,TDP,Maker\nHeath 1,65,Orrin\nHeath 2,7", &processors());
    assert_eq!((found.rejected[0].row, found.parts.len()), (3, 1));
    assert!(found.rejected[0].reason.contains("cut off"), "{}", found.rejected[0].reason);
    assert!(found.remarks.iter().any(|remark| remark.contains("whole")));
    let mut list = b"Name,TDP\nHeath 1,65\n\"Heath 2,70\n".to_vec();
    for _ in 0..2000 {
        list.extend_from_slice(b"Heath,1\n");
    }
    let found = world.preview(&list, &processors());
    assert_eq!((found.rejected[0].row, found.parts.len()), (3, 1));
}

#[test]
fn control_characters_and_marks_that_turn_writing_do_not_reach_the_library() {
    let world = World::new();
    world.take("Name,TDP\nHeath\u{1b}[31m 9\u{202e}\u{7},65\n".as_bytes(), &processors());
    let table = std::fs::read_to_string(world.dir.join("imports/0001/processors.csv")).unwrap();
    assert!(
        table.chars().all(|c| !c.is_control() || matches!(c, '\r' | '\n')) && !table.contains('\u{202e}'),
        "{table:?}"
    );
}

#[test]
fn what_is_no_list_is_told() {
    assert!(matches!(refused(b""), SourceError::Empty));
    assert!(matches!(refused(b"\n\n  \n"), SourceError::Empty));
    assert!(matches!(refused(b"\xD0\xCF\x11\xE0\xA1\xB1"), SourceError::NotText { .. }));
    assert!(matches!(refused(b"a,b\0c\n\x01\x02"), SourceError::NotText { .. }));
    let wide = format!("{}\n", ",".repeat(600));
    assert!(matches!(refused(wide.as_bytes()), SourceError::TooMany { .. }));
}

#[test]
fn a_damaged_table_of_an_import_is_told_and_the_rest_is_read() {
    let world = World::new();
    world.take(b"Name,TDP\nHeath 1,65\nHeath 2,70\n", &processors());
    let path = world.dir.join("imports/0001/processors.csv");
    let text = std::fs::read_to_string(&path).unwrap().replace("65 W", "65 mm");
    std::fs::write(&path, text).unwrap();
    let (read, problems) = world.read_with_problems();
    assert_eq!(problems.len(), 1);
    assert!(
        problems[0].file.ends_with("imports/0001/processors.csv") && problems[0].line == 2,
        "{:?}",
        problems[0]
    );
    assert_eq!(read.sketches.len(), 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_bytes_are_survived(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = Source::open(bytes, &Mapping::default());
    }

    #[test]
    fn any_text_is_survived(text in "[,;\"\n\t|a-zA-Z0-9 .€'=+-]{0,300}") {
        let world = World::new();
        let _ = world.try_preview(text.as_bytes(), &processors());
        let _ = world.try_preview(text.as_bytes(), &Mapping::default());
    }

    #[test]
    fn any_content_of_a_spreadsheet_is_survived(rows in "(<table:table-row>|</table:table-row>|<table:table-cell/>|<table:table-cell office:value-type=\"float\" office:value=\"9e999\">|<text:p>|</text:p>|&amp;|&x;|a|<|/>|</table:table-cell>){0,30}") {
        let _ = Source::open(spreadsheet(&rows), &Mapping::default());
    }

    #[test]
    fn any_content_of_a_workbook_is_survived(rows in "(<row r=\"[0-9]{1,9}\">|</row>|<c r=\"[A-Z]{1,4}[0-9]{1,8}\"( t=\"(s|str|b|e|d|inlineStr)\")?>|<v>[0-9a-zA-Z.-]{0,9}</v>|</c>|<f>a</f>|<){0,20}") {
        let _ = Source::open(workbook(&rows), &Mapping::default());
    }

    #[test]
    fn any_json_is_survived(text in "(\\{|\\}|\\[|\\]|\"head\"|\"vars\"|\"results\"|\"bindings\"|\"a\"|:|,|1|true|null){0,40}") {
        let _ = Source::open(format!("{{{text}").into_bytes(), &Mapping::default());
        let shaped = format!("{{\"head\":{{\"vars\":[\"a\"]}},\"results\":{{\"bindings\":[{text}]}}}}");
        let _ = Source::open(shaped.into_bytes(), &Mapping::default());
    }
}
