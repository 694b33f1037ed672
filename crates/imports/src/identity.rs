//! Which part a row is: ids made from names, and names that are nearly another's.

use std::collections::BTreeMap;

use intake::library::ReadLibrary;
use intake::node::Value;
use upgrade::part::id::{Kind, PartId};

/// Longest id.
const LONGEST_ID: usize = 80;

/// Signs that makers put behind names.
const SIGNS: [&str; 6] = ["(R)", "(r)", "(TM)", "(tm)", "®", "™"];

/// A text without signs behind names.
fn unsigned(text: &str) -> String {
    SIGNS.iter().fold(text.to_owned(), |text, sign| text.replace(sign, " "))
}

/// The id that a name makes: small letters and digits, `-` between words; none where nothing is left.
///
/// # Example
/// ```
/// use imports::identity::slug;
/// assert_eq!(slug("Tern 2 Rush (open)").as_deref(), Some("tern-2-rush-open"));
/// assert_eq!(slug("—"), None);
/// ```
pub fn slug(name: &str) -> Option<String> {
    let mut out = String::new();
    for c in unsigned(name).chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
        if out.len() >= LONGEST_ID {
            break;
        }
    }
    let out = out.trim_end_matches('-').to_owned();
    (!out.is_empty()).then_some(out)
}

/// Small letters and digits of a text alone.
pub fn compact(text: &str) -> String {
    unsigned(text).chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Words of a text that hold a digit, in their order: what tells one model from its neighbour.
fn numbers(text: &str) -> String {
    let text = unsigned(text).to_lowercase();
    let words =
        text.split(|c: char| !c.is_alphanumeric()).filter(|word| word.bytes().any(|b| b.is_ascii_digit()));
    words.collect::<Vec<_>>().join(" ")
}

/// How alike two names must be to be told as perhaps the same part.
///
/// # Source
/// common practice, no source.
pub const ALIKE: f64 = 0.88;
/// Most names with the same numbers that a name is compared with.
const MOST_COMPARED: usize = 200;

/// A name that is nearly another's.
#[derive(Debug, Clone, PartialEq)]
pub struct Alike {
    /// Kind of the other.
    pub kind: Kind,
    /// Id of the other.
    pub id: PartId,
    /// Its name.
    pub name: String,
    /// One where letters and digits are the same; normalised Damerau-Levenshtein otherwise.
    pub score: f64,
}

#[derive(Debug)]
struct Named {
    kind: Kind,
    id: PartId,
    name: String,
    compact: String,
}

/// The names of a library and of the rows seen so far.
#[derive(Debug, Default)]
pub struct Names {
    all: Vec<Named>,
    exact: BTreeMap<String, Vec<usize>>,
    by_numbers: BTreeMap<String, Vec<usize>>,
}

/// A name as people compare it: one blank between words, small letters.
fn said(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

impl Names {
    /// Of the parts and sketches of a library, of one kind or of all.
    pub fn of(read: &ReadLibrary, kind: Option<Kind>) -> Self {
        let mut names = Self::default();
        for ((of, id), table) in &read.tables {
            if kind.is_some_and(|kind| kind != *of) {
                continue;
            }
            let text = |field: &str| {
                table.entries.get(field).map(|(_, node)| node.value.scalar()).unwrap_or_default()
            };
            let (maker, name) = (text("maker"), text("name"));
            let mut others: Vec<String> = Vec::new();
            if let Some((_, node)) = table.entries.get("reported") {
                match &node.value {
                    Value::List(list) => others.extend(list.iter().map(|item| item.value.scalar())),
                    other => others.extend(other.scalar().split(';').map(|one| one.trim().to_owned())),
                }
            }
            names.add(*of, id, &maker, &name, &others);
        }
        names
    }

    /// Adds a part.
    pub fn add(&mut self, kind: Kind, id: &PartId, maker: &str, name: &str, others: &[String]) {
        if name.is_empty() {
            return;
        }
        let place = self.all.len();
        self.all.push(Named { kind, id: id.clone(), name: name.to_owned(), compact: compact(name) });
        let full = format!("{maker} {name}");
        for one in [name, full.trim()].into_iter().chain(others.iter().map(String::as_str)) {
            let places = self.exact.entry(said(one)).or_default();
            if !one.is_empty() && !places.contains(&place) {
                places.push(place);
            }
        }
        self.by_numbers.entry(numbers(name)).or_default().push(place);
    }

    /// The parts of exactly this name, with or without their maker before it.
    pub fn exactly(&self, maker: &str, name: &str) -> Vec<(Kind, &PartId)> {
        let places =
            self.exact.get(&said(name)).or_else(|| self.exact.get(&said(&format!("{maker} {name}"))));
        let mut found: Vec<(Kind, &PartId)> = places
            .into_iter()
            .flatten()
            .filter_map(|place| self.all.get(*place))
            .map(|named| (named.kind, &named.id))
            .collect();
        found.dedup();
        found
    }

    /// The name most like this one among those with the same numbers in them, another part's than `id`.
    pub fn alike(&self, id: &PartId, maker: &str, name: &str) -> Option<Alike> {
        let wanted = compact(name);
        let bare = wanted.strip_prefix(&compact(maker)).unwrap_or(&wanted);
        let places = self.by_numbers.get(&numbers(name))?;
        places
            .iter()
            .take(MOST_COMPARED)
            .filter_map(|place| self.all.get(*place))
            .filter(|named| named.id != *id && !bare.is_empty())
            .map(|named| {
                let score = [wanted.as_str(), bare]
                    .iter()
                    .map(|text| strsim::normalized_damerau_levenshtein(text, &named.compact))
                    .fold(0.0, f64::max);
                (score, named)
            })
            .filter(|(score, _)| *score >= ALIKE)
            .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.id.cmp(&a.1.id)))
            .map(|(score, named)| Alike {
                kind: named.kind,
                id: named.id.clone(),
                name: named.name.clone(),
                score,
            })
    }

    /// The name most like this one, whatever its numbers; for the message that there is none.
    pub fn nearest(&self, name: &str) -> Option<&PartId> {
        let wanted = compact(name);
        self.all
            .iter()
            .map(|named| (strsim::jaro_winkler(&wanted, &named.compact), named))
            .filter(|(score, _)| *score >= 0.7)
            .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.id.cmp(&a.1.id)))
            .map(|(_, named)| &named.id)
    }
}

#[cfg(test)]
mod tests {
    use super::{Names, slug};
    use upgrade::part::id::{Kind, PartId};

    #[test]
    fn names_that_differ_in_signs_are_alike_and_those_of_neighbours_are_not() {
        let mut names = Names::default();
        names.add(Kind::Processor, &PartId::new("tern-2-rush-open"), "Orrin", "Tern 2 Rush open", &[]);
        let alike = |name: &str| names.alike(&PartId::new("x"), "Orrin", name).map(|alike| alike.score);
        assert_eq!(alike("Tern-2 Rush (open)"), Some(1.0));
        assert_eq!(alike("Orrin Tern 2 RUSH open"), Some(1.0));
        assert!(alike("Tern 2 Rusch open").is_some_and(|score| score < 1.0));
        assert_eq!(alike("Tern 3 Rush open"), None);
        assert_eq!(alike("Tern 2 Rush"), None);
    }

    #[test]
    fn a_slug_is_an_id() {
        assert_eq!(slug("  Ørrin®  Wren™ 4 ").as_deref(), Some("rrin-wren-4"));
        assert_eq!(slug("=1+1").as_deref(), Some("1-1"));
        assert!(slug(&"long name ".repeat(40)).is_some_and(|id| id.len() <= 80));
    }
}
