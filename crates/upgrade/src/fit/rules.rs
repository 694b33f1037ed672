//! The list of all rules, in the order in which a technician asks.

use crate::fit::rule::Rule;
use crate::fit::{
    case_board, case_supply, chipset_generation, cooler_capacity, cooler_contact, cooler_fans, cooler_height,
    cooler_memory, cooler_mounting, cooler_radiator, fan_header, firmware, front_panel, instruction_set,
    keys, lanes, memory_build, memory_space, memory_speed, memory_type, multiplier, picture, power_stages,
    second_hand, socket, supply_aux, supply_cards, supply_power, value,
};

/// Every rule.
pub const ALL: &[Rule] = &[
    socket::RULE,
    chipset_generation::RULE,
    firmware::RULE,
    multiplier::RULE,
    power_stages::RULE,
    supply_aux::RULE,
    memory_type::RULE,
    memory_space::RULE,
    memory_speed::RULE,
    memory_build::RULE,
    picture::RULE,
    lanes::RULE,
    cooler_mounting::RULE,
    cooler_fans::RULE,
    cooler_contact::RULE,
    cooler_capacity::RULE,
    cooler_height::RULE,
    cooler_memory::RULE,
    fan_header::RULE,
    cooler_radiator::RULE,
    supply_power::RULE,
    supply_cards::RULE,
    case_board::RULE,
    case_supply::RULE,
    front_panel::RULE,
    instruction_set::RULE,
    keys::RULE,
    value::RULE,
    second_hand::RULE,
];

/// The rule with this id.
pub fn by_id(id: &str) -> Option<&'static Rule> {
    ALL.iter().find(|rule| rule.id == id)
}

/// Rules that see of a cooler only how it is built: a search weighs them once for each build.
pub const ONLY_BUILD_OF_COOLER: &[&str] = &[power_stages::RULE.id];

/// Rules whose verdict hangs on what parts cost.
pub const WEIGH_PRICES: &[&Rule] = &[&value::RULE];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::ALL;

    #[test]
    fn ids_are_unique_words() {
        let ids: BTreeSet<&str> = ALL.iter().map(|rule| rule.id).collect();
        assert_eq!(ids.len(), ALL.len());
        assert!(
            ids.iter().all(|id| id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'))
        );
    }
}
