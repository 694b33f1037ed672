//! A report as a person reads it.

use intake::report::text;

use crate::library::{PROCESSOR, file, library};

#[test]
fn a_report_marks_the_place() {
    let broken = PROCESSOR.replace("\"65 W\"", "\"65 mm\"").replace("generation =", "generaton =");
    let (_, problems) = library(&broken);
    insta::assert_snapshot!(text(&problems, &[file("parts.toml", &broken)]), @r#"
    error: generation is missing
      --> parts.toml:9:1  [processor wren-4.generation]
      9 | [[processor]]
        | ^
      do: add  generation = "an-id"
    error: there is no field generaton here
      --> parts.toml:14:1  [processor wren-4.generaton]
      14 | generaton = "g1"
         | ^^^^^^^^^
      do: did you mean generation?
    error: "mm" is not a unit of power: known are kW, W, mW
      --> parts.toml:16:19  [processor wren-4.sustained_power]
      16 | sustained_power = "65 mm"
         |                   ^^^^^^^
    3 errors, 0 warnings
    "#);
}

#[test]
fn what_a_file_holds_cannot_move_the_cursor() {
    let (_, problems) = library("[[paste]]\nid = \"p\"\nconductivity = \"\\u001b[2J \u{202e}fast\"\n");
    let told = text(&problems, &[]);
    assert!(!told.contains('\u{1b}') && !told.contains('\u{202e}'), "{told}");
}
