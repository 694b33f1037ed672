//! The demo holds the traps that a technician meets, and the plan finds them.

use intake::demo;
use intake::library::ReadLibrary;
use intake::problem::Severity;
use upgrade::fit::finding::Verdict;
use upgrade::machine::present::Machine;
use upgrade::route::pick::PickKind;
use upgrade::route::plan::{Plan, plan};

pub(crate) fn library() -> ReadLibrary {
    let (read, problems) = demo::library();
    assert_eq!(problems, [], "the demo library reads without problems");
    read
}

pub(crate) fn machine(name: &str, library: &ReadLibrary) -> Machine {
    let (machine, problems) = demo::machine(name, library).unwrap();
    assert_eq!(problems, [], "the machine {name} reads without problems");
    machine.unwrap()
}

fn planned(name: &str) -> (Machine, Plan) {
    let library = library();
    let machine = machine(name, &library);
    let plan = plan(&machine, &library.library).unwrap();
    (machine, plan)
}

fn pick(plan: &Plan, kind: PickKind) -> Option<&upgrade::route::pick::Pick> {
    plan.picks.iter().find(|pick| pick.kind == kind)
}

#[test]
fn the_library_is_as_large_as_a_shop_window() {
    let library = library().library;
    let generations: std::collections::BTreeSet<_> =
        library.processors.values().map(|processor| &processor.generation).collect();
    assert!(library.sockets.len() >= 5 && generations.len() >= 8);
    assert!(library.processors.len() >= 48 && library.chipsets.len() >= 12 && library.boards.len() >= 36);
    assert!(library.memory.len() >= 24 && library.coolers.len() >= 28 && library.supplies.len() >= 18);
    assert!(library.cases.len() >= 12 && library.pastes.len() >= 8);
}

#[test]
fn the_library_has_no_contradictions() {
    let errors: Vec<_> = intake::lint::lint(&library())
        .into_iter()
        .filter(|problem| problem.severity == Severity::Error)
        .collect();
    assert_eq!(errors, []);
}

#[test]
fn the_radio_station_gets_a_drop_in_that_needs_newer_firmware() {
    let (_, plan) = planned("demo");
    let best = &pick(&plan, PickKind::BestValue).unwrap().route;
    let processor = best.items.iter().find(|item| item.kind.word() == "processor").unwrap();
    assert!(processor.id.text().starts_with("tern-2"), "{}", processor.id);
    let firmware = best.findings.iter().find(|finding| finding.rule == "firmware").unwrap();
    assert_eq!(firmware.verdict, Verdict::OnCondition);
    assert!(firmware.cure.as_ref().unwrap().contains("old processor is still in"));
    let stopped: Vec<&str> =
        plan.near_misses.iter().flat_map(|miss| &miss.stopped_by).map(|finding| finding.rule).collect();
    assert!(stopped.contains(&"generation") && stopped.contains(&"power-stages"), "{stopped:?}");
}

#[test]
fn the_school_library_changes_nothing() {
    let (_, plan) = planned("school");
    assert!(pick(&plan, PickKind::BestValue).is_none());
    let stay = pick(&plan, PickKind::Stay).unwrap();
    let nothing_gains = ["less than the 10 %", "No change in the library"];
    assert!(nothing_gains.iter().any(|words| stay.reasons[0].contains(words)), "{:?}", stay.reasons);
}

#[test]
fn the_family_server_gets_something_that_fits_its_small_case() {
    let (machine, plan) = planned("family");
    let best = &pick(&plan, PickKind::BestValue).unwrap().route;
    assert!(best.gain.saved_a_day.get().unwrap().low().si() > 0.0);
    for item in best.items.iter().filter(|item| item.kind.word() == "cooler") {
        let cooler = &library().library.coolers[&item.id];
        let height = cooler.height.get().unwrap().high();
        assert!(height <= machine.case.part.cooler_height.get().unwrap().low());
    }
}

