//! Dependencies between our crates point inward only, as `.ci/dependencies` allows.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

#[test]
fn crates_use_only_what_they_may() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let allowed = std::fs::read_to_string(root.join(".ci/dependencies")).unwrap();
    let allowed: BTreeMap<&str, Vec<&str>> = allowed
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
        .filter_map(|line| line.split_once(':'))
        .map(|(name, uses)| (name.trim(), uses.split_whitespace().collect()))
        .collect();
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
        .current_dir(&root)
        .output()
        .unwrap();
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    let ours: Vec<&str> = packages.iter().filter_map(|package| package["name"].as_str()).collect();
    for package in packages {
        let name = package["name"].as_str().unwrap();
        let Some(may) = allowed.get(name) else { panic!("{name} is not in .ci/dependencies") };
        for dependency in package["dependencies"].as_array().unwrap() {
            let uses = dependency["name"].as_str().unwrap();
            let for_tests = dependency["kind"] == "dev";
            assert!(
                for_tests || !ours.contains(&uses) || may.contains(&uses),
                "{name} uses {uses}, which .ci/dependencies does not allow"
            );
        }
    }
}
