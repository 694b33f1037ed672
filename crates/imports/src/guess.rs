//! A mapping proposed from the headings of a list, for a person to look at and save.

use intake::leaf::Leaf;
use upgrade::part::id::Kind;

use crate::identity::compact;
use crate::mapping::{Column, Mapping};
use crate::row::price::currency;
use crate::target::Targets;
use crate::unit;

/// What a field is often called, in small letters without marks.
///
/// # Source
/// common practice, no source: what lists in English, German, French and Spanish call these things.
const CALLED: &[(&str, &[&str])] = &[
    ("id", &["id", "partid"]),
    (
        "name",
        &[
            "name",
            "model",
            "modell",
            "modelname",
            "product",
            "productname",
            "produkt",
            "artikel",
            "bezeichnung",
            "nom",
            "modele",
            "nombre",
            "modelo",
            "part",
            "processor",
            "cpu",
            "itemlabel",
            "label",
            "title",
            "description",
        ],
    ),
    (
        "maker",
        &[
            "maker",
            "manufacturer",
            "vendor",
            "brand",
            "hersteller",
            "fabricant",
            "fabricante",
            "marke",
            "makerlabel",
            "manufacturerlabel",
        ],
    ),
    ("socket", &["socket", "sockel", "socketlabel"]),
    ("generation", &["architecture", "microarchitecture"]),
    (
        "sustained_power",
        &[
            "sustainedpower",
            "tdp",
            "tdpw",
            "designpower",
            "thermaldesignpower",
            "power",
            "leistung",
            "watt",
            "watts",
            "basepower",
        ],
    ),
    ("burst_power", &["burstpower", "maxpower", "maximumpower", "turbopower"]),
    ("cores[1].count", &["cores", "corecount", "numberofcores", "kerne", "coeurs", "nucleos"]),
    ("cores[1].threads", &["threads", "threadcount", "numberofthreads"]),
    ("cores[1].threads_per_core", &["threadspercore"]),
    (
        "cores[1].base_clock",
        &["frequency", "clock", "baseclock", "basefrequency", "takt", "basistakt", "clockspeed", "frequence"],
    ),
    (
        "cores[1].boost_clock",
        &["boost", "boostclock", "turbo", "maxclock", "maxfrequency", "turbotakt", "boostfrequency"],
    ),
    ("junction_limit", &["tjmax", "tjunction", "maxtemperature", "junctionlimit"]),
    ("modules", &["modules", "module", "sticks"]),
    ("module_capacity", &["modulecapacity", "capacitypermodule", "modulesize"]),
    ("speed", &["speed", "memoryspeed", "geschwindigkeit"]),
    ("kind", &["type", "typ", "memorytype"]),
    ("height", &["height", "hohe", "hoehe", "hauteur", "altura"]),
    ("mass", &["mass", "weight", "gewicht", "poids", "peso"]),
    ("rated_heat", &["ratedheat", "coolingpower", "kuhlleistung"]),
    ("rated_power", &["ratedpower", "wattage", "power", "nennleistung", "leistung", "puissance"]),
    ("certificate", &["certificate", "efficiency", "efficiencyclass"]),
    ("form", &["form", "formfactor", "formfaktor"]),
    ("conductivity", &["conductivity", "thermalconductivity", "warmeleitfahigkeit"]),
    ("tube", &["volume", "content", "inhalt"]),
    (
        "price.new",
        &[
            "price", "pricenew", "newprice", "preis", "neupreis", "prix", "precio", "eur", "priceeur",
            "amount", "betrag",
        ],
    ),
    (
        "price.second-hand",
        &["used", "usedprice", "secondhand", "secondhandprice", "gebraucht", "gebrauchtpreis", "occasion"],
    ),
    ("price.resale", &["resale", "resaleprice", "ankauf", "buyback"]),
    ("price.for", &["condition", "zustand", "etat", "estado"]),
    ("price.day", &["date", "day", "datum", "tag", "fecha", "pricedon"]),
    ("price.shop", &["shop", "seller", "store", "handler", "haendler", "boutique", "tienda"]),
    ("price.stock", &["stock", "instock", "lager", "bestand", "available", "quantity"]),
    ("price.currency", &["currency", "wahrung", "waehrung", "devise", "moneda"]),
];

/// Units that a heading without one most often means; said in the mapping, so that it can be corrected there.
///
/// # Source
/// common practice, no source.
const USUAL: &[(&str, &str)] = &[
    ("sustained_power", "W"),
    ("burst_power", "W"),
    ("rated_power", "W"),
    ("rated_heat", "W"),
    ("height", "mm"),
    ("junction_limit", "°C"),
    ("speed", "MT/s"),
];

/// How alike a heading and a field's own name must be.
const ALIKE: f64 = 0.9;

/// Letters without marks: what headings are compared by.
fn bare(text: &str) -> String {
    let plain: String = text
        .chars()
        .map(|c| match c {
            'ä' | 'Ä' | 'à' | 'â' | 'á' | 'Á' => 'a',
            'ö' | 'Ö' | 'ô' | 'ó' | 'Ó' => 'o',
            'ü' | 'Ü' | 'û' | 'ú' => 'u',
            'é' | 'è' | 'ê' | 'É' => 'e',
            'í' => 'i',
            'ñ' => 'n',
            'ç' => 'c',
            other => other,
        })
        .collect();
    compact(&plain)
}

