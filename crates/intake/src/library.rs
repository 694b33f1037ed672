//! A folder of parts files as a library.

use std::collections::BTreeMap;

use quantity::money::Rate;
use quantity::reading::Origin;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::library::Library;

use crate::fields::Fields;
use crate::imported::gather::{Gathered, Taken};
use crate::imported::place::import_file;
use crate::imported::prices::Prices;
use crate::imported::{note, place, prices};
use crate::node::{Node, Table, Value};
use crate::part::socket;
use crate::problem::{Problem, Problems, Severity, SourceFile};
use crate::{csv_tree, toml_tree};

pub mod put;

/// A library with the tables it was read from, so that a machine can correct single figures.
#[derive(Debug, Clone, Default)]
pub struct ReadLibrary {
    /// The parts.
    pub library: Library,
    /// Tables by kind and id.
    pub tables: BTreeMap<(Kind, PartId), Table>,
    /// File and place of each part.
    pub places: BTreeMap<PartId, (String, usize)>,
    /// What the library's own files say of parts to which imports added figures.
    pub own_tables: BTreeMap<(Kind, PartId), Table>,
    /// Parts of which imports say too little; their figures are in `tables`.
    pub sketches: BTreeMap<(Kind, PartId), Sketch>,
    /// Prices that lists said, by part.
    pub prices: Prices,
}

/// A part of which too little is known to be used.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sketch {
    /// Required fields that are missing, or that name what the library does not have.
    pub missing: Vec<String>,
}

/// File kinds by the start of a CSV file's name.
const CSV_KINDS: [(&str, Kind); 8] = [
    ("processor", Kind::Processor),
    ("chipset", Kind::Chipset),
    ("board", Kind::Board),
    ("memory", Kind::Memory),
    ("cooler", Kind::Cooler),
    ("paste", Kind::Paste),
    ("suppl", Kind::Supply),
    ("case", Kind::Case),
];

/// The kind of parts that a CSV file holds, by its name.
pub fn csv_kind(name: &str) -> Option<Kind> {
    let lower = name.to_lowercase();
    let stem = lower.rsplit(['/', '\\']).next().unwrap_or("");
    CSV_KINDS.iter().find(|(start, _)| stem.starts_with(start)).map(|(_, kind)| *kind)
}

/// Names of the tables that a library file may hold.
pub const TABLES: [&str; 10] =
    ["socket", "processor", "chipset", "board", "memory", "cooler", "paste", "supply", "case", "rate"];

/// A file's text, or the problem that keeps it from being text.
pub fn text_of(file: &SourceFile) -> Result<&str, Box<Problem>> {
    let problem = |span: core::ops::Range<usize>, message: String, help: &str| {
        Box::new(Problem {
            file: file.name.clone(),
            span,
            line: 1,
            column: 1,
            field: String::new(),
            severity: Severity::Error,
            message,
            help: Some(help.to_owned()),
        })
    };
    if file.bytes.len() > toml_tree::LARGEST_FILE {
        let message = format!(
            "the file has {} bytes, more than {} are not read",
            file.bytes.len(),
            toml_tree::LARGEST_FILE
        );
        return Err(problem(0..0, message, "split it into several files"));
    }
    if file.bytes.contains(&0) {
        return Err(problem(
            0..0,
            "this is no text file: it holds zero bytes".to_owned(),
            "give a TOML or CSV file",
        ));
    }
    let text = core::str::from_utf8(&file.bytes).map_err(|error| {
        let at = error.valid_up_to();
        let line =
            file.bytes.get(..at).map_or(1, |head| head.iter().filter(|byte| **byte == b'\n').count() + 1);
        let mut problem = problem(at..at, format!("byte {at} is not UTF-8"), "save the file as UTF-8");
        problem.line = line;
        problem
    })?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// Reads the files of a library. Good parts are there whatever else is wrong.
pub fn read(files: &[SourceFile]) -> (ReadLibrary, Vec<Problem>) {
    let mut read = ReadLibrary::default();
    let mut found = Vec::new();
    let (mut imports, own): (Vec<_>, Vec<_>) =
        files.iter().map(|file| (import_file(&file.name), file)).partition(|(import, _)| import.is_some());
    for (_, file) in own {
        match text_of(file) {
            Ok(text) => {
                let mut problems = Problems::new(&file.name, text);
                read_file(&mut read, file, text, &mut problems);
                found.append(&mut problems.found);
            }
            Err(problem) => found.push(*problem),
        }
    }
    imports.sort_by_key(|(import, _)| import.map(|import| (import.number, import.name)));
    let mut gathered = Gathered::default();
    for (import, file) in imports {
        let Some(import) = import else { continue };
        match text_of(file) {
            Ok(text) => {
                let mut problems = Problems::new(&file.name, text);
                match (import.name, csv_kind(import.name)) {
                    (place::NOTE, _) => problems.found = note::read(file).1,
                    (place::PRICES, _) => {
                        prices::read(text, import.number, &mut read.prices, &mut problems);
                    }
                    (name, Some(kind)) if name.ends_with(".csv") => {
                        gathered.table(kind, Taken { name: &file.name, text }, &mut problems);
                    }
                    // The mapping an import was made with is kept beside it for the next one.
                    _ => {}
                }
                found.append(&mut problems.found);
            }
            Err(problem) => found.push(*problem),
        }
    }
    gathered.finish(&mut read, &mut found);
    refits(&mut read);
    prices::apply(&mut read.library, &read.prices);
    references(&mut read, &mut found);
    found.sort_by(|a, b| (&a.file, a.line, a.column).cmp(&(&b.file, b.line, b.column)));
    (read, found)
}

/// A file under way: its name, and where its lines begin.
struct Under<'f> {
    name: &'f str,
    line_starts: Vec<usize>,
}

