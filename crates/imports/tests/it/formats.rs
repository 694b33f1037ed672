//! The same list as CSV in several encodings, as a workbook, as a spreadsheet and as query results.

use std::io::{Cursor, Write as _};

use imports::mapping::{Column, Mapping};
use upgrade::part::id::Kind;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::world::{World, processors};

/// An archive of these files.
pub(crate) fn archive(files: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in files {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// A workbook with one sheet, as ECMA-376 part 1, 18.3 has it.
pub(crate) fn workbook(rows: &str) -> Vec<u8> {
    archive(&[
        (
            "[Content_Types].xml",
            "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\"/>",
        ),
        (
            "_rels/.rels",
            "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
             <Relationship Id=\"rId1\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument\" \
             Target=\"xl/workbook.xml\"/></Relationships>",
        ),
        (
            "xl/workbook.xml",
            "<workbook xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" \
             xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\"><sheets>\
             <sheet name=\"List\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>",
        ),
        (
            "xl/_rels/workbook.xml.rels",
            "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
             <Relationship Id=\"rId1\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet\" \
             Target=\"worksheets/sheet1.xml\"/></Relationships>",
        ),
        (
            "xl/worksheets/sheet1.xml",
            &format!(
                "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetData>{rows}</sheetData></worksheet>"
            ),
        ),
    ])
}

/// A spreadsheet with one sheet, as ISO/IEC 26300-1 has it.
pub(crate) fn spreadsheet(rows: &str) -> Vec<u8> {
    archive(&[(
        "content.xml",
        &format!(
            "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"o\" xmlns:table=\"t\" xmlns:text=\"x\"><office:body>\
             <office:spreadsheet><table:table table:name=\"List\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
        ),
    )])
}

/// Takes a list in and says the power and clock of its part.
fn taken(list: &[u8], mapping: &Mapping) -> [Option<String>; 2] {
    let world = World::new();
    let found = world.preview(list, mapping);
    assert!(found.rejected.is_empty(), "{:#?}", found.rejected);
    world.take(list, mapping);
    ["sustained_power", "cores[1].base_clock"].map(|field| world.figure(Kind::Processor, "heath-3", field))
}

fn said(power: &str, clock: &str) -> [Option<String>; 2] {
    [Some(power.to_owned()), Some(clock.to_owned())]
}

#[test]
fn text_in_any_encoding_and_with_any_separator() {
    let utf_16: Vec<u8> = b"\xFF\xFE"
        .iter()
        .copied()
        .chain("Name;TDP;Takt\r\nHeath 3;65;3,4 GHz\r\n".encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    for list in [
        "Name,TDP,Takt\nHeath 3,65,\"3,4 GHz\"\n".as_bytes(),
        b"\xEF\xBB\xBFName;TDP;Takt\nHeath 3;65;3,4 GHz\n",
        b"Name\tTDP\tTakt\r\nHeath 3\t65\t3.4 GHz\r\n",
        b"Name|TDP|Takt\nHeath 3|65|3.4 GHz\n",
        // windows-1252: byte B0 is the degree sign, FC is u with diaeresis.
        b"Name;TDP;Takt;K\xFChlung\nHeath 3;65;3,4 GHz;bis 90 \xB0C\n",
        &utf_16,
    ] {
        assert_eq!(taken(list, &processors()), said("65 W", "3.4 GHz"), "{}", String::from_utf8_lossy(list));
    }
}

#[test]
fn a_list_in_two_encodings_is_read_and_told() {
    let world = World::new();
    let list = b"Name,Maker,TDP\nHeath 3,Gr\xC3\xBCn,65\nHeath 4,Gr\xFCn,70\n";
    let found = world.preview(list, &processors());
    assert!(
        found.remarks.iter().any(|remark| remark.contains("windows-1252, the first in line 3")),
        "{:?}",
        found.remarks
    );
    world.take(list, &processors());
    for id in ["gr-n-heath-3", "gr-n-heath-4"] {
        assert_eq!(world.figure(Kind::Processor, id, "maker").as_deref(), Some("Grün"));
    }
}

#[test]
fn a_workbook_gives_numbers_texts_and_days() {
    let text = |at: &str, text: &str| format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>");
    let rows = format!(
        "<row r=\"2\">{}{}{}</row><row r=\"4\">{}<c r=\"B4\"><v>65</v></c><c r=\"C4\"><v>3.4</v></c></row>",
        text("A2", "Name"),
        text("B2", "TDP"),
        text("C2", "Base clock (GHz)"),
        text("A4", "Heath 3"),
    );
    assert_eq!(taken(&workbook(&rows), &processors()), said("65 W", "3.4 GHz"));
}

#[test]
fn a_formula_is_never_worked_out() {
    let world = World::new();
    // The stored result counts; a formula that was never calculated says nothing.
    let rows = "<row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>Name</t></is></c><c r=\"B1\" t=\"inlineStr\"><is><t>TDP</t></is></c></row>\
        <row r=\"2\"><c r=\"A2\" t=\"inlineStr\"><is><t>=HYPERLINK(\"x\")</t></is></c><c r=\"B2\"><f>60+5</f><v>65</v></c></row>\
        <row r=\"3\"><c r=\"A3\" t=\"inlineStr\"><is><t>Heath 4</t></is></c><c r=\"B3\"><f>1/0</f></c></row>";
    world.take(&workbook(rows), &processors());
    assert_eq!(world.figure(Kind::Processor, "hyperlink-x", "name").as_deref(), Some("=HYPERLINK(\"x\")"));
    assert_eq!(world.figure(Kind::Processor, "hyperlink-x", "sustained_power").as_deref(), Some("65 W"));
    assert_eq!(world.figure(Kind::Processor, "heath-4", "sustained_power"), None);
    // On the disk the name stands so that no spreadsheet program calculates it either.
    let table = std::fs::read_to_string(world.dir.join("imports/0001/processors.csv")).unwrap();
    assert!(
        table.lines().all(|line| !line.split(',').any(|cell| cell.trim_start_matches('"').starts_with('='))),
        "{table}"
    );
}

#[test]
fn a_spreadsheet_gives_the_same() {
    let cell = |text: &str| {
        format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
    };
    let rows = format!(
        "<table:table-row>{}{}{}</table:table-row><table:table-row table:number-rows-repeated=\"3\"><table:table-cell table:number-columns-repeated=\"1024\"/></table:table-row>\
         <table:table-row>{}<table:table-cell office:value-type=\"float\" office:value=\"65\"><text:p>65,00</text:p></table:table-cell>{}</table:table-row>\
         <table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row>",
        cell("Name"),
        cell("TDP &amp; more"),
        cell("Takt"),
        cell("Heath<text:s/>3"),
        cell("3,4 GHz"),
    );
    let mut mapping = processors();
    mapping.columns = vec![Column {
        heading: "TDP & more".to_owned(),
        field: "sustained_power".to_owned(),
        unit: Some("W".to_owned()),
        unit_heading: None,
        words: Default::default(),
    }];
    assert_eq!(taken(&spreadsheet(&rows), &mapping), said("65 W", "3.4 GHz"));
    let world = World::new();
    // The row is told as the spreadsheet counts it: three empty ones lie between.
    assert_eq!(world.preview(&spreadsheet(&rows), &mapping).parts[0].row, 5);
}

#[test]
fn query_results_bring_their_units_along() {
    // The shape of W3C SPARQL 1.1 Query Results JSON Format, 3.2.1 and 3.2.2; literals with a datatype as in 3.2.2.
    let list = r#"{ "head": { "vars": ["processor", "processorLabel", "tdp", "tdpUnitLabel", "frequency", "frequencyUnitLabel"] },
      "results": { "bindings": [ {
        "processor": { "type": "uri", "value": "http://example.org/entity/Q1" },
        "processorLabel": { "type": "literal", "xml:lang": "en", "value": "Heath 3" },
        "tdp": { "type": "literal", "datatype": "http://www.w3.org/2001/XMLSchema#decimal", "value": "65" },
        "tdpUnitLabel": { "type": "literal", "xml:lang": "en", "value": "watt" },
        "frequency": { "type": "literal", "datatype": "http://www.w3.org/2001/XMLSchema#decimal", "value": "3400" },
        "frequencyUnitLabel": { "type": "literal", "xml:lang": "en", "value": "megahertz" } } ] } }"#;
    let mut mapping = processors();
    mapping.columns = vec![Column {
        heading: "processorLabel".to_owned(),
        field: "name".to_owned(),
        unit: None,
        unit_heading: None,
        words: Default::default(),
    }];
    assert_eq!(taken(list.as_bytes(), &mapping), said("65 W", "3400 MHz"));
    let world = World::new();
    for cut in [10, 100, list.len() - 3] {
        let told = world.try_preview(&list.as_bytes()[..cut], &mapping).unwrap_err();
        let told = std::error::Error::source(&told).map(ToString::to_string).unwrap_or_default();
        assert!(told.contains("cut off"), "{told}");
    }
    assert!(world.try_preview(br#"{"head": {}, "boolean": true}"#, &mapping).is_err());
}
