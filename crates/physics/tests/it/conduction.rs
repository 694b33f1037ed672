//! The conduction solver against closed forms, its own order and its balance.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::stack::{ConductionError, Interface, Layer, Source, Stack};
use physics::conduction::steady::{Steady, solve};
use physics::spreading::channel::{Block, Layer as PlateLayer, Rectangle, spreading};

fn layer(name: &str, side_m: f64, thickness_m: f64, conductivity: f64) -> Layer {
    let half = side_m / 2.0;
    Layer {
        name: name.to_owned(),
        thickness_m,
        x_m: (-half, half),
        y_m: (-half, half),
        conductivity_w_mk: [conductivity; 3],
        above: Interface::Even(0.0),
    }
}

fn source(layer: usize, side_m: f64, power_w: f64) -> Source {
    let half = side_m / 2.0;
    Source { layer, x_m: (-half, half), y_m: (-half, half), power_w }
}

fn solved(stack: &Stack, x: usize, y: usize, z: usize) -> Steady {
    solve(stack, Resolution { x, y, z }, 1, &mut |_| ControlFlow::Continue(())).unwrap()
}

/// A die, a lid and a cooler's base of their own sizes.
fn three_layers() -> Stack {
    Stack {
        layers: vec![
            Layer { above: Interface::Even(6e-6), ..layer("die", 0.012, 0.8e-3, 120.0) },
            Layer { above: Interface::Even(12e-6), ..layer("lid", 0.032, 2.5e-3, 390.0) },
            layer("base", 0.04, 6e-3, 390.0),
        ],
        sources: vec![source(0, 0.009, 65.0)],
        top_film_w_m2k: 2_500.0,
        bottom_film_w_m2k: 0.0,
    }
}

/// A plate heated all over: layers, interface and film in series (the textbook's series of resistances).
#[test]
fn heat_through_a_plate_is_a_series_of_resistances() {
    let stack = Stack {
        layers: vec![
            Layer { above: Interface::Even(1e-5), ..layer("lower", 0.02, 1e-3, 150.0) },
            layer("upper", 0.02, 3e-3, 390.0),
        ],
        sources: vec![source(0, 0.02, 40.0)],
        top_film_w_m2k: 3_000.0,
        bottom_film_w_m2k: 0.0,
    };
    let found = solved(&stack, 8, 8, 16);
    let area = 0.02_f64 * 0.02;
    // The source is in the lowest cell, whose middle lies half a cell up.
    let cell = found.grid.z_m[1];
    let exact = 40.0 / area * ((1e-3 - cell / 2.0) / 150.0 + 1e-5 + 3e-3 / 390.0 + 1.0 / 3_000.0);
    assert!((found.most_k / exact - 1.0).abs() < 1e-6, "{} K, the sum is {exact} K", found.most_k);
    assert!(found.imbalance < 1e-9, "{}", found.imbalance);
}

/// Mean over a source on a plate: the exact double series (Yovanovich and others; see `spreading::channel`).
#[test]
fn spreading_converges_to_the_closed_form() {
    let stack = Stack {
        layers: vec![layer("plate", 0.03, 3e-3, 390.0)],
        sources: vec![source(0, 0.01, 50.0)],
        top_film_w_m2k: 4_000.0,
        bottom_film_w_m2k: 0.0,
    };
    let block = Block {
        width_m: 0.03,
        depth_m: 0.03,
        layers: vec![PlateLayer { thickness_m: 3e-3, conductivity_w_mk: 390.0 }],
        film_w_m2k: 4_000.0,
    };
    let heated = Rectangle { width_m: 0.01, depth_m: 0.01, centre_x_m: 0.015, centre_y_m: 0.015 };
    let exact = 50.0 * spreading(&block, &heated).unwrap().mean_k_w;
    let error = |side: usize, z: usize| {
        let found = solved(&stack, side, side, z);
        // From the lowest cell's middle down to the heated face: half a cell of one-dimensional flow.
        let half = 50.0 / 1e-4 * (0.5 * found.grid.z_m[1]) / 390.0;
        (found.mean_k(0, (-0.005, 0.005), (-0.005, 0.005)) + half) / exact - 1.0
    };
    let (coarse, middle, fine) = (error(24, 6), error(48, 12), error(96, 24));
    println!("{coarse:+.2e} {middle:+.2e} {fine:+.2e}");
    assert!(fine.abs() < 2e-3, "{fine}");
    assert!(fine.abs() < 0.6 * middle.abs() && middle.abs() < 0.6 * coarse.abs(), "{coarse} {middle} {fine}");
}

