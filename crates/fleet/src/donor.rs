//! Processors that come out of one machine and may go into another.

use quantity::money::Currency;
use upgrade::part::library::Library;
use upgrade::part::processor::Processor;
use upgrade::route::options::processor_resale;

use crate::group::{Group, Member};
use crate::terms::{Resale, Reuse, Terms};

/// A kind of processor that is in the fleet.
#[derive(Debug, Clone, PartialEq)]
pub struct Donor {
    /// It, with every reading that was corrected by hand.
    pub processor: Processor,
    /// What one brings when it is sold, in minor units.
    pub resale: i64,
}

/// What comes out of the machines.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Donors {
    /// Kinds, in the order of the groups.
    pub kinds: Vec<Donor>,
    /// For each group which kind comes out of it; none where it must not go elsewhere.
    pub of_group: Vec<Option<usize>>,
    /// For each group what a processor brings that is not counted among the kinds, in minor units.
    pub other_resale: Vec<i64>,
}

/// The processors of the groups. One with a fault goes nowhere else.
pub fn donors(members: &[Member], groups: &[Group], library: &Library, terms: &Terms) -> Donors {
    let mut found = Donors::default();
    for group in groups {
        let Some(member) = members.get(group.first) else { continue };
        let machine = &member.machine;
        let resale = resale(machine, library, terms.currency, terms.resale);
        let may_move = terms.reuse == Reuse::Welcome && machine.processor.faults.is_empty();
        let kind = may_move.then(|| {
            let alike = |kind: &Donor| kind.resale == resale && kind.processor == machine.processor.part;
            found.kinds.iter().position(alike).unwrap_or_else(|| {
                found.kinds.push(Donor { processor: machine.processor.part.clone(), resale });
                found.kinds.len() - 1
            })
        });
        found.of_group.push(kind);
        found.other_resale.push(if kind.is_none() { resale } else { 0 });
    }
    found
}

/// What a processor brings; a faulty one only what its record says of this very piece.
fn resale(
    machine: &upgrade::machine::present::Machine,
    library: &Library,
    currency: Currency,
    counted: Resale,
) -> i64 {
    let is_sound = machine.processor.faults.is_empty() || machine.processor.resale.is_some();
    match counted {
        Resale::Counted if is_sound => processor_resale(machine, library, currency),
        Resale::Counted | Resale::Nothing => 0,
    }
}
