//! What a browser asks for: the names in the path, the query, the fields of a form.

use std::collections::BTreeMap;

/// Fields that a person types into.
const TYPED: [&str; 6] = ["record", "text", "own", "field", "value", "mapping"];

/// Fields of a query or a form, in their order; a name may come more than once.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fields(Vec<(String, String)>);

impl Fields {
    /// Out of the text of a query or of a form's body.
    pub fn parse(text: &[u8]) -> Self {
        Self(form_urlencoded::parse(text).into_owned().collect())
    }

    /// The last value of this name; a browser sends a changed field after a hidden one.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.iter().rev().find(|(field, _)| field == name).map(|(_, value)| value.as_str())
    }

    /// The value of this name, or nothing at all.
    pub fn text(&self, name: &str) -> &str {
        self.get(name).unwrap_or("")
    }

    /// What a person typed into a form: the fields that no page fills in by itself.
    pub fn typed(&self) -> String {
        let typed = self.0.iter().filter(|(name, _)| TYPED.contains(&name.as_str()));
        typed.map(|(_, value)| value.as_str()).collect::<Vec<_>>().join("\n")
    }

    /// Every value of this name.
    pub fn every(&self, name: &str) -> Vec<&str> {
        self.0.iter().filter(|(field, _)| field == name).map(|(_, value)| value.as_str()).collect()
    }

    /// Every value of this name that is not empty.
    pub fn all(&self, name: &str) -> Vec<String> {
        self.every(name).into_iter().filter(|value| !value.is_empty()).map(str::to_owned).collect()
    }
}

/// A request.
#[derive(Debug, Clone, Default)]
pub struct Ask {
    /// Names in the path.
    pub names: BTreeMap<String, String>,
    /// Path and query, for going back to.
    pub path: String,
    /// The query.
    pub query: Fields,
    /// The form; empty for a plain request.
    pub form: Fields,
}

impl Ask {
    /// A name in the path.
    pub fn name(&self, name: &str) -> &str {
        self.names.get(name).map_or("", String::as_str)
    }
}

/// A query out of repeated `with` fields.
///
/// # Example
/// ```
/// assert_eq!(page::ask::with_query(&["a b".into(), "c".into()]), "?with=a+b&with=c");
/// assert_eq!(page::ask::with_query(&[]), "");
/// ```
pub fn with_query(parts: &[String]) -> String {
    if parts.is_empty() {
        return String::new();
    }
    let mut out = form_urlencoded::Serializer::new(String::new());
    for part in parts {
        out.append_pair("with", part);
    }
    format!("?{}", out.finish())
}