#[test]
fn layers_of_their_own_size_balance_and_do_not_depend_on_threads() {
    let stack = three_layers();
    let at = |threads: usize| {
        solve(&stack, Resolution { x: 64, y: 64, z: 16 }, threads, &mut |_| ControlFlow::Continue(()))
            .unwrap()
    };
    let (one, two) = (at(1), at(3));
    assert!(one.imbalance < 1e-9 && one.residual <= 1e-8, "{} {}", one.imbalance, one.residual);
    assert!((one.most_k - two.most_k).abs() < 1e-9 * one.most_k);
    assert!(one.steps < 40, "{} steps", one.steps);
    // What is nothing has no temperature; the junction is hotter than the lid above it.
    let lid = one.map_k(1).into_iter().filter(|rise| rise.is_finite()).fold(0.0, f64::max);
    assert!(one.map_k(0)[0].is_nan() && lid < one.most_k);
}

/// Twice the power is twice the rise, and two halves side by side are the whole: the equations are linear.
#[test]
fn sources_add_up() {
    let whole = solved(&three_layers(), 48, 48, 12);
    let mut halves = three_layers();
    halves.sources = vec![
        Source { x_m: (-0.0045, 0.0), power_w: 65.0, ..source(0, 0.009, 65.0) },
        Source { x_m: (0.0, 0.0045), power_w: 65.0, ..source(0, 0.009, 65.0) },
    ];
    let double = solved(&halves, 48, 48, 12);
    assert!((double.most_k / whole.most_k - 2.0).abs() < 2e-3, "{} {}", double.most_k, whole.most_k);
}

/// Nine clusters of their own powers, each solved alone, add up to all of them together.
#[test]
fn any_number_of_sources_adds_up() {
    let at = |i: usize| -0.004 + 0.003 * i as f64;
    let clusters: Vec<Source> = (0..9)
        .map(|n| {
            let (x, y) = (at(n % 3), at(n / 3));
            Source { layer: 0, x_m: (x, x + 0.002), y_m: (y, y + 0.002), power_w: 2.0 + n as f64 }
        })
        .collect();
    let with = |chosen: &dyn Fn(usize) -> bool| {
        let mut stack = three_layers();
        // All edges stay, so that all grids are one.
        let power = |(n, source): (usize, &Source)| Source {
            power_w: if chosen(n) { source.power_w } else { 0.0 },
            ..source.clone()
        };
        stack.sources = clusters.iter().enumerate().map(power).collect();
        solved(&stack, 32, 32, 8)
    };
    let together = with(&|_| true);
    let mut sum = vec![0.0; together.rise_k.len()];
    for n in 0..clusters.len() {
        for (sum, rise) in sum.iter_mut().zip(with(&|chosen| chosen == n).rise_k) {
            *sum += rise;
        }
    }
    let apart = sum.iter().zip(&together.rise_k).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    assert!(apart < 1e-6 * together.most_k, "{apart} K of {}", together.most_k);
}

/// A cooler's resistance spread over the upper face, 1 / (R A) as a film: whatever flows how, all heat passes it, so the
/// mean of the face goes up by power times what the resistance does.
#[test]
fn a_sink_resistance_spread_over_the_face_carries_all_heat() {
    let mean_of_top = |resistance_k_w: f64| {
        let mut stack = three_layers();
        stack.top_film_w_m2k = 1.0 / (resistance_k_w * 0.04 * 0.04);
        let found = solved(&stack, 32, 32, 12);
        let (nx, ny, nz) = found.grid.cells();
        let (mut sum, mut area) = (0.0, 0.0);
        for y in 0..ny {
            for x in 0..nx {
                let part =
                    (found.grid.x_m[x + 1] - found.grid.x_m[x]) * (found.grid.y_m[y + 1] - found.grid.y_m[y]);
                sum += part * found.rise_k[(y * nz + nz - 1) * nx + x];
                area += part;
            }
        }
        sum / area
    };
    let apart = mean_of_top(0.42) - mean_of_top(0.18);
    assert!((apart / (65.0 * 0.24) - 1.0).abs() < 1e-6, "{apart} K");
}

/// A joint that is thicker towards one side, under a plate that conducts through only: each place is a series of its
/// own resistances, with the joint's value straight between the map's points.
#[test]
fn a_map_of_the_joint_is_local() {
    let through =
        |name: &str| Layer { conductivity_w_mk: [1e-9, 1e-9, 100.0], ..layer(name, 0.02, 1e-3, 1.0) };
    let resistance_m2k_w = vec![1e-5, 2e-5, 5e-5, 1.1e-4];
    let stack = Stack {
        layers: vec![
            Layer { above: Interface::Map { columns: 2, resistance_m2k_w }, ..through("lower") },
            through("upper"),
        ],
        sources: vec![source(0, 0.02, 40.0)],
        top_film_w_m2k: 5_000.0,
        bottom_film_w_m2k: 0.0,
    };
    let found = solved(&stack, 10, 16, 8);
    let map = found.map_k(0);
    let half = 0.5 * found.grid.z_m[1];
    for (at, rise) in map.iter().enumerate() {
        let (u, v) = ((at % 10) as f64 / 10.0 + 0.05, (at / 10) as f64 / 16.0 + 1.0 / 32.0);
        let joint = (1e-5 * (1.0 - u) + 2e-5 * u) * (1.0 - v) + (5e-5 * (1.0 - u) + 1.1e-4 * u) * v;
        let exact = 40.0 / (0.02 * 0.02) * ((2e-3 - half) / 100.0 + joint + 1.0 / 5_000.0);
        assert!((rise / exact - 1.0).abs() < 1e-5, "{at}: {rise} K, the sum is {exact} K");
    }
}