impl Under<'_> {
    fn line(&self, byte: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= byte)
    }
}

fn read_file(read: &mut ReadLibrary, file: &SourceFile, text: &str, problems: &mut Problems<'_>) {
    let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(idx, _)| idx + 1);
    let under = Under { name: &file.name, line_starts: core::iter::once(0).chain(ends).collect() };
    let lower = file.name.to_lowercase();
    if lower.ends_with(".csv") {
        let Some(kind) = csv_kind(&file.name) else {
            let message = "the name does not say what kind of parts it holds".to_owned();
            let help = "call it processors.csv, boards.csv, memory.csv, coolers.csv, pastes.csv, supplies.csv or cases.csv";
            problems.error(0..0, "", message, Some(help.to_owned()));
            return;
        };
        for row in csv_tree::parse(text, problems) {
            read_part(read, kind.word(), &row, &under, problems);
        }
        return;
    }
    let tree = toml_tree::parse(text, problems);
    for (name, (key_span, node)) in &tree.entries {
        if !TABLES.contains(&name.as_str()) {
            let message = format!("there is no kind of part called {name}");
            let help = format!("kinds are: {}", TABLES.join(", "));
            problems.error(key_span.clone(), name, message, Some(help));
            continue;
        }
        let Value::List(list) = &node.value else {
            let message = format!("{name} is {}, expected a list of tables", node.value.kind());
            problems.error(node.span.clone(), name, message, Some(format!("write  [[{name}]]")));
            continue;
        };
        for item in list {
            read_part(read, name, item, &under, problems);
        }
    }
}

fn read_part(read: &mut ReadLibrary, kind: &str, node: &Node, file: &Under<'_>, problems: &mut Problems<'_>) {
    let Value::Table(table) = &node.value else {
        problems.error(
            node.span.clone(),
            kind,
            format!("{kind} is {}, expected a table", node.value.kind()),
            None,
        );
        return;
    };
    let path = match table.entries.get("id") {
        Some((_, Node { value: Value::Text(id) | Value::Cell(id), .. })) => format!("{kind} {id}"),
        _ => kind.to_owned(),
    };
    if let Some(kind) = Kind::ALL.into_iter().find(|known| known.word() == kind) {
        if let Some(part) = put::part(kind, table, node.span.clone(), &path, problems)
            && accept(read, part.id(), file, node, problems)
        {
            read.tables.insert((kind, part.id().clone()), table.clone());
            put::into(&mut read.library, part);
        }
        return;
    }
    let mut fields = Fields::read(table, node.span.clone(), &path, Origin::Sheet, problems);
    match kind {
        "socket" => {
            let part = socket::socket(&mut fields);
            fields.finish();
            if let Some(part) = part
                && accept(read, &part.id, file, node, problems)
            {
                read.library.sockets.insert(part.id.clone(), part);
            }
        }
        _ => {
            let rate = rate(&mut fields);
            fields.finish();
            if let Some(rate) = rate
                && let Err(error) = read.library.rates.add(rate)
            {
                problems.error(node.span.clone(), kind, error.to_string(), None);
            }
        }
    }
}

/// An exchange rate: `{ from = "1.00 EUR", to = "1.08 USD" }`.
pub fn rate(fields: &mut Fields<'_, '_>) -> Option<Rate> {
    let from = fields.money("from");
    fields.require("from", from.is_some(), "\"1.00 EUR\"");
    let to = fields.money("to");
    fields.require("to", to.is_some(), "\"1.08 USD\"");
    Some(Rate { from: from?, to: to? })
}

/// Whether the id is free; the first part of an id stays.
fn accept(
    read: &mut ReadLibrary,
    id: &PartId,
    file: &Under<'_>,
    node: &Node,
    problems: &mut Problems<'_>,
) -> bool {
    let line = file.line(node.span.start);
    if let Some((other, other_line)) = read.places.get(id) {
        let message = format!("the id \"{id}\" stands already in {other}, line {other_line}");
        problems.error(
            node.span.start..node.span.start,
            "id",
            message,
            Some("give each part an id of its own".to_owned()),
        );
        return false;
    }
    read.places.insert(id.clone(), (file.name.to_owned(), line));
    true
}

