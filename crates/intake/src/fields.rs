//! Taking fields out of a table, each with its place, its range and its words; or describing them.
//!
//! A function that takes `&mut Fields` serves twice: over a table it reads, and over nothing it
//! writes the JSON Schema of what it would read.

use core::ops::Range;
use std::collections::BTreeSet;

use quantity::dimension::Dimension;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::money::Money;
use quantity::reading::{Figure, Origin, Reading};
use serde_json::{Map, json};

use crate::leaf::{FigureLeaf, Leaf};
use crate::node::{Node, Table, Value};
use crate::problem::{Problems, Severity};
use crate::range::Span;
use upgrade::part::id::PartId;

/// A table whose fields are taken one by one.
pub struct Fields<'f, 's> {
    mode: Mode<'f>,
    problems: &'f mut Problems<'s>,
    path: String,
    origin: Origin,
}

enum Mode<'f> {
    Read { table: &'f Table, span: Range<usize>, used: BTreeSet<&'static str> },
    Describe(&'f mut Description),
}

/// What a kind of table may hold.
#[derive(Debug, Default)]
pub struct Description {
    properties: Map<String, serde_json::Value>,
    required: Vec<String>,
    leaves: Vec<(String, Leaf)>,
}

impl Description {
    /// As a JSON Schema of an object.
    pub fn schema(mut self) -> serde_json::Value {
        let words: Vec<&str> = ORIGINS.iter().map(|(word, _)| *word).collect();
        let origin = json!({ "enum": words, "description": "where all that this table holds comes from" });
        self.properties.entry("origin").or_insert(origin);
        json!({
            "type": "object",
            "properties": self.properties,
            "required": self.required,
            "additionalProperties": false,
        })
    }

    /// Names of all fields.
    pub fn names(&self) -> Vec<&str> {
        self.properties.keys().map(String::as_str).collect()
    }

    /// Every field that one cell can hold, by its path: `fans.noise`; the first of a list is `cores[1].count`.
    pub fn leaves(&self) -> &[(String, Leaf)] {
        &self.leaves
    }

    fn inner(&mut self, step: &str, inner: Self) {
        self.leaves.extend(inner.leaves.into_iter().map(|(path, leaf)| (format!("{step}.{path}"), leaf)));
    }
}

/// The origin that a table states for all it holds; none for a single reading with its value.
pub fn own_origin(table: &Table) -> Option<Origin> {
    if table.entries.contains_key("value") {
        return None;
    }
    match table.entries.get("origin").map(|(_, node)| &node.value) {
        Some(Value::Text(word)) => ORIGINS.iter().find(|(known, _)| known == word).map(|(_, origin)| *origin),
        _ => None,
    }
}

/// How alike a mistyped field must be for its right name to be offered.
const ALIKE: f64 = 0.8;

impl<'f, 's> Fields<'f, 's> {
    /// Reads a table.
    pub fn read(
        table: &'f Table,
        span: Range<usize>,
        path: &str,
        origin: Origin,
        problems: &'f mut Problems<'s>,
    ) -> Self {
        let mut used = BTreeSet::new();
        let mut origin = origin;
        // A table may say where all it holds comes from.
        if let Some(own) = own_origin(table) {
            used.insert("origin");
            origin = own;
        }
        Self { mode: Mode::Read { table, span, used }, problems, path: path.to_owned(), origin }
    }

    /// Describes a table.
    pub fn describe(description: &'f mut Description, problems: &'f mut Problems<'s>) -> Self {
        Self { mode: Mode::Describe(description), problems, path: String::new(), origin: Origin::Sheet }
    }

    /// Place of the whole table.
    pub fn span(&self) -> Range<usize> {
        match &self.mode {
            Mode::Read { span, .. } => span.clone(),
            Mode::Describe(_) => 0..0,
        }
    }

    /// Whether a table is read, not described.
    pub const fn is_reading(&self) -> bool {
        matches!(self.mode, Mode::Read { .. })
    }

    fn note(&mut self, name: &'static str, schema: impl FnOnce() -> serde_json::Value) {
        if let Mode::Describe(description) = &mut self.mode {
            description.properties.insert(name.to_owned(), schema());
        }
    }

    fn leaf(&mut self, name: &'static str, leaf: impl FnOnce() -> Leaf) {
        if let Mode::Describe(description) = &mut self.mode {
            description.leaves.push((name.to_owned(), leaf()));
        }
    }

    fn field(&self, name: &str) -> String {
        if self.path.is_empty() { name.to_owned() } else { format!("{}.{name}", self.path) }
    }