/// One change of a machine gives this verdict by this rule.
#[track_caller]
fn trap(name: &str, with: &[&str], rule: &str, verdict: Verdict) {
    let library = library();
    let machine = machine(name, &library);
    let named: Vec<String> = with.iter().map(|id| (*id).to_owned()).collect();
    let changes = desk::check::changes(&library.library, &named).unwrap();
    let (findings, _) = desk::check::check(&machine, &library.library, changes);
    let finding = findings.iter().find(|finding| finding.rule == rule).unwrap();
    assert_eq!(finding.verdict, verdict, "{with:?}: {}", finding.sentence);
    let needs_more = matches!(verdict, Verdict::DoesNotFit | Verdict::OnCondition);
    assert!(!needs_more || finding.cure.is_some(), "{rule} says what to do");
    assert!(verdict != Verdict::CannotTell || finding.settle.is_some(), "{rule} says what settles it");
}

#[test]
fn every_trap_is_found_by_its_rule() {
    use Verdict::{CannotTell, DoesNotFit, Fits, OnCondition};
    trap("demo", &["tern-2-rush"], "firmware", OnCondition);
    trap("demo", &["tern-1-rush"], "firmware", Fits);
    trap("demo", &["tern-3-sedge"], "generation", DoesNotFit);
    trap("demo", &["tern-2-rush-open"], "multiplier", OnCondition);
    trap("demo", &["tern-2-mere-open"], "power-stages", DoesNotFit);
    trap("demo", &["tern-2-rush-bare"], "picture", DoesNotFit);
    trap("demo", &["rill-1-boulder"], "socket", DoesNotFit);
    trap("demo", &["tern-2-mere-sample"], "second-hand", OnCondition);
    trap("demo", &["holloway-140"], "cooler-height", DoesNotFit);
    trap("demo", &["larkspur-95-unmeasured"], "cooler-height", CannotTell);
    trap("demo", &["brindle-gannet-120"], "cooler-mounting", DoesNotFit);
    trap("demo", &["marl-3200-2x8-spread", "holloway-120"], "cooler-memory", DoesNotFit);
    trap("demo", &["scarp-2400-4x16-reg"], "memory-build", DoesNotFit);
    trap("demo", &["scarp-2133-2x16"], "memory-build", CannotTell);
    trap("demo", &["tern-5-sedge", "tidewell-knot"], "memory-type", DoesNotFit);
    trap("demo", &["tern-5-sedge", "tidewell-knot", "quillon-4800-2x16"], "memory-type", Fits);
    trap("demo", &["brackenlow-stile", "tern-2-sedge"], "firmware", CannotTell);
    trap("demo", &["tidewell-plover-small", "tern-2-mere"], "generation", DoesNotFit);
    trap("demo", &["pinfold-crozier", "tern-4-rush"], "generation", CannotTell);
    trap("demo", &["larkmoor-hollow", "squall-1-downpour"], "memory-type", DoesNotFit);
    trap("demo", &["kiln-350"], "aux-12v", OnCondition);
    trap("demo", &["ember-450-small"], "case-supply", DoesNotFit);
    trap("demo", &["culvert-360"], "radiator", DoesNotFit);
    trap("demo", &["tidewell-dotterel-wide"], "case-board", DoesNotFit);
    trap("demo", &["tern-2-rush"], "keys", OnCondition);
    trap("family", &["holloway-92"], "cooler-height", DoesNotFit);
    trap("family", &["rill-1-crag-bare"], "picture", DoesNotFit);
    trap("family", &["pinfold-hatch", "rill-1-boulder"], "aux-12v", OnCondition);
    trap("school", &["squall-1-downpour-open"], "generation", DoesNotFit);
    trap("school", &["squall-1-shower"], "second-hand", DoesNotFit);
    trap("school", &["tidewell-twite", "quillon-2666-2x8"], "keys", OnCondition);
}
