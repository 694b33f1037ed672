//! The fast search against plain enumeration, on random small libraries drawn from the demo's parts.

use proptest::prelude::*;
use quantity::money::Currency;
use quantity::money::Money;
use upgrade::fit::rules::ALL;
use upgrade::machine::present::Machine;
use upgrade::machine::wishes::{BoardWish, NoiseWish};
use upgrade::part::id::PartId;
use upgrade::part::library::Library;
use upgrade::part::offer::PriceKind;
use upgrade::route::options::Condition;
use upgrade::route::options::Options;
use upgrade::route::pick::PickKind;
use upgrade::route::plan::plan;
use upgrade::route::price_turn::{PriceTurn, Turn, price_turns};
use upgrade::route::search::{Found, Search, Stages};

use crate::demo::{library, machine};

/// A few parts of each kind, always with the chipsets and sockets; those that go with the machine's socket
/// come up more often, so that most draws have routes.
fn drawn(all: &Library, draw: &[u16], counts: [usize; 6], socket: &upgrade::part::id::PartId) -> Library {
    let mut next = draw.iter().copied().cycle();
    let mut some = |len: usize, count: usize| -> Vec<usize> {
        (0..count).map(|_| usize::from(next.next().unwrap()) % len.max(1)).collect()
    };
    macro_rules! pick {
        ($map:ident, $count:expr, $keep:expr) => {{
            let list: Vec<_> = all.$map.iter().filter(|(_, part)| $keep(part)).collect();
            some(list.len(), $count)
                .into_iter()
                .filter_map(|idx| list.get(idx).map(|(id, part)| ((*id).clone(), (*part).clone())))
                .collect()
        }};
    }
    Library {
        sockets: all.sockets.clone(),
        chipsets: all.chipsets.clone(),
        processors: pick!(processors, counts[0], |p: &upgrade::part::processor::Processor| p.socket
            == *socket),
        boards: pick!(boards, counts[1], |b: &upgrade::part::board::Board| b.socket == *socket),
        memory: pick!(memory, counts[2], |m: &upgrade::part::memory::MemoryKit| m
            .kind
            .get()
            .is_some_and(|kind| kind.word() == "DDR4")),
        coolers: pick!(coolers, counts[3], |c: &upgrade::part::cooler::Cooler| c.sockets.contains(socket)),
        pastes: pick!(pastes, counts[4], |_: &_| true),
        supplies: pick!(supplies, counts[5], |_: &_| true),
        cases: all.cases.clone(),
        rates: all.rates.clone(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn the_front_is_that_of_plain_enumeration(
        draw in proptest::collection::vec(any::<u16>(), 40),
        which in 0..3_usize,
        budget in 0..600_i64,
        keep in any::<bool>(),
        quiet in any::<bool>(),
    ) {
        let all = library();
        let mut machine = machine(intake::demo::NAMES[which], &all);
        machine.wishes.budget = Some(format!("{budget} EUR").parse().unwrap());
        machine.wishes.board = if keep { BoardWish::Keep } else { BoardWish::MayChange };
        machine.wishes.noise = if quiet { NoiseWish::Quiet } else { NoiseWish::Indifferent };
        let library = drawn(&all.library, &draw, [4, 3, 2, 4, 2, 2], &machine.board.part.socket);
        let options = Options::of(&machine, &library, Currency::EUR);
        let search = Search::new(&machine, &library, &options);
        let (fast, plain): (Vec<Found>, Vec<Found>) = (search.front().routes, search.enumerate());
        let objectives = |list: &[Found]| list.iter().map(|found| found.objectives).collect::<Vec<_>>();
        prop_assert_eq!(objectives(&fast), objectives(&plain));
        for found in &fast {
            // Its choice may be another of equal ones, but it must be a route with these objectives.
            let risk = search.risk(&found.choice);
            prop_assert_eq!(risk, Some(found.objectives.risk));
            prop_assert_eq!(search.objectives(&found.choice, found.objectives.risk), Some(found.objectives));
        }
    }
}

/// Fans for the cooler that is there are a route of their own: no paste, no lifting, less time at the bench, and as exact.
#[test]
fn other_fans_alone_compete_with_paste_and_coolers() {
    let all = library();
    let mut machine = machine("demo", &all);
    machine.wishes.budget = Some("60 EUR".parse().unwrap());
    let mut few = all.library.clone();
    few.coolers.retain(|id, _| id.text().starts_with("larkspur-90") || id.text() == "holloway-92");
    few.pastes.retain(|id, _| id.text().starts_with("skerry"));
    few.processors.clear();
    few.boards.clear();
    few.memory.clear();
    few.supplies.clear();
    let options = Options::of(&machine, &few, Currency::EUR);
    let search = Search::new(&machine, &few, &options);
    let (fast, plain) = (search.front().routes, search.enumerate());
    let objectives = |list: &[Found]| list.iter().map(|found| found.objectives).collect::<Vec<_>>();
    assert_eq!(objectives(&fast), objectives(&plain));
    let of = |ids: &[&str]| {
        fast.iter().find(|found| {
            let changed = options.changes(&found.choice).ids();
            changed.iter().map(upgrade::part::id::PartId::text).eq(ids.iter().copied())
        })
    };
    let fans = of(&["larkspur-90-swift"]).expect("faster fans alone are on the front");
    let paste = of(&["skerry-plain"]).expect("fresh paste alone is on the front");
    // The whole price of the fans: the cooler stays and brings nothing.
    assert_eq!(fans.objectives.cost, 1_100);
    assert!(fans.objectives.saved_s() > 0 && fans.objectives.minutes < paste.objectives.minutes);
    // On a machine with another cooler they do not go on.
    let mut other = machine.clone();
    other.cooler.part =
        all.library.coolers.values().find(|one| one.id.text() == "holloway-92").unwrap().clone();
    let search = Search::new(&other, &few, &options);
    assert_eq!(search.risk(&fans.choice), None);
}

#[test]
fn every_rule_is_weighed_exactly_once() {
    let stages = Stages::new();
    let lists = [
        &stages.pair,
        &stages.memory,
        &stages.cooler_build,
        &stages.cooler,
        &stages.paste,
        &stages.cooler_memory,
        &stages.supply,
    ];
    for rule in ALL {
        let times = lists.iter().flat_map(|list| list.iter()).filter(|other| other.id == rule.id).count();
        assert_eq!(times, 1, "{}", rule.id);
    }
}

#[test]
fn a_plan_is_the_same_every_time() {
    let all = library();
    let machine = machine("family", &all);
    let again = || plan(&machine, &all.library).unwrap();
    assert_eq!(again(), again());
}

#[test]
fn two_currencies_need_a_rate() {
    let mut all = library();
    let mut machine = machine("demo", &all);
    machine.wishes.hour_value = Some("1.30 USD".parse().unwrap());
    let refused = plan(&machine, &all.library).unwrap_err();
    assert!(refused.to_string().contains("value of an hour"), "{refused}");
    let why = std::error::Error::source(&refused).unwrap().to_string();
    assert!(why.contains("exchange rate"), "{why}");
    // With the rate it is the plan for the same worth in the other currency.
    let rate = quantity::money::Rate { from: "1.20 EUR".parse().unwrap(), to: "1.30 USD".parse().unwrap() };
    all.library.rates.add(rate).unwrap();
    let converted = plan(&machine, &all.library).unwrap();
    machine.wishes.hour_value = Some("1.20 EUR".parse().unwrap());
    assert_eq!(converted, plan(&machine, &all.library).unwrap());
}

#[test]
fn unknown_days_are_not_no_days() {
    let all = library();
    let mut machine = machine("demo", &all);
    machine.setting.days_a_year = None;
    let plan = plan(&machine, &all.library).unwrap();
    // Worth a year cannot be said, but a change that saves a quarter of the time is still worthwhile.
    assert!(plan.picks.len() >= 3, "{} picks", plan.picks.len());
    assert!(plan.picks.iter().all(|pick| pick.route.yearly_worth.is_none()));
}

#[test]
fn energy_without_a_price_is_said_not_to_count() {
    let all = library();
    let mut machine = machine("demo", &all);
    machine.setting.energy_price = None;
    let plan = plan(&machine, &all.library).unwrap();
    let said =
        plan.picks.iter().flat_map(|pick| &pick.reasons).any(|reason| reason.contains("energy not counted"));
    assert!(said);
}

/// The parts of the best value at these prices, by planning anew.
fn best_value(machine: &Machine, library: &Library) -> Vec<PartId> {
    let plan = plan(machine, library).unwrap();
    let pick = plan.picks.iter().find(|pick| pick.kind == PickKind::BestValue);
    pick.map_or_else(Vec::new, |pick| pick.route.items.iter().map(|item| item.id.clone()).collect())
}

/// The library with the price of one part set.
fn priced(library: &Library, turn: &PriceTurn, price: Money) -> Library {
    let mut library = library.clone();
    let kind = match turn.condition {
        Condition::New => PriceKind::New,
        Condition::Used => PriceKind::SecondHand,
    };
    if let Some(part) = library.processors.get_mut(&turn.part) {
        part.offers.set(kind, price, None);
    } else if let Some(part) = library.coolers.get_mut(&turn.part) {
        part.offers.set(kind, price, None);
    } else if let Some(part) = library.pastes.get_mut(&turn.part) {
        part.offers.set(kind, price, None);
    } else if let Some(part) = library.boards.get_mut(&turn.part) {
        part.offers.set(kind, price, None);
    } else if let Some(part) = library.memory.get_mut(&turn.part) {
        part.offers.set(kind, price, None);
    } else {
        library.supplies.get_mut(&turn.part).unwrap().offers.set(kind, price, None);
    }
    library
}

/// Where the best value turns on the way to `end`, by planning anew at every price that halving asks for.
fn turn_by_planning(machine: &Machine, library: &Library, turn: &PriceTurn, end: i64) -> Option<i64> {
    let now = best_value(machine, library);
    let is_other = |minor: i64| {
        let price = Money::from_minor(minor, turn.price.currency());
        best_value(machine, &priced(library, turn, price)) != now
    };
    let (mut same, mut other) = (turn.price.minor(), end);
    if !is_other(end) {
        return None;
    }
    while (other - same).abs() > 1 {
        let middle = same + (other - same) / 2;
        if is_other(middle) { other = middle } else { same = middle }
    }
    Some(other)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn a_turn_is_where_planning_anew_finds_it(
        draw in proptest::collection::vec(any::<u16>(), 40),
        which in 0..3_usize,
        budget in 50..900_i64,
        hour in prop::option::of(1..40_i64),
        keep in any::<bool>(),
        quiet in any::<bool>(),
    ) {
        let all = library();
        let mut machine = machine(intake::demo::NAMES[which], &all);
        machine.wishes.budget = Some(format!("{budget} EUR").parse().unwrap());
        machine.wishes.hour_value = hour.map(|hour| format!("{hour}.35 EUR").parse().unwrap());
        machine.wishes.board = if keep { BoardWish::Keep } else { BoardWish::MayChange };
        machine.wishes.noise = if quiet { NoiseWish::Quiet } else { NoiseWish::Indifferent };
        let library = drawn(&all.library, &draw, [6, 3, 2, 4, 2, 2], &machine.board.part.socket);
        let Ok(plan) = plan(&machine, &library) else { return Ok(()) };
        let now = best_value(&machine, &library);
        for turn in price_turns(&machine, &library, &plan).unwrap() {
            let end = if now.contains(&turn.part) { (turn.price.minor() * 20).max(100_000) } else { 0 };
            let found = match turn.turn {
                Turn::At { price, .. } => Some(price.minor()),
                Turn::Never => None,
            };
            prop_assert_eq!(found, turn_by_planning(&machine, &library, &turn, end), "{:?}", turn);
        }
    }
}

#[test]
fn a_plan_turns_just_where_it_says() {
    for name in ["demo", "school", "family"] {
        let all = intake::demo::library().0;
        let machine = intake::demo::machine(name, &all).unwrap().0.unwrap();
        let plan = plan(&machine, &all.library).unwrap();
        let now = best_value(&machine, &all.library);
        let turns = price_turns(&machine, &all.library, &plan).unwrap();
        assert!(name != "demo" || turns.len() > 2, "{turns:#?}");
        for turn in &turns {
            let Turn::At { price, .. } = &turn.turn else {
                let dear = Money::from_minor(turn.price.minor() * 20, turn.price.currency());
                assert_eq!(best_value(&machine, &priced(&all.library, turn, dear)), now, "{turn:?}");
                continue;
            };
            let step = (price.minor() - turn.price.minor()).signum();
            let before = Money::from_minor(price.minor() - step, price.currency());
            assert_ne!(best_value(&machine, &priced(&all.library, turn, *price)), now, "{name} {turn:?}");
            assert_eq!(best_value(&machine, &priced(&all.library, turn, before)), now, "{name} {turn:?}");
        }
    }
}
