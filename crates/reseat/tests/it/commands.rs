//! Each command does what its help says, as text and as JSON.

use serde_json::Value;

use crate::run::prints;

fn json(words: &[&str], code: i32) -> Value {
    serde_json::from_str(&prints(words, code)).unwrap()
}

#[test]
fn a_plan_names_its_picks_with_reasons() {
    let text = prints(&["plan", "demo"], 0).split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Change nothing",
        "Best value: ",
        "Fastest within budget: ",
        "Near misses",
        "old processor is still in",
    ] {
        assert!(text.contains(part), "{part}");
    }
    let plan = json(&["plan", "demo", "--json"], 0);
    let picks = plan["picks"].as_array().unwrap();
    assert!(picks.len() >= 3);
    for pick in picks {
        assert!(!pick["reasons"].as_array().unwrap().is_empty());
        assert!(!pick["route"]["findings"].as_array().unwrap().is_empty());
    }
    assert!(plan["front"].as_array().unwrap().len() > 10);
}

#[test]
fn text_keeps_to_the_width_and_has_no_colour_in_a_pipe() {
    for width in [60, 80, 120] {
        for words in [["plan", "demo"], ["check", "demo"], ["chart", "demo"]] {
            let width_text = width.to_string();
            let text = prints(&[words[0], words[1], "--width", &width_text], 0);
            assert!(!text.contains('\u{1b}'), "no colour in a pipe");
            for line in text.lines() {
                assert!(line.chars().count() <= width, "{words:?} at {width}: {line}");
            }
        }
    }
}

#[test]
fn exit_codes_are_the_documented_ones() {
    prints(&["check", "demo", "--with", "tern-2-rush"], 0);
    prints(&["check", "demo", "--with", "tern-3-sedge"], 1);
    prints(&["check", "demo", "--with", "scarp-2133-2x16"], 3);
    prints(&["check", "demo", "--with", "no-such-part"], 2);
    prints(&["verify", "reference/scaling.json"], 0);
}

#[test]
fn a_check_shows_the_readings_it_rests_on() {
    let text = prints(&["check", "demo", "--with", "tern-2-rush", "--readings"], 0);
    assert!(text.contains("- lowest firmware for the processor: 1.40 (maker's sheet)"), "{text}");
    let check = json(&["check", "demo", "--with", "tern-2-rush", "--json"], 0);
    assert_eq!(check["verdict"], "fits on a condition");
}

