//! Warming of a stack against textbook series, its balance, its end, and its order; order of the steady state.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use core::f64::consts::PI;
use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::stack::{ConductionError, Interface, Layer, Source, Stack};
use physics::conduction::steady::solve;
use physics::conduction::transient::{Moment, Warming, warming};

const SIDE_M: f64 = 0.02;
const THICK_M: f64 = 4e-3;
const CONDUCTIVITY: f64 = 390.0;
const CAPACITY: f64 = 3.45e6;
const POWER_W: f64 = 80.0;

/// A plate heated evenly from below.
fn plate(film_w_m2k: f64) -> Stack {
    Stack {
        layers: vec![Layer {
            name: "the plate".to_owned(),
            thickness_m: THICK_M,
            x_m: (0.0, SIDE_M),
            y_m: (0.0, SIDE_M),
            conductivity_w_mk: [CONDUCTIVITY; 3],
            above: Interface::Even(0.0),
        }],
        sources: vec![Source { layer: 0, x_m: (0.0, SIDE_M), y_m: (0.0, SIDE_M), power_w: POWER_W }],
        top_film_w_m2k: film_w_m2k,
        bottom_film_w_m2k: 0.0,
    }
}

/// A die off the middle of a lid.
fn die_and_lid() -> (Stack, [f64; 2]) {
    let layer = |name: &str, x_m, y_m, thickness_m, k: f64, above| Layer {
        name: name.to_owned(),
        thickness_m,
        x_m,
        y_m,
        conductivity_w_mk: [k; 3],
        above: Interface::Even(above),
    };
    let stack = Stack {
        layers: vec![
            layer("the die", (0.008, 0.018), (0.01, 0.02), 0.8e-3, 120.0, 6e-6),
            layer("the lid", (0.0, 0.03), (0.0, 0.03), 2.5e-3, 390.0, 0.0),
        ],
        sources: vec![Source { layer: 0, x_m: (0.009, 0.016), y_m: (0.011, 0.018), power_w: 65.0 }],
        top_film_w_m2k: 20_000.0,
        bottom_film_w_m2k: 0.0,
    };
    (stack, [1.65e6, CAPACITY])
}

fn warmed(stack: &Stack, capacity: &[f64], cells: [usize; 3], until_s: f64, tolerance: f64) -> Vec<Moment> {
    let [x, y, z] = cells;
    let wanted = Warming { cells: Resolution { x, y, z }, until_s, tolerance, threads: 1 };
    warming(stack, capacity, wanted, &mut |_| ControlFlow::Continue(())).unwrap()
}

/// Rise of a plate of unit area, flux `q` on its lower face, a film on its upper face, at height `x`:
/// H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd edition, 1959, section 3.11 (radiation at
/// one surface); coefficients by the eigenfunctions' own orthogonality.
fn series_k(q: f64, film: f64, x: f64, time_s: f64) -> f64 {
    let (biot, fourier) =
        (film * THICK_M / CONDUCTIVITY, CONDUCTIVITY / CAPACITY * time_s / (THICK_M * THICK_M));
    let gone: f64 = (0..200)
        .map(|n| {
            let (mut low, mut high) = (f64::from(n) * PI, f64::from(n) * PI + PI / 2.0);
            for _ in 0..200 {
                let root = 0.5 * (low + high);
                // z tan z = Bi, in the quarter turn where the tangent rises from nothing.
                if root * root.tan() < biot {
                    low = root;
                } else {
                    high = root;
                }
            }
            0.5 * (low + high)
        })
        .map(|z| {
            let shape = q * THICK_M / film * z.sin() / z
                + q * THICK_M * THICK_M / CONDUCTIVITY * (1.0 - z.cos()) / (z * z);
            let square = THICK_M / 2.0 * (1.0 + (2.0 * z).sin() / (2.0 * z));
            shape / square * (z * x / THICK_M).cos() * (-z * z * fourier).exp()
        })
        .sum();
    q / film + q * (THICK_M - x) / CONDUCTIVITY - gone
}