/// Grid-refinement study of a whole stack with a map: the junction's mean as all three sides' cells halve, the order from
/// three grids (P. J. Roache, Journal of Fluids Engineering 116 (1994), 405). Smooth solutions are of second order (a test
/// in `warming` shows it); the source's and the die's edges, where the flux is singular, leave between one and two.
#[test]
fn halving_the_cells_brings_the_junction_to_one_value() {
    let mut stack = three_layers();
    stack.layers[1].above = Interface::Map { columns: 2, resistance_m2k_w: vec![10e-6, 14e-6, 18e-6, 30e-6] };
    let side = (-0.0045, 0.0045);
    let rise = |cells: usize| {
        let found = solved(&stack, cells, cells, cells / 3);
        found.mean_k(0, side, side) + 65.0 / 0.009_f64.powi(2) * 0.5 * found.grid.z_m[1] / 120.0
    };
    let rises = [24, 48, 96, 192].map(rise);
    let steps: Vec<f64> = rises.windows(2).map(|pair| (pair[0] - pair[1]).abs()).collect();
    let orders: Vec<f64> = steps.windows(2).map(|pair| (pair[0] / pair[1]).log2()).collect();
    println!("rises {rises:.4?} K, orders {orders:.2?}");
    assert!(orders.iter().all(|order| *order > 1.0), "{rises:?} {orders:?}");
    // What is left after the last halving, by its own order of one at least, is its size at most.
    assert!(steps[2] < 2e-3 * rises[3], "{rises:?}");
}

/// A worse interface over half the lid makes the die hotter; a map that is even everywhere is the even one.
#[test]
fn a_map_of_the_interface_counts() {
    let even = solved(&three_layers(), 48, 48, 12);
    let with = |resistance: Vec<f64>| {
        let mut stack = three_layers();
        stack.layers[1].above = Interface::Map { columns: 2, resistance_m2k_w: resistance };
        solved(&stack, 48, 48, 12)
    };
    assert!((with(vec![12e-6; 4]).most_k - even.most_k).abs() < 1e-6);
    assert!(with(vec![12e-6, 200e-6, 12e-6, 200e-6]).most_k > even.most_k + 0.5);
}

#[test]
fn what_cannot_be_is_refused() {
    let good = three_layers();
    let refused = |stack: Stack| {
        solve(&stack, Resolution { x: 16, y: 16, z: 8 }, 1, &mut |_| ControlFlow::Continue(())).unwrap_err()
    };
    let mut no_way = good.clone();
    no_way.top_film_w_m2k = 0.0;
    assert_eq!(refused(no_way), ConductionError::NoWayOut);
    let mut zero = good.clone();
    zero.layers[1].conductivity_w_mk[2] = 0.0;
    assert!(refused(zero).to_string().contains("conductivity of lid"));
    let mut negative = good.clone();
    negative.layers[0].conductivity_w_mk[0] = f64::NAN;
    assert!(refused(negative).to_string().contains("conductivity of die"));
    let mut below = good.clone();
    below.layers[2].conductivity_w_mk[1] = -390.0;
    let told = refused(below).to_string();
    assert!(told.contains("conductivity of base") && told.contains("-390"), "{told}");
    let mut large = good.clone();
    large.layers[0].x_m = (-0.02, 0.02);
    assert!(matches!(refused(large), ConductionError::Larger { .. }));
    let mut twice = good.clone();
    twice.sources.push(source(0, 0.002, 1.0));
    assert_eq!(refused(twice), ConductionError::Overlap { first: 0, second: 1 });
    let mut beside = good.clone();
    beside.sources[0].x_m = (0.0, 0.1);
    assert_eq!(refused(beside), ConductionError::Beside { source_number: 0 });
    let stopped = solve(&good, Resolution { x: 32, y: 32, z: 8 }, 1, &mut |_| ControlFlow::Break(()));
    assert!(matches!(stopped, Err(ConductionError::Stopped { steps: 1, .. })));
}