/// The field that a heading most likely means.
pub fn field(heading: &str, targets: &Targets) -> Option<String> {
    let names = targets.names();
    if let Some(name) = names.iter().find(|name| **name == heading.trim()) {
        return Some((*name).to_owned());
    }
    let words = bare(heading);
    // A unit behind the words is no part of the name: "TDP (W)", "Preis in EUR".
    let without = bare(
        heading.split(['(', '[', '/']).next().unwrap_or(heading).split(" in ").next().unwrap_or(heading),
    );
    for wanted in [&words, &without] {
        if wanted.is_empty() {
            continue;
        }
        if let Some(name) = names.iter().find(|name| compact(name) == **wanted) {
            return Some((*name).to_owned());
        }
        let called =
            CALLED.iter().find(|(field, called)| names.contains(field) && called.contains(&wanted.as_str()));
        if let Some((field, _)) = called {
            return Some((*field).to_owned());
        }
    }
    let alike = names
        .iter()
        .map(|name| (strsim::jaro_winkler(&compact(name), &without), *name))
        .filter(|(score, _)| *score >= ALIKE && without.len() > 4)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    alike.map(|(_, name)| name.to_owned())
}

/// Columns for headings that a mapping does not name yet. No field is given twice.
pub fn columns(headings: &[String], kind: Option<Kind>, mapping: &Mapping) -> Vec<Column> {
    let targets = Targets::of(kind);
    let mut out: Vec<Column> = Vec::new();
    let taken = |field: &str, out: &[Column]| {
        mapping.columns.iter().chain(out).any(|column| column.field == field)
            || mapping.constants.iter().any(|constant| constant.field == field)
    };
    for heading in headings {
        if heading.is_empty() || mapping.columns.iter().any(|column| column.heading == *heading) {
            continue;
        }
        let Some(field) = field(heading, &targets).filter(|field| !taken(field, &out)) else { continue };
        let leaf = targets.place(&field).and_then(|place| targets.fields.get(place)).map(|(_, leaf)| leaf);
        let unit = match leaf {
            Some(Leaf::Figure(figure) | Leaf::Figures(figure)) => {
                unit::of_heading(heading, figure).or_else(|| {
                    USUAL.iter().find(|(usual, _)| *usual == field).map(|(_, unit)| (*unit).to_owned())
                })
            }
            _ if PRICES.contains(&field.as_str()) => currency_of(heading),
            _ => None,
        };
        let unit_heading = headings
            .iter()
            .find(|other| *other != heading && is_unit_of(other, heading))
            .filter(|_| matches!(leaf, Some(Leaf::Figure(_))))
            .cloned();
        let unit = if unit_heading.is_some() { None } else { unit };
        out.push(Column { heading: heading.clone(), field, unit, unit_heading, words: Default::default() });
    }
    // A price beside a column that says what for is that column's price.
    if mapping.columns.iter().chain(&out).any(|column| column.field == "price.for") {
        for column in out.iter_mut().filter(|column| column.field == "price.new") {
            "price.amount".clone_into(&mut column.field);
        }
    }
    out
}

const PRICES: [&str; 4] = ["price.new", "price.second-hand", "price.resale", "price.amount"];

/// The currency that a heading names: `Price (EUR)`, `Preis in €`.
fn currency_of(heading: &str) -> Option<String> {
    let words =
        heading.split(|c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | '/' | ',' | '_'));
    let mut codes = words.filter(|word| word.len() == 3 || *word == "£").filter_map(|word| {
        let capitals = word.chars().all(|c| c.is_ascii_uppercase()) || matches!(word, "€" | "£");
        capitals.then(|| currency(word)).flatten()
    });
    codes.next().map(|currency| currency.code().to_owned())
}

/// `tdpUnit` or `tdp unit` beside `tdp`; query results often name the label `tdpUnitLabel`.
fn is_unit_of(other: &str, heading: &str) -> bool {
    let (other, heading) = (compact(other), compact(heading));
    ["unit", "unitlabel", "einheit"].iter().any(|word| other == format!("{heading}{word}"))
}

/// Which of some rows holds the headings: the one that says the most fields, else the first that is full.
pub fn heading_row(rows: &[(u32, Vec<String>)], kind: Option<Kind>, mapping: &Mapping) -> Option<usize> {
    let targets = Targets::of(kind);
    let score = |cells: &[String]| {
        cells
            .iter()
            .filter(|cell| {
                mapping.columns.iter().any(|column| column.heading == **cell)
                    || field(cell, &targets).is_some()
            })
            .count()
    };
    let scores: Vec<usize> = rows.iter().map(|(_, cells)| score(cells)).collect();
    let best = scores.iter().copied().max().unwrap_or(0);
    if best > 0 {
        return scores.iter().position(|score| *score == best);
    }
    let filled = |cells: &[String]| cells.iter().filter(|cell| !cell.is_empty()).count();
    let most = rows.iter().map(|(_, cells)| filled(cells)).max()?;
    rows.iter().position(|(_, cells)| filled(cells) == most)
}
