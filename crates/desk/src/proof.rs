//! What a soak proves: read against the plan of its machine, and against the soak before the work.

use physics::network::path::HeatPathFound;
use upgrade::machine::present::Machine;
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::library::Library;
use upgrade::proof::expected::expected;
use upgrade::proof::log::SoakLog;
use upgrade::proof::path::alone;
use upgrade::proof::proven::{Proof, Soaked, prove};
use upgrade::proof::soak::{NoSoak, SoakRead};

use draw::document::Block;
use draw::proof_picture::{self, Curve};
use draw::structure_picture::{self, Structure};

/// A proof with what its logs alone tell of the heat path.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofAnswer {
    /// The proof.
    pub proof: Proof,
    /// Structure function of the soak after the work.
    pub after: Option<HeatPathFound>,
    /// Structure function of the one before it.
    pub before: Option<HeatPathFound>,
}

/// Logs of a job.
#[derive(Debug, Clone, Copy)]
pub struct Logs<'l> {
    /// After the work.
    pub after: &'l SoakLog,
    /// Before it, where there is one.
    pub before: Option<&'l SoakLog>,
    /// The soak after the work once more, with the side of the case open.
    pub open: Option<&'l SoakLog>,
}

fn structure(read: &SoakRead) -> Option<HeatPathFound> {
    read.rows.as_ref().and_then(|rows| alone(rows, read.warmed_until).ok())
}

/// Proves a job: the machine as it was found, what was changed, and its logs.
///
/// # Errors
/// A log has no load.
pub fn proof(
    machine: &Machine,
    library: &Library,
    changes: Changes<'_>,
    logs: Logs<'_>,
) -> Result<ProofAnswer, NoSoak> {
    let now = expected(&Proposal { now: machine, changes, library });
    let then = expected(&Proposal { now: machine, changes: Changes::default(), library });
    let before = logs.before.map(|log| Soaked { log, expected: &then, open: None });
    let proof = prove(Soaked { log: logs.after, expected: &now, open: logs.open }, before)?;
    let after = structure(&proof.after);
    let before = proof.before.as_ref().and_then(structure);
    Ok(ProofAnswer { proof, after, before })
}

/// Where this machine's stations end on the way from the junction.
fn ends(read: &SoakRead) -> Vec<(&'static str, f64)> {
    let Ok(path) = &read.path else { return Vec::new() };
    let mut sum = 0.0;
    path.steps
        .iter()
        .filter_map(|step| {
            sum += step.found?.value.si();
            Some((step.name, sum))
        })
        .collect()
}

/// The soaks as curves, as SVG with its words.
pub fn curves(answer: &ProofAnswer, logs: Logs<'_>) -> (String, String) {
    let mut all = vec![Curve { name: "after", log: logs.after, read: &answer.proof.after }];
    if let (Some(log), Some(read)) = (logs.before, &answer.proof.before) {
        all.insert(0, Curve { name: "before", log, read });
    }
    let title = &answer.proof.title;
    (proof_picture::soak(title, &all), proof_picture::words(title, &all))
}

/// The structure functions, as SVG with its words; none where no log tells one.
pub fn structures(answer: &ProofAnswer) -> Option<(String, String)> {
    let after_ends = ends(&answer.proof.after);
    let mut all = Vec::new();
    if let Some(found) = &answer.before {
        all.push(Structure { name: "before", found, ends: &[] });
    }
    if let Some(found) = &answer.after {
        all.push(Structure { name: "after", found, ends: &after_ends });
    }
    let title = &answer.proof.title;
    (!all.is_empty())
        .then(|| (structure_picture::structure(title, &all), structure_picture::words(title, &all)))
}

/// Both pictures as blocks of a document.
pub fn pictures(answer: &ProofAnswer, logs: Logs<'_>) -> Vec<Block> {
    let (svg, words) = curves(answer, logs);
    let mut out = vec![Block::Picture(svg, words)];
    out.extend(structures(answer).map(|(svg, words)| Block::Picture(svg, words)));
    out
}
