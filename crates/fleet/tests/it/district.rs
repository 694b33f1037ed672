//! Fleets of demo machines, with the demo's library.

use core::ops::ControlFlow;
use std::collections::BTreeMap;

use fleet::choose::{Proof, sums};
use fleet::group::{Member, groups};
use fleet::plan::plan;
use fleet::terms::{Goal, Resale, Reuse, Terms};
use fleet::ways::{Freed, NoWays};
use intake::demo;
use upgrade::fit::finding::Verdict;
use upgrade::fit::rule::{judge, overall};
use upgrade::machine::present::{Fitted, Machine};
use upgrade::machine::proposal::{Changes, Proposal};
use upgrade::part::id::PartId;
use upgrade::part::library::Library;

fn machine(name: &str) -> (Machine, Library) {
    let (read, _) = demo::library();
    let machine = demo::machine(name, &read).unwrap().0.unwrap();
    (machine, read.library)
}

fn member(machine: &Machine, id: &str) -> Member {
    Member {
        machine: Machine { id: id.to_owned(), name: id.to_owned(), ..machine.clone() },
        from: id.to_owned(),
    }
}

fn terms(machine: &Machine) -> Terms {
    Terms {
        currency: machine.wishes.budget.unwrap().currency(),
        goal: Goal::Worth,
        years: 3.0,
        reuse: Reuse::Welcome,
        resale: Resale::Counted,
        budget: None,
        minutes: None,
        stock: BTreeMap::new(),
    }
}

const QUIET: fleet::plan::Progress<'_> = &|_, _| ControlFlow::Continue(());

#[test]
fn alike_machines_are_one_group_whatever_they_are_called() {
    let (demo, _) = machine("demo");
    let warmer = Machine { firmware: quantity::reading::Reading::Unknown, ..demo.clone() };
    let members = [member(&demo, "a"), member(&warmer, "b"), member(&demo, "c")];
    let found = groups(&members);
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].members, [0, 2]);
}

#[test]
fn one_machine_gets_what_its_own_plan_calls_the_best_value() {
    // The plan for one machine picks by the same worth; the fleet's choice for a fleet of one is that pick.
    let (demo, library) = machine("demo");
    let own = upgrade::route::plan::plan(&demo, &library).unwrap();
    let best = own.picks.iter().find(|pick| pick.kind == upgrade::route::pick::PickKind::BestValue).unwrap();
    let fleet = plan(&[member(&demo, "a")], &library, &terms(&demo), None, QUIET).unwrap();
    assert_eq!(fleet.jobs.len(), 1);
    let job = fleet.jobs[0];
    let way = &fleet.groups[job.group].ways.as_ref().unwrap().list[job.way];
    assert_eq!(way.title, best.route.title);
    assert_eq!(fleet.chosen.sums.cost, best.route.net_cost.minor());
}

#[test]
fn a_processor_moves_where_it_fits_and_serves() {
    // A studio machine gets a better processor; a sister with a lesser processor gets the old one.
    let (demo, library) = machine("demo");
    let mut sister = demo.clone();
    let lesser = library.processors.get(&PartId::new("tern-1-reed")).unwrap();
    sister.processor = Fitted::plain(lesser.clone());
    let members = [member(&sister, "sister"), member(&demo, "studio")];
    // The shop has one processor left.
    let mut stock: BTreeMap<PartId, u32> = library.processors.keys().map(|id| (id.clone(), 0)).collect();
    stock.insert(PartId::new("tern-2-rush-open"), 1);
    let all = Terms { stock, ..terms(&demo) };
    let fleet = plan(&members, &library, &all, None, QUIET).unwrap();
    assert_eq!(fleet.chosen.proof, Proof::Optimal);
    let moved = fleet.jobs.iter().find(|job| job.from.is_some()).unwrap();
    assert_eq!((moved.member, moved.from), (0, Some(1)));
    assert_eq!(fleet.jobs.iter().map(|job| job.member).collect::<Vec<_>>(), [1, 0]);
    // What moves fits there by every rule.
    let way = &fleet.groups[moved.group].ways.as_ref().unwrap().list[moved.way];
    let processor = &fleet.donors.kinds[way.takes.unwrap()].processor;
    assert_eq!(*processor, demo.processor.part);
    let paste = way.bought.iter().find_map(|part| library.pastes.get(&part.id));
    let cooler = way.bought.iter().find_map(|part| library.coolers.get(&part.id));
    let changes = Changes { processor: Some(processor), paste, cooler, ..Changes::default() };
    let verdict = overall(&judge(&Proposal { now: &sister, changes, library: &library }));
    assert!(matches!(verdict, Verdict::Fits | Verdict::OnCondition), "{verdict:?}");
    // Without moving, the two together gain less.
    let apart = plan(&members, &library, &Terms { reuse: Reuse::Never, ..all }, None, QUIET).unwrap();
    assert!(apart.jobs.iter().all(|job| job.from.is_none()));
    let objective = |plan: &fleet::plan::FleetPlan| plan.chosen.sums.objective(plan.problem.money_counts);
    assert!(objective(&apart) < objective(&fleet));
}

