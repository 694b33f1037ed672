//! The figures of the rows against those of the library.

use intake::csv_tree::value_at;
use intake::imported::place::import_file;
use intake::library::put;
use intake::node::{Node, Table, Value};
use intake::problem::Problems;
use upgrade::part::id::{Kind, PartId};

use super::{Said, Work, written};
use crate::mapping::Mapping;
use crate::preview::{Against, Conflict, FigureChange, PartChange, PartState, Preview};
use crate::row::Rejected;

impl Work<'_> {
    /// Lets the kind's own reader look at the figures; what it refuses is taken out.
    pub(super) fn judge(
        &mut self,
        row: u32,
        kind: Kind,
        id: &PartId,
        figures: &mut Vec<(usize, Box<str>, usize)>,
    ) {
        if figures.is_empty() {
            return;
        }
        let table = self.table(id, figures.iter().map(|(field, text, _)| (*field, &**text)));
        let mut problems = Problems::of_sketches("", "");
        put::part(kind, &table, 0..0, "", &mut problems);
        for problem in problems.found {
            let at = figures.iter().position(|(field, ..)| {
                self.reader.targets.fields.get(*field).is_some_and(|(path, _)| *path == problem.field)
            });
            let Some(at) = at else { continue };
            let (_, text, column) = figures.remove(at);
            let heading = self.reader.used.iter().find(|used| used.place == column);
            self.rejected.push(Rejected {
                row,
                column: column.wrapping_add(1),
                heading: heading.map(|used| used.heading.clone()).unwrap_or_default(),
                cell: text.into(),
                reason: problem.message,
            });
        }
    }

    fn table<'t>(&self, id: &PartId, figures: impl Iterator<Item = (usize, &'t str)>) -> Table {
        let mut table = Table::default();
        let node = |text: &str| Node { span: 0..0, value: Value::Cell(text.to_owned()), origin: None };
        intake::csv_tree::insert(&mut table, "id", node(id.text()));
        for (field, text) in figures {
            if let Some((path, _)) = self.reader.targets.fields.get(field) {
                intake::csv_tree::insert(&mut table, path, node(text));
            }
        }
        table
    }

    pub(crate) fn finish(mut self) -> Preview {
        let mut parts = Vec::new();
        let mut unchanged = 0;
        let said = core::mem::take(&mut self.said);
        for one in said {
            match self.compare(&one) {
                Some(change) => parts.push(change),
                None => unchanged += 1,
            }
        }
        parts.sort_by(|a, b| (a.kind, &a.id).cmp(&(b.kind, &b.id)));
        let (prices, prices_known) = self.compare_prices();
        self.rejected.sort_by_key(|one| (one.row, one.column));
        self.conflicts.sort_by(|a, b| (a.row, &a.field).cmp(&(b.row, &b.field)));
        Preview {
            source: String::new(),
            digest: String::new(),
            format: self.format,
            remarks: Vec::new(),
            mapping: Mapping::default(),
            guessed: Vec::new(),
            unmapped: Vec::new(),
            rows: self.rows,
            repeated: self.repeated,
            parts,
            unchanged,
            prices,
            prices_known,
            conflicts: self.conflicts,
            alike: self.alike,
            rejected: self.rejected,
            fields: Vec::new(),
        }
    }

    fn compare(&mut self, said: &Said) -> Option<PartChange> {
        let key = (said.kind, said.id.clone());
        let table = self.read.tables.get(&key);
        if table.is_none()
            && let Some(other) = Kind::ALL
                .into_iter()
                .find(|kind| *kind != said.kind && self.read.tables.contains_key(&(*kind, said.id.clone())))
        {
            self.conflicts.push(Conflict {
                id: said.id.clone(),
                field: "id".to_owned(),
                row: said.row,
                says: said.kind.word().to_owned(),
                other: other.word().to_owned(),
                against: Against::OtherKind(other),
            });
            return None;
        }
        let place = self.read.places.get(&said.id);
        let all_by_hand = place.is_some_and(|(file, _)| import_file(file).is_none());
        let own = self.read.own_tables.get(&key).or_else(|| table.filter(|_| all_by_hand));
        let mut figures = Vec::new();
        for (field, text, row) in &said.figures {
            if said.torn.contains(field) {
                continue;
            }
            let Some((path, leaf)) = self.reader.targets.fields.get(*field) else { continue };
            let old = table.and_then(|table| value_at(table, path)).map(written);
            match old {
                Some(old) if leaf.same(&old, text) => {}
                Some(old) => {
                    let by_hand = own.is_some_and(|own| value_at(own, path).is_some());
                    if by_hand {
                        // Capitals and blanks in a name are nobody's fact.
                        let only_spelled = matches!(path.as_str(), "name" | "maker")
                            && crate::identity::compact(&old) == crate::identity::compact(text);
                        if !only_spelled {
                            let (file, line) = place.cloned().unwrap_or_default();
                            self.conflicts.push(Conflict {
                                id: said.id.clone(),
                                field: path.clone(),
                                row: *row,
                                says: text.to_string(),
                                other: old,
                                against: Against::Hand { file, line },
                            });
                        }
                    } else {
                        figures.push(FigureChange {
                            field: *field,
                            old: Some(old.into()),
                            new: text.clone(),
                        });
                    }
                }
                None => figures.push(FigureChange { field: *field, old: None, new: text.clone() }),
            }
        }
        let state = match table {
            Some(_) if figures.is_empty() => return None,
            Some(_) => PartState::Changed,
            None => {
                // Nothing of a price list makes a part.
                if said.figures.is_empty() {
                    return None;
                }
                let table = self.table(&said.id, figures.iter().map(|one| (one.field, &*one.new)));
                let mut problems = Problems::of_sketches("", "");
                put::part(said.kind, &table, 0..0, "", &mut problems);
                let mut missing = problems.missing.unwrap_or_default();
                if let Some((_, node)) = table.entries.get("socket")
                    && !self.read.library.sockets.contains_key(&PartId::new(&node.value.scalar()))
                {
                    missing.push(format!("socket \"{}\" in the library", node.value.scalar()));
                }
                if missing.is_empty() { PartState::New } else { PartState::Sketch(missing) }
            }
        };
        figures.sort_by_key(|figure| figure.field);
        let name = if said.name.is_empty() { said.maker.clone() } else { said.name.clone() };
        Some(PartChange { kind: said.kind, id: said.id.clone(), name, row: said.row, state, figures })
    }
}