#[test]
fn a_heated_plate_follows_the_series() {
    let (film, q) = (50_000.0, POWER_W / (SIDE_M * SIDE_M));
    let curve = warmed(&plate(film), &[CAPACITY], [2, 2, 64], 1.0, 1e-3);
    let (mut worst, mut compared) = (0.0_f64, 0);
    for moment in curve.iter().filter(|moment| moment.time_s > 2e-3) {
        let exact = series_k(q, film, THICK_M / 128.0, moment.time_s);
        worst = worst.max((moment.made_at_k / exact - 1.0).abs());
        compared += 1;
    }
    assert!(compared > 20 && worst < 4e-3, "{compared} moments, {worst:e}");
}

/// Long before the heat reaches the upper face the plate is as good as endless: 2 q sqrt(t / (pi k rho c)) on
/// its face, less q z / k at a small depth (Carslaw and Jaeger, section 2.9).
#[test]
fn an_early_rise_is_that_of_an_endless_solid() {
    let q = POWER_W / (SIDE_M * SIDE_M);
    let curve = warmed(&plate(1_000.0), &[CAPACITY], [2, 2, 256], 0.01, 2e-4);
    for moment in curve.iter().filter(|moment| moment.time_s > 2e-3) {
        let face = 2.0 * q * (moment.time_s / (PI * CONDUCTIVITY * CAPACITY)).sqrt();
        let exact = face - q * (THICK_M / 512.0) / CONDUCTIVITY;
        assert!((moment.made_at_k / exact - 1.0).abs() < 4e-3, "{moment:?} {exact}");
    }
}

#[test]
fn warming_balances_and_ends_at_the_steady_state() {
    let (stack, capacity) = die_and_lid();
    let curve = warmed(&stack, &capacity, [24, 24, 8], 20.0, 1e-3);
    for moment in &curve[1..] {
        let made = 65.0 * moment.time_s;
        assert!(((moment.held_j + moment.gone_j) / made - 1.0).abs() < 1e-9, "{moment:?} of {made} J");
    }
    // A step may err by 1e-3 of the rise; it never cools by more than a tenth of that.
    assert!(curve.windows(2).all(|pair| pair[0].most_k <= pair[1].most_k * (1.0 + 1e-4)));
    let cells = Resolution { x: 24, y: 24, z: 8 };
    let steady = solve(&stack, cells, 1, &mut |_| ControlFlow::Continue(())).unwrap();
    let last = curve.last().unwrap();
    assert!((last.most_k / steady.most_k - 1.0).abs() < 1e-5, "{} {}", last.most_k, steady.most_k);
}

/// A tenth of the error of a step leaves clearly less than a third of the error of the curve.
#[test]
fn a_finer_step_is_nearer() {
    let (stack, capacity) = die_and_lid();
    let end =
        |tolerance: f64| warmed(&stack, &capacity, [16, 16, 6], 0.05, tolerance).last().unwrap().made_at_k;
    let (rough, middle, fine, best) = (end(1e-2), end(1e-3), end(1e-4), end(1e-6));
    let (rough, middle, fine) = ((rough - best).abs(), (middle - best).abs(), (fine - best).abs());
    assert!(middle < rough / 3.0 && fine < middle / 3.0, "{rough:e} {middle:e} {fine:e}");
}

#[test]
fn warming_does_not_depend_on_threads() {
    let (stack, capacity) = die_and_lid();
    let with = |threads: usize| {
        let cells = Resolution { x: 72, y: 72, z: 8 };
        let wanted = Warming { cells, until_s: 0.02, tolerance: 1e-2, threads };
        warming(&stack, &capacity, wanted, &mut |_| ControlFlow::Continue(())).unwrap()
    };
    let (one, two) = (with(1), with(2));
    assert_eq!(one.len(), two.len());
    assert_eq!(one.last(), two.last());
}

