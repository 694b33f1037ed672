//! The joint between lid and cooler: maps of pressed paste and of worn states feed the solve of the lid.

use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::paste::pattern::Pattern;
use physics::paste::tightening::Order;
use quantity::reading::{Origin, Reading};
use upgrade::carry::heat_map::{HeatMap, MapWanted, NoMap, Seen, heat_map};
use upgrade::carry::joint_map::JointMap;
use upgrade::carry::lid_stack::{LidJoint, LidStack};
use upgrade::carry::paste_setup::{NoPress, Putting};
use upgrade::machine::present::{Machine, PasteState};
use upgrade::machine::proposal::{Changes, Proposal};

use crate::demo::{library, machine};

const CELLS: Resolution = Resolution { x: 32, y: 32, z: 9 };

fn wanted(pattern: Option<Pattern>, order: Option<Order>) -> MapWanted {
    let putting = Putting { volume: None, order, cells: 32 };
    MapWanted { pattern, putting, cells: vec![CELLS], threads: 1 }
}

fn solved(proposal: &Proposal<'_>, wanted: &MapWanted) -> HeatMap {
    heat_map(proposal, wanted, &mut |_| ControlFlow::Continue(())).unwrap()
}

#[test]
fn a_map_that_is_even_is_an_even_joint() {
    let all = library();
    let machine = machine("demo", &all);
    let proposal = Proposal { now: &machine, changes: Changes::default(), library: &all.library };
    let stack = LidStack::of(&proposal).unwrap();
    let go = &mut |_| ControlFlow::Continue(());
    for resistance in [5e-6, 5e-5, 1e-3] {
        let map = JointMap {
            columns: 2,
            resistance_m2k_w: vec![resistance; 4],
            covered_die: 1.0,
            even_m2k_w: resistance,
        };
        let (_, of_map) = stack.solve(&LidJoint::Map(map), CELLS, 1, go).unwrap();
        let (_, even) = stack.solve(&LidJoint::Even(resistance), CELLS, 1, go).unwrap();
        // The map's stack has one row more: what remains is the grain of the cells through the lid.
        assert!((of_map / even - 1.0).abs() < 2e-3, "{resistance}: {of_map} against {even}");
    }
}

#[test]
fn every_state_costs_at_least_what_its_mild_end_says_and_at_most_its_bad_one() {
    let all = library();
    for state in PasteState::ALL {
        let mut machine: Machine = machine("demo", &all);
        machine.joint.state = Reading::Known(state, Origin::Hand);
        let proposal = Proposal { now: &machine, changes: Changes::default(), library: &all.library };
        let map = solved(&proposal, &wanted(None, None));
        let fresh = map.joint.fresh_k_w.unwrap();
        if state == PasteState::Fresh {
            // What is pressed is not what the scaling law says, but it is of its size.
            assert!((map.solver_k_w / fresh - 1.0).abs() < 0.2, "{} against {fresh}", map.solver_k_w);
            continue;
        }
        let (mild, bad) = map.joint.ends_k_w.unwrap();
        assert!(map.solver_k_w > fresh, "{state:?}: {} against fresh {fresh}", map.solver_k_w);
        assert!(
            mild <= map.solver_k_w && map.solver_k_w <= bad,
            "{state:?}: {mild}, {}, {bad}",
            map.solver_k_w
        );
        // A joint with bare places resists no less than one without, and no more than if it were bare all over.
        assert!(map.solver_k_w >= map.joint.even_k_w.unwrap() * (1.0 - 2e-3), "{state:?}");
        let says = draw::heat_map_text::sentences(&map, &Reading::Unknown).join(" ");
        assert!(says.contains(state.word()) && says.contains("common practice, no source"), "{says}");
    }
}

#[test]
fn more_that_is_pumped_out_costs_more() {
    let all = library();
    let costs: Vec<f64> = ["3 months", "3 years", "15 years"]
        .into_iter()
        .map(|age| {
            let mut machine = machine("demo", &all);
            machine.joint.state = Reading::Known(PasteState::PumpedOut, Origin::Hand);
            machine.joint.age = Reading::Known(age.parse().unwrap(), Origin::Hand);
            let proposal = Proposal { now: &machine, changes: Changes::default(), library: &all.library };
            solved(&proposal, &wanted(None, None)).joint.ends_k_w.unwrap().1
        })
        .collect();
    assert!(costs[0] <= costs[1] && costs[1] <= costs[2] && costs[0] < costs[2], "{costs:?}");
}

#[test]
fn fresh_paste_is_pressed_as_it_was_asked_for() {
    let all = library();
    let machine = machine("demo", &all);
    let paste = all.library.pastes.values().find(|paste| paste.id.text() == "skerry-fine");
    let screwed = all.library.coolers.values().find(|cooler| cooler.id.text() == "holloway-120");
    let with = |cooler| Changes { paste, cooler, ..Changes::default() };
    let proposal = Proposal { now: &machine, changes: with(screwed), library: &all.library };
    let mut one_side = wanted(Some(Pattern::Line), Some(Order::OneSideFirst));
    one_side.putting.cells = 48;
    let line = solved(&proposal, &one_side);
    assert!(line.joint.what.starts_with("line, pressed"), "{}", line.joint.what);
    assert!(line.joint.map.as_ref().unwrap().covered_die > 0.95);
    // Half a microlitre does not reach the die's rim.
    let mut little = wanted(Some(Pattern::Dot), None);
    little.putting.volume = Some("0.5 mm3".parse().unwrap());
    let little = solved(&proposal, &little);
    let covered = little.joint.map.as_ref().unwrap().covered_die;
    assert!(covered < 0.6 && little.solver_k_w > line.solver_k_w, "{covered}");
    // An order of screws means nothing under a clip.
    let clipped = Proposal { now: &machine, changes: with(None), library: &all.library };
    let told = heat_map(&clipped, &wanted(None, Some(Order::Crosswise)), &mut |_| ControlFlow::Continue(()));
    assert_eq!(told.unwrap_err(), NoMap::Press(NoPress::NoScrews("clip")));
}

#[test]
fn whoever_stops_gets_the_last_answer() {
    let all = library();
    let machine = machine("demo", &all);
    let paste = all.library.pastes.values().find(|paste| paste.id.text() == "skerry-fine");
    let changes = Changes { paste, ..Changes::default() };
    let proposal = Proposal { now: &machine, changes, library: &all.library };
    let stopping = |at: &dyn Fn(&Seen<'_>) -> bool| {
        heat_map(&proposal, &wanted(None, None), &mut |seen| {
            if at(&seen) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        })
    };
    let at_first_answer = |seen: &Seen<'_>| matches!(seen, Seen::Answer(_));
    let while_pressing = |seen: &Seen<'_>| matches!(seen, Seen::Pressing(_));
    for preview in [stopping(&at_first_answer).unwrap(), stopping(&while_pressing).unwrap()] {
        assert!(preview.joint.map.is_none() && preview.joint.even_k_w.is_none());
        let says = draw::heat_map_text::fidelity(&preview);
        assert!(says.contains("preview"), "{says}");
    }
    assert!(stopping(&|seen| matches!(seen, Seen::Solving(..))).is_err(), "nothing was solved yet");
}
