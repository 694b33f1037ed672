//! The files that a fleet is read from, and what is wrong with them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use desk::fleet::demo;
use desk::fleet::take_in::TakenIn;
use intake::folder;
use intake::machine::common::Common;
use intake::problem::{Problem, Severity};
use intake::report;
use upgrade::part::library::Library;

use crate::args::fleet::Fleet;
use crate::exit::Failure;
use crate::verb::load::library;

/// How many kinds of problem are told in full; `--problems` writes all of them.
const TOLD: usize = 16;

/// Reads everything that was named.
pub(super) fn take_in(wanted: &Fleet) -> Result<(TakenIn, Library), Failure> {
    let loaded = library(&wanted.library)?;
    if loaded.problems.iter().any(|problem| problem.severity == Severity::Error) {
        eprint!("{}", report::text(&loaded.problems, &loaded.files));
        eprintln!("The library has errors; the parts named above are left out.");
    }
    let common = match &wanted.common {
        None => Common::default(),
        Some(path) => {
            let file = folder::file(path)?;
            let (common, problems) = Common::read(&file);
            if problems.iter().any(|problem| problem.severity == Severity::Error) {
                return Err(Failure::Report(report::text(&problems, &[file])));
            }
            common
        }
    };
    let mut taken = TakenIn::default();
    for source in &wanted.sources {
        if source == "demo" {
            taken.file(demo::district(), &common, &loaded.read);
            continue;
        }
        for path in files(Path::new(source))? {
            match folder::file(&path) {
                Ok(file) => taken.file(file, &common, &loaded.read),
                Err(error) => taken.unread(&path.display().to_string(), &error),
            }
        }
    }
    Ok((taken, loaded.read.library))
}

/// A file itself, or every file below a folder, in the order of their names.
fn files(source: &Path) -> Result<Vec<PathBuf>, Failure> {
    let failed = |error: std::io::Error| {
        Failure::Report(format!(
            "error: cannot read {}\n  because {error}\n  do: name a folder, a table, a record, a capture, or demo\n",
            source.display()
        ))
    };
    let about = std::fs::metadata(source).map_err(failed)?;
    if !about.is_dir() {
        return Ok(vec![source.to_owned()]);
    }
    let mut found = Vec::new();
    let mut folders = vec![source.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).map_err(failed)? {
            let entry = entry.map_err(failed)?;
            // Links are not followed into folders, so that no ring of them is walked for ever.
            let kind = entry.file_type().map_err(failed)?;
            if kind.is_dir() {
                folders.push(entry.path());
            } else {
                found.push(entry.path());
            }
        }
    }
    found.sort();
    Ok(found)
}

/// Tells on standard error what is wrong: problems that are alike once, with how many there are.
pub(super) fn tell(taken: &TakenIn) {
    let problems = taken.problems();
    let mut kinds: BTreeMap<(Severity, String, String), (Problem, usize)> = BTreeMap::new();
    for problem in problems {
        let key = (problem.severity, problem.field.clone(), problem.message.clone());
        kinds.entry(key).or_insert((problem, 0)).1 += 1;
    }
    let mut kinds: Vec<(Problem, usize)> = kinds.into_values().collect();
    kinds.sort_by(|a, b| (a.0.severity, &a.0.file, a.0.line).cmp(&(b.0.severity, &b.0.file, b.0.line)));
    for (problem, count) in kinds.iter().take(TOLD) {
        let text = report::text(std::slice::from_ref(problem), &taken.texts);
        // The count at its end is of one problem, and says nothing here.
        let body = text.trim_end().rsplit_once('\n').map_or("", |(body, _)| body);
        eprintln!("{body}");
        if *count > 1 {
            eprintln!("  and {} more alike", count - 1);
        }
    }
    if kinds.len() > TOLD {
        eprintln!("{} more kinds of problem: --problems FILE writes them all.", kinds.len() - TOLD);
    }
    if !taken.passed_over.is_empty() {
        let first = taken.passed_over.first().map_or("", String::as_str);
        eprintln!(
            "{} files are no record, capture or table and were passed over, {first} first.",
            taken.passed_over.len()
        );
    }
    if !taken.refused.is_empty() {
        eprintln!("{} machines were read, {} were refused.", taken.members.len(), taken.refused.len());
    }
}