#[test]
fn what_cannot_warm_is_refused() {
    let (stack, capacity) = die_and_lid();
    let refused = |capacity: &[f64], until_s: f64| {
        let wanted = Warming { cells: Resolution { x: 8, y: 8, z: 4 }, until_s, tolerance: 1e-2, threads: 1 };
        warming(&stack, capacity, wanted, &mut |_| ControlFlow::Break(())).unwrap_err()
    };
    assert!(refused(&[1e6], 1.0).to_string().contains("one for each layer"));
    assert!(refused(&[1e6, 0.0], 1.0).to_string().contains("capacity of the lid"));
    assert!(refused(&capacity, f64::NAN).to_string().contains("time"));
    assert!(matches!(refused(&capacity, 1.0), ConductionError::Stopped { steps: 1, .. }));
}

/// Order of the steady solver on a solution chosen beforehand: a rise `T0 + cos(pi x/a) cos(pi y/b) Z(z)` that
/// satisfies the equation of an anisotropic plate with a film above; its flux through the lower face is handed to the
/// solver cell by cell (method of manufactured solutions: P. J. Roache, Journal of Fluids Engineering 124
/// (2002), 4).
#[test]
fn the_steady_solver_is_of_second_order() {
    let (a, b, film, flat) = (0.02, 0.03, 40_000.0, [300.0, 150.0]);
    let (kz, waves): (f64, f64) = (80.0, 1.0);
    let rate = ((flat[0] * (PI / a).powi(2) + flat[1] * (PI / b).powi(2)) / kz).sqrt();
    // Z falls from one at the lower face to what the film lets through at the upper.
    let ratio = film / (kz * rate);
    let tanh = (rate * THICK_M).tanh();
    let slope = (tanh + ratio) / (1.0 + ratio * tanh);
    let z_of = |z: f64| (rate * z).cosh() - slope * (rate * z).sinh();
    let flux = kz * rate * slope;
    let even = 1.2 * flux;
    let error = |cells: usize| {
        let (wide, deep) = (a / cells as f64, b / cells as f64);
        let bump =
            |from: f64, to: f64, side: f64| side / PI * ((PI * to / side).sin() - (PI * from / side).sin());
        let sources = (0..cells * cells)
            .map(|at| {
                let (i, j) = ((at % cells) as f64, (at / cells) as f64);
                let (x, y) = ((i * wide, (i + 1.0) * wide), (j * deep, (j + 1.0) * deep));
                let power_w = even * wide * deep + waves * flux * bump(x.0, x.1, a) * bump(y.0, y.1, b);
                Source { layer: 0, x_m: x, y_m: y, power_w }
            })
            .collect();
        let stack = Stack {
            layers: vec![Layer {
                name: "the plate".to_owned(),
                thickness_m: THICK_M,
                x_m: (0.0, a),
                y_m: (0.0, b),
                conductivity_w_mk: [flat[0], flat[1], kz],
                above: Interface::Even(0.0),
            }],
            sources,
            top_film_w_m2k: film,
            bottom_film_w_m2k: 0.0,
        };
        let wanted = Resolution { x: cells, y: cells, z: cells };
        let found = solve(&stack, wanted, 1, &mut |_| ControlFlow::Continue(())).unwrap();
        let height = 0.5 * THICK_M / cells as f64;
        let base = even * (1.0 / film + (THICK_M - height) / kz);
        let map = found.map_k(0);
        let mut square = 0.0;
        for (at, rise) in map.iter().enumerate() {
            let (i, j) = ((at % cells) as f64 + 0.5, (at / cells) as f64 + 0.5);
            let exact = base + waves * (PI * i * wide / a).cos() * (PI * j * deep / b).cos() * z_of(height);
            square += (rise - exact).powi(2);
        }
        (square / map.len() as f64).sqrt()
    };
    let errors = [error(8), error(16), error(32)];
    let order = |pair: &[f64]| (pair[0] / pair[1]).log2();
    println!("{errors:?} {} {}", order(&errors[..2]), order(&errors[1..]));
    assert!(order(&errors[..2]) > 1.8 && order(&errors[1..]) > 1.9, "{errors:?}");
}
