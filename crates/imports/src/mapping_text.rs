//! A mapping as a TOML text, and back.

use intake::fields::{Description, Fields};
use intake::library::text_of;
use intake::node::Value as Cell;
use intake::problem::{Problem, Problems, SourceFile};
use intake::schema::described;
use intake::toml_tree;
use quantity::day::Day;
use quantity::money::Currency;
use quantity::reading::Origin;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, value};
use upgrade::part::id::Kind;

use crate::mapping::{Column, Constant, Mapping, Same};
use crate::number::Decimals;

const DECIMALS: [(&str, Decimals); 2] = [("point", Decimals::Point), ("comma", Decimals::Comma)];

fn kinds() -> Vec<(&'static str, Kind)> {
    Kind::ALL.iter().map(|kind| (kind.word(), *kind)).collect()
}

/// A text that must say something else than itself; told where it does not.
fn parsed<T>(
    fields: &mut Fields<'_, '_>,
    name: &'static str,
    expected: &str,
    parse: impl Fn(&str) -> Option<T>,
) -> Option<T> {
    let text = fields.text(name)?;
    let found = parse(&text);
    if found.is_none() {
        let span = fields.span();
        let shown: String = text.chars().take(40).collect();
        fields.error(
            span.start..span.start,
            name,
            format!("{name} is \"{shown}\", expected {expected}"),
            None,
        );
    }
    found
}

fn column(fields: &mut Fields<'_, '_>) -> Option<Column> {
    let heading = fields.required_text("heading");
    let field = fields.required_text("field");
    let unit = fields.text("unit");
    let unit_heading = fields.text("unit_heading");
    let words = fields.raw_table("words").map(|table| {
        table.entries.iter().map(|(word, (_, node))| (word.clone(), node.value.scalar())).collect()
    });
    Some(Column { heading: heading?, field: field?, unit, unit_heading, words: words.unwrap_or_default() })
}

fn constant(fields: &mut Fields<'_, '_>) -> Option<Constant> {
    let field = fields.required_text("field");
    let value = fields.required_text("value");
    Some(Constant { field: field?, value: value? })
}

fn same(fields: &mut Fields<'_, '_>) -> Option<Same> {
    let name = fields.required_text("name");
    let id = fields.required_id("id");
    Some(Same { name: name?, id: id? })
}

fn mapping(fields: &mut Fields<'_, '_>) -> Mapping {
    Mapping {
        kind: fields.word("kind", &kinds()).get(),
        separator: parsed(fields, "separator", "one character, such as \";\" or \"\\t\"", |text| {
            let mut chars = text.chars();
            chars.next().filter(|c| c.is_ascii() && chars.next().is_none())
        }),
        encoding: fields.text("encoding"),
        decimals: fields.word("decimals", &DECIMALS).get(),
        heading_row: fields.count("heading_row", 1, 1_000).get(),
        sheet: fields.text("sheet"),
        day: parsed(fields, "day", "a day as \"2026-11-20\"", |text| text.parse::<Day>().ok()),
        shop: fields.text("shop"),
        currency: parsed(fields, "currency", "a three-letter code of ISO 4217", Currency::from_code),
        columns: fields.tables("column", column).into_iter().flatten().collect(),
        constants: fields.tables("constant", constant).into_iter().flatten().collect(),
        same: fields.tables("same", same).into_iter().flatten().collect(),
    }
}

/// What a mapping file may hold.
pub fn description() -> Description {
    described(mapping)
}

/// Reads a mapping file.
pub fn read(file: &SourceFile) -> (Mapping, Vec<Problem>) {
    let text = match text_of(file) {
        Ok(text) => text,
        Err(problem) => return (Mapping::default(), vec![*problem]),
    };
    let mut problems = Problems::new(&file.name, text);
    let tree = toml_tree::parse(text, &mut problems);
    let mut fields = Fields::read(&tree, 0..text.len(), "", Origin::Sheet, &mut problems);
    let taken = mapping(&mut fields);
    fields.finish();
    for (_, node) in tree.entries.values() {
        if let Cell::List(list) = &node.value
            && list.len() > crate::limits::MOST_COLUMNS
        {
            problems.error(node.span.clone(), "", "there are too many columns".to_owned(), None);
        }
    }
    (taken, problems.found)
}

