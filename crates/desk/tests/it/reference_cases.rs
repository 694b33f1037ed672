//! Every reference case of the repository, each with its source in its file.

use std::path::Path;

use desk::verify::case::{Outcome, run};
use proptest::prelude::*;

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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn any_bytes_are_a_case_file_or_are_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = run(&bytes, &|_| Err("no files here".to_owned()));
    }
}
