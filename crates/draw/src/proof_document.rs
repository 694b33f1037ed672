//! A proof as a document: what the soak showed, what is wrong, and whether the work holds.

use quantity::text::significant;
use upgrade::proof::criterion::Criterion;
use upgrade::proof::diagnose::{Diagnosis, Outcome, Suspect};
use upgrade::proof::log::Share;
use upgrade::proof::path::PathFound;
use upgrade::proof::proven::Proof;
use upgrade::proof::soak::SoakRead;

use crate::document::{Block, Document};
use crate::plan_text::capital;
use crate::table::{Side, Table};

fn percent(chance: f64) -> String {
    if chance > 0.995 { "more than 99 %".to_owned() } else { format!("{} %", significant(100.0 * chance, 2)) }
}

fn label(name: &str, text: String) -> Block {
    Block::Labelled(name.to_owned(), text)
}

/// What settled, in a sentence.
fn settled(read: &SoakRead) -> String {
    let settled = &read.settled;
    let mut parts: Vec<String> = Vec::new();
    if let Some(junction) = &settled.junction {
        parts.push(format!("junction {}", junction.value.rounded(3)));
    }
    if let Some(power) = &settled.power {
        parts.push(power.value.rounded(3));
    }
    if let Some(clock) = &settled.clock {
        parts.push(clock.value.rounded(3));
    }
    if let Some(fan) = &settled.fan {
        parts.push(format!("fan {}", fan.value.rounded(3)));
    }
    for (share, held) in settled.held.iter().filter(|(_, held)| held.value.si() > 0.02) {
        let what = match share {
            Share::HeldByJunction => "the junction limit",
            Share::HeldByPower => "a power limit",
            Share::HeldByCurrent => "a current limit",
            Share::HeldByStages => "the power stages",
            Share::Busy | Share::WaitsForProcessor | Share::WaitsForMemory | Share::WaitsForDisk => continue,
        };
        parts.push(format!("held by {what} for {}", held.value.rounded(2)));
    }
    let load = read.main.load.as_deref().unwrap_or("the load");
    format!(
        "at the end of \"{load}\": {}",
        if parts.is_empty() { "nothing was logged".to_owned() } else { parts.join(", ") }
    )
}

fn path(out: &mut Vec<Block>, path: &PathFound) {
    let mut table = Table::new(&[
        ("heat path", Side::Left),
        ("found, 5 % to 95 %", Side::Right),
        ("a sound machine", Side::Right),
    ]);
    for step in &path.steps {
        let found = step.found.map_or_else(|| "measured beside".to_owned(), |found| found.words());
        let sound = step.sound.known().map_or_else(|| "unknown".to_owned(), |sound| sound.rounded(2));
        table.row([step.name.to_owned(), found, sound]);
    }
    let whole = if path.air_measured { "junction to the case's air" } else { "junction to room" };
    table.row([whole.to_owned(), path.total.words(), String::new()]);
    out.push(Block::Table(table));
    if path.stations.misfit > 2.0 {
        out.push(Block::Text(format!(
            "The stations of this machine leave {} K of the log unexplained: something in its heat path is built otherwise than \
the record says.",
            significant(path.stations.left_k, 2)
        )));
    }
}

fn suspect(out: &mut Vec<Block>, suspect: &Suspect) {
    let fault = &suspect.fault;
    out.push(label(
        &capital(fault.name),
        format!("{} Chance by this log {}.", fault.what, percent(suspect.chance)),
    ));
    for (read, _) in suspect.evidence.iter().take(4) {
        let sound =
            read.sound.as_ref().map_or(String::new(), |sound| format!("; in a sound machine {sound}"));
        out.push(Block::Item(format!("{}: {}{sound}", capital(read.sign.words()), read.words)));
    }
    out.push(Block::Item(format!("To be sure: {}", fault.check)));
    out.push(Block::Item(format!("Cure: {}", fault.cure)));
}

/// The diagnosis.
fn diagnosis(out: &mut Vec<Block>, found: &Diagnosis) {
    let named = found.suspects.get(..found.named).unwrap_or(&[]);
    match found.outcome {
        Outcome::NothingWrong => {
            out.push(label("Nothing wrong", format!("every sign in this log is that of a sound machine. Chance by this log {}.", percent(found.nothing))));
        }
        Outcome::Named => {
            named.iter().for_each(|one| suspect(out, one));
            if let Some(separates) = &found.separates {
                out.push(Block::Item(format!("Not settled yet. {separates}")));
            }
        }
        Outcome::OneOf => {
            let (what, chance) = found.one_of.map_or(("", 0.0), |(group, chance)| (group.what, chance));
            let names: Vec<String> =
                named.iter().map(|one| format!("{} ({})", one.fault.name, percent(one.chance))).collect();
            out.push(label(
                "Fault found, which one is open",
                format!("{what}; chance by this log {}. It is: {}.", percent(chance), names.join(", or ")),
            ));
            if let Some(separates) = &found.separates {
                out.push(Block::Item(separates.clone()));
            }
            named.iter().for_each(|one| suspect(out, one));
        }
        Outcome::SomethingElse => out.push(label(
            "Something else is wrong",
            "the signs fit neither a sound machine nor any fault that is known here. Look at the log for what changed, and at the \
machine for what was changed last."
                .to_owned(),
        )),
        Outcome::CannotTell => {
            let names: Vec<String> =
                named.iter().map(|one| format!("{} ({})", one.fault.name, percent(one.chance))).collect();
            out.push(label(
                "Cannot be told",
                format!("nothing wrong ({}), or: {}.", percent(found.nothing), names.join(", ")),
            ));
            if let Some(separates) = &found.separates {
                out.push(Block::Item(format!("This would tell them apart. {separates}")));
            }
            named.iter().take(2).for_each(|one| suspect(out, one));
        }
    }
    if !found.untold.is_empty() {
        out.push(label("This log cannot show", "these it would not have noticed:".to_owned()));
        // One line a reading, with all that it would show.
        let mut readings: Vec<(&str, Vec<&str>)> = Vec::new();
        for one in &found.untold {
            match readings.iter_mut().find(|(reading, _)| *reading == one.reading) {
                Some((_, faults)) => faults.push(one.fault.name),
                None => readings.push((one.reading, vec![one.fault.name])),
            }
        }
        for (reading, faults) in readings {
            out.push(Block::Item(format!("{}: {reading}.", capital(&faults.join("; ")))));
        }
    }
}