/// The mapping as a file; reading it gives the same mapping.
pub fn write(mapping: &Mapping) -> String {
    let mut document = DocumentMut::new();
    let mut put = |name: &str, text: Option<String>| {
        if let Some(text) = text {
            document[name] = value(text);
        }
    };
    put("kind", mapping.kind.map(|kind| kind.word().to_owned()));
    put("separator", mapping.separator.map(String::from));
    put("encoding", mapping.encoding.clone());
    put("decimals", mapping.decimals.map(|decimals| decimals.word().to_owned()));
    if let Some(row) = mapping.heading_row {
        document["heading_row"] = value(i64::from(row));
    }
    let mut put = |name: &str, text: Option<String>| {
        if let Some(text) = text {
            document[name] = value(text);
        }
    };
    put("sheet", mapping.sheet.clone());
    put("day", mapping.day.map(|day| day.to_string()));
    put("shop", mapping.shop.clone());
    put("currency", mapping.currency.map(|currency| currency.code().to_owned()));
    let mut list = |name: &str, tables: Vec<Table>| {
        if !tables.is_empty() {
            let mut array = ArrayOfTables::new();
            tables.into_iter().for_each(|table| array.push(table));
            document[name] = Item::ArrayOfTables(array);
        }
    };
    let table = |pairs: &[(&str, Option<&str>)]| {
        let mut table = Table::new();
        for (name, text) in pairs {
            if let Some(text) = text {
                table[*name] = value(*text);
            }
        }
        table
    };
    let columns = mapping.columns.iter().map(|column| {
        let mut one = table(&[
            ("heading", Some(&column.heading)),
            ("field", Some(&column.field)),
            ("unit", column.unit.as_deref()),
            ("unit_heading", column.unit_heading.as_deref()),
        ]);
        if !column.words.is_empty() {
            let mut words = toml_edit::InlineTable::new();
            for (word, meaning) in &column.words {
                words.insert(word, meaning.as_str().into());
            }
            one["words"] = value(words);
        }
        one
    });
    list("column", columns.collect());
    let constants = mapping
        .constants
        .iter()
        .map(|one| table(&[("field", Some(&one.field)), ("value", Some(&one.value))]));
    list("constant", constants.collect());
    let same =
        mapping.same.iter().map(|one| table(&[("name", Some(&one.name)), ("id", Some(one.id.text()))]));
    list("same", same.collect());
    document.to_string()
}

#[cfg(test)]
mod tests {
    use super::{read, write};
    use crate::mapping::{Column, Constant, Mapping, Same};
    use crate::number::Decimals;
    use intake::problem::SourceFile;
    use proptest::prelude::*;
    use quantity::money::Currency;
    use upgrade::part::id::{Kind, PartId};

    fn back(text: &str) -> (Mapping, usize) {
        let file = SourceFile { name: "mapping.toml".to_owned(), bytes: text.as_bytes().to_vec() };
        let (mapping, problems) = read(&file);
        (mapping, problems.len())
    }

    fn words() -> impl Strategy<Value = String> {
        "[^\\x00]{1,20}".prop_filter("a text says something", |text| !text.trim().is_empty())
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(
            heading in words(), unit in proptest::option::of(words()), shop in proptest::option::of(words()),
            pairs in proptest::collection::btree_map(words(), words(), 0..3), row in proptest::option::of(1_u32..1000),
        ) {
            let mapping = Mapping {
                kind: Some(Kind::Supply),
                separator: Some('\t'),
                decimals: Some(Decimals::Comma),
                heading_row: row,
                shop,
                day: "2026-11-20".parse().ok(),
                currency: Some(Currency::EUR),
                columns: vec![Column {
                    heading: heading.clone(), field: "rated_power".to_owned(), unit, unit_heading: None, words: pairs,
                }],
                constants: vec![Constant { field: "maker".to_owned(), value: heading.clone() }],
                same: vec![Same { name: heading, id: PartId::new("kiln-450") }],
                ..Mapping::default()
            };
            prop_assert_eq!(back(&write(&mapping)), (mapping, 0));
        }

        #[test]
        fn any_bytes_are_survived(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            let _ = read(&SourceFile { name: "m.toml".to_owned(), bytes });
        }
    }

    #[test]
    fn what_is_wrong_is_told() {
        for text in [
            "kind = \"wheel\"",
            "separator = \"ab\"",
            "day = \"2026-02-31\"",
            "currency = \"XYZW\"",
            "colunm = 1",
        ] {
            assert!(back(text).1 > 0, "{text}");
        }
    }
}
