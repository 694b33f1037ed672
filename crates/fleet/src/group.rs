//! Machines that are alike.

use std::collections::HashMap;

use upgrade::machine::present::Machine;

/// A machine with where its record came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// The machine.
    pub machine: Machine,
    /// File, or file and row.
    pub from: String,
}

/// Machines that are alike: places in the list of all, in its order; never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// The first of them stands for all.
    pub first: usize,
    /// All of them, the first included.
    pub members: Vec<usize>,
}

/// Puts machines together that agree in every reading, parts, software, work and wishes included; only what they are
/// called may differ. Groups stand in the order of their first machines.
pub fn groups(members: &[Member]) -> Vec<Group> {
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut groups: Vec<Group> = Vec::new();
    for (place, member) in members.iter().enumerate() {
        let known = *places.entry(key(&member.machine)).or_insert_with(|| {
            groups.push(Group { first: place, members: Vec::new() });
            groups.len() - 1
        });
        if let Some(group) = groups.get_mut(known) {
            group.members.push(place);
        }
    }
    groups
}

/// Every reading in words: equal where, and only where, the machines are alike.
///
/// # Model
/// Rust's debug words of a number give it back exactly, so that equal words are equal readings.
fn key(machine: &Machine) -> String {
    let mut nameless = machine.clone();
    nameless.id.clear();
    nameless.name.clear();
    nameless.story.clear();
    format!("{nameless:?}")
}
