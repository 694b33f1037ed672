//! The hand-over as a document.

use quantity::money::Money;
use upgrade::fit::finding::Finding;
use upgrade::proof::proven::Proof;
use upgrade::record::handover::{CAUTIONS, Handover, WARRANTY};

use crate::document::{Block, Document};
use crate::plan_text::{capital, point_phrase, saves};
use crate::proof_document::blocks;
use crate::sheet_text::beforehand;
use crate::table::{Side, Table};

/// Where the job stands, in words.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Dates {
    /// When it was begun; none where no store kept it.
    pub begun: Option<String>,
    /// When it was closed.
    pub closed: Option<String>,
}

fn items(out: &mut Vec<Block>, findings: &[Finding]) {
    out.extend(findings.iter().map(|finding| {
        Block::Item(format!(
            "{} ({}): {}",
            capital(finding.rule),
            finding.verdict.word(),
            beforehand(finding)
        ))
    }));
}

fn cost(out: &mut Vec<Block>, handover: &Handover) {
    let Some(named) = &handover.route else {
        out.push(Block::Text("No prices are known.".to_owned()));
        return;
    };
    let mut table = Table::new(&[
        ("part", Side::Left),
        ("condition", Side::Left),
        ("price", Side::Right),
        ("the old one brings", Side::Right),
    ]);
    for item in &named.route.items {
        table.row([
            item.name.clone(),
            item.condition.word().to_owned(),
            item.price.to_string(),
            item.resale.map_or_else(|| "-".to_owned(), |resale| resale.to_string()),
        ]);
    }
    if !table.is_empty() {
        let zero = Money::from_minor(0, named.currency);
        let sum = named.route.items.iter().map(|item| item.price.minor()).sum();
        let resale = named.route.items.iter().map(|item| item.resale.unwrap_or(zero).minor()).sum();
        table.row([
            "together".to_owned(),
            String::new(),
            Money::from_minor(sum, named.currency).to_string(),
            Money::from_minor(resale, named.currency).to_string(),
        ]);
        out.push(Block::Table(table));
    }
    out.push(Block::Labelled("Net price by the parts library".to_owned(), named.route.net_cost.to_string()));
    if !named.unpriced.is_empty() {
        out.push(Block::Labelled("Without a known price".to_owned(), named.unpriced.join(", ")));
    }
    out.push(Block::Line("Paid, if it differs:".to_owned()));
}

/// What a soak after the work proved, with its pictures.
#[derive(Debug, Clone, Copy)]
pub struct Proven<'p> {
    /// The proof.
    pub proof: &'p Proof,
    /// Curves and structure function.
    pub pictures: &'p [Block],
}

/// What was measured of a figure.
fn measured(what: &str, proven: Option<Proven<'_>>) -> String {
    let Some(proven) = proven else { return String::new() };
    let settled = &proven.proof.after.settled;
    let words = match what {
        "clock held on all cores" => settled.clock.as_ref().map(|one| one.value.rounded(3)),
        "power of the processor" => settled.power.as_ref().map(|one| one.value.rounded(3)),
        "junction under full load" => settled.junction.as_ref().map(|one| one.value.rounded(3)),
        _ => None,
    };
    words.unwrap_or_default()
}

fn expected(out: &mut Vec<Block>, handover: &Handover, proven: Option<Proven<'_>>) {
    let mut table = Table::new(&[
        ("figure", Side::Left),
        ("before", Side::Right),
        ("expected after", Side::Right),
        ("measured after", Side::Right),
    ]);
    for one in &handover.expected {
        table.row([one.what.clone(), one.before.clone(), one.after.clone(), measured(&one.what, proven)]);
    }
    out.push(Block::Table(table));
    if let Some(named) = &handover.route {
        out.push(Block::Labelled("Saves".to_owned(), saves(&named.route)));
        out.push(Block::Labelled("Holds".to_owned(), point_phrase(&named.route.point)));
        if let Some((low, high)) = named.route.yearly_worth {
            out.push(Block::Labelled("Worth a year".to_owned(), format!("{low} to {high}")));
        }
    }
    let ask = if proven.is_some() {
        ""
    } else {
        " Measure under a load that uses all cores, after a quarter of an hour, and write it in."
    };
    out.push(Block::Text(format!(
        "Expected figures are computed from the readings of this machine; two figures are the ends of what is unknown.{ask}"
    )));
}

/// The document.
pub fn document(handover: &Handover, dates: &Dates, proven: Option<Proven<'_>>) -> Document {
    let mut out = Vec::new();
    let label = |name: &str, text: &str| Block::Labelled(name.to_owned(), text.to_owned());
    out.push(label("Job", &handover.job));
    if !handover.story.is_empty() {
        out.push(Block::Text(handover.story.clone()));
    }
    if let Some(begun) = &dates.begun {
        out.push(label("Begun", begun));
    }
    if let Some(closed) = &dates.closed {
        out.push(label("Closed", closed));
    }
    out.push(Block::Heading("What was found".to_owned()));
    let mut found = Table::new(&[("what", Side::Left), ("found", Side::Left)]);
    for one in &handover.found {
        found.row([one.what.to_owned(), one.value.clone()]);
    }
    out.push(Block::Table(found));
    items(&mut out, &handover.remarks);
    out.push(Block::Heading("What was changed".to_owned()));
    if handover.changed.is_empty() {
        out.push(Block::Text("Nothing: no change was worth its price.".to_owned()));
    } else {
        let mut changed = Table::new(&[("part", Side::Left), ("out", Side::Left), ("in", Side::Left)]);
        for one in &handover.changed {
            changed.row([one.kind.to_owned(), one.out.clone(), one.into.clone()]);
        }
        out.push(Block::Table(changed));
    }
    out.push(Block::Heading("What it costs".to_owned()));
    cost(&mut out, handover);
    out.push(Block::Heading("Why, and what to expect".to_owned()));
    expected(&mut out, handover, proven);
    if let Some(proven) = proven {
        out.push(Block::Heading("Proof by a soak".to_owned()));
        out.extend(blocks(proven.proof, proven.pictures.to_vec()));
    }
    if !handover.conditions.is_empty() {
        out.push(Block::Heading("Conditions and what is not known".to_owned()));
        items(&mut out, &handover.conditions);
    }
    if !handover.work.is_empty() {
        out.push(Block::Heading("The work".to_owned()));
        for step in &handover.work {
            let text = match &step.done {
                Some(when) => format!("{}, {when}", step.title),
                None => step.title.clone(),
            };
            out.push(Block::Ticked(step.done.is_some(), text));
            out.extend(step.notes.iter().map(|note| Block::Item(format!("Note: {note}"))));
        }
    }
    out.push(Block::Heading("Please mind".to_owned()));
    out.extend(CAUTIONS.iter().map(|caution| Block::Item((*caution).to_owned())));
    out.push(Block::Heading("Warranty".to_owned()));
    out.extend(WARRANTY.iter().map(|note| Block::Item((*note).to_owned())));
    out.push(Block::Line("Handed over by, date:".to_owned()));
    out.push(Block::Line("Received by, date:".to_owned()));
    Document { title: format!("Hand-over: {}", handover.machine), blocks: out }
}
