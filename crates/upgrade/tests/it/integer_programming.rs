//! The exact front against a general-purpose integer programming library (`microlp` 0.7).
//!
//! Independent: the library knows nothing of classes, pairs or staircases; it branches and bounds over one
//! zero-one variable a row. By scalarisation, every weighting of the objectives has its optimum on the
//! front: the library's optimum must equal the best of ours, and beat none of it.

use microlp::{ComparisonOp, OptimizationDirection, SolveOutcome, Variable};
use proptest::prelude::*;
use upgrade::front::solve::{
    BoardRow, CoolerRow, FrontPoint, MemoryRow, Problem, ProcessorRow, SupplyRow, front,
};

/// Rounding of a branch-and-bound in doubles over sums of some hundreds.
const SLACK: f64 = 1e-6;

fn problem() -> impl Strategy<Value = Problem> {
    let processor = (0..2_u32, 0..2_u32, 1..4_u64, 0..2_u32, 1..20_i64, 1..30_i64, 0..40_i64).prop_map(
        |(socket, generation, series, memory, power, speed, price)| ProcessorRow {
            socket,
            generation,
            series,
            memory,
            power,
            speed,
            price,
        },
    );
    let board = (0..2_u32, 0..2_u32, 1..4_u64, 0..2_u32, 5..20_i64, 1..9_i64, 0..30_i64).prop_map(
        |(socket, series, generations, memory, stages, power, price)| BoardRow {
            socket,
            series,
            generations,
            memory,
            stages,
            power,
            price,
        },
    );
    let kit = (0..2_u32, 0..9_i64, 1..5_i64, 0..20_i64).prop_map(|(memory, speed, power, price)| MemoryRow {
        memory,
        speed,
        power,
        price,
    });
    let cooler = (1..4_u64, 3..20_i64, 0..20_i64).prop_map(|(sockets, carries, price)| CoolerRow {
        sockets,
        carries,
        price,
    });
    let supply = (10..50_i64, 0..30_i64).prop_map(|(gives, price)| SupplyRow { gives, price });
    (
        proptest::collection::vec(processor, 3..9),
        proptest::collection::vec(board, 3..9),
        proptest::collection::vec(kit, 2..6),
        proptest::collection::vec(cooler, 2..6),
        proptest::collection::vec(supply, 2..5),
    )
        .prop_map(|(processors, boards, memory, coolers, supplies)| Problem {
            processors,
            boards,
            memory,
            coolers,
            supplies,
            other_power: 4,
            base_wall: 2,
        })
}

fn bit(set: u64, number: u32) -> bool {
    set >> number & 1 == 1
}

