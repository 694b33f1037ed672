//! Libraries: good parts survive bad ones, and each problem names its place.

use intake::library::{ReadLibrary, read};
use intake::problem::{Problem, SourceFile};
use proptest::prelude::*;
use quantity::reading::Origin;
use upgrade::part::id::PartId;

pub(crate) const PROCESSOR: &str = r#"
[[socket]]
id = "s1"
name = "S1"
contacts = "land-grid"
hold_down = "lever-and-frame"
contact_count = 1100

[[processor]]
id = "wren-4"
maker = "Aster"
name = "Wren 4"
socket = "s1"
generation = "g1"
cores = [{ count = 4, threads_per_core = 2, base_clock = "3.4 GHz", boost_clock = "4.1 GHz", index = "90..110 %" }]
sustained_power = "65 W"
"#;

pub(crate) fn file(name: &str, text: &str) -> SourceFile {
    SourceFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() }
}

pub(crate) fn library(text: &str) -> (ReadLibrary, Vec<Problem>) {
    read(&[file("parts.toml", text)])
}

/// One problem is found in the text, on this line, with this in its message or help.
#[track_caller]
fn refused(text: &str, line: usize, part: &str) {
    let (_, problems) = library(text);
    let told: Vec<String> = problems
        .iter()
        .map(|p| format!("{}: {} {}", p.line, p.message, p.help.clone().unwrap_or_default()))
        .collect();
    assert!(
        problems.iter().any(|p| p.line == line && told.iter().any(|t| t.contains(part))),
        "{part} on {line}: {told:#?}"
    );
}

#[test]
fn a_good_processor_is_read_with_its_origin() {
    let (read, problems) = library(PROCESSOR);
    assert_eq!(problems, []);
    let processor = &read.library.processors[&PartId::new("wren-4")];
    assert_eq!(processor.sustained_power.origin(), Some(Origin::Sheet));
    assert_eq!(processor.core_count(), 4);
    assert!(processor.burst_power.is_unknown(), "what is left out is unknown");
}

#[test]
fn an_origin_can_be_said() {
    let text = PROCESSOR.replace("\"65 W\"", "{ value = \"61..63 W\", origin = \"measured\" }");
    let (read, problems) = library(&text);
    assert_eq!(problems, []);
    let power = read.library.processors[&PartId::new("wren-4")].sustained_power;
    assert_eq!(power.origin(), Some(Origin::Measured));
    assert_eq!(power.get().unwrap().to_string(), "61..63 W");
}

#[test]
fn wrong_values_are_told_with_their_line() {
    let with = |from: &str, to: &str| PROCESSOR.replace(from, to);
    refused(&with("\"65 W\"", "\"65\""), 16, "has no unit");
    refused(&with("\"65 W\"", "65"), 16, "without a unit");
    refused(&with("\"65 W\"", "\"65 mm\""), 16, "not a unit of power");
    refused(&with("\"65 W\"", "\"-65 W\""), 16, "expected a power from");
    refused(&with("\"65 W\"", "\"NaN W\""), 16, "not a number");
    refused(&with("\"65 W\"", "\"1e308 W\""), 16, "beyond every power");
    refused(&with("\"65 W\"", "\"95..85 W\""), 16, "runs backwards");
    refused(&with("\"65 W\"", "true"), 16, "expected a power");
    refused(&with("sustained_power", "sustained_powr"), 16, "did you mean sustained_power?");
    refused(&with("socket = \"s1\"\ngen", "socket = \"s9\"\ngen"), 9, "not in the library");
    refused(&with("count = 4", "count = 0"), 15, "whole number from 1");
    refused(&with("\"wren-4\"", "\"Wren 4\""), 10, "is no id");
    refused(&with("maker = \"Aster\"\n", ""), 9, "maker is missing");
    refused(&format!("{PROCESSOR}\n[[gpu]]\nid = \"x\"\n"), 18, "no kind of part");
    refused(
        &format!(
            "{PROCESSOR}\n[[processor]]\nid = \"wren-4\"\nmaker = \"A\"\nname = \"B\"\nsocket = \"s1\"\ngeneration = \"g1\"\ncores = [{{ count = 1, threads_per_core = 1 }}]\n"
        ),
        18,
        "stands already in parts.toml, line 9",
    );
    refused(&with("[[processor]]", "[[processor"), 9, "not TOML");
}

#[test]
fn a_broken_part_hides_neither_the_others_nor_their_errors() {
    let text = format!(
        "{PROCESSOR}\n[[paste]]\nid = \"p1\"\nmaker = \"A\"\nname = \"P\"\nconductivity = \"fast\"\n[[paste]]\nid = \"p2\"\nmaker = \"A\"\nname = \"P2\"\noffers = {{ new = \"4,50 EUR\" }}\n"
    );
    let (read, problems) = library(&text);
    assert_eq!(problems.len(), 2, "{problems:#?}");
    assert_eq!(read.library.pastes.len(), 2, "both pastes are there, without the broken figures");
    assert!(read.library.processors.contains_key(&PartId::new("wren-4")));
}

#[test]
fn a_table_of_parts_is_read_row_by_row() {
    let csv = "id,maker,name,conductivity,tube,offers.new,offers.priced_on\n\
               p1,Aster,Paste one,8.5 W/mK,1 ml,6.90 EUR,2026-11-01\n\
               p2,Aster,Paste two,fast,1 ml,,\n\
               p3,Aster\n";
    let (read, problems) = read(&[file("pastes.csv", csv)]);
    assert_eq!(read.library.pastes.len(), 2);
    assert_eq!(read.library.pastes[&PartId::new("p1")].offers.new.unwrap().to_string(), "6.90 EUR");
    let lines: Vec<usize> = problems.iter().map(|p| p.line).collect();
    assert_eq!(lines, [3, 4], "{problems:#?}");
}

#[test]
fn files_that_are_no_text_are_refused() {
    for bytes in [&b"\xff\xfe\x00"[..], b"\0\0\0", b"name = \"\xc3\x28\""] {
        let (read, problems) = read(&[SourceFile { name: "x.toml".into(), bytes: bytes.to_vec() }]);
        assert_eq!(problems.len(), 1);
        assert!(read.library.processors.is_empty());
    }
    let deep = "a = ".to_owned() + &"[".repeat(100_000);
    let (_, problems) = library(&deep);
    assert!(!problems.is_empty());
    assert_eq!(library("").1, [], "an empty file has no parts and no errors");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..300), csv in any::<bool>()) {
        let name = if csv { "boards.csv" } else { "parts.toml" };
        let _ = read(&[SourceFile { name: name.into(), bytes }]);
    }

    #[test]
    fn a_good_file_with_a_hole_is_read_or_refused(start in 0..400_usize, len in 0..40_usize, filler in "[\\PC\n\"\\[\\]{}=]{0,8}") {
        let mut text = PROCESSOR.to_owned();
        let clamp = |mut at: usize| { at = at.min(text.len()); while !text.is_char_boundary(at) { at -= 1; } at };
        let (from, to) = (clamp(start), clamp(start + len));
        text.replace_range(from..to, &filler);
        let (_, problems) = library(&text);
        for problem in &problems {
            prop_assert!(problem.line >= 1 && problem.column >= 1);
            prop_assert!(problem.span.end <= text.len() + 1, "{:?}", problem);
        }
        let _ = intake::report::text(&problems, &[file("parts.toml", &text)]);
    }
}
