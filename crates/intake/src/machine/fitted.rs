//! Reading a part in a machine: from the library, with readings corrected by hand, or a private one.

use quantity::reading::Origin;
use upgrade::machine::present::Fitted;
use upgrade::part::id::{Kind, PartId};

use crate::fields::Fields;
use crate::library::ReadLibrary;
use crate::node::Table;
use crate::range;

/// What a section says besides which part it is.
struct About {
    id: Option<PartId>,
    age: quantity::reading::Figure<quantity::dimension::DurationDim>,
    resale: Option<quantity::money::Money>,
    faults: Vec<String>,
}

fn about(fields: &mut Fields<'_, '_>) -> About {
    About {
        id: fields.id("id"),
        age: fields.figure("age", range::TIME),
        resale: fields.money("resale"),
        faults: fields.texts("faults"),
    }
}

/// A section such as `[processor]`: `id` names a part of the library, `set` corrects readings of
/// this very piece, `part` describes one that no library has.
pub fn fitted<T>(
    fields: &mut Fields<'_, '_>,
    kind: Kind,
    library: &ReadLibrary,
    read: impl Fn(&mut Fields<'_, '_>) -> Option<T>,
) -> Option<Fitted<T>> {
    let about = about(fields);
    let corrected = fields.raw_table("set");
    if !fields.is_reading() {
        fields.table("part", |fields| read(fields));
        return None;
    }
    let private = match (corrected, fields.raw_table("part")) {
        // What was set by hand overrules what describes the part here.
        (Some(corrected), Some(own)) => {
            let merged = own.overlaid(corrected, Origin::Hand);
            fields.nested(&merged, Origin::Hand, &read)
        }
        (None, Some(own)) => fields.nested(own, Origin::Hand, &read),
        (_, None) => None,
    };
    let part = match (private, about.id) {
        (Some(part), None) => part,
        (Some(_), Some(_)) => {
            let span = fields.span();
            let message = "id and part both say which part it is".to_owned();
            fields.error(span, "id", message, Some("leave one of them out".to_owned()));
            return None;
        }
        (None, Some(id)) => from_library(fields, kind, library, &id, corrected, read)?,
        (None, None) => {
            let span = fields.span();
            let message = format!("which {} it is, is missing", kind.word());
            let help = "add  id = \"an-id\"  from the library, or describe it in a table called part";
            fields.error(span.start..span.start, "id", message, Some(help.to_owned()));
            return None;
        }
    };
    Some(Fitted { part, age: about.age, resale: about.resale, faults: about.faults })
}

fn from_library<T>(
    fields: &mut Fields<'_, '_>,
    kind: Kind,
    library: &ReadLibrary,
    id: &PartId,
    corrected: Option<&Table>,
    read: impl Fn(&mut Fields<'_, '_>) -> Option<T>,
) -> Option<T> {
    let Some(table) = library.tables.get(&(kind, id.clone())) else {
        let alike = library
            .tables
            .keys()
            .filter(|(other, _)| *other == kind)
            .map(|(_, other)| (strsim::jaro_winkler(other.text(), id.text()), other))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let help = match alike {
            Some((score, other)) if score > 0.7 => format!("did you mean \"{other}\"?"),
            _ => format!("list them with  reseat parts list --kind {}", kind.word()),
        };
        let span = fields.span();
        fields.error(
            span.start..span.start,
            "id",
            format!("the library has no {} \"{id}\"", kind.word()),
            Some(help),
        );
        return None;
    };
    match corrected {
        None => fields.nested(table, Origin::Sheet, read),
        Some(corrected) => {
            let merged = table.overlaid(corrected, Origin::Hand);
            fields.nested(&merged, Origin::Sheet, read)
        }
    }
}
