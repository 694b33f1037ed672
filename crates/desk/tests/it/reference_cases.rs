//! Every reference case of the repository, each with its source in its file.

use std::path::Path;

use desk::verify::case::{Outcome, run};

#[test]
fn every_reference_case_agrees() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference");
    let mut compared = 0;
    for entry in std::fs::read_dir(&folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "json") {
            continue;
        }
        let read = |name: &str| std::fs::read(folder.join(name)).map_err(|error| error.to_string());
        let report = run(&std::fs::read(&path).unwrap(), &read).unwrap();
        for row in &report.rows {
            // A model that is not there yet is said by `verify`, and is no disagreement.
            if row.outcome == Outcome::NoSuchModel {
                continue;
            }
            assert_eq!(row.outcome, Outcome::Pass, "{}: {row:?}", path.display());
            compared += 1;
        }
    }
    assert!(compared > 600, "only {compared} values were compared");
}