#[test]
fn a_part_in_short_supply_goes_as_far_as_it_does_and_the_next_best_follows() {
    let (demo, library) = machine("demo");
    let members: Vec<Member> = (0..4).map(|place| member(&demo, &format!("m{place}"))).collect();
    let all = terms(&demo);
    let free = plan(&members, &library, &all, None, QUIET).unwrap();
    let way = &free.groups[0].ways.as_ref().unwrap().list[free.jobs[0].way];
    let scarce: PartId = way.bought[0].id.clone();
    let uses = |plan: &fleet::plan::FleetPlan| {
        plan.jobs
            .iter()
            .filter(|job| {
                let way = &plan.groups[job.group].ways.as_ref().unwrap().list[job.way];
                way.bought.iter().any(|part| part.id == scarce)
            })
            .count()
    };
    assert_eq!(uses(&free), 4);
    let short = Terms { stock: BTreeMap::from([(scarce.clone(), 1)]), ..all.clone() };
    let limited = plan(&members, &library, &short, None, QUIET).unwrap();
    assert_eq!((limited.jobs.len(), uses(&limited)), (4, 1));
    // With none at all it is as if the library did not have it.
    let mut without = library.clone();
    without.processors.remove(&scarce);
    let none = Terms { stock: BTreeMap::from([(scarce, 0)]), ..all.clone() };
    let objective = |plan: &fleet::plan::FleetPlan| plan.chosen.sums.objective(plan.problem.money_counts);
    let by_stock = plan(&members, &library, &none, None, QUIET).unwrap();
    let by_library = plan(&members, &without, &all, None, QUIET).unwrap();
    assert_eq!(objective(&by_stock), objective(&by_library));
    assert!(objective(&by_stock) < objective(&limited) && objective(&limited) < objective(&free));
}

#[test]
fn budget_and_hours_bind() {
    let (demo, library) = machine("demo");
    let members: Vec<Member> = (0..5).map(|place| member(&demo, &format!("m{place}"))).collect();
    let all = terms(&demo);
    let free = plan(&members, &library, &all, None, QUIET).unwrap();
    let poor = Terms { budget: Some(free.chosen.sums.cost / 2), ..all.clone() };
    let poor = plan(&members, &library, &poor, None, QUIET).unwrap();
    assert!(poor.chosen.sums.cost <= free.chosen.sums.cost / 2 && !poor.jobs.is_empty());
    let busy = Terms { minutes: Some(90), ..all.clone() };
    let busy = plan(&members, &library, &busy, None, QUIET).unwrap();
    assert!(busy.chosen.sums.minutes <= 90 && !busy.jobs.is_empty());
    let none =
        plan(&members, &library, &Terms { budget: Some(0), minutes: Some(0), ..all }, None, QUIET).unwrap();
    assert!(none.jobs.is_empty());
    assert_eq!(sums(&none.problem, &none.chosen.counts), Some(none.chosen.sums));
}

#[test]
fn nobody_is_made_slower_and_every_way_is_worth_its_owners_trouble() {
    let (demo, library) = machine("demo");
    let (family, _) = machine("family");
    let fleet =
        plan(&[member(&demo, "a"), member(&family, "b")], &library, &terms(&demo), None, QUIET).unwrap();
    for weighed in &fleet.groups {
        let ways = weighed.ways.as_ref().unwrap();
        assert!(ways.list.iter().any(|way| way.frees == Freed::Out));
        assert!(ways.list.iter().all(|way| way.saved_s > 0));
    }
}

#[test]
fn what_cannot_be_valued_is_said_and_the_others_go_on() {
    let (demo, library) = machine("demo");
    let mut idle = demo.clone();
    idle.workload.tasks.clear();
    let mut unpaid = demo.clone();
    unpaid.wishes.hour_value = None;
    let mut dark = demo.clone();
    dark.processor.part.cores.clear();
    let members =
        [member(&idle, "idle"), member(&unpaid, "unpaid"), member(&dark, "dark"), member(&demo, "good")];
    let fleet = plan(&members, &library, &terms(&demo), None, QUIET).unwrap();
    assert!(matches!(fleet.groups[0].ways, Err(NoWays::Plan(_))));
    assert!(matches!(
        fleet.groups[1].ways,
        Err(NoWays::NotValued { what: "its record does not say wishes.hour_value" })
    ));
    assert!(fleet.groups[2].ways.as_ref().map_or(true, |ways| ways.list.is_empty() && ways.hanging > 0));
    assert_eq!(fleet.jobs.iter().map(|job| job.member).collect::<Vec<_>>(), [3]);
    let by_hours = Terms { goal: Goal::Hours, ..terms(&demo) };
    let fleet = plan(&members, &library, &by_hours, None, QUIET).unwrap();
    assert!(fleet.groups[1].ways.is_ok());
}
