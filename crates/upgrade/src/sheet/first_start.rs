//! What to do when the first start does nothing: a decision tree.

use crate::sheet::caution::{COIN_CELL, CORD_OUT, Caution, STATIC, SUPPLY_STAYS_SHUT};

/// What stands at the head of the tree: whoever comes here opens the case again.
pub const CAUTIONS: [Caution; 4] = [SUPPLY_STAYS_SHUT, CORD_OUT, COIN_CELL, STATIC];

/// A question with what to do for each answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Node {
    /// Id, by which other nodes lead here.
    pub id: &'static str,
    /// Question that a look or an ear answers.
    pub question: &'static str,
    /// Where "yes" leads.
    pub yes: Next,
    /// Where "no" leads.
    pub no: Next,
}

/// Where an answer leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// To another question.
    Ask(&'static str),
    /// To something to do, after which one starts again.
    Do(&'static str),
}

/// The tree; the first node is the root.
///
/// # Source
/// common practice, no source.
pub const TREE: &[Node] = &[
    Node {
        id: "light",
        question: "Is the board's standby light on with the cord in?",
        yes: Next::Ask("fans"),
        no: Next::Do(
            "Cord, wall socket, the supply's switch. Then, cord out and drained: the main connector, pressed home. Still dark: \
the supply or the board; stop and have it tested. Never open the supply.",
        ),
    },
    Node {
        id: "fans",
        question: "Do fans move when the power button is pressed?",
        yes: Next::Ask("stay"),
        no: Next::Do(
            "Cord out. The power button's two wires: compare with the manual's drawing. Then all plugs off the front panel but \
that one.",
        ),
    },
    Node {
        id: "stay",
        question: "Do they keep turning for more than ten seconds?",
        yes: Next::Ask("picture"),
        no: Next::Do(
            "A short or a missing auxiliary connector. Cord out, drain. Press the auxiliary 12 V plugs home; look for a stand-off \
where the board has no hole, for a loose screw, for a bent contact in the socket.",
        ),
    },
    Node {
        id: "picture",
        question: "Is there a picture after three minutes?",
        yes: Next::Ask("names"),
        no: Next::Ask("codes"),
    },
    Node {
        id: "codes",
        question: "Does the board show a code, a light beside \"memory\" or \"processor\", or beep?",
        yes: Next::Do(
            "Look the code up in the board's manual. Memory: cord out, one module only, in the slot the manual names first. \
Processor: cord out, look at firmware version, then at the contacts under the processor.",
        ),
        no: Next::Ask("display"),
    },
    Node {
        id: "display",
        question: "Is the screen on the right connector, the card's if there is a card, the board's if there is none?",
        yes: Next::Do(
            "Cord out, drain, take the coin cell out for five minutes (keep it from children), put it back. Start with one module \
and nothing else. Still nothing: put the old processor back. If that starts, firmware or the new processor is at fault.",
        ),
        no: Next::Do(
            "Put it on the right one. A board's connectors stay dark with a processor without graphics.",
        ),
    },
    Node {
        id: "names",
        question: "Does the firmware name the new processor and all memory?",
        yes: Next::Do("Go on with the sheet."),
        no: Next::Do(
            "Memory missing: cord out, press the modules home, compare the slots with the manual. A wrong name: the firmware is too \
old; update it.",
        ),
    },
];

/// The node with this id.
pub fn node(id: &str) -> Option<&'static Node> {
    TREE.iter().find(|node| node.id == id)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::{Next, TREE, node};

    #[test]
    fn every_branch_ends_in_something_to_do() {
        let mut reached = BTreeSet::new();
        let mut waiting = vec![TREE[0].id];
        while let Some(id) = waiting.pop() {
            assert!(reached.insert(id), "{id} is reached twice: the tree has a loop or a knot");
            let node = node(id).unwrap();
            for next in [node.yes, node.no] {
                if let Next::Ask(id) = next {
                    waiting.push(id);
                }
            }
        }
        assert_eq!(reached.len(), TREE.len(), "every question can be reached");
    }
}
