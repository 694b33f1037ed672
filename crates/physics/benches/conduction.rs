//! Steady conduction in a stack of five layers, from description to answer, relative residual 1e-8.
//!
//! Peers on a like stack (40 x 40 mm, die with a hot spot, relative residual 5e-9), solve without assembly: 256 x 256 x 64
//! cells: algebraic-multigrid conjugate gradients 26 s, Jacobi conjugate gradients 60 s, a finite-volume library of
//! the same language not finished; a plain geometric multigrid prototype in C++ 0.77 s on two threads.
//! 64 x 64 x 16: 0.13 s, 0.12 s, 5.6 s, 0.014 s.

use core::ops::ControlFlow;

use divan::Bencher;
use physics::conduction::grid::Resolution;
use physics::conduction::stack::{Interface, Layer, Source, Stack};
use physics::conduction::steady::solve;
use physics::conduction::transient::{Warming, warming};

fn main() {
    divan::main();
}

fn stack() -> Stack {
    let layer = |name: &str, side_m: f64, thickness_m: f64, k: f64, above: f64| Layer {
        name: name.to_owned(),
        thickness_m,
        x_m: (-side_m / 2.0, side_m / 2.0),
        y_m: (-side_m / 2.0, side_m / 2.0),
        conductivity_w_mk: [k; 3],
        above: Interface::Even(above),
    };
    Stack {
        layers: vec![
            layer("die", 0.01, 0.8e-3, 120.0, 0.0),
            layer("solder", 0.01, 0.2e-3, 50.0, 0.0),
            layer("lid", 0.032, 2.5e-3, 390.0, 0.0),
            layer("paste", 0.032, 0.05e-3, 5.0, 0.0),
            layer("base", 0.04, 6e-3, 390.0, 0.0),
        ],
        sources: vec![
            Source { layer: 0, x_m: (-0.004, 0.0), y_m: (-0.004, 0.004), power_w: 80.0 },
            Source { layer: 0, x_m: (0.001, 0.003), y_m: (0.001, 0.003), power_w: 20.0 },
        ],
        top_film_w_m2k: 2_500.0,
        bottom_film_w_m2k: 0.0,
    }
}

fn run(bencher: Bencher<'_, '_>, wanted: Resolution, threads: usize) {
    let stack = stack();
    bencher.bench_local(|| solve(&stack, wanted, threads, &mut |_| ControlFlow::Continue(())));
}

#[divan::bench]
fn preview_64_64_16(bencher: Bencher<'_, '_>) {
    run(bencher, Resolution { x: 64, y: 64, z: 16 }, 2);
}

#[divan::bench(sample_count = 10)]
fn middle_128_128_32(bencher: Bencher<'_, '_>) {
    run(bencher, Resolution { x: 128, y: 128, z: 32 }, 2);
}

#[divan::bench(sample_count = 5)]
fn full_256_256_64_two_threads(bencher: Bencher<'_, '_>) {
    run(bencher, Resolution { x: 256, y: 256, z: 64 }, 2);
}

/// A minute of warming, an error of a thousandth in each step.
#[divan::bench(sample_count = 3)]
fn warming_64_64_16_for_a_minute(bencher: Bencher<'_, '_>) {
    let stack = stack();
    let cells = Resolution { x: 64, y: 64, z: 16 };
    let wanted = Warming { cells, until_s: 60.0, tolerance: 1e-3, threads: 2 };
    let capacity = [1.65e6, 1.7e6, 3.45e6, 2.5e6, 3.45e6];
    bencher.bench_local(|| warming(&stack, &capacity, wanted, &mut |_| ControlFlow::Continue(())));
}
