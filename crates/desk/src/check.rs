//! All findings about a machine with some named changes.

use upgrade::fit::finding::{Finding, Verdict};
use upgrade::fit::rule::{judge, overall};
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::id::{Kind, PartId};
use upgrade::part::library::Library;

/// A change that names no part.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeError {
    /// The library has no part of that id.
    #[error("the library has no part \"{id}\"{}", hint(.nearest))]
    NoSuchPart {
        /// What was asked for.
        id: String,
        /// The most similar id, where one is similar.
        nearest: Option<String>,
    },
    /// Two changes of one kind.
    #[error("\"{first}\" and \"{second}\" are both a {kind}: name one of each kind")]
    Twice {
        /// First part.
        first: String,
        /// Second part.
        second: String,
        /// Their kind.
        kind: &'static str,
    },
    /// A kind that is not changed by itself.
    #[error("\"{id}\" is a chipset: it comes with its board")]
    Chipset {
        /// Part.
        id: String,
    },
}

fn hint(nearest: &Option<String>) -> String {
    nearest.as_ref().map_or_else(
        || ": list them with `reseat parts list`".to_owned(),
        |id| format!("; did you mean \"{id}\"?"),
    )
}

/// The kind of part an id names.
pub fn kind_of(library: &Library, id: &PartId) -> Option<Kind> {
    [
        (library.processors.contains_key(id), Kind::Processor),
        (library.chipsets.contains_key(id), Kind::Chipset),
        (library.boards.contains_key(id), Kind::Board),
        (library.memory.contains_key(id), Kind::Memory),
        (library.coolers.contains_key(id), Kind::Cooler),
        (library.pastes.contains_key(id), Kind::Paste),
        (library.supplies.contains_key(id), Kind::Supply),
        (library.cases.contains_key(id), Kind::Case),
    ]
    .into_iter()
    .find_map(|(is_there, kind)| is_there.then_some(kind))
}

/// Every id of the library.
pub fn ids(library: &Library) -> Vec<(&PartId, Kind)> {
    let mut ids: Vec<(&PartId, Kind)> = Vec::new();
    ids.extend(library.processors.keys().map(|id| (id, Kind::Processor)));
    ids.extend(library.chipsets.keys().map(|id| (id, Kind::Chipset)));
    ids.extend(library.boards.keys().map(|id| (id, Kind::Board)));
    ids.extend(library.memory.keys().map(|id| (id, Kind::Memory)));
    ids.extend(library.coolers.keys().map(|id| (id, Kind::Cooler)));
    ids.extend(library.pastes.keys().map(|id| (id, Kind::Paste)));
    ids.extend(library.supplies.keys().map(|id| (id, Kind::Supply)));
    ids.extend(library.cases.keys().map(|id| (id, Kind::Case)));
    ids
}

/// How alike two ids must be for one to be offered for the other.
const ALIKE: f64 = 0.7;

fn nearest(library: &Library, asked: &str) -> Option<String> {
    ids(library)
        .into_iter()
        .map(|(id, _)| (strsim::jaro_winkler(asked, id.text()), id))
        .filter(|(score, _)| *score >= ALIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1)))
        .map(|(_, id)| id.text().to_owned())
}

/// The error for an id that the library does not have, with the most similar one.
pub fn no_such_part(library: &Library, asked: &str) -> ChangeError {
    ChangeError::NoSuchPart { id: asked.to_owned(), nearest: nearest(library, asked) }
}

/// The changes that a list of part ids stands for.
///
/// # Errors
/// An id that the library does not have, or two parts of one kind.
pub fn changes<'a>(library: &'a Library, named: &[String]) -> Result<Changes<'a>, ChangeError> {
    let mut changes = Changes::default();
    let mut taken: Vec<(Kind, &str)> = Vec::new();
    for text in named {
        let id = PartId::new(text);
        let kind = kind_of(library, &id).ok_or_else(|| no_such_part(library, text))?;
        if let Some((_, first)) = taken.iter().find(|(other, _)| *other == kind) {
            let first = (*first).to_owned();
            return Err(ChangeError::Twice { first, second: text.clone(), kind: kind.word() });
        }
        taken.push((kind, text));
        match kind {
            Kind::Processor => changes.processor = library.processors.get(&id),
            Kind::Board => changes.board = library.boards.get(&id),
            Kind::Memory => changes.memory = library.memory.get(&id),
            Kind::Cooler => changes.cooler = library.coolers.get(&id),
            Kind::Paste => changes.paste = library.pastes.get(&id),
            Kind::Supply => changes.supply = library.supplies.get(&id),
            Kind::Case => changes.case = library.cases.get(&id),
            Kind::Chipset => return Err(ChangeError::Chipset { id: text.clone() }),
        }
    }
    Ok(changes)
}

/// Findings and the verdict on the whole.
pub fn check(machine: &Machine, library: &Library, changes: Changes<'_>) -> (Vec<Finding>, Verdict) {
    let findings = judge(&Proposal { now: machine, changes, library });
    let verdict = overall(&findings);
    (findings, verdict)
}
