//! The comparison behind a preview, row by row.

mod figures;
mod prices;

use std::collections::{BTreeMap, HashMap};

use intake::csv_tree::value_at;
use intake::library::ReadLibrary;
use intake::node::{Node, Value};
use quantity::day::Day;
use upgrade::part::id::{Kind, PartId};

use crate::cell::Cell;
use crate::identity::{Alike, Names, slug};
use crate::mapping::Mapping;
use crate::preview::{Against, Conflict};
use crate::row::{PriceRead, ReadRow, Rejected, RowReader};
use crate::source::Format;

/// A part as the rows say it.
#[derive(Debug)]
pub(super) struct Said {
    pub(super) kind: Kind,
    pub(super) id: PartId,
    pub(super) name: String,
    pub(super) maker: String,
    pub(super) row: u32,
    pub(super) figures: Vec<(usize, Box<str>, u32)>,
    /// Fields of which the rows say different things.
    pub(super) torn: Vec<usize>,
}

/// A comparison under way.
pub(crate) struct Work<'w> {
    pub(super) mapping: &'w Mapping,
    pub(super) reader: &'w RowReader<'w>,
    pub(super) read: &'w ReadLibrary,
    pub(super) today: Day,
    pub(super) format: Format,
    pub(super) names: Names,
    pub(super) same: BTreeMap<&'w str, &'w PartId>,
    pub(super) said: Vec<Said>,
    pub(super) places: HashMap<(Kind, PartId), usize>,
    pub(super) prices: Vec<(PartId, PriceRead, u32)>,
    pub(super) rows: usize,
    pub(super) repeated: usize,
    pub(super) conflicts: Vec<Conflict>,
    pub(super) alike: Vec<(PartId, String, u32, Alike)>,
    pub(super) rejected: Vec<Rejected>,
}

/// How a row was found to be a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Found {
    /// By what a person said, or by its exact name: the library's own name stays.
    ByName,
    /// By its id.
    ById,
}

impl<'w> Work<'w> {
    pub(crate) fn new(
        mapping: &'w Mapping,
        reader: &'w RowReader<'w>,
        read: &'w ReadLibrary,
        today: Day,
        format: Format,
    ) -> Self {
        Self {
            mapping,
            reader,
            read,
            today,
            format,
            names: Names::of(read, mapping.kind),
            same: mapping.same.iter().map(|same| (same.name.as_str(), &same.id)).collect(),
            said: Vec::new(),
            places: HashMap::new(),
            prices: Vec::new(),
            rows: 0,
            repeated: 0,
            conflicts: Vec::new(),
            alike: Vec::new(),
            rejected: Vec::new(),
        }
    }

    pub(super) fn reject_row(&mut self, row: u32, cell: &str, reason: String) {
        let cell = cell.chars().take(40).collect();
        self.rejected.push(Rejected { row, column: 0, heading: String::new(), cell, reason });
    }