    /// The node of a field, marked as used.
    fn node(&mut self, name: &'static str) -> Option<&'f Node> {
        match &mut self.mode {
            Mode::Read { table, used, .. } => {
                used.insert(name);
                table.entries.get(name).map(|(_, node)| node)
            }
            Mode::Describe(_) => None,
        }
    }

    /// Adds an error about a field.
    pub fn error(&mut self, span: Range<usize>, name: &str, message: String, help: Option<String>) {
        let field = self.field(name);
        self.problems.error(span, &field, message, help);
    }

    fn wrong(&mut self, node: &Node, name: &'static str, expected: &str) {
        let message = format!("{name} is {}, expected {expected}", node.value.kind());
        self.error(node.span.clone(), name, message, None);
    }

    /// Reports that a field must be there.
    pub fn require(&mut self, name: &'static str, is_there: bool, example: &str) {
        match &mut self.mode {
            Mode::Describe(description) => description.required.push(name.to_owned()),
            Mode::Read { table, .. } => {
                if !is_there && !table.entries.contains_key(name) {
                    let field = self.field(name);
                    if let Some(missing) = &mut self.problems.missing {
                        missing.push(field);
                        return;
                    }
                    let Mode::Read { span, .. } = &self.mode else { return };
                    // The table's first line is enough to point at; a whole table is no place.
                    let span = span.start..span.start;
                    let message = format!("{name} is missing");
                    self.error(span, name, message, Some(format!("add  {name} = {example}")));
                }
            }
        }
    }

    /// Reports fields that nothing asked for.
    pub fn finish(self) {
        let Mode::Read { table, used, .. } = &self.mode else { return };
        for (name, (span, _)) in &table.entries {
            if used.contains(name.as_str()) {
                continue;
            }
            let alike = used
                .iter()
                .map(|known| (strsim::jaro_winkler(known, name), known))
                .filter(|(score, _)| *score >= ALIKE)
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let help = match alike {
                Some((_, known)) => format!("did you mean {known}?"),
                None => {
                    let known: Vec<&str> = used.iter().copied().collect();
                    format!("known here: {}", known.join(", "))
                }
            };
            let field = self.field(name);
            self.problems.error(span.clone(), &field, format!("there is no field {name} here"), Some(help));
        }
    }

    /// A plain text.
    pub fn text(&mut self, name: &'static str) -> Option<String> {
        self.leaf(name, || Leaf::Text);
        self.note(name, || json!({ "type": "string" }));
        let node = self.node(name)?;
        match &node.value {
            Value::Text(text) | Value::Cell(text) | Value::Moment(text) => Some(text.clone()),
            _ => {
                self.wrong(node, name, "a text in quotes");
                None
            }
        }
    }

    /// A text that must be there.
    pub fn required_text(&mut self, name: &'static str) -> Option<String> {
        let text = self.text(name).filter(|text| !text.trim().is_empty());
        self.require(name, text.is_some(), "\"...\"");
        text
    }

    /// An id: words of small letters and digits joined by `-` or `.`.
    pub fn id(&mut self, name: &'static str) -> Option<PartId> {
        self.leaf(name, || Leaf::Id);
        self.note(name, || json!({ "type": "string", "pattern": "^[a-z0-9][a-z0-9.-]*$" }));
        let node = self.node(name)?;
        let (Value::Text(text) | Value::Cell(text)) = &node.value else {
            self.wrong(node, name, "an id in quotes");
            return None;
        };
        self.id_of(text, &node.span, name)
    }

    fn id_of(&mut self, text: &str, span: &Range<usize>, name: &'static str) -> Option<PartId> {
        let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '.';
        if text.is_empty() || text.len() > 80 || !text.chars().all(good) || text.starts_with(['-', '.']) {
            let shown: String = text.chars().take(40).collect();
            let message = format!("\"{shown}\" is no id");
            let help = "an id has small letters, digits and - only, as in \"orrin-tern-6\"";
            self.error(span.clone(), name, message, Some(help.to_owned()));
            return None;
        }
        Some(PartId::new(text))
    }

    /// An id that must be there.
    pub fn required_id(&mut self, name: &'static str) -> Option<PartId> {
        let id = self.id(name);
        self.require(name, id.is_some(), "\"an-id\"");
        id
    }

    /// The value and origin of a reading: the value alone, or `{ value = ..., origin = "measured" }`.
    fn reading(&mut self, name: &'static str) -> Option<(&'f Node, Origin)> {
        let node = self.node(name)?;
        let Value::Table(table) = &node.value else {
            return Some((node, node.origin.unwrap_or(self.origin)));
        };
        let mut origin = node.origin.unwrap_or(self.origin);
        if let Some((_, named)) = table.entries.get("origin") {
            let found = match &named.value {
                Value::Text(word) => {
                    ORIGINS.iter().find(|(known, _)| known == word).map(|(_, origin)| *origin)
                }
                _ => None,
            };
            match found {
                Some(found) => origin = found,
                None => {
                    let known: Vec<&str> = ORIGINS.iter().map(|(word, _)| *word).collect();
                    let message = format!("this origin is not known: it is one of {}", known.join(", "));
                    self.error(named.span.clone(), name, message, None);
                }
            }
        }
        match table.entries.get("value") {
            Some((_, value)) => Some((value, origin)),
            None => {
                let help = "write  { value = \"95 W\", origin = \"measured\" }";
                self.error(node.span.clone(), name, format!("{name} has no value"), Some(help.to_owned()));
                None
            }
        }
    }

    /// A physical figure within a range.
    pub fn figure<D: Dimension>(&mut self, name: &'static str, range: Span) -> Figure<D> {
        self.leaf(name, || Leaf::Figure(FigureLeaf::of::<D>()));
        self.note(name, || reading_schema(&json!({ "type": "string", "description": describe::<D>(range) })));
        let Some((node, origin)) = self.reading(name) else { return Reading::Unknown };
        let text = match &node.value {
            Value::Text(text) | Value::Cell(text) => text,
            Value::Whole(_) | Value::Number(_) => {
                let message = format!("{name} is a number without a unit");
                self.error(node.span.clone(), name, message, Some(format!("write it as \"{}\"", D::EXAMPLE)));
                return Reading::Unknown;
            }
            _ => {
                self.wrong(node, name, &format!("a {} as \"{}\"", D::NAME, D::EXAMPLE));
                return Reading::Unknown;
            }
        };
        match text.parse::<Interval<D>>() {
            Ok(interval) if range.holds(interval.low().si()) && range.holds(interval.high().si()) => {
                Reading::Known(interval, origin)
            }
            Ok(_) => {
                let shown: String = text.chars().take(40).collect();
                let message = format!("{name} is \"{shown}\", expected {}", describe::<D>(range));
                self.error(node.span.clone(), name, message, None);
                Reading::Unknown
            }
            Err(error) => {
                self.error(node.span.clone(), name, error.to_string(), None);
                Reading::Unknown
            }
        }
    }

    /// A whole number within a range.
    pub fn count(&mut self, name: &'static str, low: u32, high: u32) -> Reading<u32> {
        self.leaf(name, || Leaf::Count);
        self.note(name, || reading_schema(&json!({ "type": "integer", "minimum": low, "maximum": high })));
        let Some((node, origin)) = self.reading(name) else { return Reading::Unknown };
        let number = match &node.value {
            Value::Whole(number) => Some(*number),
            Value::Text(text) | Value::Cell(text) => text.trim().parse().ok(),
            _ => None,
        };
        match number
            .and_then(|number| u32::try_from(number).ok())
            .filter(|number| (low..=high).contains(number))
        {
            Some(number) => Reading::Known(number, origin),
            None => {
                let message = format!("{name} is not a whole number from {low} to {high}");
                self.error(node.span.clone(), name, message, None);
                Reading::Unknown
            }
        }
    }

    /// One of some words.
    pub fn word<T: Copy>(&mut self, name: &'static str, words: &[(&'static str, T)]) -> Reading<T> {
        self.leaf(name, || Leaf::Words(words.iter().map(|(word, _)| *word).collect()));
        self.note(name, || {
            let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            reading_schema(&json!({ "enum": known }))
        });
        let Some((node, origin)) = self.reading(name) else { return Reading::Unknown };
        let (Value::Text(text) | Value::Cell(text)) = &node.value else {
            self.wrong(node, name, "a word in quotes");
            return Reading::Unknown;
        };
        match words.iter().find(|(word, _)| word == text) {
            Some((_, value)) => Reading::Known(*value, origin),
            None => {
                self.no_such_word(text, &node.span, name, words);
                Reading::Unknown
            }
        }
    }

    fn no_such_word<T>(
        &mut self,
        text: &str,
        span: &Range<usize>,
        name: &'static str,
        words: &[(&'static str, T)],
    ) {
        let known: Vec<String> = words.iter().map(|(word, _)| format!("\"{word}\"")).collect();
        let shown: String = text.chars().take(40).collect();
        let message = format!("{name} is \"{shown}\", expected one of {}", known.join(", "));
        self.error(span.clone(), name, message, None);
    }

    /// A plain yes or no.
    pub fn truth(&mut self, name: &'static str) -> Option<bool> {
        self.note(name, || json!({ "type": "boolean" }));
        let node = self.node(name)?;
        match &node.value {
            Value::Truth(truth) => Some(*truth),
            _ => {
                self.wrong(node, name, "true or false");
                None
            }
        }
    }

    /// An amount of money that is not negative.
    pub fn money(&mut self, name: &'static str) -> Option<Money> {
        self.leaf(name, || Leaf::Money);
        self.note(name, || json!({ "type": "string", "description": "an amount as \"349.00 EUR\"" }));
        let node = self.node(name)?;
        let (Value::Text(text) | Value::Cell(text)) = &node.value else {
            let message = format!("{name} is {}, expected an amount with its currency", node.value.kind());
            self.error(node.span.clone(), name, message, Some("write it as \"349.00 EUR\"".to_owned()));
            return None;
        };
        match text.parse::<Money>() {
            Ok(money) if money.minor() >= 0 => Some(money),
            Ok(_) => {
                self.error(node.span.clone(), name, format!("{name} is below zero"), None);
                None
            }
            Err(error) => {
                self.error(node.span.clone(), name, error.to_string(), None);
                None
            }
        }
    }

    /// The texts of a list, each with its place.
    fn list(&mut self, name: &'static str) -> Vec<(String, Range<usize>)> {
        let Some(node) = self.node(name) else { return Vec::new() };
        let mut out = Vec::new();
        match &node.value {
            Value::Cell(text) => {
                for one in text.split(';').map(str::trim).filter(|one| !one.is_empty()) {
                    out.push((one.to_owned(), node.span.clone()));
                }
            }
            Value::List(list) => {
                for item in list {
                    match &item.value {
                        Value::Text(text) => out.push((text.clone(), item.span.clone())),
                        _ => self.wrong(item, name, "a list of texts"),
                    }
                }
            }
            _ => self.wrong(node, name, "a list as [\"...\", \"...\"]"),
        }
        out
    }

    /// A list of texts.
    pub fn texts(&mut self, name: &'static str) -> Vec<String> {
        self.leaf(name, || Leaf::Texts);
        self.note(name, || json!({ "type": "array", "items": { "type": "string" } }));
        self.list(name).into_iter().map(|(text, _)| text).collect()
    }

    /// A list of ids.
    pub fn ids(&mut self, name: &'static str) -> Vec<PartId> {
        self.leaf(name, || Leaf::Ids);
        self.note(name, || json!({ "type": "array", "items": { "type": "string" } }));
        let list = self.list(name);
        list.into_iter().filter_map(|(text, span)| self.id_of(&text, &span, name)).collect()
    }

    /// A list of words.
    pub fn words<T: Copy>(&mut self, name: &'static str, words: &[(&'static str, T)]) -> Vec<T> {
        self.leaf(name, || Leaf::WordList(words.iter().map(|(word, _)| *word).collect()));
        self.note(name, || {
            let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            json!({ "type": "array", "items": { "enum": known } })
        });
        let mut out = Vec::new();
        for (text, span) in self.list(name) {
            match words.iter().find(|(word, _)| *word == text) {
                Some((_, value)) => out.push(*value),
                None => self.no_such_word(&text, &span, name, words),
            }
        }
        out
    }

    /// Words in a list, known where the field is there at all: an empty list says "none".
    pub fn word_list<T: Copy>(&mut self, name: &'static str, words: &[(&'static str, T)]) -> Reading<Vec<T>> {
        let own = match &self.mode {
            Mode::Read { table, .. } => {
                table.entries.get(name).map(|(_, node)| node.origin.unwrap_or(self.origin))
            }
            Mode::Describe(_) => None,
        };
        let list = self.words(name, words);
        own.map_or(Reading::Unknown, |origin| Reading::Known(list, origin))
    }

    /// A list of exact quantities within a range.
    pub fn quantities<D: Dimension>(&mut self, name: &'static str, range: Span) -> Vec<Quantity<D>> {
        self.leaf(name, || Leaf::Figures(FigureLeaf::of::<D>()));
        self.note(
            name,
            || json!({ "type": "array", "items": { "type": "string", "description": describe::<D>(range) } }),
        );
        let mut out = Vec::new();
        for (text, span) in self.list(name) {
            match text.parse::<Quantity<D>>() {
                Ok(quantity) if range.holds(quantity.si()) => out.push(quantity),
                Ok(_) => {
                    self.error(span, name, format!("\"{text}\", expected {}", describe::<D>(range)), None);
                }
                Err(error) => self.error(span, name, error.to_string(), None),
            }
        }
        out
    }

    /// A nested table. Called also when describing; `None` where the table is not there.
    pub fn table<R>(&mut self, name: &'static str, take: impl FnOnce(&mut Fields<'_, 's>) -> R) -> Option<R> {
        if let Mode::Describe(description) = &mut self.mode {
            let mut inner = Description::default();
            let mut fields = Fields::describe(&mut inner, self.problems);
            let taken = take(&mut fields);
            let leaves = core::mem::take(&mut inner.leaves);
            description.inner(name, Description { leaves, ..Description::default() });
            description.properties.insert(name.to_owned(), inner.schema());
            return Some(taken);
        }
        let node = self.node(name)?;
        let Value::Table(table) = &node.value else {
            self.wrong(node, name, "a table");
            return None;
        };
        let path = self.field(name);
        let mut fields = Fields::read(table, node.span.clone(), &path, self.origin, self.problems);
        let taken = take(&mut fields);
        fields.finish();
        Some(taken)
    }

    /// A list of tables.
    pub fn tables<R>(
        &mut self,
        name: &'static str,
        mut take: impl FnMut(&mut Fields<'_, 's>) -> R,
    ) -> Vec<R> {
        if let Mode::Describe(description) = &mut self.mode {
            let mut inner = Description::default();
            let mut fields = Fields::describe(&mut inner, self.problems);
            let taken = take(&mut fields);
            let leaves = core::mem::take(&mut inner.leaves);
            description.inner(&format!("{name}[1]"), Description { leaves, ..Description::default() });
            description
                .properties
                .insert(name.to_owned(), json!({ "type": "array", "items": inner.schema() }));
            return vec![taken];
        }
        let Some(node) = self.node(name) else { return Vec::new() };
        let Value::List(list) = &node.value else {
            self.wrong(node, name, "a list of tables");
            return Vec::new();
        };
        let mut out = Vec::new();
        for (idx, item) in list.iter().enumerate() {
            let Value::Table(table) = &item.value else {
                self.wrong(item, name, "a list of tables");
                continue;
            };
            let path = format!("{}[{}]", self.field(name), idx + 1);
            let mut fields = Fields::read(table, item.span.clone(), &path, self.origin, self.problems);
            out.push(take(&mut fields));
            fields.finish();
        }
        out
    }

    /// The whole table of a nested field, unread; for fields that are merged later.
    pub fn raw_table(&mut self, name: &'static str) -> Option<&'f Table> {
        self.note(name, || json!({ "type": "object" }));
        let node = self.node(name)?;
        match &node.value {
            Value::Table(table) => Some(table),
            _ => {
                self.wrong(node, name, "a table");
                None
            }
        }
    }

    /// Reads a table that comes from elsewhere, as if it stood here.
    pub fn nested<R>(
        &mut self,
        table: &Table,
        origin: Origin,
        read: impl FnOnce(&mut Fields<'_, 's>) -> R,
    ) -> R {
        let span = self.span();
        let mut fields = Fields::read(table, span, &self.path, origin, self.problems);
        let taken = read(&mut fields);
        fields.finish();
        taken
    }

    /// Adds a warning about the table.
    pub fn warn(&mut self, name: &str, message: String) {
        let span = self.span();
        let field = self.field(name);
        self.problems.add(span.start..span.start, &field, Severity::Warning, message, None);
    }
}

/// The words of origins in files.
const ORIGINS: [(&str, Origin); 5] = [
    ("hand", Origin::Hand),
    ("measured", Origin::Measured),
    ("firmware", Origin::Firmware),
    ("sheet", Origin::Sheet),
    ("estimated", Origin::Estimated),
];

/// The word of an origin in files.
pub fn origin_word(origin: Origin) -> &'static str {
    ORIGINS.iter().find(|(_, known)| *known == origin).map_or("sheet", |(word, _)| word)
}

fn describe<D: Dimension>(range: Span) -> String {
    let ends = (Quantity::<D>::from_si(range.low), Quantity::<D>::from_si(range.high));
    format!("a {} from {} to {}, as \"{}\"", D::NAME, ends.0.rounded(4), ends.1.rounded(4), D::EXAMPLE)
}

fn reading_schema(value: &serde_json::Value) -> serde_json::Value {
    let origins: Vec<&str> = ORIGINS.iter().map(|(word, _)| *word).collect();
    json!({ "anyOf": [
        value,
        {
            "type": "object",
            "properties": { "value": value, "origin": { "enum": origins } },
            "required": ["value"],
            "additionalProperties": false,
        },
    ]})
}
