//! Jumps that cannot be foretold: a random programme of steps, then the same steps undone from the last to the first.
//!
//! Every step can be undone, so a wrong one, or a jump that went astray, ends elsewhere than it began.

use core::hint::black_box;

use crate::kernel::progression::Affine;
use crate::kernel::{Done, Kernel, Wrong};

/// Steps there, and as many back.
const STEPS: u64 = 20_000;

/// The load.
#[derive(Debug)]
pub struct Branch {
    programme: u64,
    value: u64,
    astray: u64,
}

/// An odd number and its inverse modulo 2^64.
const STRETCH: Affine = Affine { factor: 0xD134_2543_DE82_EF95, step: 0 };
const SHRINK: Affine = STRETCH.inverse();

/// Which way of eight: the programme's highest bits, its best.
const fn way(programme: u64) -> u64 {
    programme >> 61
}

#[inline]
fn there(way: u64, value: u64, programme: u64) -> u64 {
    match way {
        0 => value.wrapping_add(programme),
        1 => value ^ programme,
        2 => value.rotate_left(23),
        3 => STRETCH.next(value),
        4 => value.swap_bytes(),
        5 => !value,
        6 => value ^ value >> 33,
        _ => programme.wrapping_sub(value),
    }
}

#[inline]
fn back(way: u64, value: u64, programme: u64) -> u64 {
    match way {
        0 => value.wrapping_sub(programme),
        1 => value ^ programme,
        2 => value.rotate_right(23),
        3 => SHRINK.next(value),
        4 => value.swap_bytes(),
        5 => !value,
        6 => value ^ value >> 33,
        _ => programme.wrapping_sub(value),
    }
}

impl Branch {
    /// The load.
    pub fn new(seed: u64) -> Self {
        Self { programme: seed, value: Affine::WALK.next(seed), astray: 0 }
    }
}

impl Kernel for Branch {
    fn block(&mut self) -> Done {
        let begun = self.value;
        let mut value = begun;
        let mut programme = self.programme;
        for _ in 0..STEPS {
            programme = Affine::WALK.next(programme);
            // A jump to one of eight places, not a choice among eight results.
            value = black_box(there(way(programme), value, programme));
        }
        value ^= core::mem::take(&mut self.astray);
        let end = programme;
        let walk_back = const { Affine::WALK.inverse() };
        for _ in 0..STEPS {
            value = black_box(back(way(programme), value, programme));
            programme = walk_back.next(programme);
        }
        let wrong = (value != begun || programme != self.programme).then(|| Wrong {
            what: format!("{STEPS} steps undone end at {value:#x} where they began at {begun:#x}"),
        });
        self.programme = end;
        self.value = begun.wrapping_add(end);
        Done { work: (2 * STEPS) as f64, wrong }
    }

    fn disturb(&mut self, bit: u32) {
        self.astray = 1 << (bit % 64);
    }
}
