//! Which part of the library is meant by the name that hardware reports.

use upgrade::part::id::PartId;

/// From this score on a match is taken, if it also stands clear of the next.
pub const TAKEN: f64 = 0.93;
/// From this score on a match is offered.
pub const OFFERED: f64 = 0.80;
/// How far the best must stand from the next to be taken.
const CLEAR: f64 = 0.02;

/// A part that may be meant.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its id.
    pub id: PartId,
    /// How alike the names are, 0 to 1.
    pub score: f64,
}

/// Candidates in a sentence, each with its likeness.
pub fn listed(candidates: &[Candidate]) -> String {
    let each = |one: &Candidate| format!("{} ({:.0} %)", one.id, 100.0 * one.score);
    candidates.iter().map(each).collect::<Vec<_>>().join(", ")
}

/// What was found for a reported name.
#[derive(Debug, Clone, PartialEq)]
pub enum Match {
    /// Surely this part.
    Taken(Candidate),
    /// Perhaps one of these, best first; a person decides.
    Offered(Vec<Candidate>),
    /// None is alike.
    Unknown,
}

/// A name without what makers add for lawyers and for show: marks, clocks, words for what it is.
///
/// # Example
/// ```
/// use survey::recognise::normal;
/// assert_eq!(normal("Wren(R) Tern(TM) 2 Rush CPU @ 3.40GHz"), ["wren", "tern", "2", "rush"]);
/// ```
pub fn normal(name: &str) -> Vec<String> {
    const DROPPED: [&str; 9] =
        ["cpu", "processor", "apu", "with", "graphics", "r", "tm", "inc", "corporation"];
    let lower = name.to_lowercase().replace("(r)", " ").replace("(tm)", " ").replace("(c)", " ");
    // What stands behind @ is a clock.
    let head = lower.split('@').next().unwrap_or_default();
    head.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty() && !DROPPED.contains(word))
        .filter(|word| !(word.ends_with("core") && word.len() > 4) && *word != "core")
        .map(str::to_owned)
        .collect()
}

/// Words with a figure in them: what tells one model from its brother.
fn figures(words: &[String]) -> Vec<&str> {
    words.iter().filter(|word| word.bytes().any(|byte| byte.is_ascii_digit())).map(String::as_str).collect()
}

/// How alike two names are, 0 to 1.
///
/// # Model
/// Names that differ in a word with a figure are at most half alike, however alike their letters: they
/// are brothers. Otherwise the Jaro-Winkler likeness of the words in order of the alphabet.
pub fn score(reported: &str, known: &str) -> f64 {
    let (mut a, mut b) = (normal(reported), normal(known));
    if a.is_empty() || b.is_empty() {
        return 0.0;
    }
    if a == b {
        return 1.0;
    }
    a.sort_unstable();
    b.sort_unstable();
    let likeness = strsim::jaro_winkler(&a.join(" "), &b.join(" "));
    // A name that holds all words of the other says more of the same.
    let (few, many) = if a.len() <= b.len() { (&a, &b) } else { (&b, &a) };
    let held = few.iter().all(|word| many.contains(word));
    let likeness = if held && few.len() >= 2 { likeness.max(0.94) } else { likeness };
    if figures(&a) == figures(&b) { likeness } else { likeness * 0.5 }
}

/// The best matches of a reported name among parts, each with the names it goes by.
pub fn recognise<'l>(reported: &str, parts: impl Iterator<Item = (&'l PartId, Vec<String>)>) -> Match {
    let mut found: Vec<Candidate> = parts
        .map(|(id, names)| Candidate {
            id: id.clone(),
            score: names.iter().map(|name| score(reported, name)).fold(0.0, f64::max),
        })
        .filter(|candidate| candidate.score >= OFFERED)
        .collect();
    found.sort_by(|a, b| b.score.total_cmp(&a.score).then_with(|| a.id.cmp(&b.id)));
    let clear = match found.as_slice() {
        [] => return Match::Unknown,
        [only] => only.score >= TAKEN,
        [best, next, ..] => best.score >= TAKEN && best.score - next.score >= CLEAR,
    };
    if clear {
        return Match::Taken(found.swap_remove(0));
    }
    found.truncate(5);
    Match::Offered(found)
}