#[test]
fn a_chart_is_drawn_whole_into_its_file() {
    let folder = std::env::temp_dir().join(format!("reseat-chart-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("fit.svg");
    let chart = json(&["chart", "demo", "--socket", "heron", "--json", "--svg", file.to_str().unwrap()], 0);
    let svg = std::fs::read_to_string(&file).unwrap();
    assert!(svg.starts_with("<svg") && svg.ends_with("</svg>"));
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "nothing half-written is left beside it");
    std::fs::remove_dir_all(&folder).unwrap();
    assert!(chart["processors"].as_array().unwrap().len() > 20);
}

#[test]
fn parts_are_listed_shown_and_linted() {
    assert!(prints(&["parts", "list", "--kind", "paste"], 0).contains("Soft white"));
    assert!(prints(&["parts", "show", "tern-2-rush"], 0).contains("sustained_power"));
    assert_eq!(json(&["parts", "show", "tern-2-rush", "--json"], 0)["kind"], "processor");
    assert!(prints(&["parts", "lint"], 0).contains("0 errors"));
}

#[test]
fn schemas_and_completion_are_printed() {
    for kind in ["library", "machine", "workload", "cases"] {
        assert!(json(&["schema", kind], 0)["$schema"].is_string(), "{kind}");
    }
    assert!(prints(&["completion", "bash"], 0).contains("complete -F"));
}

#[test]
fn a_model_that_does_not_exist_fails_unless_allowed() {
    let file = std::env::temp_dir().join(format!("reseat-cases-{}.json", std::process::id()));
    let case = r#"{"topic": "t", "source": "s", "cases": [{"id": "x", "model": "none_such", "inputs": {}, "expected": {}, "tolerance": {}}]}"#;
    std::fs::write(&file, case).unwrap();
    let path = file.to_str().unwrap();
    assert!(prints(&["verify", path], 1).contains("no such model"));
    prints(&["verify", "--allow-missing", path], 0);
    std::fs::remove_file(&file).unwrap();
}

#[test]
fn a_job_sheet_is_one_file_that_asks_for_nothing_from_outside() {
    let text = prints(&["sheet", "demo"], 0);
    assert!(text.contains("STOP POINT") && text.contains("Never open the supply"));
    let file = std::env::temp_dir().join(format!("reseat-job-{}.html", std::process::id()));
    prints(&["sheet", "demo", "--html", file.to_str().unwrap()], 0);
    let page = std::fs::read_to_string(&file).unwrap();
    std::fs::remove_file(&file).unwrap();
    for outside in ["http://", "https://", "src=", "@import", "url("] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert!(page.len() < 150_000, "{} bytes", page.len());
    let sheet = json(&["sheet", "demo", "--with", "skerry-fine", "--json"], 0);
    assert!(sheet["steps"].as_array().unwrap().len() > 10);
    prints(&["sheet", "school"], 2);
}

#[test]
fn the_power_path_is_told_as_text_json_and_picture() {
    let text = prints(&["power", "demo", "--width", "80"], 0);
    for part in
        ["from the wall", "lost: conduction, lower switches", "into the processor", "The stages hold", "EUR"]
    {
        assert!(text.contains(part), "{part} is missing:\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let answer = json(&["power", "demo", "--json"], 0);
    assert_eq!(answer["flows"][0]["name"], "from the wall");
    assert!(answer["limits"].as_array().unwrap().len() >= 10);
    // Bursts that the stages do not hold are an answer of their own.
    let passed = prints(&["power", "demo", "--with", "tern-2-rush"], 1);
    assert!(passed.contains("burst power limit"), "{passed}");
    let folder = std::env::temp_dir().join(format!("reseat-power-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("path.svg");
    prints(&["power", "demo", "--svg", file.to_str().unwrap()], 0);
    let picture = std::fs::read_to_string(&file).unwrap();
    assert!(picture.starts_with("<svg") && picture.ends_with("</svg>"));
    std::fs::remove_dir_all(&folder).unwrap();
}

/// A capture and a dump of one invented machine, made by the survey's own tests.
const CAPTURE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../survey/tests/data/bench.tar.gz");
const DUMP: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../survey/tests/data/bench.bin");

#[test]
fn a_survey_of_a_capture_makes_a_record_that_a_plan_takes() {
    let folder = std::env::temp_dir().join(format!("reseat-survey-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let record = folder.join("record.toml");
    let record = record.to_str().unwrap();
    let text = prints(&["survey", "--root", CAPTURE, "--out", record, "--width", "100"], 0);
    for part in [
        "the library's tidewell-plover",
        "the library's tern-1-sedge",
        "x86-64-v3",
        "benchtemp Package: 41.5",
    ] {
        assert!(text.contains(part), "{part} is missing:\n{text}");
    }
    let answer = json(&["survey", "--dump", DUMP, "--json"], 0);
    assert_eq!(answer["board"]["product"], "Plover");
    assert_eq!(answer["memory"].as_array().unwrap().len(), 4);
    prints(&["plan", record], 0);
    // What is set by hand wins, and is told as such.
    let before = std::fs::read_to_string(record).unwrap();
    prints(&["machine", "set", record, "processor.sustained_power", "61..66 W"], 0);
    prints(&["machine", "set", record, "cooler.id", "larkspur-90"], 0);
    prints(&["machine", "set", record, "setting.room", "18..28 °C"], 0);
    let shown = prints(&["machine", "show", record], 0);
    assert!(
        shown.lines().any(|line| line.contains("processor.sustained_power") && line.contains("hand")),
        "{shown}"
    );
    // A slip changes nothing.
    let kept = std::fs::read_to_string(record).unwrap();
    let told = crate::run::complains(&["machine", "set", record, "cooler.height", "148 m"], 2);
    assert!(told.contains("not changed") && told.contains("148 m"), "{told}");
    assert_eq!(std::fs::read_to_string(record).unwrap(), kept);
    let first = folder.join("before.toml");
    std::fs::write(&first, before).unwrap();
    let differs = prints(&["machine", "compare", first.to_str().unwrap(), record], 0);
    assert!(differs.contains("61..66 W") && differs.contains("setting.room"), "{differs}");
    let unknown = prints(&["machine", "unknown", record], 3);
    assert!(unknown.contains("1. ") && unknown.contains("reseat machine set"), "{unknown}");
    let packed = folder.join("again.tar.gz");
    prints(&["survey", "--root", CAPTURE, "--capture", packed.to_str().unwrap()], 0);
    assert!(packed.metadata().unwrap().len() > 500);
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_survey_of_nothing_tells_what_is_wrong() {
    let told = crate::run::complains(&["survey", "--root", "/no/such/place"], 2);
    assert!(told.contains("cannot look into") && told.contains("do:"), "{told}");
    let told = crate::run::complains(&["survey", "--dump", CAPTURE], 2);
    assert!(told.contains("entry point"), "{told}");
}

#[test]
fn the_heat_path_is_told_as_text_json_and_picture() {
    let text = prints(&["heat", "demo", "--width", "80"], 0);
    for part in ["paste", "cooler", "air in the case", "holds", "Settles most"] {
        assert!(text.contains(part), "{part} is missing:\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let answer = json(&["heat", "demo", "--json"], 0);
    assert_eq!(answer["steps"].as_array().unwrap().len(), 5);
    assert_eq!(answer["rooms"].as_array().unwrap().len(), 8);
}

#[test]
fn paste_is_pressed_in_every_pattern() {
    let text = prints(&["paste", "demo", "--with", "skerry-fine", "--width", "100"], 0);
    for part in ["Put ", "dot", "cross", "five dots", "spread layer", "thickness over the die", "DDDD"] {
        assert!(text.contains(part), "{part} is missing:\n{text}");
    }
    let answer = json(&["paste", "demo", "--with", "skerry-fine", "--json"], 0);
    for pattern in answer["patterns"].as_array().unwrap() {
        assert!(pattern["relative_drift_of_volume"].as_f64().unwrap() < 1e-9, "{pattern}");
        assert!(pattern["covered_share_of_die"].as_f64().unwrap() > 0.9, "{pattern}");
    }
    let told = crate::run::complains(&["paste", "demo"], 2);
    assert!(told.contains("no paste is put on"), "{told}");
}

#[test]
fn the_hand_over_is_told_as_text_json_page_and_pdf() {
    let words = ["handover", "demo", "--with", "tern-2-rush", "--with", "skerry-fine"];
    let text = prints(&words, 0);
    assert!(text.contains("What was found") && text.contains("Tern 1 Sedge") && text.contains("Tern 2 Rush"));
    let answer = json(&[&words[..], &["--json"]].concat(), 0);
    assert_eq!(answer["changed"][0]["out"], "Tern 1 Sedge");
    assert_eq!(answer["changed"][0]["in"], "Tern 2 Rush");
    let file = std::env::temp_dir().join(format!("reseat-hand-over-{}", std::process::id()));
    let name = file.to_str().unwrap();
    prints(&[&words[..], &["--pdf", name, "--paper", "letter"]].concat(), 0);
    let pdf = std::fs::read(&file).unwrap();
    // Letter is 612 by 792 points (ANSI/ASME Y14.1: 8.5 by 11 inches).
    assert!(pdf.starts_with(b"%PDF-") && pdf.windows(7).any(|part| part == b"612 792"));
    prints(&[&words[..], &["--html", name]].concat(), 0);
    let page = std::fs::read_to_string(&file).unwrap();
    assert!(page.contains("Tern 2 Rush") && page.contains("default-src 'none'"));
    std::fs::remove_file(file).unwrap();
}