/// What fans do not bring along with them: how the cooler then carries heat is computed, and they have prices of their own.
const NOT_OF_FANS: [&str; 6] = ["resistance", "rated_heat", "fans", "offers", "refit_of", "paste_applied"];

/// Fans for a cooler have everything else from it: the part is read again from the cooler's figures under its own.
fn refits(read: &mut ReadLibrary) {
    let of: Vec<(PartId, PartId)> = read
        .library
        .coolers
        .values()
        .filter_map(|cooler| Some((cooler.id.clone(), cooler.refit_of.clone()?)))
        .collect();
    for (id, base) in of {
        let (Some(own), Some(base)) =
            (read.tables.get(&(Kind::Cooler, id.clone())), read.tables.get(&(Kind::Cooler, base)))
        else {
            continue;
        };
        let mut base = base.clone();
        base.entries.retain(|name, _| !NOT_OF_FANS.contains(&name.as_str()));
        let merged = base.overlaid(own, Origin::Sheet);
        // Both were read once already: what is wrong with them is told.
        let mut told = Problems::new("", "");
        let mut fields = Fields::read(&merged, 0..0, "", Origin::Sheet, &mut told);
        if let Some(cooler) = crate::part::cooler::cooler(&mut fields) {
            read.library.coolers.insert(id.clone(), cooler);
            read.tables.insert((Kind::Cooler, id), merged);
        }
    }
}

/// Reports ids that are named but not there.
fn references(read: &mut ReadLibrary, found: &mut Vec<Problem>) {
    let library = &read.library;
    let mut unusable: BTreeMap<PartId, Vec<String>> = BTreeMap::new();
    let mut missing = |from: &PartId, field: &str, to: &PartId, kind: &str| {
        let (file, line) = read.places.get(from).cloned().unwrap_or_default();
        if import_file(&file).is_some() {
            // What a list says of a part is kept until the library knows what it names.
            unusable.entry(from.clone()).or_default().push(format!("{kind} \"{to}\", named in {field}"));
            return;
        }
        found.push(Problem {
            file,
            span: 0..0,
            line,
            column: 1,
            field: format!("{from}.{field}"),
            severity: Severity::Error,
            message: format!("{from} names the {kind} \"{to}\", which is not in the library"),
            help: Some(format!("add the {kind}, or correct {field}")),
        });
    };
    let generations: std::collections::BTreeSet<&PartId> =
        library.processors.values().map(|processor| &processor.generation).collect();
    for processor in library.processors.values() {
        if !library.sockets.contains_key(&processor.socket) {
            missing(&processor.id, "socket", &processor.socket, "socket");
        }
        if let Some(sibling) =
            processor.locked_sibling.as_ref().filter(|id| !library.processors.contains_key(*id))
        {
            missing(&processor.id, "locked_sibling", sibling, "processor");
        }
        if let Some(cooler) =
            processor.cooler_included.as_ref().filter(|id| !library.coolers.contains_key(*id))
        {
            missing(&processor.id, "cooler_included", cooler, "cooler");
        }
    }
    for chipset in library.chipsets.values() {
        if !library.sockets.contains_key(&chipset.socket) {
            missing(&chipset.id, "socket", &chipset.socket, "socket");
        }
    }
    for board in library.boards.values() {
        if !library.sockets.contains_key(&board.socket) {
            missing(&board.id, "socket", &board.socket, "socket");
        }
        if !library.chipsets.contains_key(&board.chipset) {
            missing(&board.id, "chipset", &board.chipset, "chipset");
        }
        for entry in &board.support {
            use upgrade::part::board::SupportScope::{Excluded, Generation, Processor};
            match &entry.scope {
                Processor(id) | Excluded(id) if !library.processors.contains_key(id) => {
                    missing(&board.id, "support", id, "processor");
                }
                Generation(id) if !generations.contains(id) => {
                    missing(&board.id, "support", id, "generation")
                }
                _ => {}
            }
        }
    }
    for cooler in library.coolers.values() {
        if let Some(base) = cooler.refit_of.as_ref().filter(|id| !library.coolers.contains_key(*id)) {
            missing(&cooler.id, "refit_of", base, "cooler");
        }
        for socket in cooler.sockets.iter().chain(&cooler.sockets_with_extra_set) {
            if !library.sockets.contains_key(socket) {
                missing(&cooler.id, "sockets", socket, "socket");
            }
        }
    }
    for (id, missing) in unusable {
        if let Some(kind) = put::out_of(&mut read.library, &id) {
            read.sketches.insert((kind, id), Sketch { missing });
        }
    }
}
