//! What an import says of itself.

use quantity::day::Day;
use quantity::reading::Origin;

use crate::fields::Fields;
use crate::library::text_of;
use crate::problem::{Problem, Problems, SourceFile};
use crate::toml_tree;

/// Where an import comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportNote {
    /// Name of the file that was taken in.
    pub source: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub digest: String,
    /// Day it was taken in.
    pub taken: Day,
    /// What was written of it: how it was read, and what was taken and what left.
    pub remarks: Vec<String>,
}

fn day(fields: &mut Fields<'_, '_>, name: &'static str) -> Option<Day> {
    let text = fields.required_text(name)?;
    text.parse::<Day>()
        .inspect_err(|error| {
            let span = fields.span();
            fields.error(span.start..span.start, name, error.to_string(), None);
        })
        .ok()
}

fn note(fields: &mut Fields<'_, '_>) -> Option<ImportNote> {
    let source = fields.required_text("source");
    let digest = fields.required_text("sha256");
    let taken = day(fields, "taken");
    let remarks = fields.texts("remarks");
    Some(ImportNote { source: source?, digest: digest?, taken: taken?, remarks })
}

/// Reads an `import.toml`.
pub fn read(file: &SourceFile) -> (Option<ImportNote>, Vec<Problem>) {
    let text = match text_of(file) {
        Ok(text) => text,
        Err(problem) => return (None, vec![*problem]),
    };
    let mut problems = Problems::new(&file.name, text);
    let tree = toml_tree::parse(text, &mut problems);
    let mut fields = Fields::read(&tree, 0..text.len(), "", Origin::Sheet, &mut problems);
    let note = note(&mut fields);
    fields.finish();
    (note, problems.found)
}