    pub(crate) fn row(&mut self, row: u32, cells: &[Cell<'_>], headings: &[String]) {
        // Lists that were put together repeat their headings.
        let repeats_headings = cells.len() == headings.len()
            && cells.iter().zip(headings).all(|(cell, heading)| cell.text() == *heading);
        if repeats_headings {
            return;
        }
        self.rows += 1;
        if cells.len() > headings.len() && cells.iter().skip(headings.len()).any(|cell| !cell.is_empty()) {
            let reason = format!(
                "the row has {} cells, the headings are {}; a cell with the separator in it stands between quotation marks",
                cells.len(),
                headings.len()
            );
            self.reject_row(row, &cells.first().map(Cell::text).unwrap_or_default(), reason);
            return;
        }
        // Spreadsheets leave empty cells at the end out; a text file does not.
        let wanted = headings.iter().rposition(|heading| !heading.is_empty()).map_or(0, |last| last + 1);
        if self.format == Format::Separated && cells.len() < wanted {
            let reason = format!(
                "the row has only {} of {wanted} cells; perhaps the file was cut off here",
                cells.len()
            );
            self.reject_row(row, &cells.first().map(Cell::text).unwrap_or_default(), reason);
            return;
        }
        let mut rejected = Vec::new();
        let read_row = self.reader.read(row, cells, &mut rejected);
        match self.part_of(&read_row) {
            Ok((kind, id, found)) => {
                self.rejected.append(&mut rejected);
                self.take(row, read_row, kind, id, found);
            }
            Err(reason) => {
                let name = if read_row.name.is_empty() {
                    cells.first().map(Cell::text).unwrap_or_default()
                } else {
                    read_row.name
                };
                self.reject_row(row, &name, reason);
            }
        }
    }

    fn part_of(&self, row: &ReadRow) -> Result<(Kind, PartId, Found), String> {
        let known = |id: &PartId| {
            Kind::ALL.into_iter().find(|kind| self.read.tables.contains_key(&(*kind, id.clone())))
        };
        if let Some(id) = self.same.get(row.name.as_str()) {
            return match known(id) {
                Some(kind) => Ok((kind, (*id).clone(), Found::ByName)),
                None => Err(format!("the mapping says it is {id}, which the library does not have")),
            };
        }
        let id = match &row.id {
            Some(id) => Some(slug(id).ok_or("its id has no letter or digit in it")?),
            None if row.name.is_empty() => return Err("it has no name".to_owned()),
            None => None,
        };
        if id.is_none() {
            let exact = self.names.exactly(&row.maker, &row.name);
            match exact[..] {
                [(kind, id)] => return Ok((kind, id.clone(), Found::ByName)),
                [] => {}
                _ => {
                    let ids: Vec<&str> = exact.iter().map(|(_, id)| id.text()).collect();
                    return Err(format!(
                        "its name is that of {}; say which in the mapping, under [[same]]",
                        ids.join(" and ")
                    ));
                }
            }
        }
        let made = match id {
            Some(id) => id,
            None => {
                let maker = crate::identity::compact(&row.maker);
                let name = crate::identity::compact(&row.name);
                let full = if maker.is_empty() || name.starts_with(&maker) {
                    row.name.clone()
                } else {
                    format!("{} {}", row.maker, row.name)
                };
                slug(&full).ok_or("no letter or digit is in its name")?
            }
        };
        let id = PartId::new(&made);
        if row.id.is_none()
            && let Some(name) = self.other_name(&id, row)
        {
            return Err(format!(
                "its name is nearly \"{name}\" and would make the same id, {id}; if it is the same part, say so in the mapping, under [[same]]"
            ));
        }
        match self.mapping.kind {
            Some(kind) => match known(&id) {
                Some(other) if other != kind => Err(format!("{id} is a {} in the library", other.word())),
                _ => Ok((kind, id, Found::ById)),
            },
            None => known(&id).map(|kind| (kind, id, Found::ById)).ok_or_else(|| {
                let near = self.names.nearest(&row.name);
                let near = near.map_or_else(String::new, |id| {
                    format!("; the nearest is {id}: if it is the same, say so in the mapping, under [[same]]")
                });
                format!("the library has no part of this name{near}")
            }),
        }
    }

    /// The name under which the library or an earlier row knows an id that this row's name would make, where it is
    /// written otherwise.
    fn other_name(&self, id: &PartId, row: &ReadRow) -> Option<String> {
        let said = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let ours = [said(&row.name), said(&format!("{} {}", row.maker, row.name))];
        for kind in
            Kind::ALL.into_iter().filter(|kind| self.mapping.kind.is_none_or(|wanted| wanted == *kind))
        {
            let key = (kind, id.clone());
            let (maker, name) = if let Some(place) = self.places.get(&key) {
                let one = self.said.get(*place)?;
                (one.maker.clone(), one.name.clone())
            } else if let Some(table) = self.read.tables.get(&key) {
                let text = |field: &str| value_at(table, field).map(written).unwrap_or_default();
                (text("maker"), text("name"))
            } else {
                continue;
            };
            let theirs = [said(&name), said(&format!("{maker} {name}"))];
            let same = name.is_empty() || ours.iter().any(|ours| theirs.contains(ours));
            return (!same).then_some(name);
        }
        None
    }

    fn take(&mut self, row: u32, read_row: ReadRow, kind: Kind, id: PartId, found: Found) {
        let ReadRow { name, maker, figures, prices, .. } = read_row;
        for price in prices {
            self.prices.push((id.clone(), price, row));
        }
        let (name_field, maker_field) =
            (self.reader.targets.place("name"), self.reader.targets.place("maker"));
        let known = self.read.tables.get(&(kind, id.clone()));
        let mut figures: Vec<(usize, Box<str>, usize)> = figures
            .into_iter()
            .filter(|(field, ..)| {
                // Found by its name, a part keeps the way in which the library writes that.
                let names = Some(*field) == name_field || Some(*field) == maker_field;
                let path = self.reader.targets.fields.get(*field).map_or("", |(path, _)| path.as_str());
                found == Found::ById || !names || known.is_none_or(|table| value_at(table, path).is_none())
            })
            .map(|(field, text, column)| (field, text.into_boxed_str(), column))
            .collect();
        if self.mapping.kind.is_none() {
            // Of parts that the library knows only prices are taken where the kind is not said.
            figures.clear();
        }
        self.judge(row, kind, &id, &mut figures);
        match self.places.get(&(kind, id.clone())) {
            None => {
                if found == Found::ById && !self.read.tables.contains_key(&(kind, id.clone())) {
                    if let Some(alike) = self.names.alike(&id, &maker, &name) {
                        self.alike.push((id.clone(), name.clone(), row, alike));
                    }
                    self.names.add(kind, &id, &maker, &name, &[]);
                }
                self.places.insert((kind, id.clone()), self.said.len());
                let figures = figures.into_iter().map(|(field, text, _)| (field, text, row)).collect();
                self.said.push(Said { kind, id, name, maker, row, figures, torn: Vec::new() });
            }
            Some(place) => {
                let Some(said) = self.said.get_mut(*place) else { return };
                self.repeated += 1;
                for (field, text, _) in figures {
                    let leaf = self.reader.targets.fields.get(field).map(|(_, leaf)| leaf);
                    match said.figures.iter().find(|(other, ..)| *other == field) {
                        None => said.figures.push((field, text, row)),
                        Some((_, old, _)) if leaf.is_some_and(|leaf| leaf.same(old, &text)) => {}
                        // The first row's way to write a name stands.
                        Some(_) if Some(field) == name_field || Some(field) == maker_field => {}
                        Some((_, old, first)) => {
                            self.conflicts.push(Conflict {
                                id: id.clone(),
                                field: self
                                    .reader
                                    .targets
                                    .fields
                                    .get(field)
                                    .map(|(path, _)| path.clone())
                                    .unwrap_or_default(),
                                row,
                                says: text.into(),
                                other: old.to_string(),
                                against: Against::Row(*first),
                            });
                            if !said.torn.contains(&field) {
                                said.torn.push(field);
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A value of a table as a cell writes it.
pub(super) fn written(node: &Node) -> String {
    match &node.value {
        Value::List(list) => {
            let texts: Vec<String> = list.iter().map(|item| item.value.scalar()).collect();
            texts.join("; ")
        }
        Value::Table(table) => {
            table.entries.get("value").map(|(_, node)| node.value.scalar()).unwrap_or_default()
        }
        other => other.scalar(),
    }
}