/// The best weighted route by integer programming: its cost, speed and wall power.
fn best(problem: &Problem, weights: [f64; 3]) -> Option<(f64, f64, f64)> {
    let [on_cost, on_speed, on_wall] = weights;
    let mut model = microlp::Problem::new(OptimizationDirection::Minimize);
    let mut add = |cost: i64, speed: i64, wall: i64| {
        model.add_binary_var(on_cost * cost as f64 - on_speed * speed as f64 + on_wall * wall as f64)
    };
    let p: Vec<Variable> =
        problem.processors.iter().map(|row| add(row.price, row.speed, row.power)).collect();
    let b: Vec<Variable> = problem.boards.iter().map(|row| add(row.price, 0, row.power)).collect();
    let m: Vec<Variable> = problem.memory.iter().map(|row| add(row.price, row.speed, row.power)).collect();
    let k: Vec<Variable> = problem.coolers.iter().map(|row| add(row.price, 0, 0)).collect();
    let s: Vec<Variable> = problem.supplies.iter().map(|row| add(row.price, 0, 0)).collect();
    for list in [&p, &b, &m, &k, &s] {
        let all: Vec<(Variable, f64)> = list.iter().map(|variable| (*variable, 1.0)).collect();
        model.add_constraint(all.as_slice(), ComparisonOp::Eq, 1.0);
    }
    let mut exclude = |one: Variable, other: Variable| {
        model.add_constraint([(one, 1.0), (other, 1.0)], ComparisonOp::Le, 1.0);
    };
    for (processor, x) in problem.processors.iter().zip(&p) {
        for (board, y) in problem.boards.iter().zip(&b) {
            let goes = board.socket == processor.socket
                && board.memory == processor.memory
                && bit(board.generations, processor.generation)
                && bit(processor.series, board.series);
            if !goes {
                exclude(*x, *y);
            }
        }
        for (cooler, y) in problem.coolers.iter().zip(&k) {
            if !bit(cooler.sockets, processor.socket) {
                exclude(*x, *y);
            }
        }
    }
    for (board, x) in problem.boards.iter().zip(&b) {
        for (kit, y) in problem.memory.iter().zip(&m) {
            if board.memory != kit.memory {
                exclude(*x, *y);
            }
        }
    }
    let power: Vec<(Variable, f64)> =
        problem.processors.iter().zip(&p).map(|(row, x)| (*x, -(row.power as f64))).collect();
    let mut carry = |list: Vec<(Variable, f64)>, least: f64| {
        let terms: Vec<(Variable, f64)> = list.into_iter().chain(power.iter().copied()).collect();
        model.add_constraint(terms.as_slice(), ComparisonOp::Ge, least);
    };
    carry(problem.boards.iter().zip(&b).map(|(row, x)| (*x, row.stages as f64)).collect(), 0.0);
    carry(problem.coolers.iter().zip(&k).map(|(row, x)| (*x, row.carries as f64)).collect(), 0.0);
    let supplied = problem.supplies.iter().zip(&s).map(|(row, x)| (*x, row.gives as f64));
    let boards = problem.boards.iter().zip(&b).map(|(row, x)| (*x, -(row.power as f64)));
    let kits = problem.memory.iter().zip(&m).map(|(row, x)| (*x, -(row.power as f64)));
    carry(supplied.chain(boards).chain(kits).collect(), problem.other_power as f64);
    let solution = match model.solve().ok()? {
        SolveOutcome::Solution(solution) => solution,
        SolveOutcome::Interrupted(_) => panic!("no limit was set, yet the solver stopped"),
    };
    let sum = |values: Vec<(Variable, i64)>| -> f64 {
        values.iter().map(|(variable, value)| solution[*variable].round() * *value as f64).sum()
    };
    let zip = |list: &[Variable], values: Vec<i64>| list.iter().copied().zip(values).collect::<Vec<_>>();
    let cost = sum(zip(&p, problem.processors.iter().map(|row| row.price).collect()))
        + sum(zip(&b, problem.boards.iter().map(|row| row.price).collect()))
        + sum(zip(&m, problem.memory.iter().map(|row| row.price).collect()))
        + sum(zip(&k, problem.coolers.iter().map(|row| row.price).collect()))
        + sum(zip(&s, problem.supplies.iter().map(|row| row.price).collect()));
    let speed = sum(zip(&p, problem.processors.iter().map(|row| row.speed).collect()))
        + sum(zip(&m, problem.memory.iter().map(|row| row.speed).collect()));
    let wall = sum(zip(&p, problem.processors.iter().map(|row| row.power).collect()))
        + sum(zip(&b, problem.boards.iter().map(|row| row.power).collect()))
        + sum(zip(&m, problem.memory.iter().map(|row| row.power).collect()))
        + problem.base_wall as f64;
    Some((cost, speed, wall))
}

fn weighted(point: &FrontPoint, weights: [f64; 3]) -> f64 {
    weights[0] * point.cost as f64 - weights[1] * point.speed as f64 + weights[2] * point.wall as f64
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn every_weighted_optimum_is_on_the_front(
        problem in problem(),
        weights in proptest::array::uniform3(0.05..3.0_f64),
    ) {
        let ours = front(&problem);
        match best(&problem, weights) {
            None => prop_assert!(ours.is_empty(), "integer programming finds no route, we find {}", ours.len()),
            Some((cost, speed, wall)) => {
                let theirs = weights[0] * cost - weights[1] * speed + weights[2] * wall;
                let least = ours.iter().map(|point| weighted(point, weights)).fold(f64::INFINITY, f64::min);
                prop_assert!((least - theirs).abs() <= SLACK, "{least} against {theirs}");
                for point in &ours {
                    let no_worse = cost <= point.cost as f64 && speed >= point.speed as f64 && wall <= point.wall as f64;
                    let same = cost == point.cost as f64 && speed == point.speed as f64 && wall == point.wall as f64;
                    prop_assert!(!no_worse || same, "it dominates {point:?}");
                }
            }
        }
    }
}
