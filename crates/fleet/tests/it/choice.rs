//! The choice by integer programming against plain enumeration of every choice.

use core::time::Duration;

use fleet::choose::{GroupRow, MoneyCounts, Problem, Proof, WayRow, choose, sums};
use fleet::curve::curve;
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;

const KINDS: usize = 2;
const PARTS: usize = 2;

fn way() -> impl Strategy<Value = WayRow> {
    (0_i64..60_000, 0_i64..30_000, 10_i64..120, of(0..KINDS), of(0..KINDS), vec((0..PARTS, 1_i64..2), 0..2))
        .prop_map(|(value, cost, minutes, takes, gives, uses)| WayRow {
            value,
            cost,
            minutes,
            takes,
            gives,
            uses,
        })
}

fn problems() -> impl Strategy<Value = Problem> {
    let group = (1_i64..4, vec(way(), 0..4)).prop_map(|(count, ways)| GroupRow { count, ways });
    let money = prop_oneof![Just(MoneyCounts::Whole), Just(MoneyCounts::BetweenEquals)];
    (
        vec(group, 1..4),
        vec(0_i64..9_000, KINDS),
        vec(0_i64..4, PARTS),
        of(0_i64..80_000),
        of(0_i64..400),
        money,
    )
        .prop_map(|(groups, resale, stock, budget, minutes, money_counts)| Problem {
            groups,
            resale,
            stock,
            budget,
            minutes,
            money_counts,
        })
}

/// Every choice of a problem, one after the other.
fn every(problem: &Problem, look: &mut dyn FnMut(&[Vec<i64>])) {
    let slots: Vec<(usize, usize, i64)> = problem
        .groups
        .iter()
        .enumerate()
        .flat_map(|(place, group)| (0..group.ways.len()).map(move |way| (place, way, group.count)))
        .collect();
    let mut counts: Vec<Vec<i64>> = problem.groups.iter().map(|group| vec![0; group.ways.len()]).collect();
    loop {
        look(&counts);
        // The next number in a counting system whose digits are the machines of each way.
        let mut carried = true;
        for (place, way, most) in &slots {
            let digit = &mut counts[*place][*way];
            if *digit < *most {
                *digit += 1;
                carried = false;
                break;
            }
            *digit = 0;
        }
        if carried {
            return;
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn equals_the_best_of_every_choice(problem in problems()) {
        let mut best: Option<(i64, i64)> = None;
        every(&problem, &mut |counts| {
            if let Some(sums) = sums(&problem, counts) {
                let rank = (sums.objective(problem.money_counts), -sums.cost);
                if best.is_none_or(|best| rank > best) {
                    best = Some(rank);
                }
            }
        });
        let chosen = choose(&problem, None).unwrap();
        prop_assert_eq!(chosen.proof, Proof::Optimal);
        prop_assert_eq!(sums(&problem, &chosen.counts), Some(chosen.sums));
        let (objective, less_cost) = best.unwrap();
        prop_assert_eq!(chosen.sums.objective(problem.money_counts), objective);
        if problem.money_counts == MoneyCounts::BetweenEquals {
            prop_assert_eq!(-chosen.sums.cost, less_cost);
        }
    }
}

fn large() -> Problem {
    // Values and costs without a common factor, so that the last cents have to be searched for.
    let mut draw = 12_345_u64;
    let mut next = move |below: u64| {
        draw = draw.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from((draw >> 33) % below).unwrap()
    };
    let groups = (0..120).map(|_| GroupRow {
        count: 1 + next(80),
        ways: (0..12)
            .map(|_| WayRow {
                value: 2_000 + next(60_000),
                cost: 500 + next(30_000),
                minutes: 15 + next(120),
                ..WayRow::default()
            })
            .collect(),
    });
    Problem {
        groups: groups.collect(),
        budget: Some(9_876_543),
        minutes: Some(60 * 1_500),
        ..Problem::default()
    }
}

#[test]
fn a_search_that_is_stopped_says_how_far_off_it_can_be() {
    let problem = large();
    let stopped = choose(&problem, Some(Duration::ZERO)).unwrap();
    assert!(sums(&problem, &stopped.counts).is_some());
    match stopped.proof {
        Proof::Optimal => panic!("nothing can be proved in no time"),
        Proof::Within { gap } => assert!(gap.is_none_or(|gap| gap > 0.0)),
    }
    let longer = choose(&problem, Some(Duration::from_secs(4))).unwrap();
    let objective = longer.sums.objective(problem.money_counts);
    match longer.proof {
        Proof::Optimal => {}
        Proof::Within { gap } => {
            // The bound is one: what was reached earlier cannot lie above it.
            let bound = objective as f64 + gap.unwrap();
            assert!(bound >= stopped.sums.objective(problem.money_counts) as f64);
            assert!(gap.unwrap() < 0.001 * objective as f64, "{gap:?} of {objective}");
        }
    }
}

#[test]
fn nothing_is_a_choice() {
    let dear = WayRow { value: 10, cost: 1_000, minutes: 30, ..WayRow::default() };
    let problem = Problem { groups: vec![GroupRow { count: 7, ways: vec![dear] }], ..Problem::default() };
    let chosen = choose(&problem, None).unwrap();
    assert_eq!((chosen.counts, chosen.sums.cost), (vec![vec![0]], 0));
    assert_eq!(choose(&Problem::default(), None).unwrap().sums.value, 0);
}

#[test]
fn what_comes_out_of_one_goes_into_another() {
    // One machine gets a new processor for 100.00; its old one, worth 5.00 to a dealer, serves the second.
    let first = WayRow { value: 30_000, cost: 10_000, minutes: 60, gives: Some(0), ..WayRow::default() };
    let second = WayRow { value: 8_000, cost: 300, minutes: 60, takes: Some(0), ..WayRow::default() };
    let problem = Problem {
        groups: vec![GroupRow { count: 1, ways: vec![first] }, GroupRow { count: 2, ways: vec![second] }],
        resale: vec![500],
        ..Problem::default()
    };
    let chosen = choose(&problem, None).unwrap();
    assert_eq!(chosen.counts, [[1], [1]]);
    // Not sold, since it is used: 100.00 and 3.00 of paste are spent.
    assert_eq!(chosen.sums.cost, 10_300);
}

#[test]
fn more_money_never_brings_less() {
    let problem = Problem { budget: None, minutes: None, ..large() };
    let steps = curve(&problem, 6, Some(Duration::from_secs(1))).unwrap();
    assert_eq!(steps.len(), 7);
    for pair in steps.windows(2) {
        assert!(pair[0].sums.cost <= pair[0].budget);
        let reached = pair.iter().map(|step| step.sums.objective(problem.money_counts)).collect::<Vec<_>>();
        assert!(reached[0] <= reached[1], "{reached:?}");
    }
}
