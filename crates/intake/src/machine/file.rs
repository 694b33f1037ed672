//! Reading a whole machine file.

use quantity::reading::{Origin, Reading};
use upgrade::machine::present::{Fitted, Joint, Machine};
use upgrade::machine::workload::Workload;
use upgrade::part::id::Kind;
use upgrade::part::paste::Paste;

use crate::fields::Fields;
use crate::library::{ReadLibrary, text_of};
use crate::machine::common::{Common, Standing};
use crate::machine::fitted::fitted;
use crate::machine::load::load;
use crate::machine::setting::setting;
use crate::machine::software::software;
use crate::machine::task::task;
use crate::machine::wishes::wishes;
use crate::node::Table;
use crate::part::board::version;
use crate::part::words::paste_states;
use crate::part::{board, case, cooler, memory, paste, processor, supply};
use crate::problem::{Problem, Problems, SourceFile};
use crate::range;
use crate::toml_tree;

/// Reads a machine file. The machine is there if all its parts could be read.
pub fn read(file: &SourceFile, library: &ReadLibrary) -> (Option<Machine>, Vec<Problem>) {
    let text = match text_of(file) {
        Ok(text) => text,
        Err(problem) => return (None, vec![*problem]),
    };
    let mut problems = Problems::new(&file.name, text);
    let tree = toml_tree::parse(text, &mut problems);
    let stem = stem(&file.name);
    let machine = of_tree(&tree, text.len(), stem, library, &mut problems);
    (machine, problems.found)
}

/// Reads a machine out of a tree. `length` is that of its text, `stem` its id where it has none.
pub fn of_tree(
    tree: &Table,
    length: usize,
    stem: &str,
    library: &ReadLibrary,
    problems: &mut Problems<'_>,
) -> Option<Machine> {
    let mut fields = Fields::read(tree, 0..length, "", Origin::Hand, problems);
    let machine = machine(&mut fields, stem, library);
    fields.finish();
    machine
}

/// Reads a machine file whose gaps the common fields fill.
pub fn read_filled(
    file: &SourceFile,
    common: &Common,
    standing: Standing,
    library: &ReadLibrary,
) -> (Option<Machine>, Vec<Problem>) {
    let text = match text_of(file) {
        Ok(text) => text,
        Err(problem) => return (None, vec![*problem]),
    };
    let mut problems = Problems::new(&file.name, text);
    let mut tree = toml_tree::parse(text, &mut problems);
    // A text without a single field is no record; common fields must not make one of it.
    if !tree.entries.is_empty() {
        common.fill(&mut tree, standing);
    }
    let machine = of_tree(&tree, text.len(), stem(&file.name), library, &mut problems);
    (machine, problems.found)
}

/// What a machine without an id is called: its file, without folders and ending.
fn stem(name: &str) -> &str {
    let last = name.rsplit(['/', '\\']).next().unwrap_or("machine");
    [".toml", ".tar.gz", ".tgz"].iter().find_map(|ending| last.strip_suffix(ending)).unwrap_or(last)
}

/// Describes a machine file, for its schema.
pub fn describe(fields: &mut Fields<'_, '_>) -> Option<Machine> {
    machine(fields, "", &ReadLibrary::default())
}

fn joint(fields: &mut Fields<'_, '_>, library: &ReadLibrary) -> Joint {
    let id = fields.id("paste");
    let found = id.as_ref().and_then(|id| library.library.pastes.get(id)).cloned();
    if let Some(id) = id.filter(|_| found.is_none() && fields.is_reading()) {
        let span = fields.span();
        fields.error(span.start..span.start, "paste", format!("the library has no paste \"{id}\""), None);
    }
    let private: Option<Paste> = fields.table("part", paste::paste).flatten();
    Joint {
        paste: found.or(private),
        state: fields.word("state", &paste_states()),
        age: fields.figure("age", range::TIME),
        amount: fields.figure("amount", range::VOLUME),
    }
}

fn machine(fields: &mut Fields<'_, '_>, stem: &str, library: &ReadLibrary) -> Option<Machine> {
    let id = fields.id("id").map_or_else(|| stem.to_owned(), |id| id.text().to_owned());
    let name = fields.required_text("name");
    let story = fields.text("story").unwrap_or_default();
    let firmware = version(fields, "firmware", Origin::Firmware);
    macro_rules! section {
        ($name:literal, $kind:expr, $read:path) => {{
            let part = fields.table($name, |fields| fitted(fields, $kind, library, $read)).flatten();
            fields.require($name, part.is_some(), "{ id = \"an-id\" }");
            part
        }};
    }
    let processor = section!("processor", Kind::Processor, processor::processor);
    let board = section!("board", Kind::Board, board::board);
    let memory: Vec<Fitted<_>> = fields
        .tables("memory", |fields| fitted(fields, Kind::Memory, library, memory::memory))
        .into_iter()
        .flatten()
        .collect();
    fields.require("memory", !memory.is_empty(), "[{ id = \"an-id\" }]");
    let cooler = section!("cooler", Kind::Cooler, cooler::cooler);
    let supply = section!("supply", Kind::Supply, supply::supply);
    let case = section!("case", Kind::Case, case::case);
    let unknown =
        || Joint { paste: None, state: Reading::Unknown, age: Reading::Unknown, amount: Reading::Unknown };
    let joint = fields.table("joint", |fields| joint(fields, library)).unwrap_or_else(unknown);
    let loads = fields.tables("load", load).into_iter().flatten().collect();
    let software = fields.table("software", software).unwrap_or_default();
    let setting = fields.table("setting", setting).unwrap_or_default();
    let workload = Workload { tasks: fields.tables("task", task).into_iter().flatten().collect() };
    let wishes = fields.table("wishes", wishes).unwrap_or_default();
    if memory.is_empty() {
        return None;
    }
    Some(Machine {
        id,
        name: name?,
        story,
        processor: processor?,
        board: board?,
        firmware,
        memory,
        cooler: cooler?,
        joint,
        supply: supply?,
        case: case?,
        loads,
        software,
        setting,
        workload,
        wishes,
    })
}
