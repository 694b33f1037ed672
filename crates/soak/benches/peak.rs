//! How near the loads come to what the processor can do, by a thread's own processor time.
//!
//! The clock comes from a chain of additions each of which needs the one before: one cycle each on every processor
//! of this kind. The peak is clock x 2 vector units x lanes x 2 operations (the usual desktop core; a
//! register loop above 100 % would disprove it). Other work on the machine changes wall times, not these; the best of
//! several counts.

use std::hint::black_box;

use soak::kernel::{Kernel, Load, Room};
use soak::processor::{allowed, pin_to, thread_time};
use soak::width::Width;

const ADDITIONS: u64 = 40_000_000;
const TRIES: usize = 12;

/// Cycles of one thread in a second.
fn clock() -> f64 {
    let begun = thread_time();
    let mut x = black_box(1_u64);
    for _ in 0..ADDITIONS / 16 {
        // Each needs the one before; the compiler must not see through them.
        for _ in 0..16 {
            x = black_add(x);
        }
    }
    black_box(x);
    ADDITIONS as f64 / (thread_time() - begun).as_secs_f64()
}

#[inline(always)]
fn black_add(x: u64) -> u64 {
    #[cfg(target_arch = "x86_64")]
    {
        let mut x = x;
        #[expect(unsafe_code, reason = "an addition that the compiler cannot fold")]
        // SAFETY: adds one to a register and touches nothing else.
        unsafe {
            core::arch::asm!("add {x}, 1", x = inout(reg) x, options(pure, nomem, nostack));
        }
        x
    }
    #[cfg(not(target_arch = "x86_64"))]
    black_box(x + 1)
}

/// Work in a second, of the thread's own time, over a fifth of a second.
fn rate(kernel: &mut dyn Kernel) -> f64 {
    let begun = thread_time();
    let mut work = 0.0;
    loop {
        let done = kernel.block();
        assert_eq!(done.wrong, None);
        work += done.work;
        let time = (thread_time() - begun).as_secs_f64();
        if time > 0.2 {
            return work / time;
        }
    }
}

fn main() {
    let Some(cpu) = allowed().ok().and_then(|cpus| cpus.last().copied()) else { return };
    if pin_to(cpu).is_err() {
        return;
    }
    for width in Width::ALL.into_iter().filter(|width| width.is_here()) {
        let lanes = match width {
            Width::Portable => 1.0,
            Width::Two => 2.0,
            Width::Four => 4.0,
            Width::Eight => 8.0,
        };
        let room = Room { memory: 36 << 20, cache: 1 << 20, width };
        for load in [Load::Vector, Load::Matrix] {
            let mut kernel = load.kernel(room, 1);
            kernel.block();
            // Clock and rate side by side, so that a change of clock counts for both.
            let tries: Vec<(f64, f64)> = (0..TRIES).map(|_| (clock(), rate(kernel.as_mut()))).collect();
            let best = |of: fn(&(f64, f64)) -> f64| tries.iter().map(of).fold(0.0, f64::max);
            let (clock, rate) = (best(|one| one.0), best(|one| one.1));
            let peak = clock * 2.0 * 2.0 * lanes;
            println!(
                "{width:?} {load:?}: {:.1} Gflop/s, clock {:.3} GHz, {:.1} % of {:.1} Gflop/s",
                rate / 1e9,
                clock / 1e9,
                100.0 * rate / peak,
                peak / 1e9
            );
        }
    }
    let room = Room { memory: 128 << 20, cache: 1 << 20, width: Width::widest() };
    for load in [Load::Integer, Load::Branch, Load::Cache, Load::Memory, Load::Mixed] {
        let mut kernel = load.kernel(room, 1);
        let best = (0..TRIES / 2).map(|_| rate(kernel.as_mut())).fold(0.0, f64::max);
        println!("{load:?}: {:.3} G {}/s", best / 1e9, load.unit());
    }
}