fn criteria(out: &mut Vec<Block>, all: &[Criterion]) {
    let mut table = Table::new(&[
        ("criterion", Side::Left),
        ("measured", Side::Right),
        ("planned", Side::Right),
        ("holds", Side::Left),
    ]);
    for one in all {
        table.row([
            one.what.to_owned(),
            one.measured.clone(),
            one.planned.clone(),
            format!("{} {}", one.verdict.mark(), one.verdict.word()),
        ]);
    }
    out.push(Block::Table(table));
    let mut missing: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in all {
        let Some(reading) = &one.missing else { continue };
        match missing.iter_mut().find(|(known, _)| *known == reading.as_str()) {
            Some((_, criteria)) => criteria.push(one.what),
            None => missing.push((reading, vec![one.what])),
        }
    }
    out.extend(missing.into_iter().map(|(reading, criteria)| {
        let needs = if criteria.len() == 1 { "needs" } else { "need" };
        Block::Item(format!("{} {needs}: {reading}.", capital(&criteria.join("; "))))
    }));
}

fn soak(out: &mut Vec<Block>, name: &str, read: &SoakRead) {
    out.push(label(&capital(name), settled(read)));
    match &read.path {
        Ok(found) => path(out, found),
        Err(error) => {
            let why = core::error::Error::source(error)
                .map_or_else(|| error.to_string(), |source| format!("{error}: {source}"));
            out.push(label("Heat path", format!("not found; {why}.")));
        }
    }
    out.extend(read.notes.iter().map(|note| Block::Item(format!("{}.", capital(note)))));
}

/// Blocks of a proof, for a document of its own or within another; pictures as they come.
pub fn blocks(proof: &Proof, pictures: Vec<Block>) -> Vec<Block> {
    let mut out = vec![label("Proof", verdict(proof))];
    out.push(Block::Heading("What is wrong".to_owned()));
    diagnosis(&mut out, &proof.after.diagnosis);
    out.push(Block::Heading("Against the plan".to_owned()));
    criteria(&mut out, &proof.criteria);
    if !proof.compared.is_empty() {
        out.push(Block::Heading("After against before".to_owned()));
        let mut table = Table::new(&[
            ("figure", Side::Left),
            ("before", Side::Right),
            ("after", Side::Right),
            ("difference", Side::Right),
            ("which is", Side::Left),
        ]);
        for one in &proof.compared {
            let share = one.share.map_or(String::new(), |(low, high)| {
                format!(", {:+.0} to {:+.0} %", 100.0 * low, 100.0 * high)
            });
            table.row([
                one.what.clone(),
                one.before.clone(),
                one.after.clone(),
                format!("{}{share}", one.difference),
                one.went.word().to_owned(),
            ]);
        }
        out.push(Block::Table(table));
    }
    out.push(Block::Heading("What the soak showed".to_owned()));
    soak(&mut out, "after", &proof.after);
    if let Some(before) = &proof.before {
        soak(&mut out, "before", before);
        let found = &before.diagnosis;
        let named: Vec<&str> = found.suspects.iter().take(found.named).map(|one| one.fault.name).collect();
        let words = if named.is_empty() { found.outcome.word().to_owned() } else { named.join(", ") };
        out.push(label("What was wrong before", words));
    }
    out.extend(pictures);
    out
}

/// In one sentence.
pub fn verdict(proof: &Proof) -> String {
    use upgrade::proof::criterion::Verdict;
    let failed: Vec<&str> =
        proof.criteria.iter().filter(|one| one.verdict == Verdict::Fail).map(|one| one.what).collect();
    let named: Vec<&str> = proof
        .after
        .diagnosis
        .suspects
        .iter()
        .take(proof.after.diagnosis.named)
        .map(|one| one.fault.name)
        .collect();
    let or = if proof.after.diagnosis.one_of.is_some() { " or " } else { ", " };
    match proof.verdict {
        Verdict::Pass => "passes. The machine does what the plan said of it.".to_owned(),
        Verdict::Fail if !failed.is_empty() => {
            let cause =
                if named.is_empty() { String::new() } else { format!(" Likely cause: {}.", named.join(or)) };
            format!("fails: {}.{cause}", failed.join(", "))
        }
        Verdict::Fail => format!(
            "fails: {}.",
            if named.is_empty() { "the signs fit no sound machine".to_owned() } else { named.join(or) }
        ),
        Verdict::CannotTell => {
            "cannot be told from these logs; below stands which reading would settle it.".to_owned()
        }
    }
}

/// The document.
pub fn document(proof: &Proof, pictures: Vec<Block>) -> Document {
    Document { title: format!("Proof: {}", proof.title), blocks: blocks(proof, pictures) }
}
